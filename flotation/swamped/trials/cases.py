"""Which tests a boat must stand, with what aboard and within which limits."""

from dataclasses import dataclass

from flotation.rulebook import Criterion, RuleBook
from flotation.swamped.scope import BASIC, LEVEL
from flotation.swamped.trials.loads import PORT, STARBOARD


@dataclass(frozen=True)
class Case:
    """One test.

    section  as the regulation numbers it
    share    of the persons load that is aboard: 1, 1/2 or 0
    side     "port" or "starboard" where the load lies on one side, else ""
    heel     the limit on the heel, rad
    depth    how deep the deeper reference area may lie, m
    """

    section: str
    share: float
    side: str
    heel: Criterion
    depth: Criterion

    @property
    def name(self) -> str:
        """Section and side: "183.230, port"."""
        return ", ".join(part for part in (self.section, self.side) if part)


def cases(flotation: str, law: RuleBook) -> tuple[Case, ...]:
    """The tests of level or modified level flotation, 33 CFR 183.225 to 235 and 183.325 to 335.

    All persons; half of them on either side; none. The third is there because the low load steadies
    a boat that would roll over without it. Basic flotation has no limits on heel and depth; none.
    """
    if flotation == BASIC:
        return ()
    half = law.number("one_side_share").value
    level = law.number("level_heel"), law.number("level_depth")
    if flotation == LEVEL:
        sections = ("183.225", "183.230", "183.235")
        first, one_side = level, (law.number("one_side_heel"), law.number("one_side_depth"))
    else:
        sections = ("183.325", "183.330", "183.335")
        first = law.number("modified_heel"), law.number("modified_depth")
        one_side = law.number("modified_one_side_heel"), law.number("modified_one_side_depth")
    return (
        Case(sections[0], 1.0, "", *first),
        Case(sections[1], half, PORT, *one_side),
        Case(sections[1], half, STARBOARD, *one_side),
        Case(sections[2], 0.0, "", *level),
    )
