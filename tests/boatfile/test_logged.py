"""What was poured, and cup tests, from CSV."""

from collections.abc import Callable
from pathlib import Path

import pytest

from flotation.boatfile import read_cup_tests, read_poured
from flotation.errors import BoatFileError, Fault


def test_lifts_and_their_masses_in_any_unit_of_mass(tmp_path: Path) -> None:
    file = tmp_path / "poured.csv"
    file.write_text("order,mass\n1,1.12 kg\n12,2.5 lb\n")
    first, second = read_poured(file)
    assert first == (1, 1.12)
    assert second.order == 12
    assert second.mass == pytest.approx(2.5 * 0.45359237)


def test_cup_tests_of_the_day(tmp_path: Path) -> None:
    file = tmp_path / "cups.csv"
    file.write_text("foam,density,date\npour foam,2 lb/ft^3,2026-04-15\n")
    (cup,) = read_cup_tests(file)
    assert (cup.foam, cup.date) == ("pour foam", "2026-04-15")
    assert cup.density == pytest.approx(32.037, abs=0.001)


def faults(read: Callable[[Path], object], file: Path) -> tuple[Fault, ...]:
    with pytest.raises(BoatFileError) as caught:
        read(file)
    return caught.value.faults


def test_every_fault_is_told_with_its_line(tmp_path: Path) -> None:
    file = tmp_path / "poured.csv"
    file.write_text("order,mass\nfirst,1.12 kg\n2,1.1\n3,1 kg\n0,1 kg\n")
    found = faults(read_poured, file)
    assert [fault.line for fault in found] == [2, 3, 5]
    assert "'first' is no number of a lift" in found[0].problem
    assert "has no unit" in found[1].problem
    assert all("poured.csv" in fault.place for fault in found)


def test_a_column_that_is_missing_or_unknown_is_told(tmp_path: Path) -> None:
    file = tmp_path / "poured.csv"
    file.write_text("order,kg\n1,1.12 kg\n")
    text = "\n".join(str(fault) for fault in faults(read_poured, file))
    assert '"mass" is missing' in text
    assert '"kg" is not known here' in text


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    (fault,) = faults(read_poured, tmp_path / "none.csv")
    assert "none.csv" in str(fault)
