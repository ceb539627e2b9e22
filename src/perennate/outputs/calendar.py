"""A plan's jobs as calendar files (RFC 5545, 2009; feed properties of RFC 7986, 2016).

Jobs are whole days, so no time zone can move them. Events and to-dos go into separate files,
since several common calendars refuse a file that holds to-dos.
"""

import uuid
from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from icalendar import Calendar

from perennate.planning.plan import Job, Plan, PlannedPlanting
from perennate.terms import text
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
    """One all-day event a job, on its best day, with its window in the description."""
    entries = []
    for job, planting in _jobs(plan):
        entries += _entry(
            "VEVENT",
            _common("VEVENT", plan, job, planting, names),
            f"DTSTART;VALUE=DATE:{job.best:%Y%m%d}",
            f"DTEND;VALUE=DATE:{job.best + timedelta(days=1):%Y%m%d}",
            "TRANSP:TRANSPARENT",
        )
    return _calendar(plan, say(text("calendar.name", holding=plan.holding.name)), entries)


def todo_ics(plan: Plan, names: Mapping[str, str] | None = None) -> bytes:
    """One to-do a job, from its earliest day.

    Due on the day after its latest: a DATE is overdue from its first moment on (section 3.8.2.3).
    """
    entries = []
    for job, planting in _jobs(plan):
        entries += _entry(
            "VTODO",
            _common("VTODO", plan, job, planting, names),
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


def _jobs(plan: Plan) -> list[tuple[Job, PlannedPlanting | None]]:
    plantings = by_key(plan)
    ordered = sorted(plan.jobs, key=lambda job: job.best)
    return [(job, plantings.get(job.planting)) for job in ordered]


def _common(
    entry: str,
    plan: Plan,
    job: Job,
    planting: PlannedPlanting | None,
    names: Mapping[str, str] | None,
) -> list[str]:
    units = plan.holding.units
    stamp = f"{plan.as_of:%Y%m%d}T000000Z"
    described = "\n".join(_description(job, units, names))
    return [
        f"UID:{_text_value(job_uid(plan.holding.name, job.key, entry))}",
        f"DTSTAMP:{stamp}",
        f"LAST-MODIFIED:{stamp}",
        f"SEQUENCE:{max(0, (plan.as_of - _SEQUENCE_FROM).days)}",
        f"SUMMARY:{_text_value(job_title(job, planting, units, names))}",
        f"DESCRIPTION:{_text_value(described)}",
        f"LOCATION:{_text_value(job.place)}",
        f"CATEGORIES:{_text_value(job.kind)}",
    ]


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
