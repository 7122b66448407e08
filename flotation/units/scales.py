"""Which unit a value is shown in: for each SI unit and each system, the units by size."""

from dataclasses import dataclass
from enum import Enum


class System(Enum):
    """Units that a reader is used to."""

    SI = "SI"
    US = "US customary"


@dataclass(frozen=True)
class Scale:
    """One unit for print, used from `least` of it upwards.

    unit   as the unit library names it
    label  as it is printed; the reader of `units` reads it back
    """

    unit: str
    label: str
    least: float = 0.0


SIXTEENTH = 0.0254 / 16

SI_NAMES: dict[str, str] = {
    "m": "meter",
    "m2": "meter**2",
    "m3": "meter**3",
    "kg": "kilogram",
    "kg/m3": "kilogram/meter**3",
    "s": "second",
    "K": "kelvin",
    "K difference": "kelvin",
    "N/m": "newton/meter",
    "m3/s": "meter**3/second",
    "m/s": "meter/second",
    "W/(m2 K)": "watt/meter**2/kelvin",
    "mol/kg": "mole/kilogram",
    "kg/mol": "kilogram/mole",
    "J/mol": "joule/mole",
    "J/kg": "joule/kilogram",
    "J/(mol K)": "joule/mole/kelvin",
    "m3/kg": "meter**3/kilogram",
    "rad": "radian",
    "N": "newton",
    "Pa": "pascal",
    "kg/s": "kilogram/second",
    "W": "watt",
    "kg m": "kilogram*meter",
    "N m": "newton*meter",
    "m/s2": "meter/second**2",
    "J/(kg K)": "joule/kilogram/kelvin",
    "W/(m K)": "watt/meter/kelvin",
    "1": "",
}

_ONLY_FOR_FORMULAS = 1e30

_SI: dict[str, tuple[Scale, ...]] = {
    "m": (Scale("meter", "m", 1.0), Scale("millimeter", "mm")),
    "m2": (Scale("meter**2", "m²"),),
    "m3": (Scale("meter**3", "m³", 1.0), Scale("liter", "L")),
    "kg": (Scale("kilogram", "kg", 1.0), Scale("gram", "g")),
    "kg/m3": (Scale("kilogram/meter**3", "kg/m³"),),
    "s": (Scale("second", "s"),),
    "K": (Scale("degree_Celsius", "°C"),),
    "K difference": (Scale("kelvin", "K"),),
    "m3/kg": (Scale("meter**3/kilogram", "m³/kg"),),
    "N/m": (Scale("newton/meter", "N/m"),),
    "rad": (Scale("degree", "°"),),
    "N": (Scale("newton", "N"),),
    "Pa": (
        Scale("pascal", "Pa", _ONLY_FOR_FORMULAS),
        Scale("megapascal", "MPa", 1.0),
        Scale("kilopascal", "kPa"),
    ),
    "kg/s": (Scale("kilogram/second", "kg/s"),),
    "m3/s": (
        Scale("meter**3/second", "m³/s", _ONLY_FOR_FORMULAS),
        Scale("liter/second", "L/s"),
    ),
    "W": (Scale("watt", "W", _ONLY_FOR_FORMULAS), Scale("kilowatt", "kW")),
    "kg m": (Scale("kilogram*meter", "kg·m"),),
    "N m": (Scale("newton*meter", "N·m"),),
    "m/s2": (Scale("meter/second**2", "m/s²"),),
    "1": (Scale("", ""),),
}

_US: dict[str, tuple[Scale, ...]] = {
    "m": (Scale("foot", "ft", 3.0), Scale("inch", "in")),
    "m2": (Scale("foot**2", "ft²"),),
    "m3": (Scale("foot**3", "ft³", 0.1), Scale("US_fluid_ounce", "US fl oz")),
    "kg": (Scale("pound", "lb", 1.0), Scale("ounce", "oz")),
    "kg/m3": (Scale("pound/foot**3", "lb/ft³"),),
    "s": (Scale("second", "s"),),
    "K": (Scale("degree_Fahrenheit", "°F"),),
    "K difference": (Scale("kelvin", "K"),),
    "m3/kg": (Scale("foot**3/pound", "ft³/lb"),),
    "N/m": (Scale("force_pound/inch", "lbf/in"),),
    "rad": (Scale("degree", "°"),),
    "N": (Scale("force_pound", "lbf"),),
    "Pa": (
        Scale("force_pound/foot**2", "lbf/ft²", _ONLY_FOR_FORMULAS),
        Scale("force_pound/inch**2", "psi"),
    ),
    "kg/s": (Scale("pound/second", "lb/s"),),
    "m3/s": (
        Scale("foot**3/second", "ft³/s", _ONLY_FOR_FORMULAS),
        Scale("foot**3/minute", "ft³/min"),
    ),
    "W": (Scale("horsepower", "hp"),),
    "kg m": (Scale("pound*foot", "lb·ft"),),
    "N m": (Scale("force_pound*foot", "lbf·ft"),),
    "m/s2": (Scale("foot/second**2", "ft/s²"),),
    "1": (Scale("", ""),),
}

# The first unit of a row is the coherent one: numbers in it can be put into a formula.
SCALES: dict[tuple[str, System], tuple[Scale, ...]] = {
    **{(unit, System.SI): scales for unit, scales in _SI.items()},
    **{(unit, System.US): scales for unit, scales in _US.items()},
}
