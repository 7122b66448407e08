"""The tables of a boat file that tell of heat and pressure: [foam.heat] and [[cavity.panel]]."""

from typing import Annotated

from pydantic import BeforeValidator

from flotation.boatfile.entries import (
    CoreTemperature,
    Date,
    Example,
    Length,
    LineLoad,
    Modulus,
    Name,
    Ratio,
    Rise,
    Share,
    Strength,
    Temperature,
)
from flotation.boatfile.schema import Table, pair


class RisePair(Table):
    """Two rises of temperature, the lower first; twice the same for one."""

    low: Rise
    high: Rise


Rises = Annotated[RisePair, BeforeValidator(pair), Example('["115 K", "130 K"]')]


class RecipeTable(Table):
    """What the heat of a foam follows from."""

    nco: Share
    index: Ratio
    water: Share
    agent: Name | None = None
    agent_share: Share | None = None


class CoreTable(Table):
    """The hottest that the core of a block got."""

    temperature: CoreTemperature
    start: Temperature
    thickness: Length
    date: Date


class HeatTable(Table):
    """[foam.heat]."""

    adiabatic_rise: Rises | None = None
    recipe: RecipeTable | None = None
    measured_core: CoreTable | None = None
    core_limit: CoreTemperature | None = None
    cool_to: CoreTemperature | None = None


class PanelTable(Table):
    """[[cavity.panel]], a flat panel that the foam presses on."""

    name: Name
    short_span: Length
    long_span: Length
    thickness: Length
    modulus: Modulus
    strength: Strength | None = None
    deflection_limit: Length | None = None
    flange_width: Length | None = None
    peel_strength: LineLoad | None = None
