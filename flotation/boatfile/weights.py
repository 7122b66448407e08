"""[weights], [[material]] and [weighing]: the weight list, in the file or in CSV."""

from collections.abc import Mapping
from dataclasses import dataclass

from flotation.boat import Role, Scale, Weighing, Weight
from flotation.boatfile.document import csv_document, text_of
from flotation.boatfile.findings import Document, nearest
from flotation.boatfile.hull import Hull, check_near_boat
from flotation.boatfile.place import Place, once_each
from flotation.boatfile.schema import MaterialTable, WeighingTable, WeightsTable, WeightTable
from flotation.errors import InputError
from flotation.rulebook import Material, materials
from flotation.workings import Mark

_SUBMERGED = (Role.MOTOR, Role.BATTERY)


@dataclass(frozen=True)
class WeightList:
    """The weights, and whether the structure was weighed with its foam."""

    weights: tuple[Weight, ...]
    hull_has_foam: bool


@dataclass(frozen=True)
class Materials:
    """The published materials and the shop's own, by name; and own ones that left a fault."""

    known: Mapping[str, Material]
    broken: frozenset[str]


def read_materials(file: Place, raw: object) -> Materials:
    """The materials that parts may be made of.

    file  the place of the whole file
    """
    known = dict(materials())
    broken = set()
    for place, table in file.tables("material", raw):
        read = place.check(MaterialTable, table)
        if read is None:
            broken.add(str(table.get("name")))
            continue
        if read.name in known:
            problem = f'there is already a material "{read.name}"'
            place.fault("name", problem, "Call it by another name.")
            continue
        known[read.name] = Material(
            read.name, read.density, None, read.wood, place.entry, Mark.STATED
        )
    return Materials(known, frozenset(broken))


def read_weights(
    place: Place, raw: object, made_of: Materials, hull: Hull | None
) -> WeightList | None:
    """The weight list of [weights]; None after a fault in its head."""
    if not isinstance(raw, dict):
        place.fault("", "is no table", "Write its entries under [weights].")
        return None
    head = {key: value for key, value in raw.items() if key != "item"}
    read = place.check(WeightsTable, head)
    rows = place.tables("item", raw.get("item", []))
    if read is not None and read.file is not None:
        rows += _csv_rows(place, read.file)
    elif not rows and "item" not in raw:
        place.fault("", "the weight list is empty", "Add [[weights.item]] or file = ...")
    weights = [_weight(row, table, made_of, hull) for row, table in rows]
    once_each((row, table.get("item")) for row, table in rows)
    if read is None:
        return None
    return WeightList(tuple(one for one in weights if one is not None), read.hull_has_foam)


def _csv_rows(place: Place, file: str) -> list[tuple[Place, Mapping[str, object]]]:
    try:
        rows = csv_document(text_of(place.folder.read(file), file), file)
    except InputError as error:
        place.refuse("file", error)
        return []
    items = [like_an_item(row) for row in rows.data]
    document = Document(file, items, rows.lines)
    return [
        (Place(document, (number,), place.folder, place.findings), item)
        for number, item in enumerate(items)
    ]


def like_an_item(row: Mapping[str, str]) -> Mapping[str, object]:
    """A CSV row with its place and size as the lists that an item in the boat file has."""
    item: dict[str, object] = {k: cell for k, cell in row.items() if k not in ("x", "y", "z")}
    item["at"] = [row.get(axis, "") for axis in ("x", "y", "z")]
    if "size" in row:
        item["size"] = [side.strip() for side in row["size"].split(",")]
    return item


def _weight(
    place: Place, table: Mapping[str, object], made_of: Materials, hull: Hull | None
) -> Weight | None:
    read = place.check(WeightTable, table)
    if read is None:
        return None
    _check_contradictions(place, read)
    check_near_boat(place, read.at, hull)
    name, known = read.material, made_of.known
    if name is not None and name not in known and name not in made_of.broken:
        remedy = f"{nearest(name, list(known))} Or add it under [[material]]."
        place.fault("material", f'"{name}" is no known material', remedy)
    return Weight(
        item=read.item,
        mass=read.mass,
        material=known.get(name) if name is not None else None,
        at=read.at,
        below_water=read.waterline == "below",
        role=read.role,
        tolerance=read.tolerance.of(read.mass) if read.tolerance is not None else None,
        swamped_mass=read.swamped_mass,
        size=read.size,
        entry=place.entry,
    )


def _check_contradictions(place: Place, read: WeightTable) -> None:
    if read.swamped_mass is not None and read.role not in _SUBMERGED:
        problem = f"a swamped mass is stated, and the role is {read.role}"
        remedy = "Leave it out: only a motor and a battery have one; the others follow from K."
        place.fault("swamped_mass", problem, remedy)
    if read.swamped_mass is not None and read.swamped_mass > read.mass:
        problem = "the swamped mass is larger than the mass"
        place.fault("swamped_mass", problem, "Look at both numbers.")
    if read.tolerance is not None and read.tolerance.of(read.mass) >= read.mass:
        place.fault("tolerance", "it is as large as the mass", "Look at both numbers.")


def read_weighing(place: Place, raw: object) -> Weighing | None:
    """[weighing], or None if it cannot be used."""
    read = place.check(WeighingTable, raw)
    if read is None:
        return None
    if read.forward.x <= read.aft.x:
        problem = "the forward scale does not stand forward of the aft one"
        place.inside("forward").fault("x", problem, "Correct x; it counts from the transom.")
    if read.aft.mass + read.forward.mass == 0.0:
        place.fault("", "both scales show nothing", "Write what they showed.")
    if not read.aboard:
        problem = "nothing of the weight list was aboard"
        place.fault("aboard", problem, 'Write roles: ["structure", "equipment"].')
    return Weighing(
        Scale(read.aft.x, read.aft.mass),
        Scale(read.forward.x, read.forward.mass),
        frozenset(read.aboard),
        read.adopt,
    )
