"""The command line end to end: exit codes, what goes where, and that failure leaves nothing."""

import json
import os
import re
import struct
import subprocess
import sys
from pathlib import Path

import pytest
import typer.main
from typer.testing import CliRunner

from flotation.cli import app
from flotation.version import VERSION

ROOT = Path(__file__).parent.parent
SKIFF = ROOT / "meshes" / "skiff" / "skiff.toml"
LOW = SKIFF.with_name("skiff_foam_low.toml")
LAUNCH = ROOT / "meshes" / "launch" / "launch.toml"
COMMANDS = sorted(typer.main.get_group(app).commands)


def run(*arguments: str | Path, folder: Path = ROOT) -> "subprocess.CompletedProcess[str]":
    """The command in a process of its own, as a person at a terminal of 80 columns runs it."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "80"}
    return subprocess.run(
        [sys.executable, "-m", "flotation", *map(str, arguments)],
        capture_output=True,
        text=True,
        cwd=folder,
        env=environment,
        check=False,
    )


class Edited:
    """A copy of the example skiff in which one text was replaced."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for file in SKIFF.parent.iterdir():
            (folder / file.name).write_bytes(file.read_bytes())
        self.boat = folder / "skiff.toml"

    def replace(self, old: str, new: str) -> Path:
        text = self.boat.read_text()
        assert old in text
        self.boat.write_text(text.replace(old, new, 1))
        return self.boat


@pytest.fixture
def edited(tmp_path: Path) -> Edited:
    return Edited(tmp_path)


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_has_help_and_a_place_in_the_readme(command: str) -> None:
    result = CliRunner().invoke(app, [command, "--help"])
    assert result.exit_code == 0
    assert "--json" in result.output
    assert re.search(rf"^\| `flotation {command}\b", (ROOT / "README.md").read_text(), re.MULTILINE)


def test_help_loads_none_of_the_heavy_libraries() -> None:
    code = (
        "import sys; from typer.testing import CliRunner; from flotation.cli import app; "
        "assert CliRunner().invoke(app, ['--help']).exit_code == 0; "
        "heavy = {'numpy', 'scipy', 'trimesh', 'manifold3d', 'pint', 'pydantic', 'typst'}; "
        "print(sorted(heavy & set(sys.modules)))"
    )
    result = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=True,
    )
    assert result.stdout.strip() == "[]"


@pytest.mark.parametrize("boat", [SKIFF, LOW, LAUNCH], ids=lambda path: path.stem)
@pytest.mark.parametrize("command", ["pour", "check"])
def test_tables_fit_80_columns_and_json_says_the_same(command: str, boat: Path) -> None:
    table, machine = run(command, boat), run(command, boat, "--json")
    assert table.returncode == machine.returncode
    assert table.returncode in (0, 1)
    assert max(len(line) for line in table.stdout.splitlines()) <= 80
    assert isinstance(json.loads(machine.stdout), dict)


@pytest.mark.parametrize("command", ["beyond", "swamp"])
def test_what_stands_beside_the_check_fits_80_columns_and_json_says_the_same(command: str) -> None:
    table, machine = run(command, SKIFF), run(command, SKIFF, "--json")
    assert table.returncode == machine.returncode == 0
    assert max(len(line) for line in table.stdout.splitlines()) <= 80
    assert json.loads(machine.stdout)["boat"] == "River survey skiff 46"


def test_what_remains_of_a_pour_is_planned_again(tmp_path: Path) -> None:
    """Steps 1 to 3 as planned and a heavier cup: 20 steps are left, and start at the next one."""
    log, cups = tmp_path / "poured.csv", tmp_path / "cups.csv"
    log.write_text("order,mass\n1,0.955 kg\n2,0.955 kg\n3,0.675 kg\n")
    cups.write_text("foam,density,date\n2 lb pour foam,32.6 kg/m^3,2026-04-14\n")
    rest = run("pour", SKIFF, "--poured", log, "--cup-tests", cups, "--json")
    assert rest.returncode == 0
    found = json.loads(rest.stdout)
    assert [lift["order"] for lift in found["done"]] == [1, 2, 3]
    assert min(lift["order"] for pour in found["pours"] for lift in pour["lifts"]) == 4
    assert found["cups"][0]["density_kg_per_m3"] == 32.6
    assert found["timetable"]["batches"] == 20


def test_sheet_and_card_of_what_remains_are_written(tmp_path: Path) -> None:
    log, out = tmp_path / "poured.csv", tmp_path / "out"
    log.write_text("order,mass\n1,0.955 kg\n2,0.955 kg\n3,0.675 kg\n")
    result = run("pour", SKIFF, "--poured", log, "--to", out, "--paper", "letter")
    assert result.returncode == 0, result.stderr
    written = sorted(path.name for path in out.iterdir())
    assert written == [
        "remaining_mixing_card.pdf",
        "remaining_pour.csv",
        "remaining_pour_sheet.pdf",
    ]
    orders = [row.split(",")[0] for row in (out / "remaining_pour.csv").read_text().splitlines()]
    assert orders[1] == "4"
    assert not {"1", "2", "3"} & set(orders)


