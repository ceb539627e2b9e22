"""Small made holdings on the shipped catalogue, in invented weather; they plan in a second."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import cache

import numpy as np

from perennate.catalogue.model import Catalogue
from perennate.catalogue.reader import load_catalogue
from perennate.holding.model import (
    Aim,
    Bed,
    Habits,
    HandPlanting,
    Holding,
    Limits,
    Lot,
    Nursery,
    Person,
    Site,
)
from perennate.planning.plan import Plan
from perennate.planning.season import make_plan
from perennate.weather.climate import Climate

START = date(2026, 3, 2)
HALF_YEAR = timedelta(182)


@cache
def shipped() -> Catalogue:
    return load_catalogue()


def weather(latitude: float = 46.0, mean: float = 11.0, swing: float = 9.0) -> Climate:
    """Four even years half a degree apart, coldest in mid January; no day unlike its neighbours."""
    day = np.arange(365)
    course = mean - swing * np.cos(2 * np.pi * (day - 15) / 365)
    years = course + np.array([[-0.75], [-0.25], [0.25], [0.75]])
    return Climate(
        latitude, 200.0, np.round(years + 5, 2), np.round(years - 5, 2), np.full((4, 365), 2.0),
        "normals", 0,
    )  # fmt: skip


def steady(celsius: float) -> Climate:
    """The same warmth day and night, all year."""
    flat = np.full((3, 365), celsius)
    return Climate(5.0, 50.0, flat, flat.copy(), np.full((3, 365), 3.0), "normals", 0)


def food(crop: str, amount: float, start: date | None, end: date | None, **others: object) -> Aim:
    plain = Aim(f"aim {crop}", "food", crop, "", amount, "kg", "season", start, end, 2)
    return replace(plain, **others)  # type: ignore[arg-type]


def holding(**others: object) -> Holding:
    """Three beds, four aims, one eater, a little history."""
    plain = Holding(
        Site("Nook", 46.0, 9.0, 200.0),
        START,
        52,
        "metric",
        people=(Person("Ines", "female", 40, 62, 1.7),),
        eats=("potato", "carrot", "lettuce_leaf", "kale"),
        nursery=Nursery(bench_m2=1.0, warm_m2=0.5),
        limits=Limits(hours_per_week=8.0, compost_l=400.0),
        habits=Habits(),
        beds=(
            Bed("north", 5.0, 1.2, soil="loam"),
            Bed("mid", 4.0, 1.2, soil="loam"),
            Bed("wall", 3.0, 0.8, light="half shade", soil="loam"),
        ),
        aims=(
            food("potato", 8.0, date(2026, 7, 1), date(2026, 11, 30), priority=1),
            food("carrot", 5.0, date(2026, 7, 1), date(2026, 12, 15)),
            food("lettuce_leaf", 0.2, date(2026, 5, 15), date(2026, 8, 30), per="week"),
            food("kale", 4.0, date(2026, 9, 1), date(2027, 1, 31), priority=3),
        ),
        lots=(Lot("kale 25", "kale", "Longfield", "seed", 2.0, "g", 2025, 0.85, treated=False),),
        plantings=(
            HandPlanting("p1", "past", "potato", "", "mid", None, date(2025, 4, 10),
                         date(2025, 8, 20)),
            HandPlanting("p2", "past", "carrot", "", "wall", None, date(2025, 4, 10),
                         date(2025, 9, 20)),
        ),
    )  # fmt: skip
    return replace(plain, **others)  # type: ignore[arg-type]


def plan(of: Holding | None = None, climate: Climate | None = None, **others: object) -> Plan:
    chosen = of or holding()
    as_of = others.pop("as_of", chosen.as_of)
    effort = others.pop("effort", "quick")
    return make_plan(
        chosen, shipped(), climate or weather(), as_of, effort=effort, **others  # type: ignore[arg-type]
    )  # fmt: skip


def with_rows(rows: Sequence[HandPlanting], of: Holding | None = None) -> Holding:
    """The holding with these rows of `plantings` beside its own."""
    chosen = of or holding()
    return replace(chosen, plantings=(*chosen.plantings, *rows))
