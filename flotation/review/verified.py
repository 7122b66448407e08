"""Does a report say what the boat file gives: every value that is not the same, inputs first."""

import json
import platform
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version

from flotation.review.differences import Difference, differences
from flotation.review.report_file import ReportFile
from flotation.version import VERSION

_COMPUTING = ("numpy", "scipy", "trimesh", "manifold3d", "typst")
_ANSWERS = ("meets", "verdicts", "trials", "what_if")
"""Parts of an assessment that a reader asks for first."""
_INPUTS = {key: f"made_from.{key}" for key in ("files", "rules", "entries")}


@dataclass(frozen=True)
class Verified:
    """One report beside the same report made anew.

    files    input files whose SHA-256 differs, that are missing or that are new
    rules    the program's data files, likewise
    entries  entries of the input files, by their places
    numbers, words   of the results
    """

    report: ReportFile
    files: tuple[Difference, ...]
    rules: tuple[Difference, ...]
    entries: tuple[Difference, ...]
    numbers: tuple[Difference, ...]
    words: tuple[Difference, ...]

    @property
    def same(self) -> bool:
        """True if nothing differs."""
        return not (self.files or self.rules or self.entries or self.numbers or self.words)


@dataclass(frozen=True)
class Verification:
    """All reports of a boat beside what is computed now.

    handouts  names of printed hand-outs and tables that are not made byte for byte
    aside     names of files in the folder that were not compared
    missing   names of hand-outs and tables that are not in the folder, so nothing is said of them
    """

    boat: str
    reports: tuple[Verified, ...]
    handouts: tuple[str, ...] = ()
    aside: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()

    @property
    def same(self) -> bool:
        """True if nothing differs."""
        return not self.handouts and all(one.same for one in self.reports)


def computed_with() -> dict[str, str]:
    """Versions of what computes here; they stand in no report, so that its bytes stay the same."""
    found = {"flotation": VERSION, "Python": platform.python_version()}
    for name in _COMPUTING:
        try:
            found[name] = version(name)
        except PackageNotFoundError:
            found[name] = "not known"
    return found


def verified(report: ReportFile, recomputed: Mapping[str, bytes]) -> Verified:
    """The report beside the one of its kind that was made anew.

    recomputed  file name -> bytes of hand-outs; the reports for machines are among them
    """
    made = [json.loads(text) for name, text in recomputed.items() if name.endswith(".json")]
    new = next(document for document in made if document["kind"] == report.kind)
    found = differences(report.content, new)
    results = [one for one in found if not one.path.startswith(tuple(_INPUTS.values()))]
    ordered = sorted(results, key=lambda one: not one.path.startswith(_ANSWERS))
    files, rules, entries = (
        tuple(one for one in found if one.path.startswith(part)) for part in _INPUTS.values()
    )
    return Verified(
        report,
        files,
        rules,
        entries,
        tuple(one for one in ordered if one.numeric),
        tuple(one for one in ordered if not one.numeric),
    )
