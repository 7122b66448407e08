"""The process of its own in which a mesh library reads a file that nobody vouches for.

    python meshfile_child.py ENDING MEMORY < bytes of the file > arrays

Run as a script with a limit on memory; `meshfile` starts it, sets the limit on time and reads
its answer. It sees bytes and no path, so the mesh library can open nothing else. It counts by
itself what the file claims to hold, because the library drops what it does not understand.

Answer: exit 0 and the arrays in numpy's npz layout; exit 3 and a JSON object with "problem" and
"remedy"; any other end means that the library could not read the file.
"""

import json
import os
import sys
import warnings
import zipfile
from collections import Counter
from dataclasses import dataclass
from io import BytesIO
from typing import Any
from xml.etree import ElementTree

import numpy as np
from numpy.typing import NDArray

REFUSED = 3
# m by which triangles may stand off a curved face of a STEP file: half of it on a round bar
STEP_TOLERANCE = 1e-4
MAX_UNPACKED = 1_000_000_000
_UNITS_3MF = {
    "micron": "um",
    "millimeter": "mm",
    "centimeter": "cm",
    "meter": "m",
    "inch": "in",
    "foot": "ft",
}
_PRODUCTION = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
_TRIANGLES, _STRIP = 4, 5
_AGAIN = "Export the mesh again from the drawing; the file was cut off or damaged."
_AS_STL = "Export the solid as plain triangles, or as STL."


class Refusal(Exception):  # noqa: N818 - it is an answer, told to the parent process as JSON
    """The file cannot be used; what is wrong and what to do."""

    def __init__(self, problem: str, remedy: str = _AGAIN) -> None:
        super().__init__(problem)
        self.problem = problem
        self.remedy = remedy


@dataclass(frozen=True)
class Claim:
    """What the file says about itself.

    triangles  how many triangles it must give; None: the layout does not tell
    unit       its length unit; "" where the format has none
    polygons   faces with more than three corners, which the library splits into triangles
    """

    triangles: int | None
    unit: str = ""
    polygons: int = 0


def claim(data: bytes, ending: str) -> Claim:
    """Read off the bytes what the file must hold. Raises Refusal for what cannot be read."""
    return {"obj": _obj, "off": _off, "ply": _ply, "3mf": _3mf, "glb": _glb, "step": _step}[ending](
        data
    )


