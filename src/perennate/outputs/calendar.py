"""A plan's jobs as calendar files (RFC 5545, 2009; feed properties of RFC 7986, 2016).

Jobs are whole days, so no time zone can move them. Events and to-dos go into separate files,
since several common calendars refuse a file that holds to-dos.
"""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from icalendar import Calendar

from perennate.planning.labour import sum_minutes
from perennate.planning.plan import Job, Plan, PlannedPlanting
from perennate.planning.water.watering_jobs import WATER
from perennate.terms import Text, text
from perennate.words import Units, say
from perennate.words.lines import by_key, job_title

_PRODUCT = "-//Perennate//Season//EN"
_REFRESH = timedelta(days=1)
_SPACE = uuid.uuid5(uuid.NAMESPACE_URL, "perennate:job")
_SEQUENCE_FROM = date(2000, 1, 1)
_MOST_OCTETS = 75
_PRIORITY_LOST = 1
_PRIORITY_USUAL = 5


def jobs_ics(plan: Plan, names: Mapping[str, str] | None = None) -> bytes:
    """One all-day event a job, on its best day, with its window in the description; one for all
    waterings of a week."""
    entries = []
    for one in _entries(plan):
        job = one.job
        entries += _entry(
            "VEVENT",
            _common("VEVENT", plan, one, names),
            f"DTSTART;VALUE=DATE:{job.best:%Y%m%d}",
            f"DTEND;VALUE=DATE:{job.best + timedelta(days=1):%Y%m%d}",
            "TRANSP:TRANSPARENT",
        )
    return _calendar(plan, say(text("calendar.name", holding=plan.holding.name)), entries)


def todo_ics(plan: Plan, names: Mapping[str, str] | None = None) -> bytes:
    """One to-do a job (one for all waterings of a week), from its earliest day.

    Due on the day after its latest: a DATE is overdue from its first moment on (section 3.8.2.3).
    """
    entries = []
    for one in _entries(plan):
        job = one.job
        entries += _entry(
            "VTODO",
            _common("VTODO", plan, one, names),
            f"DTSTART;VALUE=DATE:{job.earliest:%Y%m%d}",
            f"DUE;VALUE=DATE:{job.latest + timedelta(days=1):%Y%m%d}",
            "STATUS:NEEDS-ACTION",
            f"PRIORITY:{_PRIORITY_LOST if job.lost_if_missed else _PRIORITY_USUAL}",
        )
    return _calendar(plan, say(text("calendar.todo_name", holding=plan.holding.name)), entries)


def job_uid(holding: str, job: str, entry: str = "VEVENT") -> str:
    """The identity of a job's entry: the same in every export, unlike that of other holdings.

    Event and to-do of one job differ, so that both files can go into one calendar.
    """
    name = "\n".join((entry, holding, job))
    return f"{uuid.uuid5(_SPACE, name)}@perennate"


def _calendar(plan: Plan, title: str, entries: Sequence[str]) -> bytes:
    """The calendar around its entries.

    The frame is icalendar's; entries, thousands of them, are written as lines, since building a
    component of each takes ten times as long as all else.
    """
    calendar = Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("name", title)
    calendar.add("x-wr-calname", title)
    calendar.add("refresh-interval", _REFRESH, parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", "P1D")
    frame = bytes(calendar.to_ical(sorted=False))
    end = frame.rindex(b"END:VCALENDAR")
    return b"".join((frame[:end], *map(_folded, entries), frame[end:]))


def _entry(name: str, common: Sequence[str], *own: str) -> list[str]:
    return [f"BEGIN:{name}", *common, *own, f"END:{name}"]


def _folded(line: str) -> bytes:
    """A content line in pieces of at most 75 octets, cut between letters (section 3.1)."""
    octets = line.encode("utf-8")
    pieces = []
    most = _MOST_OCTETS
    while len(octets) > most:
        cut = most
        while octets[cut] & 0xC0 == 0x80:
            cut -= 1
        pieces.append(octets[:cut])
        octets = octets[cut:]
        most = _MOST_OCTETS - 1  # the space that marks the rest takes one
    return b"\r\n ".join((*pieces, octets)) + b"\r\n"


def _text_value(value: str) -> str:
    """A TEXT value with its escapes (section 3.3.11); lines end as \\n however they ended."""
    opened = value.replace("\r\n", "\n").replace("\r", "\n").replace("\\", "\\\\")
    return opened.replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")


@dataclass(frozen=True, slots=True)
class _Entry:
    """What is one entry of a calendar: a job, or all waterings of a week, bed by bed."""

    key: str
    job: Job
    planting: PlannedPlanting | None
    whys: tuple[Text, ...]


def _entries(plan: Plan) -> list[_Entry]:
    plantings = by_key(plan)
    ordered = sorted(plan.jobs, key=lambda job: job.best)
    waterings: dict[date, list[Job]] = {}
    for job in ordered:
        if job.kind == WATER:
            waterings.setdefault(job.best, []).append(job)
    found = []
    for job in ordered:
        if job.kind != WATER:
            found.append(_Entry(job.key, job, plantings.get(job.planting), (job.why,)))
        elif job is waterings[job.best][0]:
            found.append(_of_a_week(waterings[job.best]))
    return found


def _of_a_week(jobs: Sequence[Job]) -> _Entry:
    cautions = tuple(dict.fromkeys(caution for job in jobs for caution in job.cautions))
    whole = replace(
        jobs[0],
        place=", ".join(job.place for job in jobs),
        quantity=sum(job.quantity for job in jobs),
        minutes=sum_minutes(jobs),
        go=(),
        cautions=cautions,
    )
    return _Entry(f"{WATER} {jobs[0].best}", whole, None, tuple(job.why for job in jobs))


def _common(kind: str, plan: Plan, entry: _Entry, names: Mapping[str, str] | None) -> list[str]:
    units = plan.holding.units
    job, planting = entry.job, entry.planting
    stamp = f"{plan.as_of:%Y%m%d}T000000Z"
    described = "\n".join(_description(entry, units, names))
    return [
        f"UID:{_text_value(job_uid(plan.holding.name, entry.key, kind))}",
        f"DTSTAMP:{stamp}",
        f"LAST-MODIFIED:{stamp}",
        f"SEQUENCE:{max(0, (plan.as_of - _SEQUENCE_FROM).days)}",
        f"SUMMARY:{_text_value(job_title(job, planting, units, names))}",
        f"DESCRIPTION:{_text_value(described)}",
        f"LOCATION:{_text_value(job.place)}",
        f"CATEGORIES:{_text_value(job.kind)}",
    ]


def _description(entry: _Entry, units: Units, names: Mapping[str, str] | None) -> list[str]:
    job = entry.job
    lines = [
        say(text("calendar.window", earliest=job.earliest, latest=job.latest, best=job.best)),
        *(say(why, units=units, names=names) for why in entry.whys),
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
