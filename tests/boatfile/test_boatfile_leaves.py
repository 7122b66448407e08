"""Every entry of a boat file is kept with its text, and each quantity with its SI value."""

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from boatfile_writing import write

from flotation.boat_entries import Entry
from flotation.boatfile import read_boat
from flotation.units import si, unit_of

ROOT = Path(__file__).parent.parent.parent
LAUNCH = ROOT / "meshes" / "launch" / "launch.toml"


def texts(value: object) -> Iterator[str]:
    """Every text, number and word of a TOML document."""
    if isinstance(value, dict):
        for inner in value.values():
            yield from texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from texts(inner)
    else:
        yield str(value).lower() if isinstance(value, bool) else str(value)


@pytest.fixture(scope="module")
def entries() -> tuple[Entry, ...]:
    return read_boat(LAUNCH).entries


def test_no_entry_of_a_boat_file_is_left_out(entries: tuple[Entry, ...]) -> None:
    document = tomllib.loads(LAUNCH.read_text("utf-8"))
    del document["format"]
    assert sorted(entry.text for entry in entries) == sorted(texts(document))


def test_each_has_a_place_of_its_own(entries: tuple[Entry, ...]) -> None:
    places = [(entry.file, entry.place) for entry in entries]
    assert len(set(places)) == len(places) > 300


def test_quantities_have_the_value_of_their_text_and_words_have_none(
    entries: tuple[Entry, ...],
) -> None:
    known = {entry.place: entry for entry in entries}
    assert (known["[boat] rated_power"].value, known["[boat] rated_power"].unit) == (40000.0, "W")
    assert (known["[boat] kind"].value, known["[boat] kind"].unit) == (None, "")
    quantities = [entry for entry in entries if entry.value is not None and entry.unit != "1"]
    assert len(quantities) > 200
    for entry in quantities:
        assert unit_of(entry.text) == entry.unit
        assert unit_of(str(si(entry.value, entry.unit))) == entry.unit


def test_a_weight_list_in_a_table_of_its_own_is_kept_by_its_rows(tmp_path: Path) -> None:
    file = write(tmp_path, ("[weights]\n", '[weights]\nfile = "weights.csv"\n'), cavities=False)
    row = "spare anchor,4 kg,steel,1 m,0 m,0.2 m,above,equipment,5 %"
    head = "item,mass,material,x,y,z,waterline,role,tolerance"
    file.with_name("weights.csv").write_text(f"{head}\n{row}\n")
    own = [entry for entry in read_boat(file).entries if entry.file == "weights.csv"]
    assert [(one.place, one.text, one.value, one.unit) for one in own] == [
        (f'"spare anchor" {key}', text, value, unit)
        for key, text, value, unit in (
            ("item", "spare anchor", None, ""),
            ("mass", "4 kg", 4.0, "kg"),
            ("material", "steel", None, ""),
            ("waterline", "above", None, ""),
            ("role", "equipment", None, ""),
            ("tolerance", "5 %", 0.05, "1"),
            ("at x", "1 m", 1.0, "m"),
            ("at y", "0 m", 0.0, "m"),
            ("at z", "0.2 m", 0.2, "m"),
        )
    ]