def test_a_bad_log_leaves_no_sheet(tmp_path: Path) -> None:
    log, out = tmp_path / "poured.csv", tmp_path / "out"
    log.write_text("order,mass\n77,0.955 kg\n")
    refused = run("pour", SKIFF, "--poured", log, "--to", out)
    assert refused.returncode == 2
    assert not out.exists()


def test_a_log_of_what_was_poured_is_refused_with_its_line(tmp_path: Path) -> None:
    log = tmp_path / "poured.csv"
    log.write_text("order,mass\n1,0.955\n")
    refused = run("pour", SKIFF, "--poured", log)
    assert refused.returncode == 2
    assert refused.stdout == ""
    assert "poured.csv:2" in refused.stderr


def test_a_boat_that_would_turn_over_gets_no_sheet_for_real_water() -> None:
    refused = run("swamp", LOW)
    assert refused.returncode == 2
    assert refused.stdout == ""
    assert "by calculation the boat turns over in 183.225" in refused.stderr


def test_the_twin_with_its_foam_low_is_told_in_one_sentence() -> None:
    checked = run("check", LOW)
    assert checked.returncode == 1
    assert "Enough foam in the wrong place" in checked.stdout
    assert "floats bottom up" in " ".join(checked.stdout.split())
    assert "every limit of the tests is met" in " ".join(checked.stdout.split())


def test_the_skiff_meets_its_calculated_limits_and_a_heavier_motor_changes_the_exit_code(
    edited: Edited,
) -> None:
    assert run("check", edited.boat).returncode == 0
    weights = edited.folder / "weights.csv"
    weights.write_text(
        weights.read_text().replace("68 kg,,", "680 kg,,").replace("59 kg", "590 kg")
    )
    short = run("check", edited.boat)
    assert short.returncode == 1
    assert "falls short by" in short.stdout


def test_report_writes_all_hand_outs_and_names_them(tmp_path: Path) -> None:
    result = run("report", LAUNCH, "--to", tmp_path / "out", "--paper", "letter", "--json")
    assert result.returncode == 0
    written = sorted(path.name for path in (tmp_path / "out").iterdir())
    assert written == [
        "assessment.csv",
        "assessment.json",
        "assessment.pdf",
        "hand_check.xlsx",
        "hole_labels.pdf",
        "hole_map.pdf",
        "holes.csv",
        "holes.json",
        "look_inside.html",
        "mixing_card.pdf",
        "pour.csv",
        "pour.json",
        "pour_sheet.pdf",
    ]
    assert all(name in result.stdout for name in written)


def test_a_cup_outside_the_sheets_limits_stops_the_pour(edited: Edited) -> None:
    boat = edited.replace('density = "31.8 kg/m^3"', 'density = "36 kg/m^3"')
    result = run("pour", boat)
    assert result.returncode == 1
    assert "36" in result.stdout
    assert " kg  " not in result.stdout


def open_box() -> bytes:
    """A binary STL of a tetrahedron that lacks a face."""
    corners = [(0, 0, 0), (1000, 0, 0), (0, 1000, 0), (0, 0, 1000)]
    faces = [(0, 2, 1), (0, 1, 3), (0, 3, 2)]
    facets = b"".join(
        struct.pack("<12fH", 0, 0, 0, *(value for corner in face for value in corners[corner]), 0)
        for face in faces
    )
    return b"".ljust(80) + struct.pack("<I", len(faces)) + facets


STL = (SKIFF.parent / "side_port.stl").read_bytes()
BAD_MESHES = {
    "open": (open_box(), "3 edges"),
    "truncated": (STL[:-20], "bytes"),
    "wrong count": (STL[:80] + struct.pack("<I", 7) + STL[84:], "bytes"),
    "empty": (b"", "empty"),
    "text": (b"a note about the side cavity", "STL"),
    "not finite": (STL[:96] + struct.pack("<f", float("nan")) + STL[100:], "finite"),
}


@pytest.mark.parametrize("case", BAD_MESHES)
def test_a_bad_mesh_is_one_clear_message_and_nothing_is_written(
    case: str, edited: Edited, tmp_path: Path
) -> None:
    content, told = BAD_MESHES[case]
    (edited.folder / "side_port.stl").write_bytes(content)
    result = run("report", edited.boat, "--to", tmp_path / "out")
    assert result.returncode == 2
    assert result.stdout == ""
    assert "side_port.stl" in result.stderr
    assert told in result.stderr
    assert "Traceback" not in result.stderr
    assert not (tmp_path / "out").exists()


BAD_ENTRIES = {
    "missing mesh": ('mesh = "side_port.stl"', 'mesh = "side_prot.stl"', "side_prot.stl"),
    "no unit": ('length = "4.60 m"', 'length = "4.60"', "unit"),
    "bare number": ('length = "4.60 m"', "length = 4.60", "unit"),
    "unknown foam": ('foam = "2 lb pour foam"\nexposure', 'foam = "3 lb"\nexposure', "3 lb"),
    "contradictory densities": ('"35.2 kg/m^3"', '"30.0 kg/m^3"', "minimum_fill_density"),
    "hole off its cavity": ('["0.820 m",', '["0.820 m", "0.2 m", "0.6 m"] #', "P1"),
    "tube too long": ("passes_through = true", "passes_through = false", "rigging tube"),
    "unknown entry": ("rated_power", "ratet_power", "rated_power"),
    "overlapping cavities": ('mesh = "bay_aft.stl"', 'mesh = "tank_bay.stl"', "shares"),
}


