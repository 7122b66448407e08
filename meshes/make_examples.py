"""Make the example boats' meshes, and the hand-outs of every example boat in reports/.

python meshes/make_examples.py           write meshes/skiff/*.stl and reports/
python meshes/make_examples.py --check   make them again elsewhere; exit 1 and name each file
                                         that differs from the committed one
"""

import argparse
import sys
import tempfile
from pathlib import Path

from skiff_cavities import MESHES
from skiff_parts import PARTS
from skiff_sheets import SHEETS

from flotation import assess, plan_pours, read_boat
from flotation.boatfile import read_found_cavities
from flotation.report.beside import Beside
from flotation.report.handouts import all_handouts, cavity_handouts, previews, write_all
from flotation.report.stl import binary_stl
from flotation.swamped.afloat import righting_curves
from flotation.swamped.what_if import what_if

HERE = Path(__file__).parent
FROM_PARTS = {"skiff_from_parts": "skiff/skiff_from_parts.toml"}
BOATS = {
    "skiff": "skiff/skiff.toml",
    "skiff_foam_low": "skiff/skiff_foam_low.toml",
    "launch": "launch/launch.toml",
}


def handouts(folder: Path) -> dict[Path, bytes]:
    """Every hand-out of every example boat, from the boat files and meshes in `folder`."""
    made: dict[Path, bytes] = {}
    for name, boat_file in BOATS.items():
        boat = read_boat(folder / boat_file)
        plan = plan_pours(boat)
        result = assess(boat, plan.foam)
        curves, supposed = righting_curves(boat, plan.foam), what_if(boat, plan.foam)
        files = all_handouts(boat, plan, result, curves=curves, supposed=supposed)
        files |= previews(boat, plan, result, Beside(curves, supposed))
        made |= {Path("reports", name, file): content for file, content in files.items()}
    return made


def cavities(folder: Path) -> dict[Path, bytes]:
    """What `flotation cavities` hands out for a boat of parts, less the meshes of the cavities.

    One search each, so that a check stays short; its own test compares the cavities found with
    those that the parts were drawn from.
    """
    return {
        Path("reports", name, file): content
        for name, boat_file in FROM_PARTS.items()
        for file, content in cavity_handouts(read_found_cavities(folder / boat_file)).items()
        if not file.endswith(".stl")
    }


def meshes() -> dict[Path, bytes]:
    """Every mesh of the example skiff."""
    makers = {**MESHES, **SHEETS, **PARTS}
    return {Path("meshes", "skiff", name): binary_stl(made()) for name, made in makers.items()}


def differing(root: Path) -> list[str]:
    """Committed files under `root` that are missing, left over or not what is made now."""
    with tempfile.TemporaryDirectory() as place:
        for source in (*HERE.glob("*/*.toml"), *HERE.glob("*/*.csv")):
            target = Path(place, source.relative_to(HERE))
            target.parent.mkdir(exist_ok=True)
            target.write_bytes(source.read_bytes())
        made = meshes()
        for path, content in made.items():
            Path(place, *path.parts[1:]).write_bytes(content)
        made |= handouts(Path(place)) | cavities(Path(place))
    committed = {path.relative_to(root) for path in (root / "reports").rglob("*.*")}
    committed |= {path.relative_to(root) for path in (root / "meshes").rglob("*.stl")}
    return sorted(
        str(path)
        for path in committed | set(made)
        if path not in made
        or not (root / path).is_file()
        or (root / path).read_bytes() != made[path]
    )


def main() -> int:
    """Make or check; returns the exit code."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="compare, write nothing")
    root = HERE.parent
    if parser.parse_args().check:
        wrong = differing(root)
        print("\n".join(f"{path} differs" for path in wrong) or "Examples are as committed.")
        return 1 if wrong else 0
    for path, content in meshes().items():
        write_all((root / path).parent, {path.name: content})
    for path, content in (handouts(HERE) | cavities(HERE)).items():
        write_all((root / path).parent, {path.name: content})
    return 0


if __name__ == "__main__":
    sys.exit(main())
