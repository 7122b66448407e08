"""Published numbers as data: rule books and material tables read from `data/*.toml`."""

from dataclasses import dataclass

from flotation.workings import Mark, Source


@dataclass(frozen=True)
class Material:
    """What a part is made of.

    density        kg/m3; None where only the submergence factor was published
    submergence    K, dry weight to submerged weight in fresh water; None: from the density
    is_wood        wood: sources disagree whether it may be credited with lift
    source         where the numbers stand, for the report
    mark           how the numbers are known
    """

    name: str
    density: float | None
    submergence: float | None
    is_wood: bool
    source: str
    mark: Mark


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
