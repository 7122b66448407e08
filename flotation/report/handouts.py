"""All hand-outs of a boat together, and their way to the disk: all of them or none."""

import os
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from errno import EISDIR
from pathlib import Path
from tempfile import TemporaryDirectory

from flotation.boat import Boat
from flotation.errors import Fault, InputError
from flotation.foundcavities import FoundCavities
from flotation.pour.pourplan import PourPlan
from flotation.report.beside import NOTHING_BESIDE, Beside
from flotation.report.calculation import TEMPLATE, calculation_data, first_page_picture
from flotation.report.cavity_picture import cavity_page, cavity_picture
from flotation.report.cavity_tables import cavities_json, cavity_meshes
from flotation.report.hand_check import hand_check_sheet
from flotation.report.hole_labels import hole_labels
from flotation.report.hole_map import hole_map
from flotation.report.mixing_card import mixing_card
from flotation.report.pour_sheet import pour_sheet, pours_picture
from flotation.report.scene import look_inside
from flotation.report.tables import (
    assessment_csv,
    assessment_json,
    holes_csv,
    holes_json,
    pour_csv,
    pour_json,
)
from flotation.report.typesetting import typeset
from flotation.swamped.assessment import Assessment
from flotation.swamped.trials.curves import ArmCurve
from flotation.swamped.what_if import WhatIf

_FLOOR = {
    "pour_sheet.pdf": pour_sheet,
    "hole_map.pdf": hole_map,
    "hole_labels.pdf": hole_labels,
    "mixing_card.pdf": mixing_card,
}
# All hand-outs, in the order in which they are named to the reader.
NAMES = (
    *_FLOOR,
    "holes.json",
    "holes.csv",
    "pour.json",
    "pour.csv",
    "assessment.pdf",
    "assessment.json",
    "assessment.csv",
    "hand_check.xlsx",
    "look_inside.html",
)
_DOTS_PER_INCH = 76.0
_PICTURE_DOTS_PER_INCH = 110.0


def all_handouts(  # noqa: PLR0913 - one call that says all, each by its name
    boat: Boat,
    plan: PourPlan,
    assessment: Assessment,
    *,
    paper: str = "a4",
    curves: Sequence[ArmCurve] = (),
    supposed: WhatIf | None = None,
    planned: Callable[[], dict[str, bytes]] | None = None,
) -> dict[str, bytes]:
    """Every hand-out: file name -> bytes.

    For the floor: pour sheet, hole map, labels for the holes, card for the mixer. For the reviewer:
    the assessment, the general method as a spreadsheet with live formulas. The page to look inside.

    paper     "a4" or "letter", of the PDFs
    curves    righting arms of the swamped boat; none: no plot
    supposed  one thing changed at a time; None: no table of it
    planned   waits for `planned_handouts`, begun elsewhere; None: they are made here
    """
    beside = Beside(tuple(curves), supposed)
    # The typesetter lets other work go on beside it.
    with ThreadPoolExecutor(1) as beside_it:
        text = calculation_data(boat, plan, assessment, paper, beside)
        pages = beside_it.submit(typeset, TEMPLATE, text)
        assessed = _assessed(boat, plan, assessment, beside)
        of_plan = planned_handouts(boat, plan, paper) if planned is None else planned()
        every = {**of_plan, **assessed, "assessment.pdf": pages.result()}
    return {name: every[name] for name in NAMES}


def planned_handouts(boat: Boat, plan: PourPlan, paper: str) -> dict[str, bytes]:
    """What the plan alone gives, the floor's papers and the plan's data: file name -> bytes."""
    return {
        **{name: sheet(boat, plan, paper) for name, sheet in _FLOOR.items()},
        "holes.json": holes_json(boat, plan).encode(),
        "holes.csv": holes_csv(boat, plan).encode(),
        "pour.json": pour_json(plan, boat).encode(),
        "pour.csv": pour_csv(plan).encode(),
    }


