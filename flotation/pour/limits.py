"""What bounds one bucket or one machine shot: the mass mixed at once, and the cream time."""

from dataclasses import dataclass

from flotation.foamsystem import Foam, HandMixing, MachineMixing, Shop
from flotation.pour.foam import FoamToday, stated
from flotation.pour.thermal import Thermal
from flotation.workings import COMMON_PRACTICE, COMPUTED, Line, Mark, Source, Term, work_out

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
class Setting:
    """What every cavity of one foam system shares: the foam today, the shop, the largest shot.

    thermal  what its heat is reckoned with; None: heat is not asked for
    """

    today: FoamToday
    shop: Shop
    limit: ShotLimit
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
