"""Make the published schemas of the reports' JSON: flotation/data/*.schema.json.

python tests/schemas/make_schemas.py           write them
python tests/schemas/make_schemas.py --check   exit 1 if a committed one differs

A schema follows from the dataclasses that the reports are written from; what a key means is taken
from the docstring of its class, or else from words.toml beside this script.
"""

import argparse
import json
import re
import sys
import tomllib
import types
import typing
from collections.abc import Iterator
from dataclasses import fields
from enum import Enum
from inspect import getdoc
from pathlib import Path

from flotation.boat import FoamInPlace
from flotation.boat_entries import Entry
from flotation.geometry.solid import Solid
from flotation.pour.pourplan import DipRung, PourPlan, Rung
from flotation.report.beside import Beside
from flotation.report.cavity_document import CavitiesDocument
from flotation.report.holes import HolesDocument
from flotation.report.json_names import json_name
from flotation.report.tables import ASSESSMENT, CAVITIES, FORMAT, HOLES, POUR_PLAN
from flotation.rulebook import Edition
from flotation.swamped.assessment import Assessment
from flotation.workings import Source

DATA = Path(__file__).parents[2] / "flotation" / "data"
WORDS = tomllib.loads(Path(__file__).with_name("words.toml").read_text("utf-8"))
UNITS = {
    "_kg_per_m3": "kg/m3",
    "_nm_per_deg": "N m per degree",
    "_unit_vector": "unit vector",
    "_share": "share of 1",
    "_deg": "degrees",
    "_kg": "kg",
    "_m3": "m3",
    "_m2": "m2",
    "_nm": "N m",
    "_n": "N",
    "_m": "m",
    "_s": "s",
}
FILE = ("file", "sha256")
PLAIN = {float: "number", int: "integer", str: "string", bool: "boolean", type(None): "null"}

Schema = dict[str, object]


def said_of(owner: type) -> dict[str, str]:
    """What the docstring of a class says of each of its fields."""
    known = {field.name for field in fields(owner)}
    found: dict[str, str] = {}
    names: list[str] = []
    for line in (getdoc(owner) or "").splitlines()[1:]:
        match = re.match(r"([a-z][a-z0-9_]*(?:, [a-z0-9_]+)*) +(\S.*)$", line)
        if match and set(match[1].split(", ")) <= known:
            names = match[1].split(", ")
            found |= dict.fromkeys(names, match[2])
        elif names and line.startswith("      "):
            found |= {name: f"{found[name]} {line.strip()}" for name in names}
        else:
            names = []
    return found


class Definitions:
    """One definition for each class, made when it is first met."""

    def __init__(self) -> None:
        self.made: dict[str, Schema] = {}
        self.lacking: list[str] = []

    def of(self, hint: object) -> Schema:
        """The schema of a type."""
        if hint in PLAIN:
            return {"type": PLAIN[hint]}  # type: ignore[index] # just looked up
        origin, parts = typing.get_origin(hint), typing.get_args(hint)
        if origin in (typing.Union, types.UnionType):
            return {"anyOf": [self.of(part) for part in parts]}
        if origin is tuple and parts[1:] == (...,):
            return {"type": "array", "items": self.of(parts[0])}
        if origin is tuple:
            inner = [self.of(part) for part in parts]
            length = len(parts)
            return {"type": "array", "prefixItems": inner, "minItems": length, "maxItems": length}
        assert isinstance(hint, type), hint
        if issubclass(hint, Enum):
            return {"enum": [member.value for member in hint]}
        self.define(hint)
        return {"$ref": f"#/$defs/{hint.__name__}"}

    def define(self, owner: type) -> None:
        """The definition of a dataclass."""
        if owner.__name__ in self.made:
            return
        self.made[owner.__name__] = {}  # a class within itself refers to it
        sentence = (getdoc(owner) or "").partition("\n\n")[0].replace("\n", " ")
        properties = dict(self.properties(owner))
        self.made[owner.__name__] = closed(properties, sentence)

    def properties(self, owner: type) -> Iterator[tuple[str, Schema]]:
        """Keys of a dataclass with what each is."""
        hints, said = typing.get_type_hints(owner), said_of(owner)
        for field in fields(owner):
            if hints[field.name] is Solid:
                continue
            name = json_name(owner.__name__, field.name)
            yield (
                name,
                {"description": self.words(owner, field.name, name, said)}
                | self.of(hints[field.name]),
            )

    def words(self, owner: type, field: str, name: str, said: dict[str, str]) -> str:
        """What a key means, with the unit that its name ends in."""
        own = f"{owner.__name__}.{field}"
        text = WORDS.get(own) or said.get(field) or WORDS.get(field)
        if not text:
            self.lacking.append(own)
            return ""
        unit = next((unit for end, unit in UNITS.items() if name.endswith(end)), "")
        return f"{text} [{unit}]" if unit else str(text)


