"""The page to look inside: one file that asks for nothing, with the boat's own shapes in it."""

import base64
import hashlib
import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from flotation import assess, plan_pours, read_boat
from flotation.boat import Boat, IntactHull
from flotation.geometry.solid import Solid
from flotation.pour.pourplan import PourPlan
from flotation.report.scene import harmless_json, look_inside, page, scene_data
from flotation.report.scene_bodies import Shape, on_grid, shapes
from flotation.swamped.assessment import Assessment, Outcome, Trial

NASTY = "</script><img src=x onerror=alert(1)> & \u2028 \"'"


class Seen(HTMLParser):
    """What a browser makes of the page: elements with their attributes, text by element."""

    def __init__(self) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.inside: dict[str, list[str]] = {}
        self.now = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.elements.append((tag, found))
        self.now = tag + (":data" if found.get("type") == "application/json" else "")

    def handle_endtag(self, tag: str) -> None:
        self.now = ""

    def handle_data(self, data: str) -> None:
        self.inside.setdefault(self.now, []).append(data)

    def text(self, where: str) -> str:
        return "".join(self.inside[where])

    def policy(self) -> dict[str, str]:
        (content,) = [
            found["content"] or ""
            for tag, found in self.elements
            if tag == "meta" and found.get("http-equiv") == "Content-Security-Policy"
        ]
        return dict(part.strip().split(" ", 1) for part in content.split(";"))


def seen(html: bytes) -> Seen:
    reader = Seen()
    reader.feed(html.decode())
    return reader


def digest(text: str) -> str:
    return "'sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() + "'"


@pytest.fixture(scope="module")
def html(boat: Boat, plan: PourPlan, assessment: Assessment) -> bytes:
    return look_inside(boat, plan, assessment)


def test_the_policy_lets_this_script_and_this_style_run_and_nothing_else(html: bytes) -> None:
    found = seen(html)
    assert found.policy() == {
        "default-src": "'none'",
        "script-src": digest(found.text("script")),
        "style-src": digest(found.text("style")),
        "img-src": "data:",
        "base-uri": "'none'",
        "form-action": "'none'",
    }


def test_the_page_names_no_address_and_carries_no_handler_in_its_markup(html: bytes) -> None:
    for tag, attributes in seen(html).elements:
        assert tag not in ("link", "iframe", "object", "base", "form")
        for name, value in attributes.items():
            assert not name.startswith("on")
            assert name not in ("src", "style")
            assert name != "href" or str(value).startswith("#")
    addresses = set(re.findall(rb"https?://[^\s\"'`<>)]+", html))
    assert addresses <= {b"http://www.w3.org/1999/xhtml"}  # a name in the library, not an address


def test_every_control_has_a_label_and_every_id_is_there_once(html: bytes) -> None:
    found = seen(html)
    ids = [attributes["id"] for _, attributes in found.elements if "id" in attributes]
    assert len(ids) == len(set(ids))
    named = {attributes.get("for") for tag, attributes in found.elements if tag == "label"}
    for tag, attributes in found.elements:
        if tag == "select" or attributes.get("type") == "range":
            assert attributes["id"] in named
    scripts = "".join(
        files("flotation").joinpath("report", "web", name).read_text("utf-8")
        for name in ("look_page.js", "look_parts.js", "look_view.js", "look_bodies.js")
    )
    asked = set(re.findall(r'byId\("([\w-]+)"\)', scripts))
    assert asked <= set(ids)
    assert "innerHTML" not in scripts
    assert "insertAdjacentHTML" not in scripts
    assert "document.write" not in scripts


def test_the_licence_of_the_bundled_library_stands_in_the_page(html: bytes) -> None:
    folder = files("flotation").joinpath("report", "web")
    licence = folder.joinpath("three.LICENSE.txt").read_text("utf-8").strip()
    assert licence.startswith("The MIT License")
    assert licence.encode() in html
    bundle = folder.joinpath("three.bundle.js").read_text("utf-8")
    assert folder.joinpath("three_parts.js").read_text("utf-8").count('"three') == 2
    assert '"187"' in bundle  # the release of the library that three_parts.js names
    assert "</script" not in bundle.lower()


def test_names_with_markup_stay_data(
    boat: Boat, plan: PourPlan, assessment: Assessment, html: bytes
) -> None:
    cavities = (replace(boat.cavities[0], name=NASTY), *boat.cavities[1:])
    nasty = seen(look_inside(replace(boat, name=NASTY, cavities=cavities), plan, assessment))
    assert [tag for tag, _ in nasty.elements] == [tag for tag, _ in seen(html).elements]
    data = json.loads(nasty.text("script:data"))
    assert data["boat"] == NASTY
    assert NASTY in [cavity["name"] for cavity in data["cavities"]]


