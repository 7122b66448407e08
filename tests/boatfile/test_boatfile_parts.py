"""Cavities found between the parts of a boat file, and openings closed by name."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
from parts_files import (
    BREADTH,
    CAVITY,
    HEIGHT,
    HOLE,
    LENGTH,
    PLUG,
    SEARCH,
    TAPE,
    WEB,
    chest,
    faults_of,
    parts_file,
    plate,
    web,
    whole_boat,
)
from pytest import approx

from flotation.boatfile import read_boat, read_found_cavities, template
from flotation.boatfile.schema import FoundTable
from flotation.boatfile.schema_drawn import OpeningTable, PartsTable, PartTable
from flotation.errors import BoatFileError


def test_a_cavity_is_what_the_parts_leave(tmp_path: Path) -> None:
    found = read_found_cavities(parts_file(tmp_path, SEARCH, chest()))
    assert found.names == ("0.50 port 0.40 up 0.15",)
    assert found.voids[0].volume == approx(
        LENGTH * BREADTH * HEIGHT, abs=found.voids[0].volume_error
    )
    assert found.voids[0].volume_error < 1e-3 * LENGTH * BREADTH * HEIGHT
    assert found.voids[0].parts == ("bottom", "top", "aft", "forward", "starboard", "port")


def test_an_opening_that_stays_open_is_told_with_where_foam_goes(tmp_path: Path) -> None:
    tables = (SEARCH, chest(), web(tmp_path), TAPE.replace("width", "closed = false\nwidth"))
    found = read_found_cavities(parts_file(tmp_path, *tables))
    assert len(found.voids) == 1
    (leak,) = found.finding.leaks
    assert leak.is_passage
    assert leak.widest == approx(HOLE, abs=1e-6)
    assert leak.place == approx([0.605, 0.4, 0.05], abs=0.005)
    assert "pouring one feeds the other" in found.leads(leak)
    assert found.left_open == ("limber hole",)


@pytest.mark.parametrize("closed_by", [TAPE, PLUG], ids=["tape", "plug"])
def test_an_opening_closed_by_name_makes_two_cavities_of_one(
    tmp_path: Path, closed_by: str
) -> None:
    found = read_found_cavities(parts_file(tmp_path, SEARCH, chest(), web(tmp_path), closed_by))
    assert found.names == ("0.81 port 0.40 up 0.15", "0.30 port 0.40 up 0.15")
    assert not found.finding.leaks
    assert found.closed == ("limber hole",)
    lengths = (LENGTH - WEB[1], WEB[0])
    for void, length in zip(found.voids, lengths, strict=True):
        assert void.volume == approx(length * BREADTH * HEIGHT, abs=void.volume_error)


def test_a_part_inside_is_taken_out_and_one_that_floats_free_is_told(tmp_path: Path) -> None:
    tank = plate("tank", (0.2, 0.2, 0.1), (0.2, 0.2, 0.1))
    found = read_found_cavities(parts_file(tmp_path, SEARCH, chest(), tank))
    void = found.voids[0]
    expected = LENGTH * BREADTH * HEIGHT - 0.2 * 0.2 * 0.1
    assert void.volume == approx(expected, abs=void.volume_error)
    assert void.adrift == (("tank",),)


NOWHERE = TAPE.replace('"0.605 m"', '"0.3 m"')
LOOSE = PLUG.replace("600 mm", "200 mm").replace("610 mm", "210 mm")
WRONG = {
    "no part": ((SEARCH,), "no part to search between"),
    "no [parts]": ((plate("bottom", (0, 0, 0), (1, 1, 1)),), "[parts] is missing"),
    "tape where nothing is": ((SEARCH, chest(), NOWHERE), "no opening wider than the gap"),
    "plug that hangs free": ((SEARCH, chest(), LOOSE), "stands free and closes nothing"),
    "neither tape nor plug": ((SEARCH, chest(), '[[opening]]\nname = "x"\n'), "where it is"),
    "both": ((SEARCH, chest(), PLUG + 'width = "3 mm"\n'), "closed twice"),
    "sheet as a shape": (
        (SEARCH, plate("s", (0, 0, 0), (1, 1, 1), 'thickness = "5 mm"')),
        "a sheet is a mesh",
    ),
    "part in another unit": (
        (SEARCH, chest(), plate("lid", (0, 0, 0), (900, 600, 10))),
        "another unit",
    ),
    "name twice": ((SEARCH, chest(), chest()), "stands twice"),
    "no gap": (("[parts]\n", chest()), '"gap" is missing'),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_cannot_be_searched_is_one_message_with_its_line(tmp_path: Path, case: str) -> None:
    tables, told = WRONG[case]
    faults = faults_of(parts_file(tmp_path, *tables))
    assert any(told in fault for fault in faults), faults
    assert all(fault.startswith("parts.toml") for fault in faults)


def test_a_cavity_of_a_boat_may_be_one_that_is_found(tmp_path: Path) -> None:
    boat = read_boat(whole_boat(tmp_path, SEARCH, chest(), CAVITY))
    cavity = boat.cavity("locker")
    assert cavity.found is not None
    assert cavity.solid.volume == approx(LENGTH * BREADTH * HEIGHT, abs=cavity.found.volume_error)
    assert cavity.moved_in == 0.0
    assert [hole.name for hole in cavity.holes] == ["P1"]
    assert not boat.parts


def test_nothing_found_is_passed_over_in_silence(tmp_path: Path) -> None:
    tables = (SEARCH, chest(), web(tmp_path), TAPE.replace("width", "closed = false\nwidth"))
    notes = "\n".join(read_boat(whole_boat(tmp_path, *tables)).notes)
    assert "not used as a [[cavity]]" in notes
    assert "wider than the gap: foam goes between two chambers" in notes
    assert '"limber hole" is left open' in notes


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("0.50 port", "0.40 port", "no cavity is found at"),
        (
            "0.50 port",
            "0.40 port",
            'That place lies in "0.50 port 0.40 up 0.15", which holds 180 L',
        ),
        ("0.50 port", "1.90 port", 'The nearest is "0.50 port 0.40 up 0.15"'),
        ("0.50 port 0.40 up 0.15", "locker", 'Found are: "0.50 port 0.40 up 0.15"'),
        ("0.50 port 0.40 up 0.15", "locker", "no name of a found cavity"),
        ('exposure = "none"', 'exposure = "none"\nface = "moulded"', '"face" is not known'),
    ],
)
def test_a_wrong_name_is_told_with_its_line(tmp_path: Path, old: str, new: str, told: str) -> None:
    file = whole_boat(tmp_path, SEARCH, chest(), CAVITY.replace(old, new, 1))
    with pytest.raises(BoatFileError) as caught:
        read_boat(file)
    assert any(told in str(fault) for fault in caught.value.faults)


def test_two_cavities_cannot_be_the_same_one(tmp_path: Path) -> None:
    again = CAVITY.replace('"locker"', '"bin"').replace('"P1"', '"P2"')
    with pytest.raises(BoatFileError, match="shares"):
        read_boat(whole_boat(tmp_path, SEARCH, chest(), CAVITY, again))


def documented() -> dict[str, Any]:
    """The tables of the commented file that tell of parts, as if they were not commented."""
    block = template().partition("# [parts]")[2].partition("# ------")[0]
    lines = [line.removeprefix("#").strip() for line in block.splitlines()]
    return tomllib.loads("\n".join(["[parts]", *lines]))


def test_the_commented_file_shows_every_entry_of_parts_as_it_is_read() -> None:
    tables = documented()
    models = {"part": PartTable, "opening": OpeningTable, "cavity": FoundTable}
    PartsTable.model_validate(tables["parts"])
    assert set(tables["parts"]) == set(PartsTable.model_fields)
    for key, model in models.items():
        for table in tables[key]:
            model.model_validate(table)
    for model in (PartTable, OpeningTable, FoundTable):
        missing = [name for name in model.model_fields if f"{name} = " not in template()]
        assert not missing


def test_a_cavity_that_is_no_longer_found_is_told_with_the_table(tmp_path: Path) -> None:
    wrong = CAVITY.replace("0.50 port", "0.60 port")
    found = read_found_cavities(parts_file(tmp_path, SEARCH, chest(), CAVITY, wrong))
    assert found.called == ("locker",)
    assert found.notes == (
        '[[cavity]] "locker": no cavity is found at "0.60 port 0.40 up 0.15". That place lies in'
        ' "0.50 port 0.40 up 0.15", which holds 180 L.',
    )
