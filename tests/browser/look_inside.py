"""The page to look inside, in a real browser. Run by hand: DEVELOPERS.md has the command.

Needs a Chromium (its path in the environment as CHROMIUM, else /usr/bin/chromium) and the extra
packages of `browser`.
"""

import io
import json
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from flotation import assess, plan_pours, read_boat
from flotation.report.scene import page, scene_data

SKIFF = Path(__file__).parent.parent.parent / "meshes" / "skiff" / "skiff.toml"
SECOND = "another foam"
NASTY = "</script><img src=x onerror=alert(1)><b>bold</b> & \u2028"
FOAMS = ((0x1F, 0x7A, 0x8C), (0xC7, 0x76, 0x2B))
FLAGS = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--use-gl=angle", "--use-angle=swiftshader"),
    *("--enable-unsafe-swiftshader", "--disable-quic", "--no-first-run", "--disable-sync"),
    *("--disable-background-networking", "--disable-component-update"),
)
Numbers = np.ndarray


@dataclass
class Opened:
    """A page in the browser, and everything that it asked for or complained of."""

    page: Page
    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def slide(self, name: str, value: float) -> None:
        act = "(e, v) => { e.value = v; e.dispatchEvent(new Event('input', {bubbles: true})); }"
        self.page.eval_on_selector(f"#{name}", act, value)

    def show_only(self, *layers: str) -> None:
        for box in self.page.query_selector_all("#layers input"):
            box.set_checked(str(box.get_attribute("id")).removeprefix("show-") in layers)

    def shot(self) -> Numbers:
        """The picture as (rows, columns, 3) whole numbers, without the words over it."""
        self.page.evaluate("document.getElementById('labels').hidden = true; scrollTo(0, 0)")
        png = self.page.locator("#canvas").screenshot()
        self.page.evaluate("document.getElementById('labels').hidden = false")
        return np.asarray(Image.open(io.BytesIO(png)).convert("RGB")).astype(int)[60:]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        path = os.environ.get("CHROMIUM", "/usr/bin/chromium")
        started = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        yield started
        started.close()


@pytest.fixture(scope="session")
def data() -> dict:
    """The example skiff with another foam in its sides."""
    boat = read_boat(SKIFF)
    plan = plan_pours(boat)
    found = assess(boat, plan.foam)
    sides = [replace(one, foam=SECOND) for one in boat.cavities if one.group == "sides"]
    rest = [one for one in boat.cavities if one.group != "sides"]
    foams = (*boat.foams, replace(boat.foams[0], name=SECOND))
    two_foams = replace(boat, cavities=(*sides, *rest), foams=foams)
    return scene_data(two_foams, plan, found)


@pytest.fixture
def opened(browser: Browser, tmp_path: Path) -> Iterator[Callable[..., Opened]]:
    made: list[Opened] = []

    def open_it(content: dict, width: int = 1400, height: int = 900, start: str = "") -> Opened:
        file = tmp_path / "look.html"
        file.write_bytes(page(content))
        context = browser.new_context(viewport={"width": width, "height": height})
        one = Opened(context.new_page())
        one.page.on("request", lambda request: one.asked.append(request.url))
        one.page.on("pageerror", lambda error: one.complaints.append(str(error)))
        one.page.on(
            "console",
            lambda said: said.type == "error" and one.complaints.append(said.text),
        )
        one.page.on("dialog", lambda dialog: one.complaints.append(f"dialog {dialog.message}"))
        if start:
            one.page.add_init_script(start)
        one.page.goto(file.as_uri())
        one.page.wait_for_timeout(300)
        made.append(one)
        return one

    yield open_it
    for one in made:
        assert one.complaints == []
        assert [url for url in one.asked if not url.startswith("file:")] == []
        assert len(one.asked) == 1
        one.page.context.close()


def count(picture: Numbers, paint: tuple[int, int, int]) -> int:
    """Pixels of a paint in any light; the light is a factor from 0.55 to 1.05."""
    base = np.array(paint, dtype=float)
    light = picture @ base / (base @ base)
    away = np.abs(picture - light[..., None] * base).max(axis=-1)
    return int(((light > 0.5) & (light < 1.1) & (away < 10)).sum())


def changed(one: Numbers, other: Numbers) -> int:
    return int((np.abs(one - other).max(axis=-1) > 12).sum())


def test_both_foams_are_drawn_in_their_paint_and_gone_when_hidden(data, opened) -> None:
    view = opened(data)
    view.show_only("cavities")
    seen = [count(view.shot(), paint) for paint in FOAMS]
    assert min(seen) > 8000
    view.show_only()
    assert [count(view.shot(), paint) for paint in FOAMS] == [0, 0]
    assert changed(view.shot(), np.full_like(view.shot(), 250)) < 20  # nothing is left


