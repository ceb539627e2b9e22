"""When ground serves an aim that is not food: in bloom, as green cover, when its seed is ripe."""

from collections.abc import Sequence
from datetime import timedelta

from perennate.holding.model import Holding
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.plan import PlannedPlanting

GREEN_AFTER_DAYS = 21
"""Days from the ground until a compost crop covers it; assumed."""


def serving_weeks(kind: str, planting: PlannedPlanting, weeks: Weeks) -> tuple[int, int]:
    """First week and week after the last in which ground serves: in bloom, as green cover, or
    (for seed) in the week in which the seed is ripe."""
    if kind == "seed":
        ripe = weeks.of(planting.last_harvest or planting.ground_to)
        return ripe, ripe + 1
    begins = planting.first_harvest if kind == "habitat" else None
    if begins is None:
        begins = planting.ground_from + timedelta(GREEN_AFTER_DAYS)
    return weeks.up_to(begins), weeks.up_to(planting.ground_to)


def covered_by(
    plantings: Sequence[PlannedPlanting], holding: Holding, weeks: Weeks
) -> dict[str, list[tuple[int, float]]]:
    """m2 by week that plantings bring to each aim for seed, habitat or compost, by its key."""
    kinds = {aim.key: aim.kind for aim in holding.aims}
    found: dict[str, list[tuple[int, float]]] = {}
    for planting in plantings:
        for aim in planting.aims:
            kind = kinds.get(aim, "")
            if kind not in ("seed", "habitat", "compost"):
                continue
            first, last = serving_weeks(kind, planting, weeks)
            area = round(planting.area_m2, 3)
            served = range(max(first, 0), min(last, weeks.count))
            found.setdefault(aim, []).extend((week, area) for week in served)
    return found
