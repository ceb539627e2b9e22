"""A table of values with typed columns, as workbooks and other sheets take it."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

Form = Literal["text", "number", "whole", "share", "day"]
Value = str | float | int | date | None


@dataclass(frozen=True, slots=True)
class Column:
    heading: str
    form: Form


@dataclass(frozen=True, slots=True)
class Row:
    values: tuple[Value, ...]
    from_memory: bool = False
    """The row's figures rest on memory, which is shown in italics."""


@dataclass(frozen=True, slots=True)
class Table:
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