def test_each_body_of_the_boat_puts_pixels_on_the_screen(data, opened) -> None:
    view = opened(data)
    view.show_only()
    empty = view.shot()
    hide_all = """for (const { userData } of page.view.bodies) {
      userData.surface.visible = userData.edges.visible = false;
    }"""
    for place, body in enumerate(data["bodies"]):
        layer = view.page.evaluate(f"layerOf({json.dumps(body['kind'])}, {body['foam']} < 0)")
        view.show_only(layer)
        view.page.evaluate(hide_all)
        view.page.evaluate(
            "for (const body of page.view.bodies) body.userData.edges.visible = false"
        )
        view.page.evaluate(f"page.view.bodies[{place}].userData.surface.visible = true")
        view.page.evaluate("page.view.draw()")
        assert changed(view.shot(), empty) > 150, body["name"]


@pytest.mark.parametrize("layer", ["holes", "weights", "loads", "centres", "water"])
def test_each_kind_of_mark_puts_pixels_on_the_screen(data, opened, layer: str) -> None:
    view = opened(data)
    view.slide("trial", 1)
    view.show_only()
    empty = view.shot()
    view.show_only(layer)
    assert changed(view.shot(), empty) > 60


def test_a_foam_can_be_told_without_colour(data, opened) -> None:
    """The hatches run at right angles: grey values change along the one, not along the other."""
    view = opened(data)
    view.show_only("cavities")
    view.page.click("#ways button:text-is('Above')")
    grey = view.shot().mean(axis=-1)
    picture = view.shot()
    slopes = []
    for paint in FOAMS:
        base = np.array(paint, dtype=float)
        light = picture @ base / (base @ base)
        rows, columns = np.nonzero(np.abs(picture - light[..., None] * base).max(axis=-1) < 10)
        keep = (rows > 1) & (rows < len(grey) - 2) & (columns > 1) & (columns < grey.shape[1] - 2)
        rows, columns = rows[keep], columns[keep]
        down = np.abs(grey[rows + 2, columns + 2] - grey[rows, columns]).mean()
        up = np.abs(grey[rows - 2, columns + 2] - grey[rows, columns]).mean()
        slopes.append(down / up)
    assert max(slopes) > 1.5
    assert min(slopes) < 1.0 / 1.5


def test_the_slider_moves_the_water_to_where_each_test_has_it(data, opened) -> None:
    view = opened(data)
    view.show_only("cavities", "water")
    view.page.check("#still")
    view.page.click("#ways button:text-is('Starboard')")
    pictures = []
    for place, trial in enumerate(data["trials"], start=1):
        view.slide("trial", place)
        pictures.append(view.shot())
        assert view.page.inner_text("#state").startswith(trial["name"])
        told = view.page.evaluate(
            """() => {
              const into = page.view.boat.matrixWorld.clone().invert();
              into.multiply(page.view.water.matrixWorld);
              const e = into.elements;
              return [e[8], e[9], e[10], e[12] * e[8] + e[13] * e[9] + e[14] * e[10]];
            }"""
        )
        lies = trial["lies"]
        assert told[:3] == pytest.approx(lies["up"], abs=1e-6)
        assert told[3] == pytest.approx(lies["water"], abs=1e-6)
    for one, other in pairwise(pictures):
        assert changed(one, other) > 300
    view.slide("trial", 0)
    assert not view.page.evaluate("page.view.water.visible")


def test_a_boat_that_lies_level_in_the_picture_turns_when_the_water_is_held(data, opened) -> None:
    view = opened(data)
    view.slide("trial", 3)
    up = view.page.evaluate("page.view.boat.matrixWorld.elements.slice(8, 11)")
    assert up != pytest.approx([0.0, 0.0, 1.0], abs=1e-3)
    view.page.check("#still")
    up = view.page.evaluate("page.view.boat.matrixWorld.elements.slice(8, 11)")
    assert up == pytest.approx([0.0, 0.0, 1.0], abs=1e-6)


@pytest.mark.parametrize("axis", ["x", "y", "z"])
def test_a_cut_takes_away_what_lies_beyond_it_on_either_side(data, opened, axis: str) -> None:
    view = opened(data)
    view.show_only("cavities")
    whole = view.shot()
    view.slide(f"cut-{axis}", 90)
    kept = view.shot()
    view.page.check(f"#flip-{axis}")
    rest = view.shot()
    assert changed(kept, whole) > 1000
    assert changed(rest, kept) > 1000
    view.page.uncheck(f"#flip-{axis}")
    view.slide(f"cut-{axis}", 200)
    assert changed(view.shot(), whole) == 0


def test_a_click_on_a_cavity_tells_its_numbers(data, opened) -> None:
    view = opened(data)
    view.page.click("#ways button:text-is('Above')")
    box = view.page.locator(".label.cavity", has_text="c7").bounding_box()
    view.page.mouse.click(box["x"] + 0.5 * box["width"], box["y"] + 0.5 * box["height"])
    told = view.page.inner_text("#chosen-facts")
    (cavity,) = [one for one in data["cavities"] if one["number"] == "c7"]
    words = ("name", "volume", "filled", "mass", "lift")
    for word in (SECOND, *(cavity[key] for key in words)):
        assert word in told
    assert view.page.input_value("#chosen") == "c7"


