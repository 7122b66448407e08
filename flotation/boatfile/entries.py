"""Types of the entries of a boat file: text with a unit, read and checked, as an SI float.

A type that does not take what it is given says what is wrong and what to write: `EntryError`
carries both through the validating library, which gathers all of them.
"""

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, NamedTuple

from pydantic import BeforeValidator, StrictBool

from flotation.errors import UnitError
from flotation.units import Kind, read

_LONGEST_NAME = 80
_LONGEST_TEXT = 400


@dataclass(frozen=True)
class Example:
    """What an entry looks like in the file, for the advice when it is missing."""

    text: str


class EntryError(ValueError):
    """An entry is not taken: what is wrong with it, and what to write instead."""

    def __init__(self, problem: str, remedy: str) -> None:
        super().__init__(problem, remedy)
        self.problem = problem
        self.remedy = remedy


@dataclass(frozen=True)
class Range:
    """Which values an entry may have, in words and as a test."""

    words: str
    holds: Callable[[float], bool]


ANY = Range("any", lambda _: True)
_FURTHEST = 1000.0
EXTENT = Range("above zero and below 1 km", lambda value: 0.0 < value < _FURTHEST)
EXTENT_OR_ZERO = Range("zero or more and below 1 km", lambda value: 0.0 <= value < _FURTHEST)
NEARBY = Range("within 1 km", lambda value: abs(value) < _FURTHEST)
BELOW_ONE = Range("zero or more and below 100 %", lambda value: 0.0 <= value < 1.0)
# Far beyond any small boat and its yard: what lies outside is a slip of number or unit.
_HEAVIEST, _DAY = 1e6, 86_400.0
WEIGHT = Range("above zero and below 1000 t", lambda value: 0.0 < value < _HEAVIEST)
WEIGHT_OR_ZERO = Range("zero or more and below 1000 t", lambda value: 0.0 <= value < _HEAVIEST)
DENSE = Range("above zero and below 100 000 kg/m^3", lambda value: 0.0 < value < 1e5)
HOLD = Range("above zero and below 100 MN", lambda value: 0.0 < value < 1e8)
ENGINE = Range("zero or more and below 100 MW", lambda value: 0.0 <= value < 1e8)
SECTION = Range("zero or more and below 10 000 m^2", lambda value: 0.0 <= value < 1e4)
HOLLOW = Range("above zero and below 10 000 m^3", lambda value: 0.0 < value < 1e4)
WITHIN_A_DAY = Range("above zero and below a day", lambda value: 0.0 < value < _DAY)
PAUSE = Range("zero or more and below a day", lambda value: 0.0 <= value < _DAY)
WORKABLE = Range("between -50 and 150 degC", lambda value: 223.15 <= value <= 423.15)
# What is smaller can neither be mixed nor poured, and would be planned in millions.
BUCKET = Range("between 10 g and 1000 t", lambda value: 0.01 <= value < _HEAVIEST)
FLOW = Range("between 1 g/s and 1000 kg/s", lambda value: 0.001 <= value <= 1000.0)
LAYER = Range("10 mm or more and below 1 km", lambda value: 0.01 <= value < _FURTHEST)


def quantity(kind: Kind, allowed: Range) -> BeforeValidator:
    """Text with a unit of this kind, within the range."""

    def from_text(text: object) -> float:
        try:
            value = read(text, kind)
        except UnitError as error:
            raise EntryError(error.faults[0].problem, error.faults[0].remedy) from None
        if not allowed.holds(value):
            raise EntryError(
                f'"{text}" is not {allowed.words}', f"Write {kind.value.name} that is."
            )
        return value

    return BeforeValidator(from_text)


def _one_line(longest: int) -> BeforeValidator:
    """Text of one line, printable, without blanks at its ends."""

    def from_text(text: object) -> str:
        if not isinstance(text, str):
            raise EntryError(f"{text!r} is not text", "Put it in quotes.")
        problem = _unprintable(text, longest)
        if problem:
            shown = text if len(text) <= _LONGEST_NAME else f"{text[:_LONGEST_NAME]}..."
            raise EntryError(
                f"{shown!r} {problem}",
                f"Write one line of up to {longest} characters, no blanks at its ends.",
            )
        return text

    return BeforeValidator(from_text)


def _unprintable(text: str, longest: int) -> str:
    """Why a text cannot stand on a label; "" if it can."""
    if not text.strip():
        return "is empty"
    if len(text) > longest:
        return f"has {len(text)} characters"
    if not text.isprintable():
        return "has a line end or another character that is not printed"
    return "has a blank at one of its ends" if text != text.strip() else ""