def closed(properties: dict[str, Schema], description: str) -> Schema:
    """An object that has all of these keys and no other."""
    return {
        "description": description,
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def adapted(definitions: Definitions) -> None:
    """Classes that the JSON writes in another shape than their own: see `tables.plain`."""
    made = definitions.made
    number: Schema = {"type": "number"}
    if Source.__name__ in made:
        extend(made[Source.__name__], "text", {"type": "string"})
    if FoamInPlace.__name__ in made:
        extend(made[FoamInPlace.__name__], "centroid_m", definitions.of(tuple[float, float, float]))
        extend(made[FoamInPlace.__name__], "volume_m3", number)
    if Rung.__name__ in made:
        keys: dict[str, Schema] = {"count": {"type": "integer"}, "weigh_a_kg": number}
        keys["weigh_b_kg"] = number
        batch = {key: {"description": WORDS[f"Batch.{key}"]} | own for key, own in keys.items()}
        made["Batch"] = closed(batch, str(WORDS["Batch"]))
        opening: Schema = {"description": WORDS["Batch.opening_s"], "type": ["number", "null"]}
        made["TimedBatch"] = closed(batch | {"opening_s": opening}, str(WORDS["Batch"]))
        ladder, dips = properties_of(made[Rung.__name__]), properties_of(made[DipRung.__name__])
        del ladder["opening_s"]
        typing.cast("list[str]", made[Rung.__name__]["required"]).remove("opening_s")
        shots = {"type": "array", "items": {"$ref": "#/$defs/TimedBatch"}}
        ladder["shots"] = {"description": WORDS["Rung.shots"]} | shots
        dips["shots"] = {"description": WORDS["DipRung.shots"], "$ref": "#/$defs/Batch"}


def properties_of(schema: Schema) -> dict[str, Schema]:
    """The keys of an object."""
    return typing.cast("dict[str, Schema]", schema["properties"])


def extend(schema: Schema, key: str, own: Schema) -> None:
    """A key that the JSON has beside the fields of a class."""
    properties_of(schema)[key] = {"description": WORDS[key]} | own
    typing.cast("list[str]", schema["required"]).append(key)


def made_from(definitions: Definitions) -> Schema:
    """What a report was made from."""
    text: Schema = {"type": "string"}
    keys_of_file = {key: {"description": WORDS[f"File.{key}"]} | text for key in FILE}
    file = closed(keys_of_file, str(WORDS["File"]))
    keys: dict[str, Schema] = {
        "digits": {"type": "integer"},
        "zero_below": {"type": "number"},
        "files": {"type": "array", "items": file},
        "rules": definitions.of(tuple[Edition, ...]),
        "entries": definitions.of(tuple[Entry, ...]),
        "notes": definitions.of(tuple[str, ...]),
    }
    told = {key: {"description": WORDS[f"made_from.{key}"]} | own for key, own in keys.items()}
    return closed(told, str(WORDS["made_from"]))


def schema(kind: str, name: str, *owners: type) -> Schema:
    """The schema of one report; SystemExit where a key has no description."""
    definitions = Definitions()
    head: dict[str, Schema] = {
        "format": {"description": WORDS["format"], "const": FORMAT},
        "kind": {"description": WORDS["kind"], "const": kind},
        "version": {"description": WORDS["version"], "type": "string"},
    }
    if kind in (ASSESSMENT, POUR_PLAN):
        head["made_from"] = made_from(definitions)
    if kind == ASSESSMENT:
        head["meets"] = {"description": WORDS["Assessment.meets"], "type": "boolean"}
    for owner in owners:
        head |= dict(definitions.properties(owner))
    adapted(definitions)
    if definitions.lacking:
        sys.exit(f"no description of: {', '.join(definitions.lacking)}; add it to words.toml")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"{name} of flotation, format {FORMAT}",
        **closed(head, str(WORDS[name])),
        "$defs": dict(sorted(definitions.made.items())),
    }


def schemas() -> dict[Path, str]:
    """Every published schema: file -> text."""
    made = {
        "assessment": schema(ASSESSMENT, "assessment.json", Assessment, Beside),
        "pour": schema(POUR_PLAN, "pour.json", PourPlan),
        "cavities": schema(CAVITIES, "cavities.json", CavitiesDocument),
        "holes": schema(HOLES, "holes.json", HolesDocument),
    }
    return {
        DATA / f"{name}.schema.json": json.dumps(one, indent=1, ensure_ascii=False) + "\n"
        for name, one in made.items()
    }


def main() -> int:
    """Write or check; returns the exit code."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="compare, write nothing")
    check = parser.parse_args().check
    wrong = []
    for file, text in schemas().items():
        if check and (not file.is_file() or file.read_text("utf-8") != text):
            wrong.append(file.name)
        elif not check:
            file.write_text(text, encoding="utf-8", newline="\n")
    print("\n".join(f"{name} differs" for name in wrong), end="\n" if wrong else "")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
