"""What a pour plan is: the values that `plan_pours` gives and the hand-outs lay out.

SI throughout. A is the isocyanate, B the polyol, as the boat file's foam table says.
"""

from dataclasses import dataclass
from enum import StrEnum

from flotation.boat import FoamInPlace
from flotation.notebook import html_table
from flotation.pour.effects import Heat, Pressing
from flotation.pour.outlook import (
    AttitudeProposal,
    LiftBound,
    PackOrder,
    Sensitivity,
    Timetable,
)
from flotation.pour.reached import CavityAir, CavityReach
from flotation.units import si
from flotation.workings import Line, Source


@dataclass(frozen=True)
class Shot:
    """One bucket or one machine shot, with what goes on the scale.

    number        counted through its lift, from 1
    weigh_a, weigh_b  kg, rounded to what the scale shows; they keep the mix ratio within its
                  tolerance and the batch limit. Machine: what the rounded opening time delivers
    volume_a, volume_b  m3 of the weighed masses
    mass          kg, weigh_a + weigh_b: what is mixed, waste included
    seconds       machine only: opening time, s, rounded to the timer; None for hand mixing
    batch         counted over the whole boat in pouring order, lift after lift, from 1
    start         s from the start of the first batch of the boat: first stir, or opening
    end           s, the last drop is in the hole
    """

    number: int
    weigh_a: float
    weigh_b: float
    volume_a: float
    volume_b: float
    mass: float
    seconds: float | None
    batch: int = 0
    start: float = 0.0
    end: float = 0.0


@dataclass(frozen=True)
class DipRung:
    """What to pour as the closing lift if this dip was measured before it.

    dip          m from the hole's rim down to the foam
    mass         kg that must reach the cavity through this hole
    shots        how many, and the kg of A and of B for each, rounded to what the scale shows
    seconds      machine only: opening time of each shot, s; None for hand mixing
    """

    dip: float
    mass: float
    shots: tuple[int, float, float]
    seconds: float | None


@dataclass(frozen=True)
class Lift:
    """One layer of foam in one cavity, or the part of it that goes through one hole.

    order         place in the pouring order of the whole boat, from 1
    number, of    which layer of how many; a layer poured through several holes is a Lift for each
    hole          name of the fill hole; "" if the cavity has none
    volume, mass  m3 and kg that must reach the cavity; mixed_mass = mass / (1 - waste)
    mass_a, mass_b, volume_a, volume_b   of the mixed mass, exact
    thickness     m of the whole layer, measured straight up in the jig
    foam_height   m, z where the foam should stand after the whole layer, in the boat's frame if
                  the jig is level, else height above the cavity's lowest point in the jig
    dip           m straight down from the hole's rim to the foam at minimum-fill density; zero or
                  less: the foam comes up to the rim; None without a fill hole
    dip_least     m, the same if the foam rises freely to its cup-test density: the near end of
                  the range in which the dip is to be expected
    closing       True for the layer that fills the cavity: it alone has the overpack
    wait          s from the last shot until more may be poured on this foam: the gel wait, until
                  it is tack-free, which is no cool-down; longer only where `heat.before_next`,
                  the wait for the sake of heat, is longer
    by_dip        closing layer on other layers only: amounts for the dip that was measured
    lines         how volume, masses and shares were calculated
    start         s from the start of the first batch of the boat: this lift's first stir or opening
    end           s, its last drop is in the hole
    next_after    s, the earliest at which more may be poured on it: `end` and the wait, or the
                  sheet's own wait between lifts if that is longer
    heat          how hot the whole layer gets; None only where the shop is too hot to say
    """

    cavity: str
    hole: str
    order: int
    number: int
    of: int
    volume: float
    mass: float
    mixed_mass: float
    mass_a: float
    mass_b: float
    volume_a: float
    volume_b: float
    thickness: float
    foam_height: float
    dip: float | None
    dip_least: float | None
    closing: bool
    wait: float
    shots: tuple[Shot, ...]
    by_dip: tuple[DipRung, ...]
    lines: tuple[Line, ...]
    start: float = 0.0
    end: float = 0.0
    next_after: float = 0.0
    heat: Heat | None = None


@dataclass(frozen=True)
class Rung:
    """One row of the ladder: for this cup-test density, these shots.

    density       cup-test density, kg/m3
    mass          kg that must reach the cavity, over all its lifts
    shots         for each lift, how many shots and what goes on the scale for each of them: all
                  alike, so a lift's sum may be off by half a scale step for each shot
    seconds       for each lift, opening time of each shot, s; None for hand mixing
    """

    density: float
    mass: float
    shots: tuple[tuple[int, float, float], ...]
    seconds: tuple[float | None, ...]


@dataclass(frozen=True)
class CavityPour:
    """Everything about filling one cavity.

    volume      m3 that foam fills: without what counts as caught air or out of reach
    mass        kg that stays in it; mixed_mass with waste; mass_a to volume_b of the mixed mass
    density     kg/m3 in place, mass / volume
    volume_error  m3 either way, of a cavity found between parts; None: not known
    lines       the calculation of the quantities, line by line
    ladder      the same quantities for other cup-test densities within the sheet's limits
    decides     what bounds the thickness of its lifts
    pressing    how hard the foam presses on it
    """

    cavity: str
    group: str
    foam: str
    volume: float
    mass: float
    mixed_mass: float
    mass_a: float
    mass_b: float
    volume_a: float
    volume_b: float
    density: float
    lifts: tuple[Lift, ...]
    ladder: tuple[Rung, ...]
    lines: tuple[Line, ...]
    decides: LiftBound = LiftBound.DEPTH
    pressing: Pressing | None = None
    volume_error: float | None = None