def load(data: bytes, ending: str) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Vertices and triangles of everything in the file, each instance where the file puts it."""
    import trimesh  # noqa: PLC0415 - takes most of a second, and only this process pays it

    if ending == "step":
        data, ending = _cut_into_triangles(data), "glb"
    scene = trimesh.load_scene(BytesIO(data), file_type=ending, process=False, skip_materials=True)
    vertices, faces, count = [np.empty((0, 3))], [np.empty((0, 3), dtype=np.int64)], 0
    for node in scene.graph.nodes_geometry:
        transform, name = scene.graph[node]
        part = scene.geometry[name]
        if not isinstance(part, trimesh.Trimesh):
            raise Refusal("it holds points or lines beside triangles", _AS_STL)
        placed = part.vertices @ transform[:3, :3].T + transform[:3, 3]
        mirrored = np.linalg.det(transform[:3, :3]) < 0.0
        vertices.append(placed)
        faces.append(count + (part.faces[:, ::-1] if mirrored else part.faces))
        count += len(placed)
    return np.concatenate(vertices), np.concatenate(faces)


def _split(corners: Counter[int]) -> Claim:
    """Triangles that faces of so many corners give; at least three each."""
    if any(count < 3 for count in corners):
        raise Refusal("a face has fewer than three corners")
    triangles = sum(number * (count - 2) for count, number in corners.items())
    polygons = sum(number for count, number in corners.items() if count > 3)
    return Claim(triangles, polygons=polygons)


def _obj(data: bytes) -> Claim:
    text = data.replace(b"\\\r\n", b" ").replace(b"\\\n", b" ")
    rows = [line.split(b"#")[0].split() for line in text.splitlines()]
    faces = [row[1:] for row in rows if row and row[0] == b"f"]
    if not any(row and row[0] == b"v" for row in rows):
        raise Refusal("it has no line 'v x y z', so it is no OBJ file or holds no mesh", _AS_STL)
    if any(corner.startswith((b"-", b"0")) for face in faces for corner in face):
        raise Refusal(
            "it counts corners backwards (negative numbers) or from zero",
            "Export with corner numbers counted from 1, or as STL.",
        )
    return _split(Counter(map(len, faces)))


def _off(data: bytes) -> Claim:
    rows = [line.split(b"#")[0].split() for line in data.splitlines()]
    rows = [row for row in rows if row]
    if not rows or rows[0][0] not in (b"OFF", b"COFF"):
        raise Refusal("it does not begin with 'OFF'", _AS_STL)
    rows = [rows[0][1:], *rows[1:]] if len(rows[0]) > 1 else rows[1:]
    if not rows or len(rows[0]) < 2 or not all(word.isdigit() for word in rows[0]):
        raise Refusal("the line with the numbers of vertices and faces is missing")
    vertices, faces = int(rows[0][0]), int(rows[0][1])
    if len(rows) - 1 != vertices + faces:
        raise Refusal(
            f"it counts {vertices} vertices and {faces} faces but has {len(rows) - 1} lines"
        )
    return _split(Counter(_corners_off(row) for row in rows[1 + vertices :]))


def _corners_off(row: list[bytes]) -> int:
    if not row[0].isdigit() or len(row) < 1 + int(row[0]):
        raise Refusal(f"the face '{b' '.join(row)[:40].decode('ascii', 'replace')}' is cut off")
    return int(row[0])


def _ply(data: bytes) -> Claim:
    header, ended, body = data.partition(b"end_header")
    words = [line.split() for line in header.splitlines()]
    if not words or words[0] != [b"ply"] or not ended:
        raise Refusal("it does not begin with a PLY header", _AS_STL)
    elements = {row[1]: int(row[2]) for row in words if row[:1] == [b"element"]}
    if not elements.get(b"face"):
        raise Refusal("it holds no faces", _AS_STL)
    layout = next((row[1:] for row in words if row[:1] == [b"format"]), [])
    if layout in ([b"binary_little_endian", b"1.0"], [b"binary_big_endian", b"1.0"]):
        return Claim(None)
    if layout != [b"ascii", b"1.0"]:
        raise Refusal("its header does not say 'ascii 1.0' or 'binary_..._endian 1.0'", _AS_STL)
    rows = [row for row in map(bytes.split, body.splitlines()) if row]
    if len(rows) != sum(elements.values()):
        raise Refusal(
            f"its header counts {sum(elements.values())} lines of data but it has {len(rows)}"
        )
    first = sum(list(elements.values())[: list(elements).index(b"face")])
    return _split(Counter(_corners_off(row) for row in rows[first : first + elements[b"face"]]))


def _3mf(data: bytes) -> Claim:
    if not zipfile.is_zipfile(BytesIO(data)):
        raise Refusal("it is no 3MF file: the package cannot be opened")
    with zipfile.ZipFile(BytesIO(data)) as package:
        unpacked = sum(part.file_size for part in package.infolist())
        if unpacked > MAX_UNPACKED:
            raise Refusal(
                f"it unpacks to {unpacked / 1e6:.0f} MB, more than the {MAX_UNPACKED / 1e6:.0f} "
                "MB that are read",
                "Export a coarser mesh, or STL.",
            )
        names = [name for name in package.namelist() if name.lower() == "3d/3dmodel.model"]
        if len(names) != 1:
            raise Refusal("it holds no 3D model", _AS_STL)
        with package.open(names[0]) as model:
            return _model_3mf(model)


def _model_3mf(model: Any) -> Claim:
    """Unit and extensions of the model; how often its objects are placed is not counted."""
    prefixes: dict[str, str] = {}
    for event, item in ElementTree.iterparse(model, events=("start-ns", "start", "end")):
        if event == "start-ns":
            prefixes.setdefault(*item)
        elif event == "end":
            item.clear()
        elif item.tag.endswith("}model"):
            unit = item.attrib.get("unit", "millimeter")
            needed = item.attrib.get("requiredextensions", "").split()
            if any(prefixes.get(prefix) != _PRODUCTION for prefix in needed):
                raise Refusal("it needs extensions of 3MF that are not read here", _AS_STL)
            if unit not in _UNITS_3MF:
                raise Refusal(f"its unit '{unit}' is none that 3MF knows", "Export it again.")
        elif item.tag.endswith("}object") and item.attrib.get("type", "model") != "model":
            raise Refusal("an object in it is no solid model (support or surface)", _AS_STL)
    return Claim(None, _UNITS_3MF[unit])


def _glb(data: bytes) -> Claim:
    if data[:4] != b"glTF" or len(data) < 20:
        raise Refusal("it is no GLB file", _AS_STL)
    length = int.from_bytes(data[8:12], "little")
    if length != len(data):
        raise Refusal(f"its header counts {length} bytes but it has {len(data)}")
    header = json.loads(data[20 : 20 + int.from_bytes(data[12:16], "little")])
    if header.get("extensionsRequired"):
        raise Refusal(f"it needs {', '.join(header['extensionsRequired'])}", _AS_STL)
    if any("uri" in buffer for buffer in header.get("buffers", [])):
        raise Refusal("its mesh lies in another file", "Export it with everything in one file.")
    primitives = [one for mesh in header.get("meshes", []) for one in mesh["primitives"]]
    if any(one.get("mode", _TRIANGLES) not in (_TRIANGLES, _STRIP) for one in primitives):
        raise Refusal("it holds points, lines or fans beside triangles", _AS_STL)
    moving = any("skin" in node for node in header.get("nodes", []))
    if moving or any("targets" in one for one in primitives):
        raise Refusal("it holds a mesh that changes its shape", _AS_STL)
    return Claim(None, "m")


def _step(data: bytes) -> Claim:
    if not data.lstrip().startswith(b"ISO-10303-21"):
        raise Refusal("it is no STEP file: it does not begin with 'ISO-10303-21'", _AS_STL)
    return Claim(None, "m")


def _cut_into_triangles(data: bytes) -> bytes:
    """A STEP file as GLB in metres, its axes as drawn, whatever unit it is in.

    The library writes to the standard output, which the parent process reads: it is turned to the
    standard error meanwhile.
    """
    try:
        import cascadio  # noqa: PLC0415 - an extra, for STEP alone
    except ImportError:
        raise Refusal(
            "reading STEP needs an extra that is not installed",
            "Install it with: pip install 'flotation[step]'. Or export the part as STL.",
        ) from None
    sys.stdout.flush()
    answers = os.dup(1)
    os.dup2(2, 1)
    try:
        made = cascadio.load(data, file_type="step", tol_linear=1000.0 * STEP_TOLERANCE)
    finally:
        os.dup2(answers, 1)
        os.close(answers)
    if not made:
        raise Refusal("the STEP file cannot be read")
    return bytes(made)


def answer(data: bytes, ending: str) -> bytes:
    """The arrays of the file, packed. Raises Refusal, or whatever the mesh library raises."""
    said = claim(data, ending)
    vertices, faces = load(data, ending)
    if len(faces) == 0:
        raise Refusal("it holds no triangle", "Export a mesh of the solid.")
    if said.triangles is not None and said.triangles != len(faces):
        raise Refusal(f"its faces give {said.triangles} triangles but {len(faces)} were read")
    packed = BytesIO()
    np.savez(packed, vertices=vertices, faces=faces, unit=said.unit, polygons=said.polygons)
    return packed.getvalue()


def main() -> None:
    """Read the file from the standard input under a limit on memory, and answer."""
    ending, memory = sys.argv[1], int(sys.argv[2])
    if sys.platform != "win32":
        import resource  # noqa: PLC0415 - not on every system

        resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    # what newer numpy raises, older numpy only warns of, and the rest of the numbers is dropped
    warnings.filterwarnings("error", message="string or file could not be read to its end")
    try:
        sys.stdout.buffer.write(answer(sys.stdin.buffer.read(), ending))
    except Refusal as refusal:
        print(json.dumps({"problem": refusal.problem, "remedy": refusal.remedy}))  # noqa: T201 - its parent reads it
        sys.exit(REFUSED)


if __name__ == "__main__":
    main()
