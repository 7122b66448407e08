"""Boat files for tests: the one that `flotation new` writes, with changes."""

from pathlib import Path

import pytest

from flotation.boatfile import read_boat, template
from flotation.errors import BoatFileError, Fault

Change = tuple[str, str]


def with_changes(*changes: Change) -> str:
    """The template with each text replaced; each must stand in it exactly once."""
    text = template()
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        text = text.replace(old, new)
    return text


def write(folder: Path, *changes: Change) -> Path:
    """boat.toml in the folder."""
    file = folder / "boat.toml"
    file.write_text(with_changes(*changes), encoding="utf-8")
    return file


def refused(file: Path) -> tuple[Fault, ...]:
    """The faults of a boat file that is not read."""
    with pytest.raises(BoatFileError) as caught:
        read_boat(file)
    return caught.value.faults


def only_fault(folder: Path, *changes: Change) -> Fault:
    """The one fault that these changes make."""
    faults = refused(write(folder, *changes))
    assert len(faults) == 1, "\n".join(map(str, faults))
    return faults[0]


def line_of(file: Path, text: str) -> int:
    """The line on which a text begins that stands in the file exactly once."""
    content = file.read_text(encoding="utf-8")
    assert content.count(text) == 1, f"{text!r} stands {content.count(text)} times"
    return content[: content.index(text)].count("\n") + 1
