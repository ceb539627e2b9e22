"""Bytes of a table into named text columns, and text into numbers and days, a column at a time.

Nothing here knows what a weather file is; rows are counted as a person sees them in an editor.
"""

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from perennate.terms import BadInput, Problem

if TYPE_CHECKING:
    # slow to start, so fetched only where a file is read
    import polars as pl

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Days = NDArray[np.datetime64]
DateOrder = Literal["day first", "month first"]

MISSING_WORDS = frozenset(
    ("", "-", "--", "---", "na", "n/a", "nan", "null", "none", "m", "missing", ".", "*", "\u2013")
)
_SPACES = "[\\s\u00a0\u202f\u2009]"
_MONTHLY = (
    r"^(\d{4}[-/.]\d{1,2}|\d{1,2}[-/.]\d{4}|\d{4}|\p{L}{3,}\.?[- ]?\d{2,4}|\d{4}[- ]?\p{L}{3,})$"
)
_FIRST_DAY, _LAST_DAY = np.datetime64("1700-01-01"), np.datetime64("2300-01-01")
_SHOWN = 20


@dataclass(frozen=True)
class Table:
    """Text columns under their names as the file has them; `first_row` is the row of the first
    line of data."""

    file: str
    columns: "dict[str, pl.Series]"
    first_row: int

    def row(self, index: int) -> int:
        return self.first_row + index

    def first(self, column: str | None) -> str:
        """The first cell of a column, stripped; empty where there is none."""
        cells = None if column is None else self.columns.get(column)
        first = None if cells is None or not len(cells) else cells[0]
        return "" if first is None else str(first).strip()

    def problems(self, column: str, faulty: Bools, expected: str) -> list[Problem]:
        """One problem for each faulty cell, as far as a person would read on."""
        at = np.flatnonzero(faulty)
        cells = self.columns[column]
        found = [
            Problem(self.file, self.row(i), column, repr(cells[i]), expected)
            for i in at[:_SHOWN].tolist()
        ]
        if at.size > _SHOWN:
            more = f"{at.size - _SHOWN} more cells like these"
            found.append(Problem(self.file, None, column, more, expected))
        return found


