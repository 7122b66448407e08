"""Lines of one way come together; the steps of a calculation keep their order."""

from flotation.report.arranged import arranged, axis_of, split_label, way, without_axis
from flotation.report.blocks import blocks_of
from flotation.report.numbered import Chapter, Numbering
from flotation.workings import COMPUTED, Line, Term, work_out


def double(label: str, value: float = 1.0) -> Line:
    return work_out(label, "2 * a", [Term("a", value, "kg")], unit="kg", source=COMPUTED)


def half(label: str) -> Line:
    return work_out(label, "a / 2", [Term("a", 1.0, "kg")], unit="kg", source=COMPUTED)


def centre(axis: str) -> Line:
    terms = [Term("w1", 2.0, "kg"), Term(f"{axis}_w1", 3.0, "m"), Term("total", 2.0, "kg")]
    return work_out(
        f"What lifts, {axis}", f"w1 * {axis}_w1 / total", terms, unit="m", source=COMPUTED
    )


def labels(lines: tuple[Line, ...]) -> list[str]:
    return [line.label for line in lines]


def blocks(*lines: Line) -> list[list[str]]:
    numbering = Numbering([Chapter("", "", lines)])
    return [[numbered.number for numbered in block] for block in blocks_of(numbering.lines[0])]


def test_a_label_is_what_it_is_for_and_what_it_is() -> None:
    assert split_label("w3 hull, under water") == ("w3 hull", "under water")
    assert split_label("Persons, first part") == ("", "Persons, first part")


def test_neighbours_of_one_way_are_sorted_by_what_they_are() -> None:
    lines = [double("c1 bow, lift"), double("c1 bow, aft"), double("c2 side, lift"), half("Total")]
    assert labels(arranged([*lines, double("c3 box, lift")], throughout=False)) == [
        "c1 bow, lift", "c2 side, lift", "c1 bow, aft", "Total", "c3 box, lift",
    ]  # fmt: skip


def test_throughout_lines_come_together_from_anywhere_and_none_is_lost() -> None:
    lines = [double("bow: mass"), half("bow: A"), double("side: mass"), half("side: A")]
    found = arranged(lines, throughout=True)
    assert labels(found) == ["bow: mass", "side: mass", "bow: A", "side: A"]
    assert {id(line) for line in found} == {id(line) for line in lines}


def test_lines_of_another_formula_or_unit_are_of_another_way() -> None:
    assert way(double("a", 1.0)) == way(double("b", 2.0))
    assert way(double("a")) != way(half("a"))


def test_only_a_centre_has_an_axis() -> None:
    assert [axis_of(centre(axis)) for axis in "xyz"] == ["x", "y", "z"]
    assert axis_of(double("Weighed")) == ""
    assert without_axis(centre("x")) == without_axis(centre("z"))
    assert without_axis(double("a")) != without_axis(double("a"))


def test_a_block_is_of_one_way_or_the_axes_of_one_centre() -> None:
    lines = (
        double("c1 bow, lift"),
        double("c2 side, lift"),
        half("Half"),
        centre("x"),
        centre("y"),
        centre("z"),
    )
    assert blocks(*lines) == [["1.1", "1.2"], ["1.3"], ["1.4", "1.5", "1.6"]]


def test_lines_that_say_the_same_of_different_things_stand_apart_from_others() -> None:
    lines = (double("c1 bow, lift"), double("c2 side, lift"), double("c1 bow, aft"))
    assert blocks(*lines) == [["1.1", "1.2"], ["1.3"]]
    assert blocks(double("foam: A"), double("foam: B")) == [["1.1", "1.2"]]
