"""A row as the texts that fill a form, in the holding's units; read back, the very same row."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from perennate.holding.cells import Cell, Reading, as_text
from perennate.holding.changes import table_of
from perennate.holding.schema import table_schema
from perennate.holding.sheets import in_one_way
from perennate.holding.units import Unit, convert, find_unit
from perennate.holding.writer import row_values

_CUSTOMARY: Mapping[str, str] = {
    "m": "ft",
    "cm": "in",
    "mm": "in",
    "m2": "ft2",
    "kg": "lb",
    "l": "gal",
    "l/min": "gal/min",
    "bar": "psi",
}
"""The US customary unit in which an amount of each of ours is shown."""
_MOST_DECIMALS = 4
"""An amount that needs more decimals than this in the customary unit was measured in ours."""


def row_cells(row: Any, reading: Reading | None = None) -> dict[str, str]:
    """The texts of a row's cells by column, as `read_row` reads them with the same `reading`.

    Where the reading is US customary, lengths are in ft or in, areas in ft2, masses (but of seed)
    in lb, volumes in gal and pressures in psi, each with its unit; an amount that only a long
    fraction of these would give exactly stays in ours, with its unit. What is read back is the
    same number, to the bit.
    """
    how = reading or Reading()
    schema = table_schema(table_of(row))
    values = dict(zip(schema.names, row_values(row, schema), strict=True))
    cells = {name: _plain(value, how) for name, value in values.items()}
    if not how.us:
        return cells
    for field in schema.fields:
        value = values[field.name]
        if not isinstance(value, float):
            continue
        if field.unit in _CUSTOMARY:
            number, unit = _customary(value, field.unit, how)
            cells[field.name] = f"{number} {unit}"
        elif field.unit_column and values[field.unit_column] in _CUSTOMARY:
            own = str(values[field.unit_column])
            cells[field.name], cells[field.unit_column] = _customary(value, own, how)
    return cells


def _plain(value: Cell, how: Reading) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return _number(format(Decimal(repr(value)), "f"), how)
    return value if isinstance(value, str) else as_text(value)


def _number(plain: str, how: Reading) -> str:
    whole, point, part = plain.partition(".")
    if not part.strip("0"):
        return whole
    return f"{whole},{part}" if how.decimal == "," else in_one_way(f"{whole}{point}{part}")


def _customary(value: float, own: str, how: Reading) -> tuple[str, str]:
    """The number and the unit that give this amount of our unit exactly, the shortest first."""
    unit = _CUSTOMARY[own]
    ours, theirs = find_unit(own, us=False), find_unit(unit, us=True)
    if ours is not None and theirs is not None:
        for decimals in range(_MOST_DECIMALS + 1):
            text = _rounded(value, ours, theirs, decimals)
            if float(convert(Fraction(text), theirs, ours)) == value:
                return _number(text, how), unit
    return _plain(value, how), own


def _rounded(value: float, ours: Unit, theirs: Unit, decimals: int) -> str:
    exact = convert(Fraction(repr(value)), ours, theirs)
    return format(Decimal(round(exact * 10**decimals)).scaleb(-decimals), "f")
