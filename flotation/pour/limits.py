"""What bounds one bucket, one machine shot and one lift: mass mixed at once, and cream time."""

import math
from dataclasses import dataclass, replace

from flotation.foamsystem import Foam, HandMixing, MachineMixing, Shop
from flotation.pour.foam import FoamToday, stated
from flotation.pour.outlook import LiftBound
from flotation.pour.thermal import Thermal
from flotation.workings import COMMON_PRACTICE, COMPUTED, Line, Mark, Source, Term, work_out

# More rounds than anybody pours before the foam creams; it bounds the search for the best number.
_ROUNDS = 20
_MOST = Source("number of rounds that puts most in", mark=Mark.COMPUTED)
_SHOP = Source("boat file", "shop", mark=Mark.STATED)


@dataclass(frozen=True)
class ShotLimit:
    """The largest shot of one foam system.

    mass    kg; None: a machine without a limit of its own whose shot never outlasts the cream
    by_time kg that can be poured out before the cream time; zero or less if there is no time left
    lines   how it was calculated
    """

    mass: float
    by_time: float
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class LiftCapacity:
    """The most A and B together, kg, that one lift may take through one hole.

    term     the same for a formula, with where it comes from
    decides  which limit that is
    lines    how it was calculated
    """

    term: Term
    decides: LiftBound
    lines: tuple[Line, ...]

    @property
    def mass(self) -> float:
        """The value, kg."""
        return self.term.value


@dataclass(frozen=True)
class Setting:
    """What every cavity of one foam system shares.

    limit     the largest shot; capacity  the largest lift through one hole
    thermal   what its heat is reckoned with; None: heat is not asked for
    """

    today: FoamToday
    shop: Shop
    limit: ShotLimit
    capacity: LiftCapacity
    thermal: Thermal | None = None

    @property
    def lift_limit(self) -> Term | None:
        """The sheet's lift limit, lowered where heat asks for it, m; None: the sheet has none."""
        foam = self.today.foam
        if self.thermal is not None and self.thermal.lift_limit is not None:
            return self.thermal.lift_limit.term("lift_limit")
        if foam.lift_limit is None:
            return None
        return Term("lift_limit", foam.lift_limit, "m", stated(foam, "lift_limit"))

    def for_width(self, width: float) -> "Setting":
        """As it is for a cavity whose foam is nowhere thicker than `width`, m.

        Foam that is narrower than the lift limit by heat keeps within it sideways, however thick
        its layers are: there the sheet's own limit counts.
        """
        lowered = None if self.thermal is None else self.thermal.lift_limit
        if self.thermal is None or lowered is None or width > lowered.value:
            return self
        return replace(self, thermal=replace(self.thermal, lift_limit=None))

    @property
    def lowered(self) -> Term | None:
        """The lift limit that heat lowers, m; None: it does not."""
        lowered = None if self.thermal is None else self.thermal.lift_limit
        return None if lowered is None else lowered.term("lift_limit")


def shot_limit(foam: Foam, mixing: HandMixing | MachineMixing) -> ShotLimit:
    """The largest bucket or machine shot: by the stated limit, and by the cream time.

    hand     pouring_rate * (cream - mixing - carrying)
    machine  rate * cream
    """
    cream = Term("cream_time", foam.cream_time, "s", stated(foam, "cream_time"))
    label = f"{foam.name}: largest shot that is out before the foam creams"
    if isinstance(mixing, HandMixing):
        by_time = work_out(
            label,
            "pouring_rate * (cream_time - mixing_time - carrying_time)",
            [
                Term("pouring_rate", mixing.pouring_rate, "kg/s", _SHOP),
                cream,
                Term("mixing_time", mixing.mixing_time, "s", _SHOP),
                Term("carrying_time", mixing.carrying_time, "s", _SHOP),
            ],
            unit="kg",
            source=COMMON_PRACTICE,
        )
        largest: float | None = mixing.batch_limit
    else:
        rate = Term("rate", mixing.rate, "kg/s", _SHOP)
        by_time = work_out(
            label, "rate * cream_time", [rate, cream], unit="kg", source=COMMON_PRACTICE
        )
        largest = mixing.shot_limit
    return _lesser(foam, by_time, largest)


def _lesser(foam: Foam, by_time: Line, largest: float | None) -> ShotLimit:
    """The lesser of the two; where no time is left, the stated one, which a stop goes with."""
    if largest is None:
        return ShotLimit(by_time.value, by_time.value, (by_time,))
    if by_time.value <= 0.0:
        return ShotLimit(largest, by_time.value, (by_time,))
    least = work_out(
        f"{foam.name}: largest shot",
        "min(by_time, stated_limit)",
        [by_time.term("by_time"), Term("stated_limit", largest, "kg", _SHOP)],
        unit="kg",
        source=COMPUTED,
    )
    return ShotLimit(least.value, by_time.value, (by_time, least))


