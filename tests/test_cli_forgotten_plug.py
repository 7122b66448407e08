"""A web with one hole through the command line: with its plug, and where the plug was forgotten."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pypdf
import pytest
from parts_files import (
    BREADTH,
    CAVITY,
    HEIGHT,
    HOLE,
    LENGTH,
    PLUG,
    SEARCH,
    WEB,
    chest,
    parts_file,
    web,
)
from pytest import approx

ROOT = Path(__file__).parent.parent
AFT, FORE = "0.30 port 0.40 up 0.15", "0.80 port 0.40 up 0.15"
TABLES = "".join(
    CAVITY.replace("locker", name).replace("0.50 port 0.40 up 0.15", at)
    for name, at in (("aft locker", AFT), ("fore locker", FORE))
)
VOLUMES = [(LENGTH - WEB[1]) * BREADTH * HEIGHT, WEB[0] * BREADTH * HEIGHT]  # fore, aft


def cavities(file: Path, to: Path) -> tuple[str, Any]:
    """What the terminal shows, and cavities.json."""
    command = [sys.executable, "-m", "flotation", "cavities", str(file), "--to", str(to)]
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "80"}
    result = subprocess.run(command, capture_output=True, text=True, env=environment, check=False)
    assert result.returncode == 0, result.stderr
    assert max(map(len, result.stdout.splitlines())) <= 80
    return result.stdout, json.loads((to / "cavities.json").read_text())


def the_two_lockers(found: Any) -> None:
    """One cavity before the web and one abaft it, each of its own volume, and nothing open."""
    assert found["leaks"] == found["notes"][1:] == []
    assert [one["cavity"] for one in found["cavities"]] == ["fore locker", "aft locker"]
    for one, volume in zip(found["cavities"], VOLUMES, strict=True):
        assert one["volume_m3"] == approx(volume, rel=1e-4)


def test_a_plugged_hole_parts_the_two_cavities(tmp_path: Path) -> None:
    file = parts_file(tmp_path, SEARCH, chest(), web(tmp_path), TABLES, PLUG)
    text, found = cavities(file, tmp_path / "out")
    the_two_lockers(found)
    assert found["closed"] == ["limber hole"]
    assert "Openings that were not sealed:\nnone up to" in text
    assert "[[opening]]" not in text


@pytest.fixture
def forgotten(tmp_path: Path) -> Path:
    return parts_file(tmp_path, SEARCH, chest(), web(tmp_path), TABLES)


def test_a_forgotten_plug_is_told_at_its_place(forgotten: Path, tmp_path: Path) -> None:
    text, found = cavities(forgotten, tmp_path / "out")
    (cavity,) = found["cavities"]
    assert cavity["cavity"] is None
    assert cavity["volume_m3"] == approx(sum(VOLUMES), rel=1e-3)
    (leak,) = found["leaks"]
    assert leak["passage"] and leak["cavity"] == leak["to"] == 1
    assert leak["parts"] == ["web", "web"]
    assert leak["place_m"] == approx([0.605, 0.4, 0.05], abs=HOLE / 10)
    place = ", ".join(f"{x:.3f}" for x in leak["place_m"])
    assert leak["widest_m"] == approx(0.020, abs=1e-5)
    assert leak["cavity_volume_m3"] == approx(VOLUMES[0], rel=1e-3)
    assert leak["cavity_place_m"][0] > WEB[1] and leak["to_place_m"][0] < WEB[0]
    on_paper = " ".join(
        page.extract_text() for page in pypdf.PdfReader(tmp_path / "out" / "cavities.pdf").pages
    )
    for words in (" ".join(text.split()), " ".join(on_paper.split())):
        assert f"L1: up to 20 mm wide at x, y, z = {place} m, in web; foam goes" in words
        assert f'between two chambers of "{cavity["found"]}", of which the smaller, round' in words
        assert "Close it with a plug or tape before the pour" in words
        for name, at in (("aft locker", AFT), ("fore locker", FORE)):
            told = f'[[cavity]] "{name}": no cavity is found at "{at}". That place lies in'
            assert f'{told} "{cavity["found"]}"' in words


def test_the_entry_that_is_shown_closes_the_hole(forgotten: Path, tmp_path: Path) -> None:
    text, _ = cavities(forgotten, tmp_path / "out")
    before, _, after = text.partition("  [[opening]]\n")
    entry = "[[opening]]\n" + after.partition("\n\n")[0] + "\n"
    assert before and 'width = "20 mm"' in entry
    forgotten.write_text(forgotten.read_text() + entry)
    text, found = cavities(forgotten, tmp_path / "closed")
    the_two_lockers(found)
    assert found["closed"] == ["L1"]
