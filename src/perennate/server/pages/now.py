"""The coming weeks: what is to be done, what is lost if it is left, and ticks."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from perennate.outputs.work_list import Line, work_lines
from perennate.planning.plan import Job, PlannedPlanting
from perennate.server.pages.sheet import Sheet, open_sheet, planned, show
from perennate.terms import Text

MOST_LINES = 20
"""So many lines of a group are shown at once; the rest are a touch away."""

FEW_LINES = 3
"""Where there is less work of different kinds, what comes next is shown as well."""


@dataclass(frozen=True, slots=True)
class Done:
    """How far jobs were ticked: whole or in part, and when last."""

    whole: bool
    day: date


@dataclass(frozen=True, slots=True)
class Shown:
    """A line as it is shown: a caution stands in full where it is first met on the page, and is
    pointed to by its number from then on."""

    line: Line
    cautions: tuple[tuple[int, Text], ...]
    above: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Lines of work under one heading; `tone` is what the heading's bar says."""

    heading: str
    note: str
    tone: str
    lines: tuple[Line, ...]
    shown: tuple[Shown, ...] = ()

    @property
    def more(self) -> int:
        """Lines that are not shown."""
        return len(self.lines) - len(self.shown)

    @property
    def is_open(self) -> bool:
        """Whether its work is still to be done."""
        return self.tone != "done"


def now(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    most = len(sheet.plan.jobs) if sheet.plan and "all" in request.GET else MOST_LINES
    groups = _groups(sheet, most) if sheet.plan else ()
    asked = [group for group in groups if group.tone not in ("later", "done")]
    minutes = sum(line.minutes for group in asked for line in group.lines)
    first, last = sheet.span()
    context: dict[str, Any] = {"groups": groups, "minutes": minutes, "to_get": _due(sheet)}
    context |= {"from_day": first, "to_day": last}
    return show(request, sheet, "now", "The coming weeks", **context)


def _due(sheet: Sheet) -> int:
    """How many things are to be got by the end of these weeks."""
    if sheet.plan is None or sheet.bed:
        return 0
    last = sheet.span()[1]
    return sum(need.to_get > 0 and sheet.today <= need.by <= last for need in sheet.plan.needs)


def jobs(request: HttpRequest, slug: str) -> HttpResponse:
    """Why and how some jobs are done: a page, or the piece of a page that a line opens into."""
    sheet = open_sheet(request, slug)
    wanted = set(request.GET.getlist("job"))
    found = [job for job in planned(sheet).jobs if job.key in wanted]
    if not found:
        raise Http404("no such job in this plan")
    if request.headers.get("HX-Request"):
        return render(request, "perennate/jobs_piece.html", {"sheet": sheet, "jobs": found})
    lines = with_cautions(_lines(sheet, found), {})
    return show(request, sheet, "jobs", lines[0].line.title, jobs=found, lines=lines)


def with_cautions(lines: Sequence[Line], met: dict[Text, int]) -> tuple[Shown, ...]:
    """The lines as shown; `met` numbers the cautions met so far on the page and is added to."""
    shown: list[Shown] = []
    for line in lines:
        said = dict.fromkeys(one for job in line.jobs for one in job.cautions)
        above = tuple(met[one] for one in said if one in met)
        fresh = [one for one in said if one not in met]
        met.update({one: len(met) + count for count, one in enumerate(fresh, 1)})
        shown.append(Shown(line, tuple((met[one], one) for one in fresh), above))
    return tuple(shown)


def ticked(sheet: Sheet) -> dict[str, Done]:
    """What the records say of each job, by its key."""
    found: dict[str, Done] = {}
    for record in sorted(sheet.holding.records, key=lambda one: one.day):
        if record.job:
            before = found.get(record.job)
            whole = not record.part or (before is not None and before.whole)
            found[record.job] = Done(whole, record.day)
    return found


def _groups(sheet: Sheet, most: int) -> tuple[Group, ...]:
    assert sheet.plan is not None
    first, last = sheet.span()
    done = ticked(sheet)
    open_jobs: list[Job] = []
    done_jobs: list[Job] = []
    for job in sheet.plan.jobs:
        if not sheet.is_here(job):
            continue
        state = done.get(job.key)
        if state is not None and state.whole:
            if first <= state.day <= last or first <= job.best <= last:
                done_jobs.append(job)
        elif job.earliest <= last and (job.best >= first or first <= job.latest):
            open_jobs.append(job)
    missed = _missed(sheet, done)
    soon = [job for job in open_jobs if job.lost_if_missed and job.latest <= last]
    rest = [job for job in open_jobs if not (job.lost_if_missed and job.latest <= last)]
    due = [job for job in rest if job.best <= last]
    may = [job for job in rest if job.best > last]
    after = [
        job
        for job in sheet.plan.jobs
        if sheet.is_here(job) and job.earliest > last and job.key not in done
    ]
    shown = {_work(one, sheet.plantings) for one in (*missed, *_lines(sheet, open_jobs))}
    following = other_work(_lines(sheet, after), shown, sheet.plantings)
    next_lines = following[:FEW_LINES] if len(shown) < FEW_LINES else ()
    groups = (
        Group("Past its last day", "Not ticked. Do it now, or let it go.", "grave", missed),
        Group(
            "Lost if left", "Their last day falls within these weeks.", "mind", _lines(sheet, soon)
        ),
        Group("To do", "Their best day falls within these weeks.", "", _lines(sheet, due)),
        Group("May be done", "Their time has begun; best later.", "", _lines(sheet, may)),
        Group("Next", "What comes after these weeks.", "later", next_lines),
        Group("Done", "", "done", _lines(sheet, done_jobs)),
    )
    met: dict[Text, int] = {}
    return tuple(
        replace(group, shown=with_cautions(group.lines[:most], met))
        for group in groups
        if group.lines
    )


def _work(line: Line, plantings: Mapping[str, PlannedPlanting]) -> tuple[str, str]:
    """What is done and to what: the same for a round that comes every week."""
    planting = plantings.get(line.jobs[0].planting)
    return line.jobs[0].kind, planting.crop if planting else ""


def other_work(
    lines: Iterable[Line],
    shown: Collection[tuple[str, str]],
    plantings: Mapping[str, PlannedPlanting],
) -> tuple[Line, ...]:
    """The first line of each kind of work, by kind and crop, that is not shown already."""
    first: dict[tuple[str, str], Line] = {}
    for line in lines:
        first.setdefault(_work(line, plantings), line)
    return tuple(line for work, line in first.items() if work not in shown)


def _missed(sheet: Sheet, done: dict[str, Done]) -> tuple[Line, ...]:
    """Work whose last day has gone by unticked since the plan was made, where that matters."""
    assert sheet.plan is not None
    if sheet.first is not None and sheet.first > sheet.today:
        return ()
    late = [
        job
        for job in sheet.plan.jobs
        if job.lost_if_missed
        and sheet.plan.as_of <= job.latest < sheet.today
        and job.key not in done
        and sheet.is_here(job)
    ]
    return _lines(sheet, late)


def _lines(sheet: Sheet, jobs: Iterable[Job]) -> tuple[Line, ...]:
    return tuple(work_lines(list(jobs), sheet.plantings, sheet.units, sheet.names))
