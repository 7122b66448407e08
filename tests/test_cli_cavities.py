"""The command that finds cavities between parts, from end to end."""

import json
import os
import pty
import re
import select
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from pytest import approx

from flotation.geometry.shapes import box
from flotation.geometry.solid import Solid
from flotation.report.stl import binary_stl

ROOT = Path(__file__).parent.parent
SIZE, WALL, GAP = (1.2, 0.5, 0.3), 0.01, 0.002  # m: inside, plates, and lid off its walls


def environment() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "80"}


def run(*arguments: str | Path) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "flotation", *map(str, arguments)],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env=environment(),
        check=False,
    )


def plate(name: str, corner: tuple[float, ...], size: tuple[float, ...]) -> str:
    rows = [
        "[" + ", ".join(f'"{value * 1000:.1f} mm"' for value in row) + "]" for row in (corner, size)
    ]
    shape = f'{{ kind = "box", corner = {rows[0]}, size = {rows[1]} }}'
    return f'[[part]]\nname = "{name}"\nshape = {shape}\n'


@pytest.fixture
def boat(tmp_path: Path) -> Path:
    """A box of five plates, with a lid that stands off them."""
    w, (x, y, z) = WALL, SIZE
    file = tmp_path / "boat.toml"
    file.write_text(
        'format = 1\n[boat]\nname = "#panic() <b>"\n[parts]\ngap = "3 mm"\n'
        + plate("bottom", (0, -w, 0), (x + 2 * w, y + 2 * w, w))
        + plate("aft", (0, -w, w), (w, y + 2 * w, z + w))
        + plate("forward", (x + w, -w, w), (w, y + 2 * w, z + w))
        + plate("starboard", (w, -w, w), (x, w, z + w))
        + plate("port", (w, y, w), (x, w, z + w))
        + plate("lid", (w + GAP, GAP, w + z), (x - 2 * GAP, y - 2 * GAP, w))
    )
    return file


def test_table_fits_80_columns_and_json_says_the_same(boat: Path) -> None:
    table, machine = run("cavities", boat), run("cavities", boat, "--json")
    assert table.returncode == machine.returncode == 0, table.stderr
    assert max(map(len, table.stdout.splitlines())) <= 80
    (row,) = json.loads(machine.stdout)["cavities"]
    assert row["found"] in table.stdout
    assert row["volume_m3"] == approx(np.prod(SIZE), abs=row["volume_error_m3"])
    assert 0.0 < row["volume_error_m3"] < 0.005 * row["volume_m3"]


def test_meshes_and_a_picture_are_written(boat: Path, tmp_path: Path) -> None:
    result = run("cavities", boat, "--to", tmp_path / "out")
    assert result.returncode == 0, result.stderr
    written = sorted(path.name for path in (tmp_path / "out").iterdir())
    mesh = "cavity_01_0.61_port_0.25_up_0.16.stl"
    assert written == ["cavities.json", "cavities.pdf", "cavities.png", mesh]
    solid = Solid.read(tmp_path / "out" / mesh, unit="mm")
    assert solid.volume == approx(np.prod(SIZE), rel=1e-3)
    assert (tmp_path / "out" / "cavities.pdf").read_bytes().startswith(b"%PDF")


def test_a_gap_wider_than_is_sealed_leaks_and_is_told(boat: Path) -> None:
    boat.write_text(boat.read_text().replace('gap = "3 mm"', 'gap = "1 mm"'))
    found = json.loads(run("cavities", boat, "--json").stdout)
    assert found["cavities"] == []
    assert all(leak["to"] is None for leak in found["leaks"])
    assert max(leak["widest_m"] for leak in found["leaks"]) == approx(GAP, abs=1e-6)
    text = " ".join(run("cavities", boat).stdout.split())
    assert re.search(
        r"foam goes from a space of [0-9.]+ L that would be a cavity to the outside", text
    )


def test_a_boat_without_parts_is_one_message_and_nothing_is_written(tmp_path: Path) -> None:
    result = run("cavities", ROOT / "meshes" / "launch" / "launch.toml", "--to", tmp_path / "out")
    assert result.returncode == 2
    assert result.stdout == ""
    assert "[parts]" in result.stderr
    assert not (tmp_path / "out").exists()


def test_a_part_in_another_unit_is_one_message_and_nothing_is_written(
    boat: Path, tmp_path: Path
) -> None:
    web = box((0.61, -0.001, 0.009), (0.01, SIZE[1] + 0.002, SIZE[2] + 0.002), name="web")
    inches = Solid(web.vertices / 25.4, web.faces, "web")
    (tmp_path / "web.stl").write_bytes(binary_stl(inches))
    table = '[[part]]\nname = "web"\nmesh = "web.stl"\nunit = "mm"\n'
    boat.write_text(boat.read_text() + table)
    result = run("cavities", boat, "--to", tmp_path / "out")
    assert result.returncode == 2
    assert result.stdout == ""
    assert 'in "in" it would measure' in result.stderr
    assert not (tmp_path / "out").exists()


def test_on_a_terminal_a_bar_shows_how_far_the_search_is(boat: Path) -> None:
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "flotation", "cavities", str(boat)]
    child = subprocess.Popen(
        command, stdout=subprocess.DEVNULL, stderr=theirs, cwd=ROOT, env=environment()
    )
    os.close(theirs)
    drawn = b""
    while child.poll() is None or select.select([ours], [], [], 0.0)[0]:
        if select.select([ours], [], [], 0.1)[0]:
            try:
                drawn += os.read(ours, 4096)
            except OSError:  # the other end is closed
                break
    os.close(ours)
    assert child.wait() == 0
    shares = [int(share) for share in re.findall(rb"\] +(\d+) %", drawn)]
    assert len(shares) >= 3
    assert shares == sorted(shares)
    assert shares[-1] <= 100


def test_beside_a_terminal_no_bar_is_drawn(boat: Path) -> None:
    assert "%" not in run("cavities", boat).stderr
