"""The rows of a table as typed values, by its schema; everything wrong becomes a Problem."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from perennate.holding.analysis import IN_OURS, analysis_figure, takes
from perennate.holding.cells import (
    BEYOND,
    Cell,
    CellError,
    Reading,
    as_text,
    choice,
    day,
    nearest,
    quantity,
    yes_no,
)
from perennate.holding.measures import UnitError, measured
from perennate.holding.schema import Field, TableSchema
from perennate.holding.sheets import Sheet
from perennate.holding.slips import likely_meant
from perennate.holding.units import convert, find_unit
from perennate.terms import Problem

Value = str | float | int | date | bool | tuple[str, ...] | None

_KEY_WORDS = ("name", "id", "code", "no", "nr")
"""Headings under which people write what is called key here, besides the name of the thing."""

Find = Callable[[str], str | None]
"""The catalogue's key of a crop from its key, common or scientific name; None when unknown."""

Suggest = Callable[[str], tuple[str, ...]]
"""Crop names like the one given, best first."""


@dataclass(frozen=True, slots=True)
class Row:
    """The values of one row by column name. A column that could not be read is missing."""

    number: int
    values: Mapping[str, Value]
    whole: bool

    def text(self, name: str) -> str:
        value = self.values.get(name)
        return value if isinstance(value, str) else ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table as read. `usable` is False when its keys cannot be known, so that rows of other
    tables that refer to it are not called wrong."""

    file: str
    schema: TableSchema
    rows: tuple[Row, ...]
    usable: bool = True

    def keys(self) -> frozenset[str]:
        return frozenset(row.text("key") for row in self.rows if row.text("key"))


@dataclass(frozen=True, slots=True)
class _Column:
    index: int
    field: Field
    unit: str
    """The unit of a bare number in this column; it may differ from the field's own."""


def read_rows(
    sheet: Sheet,
    schema: TableSchema,
    reading: Reading,
    find: Find,
    suggest: Suggest,
    taken: frozenset[str] = frozenset(),
) -> tuple[Table, list[Problem]]:
    """Every row of the sheet, typed. Keys left empty are made where the schema allows it.

    `taken` are keys of the table that other rows have already.
    """
    columns, problems = _columns(sheet, schema)
    columns.sort(key=lambda column: schema.names.index(column.field.name))
    present = {column.field.name for column in columns}
    missing = [field for field in schema.fields if field.required and field.name not in present]
    problems += [
        Problem(
            sheet.file, sheet.header_row, field.name, "no such column", f"a column {field.name}"
        )
        for field in missing
        # a column under a heading much like it is one fault, not two
        if not any(told.expected.endswith(f"did you mean {field.name}?") for told in problems)
    ]
    rows: list[Row] = []
    for number, cells in sheet.rows:
        row, found = _row(sheet.file, number, cells, columns, schema, reading, find, suggest)
        width = len(sheet.header)
        if len(cells) > width:
            found = [
                Problem(
                    sheet.file,
                    number,
                    None,
                    f"{len(cells)} cells",
                    f"{width} cells as in the header (a decimal comma in a file with commas"
                    " between its cells needs quotation marks)",
                )
            ]
            row = Row(number, row.values, False)
        problems += found
        rows.append(row if not missing else Row(number, row.values, False))
    if schema.key_from:
        rows = _with_keys(rows, schema, taken)
    problems += _twice(sheet.file, rows, taken) if schema.keyed else []
    for names in schema.in_order:
        rows = [_ordered(sheet.file, row, names, problems) for row in rows]
    return Table(sheet.file, schema, tuple(rows), "key" in present or not schema.keyed), problems