def test_json_in_the_page_holds_no_letter_of_markup() -> None:
    text = harmless_json({"name": NASTY})
    assert not set("<>&\u2028") & set(text)
    assert json.loads(text) == {"name": NASTY}


def test_numbers_that_are_none_are_refused_not_written() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        page({"step": float("nan")})


def numbers(text: str, kind: str) -> np.ndarray:
    return np.frombuffer(base64.b64decode(text), dtype=kind).astype(np.int64)


def test_shapes_come_back_within_half_a_step(
    boat: Boat, plan: PourPlan, assessment: Assessment
) -> None:
    data = json.loads(harmless_json(scene_data(boat, plan, assessment)))
    drawn = shapes(boat)
    assert [body["name"] for body in data["bodies"]] == [shape.name for shape in drawn]
    for body, shape in zip(data["bodies"], drawn, strict=True):
        corners = np.array(data["low"]) + data["step"] * numbers(body["corners"], "<u2").reshape(
            -1, 3
        )
        faces = numbers(body["triangles"], "<u4" if body["wide"] else "<u2").reshape(-1, 3)
        away = corners[faces.reshape(-1)] - shape.vertices[shape.faces.reshape(-1)]
        assert np.abs(away).max() <= 0.5001 * data["step"]
    assert data["step"] == 1e-4


def ball(turns: int) -> Shape:
    """A round body of many triangles."""
    around, over = np.meshgrid(
        np.linspace(0.0, 2.0 * np.pi, turns, endpoint=False), np.linspace(0.1, 3.0, turns)
    )
    vertices = np.column_stack(
        [
            (np.cos(around) * np.sin(over)).ravel(),
            (np.sin(around) * np.sin(over)).ravel(),
            np.cos(over).ravel(),
        ]
    )
    row = np.arange(turns * (turns - 1))
    beside = row - row % turns + (row + 1) % turns
    faces = np.concatenate(
        [
            np.column_stack([row, beside, row + turns]),
            np.column_stack([beside, beside + turns, row + turns]),
        ]
    )
    return Shape("cavity", "ball", vertices, faces)


def test_a_mesh_that_is_too_fine_is_drawn_coarser_and_within_its_step() -> None:
    fine = ball(200)
    grid, (placed,) = on_grid([fine], 20_000)
    assert placed.letters <= 20_000
    assert grid.step > 1e-4
    corners = np.array(grid.low) + grid.step * placed.corners
    away = np.linalg.norm(corners, axis=1)
    assert len(placed.faces) > 100
    assert np.abs(away - 1.0).max() <= 0.5001 * grid.step * np.sqrt(3.0)
    assert on_grid([fine], 10**9)[0].step == 1e-4


def test_many_corners_take_four_bytes_a_row() -> None:
    _, (placed,) = on_grid([ball(270)], 10**9)
    assert placed.wide
    assert placed.faces.max() > 65_535
    assert not on_grid([ball(200)], 10**9)[1][0].wide


def test_a_long_boat_has_a_grid_that_two_bytes_reach() -> None:
    long = Shape("cavity", "long", ball(20).vertices * np.array([40.0, 1.0, 1.0]), ball(20).faces)
    grid, (placed,) = on_grid([long], 10**9)
    assert grid.step > 1e-3
    assert placed.corners.max() <= 65_535
    corners = np.array(grid.low) + grid.step * placed.corners.astype(float)
    assert corners[:, 0].max() == pytest.approx(long.vertices[:, 0].max(), abs=grid.step)


def test_a_wide_body_keeps_its_corners_on_every_axis() -> None:
    wide = Shape("cavity", "wide", 3.2 * ball(20).vertices, ball(20).faces)
    grid, (placed,) = on_grid([wide], 10**9)
    assert placed.corners.max(axis=0).min() > 60_000
    corners = np.array(grid.low) + grid.step * placed.corners.astype(float)
    away = corners[placed.faces] - wide.vertices[wide.faces]
    assert np.abs(away).max() <= 0.5001 * grid.step


def test_a_body_too_small_to_draw_is_told(boat: Boat) -> None:
    speck = replace(boat.cavities[0], name="speck")
    solid = Solid(1e-6 * speck.solid.vertices, speck.solid.faces)
    drawn = shapes(replace(boat, cavities=(*boat.cavities, replace(speck, solid=solid))))
    _, placed = on_grid(drawn, 10**9)
    assert [one.shape.name for one in placed if not len(one.faces)] == ["speck"]


