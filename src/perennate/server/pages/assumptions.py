"""What is assumed of a holding, put so that it can be read, confirmed and changed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from perennate.holding import assumption, reading_of, row_cells, standing_assumptions
from perennate.holding.assumed import parts_of_name
from perennate.holding.model import Holding
from perennate.holding.schema import TABLES, table_schema
from perennate.holding.setting_fields import MONTH_DAYS, setting_called, setting_cells, setting_unit
from perennate.reckoner.quantities import read_month_day
from perennate.terms import Text
from perennate.words import Units
from perennate.words import show as quantity
from perennate.words.lines import day
from perennate.words.quantities import symbol


@dataclass(frozen=True, slots=True)
class Guess:
    """One guessed value: its name in `Holding.assumed`, what it was guessed from, what it is.

    `key` is that of its row; empty for a setting.
    """

    name: str
    said: Text
    key: str
    value: str


@dataclass(frozen=True, slots=True)
class Guesses:
    """The guesses of one column of a table, or of one section of the settings (no `table`)."""

    what: str
    table: str
    each: tuple[Guess, ...]


def guesses(holding: Holding) -> tuple[Guesses, ...]:
    """Everything assumed, settings first, in the order in which it was guessed."""
    together: dict[tuple[str, str], list[Guess]] = {}
    for table, what, guess in _each(holding):
        together.setdefault((table, what), []).append(guess)
    found = [Guesses(what, table, tuple(each)) for (table, what), each in together.items()]
    return tuple(sorted(found, key=lambda one: bool(one.table)))


def _each(holding: Holding) -> Iterator[tuple[str, str, Guess]]:
    settings = setting_cells(holding)
    rows: dict[str, dict[str, Any]] = {}
    cells: dict[tuple[str, str], Mapping[str, str]] = {}
    for name in standing_assumptions(holding):
        parts = parts_of_name(name)
        if parts is None:
            continue
        table, key, column = parts
        if table not in TABLES:
            stem = f"{table}.{column}"
            value = setting_read(stem, settings.get(name, ""), holding.units)
            what = table if table == "people" else setting_called(stem)
            shown = f"{setting_called(stem)} {value}" if table == "people" else value
            yield "", what, Guess(name, assumption(name), "", shown)
            continue
        if table not in rows:
            rows[table] = {row.key: row for row in getattr(holding, table)}
        if (table, key) not in cells:
            cells[table, key] = row_cells(rows[table][key], reading_of(holding))
        field = table_schema(table).field(column)
        value = cells[table, key].get(column, "")
        said = cells[table, key].get(field.unit_column, "")
        unit = said or symbol(field.unit)
        if said and value:
            value = quantity(getattr(rows[table][key], column), said, holding.units)
        elif unit and value and not any(letter.isalpha() for letter in value):
            value = f"{value} {unit}"
        guess = Guess(name, assumption(name), key, value)
        yield table, f"{table_schema(table).title}: {field.called}", guess


def setting_read(name: str, value: str, units: Units = "metric") -> str:
    """A setting as it is read: with its unit, a day of the year in words."""
    if name in MONTH_DAYS and value:
        return day(date(2000, *read_month_day(value)))
    unit = setting_unit(name)
    if value and units == "us" and unit:
        return quantity(float(value), unit, units)
    return f"{value} {symbol(unit)}".strip()
