"""Keys that last: a planting keeps the key of its like in the plan before, else derives one."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from uuid import UUID, uuid5

from perennate.planning.plan import PlannedPlanting

NAMES = UUID("3b0f7a52-0c5e-5a0f-8f0e-5d1d7f2a9c11")
"""Namespace of planting keys."""
SAME_SOWING_DAYS = 21


def with_keys(
    plantings: Sequence[PlannedPlanting], previous: Sequence[PlannedPlanting]
) -> tuple[PlannedPlanting, ...]:
    """Give each planting without a key one: that of the nearest like planting before, or one
    derived from aim, crop, variety, year and number. Keys given already stay."""
    given = {planting.key for planting in plantings if planting.key}
    free = {old.key: old for old in previous if old.key not in given}
    made = dict.fromkeys(given | set(free))
    counted: dict[str, int] = {}
    found = []
    order = sorted(
        plantings, key=lambda p: (p.sow, p.crop, p.variety, p.bed, p.start_m, p.ground_to)
    )
    for planting in order:
        if planting.key:
            found.append(planting)
            continue
        same = [
            old
            for old in free.values()
            if (old.crop, old.variety, old.bed) == (planting.crop, planting.variety, planting.bed)
            and abs((old.sow - planting.sow).days) <= SAME_SOWING_DAYS
        ]
        same.sort(
            key=lambda old: (
                abs((old.sow - planting.sow).days),
                abs(old.start_m - planting.start_m),
                old.key,
            )
        )
        if same:
            del free[same[0].key]
            found.append(replace(planting, key=same[0].key))
            continue
        aim = planting.aims[0] if planting.aims else ""
        stem = f"{aim}|{planting.crop}|{planting.variety}|{planting.sow.year}"
        counted[stem], key = _next_key(stem, counted.get(stem, 0), made)
        made[key] = None
        found.append(replace(planting, key=key))
    return tuple(found)


def new_key(aim: str, crop: str, variety: str, year: int, taken: Collection[str]) -> str:
    """A key for a planting that the grower adds, made as those of planned ones are."""
    return _next_key(f"{aim}|{crop}|{variety}|{year}", 0, taken)[1]


def _next_key(stem: str, number: int, taken: Collection[str]) -> tuple[int, str]:
    """The first number after this one, and its key, that is not taken."""
    while True:
        number += 1
        key = str(uuid5(NAMES, f"{stem}|{number}"))
        if key not in taken:
            return number, key
