"""Text -> one number and one unit, or a refusal that says what to write.

Read are a plain number and one unit ("1.84 m", "2 lb/ft^3"), and the mixed measures of tape,
scale and stopwatch: feet, inches and fractions ("6 ft 2 3/8 in", 6'-2 3/8"), pounds and
ounces, minutes and seconds. Nothing is guessed: a decimal comma, a second number, a fraction of
anything but the small unit of tape and scale, a gallon of no country are refused.
"""

import difflib
import re
from dataclasses import dataclass
from decimal import Decimal

from flotation.errors import Fault, UnitError
from flotation.units.words import SYMBOLS, TOO_VAGUE, WORDS


@dataclass(frozen=True)
class Measure:
    """One number, exactly as written, and one unit as the unit library names it."""

    number: Decimal
    unit: str


@dataclass(frozen=True)
class _Mixed:
    """Two units that people write in one measure, and how many small ones make a large one.

    small, ratio  the small unit as the library names it, and how many of it make the large one
    fractions     True: it is read off a tape or scale that shows halves, quarters, ...
    """

    small: str
    ratio: int
    names: str
    large_words: str
    small_words: str
    fractions: bool
    example: str


_FEET, _INCHES = "ft|foot|feet|'", 'in|inch|inches|"'
_POUNDS, _OUNCES = "lbs?|pounds?", "oz|ounces?"
_MINUTES, _SECONDS = "min|minutes?", "s|sec|seconds?"
_MIXED = (
    _Mixed("inch", 12, "feet and inches", _FEET, _INCHES, True, "6 ft 2 3/8 in"),
    _Mixed("ounce", 16, "pounds and ounces", _POUNDS, _OUNCES, True, "3 lb 4 1/2 oz"),
    _Mixed("second", 60, "minutes and seconds", _MINUTES, _SECONDS, False, "2 min 50 s"),
)
_BOTTOMS = (2, 4, 8, 16, 32, 64)

_LONGEST = 60
_NUMBER = r"(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,2})?"
_PLAIN = re.compile(rf"(?P<number>[+-]?\s?{_NUMBER})\s?(?P<unit>.*)")
_COMMA = re.compile(r"[+-]?[0-9][0-9.,]*,[0-9][0-9.,]*")
_SMALL = (
    rf"(?:(?:(?P<whole>{_NUMBER})[\s-])?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)|(?P<only>{_NUMBER}))"
)
_LONG_EXPONENT = re.compile(r"[+-]?\s?[0-9.]+[eE][+-]?[0-9]{3}")
_SECOND_NUMBER = re.compile(r"[0-9.,/+*×±-]|.*(?<![\^*a-zA-Z])[0-9]")
_SAME_MEANING = str.maketrans(
    {"\u00a0": " ", "\u2009": " ", "\u202f": " ", "\u2212": "-", "\u2032": "'", "\u2033": '"'}
    | {"\u2019": "'", "\u201d": '"', "\u00b2": "^2", "\u00b3": "^3", "\u00ba": "°"}
)
_POWER_WORDS = {"sq": 2, "square": 2, "cu": 3, "cubic": 3}
_NO_DIMENSION = {"percent", "degree", "radian"}


def measure(text: str) -> Measure:
    """The number and the unit that a text says.

    Raises UnitError for a text that is not one number and one unit; it has no place yet, and
    no remedy where an example of what the entry expects says more.

    >>> measure("6 ft 2 3/8 in")
    Measure(number=Decimal('74.375'), unit='inch')
    """
    if len(text) > _LONGEST:
        raise _refusal(f"is longer than {_LONGEST} characters")
    plain = " ".join(text.translate(_SAME_MEANING).split())
    if not plain:
        raise _refusal("is empty")
    for mixed in _MIXED:
        found = _mixed_measure(plain, mixed)
        if found is not None:
            return found
    return _plain_measure(plain)


def shorten(text: str) -> str:
    """A text for a message, which need not be longer than what is read."""
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]}..."


def unit_name(unit: str, number: str = "5") -> str:
    """The unit library's name of a unit: a spelling, its power, and one "/" or "per".

    number  what stands before it, for the remedies
    Raises UnitError for a spelling that is not known or says too little.

    >>> unit_name("lb/cu ft")
    'pound/foot**3'
    """
    if unit.casefold() in WORDS:
        return WORDS[unit.casefold()]
    parts = [part.strip() for part in re.split(r"/|\bper\b", unit)]
    if len(parts) > 2 or not all(parts):
        raise _refusal(f'has "{unit}", which is no unit')
    names = [_power_name(part, number) for part in parts]
    if len(names) == 2 and (_NO_DIMENSION & set(names) or "/" in names[0] + names[1]):
        raise _refusal(f'has "{unit}", which is no unit')
    return "/".join(names)


def _refusal(problem: str, remedy: str = "") -> UnitError:
    return UnitError(Fault("", problem, remedy))


