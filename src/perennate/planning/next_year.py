"""What must go into the ground in this plan's weeks to be picked after its end.

A plan counts only what is picked within its weeks, so a crop that stands the winter would be
missed at its one time of planting. These findings name it, with its days.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from perennate.catalogue.model import Catalogue
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.offers import Growing, routes
from perennate.planning.plan import Finding, PlannedPlanting
from perennate.planning.windows import WINTER_STAND_DAYS, Span, sowing_spans
from perennate.terms import text
from perennate.weather.climate import day_index

RULE = "season.next_year"


def for_next_year(
    wanted: Sequence[str],
    plantings: Sequence[PlannedPlanting],
    catalogue: Catalogue,
    growing: Growing,
) -> tuple[Finding, ...]:
    """A finding for each wanted crop that stands the winter, is to be planted in these weeks to be
    picked after them, and is not in the plan at that time."""
    found = []
    for key in wanted:
        crop = catalogue.crops[key]
        if crop.value("days_to_first_harvest", 0.0) < WINTER_STAND_DAYS:
            continue
        if crop.figure("overwinter_sow_before_first_frost") is None:
            continue
        for route in routes(crop):
            stretch = next(
                _stretches(sowing_spans(crop, route, growing) or [], growing.weeks), None
            )
            if stretch is None:
                continue
            first, last = stretch
            ripe = first + timedelta(round(crop.value("days_to_first_harvest")))
            planted = any(
                planting.crop == key and first <= planting.sow <= last for planting in plantings
            )
            if not planted and ripe >= growing.weeks.end:
                found.append(
                    Finding(
                        RULE,
                        "mind",
                        (key,),
                        text("plan.next_year", crop=key, first=first, last=last),
                        text("plan.next_year.remedy", crop=key),
                        "common-practice",
                    )
                )
            break
    return tuple(found)


def _stretches(spans: Sequence[Span], weeks: Weeks) -> Iterator[tuple[date, date]]:
    """The days of each span within the plan's weeks, earliest first; only spans begun in time."""
    begun: list[tuple[date, date]] = []
    for span in spans:
        length = (span.last - span.first) % 365
        for offset in range((weeks.end - weeks.today).days):
            day = weeks.today + timedelta(offset)
            if day_index(day) == span.first:
                begun.append((day, day + timedelta(length)))
    yield from sorted(begun)
