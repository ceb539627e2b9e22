"""What stands about every sheet: the year strip, the key plan, the title block.

Both drawings are links that keep the page and change what it is narrowed to. Their addresses hold
the query alone, so that one drawing serves every page; it is kept, as written, for as long as
the holding, the plan and what is chosen are the same.
"""

from collections.abc import Hashable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from perennate.outputs.screen.key_plan import key_plan
from perennate.outputs.screen.marks import NURSERY
from perennate.outputs.screen.year_strip import jobs_in_weeks, year_strip
from perennate.server.pages.sheet import Sheet
from perennate.server.store.reading import Kept

_strips, _key_plans = Kept(64), Kept(64)


@dataclass(frozen=True, slots=True)
class Week:
    """A week that may be chosen, and whether it is the first or last of those chosen."""

    first: date
    last: date
    is_first: bool
    is_last: bool


def frame(sheet: Sheet) -> dict[str, Any]:
    """The drawings that every page carries, with what is chosen marked."""
    first, last = sheet.season_span()
    key = as_it_stands(sheet)
    return {
        "shown_first": first,
        "shown_last": last,
        "strip": _strips.get(key, lambda: _strip(sheet)) if sheet.plan else "",
        "key_plan": _key_plans.get(key, lambda: _key_plan(sheet)),
    }


def as_it_stands(sheet: Sheet) -> tuple[Hashable, ...]:
    """What a drawing rests on: while this is the same, so is the drawing."""
    standing = sheet.standing
    return (
        *(standing.store_id, standing.edition, sheet.store.plan_id, sheet.today),
        *(sheet.slug, sheet.first, sheet.last, sheet.bed),
    )


def _strip(sheet: Sheet) -> SafeString:
    assert sheet.plan is not None

    def href(first: date, last: date) -> str:
        return sheet.query(from_=first.isoformat(), to=last.isoformat())

    drawn = year_strip(
        sheet.plan.start,
        sheet.plan.weeks,
        sheet.today,
        sheet.plan.holding.latitude_deg,
        sheet.standing.season.climate,
        jobs_in_weeks(sheet.plan),
        href,
        (sheet.first, sheet.last) if sheet.first and sheet.last else None,
    )
    context = {
        "sheet": sheet,
        "strip": drawn,
        "weeks": _weeks(sheet),
        "all_weeks": sheet.query(from_=None, to=None) or "?",
    }
    return render_to_string("perennate/strip.html", context)


def _key_plan(sheet: Sheet) -> SafeString:
    drawn = key_plan(
        sheet.holding.beds,
        sheet.holding.trees,
        sheet.holding.nursery.bench_m2,
        lambda key: sheet.query(bed=key),
        sheet.bed,
        sheet.units,
    )
    context = {
        "sheet": sheet,
        "plan": drawn,
        "spots": _spots(sheet),
        "whole": sheet.query(bed=None) or "?",
    }
    return render_to_string("perennate/key_plan.html", context)


def _spots(sheet: Sheet) -> list[str]:
    """What may be chosen on the key plan, by its key."""
    spots = [bed.key for bed in sheet.holding.beds] + [tree.key for tree in sheet.holding.trees]
    return [*spots, NURSERY] if sheet.holding.nursery.bench_m2 > 0 else spots


def _weeks(sheet: Sheet) -> list[Week]:
    assert sheet.plan is not None
    first, last = sheet.season_span()
    mondays = [sheet.plan.start + timedelta(weeks=week) for week in range(sheet.plan.weeks)]
    return [
        Week(
            monday,
            monday + timedelta(days=6),
            monday <= first < monday + timedelta(days=7),
            monday <= last < monday + timedelta(days=7),
        )
        for monday in mondays
    ]
