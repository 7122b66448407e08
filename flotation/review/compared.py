"""Two boats, or two revisions of one: what differs in the inputs, and what that does to margins.

The inputs are changed one at a time, in the order of the first boat file, each on top of those
before it, and the boat is planned and assessed after each. So the effects add up to the whole
difference; in another order they may be divided otherwise, where one input matters through
another. What cannot be read by itself, as a foam that nothing is filled with yet, is changed
together with what it needs.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from flotation.boat import Boat
from flotation.boatfile import read_boat
from flotation.errors import Fault, FlotationError, InputError
from flotation.pour.plan import plan_pours
from flotation.review.between import Replacement, place, replaced, replacements, shown
from flotation.review.changes import Change, changes, known_as
from flotation.review.report_file import Json, ReportFile, tables_in
from flotation.review.sources import Content, Table, source_of, write_source
from flotation.swamped.assess import assess

MOST_STEPS = 24
"""Inputs that are changed one at a time; boats with more have little to do with each other."""
_NOTHING = 1e-9
_LIMIT_NUMBERS = ("required", "obtained", "margin")

Say = Callable[[str], None]


@dataclass(frozen=True)
class Limit:
    """One limit of one boat."""

    required: float
    obtained: float
    margin: float
    unit: str
    meets: bool


Limits = Mapping[str, Limit]


@dataclass(frozen=True)
class Side:
    """One of the two: a boat file or a report of one.

    files  every input file with its SHA-256
    """

    name: str
    boat: str
    files: tuple[tuple[str, str], ...]
    limits: Limits

    @property
    def meets(self) -> bool:
        """True if every limit is met."""
        return all(limit.meets for limit in self.limits.values())


@dataclass(frozen=True)
class Effect:
    """What a step does to the margin of one limit; None where a boat does not have the limit."""

    limit: str
    unit: str
    before: float | None
    after: float | None

    @property
    def change(self) -> float | None:
        """The margin after less the margin before."""
        if self.before is None or self.after is None:
            return None
        return self.after - self.before


@dataclass(frozen=True)
class Step:
    """Inputs that are changed together, mostly one, and the margins that move with them.

    says  of each: its place, what stood there, what stands there now
    """

    says: tuple[tuple[str, str, str], ...]
    effects: tuple[Effect, ...]


@dataclass(frozen=True)
class Comparison:
    """What differs.

    steps      one input at a time; none where the difference is not divided
    remainder  margins that no step moves: what is left of the whole difference
    undivided  why it is not divided; "" where it is
    """

    one: Side
    two: Side
    changes: tuple[Change, ...]
    steps: tuple[Step, ...]
    remainder: tuple[Effect, ...]
    undivided: str

    @property
    def effects(self) -> tuple[Effect, ...]:
        """The whole difference, limit by limit, also where a margin stays."""
        return _effects(self.one.limits, self.two.limits)


def compare_reports(one: ReportFile, two: ReportFile) -> Comparison:
    """Two assessments that were written before; nothing is computed, so nothing is divided."""
    sides = _side_of(one), _side_of(two)
    left = tuple(filter(_moves, _effects(sides[0].limits, sides[1].limits)))
    why = "Reports carry no meshes: name the two boat files to have it divided input by input."
    return Comparison(*sides, changes(one.entries, two.entries), (), left, why)


def compare_boats(one: str | Path, two: str | Path, say: Say) -> Comparison:
    """Two boat files, changed into each other one input at a time.

    say  is told what is being done, for a person who waits
    Raises what reading, planning and assessing either boat raise.
    """
    files = Path(one), Path(two)
    boats = read_boat(files[0]), read_boat(files[1])
    sides = _side(files[0], boats[0]), _side(files[1], boats[1])
    listed = changes(boats[0].entries, boats[1].entries)
    sources = source_of(files[0], boats[0]), source_of(files[1], boats[1])
    todo = [one for one in replacements(*sources) if _counts(sources, one, listed)]
    whole = _effects(sides[0].limits, sides[1].limits)
    if len(todo) > MOST_STEPS:
        why = f"{len(todo)} inputs differ; up to {MOST_STEPS} are changed one at a time."
        return Comparison(*sides, listed, (), tuple(filter(_moves, whole)), why)
    with TemporaryDirectory() as folder:
        made = _Between(sources, sides[0].limits, Path(folder), say)
        steps = tuple(made.steps(todo))
        left = tuple(filter(_moves, _effects(made.limits, sides[1].limits)))
    return Comparison(*sides, listed, steps, left, "")


class _Between:
    """The way from one boat to the other; `limits` are those of where it stands."""

    def __init__(
        self, sources: tuple[Table, Table], limits: Limits, folder: Path, say: Say
    ) -> None:
        self.sources, self.source, self.limits = sources, sources[0], limits
        self.folder, self.say = folder, say

    def steps(self, todo: Sequence[Replacement]) -> Iterator[Step]:
        """One at a time; those that cannot be read alone are tried again after the others."""
        waiting = list(todo)
        while waiting:
            later = []
            for change in waiting:
                step = self._step((change,))
                if step is None:
                    later.append(change)
                else:
                    yield step
            if len(later) == len(waiting):
                yield from self._together(later)
                return
            waiting = later

    def _together(self, rest: Sequence[Replacement]) -> Iterator[Step]:
        """As few as are needed at once: the smallest first part that can be read, then the next."""
        first = 0
        for end in range(2, len(rest) + 1):
            if end - first < 2 and end < len(rest):
                continue
            step = self._step(tuple(rest[first:end]))
            if step is not None:
                yield step
                first = end

    def _step(self, together: tuple[Replacement, ...]) -> Step | None:
        """The step, or None where no boat can be read or assessed between."""
        source = self.source
        for change in together:
            source = replaced(source, change)
        says = tuple(self._says(change) for change in together)
        self.say("; ".join(where for where, _, _ in says))
        try:
            limits = limits_of(read_boat(write_source(source, self.folder)))
        except FlotationError:
            return None
        step = Step(says, tuple(filter(_moves, _effects(self.limits, limits))))
        self.source, self.limits = source, limits
        return step

    def _says(self, change: Replacement) -> tuple[str, str, str]:
        return _where(self.sources, change), shown(change.one), shown(change.two)


def _where(sources: tuple[Table, Table], change: Replacement) -> str:
    """Its place in the file that has it."""
    has_it = sources[0] if _reaches(sources[0], change.path) else sources[1]
    return place(has_it, change.path)


def _reaches(source: object, path: Sequence[str]) -> bool:
    for key in path:
        if not isinstance(source, dict) or key not in source:
            return False
        source = source[key]
    return True


def _counts(sources: tuple[Table, Table], change: Replacement, listed: Sequence[Change]) -> bool:
    """False for one value that is only written in another way."""
    if isinstance(change.one, Content) or isinstance(change.two, Content):
        return True
    where = _where(sources, change)
    known = (known_as(one.entry) for one in listed)
    return any(name == where or name.startswith(f"{where} ") for name in known)


def _side(file: Path, boat: Boat) -> Side:
    return Side(str(file), boat.name, boat.files, limits_of(boat))


def limits_of(boat: Boat) -> Limits:
    """Every limit of a boat filled as planned."""
    found = assess(boat, plan_pours(boat).foam).limits
    return {
        one.name: Limit(one.required, one.obtained, one.margin, one.unit, one.meets)
        for one in found
    }


def _side_of(report: ReportFile) -> Side:
    """The limits that a report has; InputError where it lost one, so that none is passed over."""
    parts = [report.content, *_all_tables(report, report.content, "trials")]
    limits: dict[str, Limit] = {}
    for row in (row for part in parts for row in _all_tables(report, part, "verdicts")):
        name = row.get("name")
        if not isinstance(name, str) or name in limits:
            raise _altered(report.name, f"it has a limit without a name of its own: {name!r}")
        limits[name] = _limit_of(row, report.name)
    side = Side(report.name, report.boat, report.files, limits)
    if report.content.get("meets") is not side.meets:
        raise _altered(report.name, "its limits say otherwise than its own answer, meets")
    return side


def _all_tables(report: ReportFile, part: Json, key: str) -> list[Json]:
    """The tables of a list that every assessment has; InputError for another content."""
    found = part.get(key)
    if not isinstance(found, list) or len(tables_in(part, key)) < len(found):
        raise _altered(report.name, f'it lacks what belongs under "{key}"')
    if key == "verdicts" and not found:
        raise _altered(report.name, 'there is no limit under "verdicts"')
    return tables_in(part, key)


def _altered(file: str, problem: str) -> InputError:
    return InputError(Fault(file, problem, "Write the report again."))


def _limit_of(row: Json, file: str) -> Limit:
    """A limit as the report has it; InputError for one that is altered beyond use."""
    required, obtained, margin = (_number(row.get(key)) for key in _LIMIT_NUMBERS)
    meets = row.get("meets")
    if required is None or obtained is None or margin is None or not isinstance(meets, bool):
        raise _altered(file, f'the limit "{row.get("name")}" lacks one of its numbers')
    return Limit(required, obtained, margin, str(row.get("unit")), meets)


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) else None


def _effects(before: Limits, after: Limits) -> tuple[Effect, ...]:
    return tuple(
        Effect(
            name,
            (before.get(name) or after[name]).unit,
            before[name].margin if name in before else None,
            after[name].margin if name in after else None,
        )
        for name in dict.fromkeys((*before, *after))
    )


def _moves(effect: Effect) -> bool:
    return effect.change is None or abs(effect.change) > _NOTHING
