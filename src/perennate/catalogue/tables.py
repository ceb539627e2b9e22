"""Rows of a CSV table with their line numbers, and one list of everything wrong with them."""

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from importlib.resources.abc import Traversable
from typing import get_args

from perennate.terms import Basis, Estimate, Problem

BASES: tuple[str, ...] = get_args(Basis)


@dataclass(frozen=True, slots=True)
class Row:
    """One row: `line` counts as a spreadsheet does, the header being row 1."""

    line: int
    cells: Mapping[str, str]

    def __getitem__(self, column: str) -> str:
        return self.cells[column]


@dataclass(slots=True)
class Table:
    """A table being read; every fault found is added to `problems`."""

    name: str
    problems: list[Problem]
    _seen: dict[tuple[str, ...], int] = field(default_factory=dict)

    def rows(self, folder: Traversable, columns: Sequence[str]) -> Iterator[Row]:
        """Every row; nothing but a problem when the file or one of the columns is missing."""
        place = folder / self.name
        if not place.is_file():
            self.problems.append(Problem(self.name, None, None, "no such file", "a CSV table"))
            return
        with place.open("r", encoding="utf-8") as lines:
            reader = csv.reader(lines)
            header = next(reader, [])
            lacking = [column for column in columns if column not in header]
            for column in lacking:
                self.problems.append(
                    Problem(self.name, 1, column, "no such column", "the column in the header")
                )
            if lacking:
                return
            for line, cells in enumerate(reader, start=2):
                if len(cells) != len(header):
                    self.wrong(line, None, f"{len(cells)} cells", f"{len(header)} cells")
                    continue
                yield Row(line, dict(zip(header, cells, strict=True)))

    def wrong(self, line: int, column: str | None, found: str, expected: str) -> None:
        self.problems.append(Problem(self.name, line, column, found or "nothing", expected))

    def first_time(self, row: Row, *columns: str) -> bool:
        """Whether these columns' values have not stood together in an earlier row."""
        key = tuple(row[column] for column in columns)
        earlier = self._seen.setdefault(key, row.line)
        if earlier != row.line:
            self.wrong(
                row.line, columns[-1], " / ".join(key), f"once only; it stands in row {earlier} too"
            )
        return earlier == row.line

    def filled(self, row: Row, *columns: str) -> bool:
        """Whether every one of the columns says something."""
        empty = [column for column in columns if not row[column].strip()]
        for column in empty:
            self.wrong(row.line, column, "nothing", "a value")
        return not empty

    def one_of(self, row: Row, column: str, allowed: Sequence[str]) -> bool:
        good = row[column] in allowed
        if not good:
            self.wrong(row.line, column, row[column], f"one of: {', '.join(allowed)}")
        return good

    def sourced(self, row: Row, sources: Mapping[str, object]) -> bool:
        """Whether the row names known sources and its basis."""
        good = True
        keys = [key.strip() for key in row["source"].split(";")]
        if not row["source"].strip():
            self.wrong(row.line, "source", "nothing", "the key of a source")
            good = False
        else:
            for key in keys:
                if key not in sources:
                    self.wrong(row.line, "source", key, "a key of sources.csv")
                    good = False
        return self.one_of(row, "basis", BASES) and good

    def number(self, row: Row, column: str) -> float | None:
        """The cell as a finite number; None, with a problem, when it is none."""
        try:
            value = float(row[column])
        except ValueError:
            value = float("nan")
        if value != value or value in (float("inf"), float("-inf")):
            self.wrong(row.line, column, row[column], "a number with a decimal point")
            return None
        return value

    def estimate(
        self, row: Row, columns: tuple[str, str, str], unit: str, basis: str
    ) -> Estimate | None:
        """The estimate in three columns (value, low, high); None, with problems, when faulty."""
        value, low, high = (self.number(row, column) for column in columns)
        if value is None or low is None or high is None:
            return None
        if not low <= value <= high:
            self.wrong(
                row.line, columns[0], f"{low:g}, {value:g}, {high:g}", "low <= value <= high"
            )
            return None
        if basis not in BASES or not row["source"].strip():
            return None
        return Estimate(value, low, high, unit, row["source"], basis)  # type: ignore[arg-type]
