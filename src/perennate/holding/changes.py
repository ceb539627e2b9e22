"""A holding with one row put in or taken out, or some settings changed; everything else stays."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from perennate.holding.agreement import household_problems
from perennate.holding.assumed import carried, standing_assumptions
from perennate.holding.model import Holding
from perennate.holding.reader import MADE_OF, SETTINGS_FILE, read_tables
from perennate.holding.rows import Find, Suggest
from perennate.holding.schema import TABLES, table_schema
from perennate.holding.settings import LISTS, settings_of
from perennate.terms import BadInput, Problem

NAMED_BY: Mapping[str, tuple[tuple[str, str], ...]] = {
    "beds": (("plantings", "bed"), ("records", "place")),
    "water_sources": (("beds", "source"), ("records", "place")),
    "lots": (
        ("plantings", "lot"),
        ("lot_moves", "lot"),
        ("lots", "parents"),
        ("records", "place"),
    ),
    "trees": (("limbs", "tree"), ("records", "place")),
    "limbs": (("records", "place"),),
    "plantings": (("records", "place"),),
}
"""The tables and columns that may name a row of each table."""


def table_of(row: Any) -> str:
    """The table that a row, a dataclass of the model, belongs to; KeyError when to none."""
    for name, kind in MADE_OF.items():
        if isinstance(row, kind):
            return name
    raise KeyError(f"{type(row).__name__} is no row of a table")


def rows_naming(holding: Holding, table: str, key: str) -> tuple[tuple[str, str, Any], ...]:
    """Table, column and row of everything that names this row, itself left aside.

    A record's place counts only where nothing else is called so.
    """
    namesakes = [
        name
        for name in NAMED_BY
        if name != table and any(row.key == key for row in getattr(holding, name))
    ]
    found: list[tuple[str, str, Any]] = []
    for name, column in NAMED_BY.get(table, ()):
        if column == "place" and namesakes:
            continue
        for row in getattr(holding, name):
            value = getattr(row, column)
            names = key in value if isinstance(value, tuple) else key == value
            if names and not (name == table and row.key == key):
                found.append((name, column, row))
    return tuple(found)


def with_row(holding: Holding, row: Any, instead_of: Any = None) -> Holding:
    """The holding with the row at the end of its table, or where `instead_of` stands.

    A new key goes into all rows that name the old one. What the change alters is no longer
    assumed. Nothing is checked: `read_row` gives rows that fit. ValueError when `instead_of` is
    not in the holding.
    """
    table = table_of(row)
    if instead_of is None:
        return _with(holding, {table: (*getattr(holding, table), row)})
    if not table_schema(table).keyed:
        return _with(holding, {table: _swapped(getattr(holding, table), instead_of, row)})
    old, new = instead_of.key, row.key
    naming = rows_naming(holding, table, old) if old != new else ()
    tables: dict[str, Any] = {table: _swapped(getattr(holding, table), instead_of, row)}
    for name, column, one in naming:
        value = getattr(one, column)
        renamed: Any = new
        if isinstance(value, tuple):
            renamed = tuple(new if part == old else part for part in value)
        rows = tables.get(name, getattr(holding, name))
        tables[name] = _swapped(rows, one, replace(one, **{column: renamed}))
    return replace(holding, **tables, assumed=carried(holding, table, instead_of, row))


def without_row(holding: Holding, row: Any) -> Holding:
    """The holding without that row. BadInput when others name it; ValueError when it has none."""
    table = table_of(row)
    naming = rows_naming(holding, table, row.key) if table_schema(table).keyed else ()
    if naming:
        named = ", ".join(dict.fromkeys(_title(name, one) for name, _, one in naming))
        found = f'"{row.key}", which is named in {named}'
        raise BadInput([Problem(table, None, "key", found, "a row that no other row names")])
    rows = list(getattr(holding, table))
    rows.remove(row)
    left = _with(holding, {table: tuple(rows)})
    return replace(left, assumed=standing_assumptions(left))


def with_settings(
    holding: Holding, changes: Mapping[str, Any], find: Find, suggest: Suggest
) -> Holding:
    """The holding with other settings, by name ("site.elevation_m", "people.1.age_years").

    Values may be texts of a form: "1000 ft", "47,1", several with semicolons between them;
    nothing (None or "") takes a setting back to its default. "people" is given as a list of
    mappings, whole. What is changed, or set to what it was, is no longer assumed. BadInput with
    every problem, its file "holding", its column the name.
    """
    said = settings_of(holding)
    said.pop("assumed", None)
    problems = [problem for name, value in changes.items() for problem in _set(said, name, value)]
    if problems:
        raise BadInput(problems)
    read = read_tables(said, {}, find, suggest)
    if not read.people:
        aims = dict(enumerate(holding.aims))
        if household_problems("aims", aims, ()):
            expected = "the people for whom an aim of the kind household is, or no such aim"
            raise BadInput([Problem(SETTINGS_FILE, None, "people", "nobody", expected)])
    tables: dict[str, Any] = {name: getattr(holding, name) for name in TABLES}
    assumed = tuple(
        name
        for name in holding.assumed
        if name not in changes and name.split(".")[0] not in changes
    )
    changed = replace(_with(read, tables), assumed=assumed)
    return replace(changed, assumed=standing_assumptions(changed))


def _set(said: dict[str, Any], name: str, value: Any) -> list[Problem]:
    """Put the value at its place; a problem where settings can have no such place."""
    path = tuple(name.split("."))
    if path == ("people",):
        said["people"] = value
        return []
    if len(path) == 3 and path[0] == "people" and path[1].isdecimal():
        at = int(path[1]) - 1
        part = said["people"][at] if 0 <= at < len(said["people"]) else None
    else:
        part = said.setdefault(path[0], {}) if len(path) == 2 and path[0] != "people" else None
    if part is None:
        expected = "the name of a setting, such as site.elevation_m or people.1.age_years"
        return [Problem(SETTINGS_FILE, None, name, "an unknown setting", expected)]
    if value is None or value == "":
        part.pop(path[-1], None)
    elif path in LISTS and isinstance(value, str):
        part[path[-1]] = [one for one in map(str.strip, value.split(";")) if one]
    else:
        part[path[-1]] = value
    return []


def _with(holding: Holding, tables: dict[str, Any]) -> Holding:
    return replace(holding, **tables)


def _swapped(rows: tuple[Any, ...], before: Any, after: Any) -> tuple[Any, ...]:
    place = rows.index(before)
    return (*rows[:place], after, *rows[place + 1 :])


def _title(table: str, row: Any) -> str:
    return f"{table} ({getattr(row, 'key', None) or getattr(row, 'lot', '')})"
