"""What would hold water in one bed: its own address, since it is reckoned when it is asked for."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from perennate.outputs.water_keeping import kept_says, kept_table
from perennate.server.pages.sheet import open_sheet, planned, show
from perennate.server.store.reading import water_kept_in


def kept(request: HttpRequest, slug: str) -> HttpResponse:
    """What each change of the bed chosen would save: a page, or the piece of the bed's page."""
    sheet = open_sheet(request, slug)
    planned(sheet)
    if all(bed.key != sheet.bed for bed in sheet.holding.beds):
        raise Http404("no bed is chosen")
    found = water_kept_in(sheet.standing, sheet.bed)
    context: dict[str, Any] = {"says": kept_says(found), "table": kept_table(found, sheet.units)}
    if request.headers.get("HX-Request"):
        return render(request, "perennate/water_kept_piece.html", {"sheet": sheet, **context})
    title = f"What would hold water in {sheet.bed}"
    return show(request, sheet, "water_kept", title, back=sheet.address("water"), **context)
