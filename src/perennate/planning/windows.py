"""When a crop may be sown or set out, told from the frosts of the place.

Windows in weeks from the last or first frost are used only where frost comes in most years; in
other places soil warmth, heat and cold nights alone decide.
"""

from dataclasses import dataclass
from typing import Protocol

from perennate.catalogue.model import Crop
from perennate.planning.plan import Route
from perennate.weather.climate import FrostDates

YEAR = 365
WINTER_STAND_DAYS = 200
"""A crop whose days are this many stands the winter, and is planted in autumn only."""


class Place(Protocol):
    """What the windows need to know of a place."""

    frost: FrostDates

    @property
    def has_frost(self) -> bool: ...


@dataclass(frozen=True, slots=True)
class Span:
    """Days of the year from `first` to `last`, wrapping over the year's end."""

    first: int
    last: int

    def holds(self, index: int) -> bool:
        return (index - self.first) % YEAR <= (self.last - self.first) % YEAR


def sowing_spans(crop: Crop, route: Route, place: Place) -> list[Span] | None:
    """Spans in which the crop may go into the bed; None when the frosts set no bounds.

    Spring windows run on to the last date before autumn frost for crops that are sown in
    succession and for tender ones, which may have to wait for warm soil; crops sown in autumn
    to stand the winter have a window of their own.
    """
    spring, autumn = place.frost.spring.get(0.5), place.frost.autumn.get(0.5)
    if not place.has_frost or spring is None or autumn is None:
        return None
    after = crop.figure(
        "transplant_after_last_frost" if route == "nursery" else "direct_sow_after_last_frost"
    )
    winter = crop.figure("overwinter_sow_before_first_frost")
    spans = []
    overwinters = winter is not None and crop.value("days_to_first_harvest") >= WINTER_STAND_DAYS
    if after is not None and not overwinters:
        last_name = (
            "last_transplant_before_first_frost"
            if route == "nursery"
            else "last_direct_sow_before_first_frost"
        )
        last = crop.figure(last_name)
        first_day = spring + round(7 * after.low)
        last_day = spring + round(7 * after.high)
        again = crop.value("succession_interval", 0.0) > 0
        tender = crop.fact("hardiness") == "frost-tender"
        if last is not None and (again or tender):
            season = (autumn - spring) % YEAR
            last_day = max(last_day, spring + season - round(7 * last.value))
        if last_day >= first_day:
            spans.append(Span(first_day % YEAR, last_day % YEAR))
    if winter is not None and route != "nursery":
        spans.append(
            Span((autumn - round(7 * winter.high)) % YEAR, (autumn - round(7 * winter.low)) % YEAR)
        )
    return spans or None