def test_a_click_goes_through_what_a_cut_took_away(data, opened) -> None:
    view = opened(data)
    view.page.click("#ways button:text-is('Above')")
    box = view.page.locator(".label.cavity", has_text="c7").bounding_box()
    view.slide("cut-y", 100)  # port is gone
    assert view.page.locator(".label.cavity", has_text="c7").is_hidden()
    view.page.mouse.click(box["x"] + 0.5 * box["width"], box["y"] + 0.5 * box["height"])
    assert view.page.input_value("#chosen") == ""


def test_names_with_markup_stay_text(data, opened) -> None:
    nasty = json.loads(json.dumps(data))
    nasty["boat"] = nasty["foams"][0] = nasty["cavities"][0]["name"] = NASTY
    nasty["bodies"][0]["name"] = nasty["weights"][0]["name"] = nasty["trials"][0]["name"] = NASTY
    nasty["cavities"][0]["holes"][0]["name"] = nasty["trials"][0]["loads"][0]["name"] = NASTY
    view = opened(nasty)
    view.slide("trial", 1)
    view.page.select_option("#chosen", index=1)
    assert view.page.query_selector("img, b") is None
    assert view.page.evaluate("document.getElementById('boat-name').textContent") == NASTY
    assert NASTY in view.page.evaluate("document.getElementById('tables').textContent")
    assert NASTY in view.page.evaluate("document.getElementById('chosen-facts').textContent")
    assert NASTY in view.page.evaluate("document.getElementById('labels').textContent")


def test_everything_works_from_the_keyboard(data, opened) -> None:
    view = opened(data)
    reached: list[str] = []
    view.page.evaluate("document.body.focus()")
    for _ in range(60):
        view.page.keyboard.press("Tab")
        reached.append(str(view.page.evaluate("document.activeElement.id")))
    wanted = {"canvas", "trial", "still", "chosen", "cut-x", "flip-x", "show-cavities"}
    assert wanted <= set(reached)
    view.page.focus("#canvas")
    before = view.shot()
    view.page.keyboard.press("ArrowRight")
    turned = view.shot()
    assert changed(before, turned) > 1000
    view.page.keyboard.press("+")
    assert changed(view.shot(), turned) > 1000
    view.page.keyboard.press("0")
    assert changed(view.shot(), before) == 0
    view.page.keyboard.press(".")
    view.page.keyboard.press(".")
    assert data["cavities"][1]["name"] in view.page.inner_text("#chosen-facts")
    view.page.keyboard.press(",")
    assert data["cavities"][0]["name"] in view.page.inner_text("#chosen-facts")
    view.page.focus("#trial")
    view.page.keyboard.press("ArrowRight")
    assert view.page.inner_text("#state").startswith(data["trials"][0]["name"])
    assert view.page.get_attribute("#trial", "aria-valuetext") == data["trials"][0]["name"]


def test_the_tables_hold_every_cavity_weight_hole_and_test(data, opened) -> None:
    view = opened(data)
    rows = view.page.evaluate(
        """() => Object.fromEntries([...document.querySelectorAll('#tables table')].map(
          (t) => [
            t.caption.textContent,
            [...t.tBodies[0].rows].map((row) => row.cells[0].textContent),
          ]))"""
    )
    assert rows["Cavities"] == [one["number"] for one in data["cavities"]]
    assert rows["Weights"] == [one["number"] for one in data["weights"]]
    assert rows["Holes"] == [hole["name"] for one in data["cavities"] for hole in one["holes"]]
    assert rows["Tests in the water"] == [one["name"] for one in data["trials"]]
    heads = "[...document.querySelectorAll('#tables th')].every((th) => th.scope)"
    assert view.page.evaluate(heads)


@pytest.mark.parametrize("width", [360, 390, 768, 1400])
def test_nothing_is_wider_than_the_screen(data, opened, width: int) -> None:
    view = opened(data, width, 800)
    view.slide("trial", 1)
    view.page.select_option("#chosen", index=1)
    assert view.page.evaluate("document.documentElement.scrollWidth") <= width
    box = view.page.locator("#canvas").bounding_box()
    assert box["width"] > 0.6 * width
    assert box["height"] > 250


def test_without_webgl_the_tables_stand_alone(data, opened) -> None:
    view = opened(data, start="HTMLCanvasElement.prototype.getContext = () => null;")
    view.complaints.clear()  # three.js tells the console too
    assert "No picture" in view.page.inner_text("#fault")
    assert view.page.locator("#tables table").count() == 6
    view.slide("trial", 1)
    view.page.select_option("#chosen", index=1)
    assert data["cavities"][0]["volume"] in view.page.inner_text("#chosen-facts")


def test_a_page_that_was_tampered_with_does_not_run(data, browser, tmp_path: Path) -> None:
    html = page(data).replace(b"const page = new Page(", b"var changed; const page = new Page(")
    file = tmp_path / "tampered.html"
    file.write_bytes(html)
    tab = browser.new_page()
    tab.goto(file.as_uri())
    assert tab.inner_text("#boat-name") == "The boat"
    tab.close()
