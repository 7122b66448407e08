"""What an assessment is: the values that `assess` gives and the reports lay out. SI."""

from dataclasses import dataclass
from enum import StrEnum

from flotation.boat_places import Point
from flotation.notebook import html_table
from flotation.rulebook import Clause, Criterion
from flotation.swamped.wording import both
from flotation.workings import Line


@dataclass(frozen=True)
class Verdict:
    """One limit: what is required, what is obtained, by how much it is met.

    margin      obtained - required for "at least", required - obtained for "at most"; in `unit`
    decides     False where the boat is outside the rule's scope: shown for information
    sentence    "meets the calculated limit by ..." or "falls short by ..."
    required_line, obtained_line   labels of the lines that say how both were calculated, so that
                a report can refer to them; "" where there is none
    spread      what the stated tolerances of the weights, and in the general method the bounds
                of found volumes, add up to, all against the boat, in `unit`; None where there are
                none. A margin within it is not decided
    at_most     True: `required` must not be passed; False: it must be reached
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
    at_most: bool = False

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


class Outcome(StrEnum):
    """Where a swamped boat ends when it is let go keel down."""

    FLOATS = "floats"
    TURTLE = "floats bottom up"
    SINKS = "sinks"


@dataclass(frozen=True)
class Tried:
    """A test under one end of an assumption. Angles in rad, depths in m; None where it sinks.

    words   what is taken how; "as stated" for the boat file's own choice
    """

    words: str
    outcome: Outcome
    heel: float | None
    trim: float | None
    forward_depth: float | None
    aft_depth: float | None
    meets: bool


@dataclass(frozen=True)
class Aboard:
    """A weight put aboard for a test: kg as a scale shows it under water, and where, m."""

    name: str
    mass: float
    at: Point


@dataclass(frozen=True)
class Trial:
    """One simulated test in the water, at the worse end of every assumption.

    Angles in rad, depths in m and positive under water; None where the boat sinks.

    heel, trim       as the boat comes to rest from keel down; heel positive to starboard
    forward_depth, aft_depth   reference depths of the two reference areas
    inclination      the larger of heel and inclination of the transverse axis, without sign: what
                     is compared with the limit
    verdicts         each limit of this test, with its margin
    assumed          under which end of which assumptions; "as stated" where none was worse
    tried            each end of each assumption by itself
    normal, offset   the water surface normal . x = offset in the boat's axes
    mass             kg afloat; lacking: kg of lift that a boat that sinks is short of
    gm_transverse, gm_longitudinal   m, of the rest
    heel_stiffness, trim_stiffness   N m per degree: unlike GM, they do not depend on whether
                     weights carry volume
    foam_under_water share of the foam's volume
    loads            what was put aboard
    centre_of_gravity, centre_of_buoyancy   of all that weighs and of all that displaces there, m in
                     the boat's axes; None where it sinks
    notes            what a reader should know about this test
    """

    section: str
    side: str
    heel: float | None
    trim: float | None
    forward_depth: float | None
    aft_depth: float | None
    meets: bool
    outcome: Outcome = Outcome.FLOATS
    inclination: float | None = None
    verdicts: tuple[Verdict, ...] = ()
    assumed: str = "as stated"
    tried: tuple[Tried, ...] = ()
    normal: Point | None = None
    offset: float | None = None
    mass: float = 0.0
    lacking: float = 0.0
    gm_transverse: float | None = None
    gm_longitudinal: float | None = None
    heel_stiffness: float | None = None
    trim_stiffness: float | None = None
    foam_under_water: float | None = None
    loads: tuple[Aboard, ...] = ()
    notes: tuple[str, ...] = ()
    centre_of_gravity: Point | None = None
    centre_of_buoyancy: Point | None = None

    @property
    def name(self) -> str:
        """Section and side: "183.230, port"."""
        return ", ".join(part for part in (self.section, self.side) if part)


@dataclass(frozen=True)
class Contribution:
    """What one piece does to a boat held at an attitude, N m.

    weight_moment, lift_moment  positive where they turn the boat back upright, or its bow up
    """

    item: str
    kind: str
    weight_moment: float
    lift_moment: float

    @property
    def moment(self) -> float:
        """N m of both."""
        return self.weight_moment + self.lift_moment


@dataclass(frozen=True)
class Explanation:
    """Why a test is not met, and what each piece has to do with it.

    trial    name of the test
    sentence what happens
    heel, trim  rad, attitude at which the moments are told: the limit on the heel with trim left
             free, or the rest itself; None where the boat sinks
    missing  what the boat is short of there, in `unit`: N m, or kg of lift where it sinks
    contributions  the largest first
    """

    trial: str
    sentence: str
    heel: float | None
    trim: float | None
    missing: float
    unit: str
    contributions: tuple[Contribution, ...]


@dataclass(frozen=True)
class Assessment:
    """The whole answer.

    sections    the calculation, line by line
    verdicts    each limit; `meets` of the assessment is that all that decide are met
    assumptions what was assumed, in sentences
    open_points what a regulation's own text or a physical test still decides
    balance     None where nothing lifts or nothing weighs
    trials      simulated tests in the water; empty where the boat file lacks what they need
    remember    the one sentence to take home of a boat that has foam enough and does not float as
                it must; "" for any other
    explanations  for each simulated test that is not met
    mending     what would mend it, in sentences
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
    remember: str = ""
    explanations: tuple[Explanation, ...] = ()
    mending: tuple[str, ...] = ()

    @property
    def lines(self) -> tuple[Line, ...]:
        """All followed numbers."""
        return tuple(line for section in self.sections for line in section.lines)

    @property
    def meets(self) -> bool:
        """True if every calculated limit is met, those of the simulated tests included."""
        return all(verdict.meets for verdict in self.limits)

    @property
    def limits(self) -> tuple[Verdict, ...]:
        """Every limit: of the general method, of the plate, and of each simulated test."""
        return (*self.verdicts, *(one for trial in self.trials for one in trial.verdicts))

    def _repr_html_(self) -> str:
        """For a notebook: each limit with what is required, what is obtained and the margin."""
        rows = [
            (
                limit.name,
                f"{'at most' if limit.at_most else 'at least'} {both(limit.required, limit.unit)}",
                both(limit.obtained, limit.unit),
                limit.sentence,
            )
            for limit in self.limits
        ]
        heads = ("limit", "required", "obtained", "margin")
        says = "It calculates; it does not certify."
        after = [text for text in (self.scope.sentence, self.remember, says) if text]
        return html_table(self.boat, heads, rows, after=after)
