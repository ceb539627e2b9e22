"""The year: beds by week as bars, and the same as a table."""

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from perennate.outputs.screen.year_sheet import year_sheet
from perennate.planning.in_ground import in_ground
from perennate.server.pages.frame import as_it_stands
from perennate.server.pages.links import bed_href, linked, planting_href
from perennate.server.pages.sheet import Sheet, open_sheet, show
from perennate.server.store.reading import Kept

FEW = 30
"""A table of so many rows stands open below the drawing; a longer one a touch away."""
_WHAT = 1
_drawn = Kept(32)


def year(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    drawing = _drawn.get(as_it_stands(sheet), lambda: _draw(sheet)) if sheet.plan else ""
    return show(request, sheet, "year", "The year by bed", drawing=drawing)


def _draw(sheet: Sheet) -> SafeString:
    assert sheet.plan is not None
    plantings, beds = planting_href(sheet), bed_href(sheet, "year")
    drawn = year_sheet(
        sheet.plan,
        sheet.holding,
        sheet.names,
        plantings,
        beds,
        sheet.season_span(),
        (sheet.bed,) if sheet.bed else (),
        standing=in_ground(sheet.plan, sheet.holding.records),
    )
    rows = linked(drawn.table, beds, plantings, _WHAT)
    context = {"drawing": drawn, "table": drawn.table, "rows": rows, "few": len(rows) <= FEW}
    return render_to_string("perennate/year_drawing.html", context)
