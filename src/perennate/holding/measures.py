"""Amounts whose unit stands in a column of its own, beside the number, or goes without saying."""

from collections.abc import Mapping
from dataclasses import dataclass

from perennate.holding.cells import Cell, CellError, Reading, amount, as_text
from perennate.holding.units import convert, find_unit

AIM_UNITS: Mapping[str, tuple[str, ...]] = {
    "food": ("kg", "servings"),
    "household": ("share",),
    "sell": ("plants",),
    "seed": ("g",),
    "habitat": ("m2",),
    "compost": ("m2",),
}
_LOT_UNITS = ("g", "seeds", "pieces")
_MOVE_UNITS = ("mg", "seeds", "pieces")
_RECORD_UNITS = ("kg", "l", "m2", "plants", "seeds", "pieces", "share")
_WATER_UNITS: Mapping[str, tuple[str, ...]] = {"watered": ("l", "mm"), "rain": ("mm",)}
"""What a record of water may be in, by its kind; millimetres are litres on a square metre."""


class UnitError(CellError):
    """The number is well, its unit is not."""


@dataclass(frozen=True, slots=True)
class Measure:
    value: float | None
    unit: str


def measured(cell: Cell, unit_cell: Cell, table: str, kind: str, reading: Reading) -> Measure:
    """The amount in one of the units that the table keeps; a blank cell has no amount.

    Raises UnitError when the unit is missing, unknown, or of another sort than the table keeps,
    and CellError when the number cannot be read.
    """
    allowed = _allowed(table, kind)
    told = as_text(unit_cell)
    if as_text(cell) == "":
        return Measure(
            None, _in_allowed(told, allowed, reading, _free(table, kind))[0] if told else ""
        )
    value, beside = amount(cell, reading, lambda _: True)
    if beside and told and not _alike(beside, told, reading):
        raise UnitError(f'one unit, not "{beside}" beside the number and "{told}" in its column')
    word = beside or told or _without_saying(table, kind)
    if not word:
        raise UnitError(f"a unit: {', '.join(allowed)}")
    unit, own = _in_allowed(word, allowed, reading, _free(table, kind))
    source, target = find_unit(word, reading.us), find_unit(own, us=False)
    if source is not None and target is not None:
        value = convert(value, source, target)
    return Measure(float(value), unit)


def _allowed(table: str, kind: str) -> tuple[str, ...]:
    if table == "aims":
        return AIM_UNITS.get(kind, ("kg", "share", "plants", "g", "m2"))
    if table == "records":
        return _WATER_UNITS.get(kind, _RECORD_UNITS)
    return {"lots": _LOT_UNITS, "lot_moves": _MOVE_UNITS}[table]


def _without_saying(table: str, kind: str) -> str:
    """The unit of an amount without one, where only one can be meant."""
    if table == "aims" and kind in AIM_UNITS:
        return AIM_UNITS[kind][0]
    if table == "records" and kind == "rain":
        return "mm"
    return "pieces" if table == "lots" and kind not in ("seed", "") else ""


def _free(table: str, kind: str) -> bool:
    """Whether a unit may be a word of the person's own."""
    return table == "records" and kind != "rain"


def _in_allowed(
    word: str, allowed: tuple[str, ...], reading: Reading, free: bool
) -> tuple[str, str]:
    """The unit to keep, and the unit to convert to (none for a word of the person's own)."""
    found = find_unit(word, reading.us)
    for own in allowed:
        unit = find_unit(own, us=False)
        if found is not None and unit is not None and found.dimension == unit.dimension:
            return own, own
    if free:
        return word, ""
    raise UnitError(f"a unit: {', '.join(allowed)}")


def _alike(one: str, other: str, reading: Reading) -> bool:
    first, second = find_unit(one, reading.us), find_unit(other, reading.us)
    return first == second if first or second else one.casefold() == other.casefold()
