"""The door to the typesetter: data is text, faults are told, bytes repeat."""

from pathlib import Path

import pytest

from flotation.report import typesetting
from flotation.report.typesetting import TypesettingError, typeset

STOPPED = {
    "boat": "Skiff",
    "paper": "a4",
    "version": "0",
    "file": {"name": "boat.toml", "hash": ""},
    "stops": ["The cup is too heavy."],
}


def test_the_same_data_gives_the_same_bytes() -> None:
    assert typeset("stop_sheet.typ", STOPPED) == typeset("stop_sheet.typ", STOPPED)


def test_no_clock_is_in_the_pages() -> None:
    page = typeset("stop_sheet.typ", STOPPED)
    assert b"CreationDate" not in page
    assert b"CreateDate" not in page


def test_data_that_does_not_fit_the_template_is_told() -> None:
    with pytest.raises(TypesettingError, match=r"stop_sheet\.typ.*stops"):
        typeset("stop_sheet.typ", {key: STOPPED[key] for key in STOPPED if key != "stops"})


def test_a_number_that_is_not_finite_is_refused() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        typeset("stop_sheet.typ", {**STOPPED, "stops": [float("nan")]})


def test_a_missing_font_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(typesetting, "_font_folder", lambda: tmp_path)
    with pytest.raises(TypesettingError, match="unknown font family"):
        typeset("stop_sheet.typ", STOPPED)


def test_the_package_of_fonts_is_named_where_it_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(typesetting, "_FONTS", "no_such_package_of_fonts")
    with pytest.raises(TypesettingError, match="no_such_package_of_fonts"):
        typeset("stop_sheet.typ", STOPPED)
