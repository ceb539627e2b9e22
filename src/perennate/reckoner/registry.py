"""One registry of single answers to single questions.

A reckoner is a function with typed keyword arguments, declared once with its inputs; the command,
and whatever else asks, reach it by name with what was typed.
"""

import inspect
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from perennate.catalogue.model import Catalogue, Crop
from perennate.catalogue.names import find_crop, suggestions
from perennate.catalogue.reader import load_catalogue
from perennate.reckoner.quantities import (
    UnreadableError,
    read_month_day,
    read_quantity,
)
from perennate.terms import BadInput, Problem, Text

Kind = Literal["float", "int", "choice", "crop", "month-day", "text"]
Value = float | int | date | str


@dataclass(frozen=True, slots=True)
class Input:
    """One thing a reckoner asks. `unit` is what a bare number means and what the function gets.

    `default` is as typed; None means that it may be left out (`optional`) or must be given.
    Its help is the text "reckoner.<reckoner>.<input>".
    """

    name: str
    kind: Kind
    unit: str = ""
    low: float | None = None
    high: float | None = None
    default: str | None = None
    optional: bool = False
    choices: tuple[str, ...] = ()

    @property
    def required(self) -> bool:
        return self.default is None and not self.optional


@dataclass(frozen=True, slots=True)
class Answer:
    """What a reckoner says: the value with its spread, how it came, from what, and what to mind.

    `low` and `high` are None where a spread has no meaning. `sources` are keys of the
    catalogue's sources or of the formulas' references.
    """

    name: str
    value: Value
    low: Value | None
    high: Value | None
    unit: str
    working: tuple[Text, ...]
    sources: tuple[str, ...]
    cautions: tuple[Text, ...] = ()


@dataclass(frozen=True, slots=True)
class Reckoner:
    """A registered question. Its title is the text "reckoner.<name>"."""

    name: str
    inputs: tuple[Input, ...]
    function: Callable[..., Sequence[Answer]]


_A_CROP = "a crop of the catalogue"

RECKONERS: dict[str, Reckoner] = {}


def reckoner(
    name: str, inputs: Sequence[Input]
) -> Callable[[Callable[..., Sequence[Answer]]], Callable[..., Sequence[Answer]]]:
    """Registers a function whose keyword arguments are the inputs, and `catalogue` if it asks.

    Raises ValueError when name or arguments do not match.
    """

    def register(function: Callable[..., Sequence[Answer]]) -> Callable[..., Sequence[Answer]]:
        asked = set(inspect.signature(function).parameters) - {"catalogue"}
        declared = {item.name for item in inputs}
        if asked != declared or len(declared) != len(inputs):
            raise ValueError(f"{name}: declares {sorted(declared)}, takes {sorted(asked)}")
        if name in RECKONERS:
            raise ValueError(f"{name} is registered twice")
        RECKONERS[name] = Reckoner(name, tuple(inputs), function)
        return function

    return register


def run(name: str, given: Mapping[str, str], catalogue: Catalogue | None = None) -> list[Answer]:
    """Answers of one reckoner to what was typed.

    Raises BadInput with every problem at once: a reckoner or input that is not known, one that
    is missing, unreadable, of a wrong unit or out of its range.
    """
    found = RECKONERS.get(name)
    if found is None:
        known = ", ".join(sorted(RECKONERS))
        raise BadInput([Problem("reckon", None, None, name, f"one of {known}")])
    plants = catalogue if catalogue is not None else load_catalogue()
    problems: list[Problem] = []
    values: dict[str, Any] = {}
    declared = {item.name: item for item in found.inputs}
    for key in given:
        if key not in declared:
            problems.append(Problem(name, None, key, key, f"one of {', '.join(declared)}"))
    for item in found.inputs:
        typed = given.get(item.name, "").strip() or item.default or ""
        if not typed:
            values[item.name] = None
            if item.required:
                problems.append(Problem(name, None, item.name, "nothing", _expected(item)))
            continue
        try:
            values[item.name] = _read(item, typed, plants)
        except UnreadableError as unreadable:
            problems.append(Problem(name, None, item.name, typed, unreadable.expected))
    if problems:
        raise BadInput(problems)
    if "catalogue" in inspect.signature(found.function).parameters:
        values["catalogue"] = plants
    return list(found.function(**values))


def refuse(name: str, column: str, found: str, expected: str) -> BadInput:
    """One problem of a reckoner's input that only shows once inputs are seen together."""
    return BadInput([Problem(name, None, column, found, expected)])


def _read(
    item: Input, typed: str, catalogue: Catalogue
) -> float | int | str | Crop | tuple[int, int]:
    if item.kind == "crop":
        crop = crop_named(typed, catalogue)
        if crop is None:
            raise UnreadableError(crop_expected(typed, catalogue))
        return crop
    if item.kind == "month-day":
        return read_month_day(typed)
    if item.kind == "choice":
        chosen = typed.casefold()
        if chosen not in item.choices:
            raise UnreadableError(_expected(item))
        return chosen
    if item.kind == "text":
        return typed
    number = read_quantity(typed, item.unit)
    if item.kind == "int" and number != round(number):
        raise UnreadableError(_expected(item))
    if (item.low is not None and number < item.low) or (
        item.high is not None and number > item.high
    ):
        raise UnreadableError(_expected(item))
    return round(number) if item.kind == "int" else number


def crop_named(typed: str, catalogue: Catalogue) -> Crop | None:
    """The crop with this key, common or scientific name or synonym; None when there is none."""
    return find_crop(catalogue, typed)


def crop_expected(typed: str, catalogue: Catalogue) -> str:
    """What to say where a crop's name settles nothing, with names that may be meant."""
    meant = suggestions(catalogue, typed)
    return _A_CROP + (f": {', '.join(meant)}, perhaps" if meant else "")


def _expected(item: Input) -> str:
    if item.kind == "crop":
        return _A_CROP
    if item.kind == "month-day":
        return 'a day such as "10 May" or "05-10" (month-day)'
    if item.kind == "choice":
        return f"one of {', '.join(item.choices)}"
    if item.kind == "text":
        return "a text"
    what = "a whole number" if item.kind == "int" else "a number"
    if item.low is not None and item.high is not None:
        what += f" from {item.low:g} to {item.high:g}"
    return f"{what} {item.unit}".rstrip()
