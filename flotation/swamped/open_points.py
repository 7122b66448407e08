"""What the calculation leaves open, in sentences for the first page."""

from collections.abc import Sequence

from flotation.swamped.advice import Advice
from flotation.swamped.assessment import Scope, Section, Verdict
from flotation.swamped.general_method import GUIDANCE
from flotation.swamped.scope import BASIC
from flotation.workings import Mark

WRONG_PLACE = (
    "Enough foam, wrong place: the total is met, but the persons flotation does not lie where the "
    "guidance wants it. A boat with its foam low on the centreline can roll over when it is "
    "swamped and nobody is aboard to steady it."
)
_TEST_DECIDES = (
    "This is a calculation. The regulation's own text and a physical test of the boat decide."
)
_LEVEL = (
    "Enough lift does not make a boat float level: heel and depth at the ends are not decided by "
    "the quantity of foam."
)
_EDITIONS = (
    "The copies of 33 CFR Part 183 and of the handbook that were read carry no date; compare with "
    "the text in force."
)


def open_points(
    scope: Scope, advice: Advice, verdicts: Sequence[Verdict], *, simulated: bool
) -> tuple[str, ...]:
    """What a test or the regulation's own text still decides; foam in the wrong place first.

    simulated  the tests in the water were simulated, which tells more than the placement advice
    """
    met = all(verdict.meets for verdict in verdicts if verdict.name == GUIDANCE)
    wrong = [WRONG_PLACE] if met and advice.persons_placed is False and not simulated else []
    level = [] if scope.flotation == BASIC or simulated else [_LEVEL]
    return (*wrong, _TEST_DECIDES, *level, _EDITIONS)


def recalled(sections: Sequence[Section], verdicts: Sequence[Verdict]) -> tuple[str, ...]:
    """One sentence that names every recalled source that the calculation used; or nothing."""
    sources = [verdict.criterion.source for verdict in verdicts]
    for line in (line for section in sections for line in section.lines):
        sources += [line.source, *(term.source for term in line.terms if term.source)]
    names = dict.fromkeys(
        ", ".join(part for part in (source.publication, source.section) if part)
        for source in sources
        if source.mark is Mark.RECALLED
    )
    if not names:
        return ()
    return (f"Recalled, and to be compared with the current text: {'; '.join(names)}.",)