def decoded(data: bytes, file: str) -> bytes:
    """The file as UTF-8 without byte order mark; UTF-16 and Windows-1252 are turned into it."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        data = data.decode("utf-16", errors="replace").encode()
    elif data.startswith(b"\xef\xbb\xbf"):
        data = data[3:]
    if not data.isascii():
        try:
            data.decode("utf-8")
        except UnicodeDecodeError:
            data = data.decode("cp1252", errors="replace").encode()
    if b"\r" in data and b"\n" not in data:
        data = data.replace(b"\r", b"\n")
    if not data or data.isspace():
        raise BadInput([Problem(file, None, None, "an empty file", "daily weather")])
    return data


def line_at(data: bytes, start: int) -> tuple[str, int]:
    """The line that begins at `start`, and where the next one begins."""
    end = data.find(b"\n", start)
    end = len(data) if end < 0 else end
    return data[start:end].decode().rstrip("\r"), min(end + 1, len(data))


def separator_of(line: str) -> str:
    """The character that parts the fields of a header line."""
    bare = re.sub(r'"[^"]*"', "", line)
    return max(",;\t|", key=bare.count)


def fields_of(line: str, separator: str) -> list[str]:
    """The fields of one line, unquoted and stripped."""
    try:
        return [
            cell.strip()
            for cell in next(csv.reader([line.replace("\r", " ")], delimiter=separator), [])
        ]
    except csv.Error:
        return [line.strip()]


def read_table(
    data: bytes,
    file: str,
    start: int,
    wanted: Sequence[str] | None = None,
    end: int | None = None,
    measures: Sequence[str] = (),
    dated: str | None = None,
) -> Table:
    """The table whose header line begins at `start`; only the `wanted` columns are read.

    `measures` and `dated` name columns that hold numbers and days: in a clean file they are read
    as such at once, which is several times faster; else all columns stay text. Raises BadInput
    when the bytes hold no table there.
    """
    import polars as pl

    header, body = line_at(data, start)
    separator = separator_of(header)
    names = fields_of(header, separator)
    twice = sorted({name for name in names if name and names.count(name) > 1})
    keep = [i for i, name in enumerate(names) if wanted is None or name in wanted]
    if twice and any(names[i] in twice for i in keep):
        found = f"columns named twice: {', '.join(twice)}"
        raise BadInput([Problem(file, None, None, found, "each column once")])
    first_row = data.count(b"\n", 0, body) + 1
    rows = data[body:end]
    if not keep or not rows or rows.isspace():
        columns = {names[i]: pl.Series(names[i], [], dtype=pl.String) for i in keep}
        return Table(file, columns, first_row)
    too_wide = _too_wide(rows, separator, len(names))
    if too_wide:
        expected = f"{len(names)} cells; a decimal comma needs semicolons between the cells"
        raise BadInput(
            Problem(file, first_row + i, None, repr(row[:80]), expected) for i, row in too_wide
        )
    text = dict.fromkeys(range(len(names)), pl.String())
    clean: dict[int, pl.DataType] = {i: pl.Float64() for i in keep if names[i] in measures}
    if dated is not None and _begins_with_iso_day(rows, separator, names.index(dated)):
        clean[names.index(dated)] = pl.Date()
    try:
        try:
            frame = _frame(rows, separator, text | clean, keep)
        except pl.exceptions.PolarsError:
            frame = _frame(rows, separator, text, keep)
    except pl.exceptions.PolarsError as error:
        fault = Problem(file, None, None, str(error).splitlines()[0], "a table of text")
        raise BadInput([fault]) from error
    return Table(file, {names[i]: frame[f"c{i}"] for i in keep}, first_row)


def _frame(
    rows: bytes, separator: str, types: "Mapping[int, pl.DataType]", keep: Sequence[int]
) -> "pl.DataFrame":
    import polars as pl

    return pl.read_csv(
        rows,
        separator=separator,
        has_header=False,
        truncate_ragged_lines=True,
        schema={f"c{i}": kind for i, kind in types.items()},
        columns=keep,
        extra_columns="ignore",
    )


def _too_wide(rows: bytes, separator: str, width: int) -> list[tuple[int, str]]:
    """Rows with more cells than there are headings, empty ones behind not counted.

    Counts first and looks at rows only when there are separators to spare, since a file is
    seldom at fault. In a quoted file only the first row is looked at.
    """
    mark = separator.encode()
    if b'"' in rows:
        candidates = [line_at(rows, 0)[0]]
    elif rows.count(mark) > (width - 1) * (rows.count(b"\n") + 1):
        candidates = rows.decode().splitlines()
    else:
        return []
    found = []
    for i, row in enumerate(candidates):
        cells = fields_of(row, separator)
        if any(cells[width:]):
            found.append((i, row))
    return found[:_SHOWN]


def _begins_with_iso_day(rows: bytes, separator: str, place: int) -> bool:
    """Whether the first row's day is yyyy-mm-dd; other forms are not left to a guess."""
    line, _ = line_at(rows, 0)
    cells = fields_of(line, separator)
    return len(cells) > place and re.fullmatch(r"\d{4}-\d\d-\d\d", cells[place]) is not None


def number(cell: object) -> float | None:
    """One cell as a number, None where it is none."""
    try:
        value = float(str(cell))
    except ValueError:
        return None
    return value if np.isfinite(value) else None


def coded(values: Floats, codes: Sequence[float]) -> Floats:
    """The values, NaN where one of the missing codes stands. Codes lie at 99 or beyond."""
    far = np.abs(values) >= 99.0
    if far.any():
        values[far & np.isin(values, codes)] = np.nan
    return values


