"""The tables of a boat file: which entries each one has, and of what kind.

One class for each table; the commented file that `flotation new` writes explains the entries. A
name that is not in a class is an error. Checks between entries are made where the values are put
together.
"""

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict

from flotation.boat import Exposure, HoleKind, Kind, Propulsion, Role
from flotation.boatfile.entries import (
    Allowance,
    Angle,
    Bucket,
    Coordinate,
    Count,
    Date,
    Density,
    EntryError,
    Example,
    Flag,
    Force,
    Layer,
    Length,
    Mass,
    MassOrZero,
    MassRate,
    Name,
    Pause,
    Point,
    Power,
    Ratio,
    Share,
    Size,
    Temperature,
    Thickness,
    Time,
    Volume,
    Words,
)
from flotation.foamsystem import Basis

Raw = Annotated[object, Example("{ ... }")]


class Table(BaseModel):
    """A table whose entries are all known."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class BoatTable(Table):
    """[boat]."""

    name: Name
    kind: Kind
    length: Length
    beam: Length
    propulsion: Propulsion
    rated_power: Power
    water: Annotated[Name, Example('"fresh"')]


class CapacityTable(Table):
    """[capacity]."""

    persons: Mass
    maximum_weight: Mass
    maximum_displacement: Mass | None = None
    side_load: Mass | None = None


class PassengerAreaTable(Table):
    """[passenger_area]."""

    aft: Coordinate
    forward: Coordinate
    half_breadth: Length
    sole: Coordinate
    side: Length


class WeightsTable(Table):
    """[weights], without its items."""

    hull_has_foam: Flag
    file: Name | None = None


class WeightTable(Table):
    """[[weights.item]], or a row of the weight list in CSV."""

    item: Name
    mass: Mass
    material: Name | None = None
    at: Point
    waterline: Literal["below", "above"]
    role: Role
    tolerance: Allowance | None = None
    swamped_mass: MassOrZero | None = None
    size: Size | None = None


class ScaleTable(Table):
    """One scale of [weighing]."""

    x: Coordinate
    mass: MassOrZero


class WeighingTable(Table):
    """[weighing]."""

    aft: ScaleTable
    forward: ScaleTable
    aboard: Annotated[tuple[Role, ...], Example('["structure", "equipment"]')]
    adopt: Flag


class MaterialTable(Table):
    """[[material]]."""

    name: Name
    density: Density
    wood: Flag


class MixTable(Table):
    """Parts of A to parts of B."""

    a: Ratio
    b: Ratio
    basis: Basis


class UptakeTable(Table):
    """Water that foam takes up."""

    share: Share
    basis: Basis


class StatementTable(Table):
    """The supplier's words on 33 CFR 183.114."""

    text: Words
    date: Date


def _pair(value: object) -> object:
    """Two texts as a table of low and high, so that each is told apart in a message."""
    if not isinstance(value, list) or len(value) != 2:
        problem = f"{value!r} is not a list of two texts"
        raise EntryError(problem, "Write both limits, the lower one first.")
    return {"low": value[0], "high": value[1]}


class DensityPair(Table):
    """Two densities, the lower first."""

    low: Density
    high: Density


class TemperaturePair(Table):
    """Two temperatures, the lower first."""

    low: Temperature
    high: Temperature


class AnglePair(Table):
    """Two angles, the lower first."""

    low: Angle
    high: Angle


Densities = Annotated[
    DensityPair, BeforeValidator(_pair), Example('["30.5 kg/m^3", "33.5 kg/m^3"]')
]
Temperatures = Annotated[TemperaturePair, BeforeValidator(_pair), Example('["21 degC", "27 degC"]')]
Angles = Annotated[AnglePair, BeforeValidator(_pair), Example('["-5 deg", "5 deg"]')]