def _assessed(
    boat: Boat, plan: PourPlan, assessment: Assessment, beside: Beside
) -> dict[str, bytes]:
    """What the assessment gives beside its pages."""
    return {
        "assessment.json": assessment_json(assessment, boat, beside).encode(),
        "assessment.csv": assessment_csv(assessment).encode(),
        "hand_check.xlsx": hand_check_sheet(boat, plan, assessment),
        "look_inside.html": look_inside(boat, plan, assessment),
    }


def reports(
    boat: Boat, plan: PourPlan, assessment: Assessment, beside: Beside = NOTHING_BESIDE
) -> dict[str, bytes]:
    """The two reports for machines: file name -> bytes."""
    return {
        "pour.json": pour_json(plan, boat).encode(),
        "assessment.json": assessment_json(assessment, boat, beside).encode(),
    }


def cavity_handouts(found: FoundCavities, *, paper: str = "a4") -> dict[str, bytes]:
    """A mesh of each found cavity, JSON, and the picture as PDF and PNG: file name -> bytes."""
    return {
        "cavities.pdf": cavity_picture(found, paper),
        "cavities.png": cavity_page(found, _PICTURE_DOTS_PER_INCH),
        "cavities.json": cavities_json(found).encode(),
        **cavity_meshes(found),
    }


def previews(
    boat: Boat, plan: PourPlan, assessment: Assessment, beside: Beside = NOTHING_BESIDE
) -> dict[str, bytes]:
    """A page of each PDF as a picture for a screen: file name -> PNG.

    The first page of pours, and the assessment's first page.
    """
    return {
        "pour_sheet.png": pours_picture(boat, plan, _DOTS_PER_INCH),
        "assessment.png": first_page_picture(boat, plan, assessment, _DOTS_PER_INCH, beside),
    }


def write_all(folder: str | Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write every file into the folder, or leave the folder as it was.

    folder  made if it is not there
    files   plain file name -> bytes; a file of that name is replaced
    Returns the paths written. Raises InputError if the disk refuses, ValueError for a name that
    leads out of the folder.

    Everything is written beside its place first. Only then are files moved in, and moved back
    out if one of the moves fails.
    """
    target = Path(folder)
    for name in files:
        if Path(name).name != name or name in ("", ".."):
            raise ValueError(f"{name!r} is no plain file name")
    made: list[Path] = []
    try:
        made = _make_folders(target)
        with TemporaryDirectory(prefix=".", dir=target) as beside:
            _write(Path(beside), files)
            _move_in(Path(beside), target, list(files))
    except OSError as error:
        for empty in reversed(made):
            empty.rmdir()
        why = "a file of that name is in the way" if target.is_file() else error.strerror or error
        problem = f"the hand-outs cannot be written: {why}"
        raise InputError(Fault(str(target), problem, "Choose another folder.")) from error
    return tuple(target / name for name in files)


def _make_folders(target: Path) -> list[Path]:
    """Make the folder and those above it; the ones that were missing, outermost first."""
    missing = [path for path in (target, *target.parents) if not path.exists()]
    target.mkdir(parents=True, exist_ok=True)
    return missing[::-1]


def _write(beside: Path, files: Mapping[str, bytes]) -> None:
    for name, content in files.items():
        with (beside / name).open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())


def _move_in(beside: Path, target: Path, names: list[str]) -> None:
    """Put the new files in place; put back what was there if one of them cannot go."""
    old = beside / "old"
    old.mkdir()
    for name in names:
        if (target / name).is_dir():
            raise IsADirectoryError(EISDIR, f"{name} is a folder there")
    done: list[str] = []
    try:
        for name in names:
            done.append(name)
            if (target / name).exists():
                (target / name).rename(old / name)
            (beside / name).rename(target / name)
    except OSError:
        for name in reversed(done):
            if not (beside / name).exists():
                (target / name).unlink()
            if (old / name).exists():
                (old / name).rename(target / name)
        raise