def _dated(value: object) -> str:
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value.isoformat()
    try:
        return datetime.date.fromisoformat(str(value)).isoformat()
    except ValueError:
        raise EntryError(f"{value} is not a date", 'Write year-month-day, "2026-04-14".') from None


def listed(count: int, what: str, example: str) -> BeforeValidator:
    """A list of so many texts, named in order by `what`."""

    def from_list(value: object) -> object:
        if not isinstance(value, list) or len(value) != count:
            raise EntryError(
                f"{value!r} is not a list of {count} texts: {what}", f"Write {example}."
            )
        return value

    return BeforeValidator(from_list)


def _numbered(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value < 1e6:
        raise EntryError(
            f"{value!r} is not a number above zero", "Write it without quotes or unit."
        )
    return float(value)


class Tolerance(NamedTuple):
    """Either way: a share of the mass, or kg."""

    amount: float
    of_mass: bool

    def of(self, mass: float) -> float:
        """In kg, for an entry of this mass."""
        return self.amount * mass if self.of_mass else self.amount


def _tolerated(text: object) -> Tolerance:
    of_mass = isinstance(text, str) and text.rstrip().endswith("%")
    try:
        value = read(text, Kind.SHARE if of_mass else Kind.MASS)
    except UnitError as error:
        raise EntryError(
            error.faults[0].problem, 'Write a mass, "3 kg", or a share, "4 %".'
        ) from None
    if value < 0.0 or (of_mass and value >= 1.0):
        raise EntryError(f'"{text}" is no tolerance', 'Write a mass, "3 kg", or a share, "4 %".')
    return Tolerance(value, of_mass)


_POINT = '["1.2 m", "0.80 m", "0.66 m"]'
_SIZE = '["0.3 m", "0.4 m", "0.5 m"]'

Name = Annotated[str, _one_line(_LONGEST_NAME), Example('"..."')]
Words = Annotated[str, _one_line(_LONGEST_TEXT), Example('"..."')]
Flag = Annotated[StrictBool, Example("false")]
Date = Annotated[str, BeforeValidator(_dated), Example('"2026-04-14"')]
Ratio = Annotated[float, BeforeValidator(_numbered), Example("100")]
Allowance = Annotated[Tolerance, BeforeValidator(_tolerated), Example('"4 %"')]

Length = Annotated[float, quantity(Kind.LENGTH, EXTENT), Example('"1.84 m"')]
Thickness = Annotated[float, quantity(Kind.LENGTH, EXTENT_OR_ZERO), Example('"5 mm"')]
Layer = Annotated[float, quantity(Kind.LENGTH, LAYER), Example('"300 mm"')]
Coordinate = Annotated[float, quantity(Kind.LENGTH, NEARBY), Example('"1.2 m"')]
Area = Annotated[float, quantity(Kind.AREA, SECTION), Example('"0.035 m^2"')]
Volume = Annotated[float, quantity(Kind.VOLUME, HOLLOW), Example('"40 L"')]
Mass = Annotated[float, quantity(Kind.MASS, WEIGHT), Example('"182 kg"')]
MassOrZero = Annotated[float, quantity(Kind.MASS, WEIGHT_OR_ZERO), Example('"58 kg"')]
Bucket = Annotated[float, quantity(Kind.MASS, BUCKET), Example('"2.0 kg"')]
Density = Annotated[float, quantity(Kind.DENSITY, DENSE), Example('"32 kg/m^3"')]
Temperature = Annotated[float, quantity(Kind.TEMPERATURE, WORKABLE), Example('"22 degC"')]
Time = Annotated[float, quantity(Kind.TIME, WITHIN_A_DAY), Example('"45 s"')]
Pause = Annotated[float, quantity(Kind.TIME, PAUSE), Example('"10 s"')]
MassRate = Annotated[float, quantity(Kind.MASS_RATE, FLOW), Example('"0.5 kg/s"')]
Power = Annotated[float, quantity(Kind.POWER, ENGINE), Example('"30 hp"')]
Force = Annotated[float, quantity(Kind.FORCE, HOLD), Example('"4 kN"')]
Angle = Annotated[float, quantity(Kind.ANGLE, ANY), Example('"0 deg"')]
Share = Annotated[float, quantity(Kind.SHARE, BELOW_ONE), Example('"5 %"')]

YZ = Annotated[tuple[Coordinate, Coordinate], listed(2, "y, z", '["0.7 m", "0.3 m"]')]
Point = Annotated[
    tuple[Coordinate, Coordinate, Coordinate], listed(3, "x, y, z", _POINT), Example(_POINT)
]
Size = Annotated[
    tuple[Length, Length, Length], listed(3, "length, breadth, height", _SIZE), Example(_SIZE)
]
