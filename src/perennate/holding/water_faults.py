"""What a bed or a water source cannot be, said with what was probably meant."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields
from datetime import date
from typing import Any

from perennate.holding.rows import Row, Table
from perennate.science.water_quality import WaterAnalysis, above_the_salt
from perennate.terms import Problem

Fault = tuple[str, str, str]
"""Column, found, expected."""

_ANALYSIS = tuple(one.name for one in fields(WaterAnalysis) if one.name not in ("kind", "germs"))
_ROUNDING = 1e-6
_DAYS_OF: Mapping[str, str] = {"water_sources": "tested", "beds": "ece_on"}


def _number(row: Row, name: str) -> float | None:
    value = row.values.get(name)
    return float(value) if isinstance(value, int | float) else None


def ground_faults(row: Row) -> Iterator[Fault]:
    """Of a bed: parts of more than the whole, depths that cannot be, mulch that is not there."""
    sand, clay = _number(row, "sand"), _number(row, "clay")
    if sand is not None and clay is not None and sand + clay > 100 + _ROUNDING:
        expected = f"at most {100 - sand:g} %, as sand and clay are parts of one whole:"
        expected += f" {clay:g} % clay and {100 - clay:g} % sand, or the other way about?"
        yield "clay", f"{clay:g} % clay and {sand:g} % sand", expected
    loosened, pan = _number(row, "loosened_cm"), _number(row, "pan_cm")
    if loosened is not None and pan is not None and pan < loosened:
        expected = f"a depth from {loosened:g} cm down, as the bed is loosened to there;"
        expected += " nothing where the hard layer was broken?"
        yield "pan_cm", f"a hard layer at {pan:g} cm", expected
    depth = _number(row, "mulch_cm")
    if depth and row.text("mulch") in ("", "none"):
        expected = "nothing where no mulch lies; else its kind in the column mulch: straw?"
        yield "mulch_cm", f"{depth:g} cm of no mulch", expected
    if row.values.get("ece_on") is not None and _number(row, "ece_ds_m") is None:
        yield "ece_ds_m", "nothing", "what was measured on that day, or no day"


def source_faults(row: Row) -> Iterator[Fault]:
    """Of a water source: tanks, roofs and analyses that cannot be."""
    tank, level = _number(row, "tank_l"), _number(row, "level_l")
    if tank == 0:
        yield (
            "tank_l",
            "a tank of 0 l",
            "the size of the tank; leave it empty when there is no tank",
        )
    elif level is not None and tank is None:
        yield "tank_l", "nothing", f"the size of the tank in which {level:g} l stand"
    elif level is not None and tank is not None and level > tank * (1 + _ROUNDING):
        yield "level_l", f"{level:g} l", f"at most the {tank:g} l that the tank holds"
    if row.text("kind") not in ("roof", ""):
        for name, what in (("roof_m2", "roof"), ("first_flush_l", "first flush")):
            if _number(row, name):
                found = f"a {what} of a source of kind {row.text('kind')}"
                yield name, found, "nothing, or the kind roof: rain from the roof?"
    figures = {name: _number(row, name) for name in _ANALYSIS}
    yield from above_the_salt(WaterAnalysis(**figures))  # type: ignore[arg-type]


def day_problems(
    tables: Iterable[Table], made: Mapping[str, Mapping[int, Any]], latest: date
) -> list[Problem]:
    """Analyses of a day that has not come: later than `latest`."""
    problems: list[Problem] = []
    for table in tables:
        column = _DAYS_OF.get(table.schema.name)
        for number, row in made.get(table.schema.name, {}).items() if column else ():
            found = getattr(row, column or "")
            if found is not None and found > latest:
                expected = f"a day that has come, up to {latest}: a slip in the year?"
                problems.append(Problem(table.file, number, column, f'"{found}"', expected))
    return problems
