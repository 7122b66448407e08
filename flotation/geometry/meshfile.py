"""A mesh file and its unit -> the triangles of a solid in metres, or a refusal.

STL has a fixed layout and is read in this process. Every other format goes to a mesh library
(trimesh) in a process of its own, with limits on memory and time: a file of a few hundred
kilobytes can unpack to gigabytes. Starting that process costs about a second a file, which STL
does not pay.
"""

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.meshfile_checks import (
    Drawing,
    check_finite,
    check_sheet,
    check_solid,
    join_corners,
)
from flotation.geometry.meshfile_child import REFUSED, STEP_TOLERANCE
from flotation.geometry.meshfile_stl import read_stl

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

METRES = {"mm": 0.001, "cm": 0.01, "m": 1.0, "in": 0.0254, "ft": 0.3048}
WITHOUT_UNIT = ("stl", "obj", "ply", "off")
WITH_UNIT = ("3mf", "glb", "step", "stp")
MAX_BYTES = 250_000_000
_MEMORY = 4_000_000_000
_SECONDS = 60.0
_NOTEWORTHY = 1e-3
_SMALL, _LARGE = 0.01, 100.0
_METRES_OF_FILES = {**METRES, "um": 1e-6}
_CHILD = Path(__file__).with_name("meshfile_child.py")
_Y_UP_TO_Z_UP = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]])


@dataclass(frozen=True)
class Mesh:
    """The triangles of a closed, outward surface, or of a sheet, in metres.

    vertices  (n, 3) m, no position twice
    faces     (m, 3), of a closed surface counterclockwise seen from outside
    notes     what the reader of a report should know about the file, one sentence each
    surface_error  m by which the triangles may stand off the drawing's curved faces; 0 for a
                   file of triangles, whose own chords nobody knows
    """

    vertices: Floats
    faces: Integers
    notes: tuple[str, ...]
    surface_error: float = 0.0


def read_mesh(
    path: str | Path, *, unit: str | None, name: str = "", max_bytes: int = MAX_BYTES
) -> Mesh:
    """Which solid does a mesh file hold?

    path       STL, OBJ, PLY, OFF, 3MF, GLB or STEP, told by its ending; archives are refused
    unit       "mm", "cm", "m", "in" or "ft". STL, OBJ, PLY and OFF have none of their own, so
               it must be given; 3MF and GLB carry one, which a given one must not contradict;
               STEP is turned into metres by its own unit, so none is given
    name       how messages call the file; "" for the path as given
    max_bytes  larger files are refused
    Returns a Mesh. Raises MeshError with every fault found, each with file, triangles or
    places, and what to do: missing, empty, cut off, too large, another format, not finite, open,
    wound against the neighbours, inside out, doubled, overlapping.

    Nothing is repaired. Corners at exactly one position are joined, because most formats repeat
    them; triangles which that leaves without area fall away, with a note. GLB has y up by its
    standard and is turned so that z is up.
    """
    place = name or str(path)
    return _checked(_drawn(path, unit, place, max_bytes), place, closed=True)


def read_sheet(
    path: str | Path, *, unit: str | None, name: str = "", max_bytes: int = MAX_BYTES
) -> Mesh:
    """Which sheet, of a thickness that stands elsewhere, does a mesh file hold?

    Arguments, result and errors as for `read_mesh`, except that the surface may be open, may
    branch and need not be wound alike. A triangle that stands there twice is refused, and so is
    a surface that goes through itself.
    """
    place = name or str(path)
    return _checked(_drawn(path, unit, place, max_bytes), place, closed=False)


@dataclass(frozen=True)
class _Drawn:
    """Triangles as a file gives them, in its own unit, unchecked."""

    vertices: Floats
    faces: Integers
    unit: str
    notes: tuple[str, ...]
    surface_error: float = 0.0


def _drawn(path: str | Path, unit: str | None, place: str, max_bytes: int) -> _Drawn:
    """The triangles of a file, unchecked; MeshError for a file that is not what it says."""
    file = Path(path)
    ending = file.suffix.lower().lstrip(".")
    faults = [*_unknown_ending(place, ending), *_unfit_unit(place, ending, unit)]
    faults += _out_of_reach(file, place, max_bytes)
    if faults:
        raise MeshError(faults)
    try:
        data = file.read_bytes()
    except OSError as error:
        raise MeshError(_unreadable(place, error)) from None
    if ending == "stl":
        corners = read_stl(data, place)
        numbers = np.arange(3 * len(corners)).reshape(-1, 3)
        return _Drawn(corners.reshape(-1, 3), numbers, str(unit), ())
    return _read_apart(data, "step" if ending == "stp" else ending, place, unit)


def _unknown_ending(place: str, ending: str) -> list[Fault]:
    if ending in (*WITHOUT_UNIT, *WITH_UNIT):
        return []
    known = ", ".join(one.upper() for one in (*WITHOUT_UNIT, *WITH_UNIT))
    problem = f"a file ending in '.{ending}' is not read" if ending else "the file has no ending"
    return [Fault(place, problem, f"Name a mesh file, unpacked: {known}.")]


def _unfit_unit(place: str, ending: str, unit: str | None) -> list[Fault]:
    choice = ", ".join(f'"{one}"' for one in METRES)
    if unit is None and ending in WITHOUT_UNIT:
        problem = f"no unit is given, and {ending.upper()} files have none of their own"
        return [Fault(place, problem, f"State the unit that it was drawn in: {choice}.")]
    if unit is not None and unit not in METRES:
        return [Fault(place, f"the unit '{unit}' is not known", f"Write one of {choice}.")]
    return []


