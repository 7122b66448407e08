"""Numbers as the hand-outs print them, in both systems of units."""

import math
from decimal import Decimal
from functools import lru_cache

from flotation.units import feet_inches, number, shown, us_liquid
from flotation.units.scales import SCALES, System

NOT_STATED = "\u2014"
_DECIMALS = 12
DIGITS = 6
"""Significant ones of a figure for machines. Rests in the water and cuts of solids differ by up to
1e-9 of themselves from processor to processor; with six digits that shows in none of a thousand."""
NOTHING = 1e-9  # in SI; less than a nanometre or a microgram is what rounding leaves, printed 0
_MINUS = "\u2212"
_LITRES_FROM = 10000  # mL; a larger vessel is marked in litres
_ALIKE = {"": "1", "1": "1"}


def plain(value: float, digits: int = 4) -> str:
    """A number alone, with a printed minus."""
    return number(value, digits).replace("-", _MINUS)


@lru_cache(maxsize=4096)
def si(value: float, unit: str, digits: int = 4) -> str:
    """Value with a practical SI unit; a unit that is no physical one ("persons") is kept."""
    return _in(value, unit, System.SI, digits, coherent=False)


@lru_cache(maxsize=4096)
def us(value: float, unit: str, digits: int = 4) -> str:
    """Value with a US customary unit; "" where both systems print the same."""
    if not _converts(unit):
        return ""
    return _in(value, unit, System.US, digits, coherent=False)


@lru_cache(maxsize=4096)
def put_in(value: float, unit: str) -> str:
    """Value as it stands in a formula: one unit whatever the size, five digits.

    A temperature stays in K: as a difference it would be wrong in °C.
    """
    if unit == "K":
        return f"{plain(value, 5)} K"
    return _in(value, unit, System.SI, 5, coherent=True)


def both(value: float | None, unit: str, digits: int = 4) -> dict[str, str]:
    """Value in both systems; dashes where it was not stated."""
    if value is None:
        return {"si": NOT_STATED, "us": ""}
    return {"si": si(value, unit, digits), "us": us(value, unit, digits)}


def range_of(low: float | None, high: float | None, unit: str) -> dict[str, str]:
    """Limits in both systems: "21 to 27 °C", "at least 21 °C", "at most 27 °C"."""
    return {"si": _range(low, high, unit, System.SI), "us": _range(low, high, unit, System.US)}


def decimals_of(step: float) -> int:
    """How many decimals show every step: 0.005 needs three.

    >>> decimals_of(0.005), decimals_of(0.01), decimals_of(1.0)
    (3, 2, 0)
    """
    text = f"{step:.9f}".rstrip("0")
    return len(text.partition(".")[2])


def on_scale(mass: float, step: float) -> dict[str, str]:
    """A mass as a shop scale shows it: kg to the step, lb to at least the same step."""
    pounds = float(shown(mass, "kg", System.US, digits=12, coherent=True).value)
    step_pounds = float(shown(step, "kg", System.US, digits=12, coherent=True).value)
    fine = max(0, -math.floor(math.log10(step_pounds)))
    return {"si": f"{mass:.{decimals_of(step)}f}", "us": f"{pounds:.{fine}f}"}


def liquid(volume: float, digits: int = 3) -> dict[str, str]:
    """A volume of liquid in L (mL below 0.1 L) and in US fluid ounces or gallons."""
    return {"si": si(volume, "m3", digits), "us": str(us_liquid(volume, digits))}


def cup_mark(volume: float) -> dict[str, str]:
    """A volume to pour to a mark: whole millilitres, litres from 10 L on, and US fluid ounces.

    >>> cup_mark(4.7154e-4)
    {'si': '472 mL', 'us': '15.9 fl oz'}
    """
    millilitres = volume * 1e6
    us_words = liquid(volume)["us"].replace("US ", "")
    if round(millilitres) >= _LITRES_FROM:
        return {"si": si(volume, "m3", 4), "us": us_words}
    return {"si": f"{millilitres:.0f} mL", "us": us_words}


def tape(length: float) -> dict[str, str]:
    """A length as a tape shows it: whole millimetres, and feet, inches and sixteenths."""
    millimetres = f"{length * 1000.0:.0f}".replace("-0", "0")
    return {
        "si": f"{millimetres.replace('-', _MINUS)} mm",
        "us": feet_inches(length).replace("-", _MINUS),
    }


def minutes(seconds: float) -> str:
    """A time as a shop clock shows it: "45 s", "4 min", "4 min 30 s"."""
    whole = math.ceil(seconds - 1e-9)
    if whole < 100:
        return f"{whole} s"
    over = whole % 60
    return f"{whole // 60} min" + (f" {over} s" if over else "")


def _in(value: float, unit: str, system: System, digits: int, *, coherent: bool) -> str:
    unit = _ALIKE.get(unit, unit)
    value = value if abs(value) >= NOTHING else 0.0
    if (unit, system) not in SCALES:
        return f"{plain(value, digits)} {unit}"
    text = shown(value, unit, system, digits=digits, coherent=coherent)
    return str(text).replace("-", _MINUS)


def _converts(unit: str) -> bool:
    """True if the two systems print this unit differently."""
    unit = _ALIKE.get(unit, unit)
    found = SCALES.get((unit, System.SI)), SCALES.get((unit, System.US))
    return found[0] is not None and found[0] != found[1]


def _range(low: float | None, high: float | None, unit: str, system: System) -> str:
    if system is System.US and not _converts(unit):
        return ""
    ends = [
        None if end is None else _in(end, unit, system, 4, coherent=False) for end in (low, high)
    ]
    match ends:
        case [str(least), str(most)]:
            value, _, label = least.rpartition(" ")
            same = most.rpartition(" ")[2] == label
            return f"{value if same else least} to {most}"
        case [str(least), None]:
            return f"at least {least}"
        case [None, str(most)]:
            return f"at most {most}"
    return NOT_STATED


def few_digits(value: float, digits: int = DIGITS) -> float:
    """As many significant digits as the same on every machine, 12 decimals, 0 below `NOTHING`.

    What large numbers leave of each other is known to their last digit only, not to its own sixth.

    >>> few_digits(0.1 + 0.2), few_digits(-2.6e-18), few_digits(-1.07383002e-09)
    (0.3, 0.0, -1.074e-09)
    """
    if abs(value) < NOTHING:
        return 0.0
    return float(f"{round(value, _DECIMALS):.{digits}g}") + 0.0


def decimal_text(value: float) -> str:
    """`few_digits` without an exponent, for tables that a machine reads.

    >>> decimal_text(0.1 + 0.2), decimal_text(1e-7)
    ('0.3', '0.0000001')
    """
    return f"{Decimal(f'{few_digits(value):.{DIGITS}g}'):f}"
