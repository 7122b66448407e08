"""`verify` and `compare` end to end: exit codes, tables of 80 columns, JSON, refusals."""

import json
import sys
from pathlib import Path

import pytest
from reported_boats import small_boat
from typer.testing import CliRunner

from flotation.cli import app

PRINTED = ("pour_sheet.pdf", "pour.csv", "assessment.pdf", "assessment.csv")


def run(*arguments: str | Path):
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A boat file and the folder of its report, on letter paper."""
    boat = small_boat(tmp_path_factory.mktemp("boat"))
    folder = boat.parent / "out"
    assert run("report", boat, "--to", folder, "--paper", "letter").exit_code in (0, 1)
    return boat, folder


def test_an_untouched_report_and_all_its_hand_outs_are_the_same(made) -> None:
    boat, folder = made
    (folder / "note.txt").write_text("mine")
    result = run("verify", folder, boat)
    assert result.exit_code == 0, result.output
    assert result.stdout.count("no value differs") == 2
    assert "note.txt" in result.stdout
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    content = json.loads(run("verify", folder / "assessment.json", boat, "--json").stdout)
    assert content["same"] is True
    assert content["computed_with"]["Python"] == sys.version.split()[0]


def test_one_altered_number_is_named_alone_with_both_values(made, tmp_path: Path) -> None:
    boat, folder = made
    file = tmp_path / "assessment.json"
    content = json.loads((folder / "assessment.json").read_text())
    old = content["verdicts"][0]["margin"]
    content["verdicts"][0]["margin"] = old + 1.0
    file.write_text(json.dumps(content))
    result = run("verify", file, boat)
    assert result.exit_code == 1
    said = " ".join(result.stdout.split())
    name = content["verdicts"][0]["name"]
    assert "Numbers that differ: 1" in said
    assert f"verdicts[0].margin ({name}): reported {old + 1.0}, recomputed {old}" in said
    assert "Input files" not in said
    assert "Words" not in said


def test_an_altered_boat_file_is_named_first(made, tmp_path: Path) -> None:
    boat, folder = made
    altered = tmp_path / "boat.toml"
    altered.write_text(boat.read_text().replace('mass = "52 kg"', 'mass = "62 kg"'))
    result = run("verify", folder / "assessment.json", altered)
    assert result.exit_code == 1
    said = " ".join(result.stdout.split())
    places = [
        said.index(words)
        for words in (
            "Input files that differ: 1",
            '[[weights.item]] "outboard motor" mass',
            "Numbers that differ",
            "verdicts[0].margin",
        )
    ]
    assert places == sorted(places)
    assert 'in the report "52 kg", in the file "62 kg"' in said


def test_the_report_of_another_boat_is_said_to_be_one_and_not_told_in_full(
    made, tmp_path: Path
) -> None:
    boat, folder = made
    report = tmp_path / "assessment.json"
    content = json.loads((folder / "assessment.json").read_text())
    own = content["boat"]
    content |= {"boat": "Ferry 7", "findings": [], "sections": []}
    report.write_text(json.dumps(content))
    result = run("verify", report, boat)
    assert result.exit_code == 1
    said = " ".join(result.stdout.split())
    assert f'It is the report of "Ferry 7", and the boat file is of "{own}".' in said
    assert said.index("Ferry 7") < said.index("that differ:")
    assert said.count("--json has all") == 2  # numbers and words
    assert len(result.stdout.splitlines()) < 100
    told = json.loads(run("verify", report, boat, "--json").stdout)["reports"][0]
    for kind in ("numbers", "words"):
        assert f"that differ: {len(told[kind])} - " in said
        assert f"and {len(told[kind]) - 12} more; --json has all." in said


@pytest.mark.parametrize("name", PRINTED)
def test_a_printed_hand_out_that_was_touched_is_named(name: str, made, tmp_path: Path) -> None:
    boat, folder = made
    for file in folder.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    content = (tmp_path / name).read_bytes()
    (tmp_path / name).write_bytes(content.replace(b"1", b"2", 1))
    result = run("verify", tmp_path, boat, "--json")
    assert result.exit_code == 1
    assert json.loads(result.stdout)["handouts"] == [name]


def test_what_the_folder_lost_is_named_and_does_not_go_for_the_same(made, tmp_path: Path) -> None:
    boat, folder = made
    lost = ("assessment.json", "hole_map.pdf")
    for file in folder.iterdir():
        if file.name not in lost:
            (tmp_path / file.name).write_bytes(file.read_bytes())
    said = " ".join(run("verify", tmp_path, boat).stdout.split())
    assert said.count("no value differs") == 1
    assert "Not in the folder, so nothing is said of them: - assessment.json - hole_map.pdf" in said
    assert json.loads(run("verify", tmp_path, boat, "--json").stdout)["missing"] == [*lost]
    assert json.loads(run("verify", folder, boat, "--json").stdout)["missing"] == []


def test_what_cannot_be_read_back_is_one_message_and_nothing_else(made, tmp_path: Path) -> None:
    boat, folder = made
    cut = tmp_path / "assessment.json"
    cut.write_bytes((folder / "assessment.json").read_bytes()[:2000])
    result = run("verify", cut, boat)
    assert result.stdout == ""
    assert "is cut short" in str(result.exception)
    assert "one is a boat file and the other a report" in str(run("compare", boat, cut).exception)


def test_a_comparison_says_what_moved_and_exits_by_the_limits_of_the_second(
    made, tmp_path: Path
) -> None:
    boat, _ = made
    altered = tmp_path / "boat.toml"
    altered.write_text(boat.read_text().replace('mass = "52 kg"', 'mass = "352 kg"'))
    result = run("compare", boat, altered)
    assert result.exit_code == 1
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    said = " ".join(result.stdout.split())
    assert "mass: 52 kg (114.6 lb) -> 352 kg (776.0 lb)" in said
    assert "Nothing is left over." in result.stdout
    assert run("compare", boat, boat).exit_code == run("check", boat).exit_code
    content = json.loads(run("compare", boat, altered, "--json").stdout)
    assert content["kind"] == "comparison"
    assert content["two"]["meets"] is False
    assert content["remainder"] == []
