"""What each day of each planting asks and holds, ready made for `science.bucket`.

Columns are first made by planting and day of the planting, then laid on the steps of a piece. A
piece steps on the plantings' own days, all from their first; or, where beds are watered together,
on the calendar. Where a planting does not stand on a step, its columns let nothing happen to it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[Any]
Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

AT_REST: Mapping[str, float] = {
    "rain_share": 0.0,
    "runoff_first": np.inf,
    "runoff_rest": 1.0,
    "interception": 0.0,
    "kcb": 0.0,
    "ke_slope": 0.0,
    "ke_most": 0.0,
    "few_turned": 1.0,
    "tew": np.inf,
    "taw": 1.0,
    "rest_slope": 0.0,
    "rest_base": 1.0,
    "rest_least": 1.0,
    "rest_most": 1.0,
    "rest_turned": 1.0,
    "stress_under": -1.0,
    "full": np.inf,
    "airless_above": np.inf,
    "drains": 0.0,
    "below_taw": 0.0,
    "below_full": np.inf,
    "below_drains": 0.0,
    "rooted": 0.0,
    "unwetted_turned": 1.0,
    "amounts": 0.0,
    "water_under": -1.0,
    "allowed": 0.0,
    "refill": 0.0,
    "most": 0.0,
}
"""Columns of a planting that does not stand."""


@dataclass(frozen=True, slots=True)
class Steps:
    """A piece of plantings on its steps; rows are its plantings in order of their first step.

    `columns`: each (steps, rows, 1); `place` in the weather's days, (steps, rows); `begin` and
    `end`: each row's first step and the one after its last; `first`: its first day as it was
    given; `lo` and `hi`: the rows among which all lie that stand on a step; `rows_of`: which
    planting a row is. Where plantings are watered together: `group_rows` orders the rows by
    group, `group_starts` says where each group begins in that order, `group_of` the group of each
    row in this piece, and `groups` which of all groups these are.
    """

    columns: Mapping[str, Numbers]
    place: Ints
    begin: Ints
    end: Ints
    first: Ints
    lo: Ints
    hi: Ints
    rows_of: Ints
    has: Mapping[str, Any]
    group_rows: Ints | None
    group_starts: Ints
    group_of: Ints
    groups: Ints

    def standing(self, step: int, rows: slice) -> tuple[NDArray[np.bool_], Ints]:
        """Which of the rows stand on a step, and on which of their days those do."""
        here = (self.begin[rows] <= step) & (step < self.end[rows])
        return here, step - self.begin[rows][here]


def columns_by_day(
    crop: Any, ground: Any, watering: Any, length: Ints, follows: bool
) -> dict[str, Floats]:
    """Every quantity that a day needs, each (plantings, days) or broadcasting to it.

    Raises ValueError on shapes that do not fit, missing values and negative depths.
    """
    c = {field.name: _wide(getattr(crop, field.name)) for field in fields(crop)}
    g = {field.name: _wide(getattr(ground, field.name)) for field in fields(ground)}
    for name, column in {**c, **g}.items():
        if not np.all(column >= 0.0):
            raise ValueError(f"{name}: a value is missing or negative")
    taw, full = g["available_mm"], g["available_mm"] + g["drained_air_mm"]
    if not np.all(taw > 0.0) or not np.all(c["exposed"] > 0.0):
        raise ValueError("available water and exposed ground must be above 0")
    left = c["evaporation_left"] * c["et0_share"]
    span = np.maximum(g["total_evaporable_mm"] - g["readily_evaporable_mm"], 1e-6)
    energy = np.maximum(c["most"] - c["basal"], 0.0) * left
    limit = np.where(c["basal"] > 0.0, g["airless_under_mm"], 0.0)
    columns = {
        "rain_share": g["rain_share"],
        "runoff_first": 0.2 * g["runoff_storage_mm"],
        "runoff_rest": 0.8 * g["runoff_storage_mm"],
        "interception": c["interception_mm"],
        "kcb": c["basal"] * c["et0_share"],
        "ke_slope": energy / span,
        "ke_most": np.minimum(energy, c["exposed"] * c["most"] * left),
        "few_turned": 1.0 / c["exposed"],
        "tew": g["total_evaporable_mm"],
        "taw": taw,
        "stress_under": np.where(c["basal"] > 0.0, 1.0, -1.0),
        "full": full,
        "airless_above": np.where(limit > 0.0, full - limit, np.inf),
        "drains": g["drains"],
        "below_taw": g["below_available_mm"],
        "below_full": g["below_available_mm"] + g["below_air_mm"],
        "below_drains": g["below_drains"],
        "rooted": g["rooted_share"],
        "unwetted_turned": 1.0 / _wide(watering.wetted_share),
        **_rest(taw, c["depletion_fraction"], follows),
        **_watering(watering, taw, c),
    }
    shape = (len(length), int(length.max(initial=1)))
    for name, column in columns.items():
        if np.any(np.isnan(column)):
            raise ValueError(f"{name}: a value is missing")
        if column.shape[1] > shape[1]:
            columns[name] = column[:, : shape[1]]
    return {name: np.broadcast_to(column, shape) for name, column in columns.items()}


def laid_on_steps(
    by_day: Mapping[str, Floats],
    rows_of: Ints,
    begin: Ints,
    first: Ints,
    length: Ints,
    group: Ints | None,
    weather_days: int,
    greatest_et0: float,
    kind: "np.dtype[Any]",
) -> Steps:
    """Columns of the plantings `rows_of`, each from step `begin` on for `length` days."""
    steps = int((begin + length).max())
    row = np.repeat(np.arange(len(rows_of)), length)
    day = np.arange(len(row)) - np.repeat(np.cumsum(length) - length, length)
    at, source = (day + begin[row], row), (rows_of[row], day)
    columns = {}
    for name, values in by_day.items():
        laid = np.full((steps, len(rows_of)), AT_REST[name], kind)
        laid[at] = values[source]
        columns[name] = laid[:, :, None]
    columns["rooted"][begin, np.arange(len(rows_of))] = 0.0
    standing = np.zeros((steps, len(rows_of)), np.bool_)
    standing[at] = True
    any_stands = standing.any(axis=1)
    lo = np.where(any_stands, standing.argmax(axis=1), 0)
    hi = np.where(any_stands, len(rows_of) - standing[:, ::-1].argmax(axis=1), 0)
    place = np.zeros(standing.shape, np.int64)
    place[at] = (first[row] + day) % weather_days
    group_rows = None
    groups, group_of = np.zeros(0, np.int64), np.zeros(len(rows_of), np.int64)
    if group is not None:
        groups, group_of = np.unique(group, return_inverse=True)
        group_rows = np.argsort(group_of, kind="stable")
    starts = np.searchsorted(np.sort(group_of), np.arange(len(groups)))
    return Steps(
        columns,
        place,
        begin,
        begin + length,
        first,
        lo,
        hi,
        rows_of,
        _has(columns, greatest_et0),
        group_rows,
        starts,
        group_of,
        groups,
    )


def _has(columns: Mapping[str, Numbers], greatest_et0: float) -> dict[str, Any]:
    """What there is to do at all, and on which steps; what is left out would change nothing."""
    gives = columns["amounts" if "amounts" in columns else "allowed"] > 0.0
    crop = columns["kcb"] * greatest_et0
    has = {
        "cover": bool(np.any(columns["rain_share"] != 1.0)),
        "interception": bool(np.any(columns["interception"] > 0.0)),
        "runoff": bool(np.any(np.isfinite(columns["runoff_first"]))),
        "set": "amounts" in columns,
        "watering": gives.any(axis=(1, 2)),
        "rooted": (columns["rooted"] > 0.0).any(axis=(1, 2)),
        "bare": bool(np.any(columns["stress_under"] != 1.0)),
        "wet_land": bool(np.any(np.isinf(columns["airless_above"]))),
        "shallow": True,
    }
    if "rest_base" in columns:
        base = columns["rest_base"]
        etc = crop + columns["ke_most"] * greatest_et0
        most = base + columns["rest_slope"] * etc
        has["shallow"] = bool(np.any(crop > np.maximum(base, columns["rest_least"])))
        has["least_rest"] = bool(np.any(base < columns["rest_least"]))
        has["most_rest"] = bool(np.any(most > columns["rest_most"]))
    return has


def _rest(taw: Floats, fraction: Floats, follows: bool) -> dict[str, Floats]:
    """Water left at which a crop begins to hold back, (1 - p) TAW, by the day's ETc or not."""
    if not follows:
        return {"rest_turned": 1.0 / np.maximum((1.0 - fraction) * taw, 1e-9)}
    return {
        "rest_slope": 0.04 * taw,
        "rest_base": (1.0 - fraction - 0.2) * taw,
        "rest_least": 0.2 * taw,
        "rest_most": 0.9 * taw,
    }


def _watering(watering: Any, taw: Floats, c: Mapping[str, Floats]) -> dict[str, Floats]:
    if watering.amounts_mm is not None:
        amounts = _wide(watering.amounts_mm)
        if np.any(amounts < 0.0):
            raise ValueError("watering must not be negative")
        return {"amounts": amounts}
    stands = c["basal"] > 0.0
    allowed = stands if watering.allowed is None else _wide(watering.allowed) > 0.0
    line = taw * (1.0 - c["depletion_fraction"] * _wide(watering.at_share))
    return {
        "allowed": np.asarray(allowed, np.float64),
        "water_under": np.where(allowed, line, -1.0),
        "refill": _wide(watering.refill_share),
        "most": _wide(watering.most_mm),
    }


def _wide(value: ArrayLike) -> Floats:
    """As a table of plantings by days."""
    return np.atleast_2d(np.asarray(value, np.float64))
