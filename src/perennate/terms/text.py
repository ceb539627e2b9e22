"""A sentence not yet put into words: a code and its parameters."""

from dataclasses import dataclass
from datetime import date

Value = str | int | float | date


@dataclass(frozen=True, slots=True)
class Text:
    """A code with parameters, put into words only where people read it."""

    code: str
    params: tuple[tuple[str, Value], ...] = ()


def text(code: str, **params: Value) -> Text:
    """A Text with its parameters in order of name, so that equal texts compare equal."""
    return Text(code, tuple(sorted(params.items())))
