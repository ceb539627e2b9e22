"""A plan as a workbook: typed cells, one sheet a table, the same bytes for the same plan.

Text is always written as text, since a spreadsheet would run what begins with = + - @ as a
formula, and names of plants do begin so (graft-chimaeras with +).
"""

import io
import re
import zipfile
from collections.abc import Mapping
from datetime import datetime, time
from typing import Any

from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE, Cell
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from perennate.outputs.table import Table
from perennate.outputs.tables import plan_tables
from perennate.planning.plan import Plan

_OLDEST_ZIP_YEAR = 1980
_RUNS_AS_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_LONGEST_CELL = 32_767
_WIDEST = 60
_NARROWEST = 8
_FORMATS: Mapping[str, str] = {
    "day": "yyyy-mm-dd",
    "share": "0%",
    "number": "0.0##",
    "whole": "0",
    "text": "@",
}
_HEAD = Font(bold=True)
_LINE = Border(bottom=Side(style="thin"))
_MEMORY = Font(italic=True)
_WRAPPED = Alignment(wrap_text=True, vertical="top")
_TOP = Alignment(vertical="top")


def plan_xlsx(plan: Plan, names: Mapping[str, str] | None = None) -> bytes:
    """The workbook: a sheet for each of `plan_tables`."""
    book = Workbook()
    book.remove(book.active)
    made = datetime.combine(plan.as_of, time())
    book.properties.creator = "Perennate"
    book.properties.title = plan.holding.name
    book.properties.created = made
    for table in plan_tables(plan, names):
        _fill(book.create_sheet(table.title), table)
    buffer = io.BytesIO()
    book.save(buffer)
    return _without_clock(buffer.getvalue(), made)


def _fill(sheet: Worksheet, table: Table) -> None:
    for place, column in enumerate(table.columns, start=1):
        head = sheet.cell(row=1, column=place)
        _write(head, column.heading, "text")
        head.font = _HEAD
        head.border = _LINE
        head.alignment = _WRAPPED
        sheet.column_dimensions[get_column_letter(place)].width = _width(table, place - 1)
    for line, row in enumerate(table.rows, start=2):
        for place, (column, value) in enumerate(zip(table.columns, row.values, strict=True), 1):
            cell = sheet.cell(row=line, column=place)
            _write(cell, value, column.form)
            if row.from_memory and column.form == "number":
                cell.font = _MEMORY
            if value is not None:
                cell.alignment = _WRAPPED if column.form == "text" else _TOP
    sheet.freeze_panes = "A2"
    if table.rows:
        last = get_column_letter(len(table.columns))
        sheet.auto_filter.ref = f"A1:{last}{len(table.rows) + 1}"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.print_title_rows = "1:1"


def _write(cell: Cell, value: Any, form: str) -> None:
    if value is None:
        return
    if isinstance(value, str):
        cell.value = ILLEGAL_CHARACTERS_RE.sub("", value)[:_LONGEST_CELL]
        cell.data_type = "s"
        if value.startswith(_RUNS_AS_FORMULA):
            cell.quotePrefix = True
        return
    cell.value = value
    cell.number_format = _FORMATS[form]


def _width(table: Table, place: int) -> float:
    column = table.columns[place]
    longest = max((len(_as_seen(row.values[place])) for row in table.rows), default=0)
    heading = max((len(part) for part in column.heading.split()), default=0)
    return float(min(_WIDEST, max(_NARROWEST, longest + 2, heading + 4)))


def _as_seen(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:.2f}"
    return str(value)


def _without_clock(data: bytes, made: datetime) -> bytes:
    """The same archive with the plan's day in place of the time at which it was written."""
    stamp = (max(made.year, _OLDEST_ZIP_YEAR), made.month, made.day, 0, 0, 0)
    settled = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as written,
        zipfile.ZipFile(settled, "w", zipfile.ZIP_DEFLATED) as out,
    ):
        for name in sorted(written.namelist(), key=lambda name: (name != _FIRST_PART, name)):
            content = written.read(name)
            if name == "docProps/core.xml":
                when = made.strftime("%Y-%m-%dT%H:%M:%SZ").encode()
                content = _MODIFIED.sub(rb"\g<1>" + when + rb"\g<2>", content)
            entry = zipfile.ZipInfo(name, stamp)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            out.writestr(entry, content)
    return settled.getvalue()


_FIRST_PART = "[Content_Types].xml"
_MODIFIED = re.compile(rb"(<dcterms:modified[^>]*>)[^<]*(</dcterms:modified>)")
