"""What a pour plan is: the values that `plan_pours` gives and the hand-outs lay out.

SI throughout. A is the isocyanate, B the polyol, as the boat file's foam table says.
"""

from dataclasses import dataclass

from flotation.boat import FoamInPlace
from flotation.workings import Line


@dataclass(frozen=True)
class Shot:
    """One bucket or one machine shot, with what goes on the scale.

    number        counted through its lift, from 1
    weigh_a, weigh_b  kg, rounded to what the scale shows; they keep the mix ratio within its
                  tolerance and the batch limit. Machine: the exact masses of the shot
    volume_a, volume_b  m3 of the weighed masses
    mass          kg, weigh_a + weigh_b: what is mixed, waste included
    seconds       machine only: opening time, s, rounded to the timer; None for hand mixing
    """

    number: int
    weigh_a: float
    weigh_b: float
    volume_a: float
    volume_b: float
    mass: float
    seconds: float | None


@dataclass(frozen=True)
class Lift:
    """One layer of foam in one cavity.

    mass          kg that must reach the cavity; mixed_mass = mass / (1 - waste)
    mass_a, mass_b, volume_a, volume_b   of the mixed mass, exact
    foam_height   m, z where the foam should stand afterwards, in the boat's frame if the jig is
                  level, else height above the cavity's lowest point in the jig
    dip           m from the hole's rim down to the foam; None without a fill hole
    closing       True for the lift that fills the cavity: it alone has the overpack
    """

    cavity: str
    hole: str
    number: int
    of: int
    volume: float
    mass: float
    mixed_mass: float
    mass_a: float
    mass_b: float
    volume_a: float
    volume_b: float
    foam_height: float
    dip: float | None
    closing: bool
    shots: tuple[Shot, ...]


@dataclass(frozen=True)
class Rung:
    """One row of the ladder: for this cup-test density, these shots.

    density       cup-test density, kg/m3
    shots         for each lift, how many shots and what goes on the scale for each of them
    """

    density: float
    shots: tuple[tuple[int, float, float], ...]


@dataclass(frozen=True)
class CavityPour:
    """Everything about filling one cavity.

    density     kg/m3 in place, mass / volume
    lines       the calculation of the quantities, line by line
    ladder      the same quantities for other cup-test densities within the sheet's limits
    """

    cavity: str
    group: str
    foam: str
    volume: float
    mass: float
    mixed_mass: float
    density: float
    lifts: tuple[Lift, ...]
    ladder: tuple[Rung, ...]
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class OrderTotal:
    """What to order of one foam system, waste included: kg and m3 of A and B."""

    foam: str
    mass_a: float
    mass_b: float
    volume_a: float
    volume_b: float


@dataclass(frozen=True)
class PourPlan:
    """Which cavities, how much, through which holes, in which order.

    stops     reasons why nothing may be poured (a cup outside the sheet's limits, a batch that
              would cream in the bucket); while there is one, no quantity goes to the floor
    cautions  what to look at before the first batch, in the plan's own words
    foam      what stands in the cavities afterwards
    """

    boat: str
    pours: tuple[CavityPour, ...]
    totals: tuple[OrderTotal, ...]
    stops: tuple[str, ...]
    cautions: tuple[str, ...]
    lines: tuple[Line, ...]
    foam: tuple[FoamInPlace, ...]

    @property
    def go(self) -> bool:
        """True if nothing stops the pour."""
        return not self.stops

    @property
    def lifts(self) -> tuple[Lift, ...]:
        """All lifts in pouring order."""
        return tuple(lift for pour in self.pours for lift in pour.lifts)