class FoamTable(Table):
    """[[foam]], as the supplier's data sheet states it, without its packs."""

    name: Name
    free_rise_density: Density
    cup_limits: Densities
    minimum_fill_density: Density
    overpack: Share
    lift_limit: Layer | None = None
    lift_mass_limit: Bucket | None = None
    lift_wait: Pause | None = None
    mix: Annotated[MixTable, Example('{ a = 113, b = 100, basis = "mass" }')]
    mix_tolerance: Share | None = None
    density_a: Density
    density_b: Density
    cream_time: Time
    gel_time: Time
    tack_free_time: Time
    sheet_temperature: Temperature
    liquid_temperature: Temperatures | None = None
    hull_temperature: Temperatures | None = None
    water_uptake: Annotated[UptakeTable, Example('{ share = "2 %", basis = "volume" }')]
    expansion_ratio: Ratio | None = None
    fuel_statement: StatementTable | None = None
    flow_length: Layer | None = None


class HandTable(Table):
    """[shop.hand]."""

    batch_limit: Bucket
    mixing_time: Pause
    carrying_time: Pause
    pouring_rate: MassRate
    scale_step: Mass


class MachineTable(Table):
    """[shop.machine]."""

    rate: MassRate
    shot_limit: Bucket | None = None
    timer_step: Time
    idle_limit: Time | None = None
    flush_mass: MassOrZero = 0.0


class CupTestTable(Table):
    """[[shop.cup_test]]."""

    foam: Name
    density: Density
    date: Date


class ShopTable(Table):
    """[shop], without its cup tests."""

    temperature: Temperature
    waste: Share
    crew: Count = 1
    turnaround: Pause = 0.0
    hand: HandTable | None = None
    machine: MachineTable | None = None


class JigTable(Table):
    """[jig]."""

    heel: Angle
    trim: Angle
    heel_range: Angles | None = None
    trim_range: Angles | None = None


class MethodTable(Table):
    """[method]."""

    wood: Literal["no lift", "physical"] = "no lift"
    credit_cap: Flag = False
    basic_persons: Literal["maximum weight", "persons"] = "maximum weight"
    material_factor: Literal["largest", "handbook"] = "largest"


MeshUnit = Literal["mm", "cm", "m", "in", "ft"]


class HoleTable(Table):
    """[[cavity.hole]]."""

    name: Name
    kind: HoleKind
    at: Point
    diameter: Length


class BoxTable(Table):
    """[[cavity.drill]]: a box within which further holes may be drilled."""

    corner: Point
    size: Size


class KeepOutTable(Table):
    """[[keep_out]]: a box within which no hole may be drilled."""

    name: Name
    corner: Point
    size: Size


class OutTable(Table):
    """[[cavity.out]], something that no foam goes into."""

    name: Name
    mesh: Name | None = None
    unit: MeshUnit | None = None
    shape: Raw | None = None
    tank: Literal["metallic", "non-metallic"] | None = None
    sole_support: Flag = False
    passes_through: Flag = False


class CavityTable(Table):
    """[[cavity]] with a mesh or a shape, without its holes and what is taken out."""

    name: Name
    group: Name | None = None
    mesh: Name | None = None
    unit: MeshUnit | None = None
    shape: Raw | None = None
    face: Literal["moulded", "laminate"]
    laminate: Thickness | None = None
    foam: Name | None = None
    exposure: Exposure
    hold_down: Force | None = None
    hold_down_by: Words | None = None


class TwinTable(Table):
    """[[cavity]] that is the mirrored twin of another one."""

    name: Name
    mirror: Name
    group: Name | None = None
    foam: Name | None = None
    exposure: Exposure | None = None
    hold_down: Force | None = None
    hold_down_by: Words | None = None
    hole_names: tuple[Name, ...] | None = None


class ChamberTable(Table):
    """[[chamber]]."""

    name: Name
    volume: Volume
    at: Point
    integral: Flag
    counted: Flag
    size: Size | None = None


class TankTable(Table):
    """[[tank]]; its solid is a mesh, a shape, or what a cavity leaves out for it."""

    name: Name
    mesh: Name | None = None
    unit: MeshUnit | None = None
    shape: Raw | None = None
    left_out: Name | None = None
    shell: Name
    contents: Name
    sealed: Flag
    restraint: Words | None = None


Points = Annotated[tuple[Point, ...], Example('[["4.3 m", "0 m", "0.78 m"], ...]')]


class TopTable(Table):
    """[top]."""

    forward: Points
    aft: Points


class HullTable(Table):
    """[hull], the watertight outside."""

    mesh: Name | None = None
    unit: MeshUnit | None = None
    shape: Raw | None = None
    openings: Points