@dataclass(frozen=True)
class OrderTotal:
    """What to order of one foam system, waste included: kg and m3 of A and B."""

    foam: str
    mass_a: float
    mass_b: float
    volume_a: float
    volume_b: float


@dataclass(frozen=True)
class CupUsed:
    """The cup-test density that one foam system is reckoned with.

    density    kg/m3
    date       of the cup test; None: none was made, the sheet's free-rise density stands in
    low, high  kg/m3, the sheet's limits
    """

    foam: str
    density: float
    date: str | None
    low: float
    high: float


class ShownAt(StrEnum):
    """Where on the hand-outs a caution or a response stands: at the step that it is about."""

    START = "start"
    MIX = "mix"
    POUR = "pour"
    WHEN = "when"
    AFTER = "after"


@dataclass(frozen=True)
class Caution:
    """A danger and what to do about it, with where it was read and where it is printed."""

    text: str
    source: Source
    at: tuple[ShownAt, ...] = (ShownAt.START,)


class CheckKind(StrEnum):
    """What a check before the first batch is about."""

    PEOPLE = "people"
    PLUG = "plug"
    OPEN = "keep open"
    BRACE = "brace"
    MEASURE = "measure"


@dataclass(frozen=True)
class Check:
    """One thing to see to before the first batch.

    text       what to do, as a sentence
    cavity     which cavity it is about; "" for the whole boat
    foam       which foam system it is about; "" for every one
    quantity   measurements: what is measured ("liquids", "hull", "cup test"); "" otherwise
    low, high  go limits of the measurement in SI `unit`; beyond them no foam is poured. None:
               no limit on that side
    """

    kind: CheckKind
    text: str
    source: Source
    cavity: str = ""
    foam: str = ""
    quantity: str = ""
    low: float | None = None
    high: float | None = None
    unit: str = ""


@dataclass(frozen=True)
class Response:
    """What to do when something happens: sign, steps in their order, where it is printed."""

    sign: str
    steps: tuple[str, ...]
    source: Source
    at: tuple[ShownAt, ...] = (ShownAt.WHEN,)


@dataclass(frozen=True)
class Step:
    """One thing to do after the last batch."""

    text: str
    source: Source

    def __str__(self) -> str:
        """The words of the step."""
        return self.text


@dataclass(frozen=True)
class PourPlan:
    """Which cavities, how much, through which holes, in which order.

    pours     in the order in which the cavities are begun
    stops     reasons why nothing may be poured (a cup outside the sheet's limits, a batch that
              would cream in the bucket); while there is one, no quantity goes to the floor
    cautions  what this plan in particular needs looked at, in its own words
    safety    dangers of the work that matter for this plan
    before    what must be plugged, braced and measured before the first batch
    if_then   what to do when something goes otherwise
    after     steps after the last batch
    lines     the numbers that hold for a whole foam system
    foam      what stands in the cavities afterwards
    timetable    None where nothing is poured
    packs        kits or drums to buy, a row for each kind that the boat file names
    sensitivity  what 1 % of density and 1 degree do to the mass and to the lift
    attitudes    other attitudes in the jig; None where the boat file gives it no range
    done         lifts that were poured before this plan was made, with what really went in
    reach     where foam gets to, for each cavity with a fill hole, in the order of `pours`
    air       where air stays, for each cavity that catches any
    """

    boat: str
    pours: tuple[CavityPour, ...]
    totals: tuple[OrderTotal, ...]
    cups: tuple[CupUsed, ...]
    stops: tuple[str, ...]
    cautions: tuple[str, ...]
    safety: tuple[Caution, ...]
    before: tuple[Check, ...]
    if_then: tuple[Response, ...]
    after: tuple[Step, ...]
    lines: tuple[Line, ...]
    foam: tuple[FoamInPlace, ...]
    timetable: Timetable | None = None
    packs: tuple[PackOrder, ...] = ()
    sensitivity: tuple[Sensitivity, ...] = ()
    attitudes: AttitudeProposal | None = None
    done: tuple[Lift, ...] = ()
    reach: tuple[CavityReach, ...] = ()
    air: tuple[CavityAir, ...] = ()

    @property
    def go(self) -> bool:
        """True if nothing stops the pour."""
        return not self.stops

    @property
    def lifts(self) -> tuple[Lift, ...]:
        """All lifts in pouring order."""
        lifts = (lift for pour in self.pours for lift in pour.lifts)
        return tuple(sorted(lifts, key=lambda lift: lift.order))

    def _repr_html_(self) -> str:
        """For a notebook: each layer in pouring order; only the stops while there are some."""
        if not self.go:
            return html_table(f"{self.boat}: nothing may be poured", (), (), after=self.stops)
        rows = [
            (
                str(lift.order),
                f"{lift.cavity}, layer {lift.number} of {lift.of}",
                lift.hole or "no fill hole",
                *(str(si(mass, "kg")) for mass in (lift.mass_a, lift.mass_b)),
                str(si(lift.foam_height, "m", 3)),
            )
            for lift in self.lifts
        ]
        heads = ("", "cavity", "hole", "A", "B", "foam up to")
        return html_table(self.boat, heads, rows, after=self.cautions)
