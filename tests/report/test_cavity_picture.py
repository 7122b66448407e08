"""The page of found cavities: views, numbers and leaks."""

import io
import json
from dataclasses import replace

import numpy as np
import pypdf
import pytest
from found_by_hand import found_by_hand
from pytest import approx

from flotation.foundcavities import FoundCavities
from flotation.geometry.shapes import box
from flotation.geometry.shapes_outline import View, outline
from flotation.report.cavity_picture import cavity_picture, picture_data
from flotation.report.cavity_tables import cavities_json, cavities_text, cavity_meshes

VIEWS = ("plan", "side", "end")


@pytest.fixture(scope="module")
def found() -> FoundCavities:
    return found_by_hand()


def words(pdf: bytes) -> str:
    return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_page_has_each_cavity_with_its_bound_and_each_leak(
    found: FoundCavities, paper: str
) -> None:
    text = " ".join(words(cavity_picture(found, paper)).split())
    assert "#panic() $x$" in text
    for shown in ("2.05 port 0.30 up 0.20", "bow", "0.75 port 0.30 up 0.20", "30 L", "0.1 L"):
        assert shown in text
    told, _, entry = text.rpartition("[[opening]]")
    assert told.count("L1") == told.count("L2") == 4  # three views and the list
    assert entry.split()[:3] == ["name", "=", '"L1"']
    assert "to the outside" in text
    assert 'to "bow"' in text


def test_the_same_finding_gives_the_same_bytes(found: FoundCavities) -> None:
    assert cavity_picture(found) == cavity_picture(found)


def test_a_finding_without_cavities_is_drawn_too(found: FoundCavities) -> None:
    nothing = replace(found.finding, voids=(), leaks=(), gaps=())
    empty = replace(found, finding=nothing, called=())
    assert "None up to" in words(cavity_picture(empty))
    assert "None is closed." in cavities_text(empty)


def test_seen_from_astern_port_is_on_the_left() -> None:
    (ring,) = outline(box((0.0, 0.2, 0.1), (1.0, 0.3, 0.2)), View.END)
    assert ring.min(axis=0) == approx([-0.5, 0.1])
    assert ring.max(axis=0) == approx([-0.2, 0.3])


def test_table_and_json_tell_where_foam_goes(found: FoundCavities) -> None:
    text = cavities_text(found)
    assert max(map(len, text.splitlines())) <= 80
    assert "± 0.1 L (0.33 %)" in text
    machine = cavities_json(found)
    assert '"to": null' in machine
    assert '"to": 1' in machine
    (gap,) = json.loads(machine)["gaps"]
    assert gap["between"] == [None, 1]
    assert gap["widest_m"] == 0.002


def test_mesh_files_are_plain_names_in_the_order_of_the_voids(found: FoundCavities) -> None:
    odd = replace(found, called=("../Bow: 1", ""))
    assert list(cavity_meshes(odd)) == [
        "cavity_01_bow_1.stl",
        "cavity_02_0.75_port_0.30_up_0.20.stl",
    ]


def test_all_views_have_one_scale(found: FoundCavities) -> None:
    data = picture_data(found, "a4")
    boxes = [np.concatenate([np.array(r) for r in data[v]["parts"][0]]) for v in VIEWS]
    plan, side, end = (np.ptp(box, axis=0) for box in boxes)
    length, beam, height = 3.0, 2.0, 0.5  # m, of the hull
    scale = plan[0] / length
    assert [*plan, *side, *end] == approx(
        [scale * one for one in (length, beam, length, height, beam, height)], abs=0.05
    )


def test_a_label_of_a_leak_leaves_its_place_to_be_seen(found: FoundCavities) -> None:
    for view in VIEWS:
        leaks = [one for one in picture_data(found, "a4")[view]["labels"] if one["kind"] == "leak"]
        assert len(leaks) == 2
        assert all(one["at"] != one["to"] for one in leaks)


def test_what_stands_free_inside_is_told_in_table_json_and_picture(found: FoundCavities) -> None:
    tank = box((0.6, 0.2, 0.15), (0.2, 0.1, 0.05), name="tank")
    bow, aft = found.finding.voids
    inside = replace(aft, adrift=(("tank",),), parts=("hull", "tank"))
    odd = replace(
        found,
        finding=replace(found.finding, voids=(bow, inside), apart=(("buoy",),)),
        parts=(*found.parts, tank),
        left_open=("hatch",),
    )
    told = (
        'tank (200 mm x 100 mm x 50 mm) stands free in "0.75 port 0.30 up 0.20"',
        "buoy hangs on to no other part",
        'the opening "hatch" is left open',
    )
    table, machine = cavities_text(odd), json.loads(cavities_json(odd))
    page = " ".join(words(cavity_picture(odd)).split())
    for sentence in told:
        assert sentence in " ".join(table.split())
        assert sentence in machine["notes"]
        assert sentence in page
    assert machine["cavities"][1]["adrift"] == [["tank"]]
    assert "2: walls hull." in table  # what stands free is no wall
    assert odd.between(1).adrift == ("tank",)
    assert odd.between(1).walls == ("hull",)


def test_what_looks_smaller_is_drawn_over_what_looks_larger(found: FoundCavities) -> None:
    """A bay of a metre, and a duct in it that comes first by place."""
    bodies = [box((0.6, 0.1, 0.1), (0.9, 0.2, 0.2)), box((0.0, 0.0, 0.0), (1.0, 0.4, 0.3))]
    voids = tuple(
        replace(void, solid=body)
        for void, body in zip(found.finding.voids[:2], bodies, strict=True)
    )
    two = replace(found.finding, voids=voids, leaks=(), gaps=())
    shown = picture_data(replace(found, finding=two, called=("duct", "bay")), "a4")
    for view in VIEWS:
        assert [void["style"] for void in shown[view]["voids"]] == [1, 0]


@pytest.mark.parametrize(
    ("many", "told"), [(0, "no gap"), (1, "1 gap sealed"), (2, "2 gaps sealed")]
)
def test_gaps_are_counted_as_they_are_spoken_of(found: FoundCavities, many: int, told: str) -> None:
    void = found.finding.voids[0]
    some = replace(void, gaps=tuple(range(many)))
    finding = replace(found.finding, voids=(some, *found.finding.voids[1:]))
    row = picture_data(replace(found, finding=finding), "a4")["cavities"][0]
    assert row["gaps"].startswith(told)
