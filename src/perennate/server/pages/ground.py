"""The ground on a day: beds to scale, what stands where, and the same as a table."""

from datetime import date, timedelta

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from perennate.outputs.screen.ground_sheet import ground_sheet
from perennate.outputs.water_told import bed_line
from perennate.planning.in_ground import in_ground
from perennate.server.pages.frame import as_it_stands
from perennate.server.pages.links import bed_href, linked, planting_href
from perennate.server.pages.sheet import Sheet, open_sheet, show
from perennate.server.store.reading import Kept

WEEK = timedelta(weeks=1)
_WHAT, _METRES = 3, (1, 2)
_drawn = Kept(64)


def ground(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    day = _day(request, sheet)
    before, after = day - WEEK, day + WEEK
    return show(
        request,
        sheet,
        "ground",
        "The ground",
        day=day,
        drawing=_drawing(sheet, day),
        before=(before, sheet.query(day=before.isoformat())),
        after=(after, sheet.query(day=after.isoformat())),
        water=bed_line(sheet.plan, sheet.bed, day) if sheet.plan and sheet.bed else None,
        is_bed=any(bed.key == sheet.bed for bed in sheet.holding.beds),
    )


def _day(request: HttpRequest, sheet: Sheet) -> date:
    """The day asked for, else the first one chosen, else today."""
    try:
        day = date.fromisoformat(request.GET.get("day", ""))
    except ValueError:
        return sheet.first or sheet.today
    # a week further in either direction has to be a day as well
    return min(max(day, date.min + WEEK), date.max - WEEK)


def _drawing(sheet: Sheet, day: date) -> SafeString:
    if sheet.plan is None:
        return SafeString("")
    key = (*as_it_stands(sheet), day)
    drawn: SafeString = _drawn.get(key, lambda: _draw(sheet, day))
    return drawn


def bed_drawing(sheet: Sheet, bed: str, day: date) -> SafeString:
    """One bed, large, as it stands on that day."""
    key = (*as_it_stands(sheet), day, bed)
    drawn: SafeString = _drawn.get(key, lambda: _draw_bed(sheet, bed, day))
    return drawn


def _draw_bed(sheet: Sheet, bed: str, day: date) -> SafeString:
    assert sheet.plan is not None
    beds = bed_href(sheet, "ground", day=day.isoformat())
    standing = in_ground(sheet.plan, sheet.holding.records)
    drawn = ground_sheet(
        *(sheet.plan, sheet.holding, day, sheet.names, planting_href(sheet), beds, bed, standing)
    )
    return render_to_string("drawn/ground_sheet.svg", {"sheet": drawn})


def _draw(sheet: Sheet, day: date) -> SafeString:
    assert sheet.plan is not None
    plantings, beds = planting_href(sheet), bed_href(sheet, "ground", day=day.isoformat())
    is_bed = any(bed.key == sheet.bed for bed in sheet.holding.beds)
    drawn = ground_sheet(
        sheet.plan,
        sheet.holding,
        day,
        sheet.names,
        plantings,
        beds,
        sheet.bed if is_bed else "",
        in_ground(sheet.plan, sheet.holding.records),
    )
    rows = linked(drawn.table, beds, plantings, _WHAT, _METRES)
    context = {"drawing": drawn, "table": drawn.table, "rows": rows}
    return render_to_string("perennate/ground_drawing.html", context)
