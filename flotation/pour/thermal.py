"""What the heat of every layer of one foam system is reckoned with, and the lift limit by heat.

A calculation may only lower the supplier's lift limit, and only on what the supplier states: the
range of the literature is far too wide to plan by.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from flotation.foamsystem import Foam, Shop
from flotation.pour.conduction import Matter, Release, Slab, first_pour
from flotation.pour.effects import HeatBasis
from flotation.pour.figures import figure
from flotation.pour.foam import FoamToday, stated
from flotation.pour.reaction_heat import Rise, rise_of
from flotation.pour.wording import both
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

CONDUCTION = Source(
    "conduction through laminate, foam and laminate, finite volumes",
    "heat given off evenly from cream to tack-free",
    mark=Mark.COMPUTED,
)
_HALVINGS = 10


@dataclass(frozen=True)
class Thermal:
    """The heat of one foam system on one day.

    start       K, of the liquids, the hull and the air
    core_limit, cool_to  K; the sheet's, or what the literature has
    limited     True: the sheet states the limit, and the rise is the supplier's or measured
    lift_limit  m by which heat lowers the sheet's lift limit; None: it does not
    stop        why no lift at all keeps within the sheet's own limit; "" where one does
    """

    rise: Rise
    start: Term
    core_limit: Term
    cool_to: Term
    release: Release
    limited: bool
    lift_limit: Line | None = None
    stop: str = ""

    def share_of(self, temperature: Term) -> float:
        """What share of the high rise brings the foam to a temperature."""
        return (temperature.value - self.start.value) / self.rise.high.value

    @property
    def lines(self) -> tuple[Line, ...]:
        """How it was calculated."""
        return (*self.rise.lines, *(() if self.lift_limit is None else (self.lift_limit,)))


def slab_of(thickness: float, density: float, laminate: float) -> Slab:
    """Foam of a thickness, m, and density, kg/m3, between laminates of a thickness, m."""
    laminates = figure("laminate_density").value * figure("laminate_heat_capacity").value
    return Slab(
        thickness,
        Matter(figure("conductivity").value, density * figure("heat_capacity").value),
        Matter(figure("laminate_conductivity").value, laminates),
        laminate if laminate > 0.0 else figure("thin_laminate").value,
        figure("air_film").value,
    )


def thermal_of(today: FoamToday, shop: Shop) -> Thermal:
    """The heat of a foam system: rise, limits, and what they make of the sheet's lift limit."""
    foam, heat = today.foam, today.foam.heat
    release = Release(foam.cream_time, foam.tack_free_time)
    density = today.minimum_fill.value
    core = heat.measured_core
    share = None
    if core is not None:
        share = first_pour(slab_of(core.thickness, density, 0.0), release).peak
    rise = rise_of(foam, today.share_a.term("share_a"), share)
    thermal = Thermal(
        rise,
        Term("start", shop.temperature, "K", Source("boat file", "shop temperature", "",
                                                    Mark.STATED)),
        _limit(foam, "core_limit", "scorch"),
        _limit(foam, "cool_to", "cool_enough"),
        release,
        heat.core_limit is not None and rise.basis is not HeatBasis.LITERATURE,
    )  # fmt: skip
    return _lowered(thermal, foam, density * foam.overpack)


def _limit(foam: Foam, symbol: str, usual: str) -> Term:
    value = foam.heat.core_limit if symbol == "core_limit" else foam.heat.cool_to
    if value is not None:
        return Term(symbol, value, "K", stated(foam, f"heat, {symbol}"))
    found = figure(usual)
    return Term(symbol, found.value, "K", found.source)


def _lowered(thermal: Thermal, foam: Foam, density: float) -> Thermal:
    """The lift limit lowered until a layer on cool foam keeps within the sheet's core limit."""
    if thermal.start.value >= min(thermal.core_limit.value, thermal.cool_to.value):
        stop = (
            f"{foam.name}: the shop is at {both(thermal.start.value, 'K')}, no cooler than a core "
            "may be. Cool the shop."
        )
        return _with(thermal, None, stop)
    share = thermal.share_of(thermal.core_limit)
    if not thermal.limited or foam.lift_limit is None:
        return thermal

    def too_hot(thickness: float) -> bool:
        slab = slab_of(thickness, density, 0.0)
        return first_pour(slab, thermal.release).peak > share

    if not too_hot(foam.lift_limit):
        return thermal
    thin = figure("thinnest_lift").value
    if thin >= foam.lift_limit or too_hot(thin):
        stop = (
            f"{foam.name}: by the sheet's own heat even a layer of "
            f"{both(min(thin, foam.lift_limit), 'm')} gets hotter than the "
            f"{both(thermal.core_limit.value, 'K')} that it lets a core reach. Ask the supplier."
        )
        return _with(thermal, None, stop)
    return _with(thermal, _lower_limit(foam, _thickest(thin, foam.lift_limit, too_hot)), "")


def _thickest(cool: float, hot: float, too_hot: Callable[[float], bool]) -> float:
    for _ in range(_HALVINGS):
        middle = 0.5 * (cool + hot)
        cool, hot = (cool, middle) if too_hot(middle) else (middle, hot)
    return cool


def _lower_limit(foam: Foam, thickest: float) -> Line:
    assert foam.lift_limit is not None
    return work_out(
        f"{foam.name}: lift limit, lowered so that the core keeps within the sheet's limit",
        "min(lift_limit, thickest)",
        [
            Term("lift_limit", foam.lift_limit, "m", stated(foam, "lift_limit")),
            Term("thickest", thickest, "m", CONDUCTION),
        ],
        unit="m",
        source=COMPUTED,
        note="Each layer on foam that has cooled. A calculation may lower the sheet's limit only.",
    )


def _with(thermal: Thermal, lift_limit: Line | None, stop: str) -> Thermal:
    return replace(thermal, lift_limit=lift_limit, stop=stop)
