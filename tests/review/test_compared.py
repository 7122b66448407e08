"""The effects of inputs that are changed one at a time add up to the whole difference."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from reported_boats import assessed, small_boat, with_mesh, written

from flotation.boatfile import read_boat
from flotation.errors import InputError
from flotation.review.changes import Change
from flotation.review.compare import compare
from flotation.review.compare_text import comparison_json, comparison_text
from flotation.review.compared import MOST_STEPS, Comparison
from flotation.review.sources import source_of, write_source

HEAVIER = ('mass = "52 kg" ', 'mass = "72 kg" ')
FURTHER_AFT = ('at = ["-0.10 m", "0 m", "0.50 m"]', 'at = ["-0.20 m", "0 m", "0.55 m"]')
LONGER = ('length = "4.20 m"', 'length = "4.60 m"')
SAID_OTHERWISE = ('beam = "1.78 m"', 'beam = "178 cm"')
PLATE = ('persons = "450 lb"', 'persons = "600 lb"')


@pytest.fixture
def pair(tmp_path: Path) -> tuple[Path, Path]:
    """Two folders with the same boat."""
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
    return small_boat(tmp_path / "one"), small_boat(tmp_path / "two")


def change(file: Path, *changes: tuple[str, str]) -> None:
    text = file.read_text()
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    file.write_text(text)


def check_sum(found: Comparison) -> None:
    """Steps and remainder add up to the difference of the two, limit by limit."""
    assert found.effects
    for effect in found.effects:
        parts = [one for step in found.steps for one in step.effects] + [*found.remainder]
        moved = [one.change for one in parts if one.limit == effect.limit]
        assert None not in moved
        assert sum(moved) == pytest.approx(effect.change, abs=1e-8)


def test_a_boat_does_not_differ_from_itself(pair) -> None:
    found = compare(*pair)
    assert (found.changes, found.steps, found.remainder) == ((), (), ())
    assert all(effect.change == 0.0 for effect in found.effects)


def test_each_input_is_a_step_and_the_steps_add_up(pair) -> None:
    change(pair[1], HEAVIER, FURTHER_AFT, PLATE, SAID_OTHERWISE)
    told: list[str] = []
    found = compare(*pair, told.append)
    assert [step.says for step in found.steps] == [
        (("[capacity] persons", "450 lb", "600 lb"),),
        (('[[weights.item]] "outboard motor" mass', "52 kg", "72 kg"),),
        (
            (
                '[[weights.item]] "outboard motor" at',
                "-0.10 m, 0 m, 0.50 m",
                "-0.20 m, 0 m, 0.55 m",
            ),
        ),
    ]
    assert told == [step.says[0][0] for step in found.steps]
    assert found.remainder == ()
    check_sum(found)
    (general,) = [
        one.change
        for one in found.steps[1].effects
        if one.limit == "Flotation by the general method"
    ]
    assert -20.0 < general < -15.0  # 20 kg dry, which weigh less under water
    assert not [one for one in found.steps[2].effects if one.limit.startswith("Flotation")]


def test_a_cavity_more_is_one_step(pair) -> None:
    file = pair[1]
    text = file.read_text()
    box = text[text.index("\n[[cavity]]") :].replace('"box"', '"second box"', 1)
    file.write_text(text + box.replace('"0.5 m", "-0.4 m"', '"2.6 m", "-0.4 m"'))
    found = compare(*pair)
    (step,) = found.steps
    assert step.says == (('[[cavity]] "second box"', "nothing", "second box"),)
    (lift,) = [one for one in step.effects if one.limit == "Flotation by the general method"]
    assert lift.change is not None
    assert lift.change > 250.0  # 0.32 m3 of foam
    check_sum(found)
    back = compare(pair[1], pair[0])
    assert back.steps[0].says == (('[[cavity]] "second box"', "second box", "nothing"),)
    check_sum(back)


def test_a_foam_is_added_before_it_is_used_and_taken_out_after(pair) -> None:
    file = pair[1]
    text = file.read_text()
    foam = text[text.index("\n[[foam]]") : text.index("\n[shop]")]
    name = foam.split('name = "')[1].split('"')[0]
    file.write_text(text.replace(f'"{name}"', '"another foam"'))
    found = compare(*pair)
    places = [step.says[0][0] for step in found.steps]
    assert [len(step.says) for step in found.steps] == [1] * len(places)
    assert places.index('[[foam]] "another foam"') < places.index('[[cavity]] "box" foam')
    assert places[-1] == f'[[foam]] "{name}"'
    assert found.remainder == ()
    check_sum(found)


def test_what_cannot_be_read_alone_is_changed_together(pair) -> None:
    change(pair[1], ('face = "laminate"', 'face = "moulded"\nlaminate = "5 mm"'), PLATE)
    found = compare(*pair)
    assert [[place for place, _, _ in step.says] for step in found.steps] == [
        ["[capacity] persons"],
        ['[[cavity]] "box" face', '[[cavity]] "box" laminate'],
    ]
    assert "2. together: " in comparison_text(found)
    assert found.remainder == ()
    check_sum(found)


def test_a_weight_list_in_a_table_of_its_own_is_no_change(pair) -> None:
    file = pair[1]
    text = file.read_text()
    start, end = text.index("\n[[weights.item]]"), text.index("# The boat on two scales")
    rows = [("item", "mass", "material", "x", "y", "z", "waterline", "role", "tolerance")]
    for weight in json.loads(json.dumps(source_of(file, read_boat(file))))["weights"][
        "item"
    ].values():
        at = dict(zip("xyz", weight["at"], strict=True))
        rows.append(tuple((weight | at).get(key, "") for key in rows[0]))
    table = "\n".join(",".join(f'"{cell}"' for cell in row) for row in rows)
    file.with_name("weights.csv").write_text(table)
    text = text[:start] + text[end:]
    file.write_text(text.replace("[weights]\n", '[weights]\nfile = "weights.csv"\n'))
    found = compare(*pair)
    assert [one.entry.place for one in found.changes] == ["[weights] file"]
    assert found.steps == ()
    assert found.remainder == ()


def test_another_mesh_under_the_same_name_is_one_step(pair) -> None:
    for file, breadth in zip(pair, (0.8, 0.9), strict=True):
        with_mesh(file, breadth)
    found = compare(*pair)
    assert found.changes == ()
    ((where, before, after),) = found.steps[0].says
    assert where == '[[cavity]] "box" mesh'
    assert before.startswith("box.stl (")
    assert before != after
    assert "box.stl: " in comparison_text(found)
    (lift,) = [one for one in found.steps[0].effects if one.limit == found.effects[0].limit]
    assert lift.change is not None
    assert lift.change == pytest.approx(0.04 * (999.55 - 20.0 - 36.7), rel=0.02)
    check_sum(found)


def test_a_mesh_under_another_name_is_no_step(pair) -> None:
    for file in pair:
        with_mesh(file, 0.8)
    pair[1].with_name("box.stl").rename(pair[1].with_name("other.stl"))
    pair[1].write_text(pair[1].read_text().replace("box.stl", "other.stl"))
    found = compare(*pair)
    assert [one.entry.place for one in found.changes] == ['[[cavity]] "box" mesh']
    assert found.steps == ()
    assert found.remainder == ()


def test_a_source_that_is_written_is_the_same_boat(pair, tmp_path: Path) -> None:
    boat = read_boat(pair[0])
    again = read_boat(write_source(source_of(pair[0], boat), tmp_path))
    assert sorted((e.place, e.text, e.value or 0.0) for e in again.entries) == sorted(
        (e.place, e.text, e.value or 0.0) for e in boat.entries
    )


def test_boats_with_too_many_differences_are_compared_and_not_divided(pair) -> None:
    file = pair[1]
    text = file.read_text()
    box = text[text.index("\n[[cavity]]") :]
    for number in range(MOST_STEPS + 1):
        own = box.replace('"box"', f'"box {number}"', 1)
        own = own.replace('["2.0 m", "0.8 m", "0.2 m"]', '["0.05 m", "0.8 m", "0.2 m"]')
        text += own.replace('"0.5 m", "-0.4 m"', f'"{2.55 + 0.06 * number:.2f} m", "-0.4 m"')
    file.write_text(text)
    found = compare(*pair)
    assert found.steps == ()
    assert "up to 24 are changed one at a time" in found.undivided
    check_sum(found)


def test_two_reports_say_the_same_as_their_boats_but_are_not_divided(pair) -> None:
    change(pair[1], HEAVIER)
    of_boats = compare(*pair)
    for file in pair:
        written(file)
    of_reports = compare(pair[0].parent, pair[1].with_name("assessment.json"))
    assert [c.entry.place for c in of_reports.changes] == [c.entry.place for c in of_boats.changes]
    for one, two in zip(of_reports.effects, of_boats.effects, strict=True):
        assert one.change == pytest.approx(two.change, abs=1e-5)
    assert of_reports.steps == ()
    assert "name the two boat files" in of_reports.undivided
    check_sum(of_reports)
    spoiled = pair[1].with_name("assessment.json")
    content = json.loads(spoiled.read_text())
    del content["verdicts"][0]["margin"]
    spoiled.write_text(json.dumps(content))
    with pytest.raises(InputError, match="lacks one of its numbers"):
        compare(pair[0].parent, spoiled)
    with pytest.raises(InputError, match="Name two of a kind"):
        compare(pair[0], pair[1].parent)
    with pytest.raises(InputError, match="no assessment"):
        compare(pair[0].with_name("pour.json"), pair[1].with_name("pour.json"))


LOST = {
    "no list of limits": (lambda report: report.pop("verdicts"), 'belongs under "verdicts"'),
    "an empty list of limits": (lambda report: report["verdicts"].clear(), "no limit under"),
    "a limit that is no table": (lambda report: report["verdicts"].append(1), '"verdicts"'),
    "no list of tests": (lambda report: report.update(trials=None), 'belongs under "trials"'),
    "a limit twice": (
        lambda report: report["verdicts"].append(report["verdicts"][0]),
        "a limit without a name of its own",
    ),
    "a limit without a name": (lambda report: report["verdicts"][0].pop("name"), "None"),
    "another answer": (lambda report: report.update(meets=not report["meets"]), "say otherwise"),
    "a limit turned over": (
        lambda report: report["verdicts"][0].update(meets=not report["verdicts"][0]["meets"]),
        "say otherwise",
    ),
}


@pytest.mark.parametrize("lost", LOST)
def test_a_report_that_lost_a_limit_is_refused_and_not_said_to_meet_all(
    lost: str, pair, tmp_path: Path
) -> None:
    spoil, words = LOST[lost]
    content = json.loads(assessed(pair[0])["assessment.json"])
    whole, spoiled = tmp_path / "whole.json", tmp_path / "spoiled.json"
    whole.write_text(json.dumps(content))
    assert len(compare(whole, whole).one.limits) == len(content["verdicts"]) > 0
    spoil(content)
    spoiled.write_text(json.dumps(content))
    for files in ((whole, spoiled), (spoiled, whole)):
        with pytest.raises(InputError, match=words) as caught:
            compare(*files)
        assert str(caught.value).startswith(str(spoiled))


def test_terminal_and_json_say_the_same(pair) -> None:
    change(pair[1], HEAVIER, PLATE)
    found = compare(*pair)
    text, content = comparison_text(found), json.loads(comparison_json(found))
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "52 kg (114.6 lb) -> 72 kg (158.7 lb)" in " ".join(text.split())
    assert "Nothing is left over." in text
    assert [e["one"]["text"] for e in content["entries"]] == ["450 lb", "52 kg"]
    assert len(content["steps"]) == 2
    assert [row["limit"] for row in content["margins"]] == [e.limit for e in found.effects]
    assert comparison_json(compare(*pair)) == comparison_json(found)


def many(changed: Comparison, count: int) -> Comparison:
    """The same with so many entries that differ, most of them in cavities."""
    (first, *_) = changed.changes
    assert first.one is not None
    entries = [
        replace(
            first.one, place=f'[[cavity]] "box" hole "P{number}" at x' if number > 3 else "[boat] x"
        )
        for number in range(count)
    ]
    return replace(changed, changes=tuple(Change(entry, None) for entry in entries))


def test_the_margins_stand_before_the_entries_that_differ(pair) -> None:
    change(pair[1], HEAVIER, PLATE)
    text = comparison_text(compare(*pair))
    assert text.index("margin to the limit") < text.index("Entries that differ: 2")
    assert text.index("Entries that differ: 2") < text.index("One input at a time")
    assert "more; --json has all" not in text


def test_of_many_entries_the_first_are_shown_and_the_others_counted_by_table(pair) -> None:
    change(pair[1], HEAVIER)
    found = many(compare(*pair), 300)
    text = comparison_text(found)
    assert text.count('[[cavity]] "box" hole') == 20
    assert "Entries that differ: 300" in text
    assert "and 276 more; --json has all: 276 in [[cavity]]." in " ".join(text.split())
    assert max(len(line) for line in text.splitlines()) <= 80
    assert len(json.loads(comparison_json(found))["entries"]) == 300


def test_as_many_entries_as_are_changed_one_at_a_time_are_all_shown(pair) -> None:
    change(pair[1], HEAVIER)
    text = comparison_text(many(compare(*pair), MOST_STEPS))
    assert text.count('[[cavity]] "box" hole') == MOST_STEPS - 4
    assert "more; --json" not in text
