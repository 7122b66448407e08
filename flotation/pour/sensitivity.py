"""What 1 % of density and 1 degree do to the kilograms of foam and to what they lift."""

from collections.abc import Sequence

from flotation.pour.cavity import Filled
from flotation.pour.outlook import Sensitivity
from flotation.pour.systems import System
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

_GAS = Source("gas volume goes with absolute temperature", mark=Mark.COMPUTED)
_LIFT = Source("weight of the displaced water less that of the foam", mark=Mark.COMPUTED)
_FLOOR = (
    "Least that a degree does. The real loss is larger: the reaction stops short at a cold wall "
    "and blowing agent condenses. Only a cup test at the shop's temperature tells it."
)


def sensitivity(
    systems: Sequence[System], filled: Sequence[Filled], temperature: float, water: float
) -> tuple[Sensitivity, ...]:
    """For each foam system: a cup 1 % heavier, and a shop 1 degree colder.

    temperature  of the shop, K; water  density that the boat floats in, kg/m3
    Followed: the cup test is made again and the quantities with it, so the foam fills its cavity
    and is heavier. Not followed: the quantities stay, so that share of the cavity stays empty and
    its lift is lost. The lift is of foam wholly under water, without the water that it takes up.
    """
    return tuple(
        found
        for system in systems
        for found in (
            _of_density(system, filled, water),
            _of_temperature(system, filled, temperature, water),
        )
    )


def _of_density(system: System, filled: Sequence[Filled], water: float) -> Sensitivity:
    share = 0.01
    lines = _lines(system, filled, Term("heavier", share, "1", COMPUTED), "1 % heavier", water)
    return _found(system, "density", (share, "1"), share, lines)


def _of_temperature(
    system: System, filled: Sequence[Filled], temperature: float, water: float
) -> Sensitivity:
    share = work_out(
        f"{system.foam.name}: by how much a shop 1 degree colder makes foam heavier",
        "degree / (temperature - degree)",
        [
            Term("degree", 1.0, "K", COMPUTED),
            Term("temperature", temperature, "K", Source("boat file", "shop", mark=Mark.STATED)),
        ],
        unit="1",
        source=_GAS,
        note=_FLOOR,
    )
    lines = _lines(system, filled, share.term("heavier"), "1 degree colder", water)
    return _found(system, "temperature", (-1.0, "K"), share.value, (share, *lines))


def _lines(
    system: System, filled: Sequence[Filled], heavier: Term, word: str, water: float
) -> tuple[Line, Line]:
    """More foam if the quantities follow, and the lift that is lost if they do not, kg."""
    pours = [one.pour for one in filled if one.pour.foam == system.foam.name]
    mass = Term("foam_mass", sum(pour.mass for pour in pours), "kg", COMPUTED)
    volume = Term("volume", sum(pour.volume for pour in pours), "m3", COMPUTED)
    more = work_out(
        f"{system.foam.name}, {word}: more foam, and that much less lift, if the quantities follow",
        "foam_mass * heavier",
        [mass, heavier],
        unit="kg",
        source=COMPUTED,
    )
    lost = work_out(
        f"{system.foam.name}, {word}: lift lost if the quantities stay and so much stays empty",
        "volume * water * (1 - 1 / (1 + heavier))",
        [
            volume,
            Term("water", water, "kg/m3", Source("boat file", "water", mark=Mark.STATED)),
            heavier,
        ],
        unit="kg",
        source=_LIFT,
        note="The mass stays, so what stays empty, and floods, is lost whole.",
    )
    return more, lost


def _found(
    system: System,
    cause: str,
    change: tuple[float, str],
    share: float,
    lines: tuple[Line, ...],
) -> Sensitivity:
    more, lost = lines[-2], lines[-1]
    return Sensitivity(
        foam=system.foam.name,
        cause=cause,
        change=change[0],
        unit=change[1],
        share=share,
        more_mass=more.value,
        lift_if_followed=more.value,
        lift_if_not=lost.value,
        lines=lines,
    )