def numbers(column: "pl.Series") -> tuple[Floats, Bools | None]:
    """The column as numbers, NaN where missing, and which cells are neither (None: no cell).

    Takes decimal commas, blanks around, a degree sign or unit behind is not taken.
    """
    import polars as pl

    if column.dtype == pl.Float64:
        return np.array(column.to_numpy(), dtype=np.float64), None
    values = column.cast(pl.Float64, strict=False)
    faulty: Bools | None = None
    if values.null_count() > column.null_count():
        text = column.str.strip_chars()
        values = text.cast(pl.Float64, strict=False)
        if values.null_count() > text.null_count():
            text = text.str.replace_all(_SPACES, "").str.replace(",", ".", literal=True)
            text = text.str.replace("\u2212", "-", literal=True)
            values = text.cast(pl.Float64, strict=False)
        left = values.is_null() & text.is_not_null()
        if left.any():
            missing = text.str.to_lowercase().is_in(list(MISSING_WORDS))
            odd = (left & ~missing).to_numpy()
            faulty = odd if odd.any() else None
    return np.array(values.to_numpy(), dtype=np.float64), faulty


@dataclass(frozen=True)
class DayColumn:
    """Days (NaT where there is none), and which cells are no day or stand for a whole month."""

    days: Days
    faulty: Bools
    monthly: Bools
    order_unknown: bool = False


def days(column: "pl.Series", order: DateOrder | None = None) -> DayColumn:
    """The column as days.

    Takes yyyy-mm-dd, yyyy/mm/dd, yyyymmdd, dd.mm.yyyy, and d/m/yyyy or m/d/yyyy where a day
    above 12 in the column, or `order`, tells which; a time of day behind is left off and
    a remark behind # is no day.
    """
    import polars as pl

    nothing = np.zeros(len(column), dtype=np.bool_)
    if column.dtype == pl.Date:
        return _within(column, None, nothing)
    found = column.str.to_date("%Y-%m-%d", strict=False)
    if found.null_count() == 0:
        return _within(found, nothing, nothing)
    text = column.str.replace(r"[T ]\d{1,2}:\d{2}.*$", "").str.strip_chars()
    text = text.str.replace(r"^#.*$", "")
    text = text.str.replace_all("/", "-", literal=True).str.replace_all(".", "-", literal=True)
    blank = text.is_null() | (text == "")
    slashed = ~blank & text.str.contains(r"^\d{1,2}-\d{1,2}-\d{4}$")
    unknown = False
    if slashed.any():
        dotted = column.str.contains(".", literal=True)
        first = text.str.extract(r"^(\d{1,2})-").cast(pl.Int64, strict=False)
        second = text.str.extract(r"^\d{1,2}-(\d{1,2})-").cast(pl.Int64, strict=False)
        day_first = bool((slashed & (dotted | (first > 12))).any())
        month_first = bool((slashed & ~dotted & (second > 12)).any())
        if order is not None:
            day_first, month_first = order == "day first", order == "month first"
        unknown = day_first == month_first
        written = "%m-%d-%Y" if month_first else "%d-%m-%Y"
        other = text.set(~slashed, None).str.to_date(written, strict=False)
    else:
        other = pl.Series([None] * len(column), dtype=pl.Date)
    dashed = text.str.to_date("%Y-%m-%d", strict=False)
    packed = text.set(~(text.str.contains(r"^\d{8}$").fill_null(False)), None)
    packed = packed.str.to_date("%Y%m%d", strict=False)
    found = other.zip_with(slashed, dashed.zip_with(dashed.is_not_null(), packed))
    monthly = found.is_null() & ~blank & text.str.contains(_MONTHLY).fill_null(False)
    return _within(found, blank.to_numpy(), monthly.to_numpy(), unknown)


def _within(
    found: "pl.Series", blank: Bools | None, monthly: Bools, unknown: bool = False
) -> DayColumn:
    values = np.array(found.to_numpy(), dtype="datetime64[D]")
    blank = np.isnat(values) if blank is None else blank
    with np.errstate(invalid="ignore"):
        outside = ~((values >= _FIRST_DAY) & (values < _LAST_DAY))
    values[outside] = np.datetime64("NaT")
    return DayColumn(values, outside & ~blank & ~monthly, monthly, unknown)
