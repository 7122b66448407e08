"""Advice that several cavities share stands once, with what was found of each."""

from flotation.report.advised import not_heeded
from flotation.swamped.assessment import Finding

HIGH = "foam as high at the sides as can be"


def note(subject: str, found: str, heeded: bool | None = False, advice: str = HIGH) -> Finding:
    return Finding(subject, advice, found, heeded, None)


def test_what_all_share_is_told_once() -> None:
    notes = [
        note("bay aft", "0.15 m; does not count"),
        note("bay forward", "0.12 m; does not count"),
    ]
    (one,) = not_heeded(notes, open_too=False)
    assert one.rows == (("bay aft", "0.15 m"), ("bay forward", "0.12 m"))
    assert (one.shared, one.heeded) == ("does not count", False)


def test_what_differs_stays_whole() -> None:
    notes = [note("bay aft", "0.15 m; does not count"), note("bay forward", "0.12 m; counts")]
    (one,) = not_heeded(notes, open_too=False)
    assert one.rows == (("bay aft", notes[0].found), ("bay forward", notes[1].found))
    assert one.shared == ""


def test_subjects_of_which_the_same_was_found_stand_in_one_row() -> None:
    (one,) = not_heeded([note("a", "dry"), note("", "dry"), note("c", "wet")], open_too=False)
    assert one.rows == (("a, whole boat", "dry"), ("c", "wet"))


def test_a_single_finding_keeps_its_words() -> None:
    (one,) = not_heeded([note("bay aft", "0.15 m; does not count")], open_too=False)
    assert one.rows == (("bay aft", "0.15 m; does not count"),)
    assert one.shared == ""


def test_what_is_heeded_is_left_out_and_what_is_open_comes_last_where_asked_for() -> None:
    notes = [note("a", "x", None), note("b", "x", True), note("c", "x", False, "another")]
    assert [one.advice for one in not_heeded(notes, open_too=False)] == ["another"]
    both = not_heeded(notes, open_too=True)
    assert [(one.advice, one.heeded) for one in both] == [("another", False), (HIGH, None)]
