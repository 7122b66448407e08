"""Numbers of foam practice that no data sheet states, read from data/foam_physics.toml."""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from flotation.workings import Mark, Source, Term


def figure(name: str) -> Term:
    """The number of that name as a term of a formula, with its source; KeyError if there is none.

    >>> figure("polymer_density").value
    1200.0
    """
    return _figures()[name]


@cache
def _figures() -> Mapping[str, Term]:
    text = files("flotation").joinpath("data", "foam_physics.toml").read_text(encoding="utf-8")
    return MappingProxyType(
        {
            name: Term(
                name,
                entry["value"],
                entry["unit"],
                Source(entry["publication"], mark=Mark(entry["mark"])),
            )
            for name, entry in tomllib.loads(text).items()
        }
    )
