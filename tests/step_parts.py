"""STEP files written out by hand: flat-sided bodies, hollow ones, round bars and pipes."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from flotation.geometry.solid import Solid

_UNITS = {
    "mm": "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))",
    "m": "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT($,.METRE.))",
}
_INCH = "(CONVERSION_BASED_UNIT('INCH',#{measure})LENGTH_UNIT()NAMED_UNIT(#{sizes}))"
SCALE = {"mm": 1000.0, "m": 1.0, "in": 1.0 / 0.0254}


@dataclass
class Sheet:
    """The lines of a STEP file; each has a number."""

    unit: str
    lines: list[str] = field(default_factory=list)

    def add(self, text: str) -> str:
        self.lines.append(text)
        return f"#{len(self.lines)}"

    def point(self, at: Sequence[float]) -> str:
        size = SCALE[self.unit]
        values = ",".join(f"{size * float(x):.9f}" for x in at)
        return self.add(f"CARTESIAN_POINT('',({values}))")

    def axes(self, at: Sequence[float], along: Sequence[float], across: Sequence[float]) -> str:
        where = self.point(at)
        main, side = (
            self.add(f"DIRECTION('',({','.join(f'{float(x):.12f}' for x in one)}))")
            for one in (along, across)
        )
        return self.add(f"AXIS2_PLACEMENT_3D('',{where},{main},{side})")


Body = Callable[[Sheet], str]


def flat_sided(solid: Solid) -> Body:
    """A body of the triangles of a solid."""

    def body(sheet: Sheet) -> str:
        return sheet.add(f"MANIFOLD_SOLID_BREP('',{_shell(sheet, solid)})")

    return body


def hollow(outside: Solid, inside: Solid) -> Body:
    """A body with a closed hollow in it."""

    def body(sheet: Sheet) -> str:
        inner = _shell(sheet, inside)
        void = sheet.add(f"ORIENTED_CLOSED_SHELL('',*,{inner},.F.)")
        return sheet.add(f"BREP_WITH_VOIDS('',{_shell(sheet, outside)},({void}))")

    return body


def _shell(sheet: Sheet, solid: Solid) -> str:
    corners = [sheet.point(vertex) for vertex in solid.vertices]
    ends = [sheet.add(f"VERTEX_POINT('',{corner})") for corner in corners]
    edges: dict[tuple[int, int], str] = {}
    faces = []
    for face in solid.faces.tolist():
        loop = []
        for a, b in zip(face, face[1:] + face[:1], strict=True):
            low, high = sorted((a, b))
            if (low, high) not in edges:
                edges[low, high] = _straight(sheet, solid, (low, high), (corners, ends))
            sense = ".T." if a < b else ".F."
            loop.append(sheet.add(f"ORIENTED_EDGE('',*,*,{edges[low, high]},{sense})"))
        ring = sheet.add(f"EDGE_LOOP('',({','.join(loop)}))")
        bound = sheet.add(f"FACE_OUTER_BOUND('',{ring},.T.)")
        faces.append(sheet.add(f"ADVANCED_FACE('',({bound}),{_plane(sheet, solid, face)},.T.)"))
    return sheet.add(f"CLOSED_SHELL('',({','.join(faces)}))")


def _straight(
    sheet: Sheet, solid: Solid, ends: tuple[int, int], named: tuple[list[str], list[str]]
) -> str:
    along = solid.vertices[ends[1]] - solid.vertices[ends[0]]
    unit = along / (along @ along) ** 0.5
    way = sheet.add(f"DIRECTION('',({','.join(f'{float(x):.12f}' for x in unit)}))")
    vector = sheet.add(f"VECTOR('',{way},1.)")
    line = sheet.add(f"LINE('',{named[0][ends[0]]},{vector})")
    return sheet.add(f"EDGE_CURVE('',{named[1][ends[0]]},{named[1][ends[1]]},{line},.T.)")


def _plane(sheet: Sheet, solid: Solid, face: Sequence[int]) -> str:
    a, b, c = (solid.vertices[corner] for corner in face)
    one, two = b - a, c - a
    normal = [
        one[1] * two[2] - one[2] * two[1],
        one[2] * two[0] - one[0] * two[2],
        one[0] * two[1] - one[1] * two[0],
    ]
    size = sum(x * x for x in normal) ** 0.5
    across = one / (one @ one) ** 0.5
    return sheet.add(f"PLANE('',{sheet.axes(a, [x / size for x in normal], across)})")


def round_bar(radius: float, height: float) -> Body:
    """A bar along z from the origin, m."""
    return pipe(0.0, radius, height)


def pipe(inner: float, outer: float, height: float) -> Body:
    """A pipe along z from the origin, m, its ends cut square; a bar where `inner` is 0."""

    def body(sheet: Sheet) -> str:
        radii = [radius for radius in (outer, inner) if radius > 0.0]
        rounds = [_round(sheet, radius, height) for radius in radii]
        faces = [
            sheet.add(f"ADVANCED_FACE('',({bound}),{surface},{sense})")
            for (bound, surface), sense in zip(
                (_mantle(sheet, one, sense) for one, sense in zip(rounds, _SENSES, strict=False)),
                _SENSES,
                strict=False,
            )
        ]
        for end, sense in ((0, ".F."), (1, ".T.")):
            bounds = []
            for one, way in zip(rounds, (sense, _other(sense)), strict=False):
                edge = sheet.add(f"ORIENTED_EDGE('',*,*,{one.circles[end]},.T.)")
                ring = sheet.add(f"EDGE_LOOP('',({edge}))")
                bounds.append(sheet.add(f"FACE_BOUND('',{ring},{way})"))
            plane = sheet.add(f"PLANE('',{rounds[0].axes[end]})")
            faces.append(sheet.add(f"ADVANCED_FACE('',({','.join(bounds)}),{plane},{sense})"))
        shell = sheet.add(f"CLOSED_SHELL('',({','.join(faces)}))")
        return sheet.add(f"MANIFOLD_SOLID_BREP('',{shell})")

    return body


_SENSES = (".T.", ".F.")


def _other(sense: str) -> str:
    return ".F." if sense == ".T." else ".T."


@dataclass
class _Round:
    """A cylinder's seam, its two circles, their axes, and its surface."""

    seam: str
    circles: tuple[str, str]
    axes: tuple[str, str]
    surface: str


