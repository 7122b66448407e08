"""The swamped boat as bodies: what weighs, where, and what it displaces where it is under water.

Water stands inside as high as outside and is not a weight; nothing above it lifts. Sheets are
immersed as prisms of their thickness, lumps as boxes, foam as the solids that it fills. What a
piece of the weight list displaces follows from its mass and the factor K that the general method
takes, mass (1 - K) / water, so the two methods say the same of a boat that is wholly under water.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property

from flotation.boat import Boat, FoamInPlace, Part, Role, Tank, Weight
from flotation.boat_places import Point
from flotation.equilibrium.bodies import Body, Box, as_point
from flotation.equilibrium.buoyancy import Buoyancy, buoyancy
from flotation.foamsystem import Foam
from flotation.geometry.solid import Skin, Solid
from flotation.rulebook import Material
from flotation.swamped.books import Books
from flotation.swamped.burdens import Burden, Listed
from flotation.swamped.factors import submergence_factor
from flotation.swamped.machinery import ROLES as MACHINERY_ROLES
from flotation.workings import Term

Lifting = tuple[tuple[Solid | Skin | Box | None, Point], ...]


class FoamState(StrEnum):
    """How dense the foam is, and how much water it took up."""

    STATED = "as poured, with the uptake that its data sheet states"
    LIGHT = "as light as its data sheet allows, dry"
    HEAVY = "as dense as its data sheet allows, with the stated uptake"


@dataclass(frozen=True)
class Choice:
    """One end of everything that can be taken in two ways.

    wood_lifts     wood displaces what it does; else as much as it weighs, so that it has no lift
    foam           its density and uptake
    machinery_dry  motor and battery with dry mass and a box each; else with their weight under
                   water, which displaces nothing
    tanks_lift     a sealed tank displaces its outside, and from an open one the contents are gone;
                   else both weigh with all that is in them and lift by their shells alone
    airtight       the air chambers that hold their air; the others are flooded
    at_edge        a load on one side lies at the edge of the passenger area, else in the middle of
                   that side
    dead_weight    the dead weight is aboard with a load on one side
    by_guidance    persons and dead weight as the handbook has them where it asks for more
    """

    wood_lifts: bool = False
    foam: FoamState = FoamState.STATED
    machinery_dry: bool = False
    tanks_lift: bool = False
    airtight: frozenset[str] = frozenset()
    at_edge: bool = False
    dead_weight: bool = True
    by_guidance: bool = False


class Kind(StrEnum):
    """What a piece of the swamped boat is."""

    SHEET = "sheet"
    LUMP = "lump"
    TANK = "tank"
    MACHINERY = "machinery"
    FOAM = "foam"
    CHAMBER = "air chamber"
    LOAD = "load"


@dataclass(frozen=True)
class Piece:
    """A body of the swamped boat, and the item, cavity, chamber or tank that it stands for."""

    kind: Kind
    item: str
    body: Body


@dataclass(frozen=True, eq=False)
class SwampedBoat:
    """A boat with its foam, to be set afloat under any choice.

    listed     the weight list as the calculation takes it
    machinery  what motor, controls and battery weigh under water
    water      density of the water of the calculation, kg/m3
    stated     the choice that the boat file and the regulation make
    """

    boat: Boat
    listed: tuple[Listed, ...]
    foam: tuple[FoamInPlace, ...]
    machinery: tuple[Burden, ...]
    water: Term
    books: Books
    stated: Choice

    def pieces(self, choice: Choice) -> tuple[Piece, ...]:
        """Everything aboard but the load of a test."""
        return (
            *(self._wood_lifting if choice.wood_lifts else self._sheets),
            *_lumps(self, choice.wood_lifts),
            *_tanks(self, choice),
            *_machinery(self, choice.machinery_dry),
            *(_foam(self.boat.foam(entry.foam), entry, choice.foam) for entry in self.foam),
            *_chambers(self.boat, choice.airtight),
        )

    def joined(self, pieces: Sequence[Piece]) -> Buoyancy | None:
        """What these pieces displace, told from the join of the stated choice; None for nothing."""
        bodies = [piece.body for piece in pieces if piece.body.displaces is not None]
        if not bodies:
            return None
        lifting = tuple((body.displaces, body.at) for body in bodies)
        if lifting not in self._joins:
            stated = self._joined
            made = buoyancy(bodies) if stated is None else stated.changed_to(bodies)
            self._joins[lifting] = made
        return self._joins[lifting]

    @cached_property
    def _joins(self) -> dict[Lifting, Buoyancy]:
        """Joins made so far, by what they displace and where."""
        return {}

    @cached_property
    def _joined(self) -> Buoyancy | None:
        bodies = [piece.body for piece in self.pieces(self.stated)]
        displacing = any(body.displaces is not None for body in bodies)
        return buoyancy(bodies) if displacing else None

    @cached_property
    def _sheets(self) -> tuple[Piece, ...]:
        return tuple(_sheet(self, part, wood_lifts=False) for part in self.boat.parts)

    @cached_property
    def _wood_lifting(self) -> tuple[Piece, ...]:
        """The sheets with wood lifting; those that are not wood stay the same values."""
        return tuple(
            _sheet(self, part, wood_lifts=True) if _is_wood(self.weight(part.weight)) else sheet
            for part, sheet in zip(self.boat.parts, self._sheets, strict=True)
        )

    def weight(self, item: str) -> Weight:
        """The entry of the weight list; KeyError if there is none."""
        for entry in self.listed:
            if entry.weight.item == item:
                return entry.weight
        raise KeyError(item)

    def displaced(self, weight: Weight, *, wood_lifts: bool) -> float:
        """M3 that an entry displaces under water: mass (1 - K) / water; 0 without a material."""
        if weight.material is None:
            return 0.0
        factor = self._factors[wood_lifts][weight.material]
        if weight.role is Role.PERMANENT_TANK:
            factor = max(factor, 0.0)
        return weight.mass * (1.0 - factor) / self.water.value

    @cached_property
    def _factors(self) -> Mapping[bool, Mapping[Material, float]]:
        """K of each material of the list, with wood lifting and without."""
        used = {entry.weight.material for entry in self.listed if entry.weight.material}
        methods = {lifts: replace(self.boat.method, wood_lifts=lifts) for lifts in (False, True)}
        return {
            lifts: {
                material: submergence_factor(material, self.water, method, self.books.guide).value
                for material in used
            }
            for lifts, method in methods.items()
        }


def _is_wood(weight: Weight) -> bool:
    return weight.material is not None and weight.material.is_wood


def lacking(boat: Boat) -> tuple[str, ...]:
    """What the boat file does not say and a test in the water needs; nothing is guessed.

    An entry with a material displaces something, so it needs a sheet, a tank or the box that it
    fills; a chamber needs its box; the reference areas need points.
    """
    drawn = _drawn(boat)
    bare = [
        weight.item
        for weight in boat.weights
        if weight.material is not None and weight.item not in drawn and weight.size is None
    ]
    found = [f"a box (size) or a sheet ([[part]]) for {', '.join(bare)}"] if bare else []
    chambers = [one.name for one in boat.chambers if one.size is None]
    found += [f"the box (size) of the air chamber {', '.join(chambers)}"] if chambers else []
    if boat.top is None:
        found.append("[top]: points on the real top of hull or deck in the reference areas")
    return tuple(found)


def _drawn(boat: Boat) -> frozenset[str]:
    """The entries of the weight list that a sheet or a tank stands for."""
    tanks = [item for tank in boat.tanks for item in (tank.shell, tank.contents)]
    return frozenset([*(part.weight for part in boat.parts), *tanks])


def _sheet(swamped: SwampedBoat, part: Part, *, wood_lifts: bool) -> Piece:
    """A part; it takes its share, by volume as drawn, of mass and displacement of its item."""
    weight = swamped.weight(part.weight)
    drawn = sum(one.skin.volume for one in swamped.boat.parts if one.weight == part.weight)
    share = part.skin.volume / drawn
    thickness = part.skin.thickness * swamped.displaced(weight, wood_lifts=wood_lifts) / drawn
    skin = Skin(part.skin.vertices, part.skin.faces, thickness, part.name)
    body = Body(share * weight.mass, as_point(skin.centroid), skin, part.name)
    return Piece(Kind.SHEET, part.weight, body)


def _lumps(swamped: SwampedBoat, wood_lifts: bool) -> list[Piece]:
    """The entries that are no sheet, tank or machinery; without a material they only weigh."""
    drawn = _drawn(swamped.boat)
    skipped = MACHINERY_ROLES | {Role.PORTABLE_TANK}
    found = []
    for weight in (entry.weight for entry in swamped.listed):
        if weight.item in drawn or weight.role in skipped:
            continue
        volume = swamped.displaced(weight, wood_lifts=wood_lifts)
        box = None if volume == 0.0 or weight.size is None else spread_in(weight.size, volume)
        found.append(Piece(Kind.LUMP, weight.item, Body(weight.mass, weight.at, box, weight.item)))
    return found


def spread_in(size: Point, volume: float) -> Box:
    """A box as high as the one that a thing fills, so narrow that it has the displaced volume.

    size    length, breadth, height, m, of the box around the thing
    volume  m3 that it displaces: a console is mostly air, a motor mostly iron and air
    Length and breadth shrink in one proportion; where the thing displaces more than its box
    they grow.
    """
    narrow = math.sqrt(volume / math.prod(size))
    return Box((narrow * size[0], narrow * size[1], size[2]))


def _tanks(swamped: SwampedBoat, choice: Choice) -> list[Piece]:
    return [piece for tank in swamped.boat.tanks for piece in _tank(swamped, tank, choice)]


def _tank(swamped: SwampedBoat, tank: Tank, choice: Choice) -> list[Piece]:
    """Shell and contents at the tank's place."""
    shell, contents = swamped.weight(tank.shell), swamped.weight(tank.contents)
    inside = Piece(Kind.TANK, contents.item, Body(contents.mass, contents.at, None, contents.item))
    if choice.tanks_lift and tank.sealed:
        body = Body(shell.mass, shell.at, tank.solid, shell.item)
        return [Piece(Kind.TANK, shell.item, body), inside]
    size = as_point(tank.solid.bounds[1] - tank.solid.bounds[0])
    volume = swamped.displaced(shell, wood_lifts=choice.wood_lifts)
    box = spread_in(size, volume)
    empty = Body(shell.mass, as_point(tank.solid.centroid), box, shell.item)
    gone = choice.tanks_lift  # an open tank: water takes the place of what was in it
    return [Piece(Kind.TANK, shell.item, empty), *([] if gone else [inside])]


