"""What stands about every sheet: the year strip, the key plan, the title block.

Both drawings are links that keep the page and change what it is narrowed to. Their addresses hold
the query alone, so that one drawing serves every page. Each is kept as written, with its own
choice only, for as long as the holding and the plan are the same; the other choice is put in when
a page is shown.
"""

from collections.abc import Hashable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any
from urllib.parse import urlencode

from django.template.loader import render_to_string
from django.utils.html import escape, format_html_join
from django.utils.safestring import SafeString, mark_safe

from perennate.outputs.screen.key_plan import key_plan
from perennate.outputs.screen.marks import NURSERY
from perennate.outputs.screen.year_strip import YearStrip, jobs_in_weeks, year_strip
from perennate.server.pages.sheet import Sheet
from perennate.server.store.reading import Kept

KEPT = "<!--kept-->"
"""Where a form of a drawing takes in the other choice."""
_strips, _tables, _key_plans = Kept(64), Kept(8), Kept(64)


def frame(sheet: Sheet) -> dict[str, Any]:
    """The drawings that every page carries, with what is chosen marked."""
    first, last = sheet.season_span()
    shown = {"shown_first": first, "shown_last": last, "strip": ""}
    if sheet.plan is not None:
        alone = replace(sheet, bed="")
        strip = _strips.get(as_it_stands(alone), lambda: _strip(alone))
        shown["strip"] = _with(strip, {"bed": sheet.bed} if sheet.bed else {})
    bare = any_weeks(sheet)
    drawn = _key_plans.get(as_it_stands(bare), lambda: _key_plan(bare))
    return {**shown, "key_plan": with_weeks(drawn, sheet)}


def any_weeks(sheet: Sheet) -> Sheet:
    """The sheet of what is the same whatever weeks are chosen."""
    return replace(sheet, first=None, last=None)


def with_weeks(drawing: str, sheet: Sheet) -> SafeString:
    """A drawing for any weeks, whose addresses hold the query alone, with those chosen put in."""
    if sheet.first is None or sheet.last is None:
        return _with(drawing, {})
    return _with(drawing, {"from": sheet.first.isoformat(), "to": sheet.last.isoformat()})


def _with(drawing: str, kept: Mapping[str, str]) -> SafeString:
    """The drawing with this choice kept by its links and forms."""
    hidden = format_html_join("", '<input type="hidden" name="{}" value="{}">', kept.items())
    put_in = drawing.replace(KEPT, hidden)
    if kept:
        put_in = put_in.replace('href="?', f'href="?{escape(urlencode(kept))}&amp;')
    # a template's own output, with escaped values put in
    return mark_safe(put_in)


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
    first, last = sheet.season_span()
    whole = any_weeks(sheet)
    context = {
        "sheet": sheet,
        "strip": drawn,
        "first": first,
        "last": last,
        "table": _tables.get(as_it_stands(whole), lambda: _table(drawn)),
    }
    return render_to_string("perennate/strip.html", context)


def _table(drawn: YearStrip) -> SafeString:
    return render_to_string("drawn/table.html", {"table": drawn.table})


def _key_plan(sheet: Sheet) -> SafeString:
    drawn = key_plan(
        sheet.holding.beds,
        sheet.holding.trees,
        sheet.holding.nursery.bench_m2,
        lambda key: sheet.query(bed=key),
        sheet.bed,
        sheet.units,
    )
    context = {"sheet": sheet, "plan": drawn, "spots": _spots(sheet)}
    return render_to_string("perennate/key_plan.html", context)


def _spots(sheet: Sheet) -> list[str]:
    """What may be chosen on the key plan, by its key."""
    spots = [bed.key for bed in sheet.holding.beds] + [tree.key for tree in sheet.holding.trees]
    return [*spots, NURSERY] if sheet.holding.nursery.bench_m2 > 0 else spots
