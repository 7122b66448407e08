"""Imports go one way, each library has one door, and no file or function outgrows a reader."""

import ast
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "flotation"
FILES = sorted(PACKAGE.rglob("*.py"))

# Level of a module by the longest prefix that names it. A file imports from its own level only
# within its own room, and otherwise only from below.
LEVELS = {
    "flotation.errors": 0,
    "flotation.notebook": 0,
    "flotation.second": 0,
    "flotation.version": 0,
    "flotation.workings": 0,
    "flotation.units": 1,
    "flotation.geometry": 2,
    "flotation.rulebook": 2,
    "flotation.foamsystem": 2,
    "flotation.boat": 3,
    "flotation.foundbetween": 2,
    "flotation.foundcavities": 3,
    "flotation.equilibrium": 4,
    "flotation.boatfile": 5,
    "flotation.pour": 5,
    "flotation.swamped": 5,
    "flotation.report": 6,
    "flotation.review": 7,
    "flotation": 7,
    "flotation.cli": 8,
    "flotation.__main__": 9,
}

DOORS = {
    "pint": ("flotation.units.quantities",),
    "trimesh": ("flotation.geometry.meshfile",),
    "cascadio": ("flotation.geometry.meshfile",),
    "manifold3d": (
        "flotation.geometry.cavities",
        "flotation.geometry.shapes",
        "flotation.geometry.voids.sealing",
    ),
    "pydantic": ("flotation.boatfile",),
    "pydantic_core": ("flotation.boatfile",),
    "scipy": ("flotation.geometry.bodies", "flotation.geometry.reach", "flotation.pour.conduction"),
    "typst": ("flotation.report",),
    "xlsxwriter": ("flotation.report.hand_check",),
    "typer": ("flotation.cli",),
}

# Inside the geometry room, arrays come before solids and solids before what stands on them.
ARRAYS_ONLY = ("meshfile", "below", "filling", "overlap")


def module_name(file: Path) -> str:
    parts = list(file.relative_to(PACKAGE.parent).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(file: Path) -> list[str]:
    """Every module that the file imports, also inside functions."""
    found: list[str] = []
    for node in ast.walk(ast.parse(file.read_text())):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file.name} imports relatively"
            assert node.module is not None
            assert all(alias.name != "*" for alias in node.names), f"{file.name}: star import"
            for alias in node.names:
                whole = f"{node.module}.{alias.name}"
                path = PACKAGE.parent / Path(*whole.split("."))
                is_module = path.is_dir() or path.with_suffix(".py").is_file()
                found.append(whole if is_module else node.module)
    return found


def begins(name: str, prefix: str) -> bool:
    """True if the module is the one named, lies inside it, or is split off it: boatfile_lines."""
    return name == prefix or name.startswith((prefix + ".", prefix + "_"))


def room(name: str) -> str:
    return max((prefix for prefix in LEVELS if begins(name, prefix)), key=len)


@pytest.mark.parametrize("file", FILES, ids=module_name)
def test_a_file_imports_only_from_lower_levels(file: Path) -> None:
    here = room(module_name(file))
    for name in imports(file):
        if not begins(name, "flotation"):
            continue
        there = room(name)
        assert there == here or LEVELS[there] < LEVELS[here], f"{file.name} imports {name}"


@pytest.mark.parametrize("file", FILES, ids=module_name)
def test_a_library_is_entered_by_its_own_door(file: Path) -> None:
    here = module_name(file)
    for name in imports(file):
        doors = DOORS.get(name.split(".")[0])
        if doors is not None:
            assert any(begins(here, door) for door in doors), f"{here} imports {name}"


def test_geometry_stands_on_arrays() -> None:
    for file in (PACKAGE / "geometry").glob("*.py"):
        if any(file.stem == stem or file.stem.startswith(stem + "_") for stem in ARRAYS_ONLY):
            solid = [name for name in imports(file) if name == "flotation.geometry.solid"]
            assert not solid, f"{file.name} knows Solid"


def test_no_ring_of_imports() -> None:
    graph = {module_name(file): set(imports(file)) for file in FILES}

    def visit(name: str, path: tuple[str, ...]) -> None:
        assert name not in path, f"ring: {' -> '.join((*path, name))}"
        if name not in seen:
            for following in graph.get(name, ()):
                visit(following, (*path, name))
            seen.add(name)

    seen: set[str] = set()
    for name in graph:
        visit(name, ())


@pytest.mark.parametrize("file", FILES, ids=module_name)
def test_a_file_has_at_most_400_lines_and_its_functions_fit_a_screen(file: Path) -> None:
    text = file.read_text()
    assert text.count("\n") <= 400
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef):
            first = node.body[1] if ast.get_docstring(node) and len(node.body) > 1 else node.body[0]
            assert node.end_lineno is not None
            lines = node.end_lineno - first.lineno + 1
            assert lines <= 50, f"{file.name}: {node.name} has {lines} lines"


@pytest.mark.parametrize("file", FILES, ids=module_name)
def test_a_class_has_at_most_ten_public_methods(file: Path) -> None:
    for node in ast.walk(ast.parse(file.read_text())):
        if isinstance(node, ast.ClassDef):
            public = [
                item.name
                for item in node.body
                if isinstance(item, ast.FunctionDef) and not item.name.startswith("_")
            ]
            assert len(public) <= 10, f"{file.name}: {node.name} has {public}"


@pytest.mark.parametrize("file", FILES, ids=module_name)
def test_no_open_keyword_arguments(file: Path) -> None:
    for node in ast.walk(ast.parse(file.read_text())):
        if isinstance(node, ast.FunctionDef | ast.Lambda):
            assert node.args.kwarg is None, f"{file.name}: **{node.args.kwarg}"


def test_every_library_is_declared() -> None:
    declared = {"numpy", *DOORS, "lxml", "networkx"}
    used = {name.split(".")[0] for file in FILES for name in imports(file)}
    assert used - set(sys.stdlib_module_names) - {"flotation"} <= declared
