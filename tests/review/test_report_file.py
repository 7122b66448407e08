"""A report is read back whole, or refused with one clear message."""

import json
from pathlib import Path

import pytest
from reported_boats import small_boat, written

from flotation.errors import InputError
from flotation.review.report_file import read_reports


@pytest.fixture(scope="module")
def text(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("boat")
    return written(small_boat(folder))["assessment.json"].read_text()


def refusal(folder: Path, text: str) -> str:
    file = folder / "assessment.json"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_reports(file)
    assert len(caught.value.faults) == 1
    return str(caught.value)


def test_a_report_says_what_it_was_made_from(tmp_path: Path) -> None:
    file = small_boat(tmp_path)
    written(file)
    reports = read_reports(tmp_path)
    assert [report.kind for report in reports] == ["assessment", "pour plan"]
    for report in reports:
        assert [name for name, _ in report.files] == ["boat.toml"]
        (length,) = [entry for entry in report.entries if entry.place == "[boat] length"]
        assert (length.file, length.unit) == ("boat.toml", "m")
        assert length.value is not None
        assert length.value > 1.0


@pytest.mark.parametrize("share", [0.1, 0.37, 0.62, 0.99])
def test_a_report_that_is_cut_short_is_refused(text: str, tmp_path: Path, share: float) -> None:
    cut = text[: int(share * len(text))].rstrip()
    assert "cut short" in refusal(tmp_path, cut) or "is not JSON" in refusal(tmp_path, cut)


def test_wherever_a_report_is_cut_it_is_refused(text: str, tmp_path: Path) -> None:
    whole = text.rstrip()
    for end in range(0, len(whole), len(whole) // 40):
        assert refusal(tmp_path, whole[:end])


def test_another_format_names_both(text: str, tmp_path: Path) -> None:
    said = refusal(tmp_path, text.replace('"format": 1', '"format": 2', 1))
    assert "has format 2; this version reads format 1" in said
    assert "version of flotation that wrote it" in said
    assert "has format True" in refusal(tmp_path, text.replace('"format": 1', '"format": true', 1))


CASES = {
    "": "is empty",
    "[]": "no report",
    "{}": "has format None",
    '{"format": 1, "format": 1}': 'has the key "format" twice',
    '{"format": NaN}': "has NaN in place of a number",
    '{"format": 1, "kind": "comparison"}': "only these can be read back",
    '{"format": 1, "kind": "assessment"}': "does not say which files",
    '{"format": 1, "kind": "assessment", "made_from": {"files": []}}': '"rules"',
    '{"format": 1e999}': "has the number 1e999, which is too large",
    '{"format": -1e999}': "too large",
    '{"format": 1%s}' % ("0" * 400): "has the number 10000000000000000000..., which is too large",
    '{"format": "\\ud800"}': "has half a character",
    '{"\\udfff": 1}': "has half a character",
    "[" * 100_000: "nests brackets too deeply",
    "1" * 10_000: "thousands of digits",
    "{]": "is not JSON",
}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case[:40] or "nothing")
def test_what_is_no_report_is_refused(case: str, tmp_path: Path) -> None:
    assert CASES[case] in refusal(tmp_path, case)


def test_an_entry_whose_value_is_no_number_is_refused(text: str, tmp_path: Path) -> None:
    content = json.loads(text)
    content["made_from"]["entries"][3]["value"] = "4.6"
    assert "as the value of" in refusal(tmp_path, json.dumps(content))


def test_bytes_that_are_no_text_and_files_that_are_not_there_are_refused(tmp_path: Path) -> None:
    file = tmp_path / "assessment.json"
    file.write_bytes(b"\xff\xfe{}")
    for place, words in ((file, "UTF-8"), (tmp_path / "none.json", "no such file")):
        with pytest.raises(InputError, match=words):
            read_reports(place)
    file.unlink()
    with pytest.raises(InputError, match=r"no assessment\.json"):
        read_reports(tmp_path)
