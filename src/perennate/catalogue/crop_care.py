"""What a crop is given beyond sowing, weeding and picking, and the ways it is raised in a nursery.

Kinds of care are the trade's words (stake, string, poles, trellis, earth up, net, chit, soak,
cure, thresh ...). All of it is data: a crop that a table does not name gets none of that care.
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Literal, cast

from perennate.terms import Basis, Estimate

From = Literal["sow", "stand", "harvest end"]


@dataclass(frozen=True, slots=True)
class Care:
    """One kind of care. `days` after `counted_from` (sowing, standing in the bed, last picking),
    again each `repeat_days` up to `times`, each within `window_days` either side.

    `units_each` scales the unit of the labour rate (a pole for two plants is 0.5).
    """

    kind: str
    labour: str
    units_each: float
    counted_from: From
    days: int
    repeat_days: int
    times: int
    window_days: int
    source: str
    basis: Basis
    note: str


@dataclass(frozen=True, slots=True)
class NurseryWay:
    """Containers in order: sown `seeds_each` to a cell or flat, pricked out, potted on.

    Weeks count from sowing; an empty container means that the step is left out.
    """

    sow_in: str
    seeds_each: float
    prick_into: str
    prick_weeks: float
    pot_into: str
    pot_weeks: float
    source: str
    basis: Basis


@lru_cache(maxsize=1)
def _cares() -> Mapping[str, tuple[Care, ...]]:
    found: dict[str, tuple[Care, ...]] = {}
    for row in _rows("crop_care.csv"):
        care = Care(
            row["kind"],
            row["labour"],
            float(row["units_each"]),
            cast(From, row["from"]),
            int(row["days"]),
            int(row["repeat_days"] or 0),
            int(row["times"]),
            int(row["window_days"]),
            row["source"],
            cast(Basis, row["basis"]),
            row["note"],
        )
        for crop in row["crops"].split(";"):
            found[crop] = (*found.get(crop, ()), care)
    return found


@lru_cache(maxsize=1)
def _ways() -> Mapping[str, NurseryWay]:
    found = {}
    for row in _rows("nursery_ways.csv"):
        way = NurseryWay(
            row["sow_in"],
            float(row["seeds_each"]),
            row["prick_into"],
            float(row["prick_weeks"] or 0),
            row["pot_into"],
            float(row["pot_weeks"] or 0),
            row["source"],
            cast(Basis, row["basis"]),
        )
        found.update(dict.fromkeys(row["crops"].split(";"), way))
    return found


@lru_cache(maxsize=1)
def nursery_stages() -> Mapping[str, Estimate]:
    """Share that lives through each stage of raising, by the stage's name."""
    return {
        row["stage"]: Estimate(
            float(row["survive"]),
            float(row["survive_low"]),
            float(row["survive_high"]),
            "1",
            row["source"],
            cast(Basis, row["basis"]),
        )
        for row in _rows("nursery_stages.csv")
    }


def care_of(crop: str) -> tuple[Care, ...]:
    """The care of a crop by its key, in the table's order; empty when none is known."""
    return _cares().get(crop, ())


def nursery_way(crop: str, container: str) -> NurseryWay:
    """How a crop is raised; straight into `container` where the table does not name it."""
    known = _ways().get(crop)
    return known or NurseryWay(container, 1.0, "", 0.0, "", 0.0, "assumed", "assumed")


def _rows(name: str) -> list[dict[str, str]]:
    path = files("perennate.catalogue") / "data" / name
    with path.open("r", encoding="utf-8") as lines:
        return list(csv.DictReader(lines))
