"""What a pour does to its cavity: how hot the foam gets, and how hard it presses. SI throughout."""

from dataclasses import dataclass
from enum import StrEnum

from flotation.workings import Line


class HeatBasis(StrEnum):
    """What the heat of a foam is reckoned from; the first that is stated counts."""

    MEASURED = "measured core"
    SHEET = "data sheet"
    RECIPE = "recipe and published heats of reaction"
    LITERATURE = "range of the literature"


@dataclass(frozen=True)
class Heat:
    """How hot one layer of foam gets, and for how long.

    thickness      m, of the widest place of the foam so far: the largest ball in it, at the most
    thickness_error  m, by which that ball may be smaller
    adiabatic_low, adiabatic_high  K by which the foam warms if no heat leaves it
    peak_low, peak_high  K, of the core
    core_limit     K that the core should not exceed
    core_limit_stated  False: no sheet says so
    above_limit    s that the core is hotter than that, at the high end; 0 if it never is
    cool_to        K below which the core is cool enough for more foam, or for covering it
    cool_down      s from the pour until then, at the high end; not the gel wait, which is minutes
    before_next    s from the pour before the next layer may come on it, for the sake of heat; 0:
                   the gel wait is enough to stay within the sheet's limit, or no sheet has one
    basis          what the rise is reckoned from
    lines          how all of it was calculated
    """

    thickness: float
    thickness_error: float
    adiabatic_low: float
    adiabatic_high: float
    peak_low: float
    peak_high: float
    core_limit: float
    core_limit_stated: bool
    above_limit: float
    cool_to: float
    cool_down: float
    before_next: float
    basis: HeatBasis
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class PanelLoad:
    """What the foam's pressure does to one panel of the cavity.

    panel          its name
    deflection, stress, edge_load  m, Pa, and N for each metre of its edge
    deflection_limit, strength, peel_strength  what they are held against; None: not stated
    largest_overpack  the most that keeps within all that are stated; below 1 even foam that is
                      not packed at all presses too hard once it heats; None: none is stated
    within         True: within every limit that is stated
    """

    panel: str
    deflection: float
    deflection_limit: float | None
    stress: float
    strength: float | None
    edge_load: float
    peel_strength: float | None
    largest_overpack: float | None
    within: bool


@dataclass(frozen=True)
class FreeLowerLifts:
    """The closing layer if the lower ones rise freely instead of to their minimum fill.

    room            m3 that is left for it; zero or less: none
    pressure        Pa, of the closing layer as planned; None without room
    reduced_mass    kg through all holes that press no harder than planned; 0 without room
    planned_mass    kg through all holes, as planned
    """

    room: float
    pressure: float | None
    reduced_mass: float
    planned_mass: float


@dataclass(frozen=True)
class Pressing:
    """How hard the foam presses on its cavity, and how the air gets out.

    packing_pressure   Pa, of the closing layer as planned
    heating_pressure   Pa that heating after gel may add
    pressure           Pa, both
    panels             the panels that the boat file describes
    uplift, hold_down  N, of the pressure on what is above the foam, and what holds it down; None:
                       not stated
    open_area, fill_area  m2, of what stays open while foam goes through the widest fill hole, and
                       of that hole; 0 without holes
    air_pressure       Pa, that pushes the air out through what is open while the fullest layer
                       rises; None if nothing is open
    lower_free         None for a single layer
    """

    packing_pressure: float
    heating_pressure: float
    pressure: float
    panels: tuple[PanelLoad, ...]
    uplift: float
    hold_down: float | None
    open_area: float
    fill_area: float
    air_pressure: float | None
    lower_free: FreeLowerLifts | None
    lines: tuple[Line, ...]
