"""Ticks: a job, or several that are done in one go, done whole or in part."""

from dataclasses import replace
from datetime import date

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_POST

from perennate.planning.done import record_of, shared_out
from perennate.planning.plan import Job
from perennate.server.pages.answers import changed, overtaken, refused
from perennate.server.pages.sheet import Sheet, open_sheet, planned
from perennate.server.store.door import OvertakenError, apply
from perennate.terms import BadInput, Problem, text
from perennate.words import show as quantity
from perennate.words.lines import what_grows, work_title


@require_POST
def tick(request: HttpRequest, slug: str) -> HttpResponse:
    """Write down that jobs were done: `job` keys, the day, in part or whole, how much."""
    sheet = open_sheet(request, slug)
    wanted = set(request.POST.getlist("job"))
    jobs = [job for job in planned(sheet).jobs if job.key in wanted]
    if not jobs:
        raise Http404("no such job in this plan")
    part = request.POST.get("part") == "yes"
    try:
        day = _day(request.POST.get("day", ""), sheet)
        amount = _amount(request.POST.get("amount", ""), jobs)
    except BadInput as bad:
        return refused(request, sheet, bad)
    planned_amounts = tuple(None if part else job.quantity for job in jobs)
    amounts = planned_amounts if amount is None else shared_out(amount, tuple(jobs))
    records = [
        record_of(job, sheet.plantings.get(job.planting), day, much, part)
        for job, much in zip(jobs, amounts, strict=True)
    ]
    taken = {one.key for one in records}
    kept = tuple(one for one in sheet.holding.records if one.key not in taken)
    after = replace(sheet.holding, records=(*kept, *records))
    code = "change.ticked_part" if part else "change.ticked"
    what = text(code, what=_what(jobs, sheet), day=day)
    try:
        change = apply(sheet.store.pk, what, sheet.holding, after)
    except BadInput as bad:
        return refused(request, sheet, bad)
    except OvertakenError:
        return overtaken(request, sheet)
    return changed(request, sheet, change)


def _what(jobs: list[Job], sheet: Sheet) -> str:
    planting = sheet.plantings.get(jobs[0].planting)
    of = what_grows(planting.crop, planting.variety, sheet.names) if planting else ""
    much = sum(job.quantity for job in jobs)
    return work_title(jobs[0].kind, of, much, jobs[0].unit, sheet.units)


def _day(typed: str, sheet: Sheet) -> date:
    if not typed:
        return sheet.today
    try:
        day = date.fromisoformat(typed)
    except ValueError:
        raise BadInput([Problem("tick", None, "day", f'"{typed}"', "a day")]) from None
    if day > sheet.today:
        expected = f"a day up to {sheet.today.isoformat()}"
        raise BadInput([Problem("tick", None, "day", f'"{typed}"', expected)])
    return day


def _amount(typed: str, jobs: list[Job]) -> float | None:
    if not typed.strip():
        return None
    try:
        amount = float(typed.strip().replace(",", "."))
    except ValueError:
        amount = -1.0
    whole = sum(job.quantity for job in jobs)
    if not 0 < amount <= 1000 * max(whole, 1.0):
        planned_amount = quantity(whole, jobs[0].unit, "metric")
        expected = f"an amount above nothing; {planned_amount} was planned"
        raise BadInput([Problem("tick", None, "amount", f'"{typed}"', expected)])
    return amount
