"""Where in a boat file a table stands, and how its reading goes on."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from flotation.boatfile.document import Folder
from flotation.boatfile.findings import Document, Findings, Model
from flotation.boatfile.lines import Path
from flotation.errors import InputError
from flotation.units import si

_FAR = 1e5


@dataclass(frozen=True, eq=False)
class Place:
    """A table of a boat file, the files beside it, and the faults found so far."""

    document: Document
    path: Path
    folder: Folder
    findings: Findings

    @property
    def entry(self) -> str:
        """File and entry, for messages and reports."""
        return self.document.place(self.path)

    def inside(self, *keys: str | int) -> "Place":
        """A table within this one."""
        return Place(self.document, (*self.path, *keys), self.folder, self.findings)

    def check(self, model: type[Model], raw: object) -> Model | None:
        """The entries of this table, or None after its faults were added."""
        return self.findings.check(model, self.document, self.path, raw)

    def tables(self, key: str, raw: object) -> list[tuple["Place", Mapping[str, object]]]:
        """The tables of an array in this one, each with its place; none after a fault."""
        path = (*self.path, key)
        if not isinstance(raw, list) or not all(isinstance(table, dict) for table in raw):
            heading = ".".join(key for key in path if isinstance(key, str))
            self.fault(key, "is no list of tables", f"Write each under [[{heading}]].")
            return []
        return [(self.inside(key, number), table) for number, table in enumerate(raw)]

    def fault(self, key: str, problem: str, remedy: str) -> None:
        """Something is wrong with an entry of this table; "" for the table itself."""
        path = (*self.path, key) if key else self.path
        self.findings.add(self.document, path, problem, remedy)

    def refuse(self, key: str, error: InputError, called: str = "") -> None:
        """Something is wrong with what an entry of this table stands for.

        called  the name that the faults give it, which the entry has already
        """
        for fault in error.faults:
            if fault.line is not None:
                self.findings.faults.append(fault)
            elif fault.place in ("", called):
                self.fault(key, fault.problem, fault.remedy)
            else:
                self.fault(key, f"{fault.place}: {fault.problem}", fault.remedy)


def once_each(names: Iterable[tuple[Place, object]]) -> None:
    """Names that may stand once only; each repetition is a fault. What is no text is passed by."""
    first: dict[str, str] = {}
    for place, name in names:
        if not isinstance(name, str):
            continue
        if name in first:
            problem = f'the name "{name}" stands twice, first at {first[name]}'
            place.fault("", problem, "Give each its own name.")
        else:
            first[name] = f"{place.document.file}:{place.document.line(place.path)}"


def metres(value: float) -> str:
    """A length for a message, to the millimetre as far as anybody measures so."""
    if abs(value) > _FAR:
        return f"{value:.3g} m"
    return str(si(round(value, 3), "m"))


def position(point: Sequence[float]) -> str:
    """A point for a message, as the boat file writes it."""
    return "[" + ", ".join(f'"{round(value, 3) + 0.0:.3f} m"' for value in point) + "]"
