"""One version, stated twice because the build needs it before the package can be imported."""

import tomllib
from pathlib import Path

import flotation
from flotation.version import VERSION


def test_the_package_and_its_build_state_the_same_version() -> None:
    project = Path(__file__).parent.parent / "pyproject.toml"
    assert tomllib.loads(project.read_text())["project"]["version"] == VERSION
    assert flotation.__version__ == VERSION
