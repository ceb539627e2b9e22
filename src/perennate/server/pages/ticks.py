"""Ticks: a job, or several that are done in one go, done whole or in part."""

from dataclasses import replace
from datetime import date

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_POST

from perennate.holding.model import Record
from perennate.planning.plan import Job
from perennate.server.pages.answers import changed, refused
from perennate.server.pages.sheet import Sheet, open_sheet, planned
from perennate.server.store.door import apply
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
    records = [_record(job, jobs, day, part, amount, sheet) for job in jobs]
    taken = {one.key for one in records}
    kept = tuple(one for one in sheet.holding.records if one.key not in taken)
    after = replace(sheet.holding, records=(*kept, *records))
    code = "change.ticked_part" if part else "change.ticked"
    change = apply(
        sheet.store.pk, text(code, what=_what(jobs, sheet), day=day), sheet.holding, after
    )
    return changed(request, sheet, change)


def _what(jobs: list[Job], sheet: Sheet) -> str:
    planting = sheet.plantings.get(jobs[0].planting)
    of = what_grows(planting.crop, planting.variety, sheet.names) if planting else ""
    much = sum(job.quantity for job in jobs)
    return work_title(jobs[0].kind, of, much, jobs[0].unit, sheet.units)


def _record(
    job: Job, jobs: list[Job], day: date, part: bool, amount: float | None, sheet: Sheet
) -> Record:
    """One record a job; an amount said for several is shared out as planned."""
    planting = sheet.plantings.get(job.planting)
    whole = sum(one.quantity for one in jobs)
    if amount is None:
        done = None if part else job.quantity
    else:
        done = amount * job.quantity / whole if whole else amount / len(jobs)
    return Record(
        key=f"{job.key} {day.isoformat()}",
        day=day,
        kind=job.kind,
        crop=planting.crop if planting else "",
        place=job.place,
        amount=done,
        unit=job.unit,
        minutes=None,
        job=job.key,
        part=part,
    )


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
