"""A report and its boat file -> what differs when everything is computed again."""

from collections.abc import Mapping
from pathlib import Path

from flotation.boat import Boat
from flotation.boatfile import read_boat
from flotation.errors import Fault, InputError
from flotation.pour.plan import plan_pours
from flotation.report.beside import Beside
from flotation.report.handouts import all_handouts, reports
from flotation.review.report_file import ReportFile, read_reports
from flotation.review.verified import Verification, verified
from flotation.swamped.afloat import righting_curves
from flotation.swamped.assess import assess
from flotation.swamped.what_if import what_if

_PAPERS = ("a4", "letter")


def verify(report: str | Path, boat_file: str | Path) -> Verification:
    """Every value of a report that is not what the boat file gives now.

    report     assessment.json or pour.json as `flotation report` wrote it, or their folder: the
               printed hand-outs beside them are then made again too and compared byte for byte
    boat_file  as for `read_boat`
    Raises InputError for a report that cannot be read back, and what reading, planning and
    assessing the boat raise.

    What is compared has six significant digits, so that the last ones of a binary number, which
    may differ from machine to machine, are not told as a difference.
    """
    found = read_reports(report)
    _check_one_boat(found)
    boat = read_boat(boat_file)
    folder = Path(report)
    made = _made(boat, _PAPERS[0], printed=folder.is_dir())
    differ: tuple[str, ...] = ()
    aside: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    if folder.is_dir():
        differ = _differing(folder, made)
        if any(name.endswith(".pdf") for name in differ):
            other = _made(boat, _PAPERS[1], printed=True)
            differ = tuple(name for name in differ if name in _differing(folder, other))
        aside = tuple(sorted(one.name for one in folder.iterdir() if one.name not in made))
        missing = tuple(sorted(name for name in made if not (folder / name).is_file()))
    checked = tuple(verified(one, made) for one in found)
    return Verification(boat.name, checked, differ, aside, missing)


def _check_one_boat(found: tuple[ReportFile, ...]) -> None:
    names = sorted({report.boat for report in found})
    if len(names) > 1:
        problem = f"these are reports of different boats: {', '.join(names)}"
        raise InputError(Fault(found[0].name, problem, "Name one of the two files."))


def _made(boat: Boat, paper: str, *, printed: bool) -> Mapping[str, bytes]:
    """All hand-outs of the boat, or the two reports for machines alone, which is quicker."""
    plan = plan_pours(boat)
    assessment = assess(boat, plan.foam)
    curves, supposed = righting_curves(boat, plan.foam), what_if(boat, plan.foam)
    if not printed:
        return reports(boat, plan, assessment, Beside(curves, supposed))
    return all_handouts(boat, plan, assessment, paper=paper, curves=curves, supposed=supposed)


def _differing(folder: Path, made: Mapping[str, bytes]) -> tuple[str, ...]:
    """Printed hand-outs and tables that are there and are not what is made."""
    return tuple(
        name
        for name, content in made.items()
        if not name.endswith(".json")
        and (folder / name).is_file()
        and (folder / name).read_bytes() != content
    )
