"""Two boat files or two reports -> what differs and what that does."""

from pathlib import Path

from flotation.errors import Fault, InputError
from flotation.report.tables import ASSESSMENT
from flotation.review.compared import Comparison, Say, compare_boats, compare_reports
from flotation.review.report_file import ReportFile, read_reports


def compare(one: str | Path, two: str | Path, say: Say = lambda _: None) -> Comparison:
    """What differs between two boats or two revisions, and what that does to each margin.

    one, two  two boat files, or two assessments as `flotation report` wrote them, or the folders
              that have them
    say       is told which input is being changed
    Raises InputError for a boat file beside a report, for a report that cannot be read back, and
    what reading, planning and assessing the boats raise.
    """
    kinds = [_is_report(Path(path)) for path in (one, two)]
    if kinds[0] is not kinds[1]:
        problem = "one is a boat file and the other a report"
        raise InputError(Fault(f"{one} and {two}", problem, "Name two of a kind."))
    if kinds[0]:
        return compare_reports(_assessment(one), _assessment(two))
    return compare_boats(one, two, say)


def _is_report(path: Path) -> bool:
    return path.is_dir() or path.suffix.lower() == ".json"


def _assessment(path: str | Path) -> ReportFile:
    for report in read_reports(path):
        if report.kind == ASSESSMENT:
            return report
    problem = "is no assessment, so it has no margins"
    raise InputError(Fault(str(path), problem, "Name assessment.json, or its folder."))
