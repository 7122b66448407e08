"""An untouched report does not differ; every alteration of it or of its inputs is named."""

import copy
import json
import random
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from reported_boats import assessed, made, small_boat, with_mesh, written

from flotation.errors import InputError
from flotation.review.report_file import ReportFile, read_reports
from flotation.review.verified import Verified, verified
from flotation.review.verify import verify

MANY = 50
QUANTITY = re.compile(r'^[^#\n]*?"(?P<number>-?[0-9.]+) (?P<unit>[^" ]+)"', re.MULTILINE)
"""The first quantity of a line that is no comment."""


@pytest.fixture(scope="module")
def boat_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = small_boat(tmp_path_factory.mktemp("boat"))
    written(file)
    return file


@pytest.fixture(scope="module")
def reports(boat_file: Path) -> tuple[ReportFile, ...]:
    return read_reports(boat_file.parent)


@pytest.fixture(scope="module")
def again(boat_file: Path) -> dict[str, bytes]:
    return made(boat_file)


def test_an_untouched_report_does_not_differ(reports, again) -> None:
    assert all(verified(report, again).same for report in reports)


def leaves(value: object, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*path, key))
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            yield from leaves(inner, (*path, place))
    else:
        yield path


def at(content: object, path: tuple[str | int, ...]) -> object:
    for key in path:
        content = content[key]  # type: ignore[index] # a path that was just walked
    return content


def spelled(path: tuple[str | int, ...]) -> str:
    steps = "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in path)
    return steps.removeprefix(".")


def altered(report: ReportFile, path: tuple[str | int, ...], new: object) -> ReportFile:
    content = copy.deepcopy(dict(report.content))
    inner = at(content, path[:-1])
    inner[path[-1]] = new  # type: ignore[index] # likewise
    return ReportFile(report.name, report.kind, report.version, report.boat, content)


def told(found: Verified) -> list[tuple[str, object, object]]:
    rows = (*found.files, *found.rules, *found.entries, *found.numbers, *found.words)
    return [(row.path, row.reported, row.recomputed) for row in rows]


def is_number(value: object) -> bool:
    return isinstance(value, float | int) and not isinstance(value, bool)


@pytest.mark.parametrize("kind", ["assessment", "pour plan"])
def test_each_of_many_altered_numbers_is_the_only_one_named(kind: str, reports, again) -> None:
    (report,) = [one for one in reports if one.kind == kind]
    numbers = [path for path in leaves(report.content) if is_number(at(report.content, path))]
    choose = random.Random(46)
    for path in choose.sample([path for path in numbers if path != ("format",)], MANY):
        old = at(report.content, path)
        new = old * (1.0 + 10.0 ** -choose.randint(1, 8)) if old else 10.0 ** -choose.randint(1, 8)
        assert told(verified(altered(report, path, new), again)) == [(spelled(path), new, old)]


def test_altered_words_and_marks_are_named_too(reports, again) -> None:
    report = reports[0]
    words = [path for path in leaves(report.content) if not is_number(at(report.content, path))]
    choose = random.Random(7)
    for path in choose.sample([path for path in words if path != ("kind",)], MANY):
        old = at(report.content, path)
        new = not old if isinstance(old, bool) else f"{old} "
        assert told(verified(altered(report, path, new), again)) == [(spelled(path), new, old)]


def test_each_of_many_altered_inputs_is_named_with_what_follows(boat_file, reports) -> None:
    text, choose = boat_file.read_text(), random.Random(3)
    stated = [match for match in QUANTITY.finditer(text) if float(match["number"])]
    followed = 0
    for _ in range(MANY):
        match = choose.choice(stated)
        old, new = match["number"], f"{float(match['number']) * 1.0007:.7g}"
        boat_file.write_text(f"{text[: match.start('number')]}{new}{text[match.end('number') :]}")
        try:
            found = verified(reports[0], assessed(boat_file))
        finally:
            boat_file.write_text(text)
        assert [row.names for row in found.files] == [("boat.toml",)]
        ((named, *_), *others) = {row.names for row in found.entries}
        assert not others, named
        key = re.split(r"\W+", match.group())
        assert re.sub(r" ([xyz]|\(\d\))$", "", named).split()[-1] in key
        texts = [(row.reported, row.recomputed) for row in found.entries if "text" in row.path]
        assert texts == [(f"{old} {match['unit']}", f"{new} {match['unit']}")]
        followed += bool(found.numbers)
    assert followed > MANY / 2


def test_a_mesh_of_another_content_is_named_and_the_numbers_that_follow(tmp_path: Path) -> None:
    file = small_boat(tmp_path)
    with_mesh(file, 0.8)
    report = read_reports(written(file)["assessment.json"])[0]
    assert verified(report, made(file)).same
    with_mesh(file, 0.801)
    found = verified(report, made(file))
    assert [row.names for row in found.files] == [("box.stl",)]
    assert found.entries == ()
    assert "verdicts[0].margin" in [row.path for row in found.numbers]


def test_a_report_of_another_boat_is_told_before_anything_is_computed(boat_file: Path) -> None:
    file = boat_file.with_name("pour.json")
    content = file.read_text()
    name = json.dumps(json.loads(content)["boat"])
    file.write_text(content.replace(f'"boat": {name}', '"boat": "Another boat"', 1))
    with pytest.raises(InputError, match="different boats"):
        verify(boat_file.parent, boat_file)
    file.write_text(content)
