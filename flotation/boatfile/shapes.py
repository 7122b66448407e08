"""Shapes without a drawing: their tables in a boat file -> solids.

`shape = { kind = "box", ... }`; the tables below are the kinds. Stations go from aft forward.
"""

from typing import Annotated, Literal

from flotation.boat import HandCheck
from flotation.boatfile.entries import YZ, Area, Coordinate, Example, Length, Point, Size, Thickness
from flotation.boatfile.findings import nearest
from flotation.boatfile.place import Place
from flotation.boatfile.schema import Table
from flotation.geometry import shapes, shapes_hats, shapes_round, shapes_stations
from flotation.geometry.solid import Solid
from flotation.geometry.stations import section_areas, simpson, trapezoidal


class BoxTable(Table):
    """A box along the axes: its aft, starboard, lower corner and its size."""

    kind: Literal["box"]
    corner: Point
    size: Size

    def solid(self, name: str) -> Solid:
        """The box."""
        return shapes.box(self.corner, self.size, name=name)


class PrismTable(Table):
    """A flat outline pushed along a direction."""

    kind: Literal["prism"]
    outline: Annotated[tuple[Point, ...], Example('[["0 m", "0 m", "0 m"], ...]')]
    along: Point

    def solid(self, name: str) -> Solid:
        """The prism."""
        return shapes.prism(self.outline, self.along, name=name)


class TubeTable(Table):
    """A round tube along straight pieces."""

    kind: Literal["tube"]
    path: Annotated[
        tuple[Point, ...], Example('[["0 m", "0.7 m", "0.5 m"], ["3 m", "0.7 m", "0.5 m"]]')
    ]
    diameter: Length

    def solid(self, name: str) -> Solid:
        """The tube."""
        return shapes_round.tube(self.path, self.diameter, name=name)


class ConeTable(Table):
    """A round cone, cut square at both ends."""

    kind: Literal["cone"]
    start: Point
    end: Point
    start_diameter: Thickness
    end_diameter: Thickness

    def solid(self, name: str) -> Solid:
        """The cone."""
        ends = (self.start_diameter, self.end_diameter)
        return shapes_round.frustum(self.start, self.end, ends, name=name)


class BallTable(Table):
    """A ball."""

    kind: Literal["ball"]
    centre: Point
    diameter: Length

    def solid(self, name: str) -> Solid:
        """The ball."""
        return shapes_round.sphere(self.centre, self.diameter, name=name)


class HatStationTable(Table):
    """The section of a hat at one point of its path."""

    at: Point
    base_width: Length
    top_width: Thickness
    height: Length


class HatTable(Table):
    """The inside of a hat-section stringer."""

    kind: Literal["hat stringer"]
    stations: Annotated[tuple[HatStationTable, ...], Example("[{ at = ... }, ...]")]

    def solid(self, name: str) -> Solid:
        """The stringer."""
        stations = [
            shapes_hats.HatStation(one.at, one.base_width, one.top_width, one.height)
            for one in self.stations
        ]
        return shapes_hats.hat_stringer(stations, name=name)


class AreaStationTable(Table):
    """One section known by its area."""

    x: Coordinate
    y: Coordinate
    area: Area
    bottom: Coordinate
    height: Length


class AreasTable(Table):
    """Stations of section areas."""

    kind: Literal["section areas"]
    stations: Annotated[tuple[AreaStationTable, ...], Example("[{ x = ... }, ...]")]

    def solid(self, name: str) -> Solid:
        """The solid of these areas."""
        stations = [
            shapes_stations.AreaStation(one.x, one.area, one.height, one.bottom, one.y)
            for one in self.stations
        ]
        return shapes_stations.from_section_areas(stations, name=name)

    def by_hand(self, solid: Solid) -> HandCheck:
        """The areas as stated, by the rules of the yard."""
        return _by_hand(
            [one.x for one in self.stations], [one.area for one in self.stations], solid
        )


class OffsetStationTable(Table):
    """One section as points (y, z) in order round it."""

    x: Coordinate
    points: Annotated[tuple[YZ, ...], Example('[["0.7 m", "0.3 m"], ...]')]


class OffsetsTable(Table):
    """Stations of offsets, lofted."""

    kind: Literal["offsets"]
    stations: Annotated[tuple[OffsetStationTable, ...], Example("[{ x = ... }, ...]")]

    def solid(self, name: str) -> Solid:
        """The lofted solid."""
        stations = [shapes_stations.OffsetStation(one.x, one.points) for one in self.stations]
        return shapes_stations.from_offsets(stations, name=name)

    def by_hand(self, solid: Solid) -> HandCheck:
        """The areas of the sections, by the rules of the yard."""
        x = [one.x for one in self.stations]
        return _by_hand(x, [float(area) for area in section_areas(solid, x)], solid)


def _by_hand(x: list[float], areas: list[float], solid: Solid) -> HandCheck:
    return HandCheck(trapezoidal(x, areas), simpson(x, areas), solid.volume)


Shape = (
    BoxTable | PrismTable | TubeTable | ConeTable | BallTable | HatTable | AreasTable | OffsetsTable
)

SHAPES: dict[str, type[Shape]] = {
    "box": BoxTable,
    "prism": PrismTable,
    "tube": TubeTable,
    "cone": ConeTable,
    "ball": BallTable,
    "hat stringer": HatTable,
    "section areas": AreasTable,
    "offsets": OffsetsTable,
}


def read_shape(place: Place, raw: object) -> Shape | None:
    """The table of a shape, or None after its faults were added."""
    kind = raw.get("kind") if isinstance(raw, dict) else None
    if not isinstance(raw, dict):
        place.fault("", "a shape is a table", 'Write { kind = "box", ... }.')
    elif kind is None:
        place.fault("", '"kind" is missing', nearest("", list(SHAPES)))
    elif not isinstance(kind, str) or kind not in SHAPES:
        place.fault("kind", f'"{kind}" is no kind of shape', nearest(str(kind), list(SHAPES)))
    else:
        return place.check(SHAPES[kind], raw)
    return None
