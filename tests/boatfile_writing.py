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


def write(folder: Path, *changes: Change, cavities: bool = True) -> Path:
    """boat.toml in the folder; without its cavities it is read faster."""
    file = folder / "boat.toml"
    text = with_changes(*changes)
    if not cavities:
        text = text[: text.index('[[cavity]]\nname = "side port"')]
    file.write_text(text, encoding="utf-8")
    return file


def refused(file: Path) -> tuple[Fault, ...]:
    """The faults of a boat file that is not read."""
    with pytest.raises(BoatFileError) as caught:
        read_boat(file)
    return caught.value.faults


def only_fault(folder: Path, *changes: Change, cavities: bool = True) -> Fault:
    """The one fault that these changes make."""
    faults = refused(write(folder, *changes, cavities=cavities))
    assert len(faults) == 1, "\n".join(map(str, faults))
    return faults[0]


def line_of(file: Path, text: str) -> int:
    """The line on which a text begins that stands in the file exactly once."""
    content = file.read_text(encoding="utf-8")
    assert content.count(text) == 1, f"{text!r} stands {content.count(text)} times"
    return content[: content.index(text)].count("\n") + 1
