"""SI values as words of a sentence: metric first, customary units behind it.

Tables of quantities are laid out by the reports; this is for stops, cautions and instructions.
"""

import math
from collections.abc import Sequence

from flotation import units
from flotation.units.scales import System

STANDARD_GRAVITY = 9.80665
_TWO_HOURS = 7200.0


def both(value: float, unit: str, digits: int = 3) -> str:
    """A value in both systems; where they agree (seconds) once.

    >>> both(0.3, "m")
    '300 mm (11.8 in)'
    """
    metric = str(units.si(value, unit, digits))
    customary = str(units.us(value, unit, digits))
    return metric if metric == customary else f"{metric} ({customary})"


def span(low: float | None, high: float | None, unit: str, digits: int = 3) -> str:
    """Limits as words: "21 °C (69.8 °F) to ...", "at least ...", "at most ..."."""
    if low is not None and high is not None:
        return f"{both(low, unit, digits)} to {both(high, unit, digits)}"
    if low is not None:
        return f"at least {both(low, unit, digits)}"
    return "" if high is None else f"at most {both(high, unit, digits)}"


def load(pressure: float) -> str:
    """A pressure, Pa, as the weight that balances it on each square metre and foot.

    >>> load(5000.0)
    '510 kg on each square metre (104 lb on each square foot)'
    """
    metric = units.number(pressure / STANDARD_GRAVITY, 2)
    customary = units.shown(pressure, "Pa", System.US, digits=2, coherent=True).value
    return f"{metric} kg on each square metre ({customary} lb on each square foot)"


def place(point: Sequence[float]) -> str:
    """A place in the boat's frame, metric first.

    >>> place((1.0, -0.5, 0.254))
    '(1.000, -0.500, 0.254) m, (39.4, -19.7, 10.0) in'
    """
    metric = ", ".join(f"{value:.3f}" for value in point)
    inches = ", ".join(f"{value / 0.0254:.1f}" for value in point)
    return f"({metric}) m, ({inches}) in"


def spell(seconds: float) -> str:
    """A time of cooling in words: minutes up to two hours, then hours.

    >>> spell(3000.0), spell(9000.0)
    ('50 min', '2.5 h')
    """
    if seconds < _TWO_HOURS:
        return f"{math.ceil(seconds / 60.0)} min"
    return f"{units.number(seconds / 3600.0, 2)} h"


def percent(share: float) -> str:
    """A share of one."""
    return str(units.percent(share))


def listed(words: list[str]) -> str:
    """Names in a row: "a", "a and b", "a, b and c"."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def together(said: Sequence[tuple[str, str]]) -> str:
    """What is said of each name, those of whom the same is said together.

    >>> together([("port", "5 kN"), ("starboard", "5 kN"), ("bow", "2 kN")])
    'port and starboard 5 kN; bow 2 kN'
    """
    names: dict[str, list[str]] = {}
    for name, words in said:
        names.setdefault(words, []).append(name)
    return "; ".join(f"{listed(those)} {words}" for words, those in names.items())
