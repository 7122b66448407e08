"""Text with a unit -> SI float, and the way back for print.

The reader takes text only: a bare number is refused, never given a unit. `text` splits it
into one number and one unit; here the unit library turns the pair into SI, after its dimension
was compared with what the entry expects. Only this file knows the unit library, which is loaded
at the first reading, with a registry of our own that counts in decimals: 1 ft^3 is exactly
0.028316846592 m3. No object of the library leaves this file.

Customary units are those of the United States: a pound is 0.45359237 kg, a horsepower
550 ft lbf/s ("PS" or "metric hp" is 75 kgf m/s). Temperatures are absolute, so that "70 F" and
"20 C" can only mean one thing where a temperature is expected.
"""

import math
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from functools import cache
from importlib.resources import as_file, files
from typing import TYPE_CHECKING, NamedTuple

from flotation.errors import Fault, UnitError
from flotation.units.scales import SCALES, SI_NAMES, SIXTEENTH, Scale, System
from flotation.units.text import Measure, measure, shorten

if TYPE_CHECKING:
    import pint


@dataclass(frozen=True)
class Expectation:
    """What an entry expects: its name, the SI unit that is handed out, an example to copy.

    only  spellings that alone will do where the dimension does not tell enough
    """

    name: str
    si: str
    example: str
    only: frozenset[str] = frozenset()


class Kind(Enum):
    """Kinds of quantity that files state."""

    LENGTH = Expectation("a length", "meter", "1.84 m")
    AREA = Expectation("an area", "meter**2", "0.35 m^2")
    VOLUME = Expectation("a volume", "meter**3", "40 L")
    MASS = Expectation("a mass", "kilogram", "182 kg")
    DENSITY = Expectation("a density", "kilogram/meter**3", "32 kg/m^3")
    TEMPERATURE = Expectation(
        "a temperature",
        "kelvin",
        "20 degC",
        frozenset({"degree_Celsius", "degree_Fahrenheit", "kelvin"}),
    )
    TIME = Expectation("a time", "second", "45 s")
    MASS_RATE = Expectation("a rate of mass", "kilogram/second", "0.5 kg/s")
    POWER = Expectation("a power", "watt", "30 hp")
    FORCE = Expectation("a force", "newton", "4 kN")
    PRESSURE = Expectation("a pressure", "pascal", "10 kPa")
    ACCELERATION = Expectation("an acceleration", "meter/second**2", "9.81 m/s^2")
    ANGLE = Expectation("an angle", "radian", "2 deg", frozenset({"degree", "radian"}))
    SHARE = Expectation("a share", "", "5 %", frozenset({"percent"}))


_OFFSET = {"degree_Celsius", "degree_Fahrenheit"}

_MEANT: dict[tuple[Kind, str], str] = {
    (Kind.DENSITY, "pound"): "lb/ft^3",
    (Kind.FORCE, "pound"): "lbf",
    (Kind.FORCE, "kilogram"): "kgf",
    (Kind.PRESSURE, "pound"): "psi",
    (Kind.VOLUME, "ounce"): "US fl oz",
    (Kind.VOLUME, "foot"): "ft^3",
    (Kind.VOLUME, "inch"): "in^3",
    (Kind.AREA, "foot"): "ft^2",
    (Kind.AREA, "inch"): "in^2",
}


def read(text: object, kind: Kind, where: str = "") -> float:
    """The SI value that a text states.

    text   one number and one unit, or a mixed measure such as "6 ft 2 3/8 in"
    kind   what the entry expects
    where  file and entry, for the message
    Returns m, m2, m3, kg, kg/m3, K, s, kg/s, W, N, m/s2, Pa, rad, or a share of 1. Raises
    UnitError.

    >>> read("6 ft 2 3/8 in", Kind.LENGTH)
    1.889125
    >>> read("70 F", Kind.TEMPERATURE)
    294.2611111111111
    """
    expected = kind.value
    advice = f'Write {expected.name} with its unit, such as "{expected.example}".'
    if not isinstance(text, str):
        raise UnitError(Fault(where, f"{text!r} is not text with a unit", advice))
    try:
        return _si(measure(text), kind)
    except UnitError as error:
        fault = error.faults[0]
        problem = f'"{shorten(text)}" {fault.problem}'
        raise UnitError(Fault(where, problem, fault.remedy or advice)) from None


