"""How hot each layer of foam in a cavity gets, and how long it stays hot."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from flotation.boat import Cavity
from flotation.geometry.inscribed import Ball
from flotation.pour.conduction import Course, first_pour, pour_on
from flotation.pour.effects import Heat
from flotation.pour.figures import figure
from flotation.pour.thermal import CONDUCTION, Thermal, slab_of
from flotation.pour.widest import largest
from flotation.workings import COMPUTED, Line, Term, work_out


@dataclass(frozen=True)
class Thick:
    """One layer: its own thickness straight up, m, and the largest ball in the foam so far."""

    label: str
    thickness: float
    ball: Ball

    @property
    def widest(self) -> float:
        """m, at the most."""
        return 2.0 * (self.ball.radius + self.ball.error)


def heat_of_layers(
    cavity: Cavity, thick: Sequence[Thick], density: Term, wait: float, thermal: Thermal
) -> tuple[Heat, ...]:
    """The heat of each layer of a cavity, the lowest first.

    density  kg/m3 in place; wait  s, after which the next layer may come but for heat
    Heat flows to the nearest sides, in one direction, through foam as thick as the largest ball
    that fits in all the foam so far: the layers below are still hot after a gel wait. At the
    widest place that is an upper estimate, because heat leaves it in the other directions too.
    Where the sheet states how hot a core may get and a layer on hot foam would exceed that, the
    layer before it must cool first, `before_next`: on cool foam it keeps within, because the lift
    limit by heat sees to that.
    """
    allowed = thermal.share_of(thermal.core_limit)
    found: list[Heat] = []
    below: Course | None = None
    for layer in thick:
        fresh = min(layer.widest, layer.thickness)
        alone = first_pour(slab_of(fresh, density.value, cavity.moved_in), thermal.release)
        course = alone
        if below is not None:
            whole = min(layer.widest, fresh + below.slab.thickness)
            slab = slab_of(whole, density.value, cavity.moved_in)
            course = pour_on(below, wait, slab, fresh)
        if found and thermal.limited and course.peak > allowed:
            found[-1] = replace(found[-1], before_next=max(wait, found[-1].cool_down))
            course = alone
        found.append(_heat(layer.label, layer.ball, course, density, thermal))
        below = course
    return tuple(found)


def _heat(label: str, ball: Ball, course: Course, density: Term, thermal: Thermal) -> Heat:
    rise = thermal.rise
    share = Term("peak_share", course.peak, "1", CONDUCTION)
    low, high = (
        work_out(
            f"{label}: hottest that the core gets, {end} end",
            "start + rise * peak_share",
            [thermal.start, term, share],
            unit="K",
            source=COMPUTED,
        )
        for end, term in (("low", rise.low), ("high", rise.high))
    )
    from_limit, to_limit = course.spell(thermal.share_of(thermal.core_limit))
    _, cooled = course.spell(thermal.share_of(thermal.cool_to))
    width = Term("width", course.slab.thickness, "m", largest(ball))
    hot, cold = (f"{term.value - 273.15:.4g} °C" for term in (thermal.core_limit, thermal.cool_to))
    said = f"{label}: time that the core is above {hot}, high end"
    above = _time(said, to_limit - from_limit, width, density)
    said = f"{label}: time from the pour until the core is below {cold}, high end"
    cool = _time(said, cooled, width, density)
    return Heat(
        thickness=course.slab.thickness,
        thickness_error=2.0 * ball.error,
        adiabatic_low=rise.low.value,
        adiabatic_high=rise.high.value,
        peak_low=low.value,
        peak_high=high.value,
        core_limit=thermal.core_limit.value,
        core_limit_stated=thermal.limited,
        above_limit=above.value,
        cool_to=thermal.cool_to.value,
        cool_down=cool.value,
        before_next=0.0,
        basis=rise.basis,
        lines=(low, high, above, cool),
    )


def _time(label: str, seconds: float, width: Term, density: Term) -> Line:
    """A time that the conduction gave, as the Fourier number that it is."""
    conductivity, capacity = figure("conductivity"), figure("heat_capacity")
    diffusivity = conductivity.value / (density.value * capacity.value)
    fourier = seconds * diffusivity / (0.5 * width.value) ** 2
    return work_out(
        label,
        "fourier * (width / 2) ** 2 * density * heat_capacity / conductivity",
        [Term("fourier", fourier, "1", CONDUCTION), width, density, capacity, conductivity],
        unit="s",
        source=COMPUTED,
    )