def lift_capacity(foam: Foam, shop: Shop, shot: ShotLimit) -> LiftCapacity:
    """How much may go through one hole before the first of it creams, and the sheet's own limit.

    shot  the largest batch or shot
    All batches of a lift are in before its first one creams, counted from its first stir. The
    crew mixes side by side and pours one after another, because a hole takes one bucket at a
    time; a machine pours its shots one after another. As many rounds of batches as put most in:

    hand     min(crew * rounds * batch, pouring_rate * (cream - rounds * (mixing + carrying)
             - (rounds - 1) * turnaround))
    machine  rate * cream: it stays at its hole from shot to shot
    Where no time is left at all, which stops the pour, only the batches count.
    """
    if shot.by_time <= 0.0:
        bounds = [(_by_batch(foam, shop, shot, 1), LiftBound.BATCH)]
    else:
        most = math.floor(foam.cream_time / time_needed(foam, shop.mixing, shot.mass).value) + 1
        bounds = max(
            (_bounds(foam, shop, shot, rounds) for rounds in range(1, min(most, _ROUNDS) + 1)),
            key=lambda pair: min(line.value for line, _ in pair),
        )
    least, decides = min(bounds, key=lambda one: one[0].value)
    term = least.term("capacity")
    if foam.lift_mass_limit is not None and foam.lift_mass_limit < least.value:
        source, decides = stated(foam, "lift_mass_limit"), LiftBound.MASS
        term = Term("capacity", foam.lift_mass_limit, "kg", source)
    return LiftCapacity(term, decides, tuple(line for line, _ in bounds))


def _bounds(foam: Foam, shop: Shop, shot: ShotLimit, rounds: int) -> list[tuple[Line, LiftBound]]:
    """What so many rounds put in by the cream time and by the batches; of equals the first."""
    by_hand = isinstance(shop.mixing, HandMixing)
    return [
        (_by_cream(foam, shop, rounds), LiftBound.CREAM if by_hand else LiftBound.MACHINE),
        (_by_batch(foam, shop, shot, rounds), LiftBound.BATCH),
    ]


def _by_batch(foam: Foam, shop: Shop, shot: ShotLimit, rounds: int) -> Line:
    hands = 1 if isinstance(shop.mixing, MachineMixing) else shop.crew
    return work_out(
        f"{foam.name}: largest lift through one hole by its batches",
        "crew * rounds * batch",
        [Term("crew", hands, "1", _SHOP), Term("rounds", rounds, "1", _MOST), _batch(shot)],
        unit="kg",
        source=COMPUTED,
    )


def _by_cream(foam: Foam, shop: Shop, rounds: int) -> Line:
    label = f"{foam.name}: largest lift through one hole by its cream time"
    cream = Term("cream_time", foam.cream_time, "s", stated(foam, "cream_time"))
    if isinstance(shop.mixing, MachineMixing):
        rate = Term("rate", shop.mixing.rate, "kg/s", _SHOP)
        return work_out(
            label, "rate * cream_time", [rate, cream], unit="kg", source=COMMON_PRACTICE
        )
    return work_out(
        label,
        "pouring_rate * (cream_time - rounds * (mixing_time + carrying_time)"
        " - (rounds - 1) * turnaround)",
        [
            cream,
            Term("rounds", rounds, "1", _MOST),
            Term("turnaround", shop.turnaround, "s", _SHOP),
            Term("pouring_rate", shop.mixing.pouring_rate, "kg/s", _SHOP),
            Term("mixing_time", shop.mixing.mixing_time, "s", _SHOP),
            Term("carrying_time", shop.mixing.carrying_time, "s", _SHOP),
        ],
        unit="kg",
        source=COMMON_PRACTICE,
    )


def _batch(shot: ShotLimit) -> Term:
    """The largest batch, with the line that it comes from where there is one."""
    for line in shot.lines:
        if line.value == shot.mass:
            return line.term("batch")
    return Term("batch", shot.mass, "kg", _SHOP)


def time_needed(foam: Foam, mixing: HandMixing | MachineMixing, largest: float) -> Line:
    """How long the largest shot of a plan, kg, takes from the first stir to the last drop, s."""
    label = f"{foam.name}: time that the largest shot needs, from the first stir to the last drop"
    mass = Term("largest", largest, "kg", COMPUTED)
    if isinstance(mixing, HandMixing):
        formula = "mixing_time + carrying_time + largest / pouring_rate"
        terms = [
            Term("mixing_time", mixing.mixing_time, "s", _SHOP),
            Term("carrying_time", mixing.carrying_time, "s", _SHOP),
            Term("pouring_rate", mixing.pouring_rate, "kg/s", _SHOP),
        ]
    else:
        formula, terms = "largest / rate", [Term("rate", mixing.rate, "kg/s", _SHOP)]
    return work_out(label, formula, [mass, *terms], unit="s", source=COMMON_PRACTICE)
