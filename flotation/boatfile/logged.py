"""What was poured and what a cup showed, in CSV: for the plan of what remains."""

from collections.abc import Mapping
from pathlib import Path

from flotation.boatfile.document import Folder, csv_document, text_of
from flotation.boatfile.findings import Document, Findings
from flotation.boatfile.place import Place
from flotation.boatfile.schema import CupTestTable
from flotation.boatfile.schema_pours import PouredTable
from flotation.errors import BoatFileError, InputError
from flotation.foamsystem import CupTest, PouredLift


def read_poured(path: str | Path) -> tuple[PouredLift, ...]:
    """The lifts that were poured: columns `order`, as on the sheet, and `mass`, "1.12 kg".

    mass is of A and B together, as they were mixed. Raises BoatFileError with every fault.
    """
    rows, findings = _rows(Path(path))
    found = [(place, place.check(PouredTable, row)) for place, row in rows]
    _refuse(findings, Path(path).name)
    return tuple(PouredLift(read.order, read.mass) for _, read in found if read is not None)


def read_cup_tests(path: str | Path) -> tuple[CupTest, ...]:
    """Cup tests made since the boat file was written: columns `foam`, `density`, `date`.

    The last row for a foam counts. Raises BoatFileError with every fault.
    """
    rows, findings = _rows(Path(path))
    found = [place.check(CupTestTable, row) for place, row in rows]
    _refuse(findings, Path(path).name)
    return tuple(CupTest(read.foam, read.density, read.date) for read in found if read is not None)


def _rows(file: Path) -> tuple[list[tuple[Place, Mapping[str, object]]], Findings]:
    folder, findings = Folder(file), Findings()
    try:
        document = csv_document(text_of(folder.read(file.name), file.name), file.name)
    except InputError as error:
        raise BoatFileError(error.faults) from None
    document = Document(file.name, list(document.data), document.lines)
    places = [
        (Place(document, (number,), folder, findings), row)
        for number, row in enumerate(document.data)
    ]
    return places, findings


def _refuse(findings: Findings, name: str) -> None:
    if findings.faults:
        raise BoatFileError(findings.in_order(name))
