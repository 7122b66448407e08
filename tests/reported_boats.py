"""A small boat file with one cavity, and the reports that it gives."""

import struct
from pathlib import Path

import numpy as np
from boatfile_writing import write

from flotation.boatfile import read_boat
from flotation.geometry.shapes import box
from flotation.pour.plan import plan_pours
from flotation.report.handouts import reports
from flotation.report.tables import assessment_json
from flotation.swamped.assess import assess

BOX = """
[[cavity]]
name = "box"
shape = { kind = "box", corner = ["0.5 m", "-0.4 m", "0.05 m"], size = ["2.0 m", "0.8 m", "0.2 m"] }
face = "laminate"
foam = "%s"
exposure = "none"
"""


def small_boat(folder: Path) -> Path:
    """The boat file that `flotation new` writes, with one box of foam."""
    file = write(folder, cavities=False)
    text = file.read_text()
    foam = text.split("[[foam]]")[1].split('name = "')[1].split('"')[0]
    file.write_text(text + BOX % foam)
    return file


def with_mesh(file: Path, breadth: float) -> None:
    """The box of a small boat drawn as a mesh of this breadth, m."""
    text = file.read_text()
    start = max(text.rfind("shape ="), text.rfind("mesh ="))
    end = text.rindex("face =")
    file.write_text(f'{text[:start]}mesh = "box.stl"\nunit = "mm"\n{text[end:]}')
    solid = box((0.5, -0.5 * breadth, 0.05), (2.0, breadth, 0.2))
    corners = (1000.0 * solid.vertices)[solid.faces].astype("<f4")
    rows = np.zeros(len(corners), dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    rows["v"] = corners
    content = bytes(80) + struct.pack("<I", len(rows)) + rows.tobytes()
    file.with_name("box.stl").write_bytes(content)


def made(file: Path) -> dict[str, bytes]:
    """Its two reports, with nothing beside them."""
    boat = read_boat(file)
    plan = plan_pours(boat)
    return reports(boat, plan, assess(boat, plan.foam))


def assessed(file: Path) -> dict[str, bytes]:
    """Its assessment alone, which is quicker."""
    boat = read_boat(file)
    text = assessment_json(assess(boat, plan_pours(boat).foam), boat)
    return {"assessment.json": text.encode()}


def written(file: Path) -> dict[str, Path]:
    """The reports beside the boat file."""
    found = {}
    for name, content in made(file).items():
        found[name] = file.with_name(name)
        found[name].write_bytes(content)
    return found
