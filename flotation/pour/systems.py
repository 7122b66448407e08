"""Each foam system that is poured: its numbers for the day, and what stops it."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Boat
from flotation.foamsystem import Foam, HandMixing, Shop
from flotation.pour.cavity import Filled
from flotation.pour.figures import figure
from flotation.pour.foam import (
    closing_pressure,
    expansion,
    foam_today,
    ratio_in_other_basis,
    stated,
)
from flotation.pour.limits import Setting, lift_capacity, shot_limit, time_needed
from flotation.pour.pourplan import OrderTotal
from flotation.pour.thermal import thermal_of
from flotation.pour.wording import both, span
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out


@dataclass(frozen=True)
class System:
    """A foam system as this plan uses it.

    pressure   Pa, of a closing lift that is poured as planned
    warm_cream s, cream time with the liquids as warm as they may be; None if no warmer than the
               sheet's test
    expansion  density of the mixed liquid, most and least expansion, and what a stated one means
    stops      reasons why this system may not be poured today
    """

    setting: Setting
    pressure: Line
    warm_cream: Line | None
    expansion: tuple[Line, ...]
    stops: tuple[str, ...]

    @property
    def foam(self) -> Foam:
        """The data sheet."""
        return self.setting.today.foam

    @property
    def lines(self) -> tuple[Line, ...]:
        """Everything that was calculated for the whole system."""
        today = self.setting.today
        return (
            today.minimum_fill,
            today.share_a,
            ratio_in_other_basis(self.foam),
            *self.expansion,
            *self.setting.limit.lines,
            *self.setting.capacity.lines,
            *(() if self.warm_cream is None else (self.warm_cream,)),
            self.pressure,
            *(() if self.setting.thermal is None else self.setting.thermal.lines),
        )


def systems_of(boat: Boat) -> tuple[System, ...]:
    """The foam systems that the boat's cavities name, in the order of its foam table."""
    poured = {cavity.foam for cavity in boat.cavities}
    return tuple(_system(foam, boat.shop) for foam in boat.foams if foam.name in poured)


def order_total(system: System, filled: Sequence[Filled]) -> tuple[OrderTotal, tuple[Line, ...]]:
    """What to order of one system, waste included, and the sums of A and of B."""
    foam = system.foam
    pours = [one.pour for one in filled if one.pour.foam == foam.name]
    symbols = [f"cavity_{i}" for i in range(1, len(pours) + 1)]
    names = ", ".join(pour.cavity for pour in pours)
    lines = [
        work_out(
            f"{foam.name}: {what} to order",
            " + ".join(symbols),
            [
                Term(symbol, value, unit, COMPUTED, f"{pour.cavity}: {what}")
                for symbol, value, pour in zip(symbols, values, pours, strict=True)
            ],
            unit=unit,
            source=COMPUTED,
            note=f"Cavities in order: {names}.",
        )
        for what, unit, values in (
            ("A", "kg", [pour.mass_a for pour in pours]),
            ("B", "kg", [pour.mass_b for pour in pours]),
            ("A by volume", "m3", [pour.volume_a for pour in pours]),
            ("B by volume", "m3", [pour.volume_b for pour in pours]),
        )
    ]
    mass_a, mass_b, volume_a, volume_b = (line.value for line in lines)
    return OrderTotal(foam.name, mass_a, mass_b, volume_a, volume_b), tuple(lines)


def time_line(system: System, filled: Sequence[Filled]) -> Line:
    """How long the largest shot that the plan pours of one system takes, s."""
    pours = [one.pour for one in filled if one.pour.foam == system.foam.name]
    largest = max(shot.mass for pour in pours for lift in pour.lifts for shot in lift.shots)
    return time_needed(system.foam, system.setting.shop.mixing, largest)


