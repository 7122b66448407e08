"""The page that lets a reader look inside the boat: one HTML file, opened from the disk.

It asks nothing of any network: style, scripts and data stand in the file, and its own policy
forbids the browser to fetch or run anything else. Text from a boat file is data in JSON and
reaches the page as text, never as markup.
"""

import json
from base64 import b64encode
from collections.abc import Mapping
from hashlib import sha256
from importlib.resources import files

from flotation.boat import Boat
from flotation.geometry.shapes_outline import View
from flotation.pour.pourplan import PourPlan
from flotation.report.drawings import hull_outline, shadows
from flotation.report.printing import both, few_digits
from flotation.report.scene_bodies import OnGrid, letters_of, on_grid, shapes
from flotation.report.scene_facts import (
    cavity_facts,
    centre_facts,
    foam_names,
    place,
    said,
    trial_facts,
    weight_facts,
)
from flotation.swamped.assessment import Assessment
from flotation.version import VERSION

_MOST_LETTERS = 650_000  # of the meshes, so that the page stays under 1.5 MB
_SCRIPTS = (
    "three.bundle.js",
    "look_bodies.js",
    "look_view.js",
    "look_parts.js",
    "look_page.js",
)


def look_inside(boat: Boat, plan: PourPlan, assessment: Assessment) -> bytes:
    """The page, UTF-8.

    The same boat, plan and assessment give the same bytes. The hull is drawn where the boat file
    has one; else an outline from length and beam, which the page says.
    """
    return page(scene_data(boat, plan, assessment))


def scene_data(boat: Boat, plan: PourPlan, assessment: Assessment) -> dict[str, object]:
    """Everything that the page draws and tells, as values for JSON."""
    grid, placed = on_grid(shapes(boat), _MOST_LETTERS)
    drawn_hull = any(one.shape.kind in ("part", "hull") for one in placed)
    return {
        "version": VERSION,
        "boat": boat.name,
        "files": [{"name": name, "hash": digest} for name, digest in boat.files],
        "within": said(both(grid.step, "m", 2)),
        "low": list(grid.low),
        "step": few_digits(grid.step),
        "bodies": [_body(boat, one) for one in placed],
        "vanished": [one.shape.name for one in placed if not len(one.faces)],
        "outline": [] if drawn_hull else _outline(boat),
        "foams": foam_names(boat),
        "cavities": cavity_facts(boat, plan, assessment),
        "weights": weight_facts(boat),
        "centres": centre_facts(assessment),
        "trials": [trial_facts(trial) for trial in assessment.trials],
        "remember": assessment.remember,
    }


def _body(boat: Boat, placed: OnGrid) -> dict[str, object]:
    shape = placed.shape
    filled = boat.cavity(shape.name).foam if shape.kind == "cavity" else None
    return {
        "kind": shape.kind,
        "name": shape.name,
        "foam": foam_names(boat).index(filled) if filled else -1,
        **letters_of(placed),
    }


def _outline(boat: Boat) -> list[list[float]]:
    ring = hull_outline(boat, shadows(boat, View.PLAN))
    return [place((*point, 0.0)) for point in ring.tolist()]


def page(data: Mapping[str, object]) -> bytes:
    """The page around some data; `scene_data` says what it needs."""
    folder = files("flotation").joinpath("report", "web")
    read = {
        name: folder.joinpath(name).read_text("utf-8")
        for name in ("look_inside.html", "look_inside.css", "three.LICENSE.txt", *_SCRIPTS)
    }
    style = read["look_inside.css"]
    script = "\n".join(read[name] for name in _SCRIPTS)
    parts = {
        "policy": _policy(style, script),
        "style": style,
        "licence": read["three.LICENSE.txt"].strip(),
        "data": harmless_json(data),
        "script": script,
    }
    before, *rest = read["look_inside.html"].split("<<")
    found = [before]
    for piece in rest:
        name, _, after = piece.partition(">>")
        found += [parts[name], after]
    return "".join(found).encode()


def harmless_json(data: Mapping[str, object]) -> str:
    """JSON in letters that no HTML reader takes for markup: it cannot end the element it is in."""
    text = json.dumps(data, ensure_ascii=True, allow_nan=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _policy(style: str, script: str) -> str:
    """Content security policy: this style, this script, and nothing from anywhere."""
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src '{_digest(script)}'",
            f"style-src '{_digest(style)}'",
            "img-src data:",
            "base-uri 'none'",
            "form-action 'none'",
        )
    )


def _digest(text: str) -> str:
    return "sha256-" + b64encode(sha256(text.encode()).digest()).decode()
