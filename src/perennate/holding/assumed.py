"""What was guessed for the grower and is not yet confirmed, by the names of settings and cells.

A name is `section.setting` ("site.elevation_m"), `people.number.setting` counted from 1, or
`table.key.column` ("beds.b3.soil"); a key may hold points itself.
"""

import dataclasses
from collections.abc import Mapping
from typing import Any

from perennate.holding.model import Holding
from perennate.holding.schema import TABLES, table_schema
from perennate.terms import Text, text

SETTINGS: Mapping[str, tuple[str, ...]] = {
    "plan": ("as_of", "weeks", "year_start"),
    "site": ("name", "latitude_deg", "longitude_deg", "elevation_m", "wind_m_s", "coast"),
    "remembered": (
        "last_frost",
        "first_frost",
        "coldest_night_c",
        "hottest_day_c",
        "wet_months",
        "no_frost",
    ),
    "people": ("name", "sex", "age_years", "weight_kg", "activity"),
    "food": ("eats", "processes"),
    "nursery": ("bench_m2", "warm_m2", "min_night_c", "container"),
    "limits": ("hours_per_week", "compost_l", "water_l"),
    "habits": (
        "least_piece_m",
        "most_kinds_at_once",
        "surety",
        "least_ground",
        "rotation_by",
        "compost_mm_per_year",
        "watering",
        "watering_every_days",
    ),
    "reading": ("units", "decimal", "dates"),
    "weather": ("files",),
}
"""The settings of each section of holding.toml that may be assumed."""

KEYED_TABLES = tuple(name for name in TABLES if table_schema(name).keyed)


def name_of(table: str, key: str, column: str) -> str:
    """The name of a cell, as it stands in `Holding.assumed`."""
    return f"{table}.{key}.{column}"


def parts_of_name(name: str) -> tuple[str, str, str] | None:
    """Section or table, key or person's number ("" for other settings), setting or column.

    None when the name can be none of a setting or a cell.
    """
    first, _, rest = name.partition(".")
    middle, _, last = rest.rpartition(".")
    if first in KEYED_TABLES:
        return (first, middle, last) if middle and last in table_schema(first).names else None
    if last not in SETTINGS.get(first, ()):
        return None
    if first == "people":
        numbered = middle.isascii() and middle.isdecimal() and not middle.startswith("0")
        return (first, middle, last) if numbered else None
    return None if middle else (first, "", last)


_HAVE_WORDS = frozenset(
    {
        "site.name",
        "site.elevation_m",
        "plan.year_start",
        "nursery.bench_m2",
        "nursery.warm_m2",
        "nursery.min_night_c",
        "people.sex",
        "people.age_years",
        "people.weight_kg",
        "people.activity",
        "beds.light",
        "beds.x_m",
        "beds.y_m",
        "aims.amount",
        "aims.per",
        "aims.start",
        "aims.end",
        "lots.kind",
        "plantings.bed",
        "plantings.start_m",
        "plantings.length_m",
        "plantings.ground_from",
    }
)
"""What a first holding guesses; each has a sentence of its own."""


def assumption(name: str) -> Text:
    """What is assumed, and from what it was guessed, to be put into words."""
    parts = parts_of_name(name)
    if parts is None:
        return text("assumed.other", name=name)
    first, key, last = parts
    code = f"{first}.{last}"
    if code not in _HAVE_WORDS:
        return text("assumed.other", name=name)
    return text(f"assumed.{code}", key=key)


def standing_assumptions(holding: Holding) -> tuple[str, ...]:
    """The names in `Holding.assumed` whose row or person is still there, each once, in order."""
    if not holding.assumed:
        return ()
    keys = {name: {row.key for row in getattr(holding, name)} for name in KEYED_TABLES}
    keys["people"] = {str(number) for number in range(1, len(holding.people) + 1)}

    def stands(name: str) -> bool:
        parts = parts_of_name(name)
        return parts is not None and parts[1] in keys.get(parts[0], ("",))

    return tuple(dict.fromkeys(name for name in holding.assumed if stands(name)))


def confirmed(holding: Holding, name: str) -> Holding:
    """The holding in which that setting or cell is no longer assumed.

    A name that was not assumed changes nothing.
    """
    left = tuple(one for one in holding.assumed if one != name)
    return holding if left == holding.assumed else dataclasses.replace(holding, assumed=left)


def assumed_cells(holding: Holding, table: str, key: str) -> frozenset[str]:
    """The columns of a row that are assumed."""
    split = (name.rpartition(".") for name in holding.assumed)
    return frozenset(column for row, _, column in split if row == f"{table}.{key}")


def carried(holding: Holding, table: str, before: Any, after: Any) -> tuple[str, ...]:
    """`Holding.assumed` when a row becomes another: changed cells drop out, the key is renamed."""
    kept: list[str] = []
    for name in holding.assumed:
        row, _, column = name.rpartition(".")
        if row != f"{table}.{before.key}":
            kept.append(name)
        elif getattr(before, column) == getattr(after, column):
            kept.append(name_of(table, after.key, column))
    return tuple(kept)
