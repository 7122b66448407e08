"""The spreadsheet worked out by LibreOffice gives the report's numbers. Run by hand.

Needs LibreOffice Calc: DEVELOPERS.md has the command. Every cached result is taken out of the file
first, so that what is read back was worked out by the spreadsheet program.
"""

import io
import os
import re
import subprocess
import zipfile
from pathlib import Path

import openpyxl
import pytest

from flotation import assess, plan_pours, read_boat
from flotation.report.hand_check import hand_check_sheet
from flotation.report.hand_check_lines import hand_check
from flotation.report.numbered import Numbering, all_chapters

MESHES = Path(__file__).parent.parent.parent / "meshes"
BOATS = ("skiff/skiff.toml", "skiff/skiff_foam_low.toml", "launch/launch.toml")


def without_results(xlsx: bytes) -> bytes:
    """The same workbook with formulas alone."""
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(xlsx)) as source, zipfile.ZipFile(made, "w") as target:
        for name in source.namelist():
            text = source.read(name)
            target.writestr(name, re.sub(rb"(</f>)<v>[^<]*</v>", rb"\1", text))
    return made.getvalue()


def recalculated(xlsx: bytes, folder: Path) -> openpyxl.Workbook:
    given, found = folder / "given.xlsx", folder / "out"
    given.write_bytes(without_results(xlsx))
    assert all(
        cell.value is None or not str(cell.value).startswith("=")
        for sheet in openpyxl.load_workbook(given, data_only=True)
        for row in sheet
        for cell in row
    )
    subprocess.run(
        [
            *(os.environ.get("SOFFICE", "soffice"), "--headless", "--convert-to", "xlsx"),
            *(f"-env:UserInstallation={(folder / 'profile').as_uri()}", "--outdir"),
            *(str(found), str(given)),
        ],
        check=True,
        capture_output=True,
        timeout=180,
    )
    return openpyxl.load_workbook(found / "given.xlsx", data_only=True)


@pytest.mark.parametrize("file", BOATS)
def test_libreoffice_gives_the_numbers_of_the_report(file: str, tmp_path: Path) -> None:
    boat = read_boat(MESHES / file)
    plan = plan_pours(boat)
    found = assess(boat, plan.foam)
    xlsx = hand_check_sheet(boat, plan, found)
    book = recalculated(xlsx, tmp_path)
    formulas = openpyxl.load_workbook(io.BytesIO(xlsx))
    cached = openpyxl.load_workbook(io.BytesIO(xlsx), data_only=True)
    check = hand_check(boat, found, Numbering(all_chapters(found, plan)))
    count = 0
    for chapter in check.chapters:
        for numbered in chapter.lines:
            place = formulas.defined_names[f"line_{numbered.number}"].attr_text
            sheet, cell = place.replace("$", "").split("!")
            value = book[sheet][cell].value
            assert value == pytest.approx(numbered.line.value, rel=1e-8, abs=1e-6), numbered
            count += 1
    assert count > 40
    formula_cells = [
        (sheet.title, cell.coordinate)
        for sheet in formulas
        for row in sheet
        for cell in row
        if cell.data_type == "f"
    ]
    assert len(formula_cells) > 100
    for sheet, cell in formula_cells:
        value, expected = book[sheet][cell].value, cached[sheet][cell].value
        if isinstance(expected, str):
            assert value == expected
        else:
            assert value == pytest.approx(expected, rel=1e-8, abs=2e-6), (sheet, cell)
