"""What an assessment is: the values that `assess` gives and the reports lay out. SI."""

from dataclasses import dataclass

from flotation.boat import Point
from flotation.rulebook import Clause, Criterion
from flotation.workings import Line


@dataclass(frozen=True)
class Verdict:
    """One limit: what is required, what is obtained, by how much it is met.

    margin      obtained - required for "at least", required - obtained for "at most"; in `unit`
    decides     False where the boat is outside the rule's scope: shown for information
    sentence    "meets the calculated limit by ..." or "falls short by ..."
    required_line, obtained_line   labels of the lines that say how both were calculated, so that
                a report can refer to them; "" where there is none
    spread      what the stated tolerances of the weights add up to, all against the boat, in
                `unit`; None where none is stated. A margin within it is not decided
    """

    name: str
    required: float
    obtained: float
    margin: float
    unit: str
    meets: bool
    decides: bool
    criterion: Criterion
    sentence: str
    required_line: str = ""
    obtained_line: str = ""
    spread: float | None = None

    @property
    def decided(self) -> bool:
        """False if the stated tolerances could turn the verdict."""
        return self.spread is None or abs(self.margin) > self.spread


@dataclass(frozen=True)
class Scope:
    """Which rules apply. `subpart` is "F", "G", "H" or "" outside all of them.

    flotation   "basic", "level" or "modified level": what the subpart asks for, or, outside the
                scope, the kind the propulsion would come under
    reasons     each test of the scope: what was asked, what was found
    """

    inside: bool
    subpart: str
    flotation: str
    reasons: tuple[str, ...]
    sentence: str


@dataclass(frozen=True)
class CavityLift:
    """What one foam-filled cavity lifts, wholly under water.

    net_lift   kg of water displaced less foam and water taken up
    levers     of its centre, m: x from the transom, y to port, z from the baseline
    """

    cavity: str
    foam: str
    volume: float
    foam_mass: float
    net_lift: float
    centre: Point
    hold_down: float | None


@dataclass(frozen=True)
class Finding:
    """Something checked beside the limits: placement advice, tanks, exposure, weights.

    heeded     True: as advised; False: not; None: cannot be decided from the boat file
    subject    cavity or item it is about; "" for the whole boat
    """

    subject: str
    advice: str
    found: str
    heeded: bool | None
    criterion: Criterion | Clause | None


@dataclass(frozen=True)
class Section:
    """A titled group of followed numbers, in the order a reviewer reads them."""

    title: str
    lines: tuple[Line, ...]
    note: str = ""


@dataclass(frozen=True)
class Balance:
    """Centres of what lifts against centres of what weighs, m and kg. Levers: lift less weight."""

    lift: float
    lift_centre: Point
    weight: float
    weight_centre: Point


@dataclass(frozen=True)
class Trial:
    """One simulated test in the water. Angles in rad, depths in m, positive under water."""

    section: str
    side: str
    heel: float
    trim: float
    forward_depth: float
    aft_depth: float
    meets: bool


@dataclass(frozen=True)
class Assessment:
    """The whole answer.

    sections    the calculation, line by line
    verdicts    each limit; `meets` of the assessment is that all that decide are met
    assumptions what was assumed, in sentences
    open_points what a regulation's own text or a physical test still decides
    balance     None where nothing lifts or nothing weighs
    trials      simulated tests in the water; empty until they are run
    """

    boat: str
    scope: Scope
    sections: tuple[Section, ...]
    verdicts: tuple[Verdict, ...]
    cavities: tuple[CavityLift, ...]
    balance: Balance | None
    findings: tuple[Finding, ...]
    assumptions: tuple[str, ...]
    open_points: tuple[str, ...]
    trials: tuple[Trial, ...] = ()

    @property
    def lines(self) -> tuple[Line, ...]:
        """All followed numbers."""
        return tuple(line for section in self.sections for line in section.lines)

    @property
    def meets(self) -> bool:
        """True if every calculated limit is met."""
        return all(verdict.meets for verdict in self.verdicts)
