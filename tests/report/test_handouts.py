"""Hand-outs reach the disk all together or not at all."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from flotation.boat import Boat
from flotation.errors import InputError
from flotation.pour.pourplan import PourPlan
from flotation.report import handouts
from flotation.report.handouts import all_handouts, previews, write_all
from flotation.swamped.assessment import Assessment

NEW = {"a.txt": b"new a", "b.txt": b"new b"}


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_the_folder_is_made_and_has_the_files_and_nothing_else(tmp_path: Path) -> None:
    folder = tmp_path / "deep" / "out"
    assert write_all(folder, NEW) == (folder / "a.txt", folder / "b.txt")
    assert contents(folder) == NEW
    assert sorted(path.name for path in folder.iterdir()) == ["a.txt", "b.txt"]


def test_files_of_the_same_name_are_replaced_and_others_stay(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_bytes(b"old a")
    (tmp_path / "c.txt").write_bytes(b"old c")
    write_all(tmp_path, NEW)
    assert contents(tmp_path) == {**NEW, "c.txt": b"old c"}


def test_a_file_that_cannot_go_in_leaves_all_as_it_was(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_bytes(b"old a")
    (tmp_path / "b.txt").mkdir()
    (tmp_path / "b.txt" / "inner").write_bytes(b"kept")
    before = contents(tmp_path)
    with pytest.raises(InputError, match="cannot be written"):
        write_all(tmp_path, NEW)
    assert contents(tmp_path) == before


def test_a_full_disk_leaves_no_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(handouts.os, "fsync", full)
    with pytest.raises(InputError, match="No space left on device"):
        write_all(tmp_path / "deep" / "out", NEW)
    assert list(tmp_path.iterdir()) == []


def test_a_move_that_fails_half_way_is_undone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.txt").write_bytes(b"old a")
    rename = Path.rename

    def fails_for_b(self: Path, target: Path) -> Path:
        if Path(target) == tmp_path / "b.txt":
            raise PermissionError(13, "Permission denied")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", fails_for_b)
    with pytest.raises(InputError, match="Permission denied"):
        write_all(tmp_path, NEW)
    assert contents(tmp_path) == {"a.txt": b"old a"}


def test_a_file_in_the_place_of_the_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "out").write_bytes(b"a file")
    with pytest.raises(InputError, match="Choose another folder"):
        write_all(tmp_path / "out", NEW)
    assert (tmp_path / "out").read_bytes() == b"a file"


@pytest.mark.parametrize("name", ["../a.txt", "deep/a.txt", ""])
def test_a_name_that_leads_out_of_the_folder_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="no plain file name"):
        write_all(tmp_path, {name: b""})
    assert list(tmp_path.iterdir()) == []


def test_the_handouts_are_two_pdfs_with_their_tables(
    boat: Boat, plan: PourPlan, assessment: Assessment
) -> None:
    files = all_handouts(boat, plan, assessment, paper="letter")
    assert list(files) == [
        "pour_sheet.pdf",
        "pour.json",
        "pour.csv",
        "assessment.pdf",
        "assessment.json",
        "assessment.csv",
    ]
    for name, content in files.items():
        assert content.startswith({"pdf": b"%PDF", "json": b"{", "csv": b""}[name.split(".")[1]])
        assert len(content) > 500


def size_of(png: bytes) -> tuple[int, int]:
    """Width and height in the header of a PNG."""
    return int.from_bytes(png[16:20]), int.from_bytes(png[20:24])


def test_the_previews_are_one_page_of_each_pdf_as_small_pictures(
    boat: Boat, plan: PourPlan, assessment: Assessment
) -> None:
    found = previews(boat, plan, assessment)
    assert list(found) == ["pour_sheet.png", "assessment.png"]
    for picture in found.values():
        assert picture.startswith(b"\x89PNG")
        assert size_of(picture) == (628, 889)
        assert len(picture) < 150_000


def test_the_preview_of_a_stopped_plan_is_made(
    boat: Boat, stopped: PourPlan, assessment: Assessment
) -> None:
    assert size_of(previews(boat, stopped, assessment)["pour_sheet.png"]) == (628, 889)


SCRIPT = """
import hashlib, sys
from assessment_by_hand import assessment_by_hand
from boat_by_hand import boat_by_hand
from plan_by_hand import plan_by_hand
from flotation.report.handouts import all_handouts, previews

boat, plan, found = boat_by_hand(), plan_by_hand(), assessment_by_hand()
files = {f"{paper} {name}": content for paper in ("a4", "letter")
         for name, content in all_handouts(boat, plan, found, paper=paper).items()}
files |= previews(boat, plan, found)
for name, content in files.items():
    print(name, hashlib.sha256(content).hexdigest())
"""


def test_two_processes_give_the_same_bytes() -> None:
    runs = [
        subprocess.run(
            [sys.executable, "-c", SCRIPT],
            cwd=Path(__file__).parent,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1]
    assert len(runs[0].splitlines()) == 14
