"""An assessment of the boat by hand: one limit that is met, one that is not."""

from boat_by_hand import FOAM

from flotation.rulebook import Criterion
from flotation.swamped.assessment import (
    Assessment,
    Balance,
    CavityLift,
    Finding,
    Scope,
    Section,
    Verdict,
)
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

FILE = Source("boat.toml", "[capacity]", mark=Mark.STATED)
RULE = Source("33 CFR 183.220", "(b)", "2018", Mark.RECALLED)
HANDBOOK = Source("Boatbuilder's handbook, flotation part", "formula 2", "", Mark.READ)


def lines_by_hand() -> tuple[Line, ...]:
    persons = work_out(
        "Persons counted",
        "0.5 * min(P, first) + 0.125 * max(P - first, 0)",
        [Term("P", 241.3, "kg", FILE), Term("first", 249.4758, "kg", RULE)],
        unit="kg",
        source=RULE,
    )
    hull = work_out(
        "Submerged weight of the hull",
        "W_h * K + W_d",
        [
            Term("W_h", 203.0, "kg", FILE),
            Term("K", 0.33, "", Source("handbook", "Table 1")),
            Term("W_d", 14.0, "kg", FILE),
        ],
        unit="kg",
        source=HANDBOOK,
    )
    required = work_out(
        "Foam required",
        "(hull + persons) / net_lift",
        [hull.term("hull"), persons.term("persons"), Term("net_lift", 944.35, "kg/m3", COMPUTED)],
        unit="m3",
        source=HANDBOOK,
        note="Net lift of foam with the water it takes up.",
    )
    placed = work_out(
        "Foam in place", "port + starboard + grid",
        [
            Term("port", 0.246, "m3", COMPUTED),
            Term("starboard", 0.246, "m3", COMPUTED),
            Term("grid", 0.224, "m3", COMPUTED),
        ],
        unit="m3", source=COMPUTED,
    )  # fmt: skip
    return persons, hull, required, placed


def assessment_by_hand() -> Assessment:
    persons, hull, required, placed = lines_by_hand()
    limit = Criterion("foam", 0.0, "m3", "foam for what is swamped", RULE)
    verdicts = (
        Verdict(
            "Foam volume", required.value, placed.value, placed.value - required.value, "m3",
            True, True, limit, "meets the calculated limit by 0.504 m3 (17.8 ft3)",
            required_line=required.label, obtained_line=placed.label,
        ),
        Verdict(
            "Height of the lift", 0.35, 0.32, -0.03, "m", False, True,
            Criterion("height", 0.35, "m", "centre of lift above centre of weight", HANDBOOK),
            "falls short by 0.030 m (1.2 in)",
        ),
    )  # fmt: skip
    return Assessment(
        boat="River survey skiff 46",
        scope=Scope(
            True, "G", "level",
            ("length: 4.60 m, under 20 ft (6.096 m)", "outboard above 2 hp: 30 hp"),
            "Within the scope of 33 CFR 183 Subpart G: level flotation.",
        ),
        sections=(
            Section("Weights", (persons, hull)),
            Section("Foam", (required, placed), "All volumes at the day's cup density."),
        ),
        verdicts=verdicts,
        cavities=(
            CavityLift("side port", FOAM.name, 0.246, 8.7, 232.1, (1.85, 0.74, 0.49), 4000.0),
            CavityLift("side starboard", FOAM.name, 0.246, 8.7, 232.1, (1.85, -0.74, 0.49), None),
            CavityLift("stringer grid", FOAM.name, 0.224, 7.9, 211.3, (2.0, 0.0, 0.085), 4000.0),
        ),
        balance=Balance(675.5, (1.9, 0.0, 0.36), 306.0, (1.52, -0.01, 0.33)),
        findings=(
            Finding("side port", "persons flotation at the sides", "at 0.74 m", True, limit),
            Finding("stringer grid", "as high as may be", "top at 0.12 m", False, limit),
            Finding("", "flotation beside the motor", "no cavity named", None, None),
        ),
        assumptions=("Wood gives no lift.", "Air chambers are flooded."),
        open_points=(
            "Heel and trim of the swamped boat: the test in the water.",
            "The text of 33 CFR 183.230 on the dead-weight term.",
        ),
    )  # fmt: skip
