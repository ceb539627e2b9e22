"""A figure of a water analysis, read in whatever unit the report has it."""

import re
from collections.abc import Callable
from fractions import Fraction

from perennate.holding.cells import Cell, CellError, Plausible, Reading, amount, as_text
from perennate.holding.schema import Field
from perennate.science.water_units import ec_to_ds_m, to_mg_l, units_of

IN_OURS: dict[str, Callable[[float, str, str], float]] = {
    "dS/m": lambda value, unit, ion: ec_to_ds_m(value, unit),
    "mg/l": lambda value, unit, ion: to_mg_l(value, unit, ion),
}
"""How a figure comes into each unit that an analysis is kept in: from value, unit and ion."""

_WITH_UNIT = re.compile(r"(?P<number>[^A-Za-z°µμ]*)(?P<unit>.*)", re.DOTALL)


def takes(unit: str, field: Field) -> bool:
    """Whether a figure of that column may be in that unit."""
    try:
        IN_OURS[field.unit](1.0, unit, field.stem)
    except ValueError:
        return False
    return True


def analysis_figure(
    cell: Cell, reading: Reading, plausible: Plausible, unit: str, field: Field
) -> float:
    """The figure in the column's own unit; a bare number is in `unit`.

    `plausible` says of a figure whether the column may hold it, as for `quantity`. Raises
    CellError.
    """
    written, beside = cell, ""
    if isinstance(cell, str) and (match := _WITH_UNIT.fullmatch(as_text(cell))):
        written, beside = match["number"].strip(), match["unit"].strip()
    of = beside or unit
    if not takes(of, field):
        known = units_of("conductivity" if field.unit == "dS/m" else field.stem)
        raise CellError(f"a number, in one of {', '.join(known)}")

    def in_ours(value: Fraction) -> float:
        return IN_OURS[field.unit](float(value), of, field.stem)

    return in_ours(amount(written, reading, lambda n: plausible(Fraction(in_ours(n))))[0])
