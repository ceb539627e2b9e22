"""A holding as one .xlsx workbook: the sheet `holding` with the settings, then a sheet a table."""

import contextlib
import io
import os
import tempfile
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from perennate.holding.cells import Cell, CellError, as_text, guard, nearest
from perennate.holding.schema import SCHEMAS, TABLES
from perennate.holding.settings import LISTS, RowOf
from perennate.holding.sheets import Sheet, sheet_of
from perennate.terms import BadInput, Problem

_HEADING = ("setting", "value")
_FORMULA_SIGNS = ("=", "+", "-", "@")


def open_workbook(
    path: Path,
) -> tuple[Mapping[str, Any] | None, RowOf, dict[str, Sheet | None], list[Problem]]:
    """The settings as a nested mapping, their rows, and the tables. BadInput when it is none."""
    # openpyxl is slow to start, and most holdings are folders
    from openpyxl import load_workbook

    try:
        book = load_workbook(path, data_only=True)
    except FileNotFoundError:
        raise BadInput([Problem(path.name, None, None, "no such file", "a workbook")]) from None
    except Exception:  # a broken workbook makes the library fail in ways that it does not name
        found = "something that is no workbook"
        raise BadInput([Problem(path.name, None, None, found, "an .xlsx workbook")]) from None
    said: dict[str, Any] | None = None
    rows: dict[tuple[int | str, ...], int] = {}
    sheets: dict[str, Sheet | None] = {}
    problems: list[Problem] = []
    for tab in book.worksheets:
        name = tab.title.strip().casefold().replace(" ", "_")
        file = f"{path.name}, sheet {tab.title}"
        cells = [[_cell(value) for value in row] for row in tab.iter_rows(values_only=True)]
        if name == "holding":
            said, rows, wrong = _settings(file, cells)
            problems += wrong
        elif name in TABLES and name not in sheets:
            sheets[name], wrong = sheet_of(file, cells)
            problems += wrong
        elif any(cell is not None for row in cells for cell in row):
            near = nearest(name, ("holding", *SCHEMAS))
            expected = f"a sheet named holding or one of {', '.join(TABLES)}"
            expected += f"; did you mean {near[0]}?" if near else ""
            problems.append(Problem(file, None, None, "an unknown sheet", expected))
    if said is None and not any(problem.file.endswith("sheet holding") for problem in problems):
        expected = "a sheet named holding with the settings"
        problems.append(Problem(path.name, None, None, "no such sheet", expected))

    def row_of(place: tuple[int | str, ...]) -> int | None:
        while place:
            found = rows.get(place)
            if found is not None:
                return found
            place = place[:-1]
        return None

    return said, row_of, sheets, problems


def _cell(value: Any) -> Cell:
    if value is None or isinstance(value, str | int | float | date):
        return value
    return str(value)


def _settings(
    file: str, cells: list[list[Cell]]
) -> tuple[dict[str, Any] | None, dict[tuple[int | str, ...], int], list[Problem]]:
    sheet, problems = sheet_of(file, cells)
    if sheet is None:
        return None, {}, problems
    if tuple(str(cell).strip().casefold() for cell in sheet.header[:2]) != _HEADING:
        expected = "the columns setting and value"
        return None, {}, [Problem(file, sheet.header_row, None, "other columns", expected)]
    said: dict[str, Any] = {}
    rows: dict[tuple[int | str, ...], int] = {}
    for number, row in sheet.rows:
        name, value = as_text(row[0]), row[1] if len(row) > 1 else None
        if not name or value is None or value == "":
            continue
        with contextlib.suppress(CellError):
            value = as_text(value) if isinstance(value, str) else value
        place = tuple(int(part) - 1 if part.isdecimal() else part for part in name.split("."))
        if place in rows and place not in LISTS:
            problems.append(Problem(file, number, name, "a second value", "one value"))
            continue
        rows.setdefault(place, number)
        if not _put(said, place, value):
            expected = "a name such as site.latitude_deg or people.1.age_years"
            problems.append(Problem(file, number, "setting", f'"{name}"', expected))
    people = said.get("people")
    if isinstance(people, dict):
        said["people"] = [people[number] for number in sorted(people)]
    return said, rows, problems


def _put(said: dict[str, Any], place: tuple[int | str, ...], value: Any) -> bool:
    """Put a value at its place; False when the place is none that settings can have."""
    numbered = len(place) == 3 and place[0] == "people" and isinstance(place[1], int)
    if not numbered and (len(place) != 2 or not all(isinstance(part, str) for part in place)):
        return False
    part = said
    for step in place[:-1]:
        part = part.setdefault(step, {})  # type: ignore[arg-type]
    last = str(place[-1])
    if place in LISTS:
        part.setdefault(last, []).append(value)
    else:
        part[last] = value
    return True


def write_rows(path: Path, said: Mapping[str, Any], tables: Mapping[str, list[list[Cell]]]) -> None:
    """Write the workbook of `rows_bytes`; the file appears whole or not at all."""
    handle, staged = tempfile.mkstemp(suffix=".xlsx", prefix=f".{path.stem}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(rows_bytes(said, tables))
        os.replace(staged, path)
    except BaseException:
        Path(staged).unlink(missing_ok=True)
        raise


def rows_bytes(said: Mapping[str, Any], tables: Mapping[str, list[list[Cell]]]) -> bytes:
    """A workbook: `said` as the sheet holding, the rows of each table with its header."""
    from openpyxl import Workbook
    from openpyxl.styles import Font

    book = Workbook()
    book.remove(book.worksheets[0])
    settings: list[list[Cell]] = [list(_HEADING)]
    settings += [[".".join(place), value] for place, value in _flat(said)]
    for name, rows in {"holding": settings, **tables}.items():
        tab = book.create_sheet(name)
        for number, row in enumerate(rows, 1):
            for column, value in enumerate(row, 1):
                _write(tab.cell(number, column), value)
        for cell in tab[1]:
            cell.font = Font(bold=True)
            tab.column_dimensions[cell.column_letter].width = 28 if name == "holding" else 14
        tab.freeze_panes = "A2"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _flat(said: Mapping[str, Any]) -> list[tuple[tuple[str, ...], Cell]]:
    flat: list[tuple[tuple[str, ...], Cell]] = []
    for section, part in said.items():
        if isinstance(part, list):
            for number, one in enumerate(part, 1):
                flat += [((section, str(number), name), value) for name, value in one.items()]
            continue
        for name, value in part.items():
            values = value if isinstance(value, tuple | list) else [value]
            flat += [((section, name), one) for one in values]
    return flat


def _write(cell: Any, value: Cell) -> None:
    if isinstance(value, float) and float(f"{value:.16g}") != value:
        # openpyxl writes sixteen digits; a number that needs the seventeenth goes in as text.
        value = format(Decimal(repr(value)), "f")
    if isinstance(value, str):
        if not value:
            return
        # A text stays a text here, so only what reads as guarded already needs a guard.
        cell.value = value if value[:1] in _FORMULA_SIGNS else guard(value)
        cell.data_type = "s"
        cell.number_format = "@"
        cell.quotePrefix = value[:1] in _FORMULA_SIGNS
        return
    cell.value = value
    if isinstance(value, date) and not isinstance(value, datetime):
        cell.number_format = "yyyy-mm-dd"
