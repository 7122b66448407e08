"""A fault of the program has an exit code of its own and never looks like a limit not met."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
NO_FONTS = "from flotation.report import typesetting\ntypesetting._FONTS = 'no_such_fonts'\n"
NO_PLAN = """
from flotation.pour import plan
def broken(*_):
    raise ZeroDivisionError("division\\x1b[2J by zero\\nin a second line")
plan.plan_pours = broken
"""


def broken(
    fault: str, *arguments: str | Path, traceback: str | None = None
) -> "subprocess.CompletedProcess[str]":
    """A command of a program in which something was broken first."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    environment.pop("FLOTATION_TRACEBACK", None)
    if traceback is not None:
        environment["FLOTATION_TRACEBACK"] = traceback
    start = f"import sys\n{fault}\nfrom flotation.cli import main\nmain()"
    return subprocess.run(
        [sys.executable, "-c", start, *map(str, arguments)],
        capture_output=True,
        text=True,
        env=environment,
        check=False,
    )


@pytest.fixture
def boat(tmp_path: Path) -> Path:
    file = tmp_path / "boat.toml"
    assert broken("", "new", file).returncode == 0
    return file


@pytest.mark.parametrize("json", [(), ("--json",)], ids=["text", "json"])
def test_pages_that_cannot_be_set_are_a_fault_of_the_program_and_leave_nothing(
    boat: Path, json: tuple[str, ...]
) -> None:
    out = boat.with_name("out")
    found = broken(NO_FONTS, "report", boat, "--to", out, *json)
    assert found.returncode == 3
    assert found.stdout == ""
    assert not out.exists()
    assert "a fault of flotation itself, not of your files" in found.stderr
    assert "install the package 'no_such_fonts'" in found.stderr
    assert "no file was written" in found.stderr
    assert "FLOTATION_TRACEBACK=1" in found.stderr
    assert "Traceback" not in found.stderr


def test_any_error_is_told_in_one_message_that_commands_no_terminal(boat: Path) -> None:
    found = broken(NO_PLAN, "pour", boat)
    assert found.returncode == 3
    assert found.stdout == ""
    assert "ZeroDivisionError: division\\x1b[2J by zero in a second line" in found.stderr
    assert "\x1b" not in found.stderr
    assert "Traceback" not in found.stderr


def test_the_place_in_the_code_is_told_when_it_is_asked_for(boat: Path) -> None:
    found = broken(NO_PLAN, "pour", boat, traceback="1")
    assert found.returncode == 3
    assert found.stdout == ""
    assert "Traceback (most recent call last)" in found.stderr
    assert "cli.py" in found.stderr
    assert "a fault of flotation itself" in found.stderr
    assert "run the same command again" not in found.stderr


def test_an_empty_variable_asks_for_nothing(boat: Path) -> None:
    assert "Traceback" not in broken(NO_PLAN, "pour", boat, traceback="").stderr


def test_bad_input_is_no_fault_of_the_program(tmp_path: Path) -> None:
    found = broken("", "pour", tmp_path / "none.toml", traceback="1")
    assert found.returncode == 2
    assert "fault of flotation" not in found.stderr
    assert "Traceback" not in found.stderr


def test_the_readme_tells_every_exit_code() -> None:
    words = " ".join((ROOT / "README.md").read_text("utf-8").split())
    codes = words[words.index("Exit code 0:") : words.index("## The boat file")]
    assert all(told in codes for told in ("1: done, but", "2: bad input", "3: a fault of this"))
    assert "FLOTATION_TRACEBACK=1" in codes