@pytest.mark.parametrize("case", BAD_ENTRIES)
def test_a_bad_entry_is_told_with_its_line_and_nothing_is_written(
    case: str, edited: Edited, tmp_path: Path
) -> None:
    old, new, told = BAD_ENTRIES[case]
    result = run("report", edited.replace(old, new), "--to", tmp_path / "out", "--json")
    assert result.returncode == 2, result.stdout
    assert result.stdout == ""
    assert re.search(r"skiff\.toml:\d+ ", result.stderr)
    assert told in result.stderr
    assert "Traceback" not in result.stderr
    assert not (tmp_path / "out").exists()


def test_faults_of_one_file_come_all_at_once(edited: Edited) -> None:
    edited.replace('beam = "1.84 m"', 'beam = "1,84 m"')
    edited.replace('gel_time = "170 s"', 'gel_time = "170"')
    boat = edited.replace('waste = "5 %"', 'waste = "105 %"')
    told = run("check", boat).stderr
    assert all(entry in told for entry in ("beam", "gel_time", "waste"))


def test_volume_of_meshes_by_table_and_json() -> None:
    file = SKIFF.with_name("tank_bay.stl")
    table = run("volume", file, "--unit", "mm")
    machine = run("volume", file, "--unit", "mm", "--json")
    assert table.returncode == machine.returncode == 0
    assert "tank_bay.stl" in table.stdout
    assert '"volume_m3"' in machine.stdout
    refused = run("volume", file)
    assert refused.returncode == 2
    assert "unit" in refused.stderr


def test_volume_tells_the_faults_of_all_files_and_no_volume(tmp_path: Path) -> None:
    good = SKIFF.with_name("tank_bay.stl")
    (tmp_path / "open.stl").write_bytes(open_box())
    (tmp_path / "empty.stl").write_bytes(b"")
    names = [good, tmp_path / "open.stl", tmp_path / "empty.stl", tmp_path / "none.stl"]
    refused = run("volume", *names, "--unit", "mm")
    assert refused.returncode == 2
    assert refused.stdout == ""
    told = [line for line in refused.stderr.splitlines() if ".stl" in line]
    assert [line.partition(":")[0] for line in told] == [str(name) for name in names[1:]]


def test_volume_says_what_the_reader_of_a_mesh_has_to_tell() -> None:
    told = run("volume", SKIFF.with_name("tank_bay.stl"), "--unit", "ft")
    assert told.returncode == 0
    assert re.search(r"^Note: .*tank_bay\.stl: It measures .* m: compare the unit", told.stderr)


def test_a_boat_files_notes_reach_the_terminal(edited: Edited) -> None:
    stl = (edited.folder / "side_port.stl").read_bytes()
    folded = stl[:80] + struct.pack("<I", struct.unpack("<I", stl[80:84])[0] + 1) + stl[84:]
    corner = stl[96:108]
    folded += bytes(12) + 3 * corner + bytes(2)
    (edited.folder / "side_port.stl").write_bytes(folded)
    told = run("pour", edited.boat)
    assert told.returncode == 0
    assert "Note: side_port.stl: 1 triangles have two corners at one position" in told.stderr
    assert "Note" not in told.stdout


def test_a_message_cannot_command_the_terminal(edited: Edited) -> None:
    boat = edited.replace('length = "4.60 m"', 'length = "4.60\\u001b[2J m"')
    told = run("check", boat)
    assert told.returncode == 2
    assert "\x1b" not in told.stderr
    assert "4.60\\x1b[2J m" in told.stderr


@pytest.mark.parametrize(
    ("asked", "answer"),
    [
        ("source_bash", "complete -o default -F _flotation_completion flotation"),
        ("complete_bash", "pour"),
    ],
)
def test_shell_completion_goes_by_the_name_of_the_command(asked: str, answer: str) -> None:
    words = {"COMP_WORDS": "flotation po", "COMP_CWORD": "1"}
    offered = subprocess.run(
        [sys.executable, "-m", "flotation"],
        capture_output=True,
        text=True,
        env={**os.environ, **words, "_FLOTATION_COMPLETE": asked, "PYTHONPATH": str(ROOT)},
        check=False,
    )
    assert offered.returncode == 0
    assert answer in offered.stdout.splitlines()


def test_new_writes_a_boat_file_that_reads_and_overwrites_none(tmp_path: Path) -> None:
    file = tmp_path / "boat.toml"
    assert run("new", file).returncode == 0
    assert run("pour", file).returncode in (0, 1)
    before = file.read_bytes()
    again = run("new", file)
    assert again.returncode == 2
    assert file.read_bytes() == before


def test_version_is_that_of_the_package() -> None:
    result = run("--version")
    assert result.returncode == 0
    assert result.stdout == f"flotation {VERSION}\n"
