"""What the tests of pictures share: climates, addresses, plans drawn at random, and what is inside.

Everything is invented.
"""

import dataclasses
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import numpy as np
from hypothesis import strategies as st

import made_plan
from perennate.holding.model import Bed, Holding
from perennate.planning.plan import Plan, PlannedPlanting
from perennate.weather.climate import Climate

HOLDING = made_plan.made_holding()


def climate(latitude_deg: float, mean_c: float, swing_k: float) -> Climate:
    """Three years alike but for a degree, warmest in July north and in January south."""
    warmest = 196 if latitude_deg >= 0 else 15
    wave = np.cos((np.arange(365) - warmest) / 365 * 2 * np.pi)
    tmin = np.stack([mean_c + swing_k * wave + year for year in (-1.0, 0.0, 1.0)])
    return Climate(latitude_deg, 100.0, tmin + 9.0, tmin, tmin * 0.0, "recorded", 3)


NORTH = climate(47.7, 1.0, 9.0)
SOUTH = climate(-43.5, 6.0, 6.0)
TROPICS = climate(3.0, 22.0, 1.0)


def place_href(key: str) -> str:
    return f"?bed={key}"


def planting_href(key: str) -> str:
    return f"/planting/{key}/"


def span_href(first: date, last: date) -> str:
    return f"?from={first}&to={last}"


def numbers(thing: Any) -> Iterator[float]:
    """Every number of a picture, those of its paths with them."""
    if isinstance(thing, bool):
        return
    if isinstance(thing, int | float):
        yield thing
    elif isinstance(thing, tuple):
        for one in thing:
            yield from numbers(one)
    elif dataclasses.is_dataclass(thing):
        for field in dataclasses.fields(thing):
            yield from numbers(getattr(thing, field.name))


def sound(thing: Any) -> bool:
    """Whether every number is finite and rounded to a tenth."""
    return all(
        math.isfinite(one) and abs(one * 10 - round(one * 10)) < 1e-6 for one in numbers(thing)
    )


def within(box: Any, width: float, height: float, left: float = 0.0, top: float = 0.0) -> bool:
    """Whether a rectangle lies within its picture, to the tenth to which it is rounded."""
    return bool(
        box.x >= left - 0.11
        and box.y >= top - 0.11
        and box.w >= 0
        and box.h >= 0
        and box.x + box.w <= width + 0.11
        and box.y + box.h <= height + 0.11
    )


def path_points(path: str) -> list[tuple[float, float]]:
    """Where the absolute M, L, H and V of a path go, and the relative v."""
    points: list[tuple[float, float]] = []
    x = y = 0.0
    for letter, rest in re.findall(r"([MLHVvZ])([^A-Za-z]*)", path):
        given = [float(one) for one in re.findall(r"-?\d+(?:\.\d+)?", rest)]
        if letter in "ML":
            for x, y in zip(given[::2], given[1::2], strict=True):
                points.append((x, y))
        elif letter != "Z":
            x, y = {"H": (given[0], y), "V": (x, given[0]), "v": (x, y + given[0])}[letter]
            points.append((x, y))
    return points


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """The made plan with other plantings: anywhere in its beds, and some past their ends."""
    start = draw(st.dates(date(2023, 1, 1), date(2028, 12, 31)))
    weeks = draw(st.integers(20, 156))
    base = made_plan.made_plan()
    model = base.plantings[0]
    count = draw(st.integers(0, 12))
    made: list[PlannedPlanting] = []
    for number in range(count):
        sow = start + timedelta(days=draw(st.integers(-100, weeks * 7)))
        raised = draw(st.integers(0, 60))
        ground_from = sow + timedelta(days=raised)
        ground_to = ground_from + timedelta(days=draw(st.integers(1, 300)))
        picked = draw(st.booleans())
        made.append(
            replace(
                model,
                key=f"p{number}",
                crop=draw(st.sampled_from(["carrot", "bean_dry", "薩摩芋", "x" * 40])),
                bed=draw(st.sampled_from([*(bed.key for bed in HOLDING.beds), "gone"])),
                route="nursery" if raised else "direct",
                status=draw(st.sampled_from(["planned", "wished", "fixed", "stands"])),
                sow=sow,
                ground_from=ground_from,
                ground_to=ground_to,
                first_harvest=ground_from if picked else None,
                last_harvest=ground_to - timedelta(days=1) if picked else None,
                start_m=draw(st.floats(0, 9)),
                length_m=draw(st.floats(0.1, 9)),
                width_m=draw(st.floats(0.2, 1.2)),
                rotation_group=draw(st.sampled_from(["Apiaceae", "none", "ünbekannt"])),
            )
        )
    today = start + timedelta(days=draw(st.integers(0, weeks * 7)))
    units = draw(st.sampled_from(["metric", "us"]))
    holding = replace(base.holding, units=units)
    return replace(
        base, start=start, weeks=weeks, as_of=today, plantings=tuple(made), holding=holding
    )


def loose(holding: Holding) -> Holding:
    """The holding with none of its beds placed."""
    beds = tuple(replace(bed, x_m=None, y_m=None) for bed in holding.beds)
    return replace(holding, beds=beds)


def beds_in_a_row(count: int) -> tuple[Bed, ...]:
    return tuple(Bed(f"B{n}", 8.0, 1.2, x_m=1.7 * n, y_m=0.0) for n in range(count))
