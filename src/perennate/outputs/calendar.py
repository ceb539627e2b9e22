"""A plan's jobs as calendar files (RFC 5545, 2009; feed properties of RFC 7986, 2016).

Jobs are whole days, so no time zone can move them. Events and to-dos go into separate files,
since several common calendars refuse a file that holds to-dos.
"""

import uuid
from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta

from icalendar import Calendar, Event, Todo

from perennate.planning.plan import Job, Plan, PlannedPlanting
from perennate.terms import text
from perennate.words import Units, say
from perennate.words.lines import by_key, job_title

_PRODUCT = "-//Perennate//Season//EN"
_REFRESH = timedelta(days=1)
_SPACE = uuid.uuid5(uuid.NAMESPACE_URL, "perennate:job")
_SEQUENCE_FROM = date(2000, 1, 1)
_PRIORITY_LOST = 1
_PRIORITY_USUAL = 5


def jobs_ics(plan: Plan, names: Mapping[str, str] | None = None) -> bytes:
    """One all-day event a job, on its best day, with its window in the description."""
    calendar = _calendar(plan, say(text("calendar.name", holding=plan.holding.name)))
    for job, planting in _jobs(plan):
        event = Event()
        _common(event, plan, job, planting, names)
        event.add("dtstart", job.best)
        event.add("dtend", job.best + timedelta(days=1))
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical(sorted=False))


def todo_ics(plan: Plan, names: Mapping[str, str] | None = None) -> bytes:
    """One to-do a job, from its earliest day.

    Due on the day after its latest: a DATE is overdue from its first moment on (section 3.8.2.3).
    """
    calendar = _calendar(plan, say(text("calendar.todo_name", holding=plan.holding.name)))
    for job, planting in _jobs(plan):
        todo = Todo()
        _common(todo, plan, job, planting, names)
        todo.add("dtstart", job.earliest)
        todo.add("due", job.latest + timedelta(days=1))
        todo.add("status", "NEEDS-ACTION")
        todo.add("priority", _PRIORITY_LOST if job.lost_if_missed else _PRIORITY_USUAL)
        calendar.add_component(todo)
    return bytes(calendar.to_ical(sorted=False))


def job_uid(holding: str, job: str, entry: str = "VEVENT") -> str:
    """The identity of a job's entry: the same in every export, unlike that of other holdings.

    Event and to-do of one job differ, so that both files can go into one calendar.
    """
    name = "\n".join((entry, holding, job))
    return f"{uuid.uuid5(_SPACE, name)}@perennate"


def _calendar(plan: Plan, title: str) -> Calendar:
    calendar = Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("name", title)
    calendar.add("x-wr-calname", title)
    calendar.add("refresh-interval", _REFRESH, parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", "P1D")
    return calendar


def _jobs(plan: Plan) -> list[tuple[Job, PlannedPlanting | None]]:
    plantings = by_key(plan)
    ordered = sorted(plan.jobs, key=lambda job: job.best)
    return [(job, plantings.get(job.planting)) for job in ordered]


def _common(
    entry: Event | Todo,
    plan: Plan,
    job: Job,
    planting: PlannedPlanting | None,
    names: Mapping[str, str] | None,
) -> None:
    units = plan.holding.units
    stamp = datetime.combine(plan.as_of, time(), UTC)
    entry.add("uid", job_uid(plan.holding.name, job.key, str(entry.name)))
    entry.add("dtstamp", stamp)
    entry.add("last-modified", stamp)
    entry.add("sequence", max(0, (plan.as_of - _SEQUENCE_FROM).days))
    entry.add("summary", job_title(job, planting, units, names))
    entry.add("description", "\n".join(_description(job, units, names)))
    entry.add("location", job.place)
    entry.add("categories", [job.kind])


def _description(job: Job, units: Units, names: Mapping[str, str] | None) -> list[str]:
    lines = [
        say(text("calendar.window", earliest=job.earliest, latest=job.latest, best=job.best)),
        say(job.why, units=units, names=names),
    ]
    if job.lost_if_missed:
        lines.append(say(text("calendar.lost", latest=job.latest)))
    if job.minutes.value > 0:
        lines.append(say(text("calendar.minutes", minutes=job.minutes.value)))
    for rule in job.go:
        lines.append(say(text("calendar.go", rule=say(rule, units=units, names=names))))
    for caution in job.cautions:
        said = say(caution, units=units, names=names)
        lines.append(say(text("calendar.caution", caution=said)))
    return lines