def _machinery(swamped: SwampedBoat, dry: bool) -> list[Piece]:
    """Motor, controls and battery: as they weigh under water, or dry and in a box."""
    by_symbol = {entry.symbol: entry.weight for entry in swamped.listed}
    found = []
    for burden in swamped.machinery:
        weight = by_symbol[burden.symbol]
        displaced = (weight.mass - burden.line.value) / swamped.water.value
        body = Body(burden.line.value, weight.at, None, weight.item)
        if dry and weight.size is not None and displaced > 0.0:
            box = spread_in(weight.size, displaced)
            body = Body(weight.mass, weight.at, box, weight.item)
        found.append(Piece(Kind.MACHINERY, weight.item, body))
    return found


def _foam(system: Foam, entry: FoamInPlace, state: FoamState) -> Piece:
    """Foam weighs with the water that it took up, and displaces the solid that it fills."""
    share = {
        FoamState.STATED: 1.0,
        FoamState.LIGHT: system.free_rise_low / system.free_rise_density,
        FoamState.HEAVY: system.free_rise_high / system.free_rise_density,
    }[state]
    taken_up = 0.0 if state is FoamState.LIGHT else entry.uptake * entry.solid.volume
    mass = share * entry.mass + taken_up
    body = Body(mass, as_point(entry.solid.centroid), entry.solid, entry.cavity)
    return Piece(Kind.FOAM, entry.cavity, body)


def _chambers(boat: Boat, airtight: frozenset[str]) -> list[Piece]:
    return [
        Piece(
            Kind.CHAMBER,
            chamber.name,
            Body(0.0, chamber.at, spread_in(chamber.size, chamber.volume), chamber.name),
        )
        for chamber in boat.chambers
        if chamber.name in airtight and chamber.size is not None
    ]