def mass_range(system: System, filled: Sequence[Filled]) -> tuple[Line, Line]:
    """Mixed mass of one system with the lightest and the heaviest cup that the sheet allows, kg."""
    today = system.setting.today
    mixed = sum(one.pour.mixed_mass for one in filled if one.pour.foam == system.foam.name)
    ends = (("least", today.cup.low), ("most", today.cup.high))
    least, most = (
        work_out(
            f"{system.foam.name}: {word} mass to mix within the sheet's cup limits",
            "mixed * limit / cup",
            [
                Term("mixed", mixed, "kg", COMPUTED),
                Term("limit", limit, "kg/m3", stated(system.foam, "cup_limits")),
                Term("cup", today.cup.density, "kg/m3", stated(system.foam, "free_rise_density")),
            ],
            unit="kg",
            source=COMPUTED,
        )
        for word, limit in ends
    )
    return least, most


def _system(foam: Foam, shop: Shop) -> System:
    today = foam_today(foam, shop)
    thermal = thermal_of(today, shop)
    shot = shot_limit(foam, shop.mixing)
    setting = Setting(today, shop, shot, lift_capacity(foam, shop, shot), thermal)
    hot = (thermal.stop,) if thermal.stop else ()
    return System(
        setting,
        closing_pressure(today),
        _warm_cream(foam, shop),
        expansion(today),
        (*_cup_stops(setting), *_temperature_stops(foam, shop), *_time_stops(setting), *hot),
    )


def _cup_stops(setting: Setting) -> tuple[str, ...]:
    cup = setting.today.cup
    if cup.date is None or cup.low <= cup.density <= cup.high:
        return ()
    word = "lighter" if cup.density < cup.low else "heavier"
    return (
        f"{cup.foam}: the cup test of {cup.date} gave {both(cup.density, 'kg/m3')}, {word} than "
        f"the sheet allows ({span(cup.low, cup.high, 'kg/m3')}). Find out why (ratio, mixing, "
        "temperature, age of the lot) and make a new cup test.",
    )


def _temperature_stops(foam: Foam, shop: Shop) -> tuple[str, ...]:
    """The liquids and the hull are taken to be as warm as the shop."""
    made = []
    for what, low, high in (
        ("liquids", foam.liquid_low, foam.liquid_high),
        ("hull", foam.hull_low, foam.hull_high),
    ):
        too_cold = low is not None and shop.temperature < low
        if too_cold or (high is not None and shop.temperature > high):
            made.append(
                f"{foam.name}: the shop is at {both(shop.temperature, 'K')}; the sheet's limits "
                f"of the {what} are {span(low, high, 'K')}. {'Warm' if too_cold else 'Cool'} the "
                "shop, and make a cup test at the new temperature."
            )
    return tuple(made)


def _time_stops(setting: Setting) -> tuple[str, ...]:
    mixing, foam = setting.shop.mixing, setting.today.foam
    if setting.limit.by_time > 0.0 or not isinstance(mixing, HandMixing):
        return ()
    spent = mixing.mixing_time + mixing.carrying_time
    return (
        f"{foam.name}: mixing and carrying take {both(spent, 's')}, and the foam creams after "
        f"{both(foam.cream_time, 's')}: no batch can be poured in time. Mix nearer to the boat, "
        "or use a machine or a slower system.",
    )


def _warm_cream(foam: Foam, shop: Shop) -> Line | None:
    warmest = shop.temperature
    if foam.liquid_high is not None:
        warmest = max(warmest, foam.liquid_high)
    if warmest <= foam.sheet_temperature:
        return None
    return work_out(
        f"{foam.name}: cream time with the liquids as warm as they may be",
        "cream_time / 2 ** ((warmest - sheet_temperature) / halving)",
        [
            Term("cream_time", foam.cream_time, "s", stated(foam, "cream_time")),
            Term("warmest", warmest, "K", stated(foam, "liquid_temperature, or the shop's")),
            Term(
                "sheet_temperature", foam.sheet_temperature, "K", stated(foam, "sheet_temperature")
            ),
            figure("halving"),
        ],
        unit="s",
        source=Source("rule of thumb: 10 K warmer halves the times", mark=Mark.RECALLED),
        note="For the caution only; the limit of a shot follows the sheet's cream time.",
    )
