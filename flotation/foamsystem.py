"""A two-part foam as its data sheet states it, and how a shop mixes and pours it.

Frozen values, SI floats, K for temperatures; checked when they were read.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from flotation.foamsystem_agents import Agent


class Basis(StrEnum):
    """What a ratio or share refers to."""

    MASS = "mass"
    VOLUME = "volume"


@dataclass(frozen=True)
class MixRatio:
    """Parts of A (isocyanate) to parts of B (polyol), by mass or by volume."""

    a: float
    b: float
    basis: Basis


@dataclass(frozen=True)
class WaterUptake:
    """Water that foam takes up: a share of its volume, or of its mass."""

    share: float
    basis: Basis


@dataclass(frozen=True)
class FoamPack:
    """How a foam system is sold: a kit with both sides, or a drum of one of them.

    mass_a, mass_b  kg in one pack; None: it has none of that side
    price           of one pack, in `currency`; None: not stated
    """

    name: str
    mass_a: float | None
    mass_b: float | None
    price: float | None
    currency: str


@dataclass(frozen=True)
class Recipe:
    """What the heat of a foam follows from, as its supplier states it.

    nco    mass share of isocyanate groups in A
    index  isocyanate over what reacts with it, 1.10 for 10 % more
    water  share of water in the mixed mass
    agent  physical blowing agent; None: blown by the water alone
    agent_share  of the mixed mass
    """

    nco: float
    index: float
    water: float
    agent: Agent | None
    agent_share: float


@dataclass(frozen=True)
class MeasuredCore:
    """The hottest that the core of a block got.

    temperature, start  K, of the core and of the liquids and the air; thickness  m, least side
    """

    temperature: float
    start: float
    thickness: float
    date: str


@dataclass(frozen=True)
class FoamHeat:
    """What is known of a foam's heat; None for what is not stated.

    adiabatic_low, adiabatic_high  K by which it warms if no heat leaves it, of the data sheet
    core_limit  K that the sheet lets the core reach
    cool_to     K that the sheet wants the core below before more foam is poured on it
    """

    adiabatic_low: float | None = None
    adiabatic_high: float | None = None
    recipe: Recipe | None = None
    measured_core: MeasuredCore | None = None
    core_limit: float | None = None
    cool_to: float | None = None


@dataclass(frozen=True)
class Foam:
    """A two-part foam system as its supplier's data sheet states it.

    densities in kg/m3, times in s, temperatures in K, lift_limit in m of thickness
    free_rise_low, free_rise_high  the sheet's limits for a cup test
    overpack          injected mass over minimum-fill mass, for example 1.05
    lift_limit        None: the sheet gives none, and then this tool proposes none
    lift_mass_limit   kg of A and B together that may go into one lift; None: the sheet gives none
    lift_wait         s that the sheet asks for between lifts, to cool down; None: it gives none
    packs             how it is sold
    mix_tolerance     share by which the ratio may be off; None: not stated
    liquid_low, liquid_high  temperature limits of the liquids, hull_low, hull_high of the hull
    expansion_ratio   as stated, foam volume to liquid volume; only ever compared, never used
    fuel_statement    the supplier's words on 33 CFR 183.114, with date; None: no statement
    entry             file and entry it was read from
    flow_length       m that foam flows from its hole, by the sheet or a shop test; None: not
                      stated
    heat              what is known of its heat of reaction
    """

    name: str
    free_rise_density: float
    free_rise_low: float
    free_rise_high: float
    minimum_fill_density: float
    overpack: float
    lift_limit: float | None
    mix: MixRatio
    mix_tolerance: float | None
    density_a: float
    density_b: float
    cream_time: float
    gel_time: float
    tack_free_time: float
    sheet_temperature: float
    liquid_low: float | None
    liquid_high: float | None
    hull_low: float | None
    hull_high: float | None
    uptake: WaterUptake
    expansion_ratio: float | None
    fuel_statement: str | None
    fuel_statement_date: str | None
    entry: str
    lift_mass_limit: float | None = None
    lift_wait: float | None = None
    packs: tuple[FoamPack, ...] = ()
    flow_length: float | None = None
    heat: FoamHeat = FoamHeat()


@dataclass(frozen=True)
class CupTest:
    """Free-rise density of one foam, measured in the shop on the day."""

    foam: str
    density: float
    date: str


@dataclass(frozen=True)
class HandMixing:
    """Mixing in buckets.

    batch_limit    kg of A and B together in one bucket
    mixing_time, carrying_time  s, from the first stir to the hole
    pouring_rate   kg/s out of the bucket
    scale_step     kg that the scale shows
    """

    batch_limit: float
    mixing_time: float
    carrying_time: float
    pouring_rate: float
    scale_step: float


@dataclass(frozen=True)
class MachineMixing:
    """A metering machine: rate in kg/s, shot limit in kg (None: none), timer step in s.

    idle_limit  s that the mixing head may stand idle before it must be flushed; None: not stated
    flush_mass  kg of A and B together that a flush takes
    """

    rate: float
    shot_limit: float | None
    timer_step: float
    idle_limit: float | None = None
    flush_mass: float = 0.0


@dataclass(frozen=True)
class Shop:
    """How foam is mixed and poured.

    temperature  K
    waste        share of the mixed mass that never reaches the cavity
    crew         how many mix, carry and pour at the same time; a machine has one mixing head
    turnaround   s from the last drop of a batch to the start of the next by the same hands
    """

    temperature: float
    cup_tests: tuple[CupTest, ...]
    mixing: HandMixing | MachineMixing
    waste: float
    crew: int = 1
    turnaround: float = 0.0


class PouredLift(NamedTuple):
    """What really went through a hole as one lift of a plan.

    order  of the lift in the plan
    mass   kg of A and B together, as the scale or the machine's timer gave it, waste included
    """

    order: int
    mass: float
