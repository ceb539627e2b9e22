"""One row of a holding's tables, read from the cells of a form with all that a holding is held to.

It must agree with the rows that it names, and the rows that name it must still agree with it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from perennate.holding.agreement import (
    account_problems,
    household_problems,
    planting_problems,
    table_problems,
)
from perennate.holding.assumed import KEYED_TABLES
from perennate.holding.cells import Cell, Reading, literal
from perennate.holding.changes import NAMED_BY
from perennate.holding.model import Bed, HandPlanting, Holding, Lot, LotMove
from perennate.holding.reader import Portion, latest_day, made_row, no_portion
from perennate.holding.rows import Find, Row, Suggest, Table, read_rows
from perennate.holding.schema import TABLES, table_schema
from perennate.holding.sheets import Sheet
from perennate.holding.water_faults import day_problems
from perennate.holding.writer import row_values
from perennate.terms import BadInput, Problem

_ROW = 2
"""The row's number while it is read; problems with it come out without one."""


def reading_of(holding: Holding) -> Reading:
    """How numbers and days typed for this holding are read."""
    return Reading(us=holding.units == "us")


def read_row(
    table: str,
    cells: Mapping[str, Cell],
    holding: Holding,
    find: Find,
    suggest: Suggest,
    portion: Portion = no_portion,
    *,
    instead_of: Any = None,
    reading: Reading | None = None,
) -> Any:
    """The row (a Bed, Aim, ...) of these cells, by column, as it would stand in the holding.

    `instead_of` is the row of the holding that is being changed: columns that `cells` does not
    name stay as they are there, and so does its key where the cell is empty. A new row without a
    key gets one where the table allows it. Texts are taken as they are. BadInput with every
    problem, its file the table's name, its row None. KeyError when there is no such table,
    ValueError when `instead_of` is not in the holding.
    """
    if table not in TABLES:
        raise KeyError(f"no table {table}; there are {', '.join(TABLES)}")
    others = _others(holding, table, instead_of)
    schema = table_schema(table)
    written: dict[str, Cell] = {}
    if instead_of is not None:
        written = dict(zip(schema.names, row_values(instead_of, schema), strict=True))
    written |= cells
    if instead_of is not None and schema.keyed and not str(written.get("key") or "").strip():
        written["key"] = instead_of.key
    sheet = Sheet(table, 1, tuple(written), ((_ROW, tuple(map(literal, written.values()))),))
    taken = frozenset(one.key for one in others if schema.keyed)
    how = reading or reading_of(holding)
    read, problems = read_rows(sheet, schema, how, find, suggest, taken)
    row = read.rows[0]
    problems += table_problems({**_keys(holding, table, others), table: _with(read, others)})
    made = made_row(row, read, portion, problems) if row.whole else None
    if made is not None:
        problems += day_problems([read], {table: {_ROW: made}}, latest_day(holding.as_of))
        problems += _agreement(table, made, instead_of, others, holding)
    if problems:
        order = {name: place for place, name in enumerate(schema.names)}
        problems.sort(key=lambda one: order.get(one.column or "", -1))
        raise BadInput([replace(one, row=None) for one in problems])
    return made


def _others(holding: Holding, table: str, row: Any) -> list[Any]:
    """The rows of the table beside that one."""
    rows: list[Any] = list(getattr(holding, table))
    if row is not None:
        if row not in rows:
            raise ValueError(f"no such row in {table}")
        rows.remove(row)
    return rows


def _keys(holding: Holding, table: str, others: list[Any]) -> dict[str, Table]:
    """The keyed tables as far as other rows may refer to them: their keys and nothing else."""
    return {
        name: _bare(name, others if name == table else getattr(holding, name))
        for name in KEYED_TABLES
        if name in NAMED_BY
    }


def _bare(name: str, rows: Any) -> Table:
    bare = (Row(0, {"key": row.key}, whole=False) for row in rows)
    return Table(name, table_schema(name), tuple(bare))


def _with(read: Table, others: list[Any]) -> Table:
    """The table with the row just read and the bare keys of the others."""
    if not read.schema.keyed:
        return read
    return replace(read, rows=(*read.rows, *_bare(read.schema.name, others).rows), usable=True)


def _agreement(
    table: str, made: Any, before: Any, others: list[Any], holding: Holding
) -> list[Problem]:
    """What a row, well read by itself, cannot be together with the rest of the holding."""
    beds = {bed.key: bed for bed in holding.beds}
    if table == "plantings":
        return planting_problems(table, {_ROW: made}, beds)
    if table == "aims":
        return household_problems(table, {_ROW: made}, holding.people)
    if table == "beds":
        named = [one for one in holding.plantings if before and one.bed == before.key]
        return list(_too_short(made, named))
    if table == "lots":
        moves = [move for move in holding.lot_moves if before and move.lot == before.key]
        return list(_lot_problems(made, moves))
    if table == "lot_moves":
        lots = {lot.key: lot for lot in holding.lots if lot.key == made.lot}
        numbered = {_ROW + number: move for number, move in enumerate([made, *others])}
        return account_problems(table, numbered, lots)
    return []


def _too_short(bed: Bed, plantings: list[HandPlanting]) -> Iterator[Problem]:
    """A bed that its plantings reach beyond the end of."""
    inside = {row: replace(one, bed=bed.key) for row, one in enumerate(plantings)}
    beyond = planting_problems("plantings", inside, {bed.key: bed})
    if beyond:
        sticking = [inside[problem.row or 0] for problem in beyond]
        ends = [(one.start_m or 0.0) + (one.length_m or 0.0) for one in sticking]
        found = f"{bed.length_m:g} m, but the planting {sticking[0].key} reaches beyond"
        yield Problem("beds", None, "length_m", found, f"at least {max(ends):g} m")


def _lot_problems(lot: Lot, moves: list[LotMove]) -> Iterator[Problem]:
    """A lot whose key, amount or unit its moves and descendants do not agree with."""
    if ";" in lot.key:
        yield Problem("lots", None, "key", f'"{lot.key}"', "a key without a semicolon")
    own = {row: replace(move, lot=lot.key) for row, move in enumerate(moves)}
    for problem in account_problems("lot_moves", own, {lot.key: lot}):
        move = own[problem.row or 0]
        if problem.column == "unit":
            found = f'"{lot.unit}", but its moves are in {move.unit}'
            yield Problem("lots", None, "unit", found, "the unit that its moves are in")
            return
        found = f"{lot.amount or 0:g} {lot.unit}, of which {-move.change} {move.unit}"
        found += f" could not go out on {move.day}"
        yield Problem("lots", None, "amount", found, "at least as much as went out")