def _columns(sheet: Sheet, schema: TableSchema) -> tuple[list[_Column], list[Problem]]:
    columns: list[_Column] = []
    problems: list[Problem] = []
    for index, cell in enumerate(sheet.header):
        try:
            name = as_text(cell)
        except CellError:
            name = "?"
        if not name:
            for number, cells in sheet.rows:
                if len(cells) > index and cells[index] not in (None, ""):
                    problems.append(
                        Problem(
                            sheet.file,
                            sheet.header_row,
                            None,
                            f"a column {index + 1} without a name, but with a cell in row {number}",
                            "a name over every column",
                        )
                    )
                    break
            continue
        column = _column(index, name, schema)
        if column is None:
            named = name.casefold() in (*_KEY_WORDS, schema.name.removesuffix("s"))
            near = ("key",) if named and schema.keyed else nearest(name, schema.names)
            expected = f"one of {', '.join(schema.names)}"
            expected += f"; did you mean {near[0]}?" if near else ""
            problems.append(
                Problem(sheet.file, sheet.header_row, name, "an unknown column", expected)
            )
        elif any(column.field == other.field for other in columns):
            problems.append(
                Problem(sheet.file, sheet.header_row, name, "a second column of that name", "one")
            )
        else:
            columns.append(column)
    return columns, problems


def _column(index: int, name: str, schema: TableSchema) -> _Column | None:
    """The column of that heading: its name, or its name with another unit (length_ft)."""
    plain = re.sub(r"[\s\-]+", "_", re.sub(r"[()\[\]]", " ", name.casefold()).strip())
    for field in schema.fields:
        if plain == field.name:
            return _Column(index, field, field.unit)
        if field.stem != field.name and plain.startswith(f"{field.stem}_"):
            written = plain.removeprefix(f"{field.stem}_").replace("_", "/")
            if field.unit in IN_OURS and takes(written, field):
                return _Column(index, field, written)
            unit, ours = find_unit(written, us=False), find_unit(field.unit, us=False)
            if unit is not None and ours is not None and unit.dimension == ours.dimension:
                return _Column(index, field, written)
    return None


def _row(
    file: str,
    number: int,
    cells: tuple[Cell, ...],
    columns: list[_Column],
    schema: TableSchema,
    reading: Reading,
    find: Find,
    suggest: Suggest,
) -> tuple[Row, list[Problem]]:
    values: dict[str, Value] = {}
    problems: list[Problem] = []
    written = {
        column.field.name: cells[column.index] if column.index < len(cells) else None
        for column in columns
    }
    units = {column.field.unit_column for column in columns} - {""}
    by_kind = "kind" in written
    for column in columns:
        field, cell = column.field, written[column.field.name]
        if field.name in units or (field.unit_column and by_kind and "kind" not in values):
            continue
        try:
            if field.unit_column:
                told = written.get(field.unit_column)
                measure = measured(cell, told, schema.name, str(values.get("kind") or ""), reading)
                values[field.unit_column] = measure.unit
                values[field.name] = _checked(measure.value, field)
            else:
                values[field.name] = _value(cell, column, reading, find, suggest)
        except UnitError as error:
            told = written.get(field.unit_column)
            place, shown = (
                (field.unit_column, told) if _shown(told) != "nothing" else (field.name, cell)
            )
            problems.append(Problem(file, number, place, _shown(shown), str(error)))
        except CellError as error:
            problems.append(Problem(file, number, field.name, _shown(cell), str(error)))
    return Row(number, values, not problems), problems


def _value(cell: Cell, column: _Column, reading: Reading, find: Find, suggest: Suggest) -> Value:
    field = column.field
    if cell is None or as_text(cell) == "":
        return _checked(None, field)
    if field.type == "date":
        return day(cell, reading)
    if field.type == "boolean":
        return yes_no(cell)
    if field.type == "string":
        return _text(cell, field, find, suggest)
    if isinstance(cell, int | float) and not isinstance(cell, bool) and column.unit == field.unit:
        return _checked(cell, field)
    heading, own = find_unit(column.unit, us=False), find_unit(field.unit, us=False)

    def in_own(value: Fraction) -> Fraction:
        return convert(value, heading, own) if heading and own else value

    def plausible(value: Fraction) -> bool:
        return _fits(in_own(value), field)

    if field.unit in IN_OURS:
        return _checked(analysis_figure(cell, reading, plausible, column.unit, field), field)
    return _checked(float(in_own(quantity(cell, reading, plausible, column.unit))), field)