def _plain_measure(text: str) -> Measure:
    _refuse_comma(text)
    if _LONG_EXPONENT.match(text):
        raise _refusal("has a power of ten that no measure needs")
    match = _PLAIN.fullmatch(text)
    if match is None:
        raise _refusal("does not begin with a plain number")
    number, unit = match["number"].replace(" ", ""), match["unit"]
    if not unit:
        raise _refusal("has no unit")
    if _SECOND_NUMBER.match(unit):
        raise _refusal(
            "is not one number and one unit",
            'Write a decimal number and its unit, such as "1.5 ft"; fractions are read with'
            ' inches and ounces only ("1 ft 6 1/2 in"), powers are written "in^3".',
        )
    return Measure(Decimal(number), unit_name(unit, number))


def _refuse_comma(text: str) -> None:
    match = _COMMA.match(text)
    if match is None:
        return
    number, unit = match[0], text[match.end() :].strip()
    whole, *groups = number.split(",")
    options = [whole + "".join(groups)]
    if len(groups) == 1 and "." not in number:
        point = f"{whole}.{groups[0]}"
        options = [point, *options] if len(groups[0]) == 3 else [point]
    advice = " or ".join(f'"{option} {unit}"' for option in options)
    raise _refusal(
        "has a comma in its number",
        f"Write {advice}: a decimal point, and nothing between thousands.",
    )


def _power_name(part: str, number: str) -> str:
    match = re.fullmatch(r"(?P<spelling>.*[^\s^*0-9])(?:(?:\^|\*\*)?(?P<power>[23]))?", part)
    if match is None:
        raise _refusal(f'has "{part}", which is no unit')
    spelling, power = match["spelling"], int(match["power"] or 1)
    lead, _, rest = spelling.partition(" ")
    if power == 1 and rest and lead.casefold() in _POWER_WORDS:
        spelling, power = rest, _POWER_WORDS[lead.casefold()]
    name = _spelling_name(spelling, number)
    if power > 1 and "/" in name:
        raise _refusal(f'has "{part}", which is no unit')
    return name if power == 1 else f"{name}**{power}"


def _spelling_name(spelling: str, number: str) -> str:
    if spelling in SYMBOLS:
        return SYMBOLS[spelling]
    word = " ".join(re.sub(r"[()]", " ", spelling.casefold().replace("u.s.", "us")).split())
    if word in WORDS:
        return WORDS[word]
    if word in TOO_VAGUE:
        remedy = TOO_VAGUE[word].format(number=number, word=word)
        raise _refusal(f'does not say which "{word}"', remedy)
    near = [symbol for symbol in SYMBOLS if symbol.casefold() == word]
    near = near or difflib.get_close_matches(word, [*WORDS, *SYMBOLS], n=1, cutoff=0.75)
    hint = f'Is "{near[0]}" meant?' if near else ""
    raise _refusal(f'has "{spelling}", which is no unit known here', hint)


def _mixed_measure(text: str, mixed: _Mixed) -> Measure | None:
    """A mixed measure in small units; None if the text is none of this pair of units."""
    large = rf"(?P<large>{_NUMBER})\s?(?:{mixed.large_words})"
    small = rf"{_SMALL}\s?(?:{mixed.small_words})"
    match = re.fullmatch(rf"(?P<sign>[+-]?)\s?{large}(?:\s?|-){small}", text, re.IGNORECASE)
    if match is None:
        match = re.fullmatch(rf"(?P<sign>[+-]?)\s?{small}", text, re.IGNORECASE)
        if match is None or match["top"] is None:
            return None
    groups = match.groupdict()
    total = _small_part(groups, mixed)
    if groups.get("large") is not None:
        total += _large_part(groups["large"], total, mixed)
    return Measure(-total if groups["sign"] == "-" else total, mixed.small)


def _large_part(large: str, small: Decimal, mixed: _Mixed) -> Decimal:
    if not large.isdecimal():
        raise _refusal(
            f"mixes {mixed.names} with a first number that is not whole",
            f'Write it as in "{mixed.example}", or as one decimal number and one unit.',
        )
    if small >= mixed.ratio:
        raise _refusal(
            f"mixes {mixed.names} with a second number of {mixed.ratio} or more",
            f'Write it as in "{mixed.example}", or as one decimal number and one unit.',
        )
    return Decimal(large) * mixed.ratio


def _small_part(groups: dict[str, str], mixed: _Mixed) -> Decimal:
    if groups["only"] is not None:
        return Decimal(groups["only"])
    whole, top, bottom = groups["whole"] or "0", int(groups["top"]), int(groups["bottom"])
    proper = whole.isdecimal() and top < bottom and bottom in _BOTTOMS
    if not (mixed.fractions and proper):
        raise _refusal(
            "has a fraction that no tape or scale shows",
            "Write a proper fraction in halves, quarters, eighths, 16ths, 32nds or 64ths behind"
            ' a whole number of inches or ounces, as in "2 3/8 in", or a decimal number.',
        )
    return Decimal(whole) + Decimal(top) / Decimal(bottom)
