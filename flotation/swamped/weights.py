"""Sums over the weight list, and the foam's own mass, which must be counted once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from flotation.boat import Boat, FoamInPlace, Role, Weight
from flotation.boat_places import Point
from flotation.errors import Fault, InputError
from flotation.swamped.assessment import Section
from flotation.swamped.burdens import AXES, Acting, Listed, centre, number_weights, total
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out


@dataclass(frozen=True)
class Settled:
    """The weight list after something was put right, how, and what that assumes.

    given_by  entry -> label of the line that gave its mass
    """

    weights: tuple[Weight, ...]
    section: Section
    assumptions: tuple[str, ...]
    given_by: Mapping[str, str]


def mass_and_centre(label: str, listed: Sequence[Listed]) -> tuple[Line, tuple[Line, Line, Line]]:
    """Total dry mass of some entries, kg, and the x, y, z of its centre, m."""
    parts = [Acting(e.term, e.weight.at, e.source) for e in listed]
    whole = total(f"{label}, mass", [part.term for part in parts])
    return whole, centre(label, parts, whole)


def take_foam_off(
    boat: Boat, weights: Sequence[Weight], foam: Sequence[FoamInPlace]
) -> Settled | None:
    """The weight list without the foam that was in the hull when it was weighed.

    weights  the list, after a weighing was adopted
    foam     what stands in the cavities
    Returns None where the hull was weighed before the pour. Raises InputError if the entry that
    has the foam in it weighs less than the foam.

    The foam's mass is already in its net lift. It is taken off the heaviest structure entry, and
    that entry's centre moves by what left it.
    """
    if not (boat.hull_has_foam and foam):
        return None
    listed = number_weights(weights)
    structure = [entry for entry in listed if entry.weight.role is Role.STRUCTURE]
    hull = max(structure, key=lambda entry: entry.weight.mass, default=None)
    poured = total("Foam in the hull when it was weighed", foam_masses(foam))
    if hull is None or hull.weight.mass <= poured.value:
        raise InputError(
            Fault(
                boat.name,
                "the hull is said to have been weighed with its foam, but no structure entry is "
                f"heavier than the foam ({poured.value:.4g} kg)",
                "Set hull_has_foam = false, or correct the hull's mass.",
            )
        )
    rest, centre, lines = _without(hull, foam, poured)
    settled = tuple(
        replace(entry.weight, mass=rest, at=centre) if entry is hull else entry.weight
        for entry in listed
    )
    return Settled(
        settled,
        Section("Foam that is already in the hull's weight", (poured, *lines)),
        (
            f"The foam's mass was taken off {hull.weight.item}, the heaviest structure entry, so "
            "that it counts once.",
        ),
        {hull.weight.entry: lines[0].label},
    )


def foam_masses(foam: Sequence[FoamInPlace]) -> list[Term]:
    """The mass of the foam in each cavity, kg, with symbols f1, f2, ..."""
    return [
        Term(f"f{i}", entry.mass, "kg", Source(f"foam in {entry.cavity}", mark=Mark.COMPUTED))
        for i, entry in enumerate(foam, start=1)
    ]


def _without(
    hull: Listed, foam: Sequence[FoamInPlace], poured: Line
) -> tuple[float, Point, tuple[Line, ...]]:
    """Mass and centre of the hull without its foam, with their lines."""
    rest = work_out(
        f"{hull.symbol} {hull.weight.item}, without foam",
        "mass - foam",
        [hull.mass, poured.term("foam")],
        unit="kg",
        source=COMPUTED,
    )
    masses = foam_masses(foam)
    centres = []
    for i, axis in enumerate(AXES):
        places = [
            Term(f"{axis}_{mass.symbol}", float(entry.solid.centroid[i]), "m", mass.source)
            for mass, entry in zip(masses, foam, strict=True)
        ]
        products = "".join(
            f" - {m.symbol} * {p.symbol}" for m, p in zip(masses, places, strict=True)
        )
        centres.append(
            work_out(
                f"{hull.symbol} {hull.weight.item}, without foam, {axis}",
                f"(mass * {axis}{products}) / rest",
                [
                    hull.mass,
                    Term(axis, hull.weight.at[i], "m", hull.source),
                    *masses,
                    *places,
                    rest.term("rest"),
                ],
                unit="m",
                source=COMPUTED,
            )
        )
    x, y, z = (line.value for line in centres)
    return rest.value, (x, y, z), (rest, *centres)
