"""The command line: each command is one call of the library, and computes nothing itself.

Exit 0: done and every calculated limit met. 1: done, a limit is not met or the pour is stopped.
2: bad input, nothing written. 3: a fault of this program, nothing written. Results go to stdout,
talk goes to stderr.
"""

import sys
from collections.abc import Iterable
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from flotation.cli_faults import harmless, own_fault
from flotation.cli_progress import doing
from flotation.errors import Fault, FlotationError, InputError

if TYPE_CHECKING:
    from flotation.boat import Boat
    from flotation.geometry.solid import Solid
    from flotation.pour.pourplan import PourPlan
    from flotation.second import Second
    from flotation.swamped.assessment import Assessment

app = typer.Typer(
    name="flotation",
    help="Foam fill and flotation of small boats. It calculates; the regulation and a physical "
    "test decide.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

BoatFile = Annotated[Path, typer.Argument(metavar="BOAT", help="Boat file (TOML).")]
Json = Annotated[bool, typer.Option("--json", help="Print JSON instead of a table.")]


Poured = Annotated[
    list[Path] | None,
    typer.Option(
        "--poured",
        metavar="FILE",
        help="CSV of what was poured: order, mass. Again for what was poured by the next sheet.",
    ),
]
CupTests = Annotated[
    Path | None,
    typer.Option(
        "--cup-tests", metavar="FILE", help="CSV of cup tests made since: foam, density, date."
    ),
]


class Paper(StrEnum):
    """Paper of the printed hand-outs."""

    A4 = "a4"
    LETTER = "letter"


# What the second process of a report reads while the first one reads the boat.
_MEANWHILE = (
    "flotation.pour.plan",
    "flotation.swamped.what_if",
    "flotation.report.handouts",
    *("scipy.sparse.csgraph", "manifold3d", "typst"),  # which these load where they are needed
)


def _version(asked: bool) -> None:
    if asked:
        from flotation.version import VERSION

        typer.echo(f"flotation {VERSION}")
        raise typer.Exit


@app.callback()
def _flotation(
    _: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    pass


def main() -> None:
    """Run the command line; an error that a person can mend is one message and exit 2.

    Any other error is a fault of the program: one message too, and exit 3, for 1 would read as a
    limit that is not met.
    """
    try:
        app(prog_name="flotation")
    except FlotationError as error:
        typer.echo(harmless(str(error)), err=True)
        sys.exit(2)
    except Exception as error:  # noqa: BLE001 - the last door: what nobody foresaw ends here
        typer.echo(harmless(own_fault(error)), err=True)
        sys.exit(3)


def _read(file: Path) -> "Boat":
    with doing(f"Reading {file.name}") as progress:
        from flotation.boatfile import read_boat

        boat = read_boat(file, progress=progress)
    _say(boat.notes)
    return boat


def _say(notes: Iterable[str]) -> None:
    """What the reader of files has to tell; the hand-outs carry it too."""
    for note in notes:
        typer.echo(f"Note: {note}", err=True)


def _measure(files: Iterable[Path], unit: str | None) -> list[tuple[str, "Solid"]]:
    """The solids of all files, or the faults of all of them."""
    from flotation.geometry.meshfile import read_mesh
    from flotation.geometry.solid import Solid

    solids: list[tuple[str, Solid]] = []
    faults: list[Fault] = []
    for file in files:
        try:
            mesh = read_mesh(file, unit=unit)
            solids.append((str(file), Solid(mesh.vertices, mesh.faces, name=file.name)))
        except InputError as error:
            faults += error.faults
        else:
            _say(f"{file}: {note}" for note in mesh.notes)
    if faults:
        raise InputError(faults)
    return solids


def _plan(boat: "Boat", second: "Second | None" = None) -> "PourPlan":
    with doing("Planning the pours"):
        from flotation.pour.plan import plan_pours
        from flotation.second import NO_SECOND

        return plan_pours(boat, second or NO_SECOND)


def _remaining(
    boat: "Boat", plan: "PourPlan", poured: Iterable[Path], cup_tests: Path | None
) -> "PourPlan":
    """What remains after each of these files in turn; the cup tests count from the last one on."""
    from flotation.boatfile import read_cup_tests, read_poured
    from flotation.pour.remaining import replan

    logs = [read_poured(file) for file in poured]
    cups = () if cup_tests is None else read_cup_tests(cup_tests)
    if cups and not logs:
        logs = [()]
    for place, log in enumerate(logs, 1):
        plan = replan(plan, boat, log, cups if place == len(logs) else ())
    return plan


def _assess(boat: "Boat", plan: "PourPlan") -> "Assessment":
    with doing("Assessing the swamped boat"):
        from flotation import assess

        return assess(boat, plan.foam)


@app.command()
def volume(
    files: Annotated[list[Path], typer.Argument(metavar="FILE", help="Mesh files.")],
    unit: Annotated[
        str | None,
        typer.Option(
            help="Unit of the files: mm, cm, m, in or ft. 3MF, GLB and STEP have their own."
        ),
    ] = None,
    json: Json = False,
) -> None:
    """Volume, area and centroid of closed meshes.

    Read are STL, OBJ, PLY, OFF, 3MF, GLB and STEP. Nothing is repaired.
    """
    with doing("Reading meshes"):
        solids = _measure(files, unit)
    from flotation.report import tables

    typer.echo(tables.volume_json(solids) if json else tables.volume_text(solids), nl=False)


@app.command()
def pour(
    file: BoatFile,
    poured: Poured = None,
    cup_tests: CupTests = None,
    to: Annotated[
        Path | None, typer.Option(help="Folder for the sheet and card of this pour; it is made.")
    ] = None,
    paper: Annotated[Paper, typer.Option(help="Paper size of these.")] = Paper.A4,
    json: Json = False,
) -> None:
    """How much A and B goes into which cavity, in which batches, and when.

    In the middle of a pour, say what was poured and what a new cup test showed: what remains is
    planned again, and nothing else. With --to its pour sheet and mixing card are written.
    """
    boat = _read(file)
    plan = _remaining(boat, _plan(boat), poured or [], cup_tests)
    from flotation.report import tables

    text = tables.pour_json(plan, boat) if json else tables.pour_text(plan)
    if to is not None:
        with doing("Setting the pages"):
            from flotation.report.handouts import write_all
            from flotation.report.pour_handouts import pour_handouts

            write_all(to, pour_handouts(boat, plan, paper=paper.value))
    typer.echo(text, nl=False)
    raise typer.Exit(0 if plan.go else 1)


@app.command()
def check(file: BoatFile, json: Json = False) -> None:
    """Flotation by the general method and the tests in the water, against each limit.

    Each limit comes with what is required, what is obtained, and the margin. The tests of the
    regulation are run by calculation where the boat file has what they need.
    """
    boat = _read(file)
    result = _assess(boat, _plan(boat))
    from flotation.report import tables

    text = tables.assessment_json(result, boat) if json else tables.assessment_text(result)
    typer.echo(text, nl=False)
    raise typer.Exit(0 if result.meets else 1)


@app.command()
def beyond(file: BoatFile, json: Json = False) -> None:
    """The tests in the water with one thing changed at a time, and the intact boat."""
    boat = _read(file)
    plan = _plan(boat)
    with doing("Running the tests with one thing changed"):
        from flotation.swamped.afloat import beyond_the_regulation

        found = beyond_the_regulation(boat, plan.foam)
    from flotation.report import tables

    write = tables.beyond_json if json else tables.beyond_text
    typer.echo(write(boat.name, found), nl=False)


@app.command()
def swamp(file: BoatFile, json: Json = False) -> None:
    """Sheets for the tests in real water: what to put where, depths to expect, when to stop."""
    boat = _read(file)
    plan = _plan(boat)
    with doing("Running the tests"):
        from flotation.swamped.afloat import swamp_test_sheets

        sheets = swamp_test_sheets(boat, plan.foam)
    from flotation.report import tables

    write = tables.swamp_tests_json if json else tables.swamp_tests_text
    typer.echo(write(boat.name, sheets), nl=False)


@app.command()
def report(
    file: BoatFile,
    to: Annotated[Path, typer.Option(help="Folder for the hand-outs; it is made.")] = Path("out"),
    paper: Annotated[Paper, typer.Option(help="Paper size.")] = Paper.A4,
    json: Json = False,
) -> None:
    """Write the pour sheet and the assessment: PDF, JSON and CSV.

    With them a page to look inside the boat, and the general method as a spreadsheet.
    """
    from flotation.second import second_process

    with second_process(*_MEANWHILE) as second:
        boat = _read(file)
        plan = _plan(boat, second)
        from flotation.report import handouts
        from flotation.swamped.what_if import what_if

        supposed = second.begin(what_if, boat, plan.foam)
        planned = second.begin(handouts.planned_handouts, boat, plan, paper.value)
        result = _assess(boat, plan)
        with doing("Setting the pages"):
            from flotation.swamped.afloat import righting_curves

            curves = righting_curves(boat, plan.foam)
            files = handouts.all_handouts(
                boat,
                plan,
                result,
                paper=paper.value,
                curves=curves,
                supposed=supposed(),
                planned=planned,
            )
            written = handouts.write_all(to, files)
    from flotation.report import tables

    typer.echo(tables.written_json(written) if json else tables.written_text(written), nl=False)
    raise typer.Exit(0 if plan.go and result.meets else 1)


@app.command()
def verify(
    report_file: Annotated[
        Path,
        typer.Argument(metavar="REPORT", help="assessment.json, pour.json, or their folder."),
    ],
    file: BoatFile,
    json: Json = False,
) -> None:
    """Compute a report again and name every value that is not the same.

    Input files and entries that differ come first. In a folder the printed hand-outs are made
    again too. Exit code 0: nothing differs; 1: something does.
    """
    with doing("Computing the report again"):
        from flotation.review import verify as review
        from flotation.review import verify_text

        found = review.verify(report_file, file)
    write = verify_text.verification_json if json else verify_text.verification_text
    typer.echo(write(found) if json else harmless(write(found)), nl=False)
    raise typer.Exit(0 if found.same else 1)


@app.command()
def compare(
    one: Annotated[Path, typer.Argument(metavar="ONE", help="Boat file, or a report's JSON.")],
    two: Annotated[Path, typer.Argument(metavar="TWO", help="Another of the same kind.")],
    json: Json = False,
) -> None:
    """What differs between two boats or two revisions, and what that does to each margin.

    Of two boat files the inputs are changed one at a time. Exit code 1: TWO misses a limit.
    """
    with doing("Comparing"):
        from flotation.review import compare as review
        from flotation.review import compare_text

        found = review.compare(one, two, lambda what: typer.echo(f"Changing {what}", err=True))
    write = compare_text.comparison_json if json else compare_text.comparison_text
    typer.echo(write(found) if json else harmless(write(found)), nl=False)
    raise typer.Exit(0 if found.two.meets else 1)


@app.command()
def cavities(
    file: BoatFile,
    to: Annotated[
        Path | None,
        typer.Option(help="Folder for a mesh of each cavity and a picture; it is made."),
    ] = None,
    paper: Annotated[Paper, typer.Option(help="Paper size of the picture.")] = Paper.A4,
    json: Json = False,
) -> None:
    """Find the cavities between the parts: volumes with error bounds, gaps and leaks."""
    with doing(f"Searching between the parts of {file.name}") as progress:
        from flotation.boatfile import read_found_cavities

        found = read_found_cavities(file, progress=progress)
    from flotation.report import cavity_tables

    text = cavity_tables.cavities_json(found) if json else cavity_tables.cavities_text(found)
    if to is not None:
        with doing("Drawing"):
            from flotation.report.handouts import cavity_handouts, write_all

            write_all(to, cavity_handouts(found, paper=paper.value))
    typer.echo(text, nl=False)


@app.command()
def new(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Where to write it.")] = Path(
        "boat.toml"
    ),
    json: Json = False,
) -> None:
    """Write a commented boat file to start from."""
    from flotation.boatfile import write_template

    write_template(file)
    from flotation.report import tables

    written = (file,)
    typer.echo(tables.written_json(written) if json else tables.written_text(written), nl=False)
