"""What can go wrong, told to the person who must act.

    FlotationError
    ├── InputError          something handed in cannot be used; carries every fault found
    │   ├── UnitError       a text is not one number and one fitting unit
    │   ├── MeshError       a surface does not bound a solid
    │   └── BoatFileError   entries of a boat file, all of them at once
    ├── RuleNotRead         a rule is asked for whose text nobody has read; it is not guessed
    └── NotSettled          a search ended short of its tolerance; no rough answer is given

A subclass exists where a caller would act differently. Misuse from Python (a wrong type, an
array of the wrong shape) raises Python's own errors.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

_FILE_WITH_LINES = re.compile(r".*?\.(?:toml|csv)(?= |$)")


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong: where, what, and what to do about it.

    place    file, and entry or triangles within it; "" where the caller has no name for it
    problem  what is wrong, as a clause: "12 edges have no second triangle"
    remedy   what to do, as a sentence: "Close the hole in the drawing and export again."
    line     line of the file, counted from 1; None where the file has no lines
    """

    place: str
    problem: str
    remedy: str
    line: int | None = None

    def __str__(self) -> str:
        """File, line and entry, what is wrong, what to do."""
        at = self.place
        if self.line is not None:
            file = _FILE_WITH_LINES.match(at)
            end = file.end() if file else len(at.partition(" ")[0])
            at = f"{at[:end]}:{self.line}{at[end:]}"
        lead = f"{at}: " if at else ""
        return f"{lead}{self.problem}. {self.remedy}".rstrip()


class FlotationError(Exception):
    """Base of every error that this package raises on purpose."""


class InputError(FlotationError):
    """Something handed in cannot be used; `faults` holds everything that is wrong with it."""

    def __init__(self, faults: Fault | Sequence[Fault]) -> None:
        self.faults: tuple[Fault, ...] = (faults,) if isinstance(faults, Fault) else tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))

    def __reduce__(self) -> tuple[type[Self], tuple[tuple[Fault, ...]]]:
        """Made again from its faults, where it comes from another process."""
        return type(self), (self.faults,)


class UnitError(InputError):
    """A text is not one number and one unit of the dimension that its entry expects."""


class MeshError(InputError):
    """A surface does not bound a solid: open, flipped, not finite, overlapping itself."""


class BoatFileError(InputError):
    """Entries of a boat file that cannot be used; all of them, not the first only."""


class RuleNotRead(FlotationError):  # noqa: N818 - reads as what happened: the rule was not read
    """A rule is asked for whose text was not read, or is recalled in different ways."""


class NotSettled(FlotationError):  # noqa: N818 - reads as what happened: the search did not settle
    """A search for a floating attitude ended short of its tolerance; no rough answer is given."""
