"""The tables of a holding as Table Schemas (Frictionless), and what the reader takes from them.

Beside the standard's own properties the schemas carry a few of ours: `unit` (what a bare number
is in), `unitColumn` (the column that says the unit), `refersTo` (the table, or `crops`, that a
cell must name), `separator` (of a list in one cell), `section` (under which a form keeps a column
that few people fill), `inOrder` (columns whose values must not go down) and `keyFrom` (the columns
that an empty key is made from).
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Literal

TABLES = (
    "beds",
    "water_sources",
    "aims",
    "lots",
    "lot_moves",
    "trees",
    "limbs",
    "plantings",
    "records",
    "own_values",
)
"""The tables that make up a Holding, in the order in which they are read and written."""

SCHEMAS = (*TABLES, "weather", "normals")

FieldType = Literal["string", "number", "integer", "date", "boolean"]


@dataclass(frozen=True, slots=True)
class Field:
    """One column: `low` and `high` are the smallest and largest value that it may hold."""

    name: str
    type: FieldType
    description: str
    required: bool
    choices: tuple[str, ...]
    low: float | None
    high: float | None
    unit: str
    unit_column: str
    refers_to: str
    separator: str
    title: str = ""
    section: str = ""

    @property
    def stem(self) -> str:
        """The name without the unit that it ends in, where it does."""
        ending = f"_{self.unit.casefold().replace('/', '_')}" if self.unit else ""
        return self.name.removesuffix(ending)

    @property
    def called(self) -> str:
        """What people call the column: its title, or its name opened up, without its unit."""
        return self.title or self.stem.replace("_", " ")


@dataclass(frozen=True, slots=True)
class TableSchema:
    name: str
    title: str
    description: str
    fields: tuple[Field, ...]
    in_order: tuple[tuple[str, ...], ...]
    key_from: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(field.name for field in self.fields)

    @property
    def keyed(self) -> bool:
        return "key" in self.names

    def field(self, name: str) -> Field:
        """The column of that name; KeyError when there is none."""
        for field in self.fields:
            if field.name == name:
                return field
        raise KeyError(f"{self.name} has no column {name}")


def schema_text(name: str) -> str:
    """The Table Schema of a table as JSON text; KeyError when there is no such table."""
    if name not in SCHEMAS:
        raise KeyError(f"no table {name}; there are {', '.join(SCHEMAS)}")
    return files("perennate.holding").joinpath("schemas", f"{name}.json").read_text("utf-8")


@cache
def table_schema(name: str) -> TableSchema:
    """The columns of a table; KeyError when there is no such table."""
    descriptor: Mapping[str, Any] = json.loads(schema_text(name))
    refers = {
        foreign["fields"]: foreign["reference"]["resource"]
        for foreign in descriptor.get("foreignKeys", ())
    }
    return TableSchema(
        name=descriptor["name"],
        title=descriptor["title"],
        description=descriptor["description"],
        fields=tuple(_field(field, refers) for field in descriptor["fields"]),
        in_order=tuple(tuple(names) for names in descriptor.get("inOrder", ())),
        key_from=tuple(descriptor.get("keyFrom", ())),
    )


def _field(descriptor: Mapping[str, Any], refers: Mapping[str, str]) -> Field:
    constraints: Mapping[str, Any] = descriptor.get("constraints", {})
    return Field(
        name=descriptor["name"],
        type=descriptor["type"],
        description=descriptor["description"],
        required=constraints.get("required", False),
        choices=tuple(constraints.get("enum", ())),
        low=constraints.get("minimum"),
        high=constraints.get("maximum"),
        unit=descriptor.get("unit", ""),
        unit_column=descriptor.get("unitColumn", ""),
        refers_to=descriptor.get("refersTo", refers.get(descriptor["name"], "")),
        separator=descriptor.get("separator", ""),
        title=descriptor.get("title", ""),
        section=descriptor.get("section", ""),
    )