def test_a_boat_without_a_hull_has_an_outline_and_one_with_a_hull_has_none(
    boat: Boat, plan: PourPlan, assessment: Assessment
) -> None:
    bare = scene_data(replace(boat, parts=(), intact_hull=None), plan, assessment)
    outline = np.array(bare["outline"])
    assert outline[:, 0].max() == pytest.approx(boat.length)
    assert np.ptp(outline[:, 1]) == pytest.approx(boat.beam)
    hull = IntactHull(boat.cavities[0].solid, ())
    assert scene_data(replace(boat, intact_hull=hull), plan, assessment)["outline"] == []


def test_a_test_in_the_water_is_told_as_it_lies(
    boat: Boat, plan: PourPlan, assessment: Assessment
) -> None:
    up = (0.1, -0.2, np.sqrt(0.95))
    afloat = Trial("183.230", "port", 0.2, 0.1, 0.0, 0.1, True, normal=up, offset=0.4, mass=300.0)
    afloat = replace(afloat, centre_of_gravity=(1.0, 0.0, 0.5), centre_of_buoyancy=(1.0, 0.1, 0.3))
    sunk = Trial("183.235", "", None, None, None, None, False, outcome=Outcome.SINKS, lacking=12.0)
    data = scene_data(boat, plan, replace(assessment, trials=(afloat, sunk)))
    first, second = data["trials"]
    frame = np.array([first["lies"][axis] for axis in ("forward", "port", "up")])
    assert frame @ frame.T == pytest.approx(np.eye(3), abs=2e-6)  # six digits
    assert np.linalg.det(frame) == pytest.approx(1.0)
    assert frame[2] == pytest.approx(up)
    assert frame[0] @ (1.0, 0.0, 0.0) > 0.9  # the bow stays ahead
    assert first["lies"]["water"] == 0.4
    assert [centre["letter"] for centre in first["centres"]] == ["G", "B"]
    assert second["lies"] is None
    assert second["outcome"] == "sinks"
    assert ["Short of lift by", "12 kg (26.46 lb)"] in second["facts"]


def test_the_same_boat_gives_the_same_bytes(
    boat: Boat, plan: PourPlan, assessment: Assessment, html: bytes
) -> None:
    assert look_inside(boat, plan, assessment) == html


def test_a_cavity_is_told_with_the_numbers_of_the_calculation(
    boat: Boat, plan: PourPlan, assessment: Assessment
) -> None:
    told = {one["name"]: one for one in scene_data(boat, plan, assessment)["cavities"]}
    assert list(told) == [cavity.name for cavity in boat.cavities]
    for lift in assessment.cavities:
        kilograms = float(told[lift.cavity]["lift"].split()[0].replace("\u2212", "-"))
        assert kilograms == pytest.approx(lift.net_lift, rel=1e-3)
        assert told[lift.cavity]["foam"] == boat.cavity(lift.cavity).foam


def test_foam_that_fills_a_part_of_its_cavity_is_told_with_the_part_that_it_fills(
    boat: Boat, plan: PourPlan, assessment: Assessment
) -> None:
    """So that mass over volume is the density that stands beside them."""
    (whole, *others) = assessment.cavities
    less = replace(assessment, cavities=(replace(whole, volume=0.2), *others))
    told = {one["name"]: one for one in scene_data(boat, plan, less)["cavities"]}
    assert told[whole.cavity]["filled"] == "200 L (7.063 ft³)"
    empty = set(told) - {lift.cavity for lift in assessment.cavities}
    assert all(told[name]["filled"] == "\u2014" for name in empty)


SKIFF = Path(__file__).parent.parent.parent / "meshes" / "skiff" / "skiff.toml"


def test_the_page_of_the_example_skiff_is_under_a_megabyte_and_a_half() -> None:
    skiff = read_boat(SKIFF)
    foam = plan_pours(skiff)
    html = look_inside(skiff, foam, assess(skiff, foam.foam))
    assert len(html) < 1_500_000
    data = json.loads(seen(html).text("script:data"))
    kinds = [body["kind"] for body in data["bodies"]]
    assert {kind: kinds.count(kind) for kind in set(kinds)} == {
        "cavity": len(skiff.cavities),
        "out": sum(len(cavity.taken_out) for cavity in skiff.cavities),
        "part": len(skiff.parts),
        "hull": 1,
    }
    assert data["step"] == 1e-4
    assert data["vanished"] == []
    assert all(trial["lies"] and len(trial["centres"]) == 2 for trial in data["trials"])
    for trial in data["trials"]:  # at rest the lift acts straight above or below the weight
        gravity, buoyancy = (np.array(centre["at"]) for centre in trial["centres"])
        aside = np.cross(buoyancy - gravity, trial["lies"]["up"])
        assert np.abs(aside).max() < 1e-5  # places of some metres have six digits
        assert np.linalg.norm(buoyancy - gravity) > 1e-3