def _si(given: Measure, kind: Kind) -> float:
    expected = kind.value
    only = expected.only
    if not (given.unit in only if only else _same_dimension(given.unit, expected.si)):
        meant = _MEANT.get((kind, given.unit), "")
        remedy = f'Is "{given.number} {meant}" meant?' if meant else ""
        raise UnitError(Fault("", f"is not {expected.name}", remedy))
    value = _converted(given.number, given.unit, expected.si)
    if kind is Kind.TEMPERATURE and value < 0.0:
        raise UnitError(Fault("", "is below absolute zero", ""))
    return value


@cache
def _same_dimension(unit: str, other: str) -> bool:
    units = _registry()
    return bool(units.Unit(unit).dimensionality == units.Unit(other).dimensionality)


def _converted(value: Decimal, unit: str, wanted: str) -> float:
    if _OFFSET & {unit, wanted}:
        return float(_registry().Quantity(value, unit).to(wanted).magnitude)
    return float(value * _factor(unit, wanted))


@cache
def _factor(unit: str, wanted: str) -> Decimal:
    """What one unit is in the wanted one; for units without an offset."""
    return Decimal(_registry().Quantity(Decimal(1), unit).to(wanted).magnitude)


@cache
def _registry() -> "pint.UnitRegistry[Decimal]":
    """A registry of our own, of our own units; the one that other packages share is left alone."""
    import pint  # noqa: PLC0415 - a third of a second, spent only where a unit is met

    with as_file(files("flotation") / "data" / "units.txt") as definitions:
        return pint.UnitRegistry(definitions, non_int_type=Decimal)


def dimension_of(unit: str) -> dict[str, float]:
    """Dimensions of an SI unit as `shown` names it, with their powers; none for "1" and "rad".

    Raises KeyError for another unit.

    >>> dimension_of("kg/m3")
    {'[length]': -3.0, '[mass]': 1.0}
    """
    powers = _registry().Unit(SI_NAMES[unit]).dimensionality
    return {str(name): float(str(power)) for name, power in sorted(powers.items())}


def length(text: object, where: str = "") -> float:
    """A length, m; see `read`."""
    return read(text, Kind.LENGTH, where)


def area(text: object, where: str = "") -> float:
    """An area, m2; see `read`."""
    return read(text, Kind.AREA, where)


def volume(text: object, where: str = "") -> float:
    """A volume, m3; see `read`."""
    return read(text, Kind.VOLUME, where)


def mass(text: object, where: str = "") -> float:
    """A mass, kg; see `read`."""
    return read(text, Kind.MASS, where)


def density(text: object, where: str = "") -> float:
    """A density, kg/m3; see `read`."""
    return read(text, Kind.DENSITY, where)


def temperature(text: object, where: str = "") -> float:
    """An absolute temperature, K; see `read`."""
    return read(text, Kind.TEMPERATURE, where)


def time(text: object, where: str = "") -> float:
    """A time, s; see `read`."""
    return read(text, Kind.TIME, where)


def mass_rate(text: object, where: str = "") -> float:
    """A rate of mass, kg/s; see `read`."""
    return read(text, Kind.MASS_RATE, where)


def power(text: object, where: str = "") -> float:
    """A power, W; see `read`."""
    return read(text, Kind.POWER, where)


def force(text: object, where: str = "") -> float:
    """A force, N; see `read`."""
    return read(text, Kind.FORCE, where)


def acceleration(text: object, where: str = "") -> float:
    """An acceleration, m/s2; see `read`."""
    return read(text, Kind.ACCELERATION, where)


def pressure(text: object, where: str = "") -> float:
    """A pressure, Pa; see `read`."""
    return read(text, Kind.PRESSURE, where)


def angle(text: object, where: str = "") -> float:
    """An angle, rad; see `read`."""
    return read(text, Kind.ANGLE, where)


def share(text: object, where: str = "") -> float:
    """A share of 1, written in percent; see `read`."""
    return read(text, Kind.SHARE, where)


