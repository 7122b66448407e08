"""The publications that an assessment goes by."""

from dataclasses import dataclass

from flotation.rulebook import RuleBook, load_rulebook


@dataclass(frozen=True)
class Books:
    """Rule books by what they are to the assessment.

    law        33 CFR Part 183
    guide      the boatbuilder's handbook: the general method
    passenger  46 CFR Part 170: the cap on the credit for foam
    victoria   Victoria's fact sheet: the second method
    own        this program's own thresholds
    """

    law: RuleBook
    guide: RuleBook
    passenger: RuleBook
    victoria: RuleBook
    own: RuleBook


def load_books() -> Books:
    """The rule books, read from their data files."""
    return Books(
        law=load_rulebook("us_33cfr183"),
        guide=load_rulebook("us_boatbuilders_handbook"),
        passenger=load_rulebook("us_46cfr170"),
        victoria=load_rulebook("victoria_2012"),
        own=load_rulebook("own_choices"),
    )
