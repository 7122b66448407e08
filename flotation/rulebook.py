"""Published numbers as data: rule books, materials and waters read from `data/*.toml`.

A formula names the entry and never holds the number. An entry is a number (value as text with
its unit, section, edition, mark and the rule in short), a clause (the same without a number) or
a list of names. A new edition is a new file.
"""

import hashlib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from flotation.units import Kind, read
from flotation.workings import Mark, Source, Term

_UNITS = {
    "length": "m",
    "mass": "kg",
    "density": "kg/m3",
    "time": "s",
    "power": "W",
    "angle": "rad",
    "acceleration": "m/s2",
    "share": "1",
    "number": "1",
}
_HEAD = ("publication", "edition")
_TEMPLATE = "new_boat.toml"
_CITATION = ("publication", "section", "edition", "mark")


@dataclass(frozen=True)
class Criterion:
    """One number of a rule: SI value and unit, and where it stands.

    quote  the rule in short, in plain words
    """

    name: str
    value: float
    unit: str
    quote: str
    source: Source

    def term(self, symbol: str = "") -> Term:
        """The number as a term of a formula, by its own name if no symbol is given."""
        return Term(symbol or self.name, self.value, self.unit, self.source)


@dataclass(frozen=True)
class Clause:
    """What a rule says in words.

    names  what it lists, if it lists anything
    """

    name: str
    quote: str
    source: Source
    names: tuple[str, ...] = ()


@dataclass(frozen=True)
class RuleBook:
    """The entries of one data file. Each lookup raises KeyError, naming the file, for a miss."""

    name: str
    numbers: Mapping[str, Criterion]
    clauses: Mapping[str, Clause]

    def number(self, name: str) -> Criterion:
        """The number of that name."""
        if name not in self.numbers:
            raise KeyError(f"{self.name} has no number {name!r}")
        return self.numbers[name]

    def clause(self, name: str) -> Clause:
        """The clause or list of that name."""
        if name not in self.clauses:
            raise KeyError(f"{self.name} has no clause {name!r}")
        return self.clauses[name]


@dataclass(frozen=True)
class Edition:
    """Which data file of this program a calculation goes by.

    file     its name
    publication, edition   at its head; "" where each entry says its own
    sha256   of its bytes
    """

    file: str
    publication: str
    edition: str
    sha256: str


@dataclass(frozen=True)
class Material:
    """What a part is made of.

    density        kg/m3; None where only the submergence factor was published
    submergence    K, dry weight to submerged weight in fresh water; None: from the density.
                   Where sources differ, the largest: it asks for the most foam
    is_wood        wood: sources disagree whether it may be credited with lift
    source         where the numbers stand, for the report
    mark           how the numbers are known
    published      every published factor, each with its source; empty: from the density
    citation       where the density stands, for the lines; None: `source` and `mark` say it
    """

    name: str
    density: float | None
    submergence: float | None
    is_wood: bool
    source: str
    mark: Mark
    published: tuple[Criterion, ...] = ()
    citation: Source | None = None


@cache  # the files are part of the package, and nothing in a rule book can be changed
def load_rulebook(name: str) -> RuleBook:
    """The rule book `data/<name>.toml`.

    Raises FileNotFoundError for a name without a file, KeyError for an entry that lacks a field,
    UnitError for a value that cannot be read.

    >>> load_rulebook("us_33cfr183").number("outboard_weight_divisor").value
    5.0
    """
    data = _load(name)
    numbers = {key: _number(name, key, data) for key in data.get("number", {})}
    clauses = {
        key: Clause(key, entry["quote"], _source(data, entry), tuple(entry.get("names", ())))
        for table in ("clause", "list")
        for key, entry in data.get(table, {}).items()
    }
    return RuleBook(name, MappingProxyType(numbers), MappingProxyType(clauses))


@cache
def materials() -> Mapping[str, Material]:
    """Every material of `data/materials.toml`, by name."""
    data = _load("materials")
    sources = {key: _source(data, entry) for key, entry in data["source"].items()}
    return MappingProxyType(
        {name: _material(name, entry, sources) for name, entry in data["material"].items()}
    )


def waters() -> Mapping[str, Criterion]:
    """Every water of `data/waters.toml` with its density, by name."""
    return load_rulebook("waters").numbers


def water_density(name: str) -> float:
    """Density of a named water, kg/m3; KeyError, naming the file, for a name it does not have.

    "fresh" and "salt" are the rounded 62.4 and 64 lb/ft3 of the rules.

    >>> round(water_density("fresh"), 2)
    999.55
    """
    return load_rulebook("waters").number(name).value


@cache
def editions() -> tuple[Edition, ...]:
    """Every data file with published numbers, by name."""
    found = []
    for file in sorted(files("flotation").joinpath("data").iterdir(), key=lambda one: one.name):
        if file.name.endswith(".toml") and file.name != _TEMPLATE:
            content = file.read_bytes()
            head = tomllib.loads(content.decode("utf-8"))
            publication, edition = (str(head.get(key, "")) for key in _HEAD)
            digest = hashlib.sha256(content).hexdigest()
            found.append(Edition(file.name, publication, edition, digest))
    return tuple(found)


def _load(name: str) -> dict[str, Any]:
    return tomllib.loads(files("flotation").joinpath("data", f"{name}.toml").read_text("utf-8"))


def _number(book: str, key: str, data: dict[str, Any]) -> Criterion:
    entry = data["number"][key]
    value = _value(entry["value"], entry["kind"], f"{book}.toml [number.{key}] value")
    return Criterion(key, value, _UNITS[entry["kind"]], entry["quote"], _source(data, entry))


def _value(text: str, kind: str, where: str) -> float:
    """A plain number or fraction ("0.6", "2/15") or a quantity with its unit."""
    if kind == "number":
        return float(Fraction(text))
    return read(text, Kind[kind.upper()], where)


def _source(data: dict[str, Any], entry: dict[str, Any]) -> Source:
    """The citation of an entry; what it leaves out stands at the head of the file.

    An entry of another publication says its own edition or has none.
    """
    head = {} if "publication" in entry else data
    publication, section, edition, mark = (
        entry.get(field, head.get(field, "")) for field in _CITATION
    )
    return Source(publication, section, edition, Mark(mark))


def _material(name: str, entry: dict[str, Any], sources: dict[str, Source]) -> Material:
    """From published factors if there are any, else from the density."""
    where = f'materials.toml [material."{name}"]'
    published = tuple(
        Criterion(key, _value(text, "number", where), "1", f"K of {name}", sources[key])
        for key, text in entry.get("factors", {}).items()
    )
    if published:
        largest = max(published, key=lambda factor: factor.value)
        cited = "; ".join(str(factor.source) for factor in published)
        mark = largest.source.mark
        return Material(name, None, largest.value, entry["wood"], cited, mark, published)
    ((key, text),) = entry["density"].items()
    source, density = sources[key], _value(text, "density", f"{where} density")
    return Material(name, density, None, entry["wood"], str(source), source.mark, (), source)
