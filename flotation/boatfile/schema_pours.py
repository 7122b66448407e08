"""Tables of what a foam is sold in and of what was poured; the others are in `schema`."""

from flotation.boatfile.entries import Cost, Mass, Name, Place
from flotation.boatfile.schema import Table


class PackTable(Table):
    """[[foam.pack]], a kit, or a drum of one side."""

    name: Name
    mass_a: Mass | None = None
    mass_b: Mass | None = None
    price: Cost | None = None


class PouredTable(Table):
    """A row of what was poured, in CSV."""

    order: Place
    mass: Mass