def _out_of_reach(file: Path, place: str, max_bytes: int) -> list[Fault]:
    try:
        if not file.is_file():
            what = "this is a folder" if file.is_dir() else "there is no such file"
            return [Fault(place, what, "Correct the name, or put the file there.")]
        size = file.stat().st_size
    except OSError as error:
        return [_unreadable(place, error)]
    if size > max_bytes:
        problem = f"the file has {size / 1e6:.0f} MB, more than the {max_bytes / 1e6:.0f} MB read"
        return [Fault(place, problem, "Export a coarser mesh; 1 mm of tolerance is plenty.")]
    if size == 0:
        return [Fault(place, "the file is empty", "Export the mesh again from the drawing.")]
    return []


def _unreadable(place: str, error: OSError) -> Fault:
    problem = f"the file cannot be read: {error.strerror or error}"
    return Fault(place, problem, "Look at its name and at who may read it.")


def _read_apart(data: bytes, ending: str, place: str, unit: str | None) -> _Drawn:
    """Let the child process read the file, and take its answer."""
    packed = np.load(BytesIO(_ask_child(data, ending, place)), allow_pickle=False)
    own = str(packed["unit"])
    if own and unit not in (None, own):
        problem = f"the unit is given as '{unit}', but the file is in '{own}'"
        raise MeshError(Fault(place, problem, f"Leave the unit out, or write '{own}'."))
    vertices, notes = packed["vertices"], []
    if ending == "glb":
        vertices = vertices @ _Y_UP_TO_Z_UP.T
        notes.append("GLB has y up by its standard; the mesh was turned so that z is up.")
    if ending == "step":
        notes.append(
            "The curved faces of STEP were cut into triangles that stand off them by at most "
            f"{STEP_TOLERANCE * 1000.0:.3g} mm; the error bound of a found cavity counts that."
        )
    if packed["polygons"]:
        notes.append(
            f"{packed['polygons']} faces have more than three corners and were split into "
            "triangles; where such a face is not flat, its shape depends on the split."
        )
    off = STEP_TOLERANCE if ending == "step" else 0.0
    return _Drawn(vertices, packed["faces"], own or str(unit), tuple(notes), off)


def _ask_child(data: bytes, ending: str, place: str) -> bytes:
    command = [sys.executable, "-P", str(_CHILD), ending, str(_MEMORY)]
    one_thread = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    simpler = "Export a coarser mesh, or STL."
    try:
        child = subprocess.run(
            command, input=data, capture_output=True, timeout=_SECONDS, check=False, env=one_thread
        )
    except subprocess.TimeoutExpired:
        problem = f"reading it takes more than {_SECONDS:.0f} s"
        raise MeshError(Fault(place, problem, simpler)) from None
    if child.returncode == 0:
        return child.stdout
    if child.returncode == REFUSED:
        raise MeshError(Fault(place, **json.loads(child.stdout)))
    last = child.stderr.decode("utf-8", "replace").strip().rsplit("\n", 1)[-1][:200]
    if child.returncode < 0 or last.startswith(("MemoryError", "numpy._core._exceptions")):
        problem = f"reading it takes more than {_MEMORY / 1e9:.0f} GB of memory"
        raise MeshError(Fault(place, problem, simpler))
    problem = f"this is no {ending.upper()} file that can be read ({last})"
    raise MeshError(Fault(place, problem, "Export the mesh again from the drawing, or as STL."))


def _checked(drawn: _Drawn, place: str, *, closed: bool) -> Mesh:
    """Check the surface in the unit of the drawing, then turn it into metres."""
    drawing = Drawing(place, drawn.unit)
    check_finite(drawn.vertices, drawn.faces, drawing)
    vertices, faces, fallen = join_corners(drawn.vertices, drawn.faces)
    notes = list(drawn.notes)
    if closed:
        notes += _coarse(drawn.vertices, vertices, faces, drawn.unit)
    if fallen.size:
        notes.append(
            f"{fallen.size} triangles have two corners at one position, so no area, and were "
            "left out; the volume does not depend on them."
        )
    if not len(faces):
        raise MeshError(Fault(place, "no triangle has any area", "Export a mesh of the solid."))
    check = check_solid if closed else check_sheet
    check(vertices, faces, drawing)
    metres = vertices * _METRES_OF_FILES[drawn.unit]
    return Mesh(metres, faces, (*notes, *_unlikely_size(metres)), drawn.surface_error)


def _coarse(read: Floats, vertices: Floats, faces: Integers, unit: str) -> list[str]:
    """Say so where coordinates of single precision lie too far from the origin.

    A corner is then off by up to half a step along each axis, so the volume by up to
    area x step x sqrt(3) / 2.
    """
    if not np.array_equal(read, read.astype(np.float32)):
        return []
    furthest = float(np.abs(vertices).max())
    step = float(np.spacing(np.float32(furthest)))
    a, b, c = (vertices[faces[:, i]] - vertices.mean(axis=0) for i in range(3))
    area = 0.5 * float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum())
    volume = abs(float(np.einsum("ij,ij->", a, np.cross(b, c)))) / 6.0
    if area * step * np.sqrt(0.75) <= _NOTEWORTHY * volume:
        return []
    share = 100.0 * area * step * np.sqrt(0.75) / volume if volume else np.inf
    return [
        f"Coordinates as large as {furthest:.3g} {unit} are stored to {step:.2g} {unit} only, so "
        f"the volume may be off by up to {share:.2g} %: move the drawing to the boat's origin and "
        "export again."
    ]


def _unlikely_size(vertices: Floats) -> list[str]:
    size = np.ptp(vertices, axis=0)
    if _SMALL <= size.max() <= _LARGE:
        return []
    length, breadth, height = (f"{side:.3g}" for side in size)
    return [f"It measures {length} x {breadth} x {height} m: compare the unit."]