def _text(cell: Cell, field: Field, find: Find, suggest: Suggest) -> Value:
    if field.choices:
        return choice(cell, field.choices)
    text = as_text(cell)
    if field.separator:
        return tuple(part.strip() for part in text.split(field.separator) if part.strip())
    if field.refers_to == "crops":
        key = find(text)
        if key is None:
            near = suggest(text)
            guess = f"; did you mean {' or '.join(near[:3])}?" if near else ""
            listed = "perennate plant, with no name, lists them all"
            raise CellError(f"the name of a crop in the catalogue{guess}; {listed}")
        return key
    return text


def _fits(value: Fraction | float, field: Field) -> bool:
    if field.type == "integer" and value != int(value):
        return False
    return (field.low is None or value >= field.low) and (field.high is None or value <= field.high)


def _checked(value: float | None, field: Field) -> float | int | None:
    """The number when it keeps to the column's bounds; integers as int."""
    if value is None:
        if field.required:
            raise CellError(f"something in this column: {field.description}")
        return None
    if not -BEYOND < value < BEYOND or not _fits(value, field):
        whole = "a whole number" if field.type == "integer" else "a number"
        unit = f" {field.unit}" if field.unit not in ("", "share") else ""
        low = f" from {field.low:g}" if field.low is not None else ""
        high = f" up to {field.high:g}" if field.high is not None else ""
        meant = likely_meant(float(value), field) if -BEYOND < value < BEYOND else ""
        raise CellError(f"{whole}{low}{high}{unit}{f'; {meant}' if meant else ''}")
    return int(value) if field.type == "integer" else float(value)


def _shown(cell: Cell) -> str:
    if isinstance(cell, str):
        return f'"{cell.strip()}"' if cell.strip() else "nothing"
    return "nothing" if cell is None else f'"{cell}"'


def _with_keys(rows: list[Row], schema: TableSchema, others: frozenset[str]) -> list[Row]:
    """Rows without a key get one from what they say, with a number when two say the same."""
    taken = {row.text("key") for row in rows} - {""} | others
    done: list[Row] = []
    for row in rows:
        if row.text("key"):
            done.append(row)
            continue
        parts = [row.values.get(name) for name in schema.key_from]
        stem = " ".join(str(part) for part in parts if part not in (None, "")) or schema.name
        key, count = stem, 1
        while key in taken:
            count += 1
            key = f"{stem} {count}"
        taken.add(key)
        done.append(Row(row.number, {**row.values, "key": key}, row.whole))
    return done


def _twice(file: str, rows: list[Row], taken: frozenset[str]) -> list[Problem]:
    first: dict[str, int] = {}
    problems: list[Problem] = []
    for row in rows:
        key = row.text("key")
        if key and key in first:
            found = f'"{key}" again, as in row {first[key]}'
            problems.append(Problem(file, row.number, "key", found, "a key of its own"))
        elif key in taken:
            found = f'"{key}" again'
            problems.append(Problem(file, row.number, "key", found, "a key of its own"))
        first.setdefault(key, row.number)
    return problems


def _ordered(file: str, row: Row, names: tuple[str, ...], problems: list[Problem]) -> Row:
    """The row, marked as not whole and with a Problem when values go down along the columns."""
    before: tuple[str, date | float] | None = None
    for name in names:
        value = row.values.get(name)
        if not isinstance(value, date | float):
            continue
        if before is not None and _is_less(value, before[1]):
            if isinstance(value, date):
                expected = f"a day not before {before[0]} ({before[1]})"
            else:
                expected = f"a number not below {before[0]} ({before[1]:g})"
            problems.append(Problem(file, row.number, name, f'"{value}"', expected))
            return Row(row.number, row.values, False)
        before = (name, value)
    return row


def _is_less(value: date | float, other: date | float) -> bool:
    if isinstance(value, date) and isinstance(other, date):
        return value < other
    return isinstance(value, float) and isinstance(other, float) and value < other
