"""The coming weeks: what is to be done, what is lost if it is left, and ticks."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from perennate.outputs.coming_weeks import Group, Weeks, coming_weeks, with_cautions
from perennate.outputs.water_today import now_says
from perennate.outputs.work_list import work_lines
from perennate.planning.done import ticked
from perennate.server.pages.sheet import open_sheet, planned, show
from perennate.server.store.reading import water_at_hand

MOST_LINES = 20
"""So many lines of a group are shown at once; the rest are a touch away."""
TONES = {"past": "grave", "lost": "mind", "done": "done"}
"""How the bar beside a group looks, where it has one."""


def now(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    first, last = sheet.span()
    groups: tuple[Group, ...] = ()
    to_get = 0
    if sheet.plan is not None:
        most = len(sheet.plan.jobs) if "all" in request.GET else MOST_LINES
        groups = coming_weeks(
            [job for job in sheet.plan.jobs if sheet.is_here(job)],
            ticked(sheet.holding.records),
            Weeks(sheet.today, first, last, sheet.plan.as_of),
            sheet.plantings,
            sheet.units,
            sheet.names,
            most,
        )
        due = [one for one in sheet.plan.needs if one.to_get > 0 and sheet.today <= one.by <= last]
        to_get = 0 if sheet.bed else len(due)
    context: dict[str, Any] = {
        "groups": [(group, TONES.get(group.press, "")) for group in groups],
        "minutes": sum(group.minutes for group in groups),
        "to_get": to_get,
        "water_today": None if sheet.bed else now_says(water_at_hand(sheet.standing, sheet.today)),
        "from_day": first,
        "to_day": last,
    }
    return show(request, sheet, "now", "The coming weeks", **context)


def jobs(request: HttpRequest, slug: str) -> HttpResponse:
    """Why and how some jobs are done: a page, or the piece of a page that a line opens into."""
    sheet = open_sheet(request, slug)
    wanted = set(request.GET.getlist("job"))
    found = [job for job in planned(sheet).jobs if job.key in wanted]
    if not found:
        raise Http404("no such job in this plan")
    if request.headers.get("HX-Request"):
        return render(request, "perennate/jobs_piece.html", {"sheet": sheet, "jobs": found})
    lines = with_cautions(work_lines(found, sheet.plantings, sheet.units, sheet.names), {})
    return show(request, sheet, "jobs", lines[0].line.title, jobs=found, lines=lines)