class Shown(NamedTuple):
    """A value as text and its unit as text; `str` joins them."""

    value: str
    unit: str

    def __str__(self) -> str:
        """Value and unit; the degree of an angle stands close."""
        return f"{self.value}{'' if self.unit in ('', '°') else ' '}{self.unit}"


def shown(
    value: float, unit: str, system: System, *, digits: int = 4, coherent: bool = False
) -> Shown:
    """A value in the unit that a reader of this system expects.

    value     in SI `unit`: m, m2, m3, kg, kg/m3, s, K, rad, N, Pa, kg/s, W, kg m, N m, m/s2 or 1
    digits    significant digits; whole digits are never dropped, and a value that needs fewer
              is shown with fewer
    coherent  False: the unit goes with the size (mm or m, L or m³, oz or lb). True: one unit
              whatever the size, so that numbers put into a formula work out (m, m³, kg; ft,
              ft³, lb)
    Raises KeyError for another unit, ValueError for a value that is not finite.

    >>> str(shown(0.0388, "m3", System.SI)), str(shown(0.0388, "m3", System.US))
    ('38.8 L', '1.370 ft³')
    """
    scales = SCALES[unit, system]
    if coherent:
        return _on_scale(value, unit, scales[0], digits)
    for scale in scales[:-1]:
        found = _converted(Decimal(value), SI_NAMES[unit], scale.unit)
        if abs(found) >= scale.least:
            return Shown(number(found, digits), scale.label)
    return _on_scale(value, unit, scales[-1], digits)


def _on_scale(value: float, unit: str, scale: Scale, digits: int) -> Shown:
    found = _converted(Decimal(value), SI_NAMES[unit], scale.unit)
    return Shown(number(found, digits), scale.label)


def si(value: float, unit: str, digits: int = 4) -> Shown:
    """A value in practical SI units: mm, m, L, g, kg, kg/m³, °C, °, N, kPa; see `shown`."""
    return shown(value, unit, System.SI, digits=digits)


def us(value: float, unit: str, digits: int = 4) -> Shown:
    """A value in US customary units: in, ft, US fl oz, ft³, oz, lb, lb/ft³, °F, lbf, psi."""
    return shown(value, unit, System.US, digits=digits)


def us_liquid(value: float, digits: int = 4) -> Shown:
    """A volume of liquid, m3, in US fluid ounces below a gallon and in US gallons from there."""
    gallons = _converted(Decimal(value), "meter**3", "US_liquid_gallon")
    if abs(gallons) >= 1.0:
        return Shown(number(gallons, digits), "US gal")
    return _on_scale(value, "m3", SCALES["m3", System.US][-1], digits)


def percent(value: float, digits: int = 3) -> Shown:
    """A share of 1 in percent."""
    return Shown(number(value * 100.0, digits), "%")


def feet_inches(value: float) -> str:
    """A length, m, as a tape shows it: feet, inches and the nearest sixteenth, halves away from 0.

    >>> feet_inches(1.889125)
    '6 ft 2 3/8 in'
    """
    sixteenths = math.floor(abs(value) / SIXTEENTH + 0.5)
    inches, over = divmod(sixteenths, 16)
    feet, inches = divmod(inches, 12)
    small = Fraction(over, 16)
    words = [f"{feet} ft"] if feet else []
    words += [f"{inches}"] if inches or not small else []
    words += [f"{small}"] if small else []
    return f"{'-' if value < 0.0 and sixteenths else ''}{' '.join(words)} in"


def number(value: float, digits: int = 4) -> str:
    """A number with so many significant digits, without an exponent.

    Whole digits are never dropped ("12346"). Zeros at the end are dropped where they say
    nothing: 32.0 is "32", and 5.44001 is "5.440". Raises ValueError unless it is finite.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} cannot be shown")
    exponent = int(f"{value:.{digits - 1}e}".partition("e")[2]) if value else 0
    text = f"{value:.{max(0, digits - 1 - exponent)}f}"
    if "." in text and math.isclose(float(text), value, rel_tol=1e-12):
        text = text.rstrip("0").rstrip(".")
    return "0" if float(text) == 0.0 else text
