"""Physical blowing agents: liquids in a foam system that boil as it warms, and so cool it."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType


@dataclass(frozen=True)
class Agent:
    """A physical blowing agent: molar_mass kg/mol, boiling_point K, latent_heat J/kg."""

    name: str
    molar_mass: float
    boiling_point: float
    latent_heat: float


@cache
def agents() -> Mapping[str, Agent]:
    """The blowing agents of data/blowing_agents.toml by name; all values are recalled."""
    text = files("flotation").joinpath("data", "blowing_agents.toml").read_text(encoding="utf-8")
    return MappingProxyType(
        {
            name: Agent(name, row["molar_mass"], row["boiling_point"], row["latent_heat"])
            for name, row in tomllib.loads(text).items()
        }
    )