def _round(sheet: Sheet, radius: float, height: float) -> _Round:
    size = SCALE[sheet.unit]
    axes, circles, ends, corners = [], [], [], []
    for z in (0.0, height):
        axes.append(sheet.axes((0.0, 0.0, z), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)))
        corners.append(sheet.point((radius, 0.0, z)))
        ends.append(sheet.add(f"VERTEX_POINT('',{corners[-1]})"))
        circle = sheet.add(f"CIRCLE('',{axes[-1]},{size * radius:.9f})")
        circles.append(sheet.add(f"EDGE_CURVE('',{ends[-1]},{ends[-1]},{circle},.T.)"))
    way = sheet.add("DIRECTION('',(0.,0.,1.))")
    up = sheet.add(f"VECTOR('',{way},1.)")
    line = sheet.add(f"LINE('',{corners[0]},{up})")
    seam = sheet.add(f"EDGE_CURVE('',{ends[0]},{ends[1]},{line},.T.)")
    surface = sheet.add(f"CYLINDRICAL_SURFACE('',{axes[0]},{size * radius:.9f})")
    return _Round(seam, (circles[0], circles[1]), (axes[0], axes[1]), surface)


def _mantle(sheet: Sheet, one: _Round, sense: str) -> tuple[str, str]:
    loop = [
        sheet.add(f"ORIENTED_EDGE('',*,*,{edge},{way})")
        for edge, way in zip(
            (one.circles[0], one.seam, one.circles[1], one.seam),
            (".T.", ".T.", ".F.", ".F."),
            strict=True,
        )
    ]
    ring = sheet.add(f"EDGE_LOOP('',({','.join(loop)}))")
    return sheet.add(f"FACE_BOUND('',{ring},{sense})"), one.surface


def step_file(unit: str, *bodies: Body) -> str:
    """A STEP file of these bodies; `unit` is "mm", "m" or "in"."""
    sheet = Sheet(unit)
    made = [body(sheet) for body in bodies]
    origin = sheet.axes((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    shape = f"ADVANCED_BREP_SHAPE_REPRESENTATION('',({','.join([origin, *made])}),"
    representation = sheet.add(f"{shape}{_context(sheet)})")
    _product(sheet, representation)
    rows = "\n".join(f"#{number}={text};" for number, text in enumerate(sheet.lines, 1))
    return f"""ISO-10303-21;
HEADER;
FILE_DESCRIPTION(('part'),'2;1');
FILE_NAME('part','2026-01-01T00:00:00',(''),(''),'','','');
FILE_SCHEMA(('AUTOMOTIVE_DESIGN {{ 1 0 10303 214 1 1 1 1 }}'));
ENDSEC;
DATA;
{rows}
ENDSEC;
END-ISO-10303-21;
"""


def _context(sheet: Sheet) -> str:
    length = _length(sheet)
    turn = sheet.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))")
    cone = sheet.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())")
    near = sheet.add(
        f"UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-05),{length},'distance','')"
    )
    return sheet.add(
        f"(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT(({near}))"
        f"GLOBAL_UNIT_ASSIGNED_CONTEXT(({length},{turn},{cone}))REPRESENTATION_CONTEXT('',''))"
    )


def _length(sheet: Sheet) -> str:
    if sheet.unit in _UNITS:
        return sheet.add(_UNITS[sheet.unit])
    metric = sheet.add(_UNITS["mm"])
    measure = sheet.add(f"LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),{metric})")
    sizes = sheet.add("DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.)")
    return sheet.add(_INCH.format(measure=measure[1:], sizes=sizes[1:]))


def _product(sheet: Sheet, representation: str) -> None:
    design = sheet.add(
        "APPLICATION_CONTEXT('core data for automotive mechanical design processes')"
    )
    name = "'international standard','automotive_design',2000"
    sheet.add(f"APPLICATION_PROTOCOL_DEFINITION({name},{design})")
    context = sheet.add(f"PRODUCT_CONTEXT('',{design},'mechanical')")
    product = sheet.add(f"PRODUCT('part','part','',({context}))")
    formation = sheet.add(f"PRODUCT_DEFINITION_FORMATION('','',{product})")
    stage = sheet.add(f"PRODUCT_DEFINITION_CONTEXT('part definition',{design},'design')")
    definition = sheet.add(f"PRODUCT_DEFINITION('design','',{formation},{stage})")
    shape = sheet.add(f"PRODUCT_DEFINITION_SHAPE('','',{definition})")
    sheet.add(f"SHAPE_DEFINITION_REPRESENTATION({shape},{representation})")
