"""Tables as rows of cells: text files of any usual kind, and the sheets of a workbook."""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from perennate.holding.cells import Cell, CellError, as_text, guard
from perennate.terms import Problem

_LIKE_THOUSANDS = re.compile(r"-?[1-9]\d{0,2}\.\d{3}")
_DELIMITERS = (",", ";", "\t", "|")


@dataclass(frozen=True, slots=True)
class Sheet:
    """A header and rows with their number in the file; rows of notes and empty rows left out."""

    file: str
    header_row: int
    header: tuple[Cell, ...]
    rows: tuple[tuple[int, tuple[Cell, ...]], ...]


def sheet_of(
    file: str, rows: Iterable[Sequence[Cell]], first_row: int = 1, notes: bool = True
) -> tuple[Sheet | None, list[Problem]]:
    """The sheet of these rows; the first row that is not empty is the header.

    Rows whose first cell begins with "# " are passed over where there may be `notes`.
    """
    kept: list[tuple[int, tuple[Cell, ...]]] = []
    for number, row in enumerate(rows, first_row):
        cells = tuple(row)
        if not all(_blank(cell) for cell in cells) and not (notes and _is_note(cells[0])):
            kept.append((number, cells))
    if not kept:
        return None, [Problem(file, None, None, "nothing", "a row with the names of the columns")]
    return Sheet(file, kept[0][0], kept[0][1], tuple(kept[1:])), []


def read_csv(path: Path, columns: Sequence[str]) -> tuple[Sheet | None, list[Problem]]:
    """The sheet of a text file: UTF-8, UTF-16 with a mark, else Windows-1252; any usual separator.

    `columns` are the names that the header may hold; they tell which separator is meant.
    """
    text, problem = _decoded(path)
    if problem is not None:
        return None, [problem]
    first_row = 1
    told = re.match(r'"?sep=(.)"?\r?\n?', text)
    if told:
        text, first_row = text[told.end() :], 2
    separator = told[1] if told else _separator(text, columns)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[list[str]] = []
    try:
        for row in reader:
            rows.append(row)
    except csv.Error:
        return None, [
            Problem(
                path.name,
                len(rows) + first_row,
                None,
                "a quotation mark that is not closed, or text after one that is",
                'cells with a quotation mark in them written as "so ""quoted"" here"',
            )
        ]
    return sheet_of(path.name, rows, first_row)


def csv_text(rows: Iterable[Sequence[Cell]]) -> str:
    """The rows as RFC 4180 text; texts that a spreadsheet might run are guarded."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    for row in rows:
        writer.writerow([_written(cell) for cell in row])
    return out.getvalue()


def _written(cell: Cell) -> str:
    """The cell as text; texts are guarded."""
    if isinstance(cell, str):
        return guard(cell)
    if not isinstance(cell, float) or cell.is_integer():
        return as_text(cell)
    return in_one_way(format(Decimal(repr(cell)), "f"))


def in_one_way(plain: str) -> str:
    """A number with a decimal point, written so that nobody takes it for a thousands sign."""
    return f"{plain}0" if _LIKE_THOUSANDS.fullmatch(plain) else plain


def _decoded(path: Path) -> tuple[str, Problem | None]:
    data = path.read_bytes()
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings: tuple[str, ...] = ("utf-16",)
    else:
        encodings = ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            return data.decode(encoding), None
        except UnicodeDecodeError as error:
            at = error.start
    row = data.count(b"\n", 0, at) + 1
    found = f"the byte {data[at]:#04x}"
    return "", Problem(path.name, row, None, found, "text saved as UTF-8")


def _separator(text: str, columns: Sequence[str]) -> str:
    lines = (line for line in text.splitlines() if line.strip() and not line.startswith("# "))
    header = next(lines, "")

    def known(separator: str) -> int:
        cells = next(csv.reader([header], delimiter=separator), [])
        return len({cell.strip().casefold() for cell in cells}.intersection(columns))

    return max(_DELIMITERS, key=lambda separator: (known(separator), header.count(separator)))


def _blank(cell: Cell) -> bool:
    if isinstance(cell, str):
        try:
            return not as_text(cell)
        except CellError:
            return False
    return cell is None


def _is_note(cell: Cell) -> bool:
    return isinstance(cell, str) and cell.lstrip(' "').startswith("# ")
