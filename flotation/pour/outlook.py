"""What a plan says beside its lifts: the timetable, what to order, what moves it, other attitudes.

SI throughout. A is the isocyanate, B the polyol.
"""

from dataclasses import dataclass
from enum import StrEnum

from flotation.workings import Line


class LiftBound(StrEnum):
    """What decides how thick the lifts of a cavity are."""

    DEPTH = "depth of the cavity"
    THICKNESS = "lift limit of the sheet"
    HEAT = "lift limit of the sheet, lowered by heat"
    MASS = "largest mass of a lift on the sheet"
    BATCH = "largest batch"
    CREAM = "cream time"
    MACHINE = "machine rate against the cream time"


@dataclass(frozen=True)
class Flush:
    """Flushing a mixing head that must not stand idle longer.

    after          order of the lift after which the head is flushed
    at             s from the start of the first batch
    foam           foam system that is flushed out
    mass_a, mass_b kg that are lost
    """

    after: int
    at: float
    foam: str
    mass_a: float
    mass_b: float


@dataclass(frozen=True)
class Timetable:
    """How long the pour takes with the crew there is.

    Times are s from the start of the first batch: its first stir, or the opening of its shot.

    crew             how many mix, carry and pour at the same time; a machine has one mixing head
    turnaround       s from the last drop of a batch to the start of the next by the same hands
    batches          number of batches over the whole boat
    total_time       s, until the last drop of the last batch
    sequential_time  s, the same crew finishing each cavity before the next is begun; in a plan
                     for what remains, of the whole pour
    tack_free        s, until the last foam is tack-free
    flushes          of the mixing head, in their order; the last is after the last shot
    """

    crew: int
    turnaround: float
    batches: int
    total_time: float
    sequential_time: float
    tack_free: float
    flushes: tuple[Flush, ...]


@dataclass(frozen=True)
class PackOrder:
    """How many kits or drums of one kind cover what one foam system needs.

    Each kind that the sheet offers is reckoned by itself.

    mass_a, mass_b      kg of each side in one pack; None: this pack has none of it
    needed_a, needed_b  kg to be used: poured, wasted and flushed
    count               packs to buy
    left_a, left_b      kg left over; None where the pack has none of that side
    price               of all of them, in the currency `unit`; None: not stated
    """

    foam: str
    pack: str
    mass_a: float | None
    mass_b: float | None
    needed_a: float
    needed_b: float
    count: int
    left_a: float | None
    left_b: float | None
    price: float | None
    unit: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Sensitivity:
    """What a small change of the foam does, per foam system and cause.

    cause       "density" or "temperature"
    change      of the cause, in `unit`: a share for density, K for temperature
    share       by which the foam gets heavier, of its mass
    more_mass   kg more foam in the cavities if the quantities follow the change
    lift_if_followed  kg of lift lost then: the foam is heavier
    lift_if_not       kg of lift lost if the quantities stay: a part of the cavities stays empty
    """

    foam: str
    cause: str
    change: float
    unit: str
    share: float
    more_mass: float
    lift_if_followed: float
    lift_if_not: float
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Attitude:
    """The hull in another attitude in its jig: how many lifts, and what lies above every hole.

    heel, trim  rad, as in the boat file
    lifts       number of lifts over the whole boat
    caught      m3 above the highest hole of its cavity, summed
    """

    heel: float
    trim: float
    lifts: int
    caught: float


@dataclass(frozen=True)
class AttitudeProposal:
    """Attitudes that the jig allows, beside the one that the boat file states.

    A proposal only: the plan is reckoned in the stated attitude.

    stated        as the boat file states it
    least_caught  the one that leaves the least above holes; `stated` if none leaves less
    fewest_lifts  the one with the fewest lifts; `stated` if none needs fewer
    tried         all of them, in the order of trying
    """

    stated: Attitude
    least_caught: Attitude
    fewest_lifts: Attitude
    tried: tuple[Attitude, ...]
