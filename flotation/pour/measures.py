"""Go and no-go limits: what is measured before the first batch, per foam system."""

from collections.abc import Sequence

from flotation.foamsystem import Foam
from flotation.pour.cavity import Filled
from flotation.pour.figures import figure
from flotation.pour.foam import stated
from flotation.pour.pourplan import Check, CheckKind
from flotation.pour.systems import System, time_line
from flotation.pour.wording import span
from flotation.workings import COMMON_PRACTICE, Source


def measures(systems: Sequence[System], filled: Sequence[Filled]) -> tuple[Check, ...]:
    """Liquids, hull, cup test and its cream time; each with the limits between which it is a go."""
    return tuple(
        check
        for system in systems
        for check in (
            _temperature(system.foam, "liquids"),
            _temperature(system.foam, "hull"),
            _cup(system.foam),
            _cream(system, filled),
        )
    )


def _temperature(foam: Foam, what: str) -> Check:
    """The sheet's limits; the usual ones, marked as recalled, where it states none."""
    if what == "liquids":
        low, high, entry = foam.liquid_low, foam.liquid_high, "liquid_temperature"
    else:
        low, high, entry = foam.hull_low, foam.hull_high, "hull_temperature"
    source, doubt = stated(foam, entry), ""
    if low is None and high is None:
        usual_low, usual_high = figure(f"{what}_low"), figure(f"{what}_high")
        low, high = usual_low.value, usual_high.value
        source = usual_low.source or COMMON_PRACTICE
        doubt = " The sheet gives no limits; these are usual ones: ask the supplier."
    return _measured(foam, what, source, (low, high, "K"), doubt)


def _cup(foam: Foam) -> Check:
    limits = (foam.free_rise_low, foam.free_rise_high, "kg/m3")
    doubt = " From this lot, at the temperature of the shop, on the day."
    return _measured(foam, "cup test", stated(foam, "cup_limits"), limits, doubt)


def _cream(system: System, filled: Sequence[Filled]) -> Check:
    """The cup must not cream sooner than the largest batch or shot of the plan is out."""
    needed = time_line(system, filled)
    doubt = " Sooner than that, the largest batch or shot is not out before it creams."
    return _measured(system.foam, "cream time", needed.source, (needed.value, None, "s"), doubt)


def _measured(
    foam: Foam,
    quantity: str,
    source: Source,
    limits: tuple[float | None, float | None, str],
    doubt: str,
) -> Check:
    low, high, unit = limits
    return Check(
        CheckKind.MEASURE,
        f"{foam.name}, {quantity}: {span(low, high, unit)}; otherwise no foam is poured.{doubt}",
        source,
        foam=foam.name,
        quantity=quantity,
        low=low,
        high=high,
        unit=unit,
    )
