"""jobs.ics read back by a second library, and line by line as RFC 5545 (2009) writes it."""

import re
from dataclasses import replace
from datetime import date, timedelta

import icalendar
import pytest
import vobject

import made_plan
from perennate.outputs.calendar import job_uid, jobs_ics, todo_ics
from perennate.planning.plan import Plan

pytestmark = pytest.mark.usefixtures("made_words")


@pytest.fixture
def plan() -> Plan:
    return made_plan.made_plan()


def unfolded(data: bytes) -> list[str]:
    """Content lines, section 3.1: a line goes on where CRLF and a space follow."""
    return data.replace(b"\r\n ", b"").decode("utf-8").split("\r\n")[:-1]


def text_of(value: str) -> str:
    """A TEXT value with its escapes taken back, section 3.3.11."""
    opened = {"n": "\n", "N": "\n"}
    return re.sub(r"\\(.)", lambda found: opened.get(found[1], found[1]), value)


def test_another_library_reads_every_job_on_its_best_day(plan: Plan) -> None:
    calendar = vobject.readOne(jobs_ics(plan, made_plan.NAMES).decode("utf-8"))
    assert len(calendar.vevent_list) == len(plan.jobs)
    for event, job in zip(
        calendar.vevent_list, sorted(plan.jobs, key=lambda job: (job.best, job.key)), strict=True
    ):
        assert event.dtstart.value == job.best
        assert event.dtend.value == job.best + timedelta(days=1)
        assert event.location.value == job.place
        assert job.earliest.isoformat() in event.description.value
        assert job.latest.isoformat() in event.description.value
        assert event.transp.value == "TRANSPARENT"


def test_names_in_other_scripts_and_signs_come_through(plan: Plan) -> None:
    calendar = icalendar.Calendar.from_ical(jobs_ics(plan, made_plan.NAMES))
    sown = next(one for one in calendar.walk("VEVENT") if one["LOCATION"] == "Süd 1; Süd 2, Süd 3")
    assert sown["SUMMARY"] == "Weed, 420 m²"
    titles = {str(one["SUMMARY"]) for one in calendar.walk("VEVENT")}
    assert "Sow Carrot 'Rotkäppchen', 420 seeds" in titles


def test_lines_end_with_crlf_and_fold_at_75_octets_between_letters(plan: Plan) -> None:
    long = replace(plan.jobs[0], place="Beet hinter der Scheune ü" * 12)
    data = jobs_ics(replace(plan, jobs=(long,)))
    assert data.count(b"\n") == data.count(b"\r\n")
    lines = data.split(b"\r\n")
    assert all(len(line) <= 75 for line in lines)
    assert any(line.startswith(b" ") for line in lines)
    for line in lines:
        line.decode("utf-8")
    assert f"LOCATION:{long.place}" in unfolded(data)


def test_days_are_dates_the_end_is_the_day_after_and_a_leap_day_stays(plan: Plan) -> None:
    lines = unfolded(jobs_ics(plan))
    assert "DTSTART;VALUE=DATE:20280229" in lines
    assert "DTEND;VALUE=DATE:20280301" in lines
    assert not any(line.startswith("BEGIN:VTIMEZONE") for line in lines)


def test_the_stamp_is_the_day_of_the_plan_and_bytes_repeat(plan: Plan) -> None:
    assert jobs_ics(plan) == jobs_ics(plan)
    stamps = {line for line in unfolded(jobs_ics(plan)) if line.startswith("DTSTAMP")}
    assert stamps == {"DTSTAMP:20260302T000000Z"}
    later = unfolded(jobs_ics(replace(plan, as_of=date(2026, 3, 9))))
    assert "DTSTAMP:20260309T000000Z" in later


def test_an_entry_keeps_its_uid_when_its_job_moves_and_the_sequence_grows(plan: Plan) -> None:
    moved = replace(
        plan,
        as_of=date(2026, 3, 9),
        jobs=tuple(replace(job, best=job.best + timedelta(days=1)) for job in plan.jobs),
    )
    before, after = (icalendar.Calendar.from_ical(jobs_ics(one)) for one in (plan, moved))
    uids = [[str(event["UID"]) for event in one.walk("VEVENT")] for one in (before, after)]
    assert sorted(uids[0]) == sorted(uids[1])
    assert len(set(uids[0])) == len(plan.jobs)
    assert after.walk("VEVENT")[0]["SEQUENCE"] > before.walk("VEVENT")[0]["SEQUENCE"]


def test_two_holdings_with_equal_job_keys_do_not_collide() -> None:
    assert job_uid("Oberhof", "j1") != job_uid("Unterhof", "j1")
    assert job_uid("Oberhof", "j1") == job_uid("Oberhof", "j1")


def test_the_feed_names_itself_and_asks_to_be_read_daily(plan: Plan) -> None:
    lines = unfolded(jobs_ics(plan))
    assert lines[0] == "BEGIN:VCALENDAR"
    assert {"VERSION:2.0", "REFRESH-INTERVAL;VALUE=DURATION:P1D"} <= set(lines)
    assert "NAME:Hof Überlengries: season" in lines
    assert "X-WR-CALNAME:Hof Überlengries: season" in lines
    assert any(line.startswith("PRODID:") for line in lines)


def test_why_rules_of_the_day_and_cautions_stand_in_the_description(plan: Plan) -> None:
    described = [
        text_of(line.removeprefix("DESCRIPTION:"))
        for line in unfolded(jobs_ics(plan))
        if line.startswith("DESCRIPTION:")
    ]
    planted = next(one for one in described if "Caution" in one)
    assert planted.splitlines() == [
        "From 2026-05-18 to 2026-06-04; best 2026-05-25.",
        "p-tomato serves Möhren.",
        "About 25 min.",
        "On the day: Go when the soil has 14 °C on three mornings.",
        "Caution: Lift with a straight back.",
    ]
    assert any("Lost for this season when not done by 2026-04-16." in one for one in described)


def test_events_and_todos_are_never_mixed(plan: Plan) -> None:
    events = icalendar.Calendar.from_ical(jobs_ics(plan))
    todos = icalendar.Calendar.from_ical(todo_ics(plan))
    assert not events.walk("VTODO")
    assert not todos.walk("VEVENT")
    assert len(todos.walk("VTODO")) == len(plan.jobs)
    both = [str(one["UID"]) for one in (*events.walk("VEVENT"), *todos.walk("VTODO"))]
    assert len(set(both)) == len(both)


def test_a_todo_is_due_the_day_after_its_latest_day(plan: Plan) -> None:
    todo = icalendar.Calendar.from_ical(todo_ics(plan)).walk("VTODO")[0]
    job = min(plan.jobs, key=lambda job: (job.best, job.key))
    assert todo.decoded("DTSTART") == job.earliest
    assert todo.decoded("DUE") == job.latest + timedelta(days=1)


def test_a_plan_without_jobs_is_still_a_calendar(plan: Plan) -> None:
    calendar = icalendar.Calendar.from_ical(jobs_ics(replace(plan, jobs=())))
    assert calendar["VERSION"] == "2.0"


def test_all_waterings_of_a_week_are_one_entry_that_names_each_bed(plan: Plan) -> None:
    week = date(2026, 6, 1)
    waterings = [
        replace(plan.jobs[0], key=f"w{bed}", kind="water", planting="", place=bed, best=week,
                earliest=week, latest=week + timedelta(6), quantity=40.0, unit="l", go=())
        for bed in ("S1", "S2", "M7")
    ]  # fmt: skip
    wet = replace(plan, jobs=(*plan.jobs, *waterings))
    for written, kind in ((jobs_ics, "VEVENT"), (todo_ics, "VTODO")):
        entries = icalendar.Calendar.from_ical(written(wet)).walk(kind)
        assert len(entries) == len(plan.jobs) + 1
        (one,) = [entry for entry in entries if str(entry["SUMMARY"]).startswith("Water")]
        assert str(one["SUMMARY"]) == "Water, 120 L"
        assert str(one["LOCATION"]) == "S1, S2, M7"
        fewer = replace(plan, jobs=(*plan.jobs, *waterings[1:]))
        (same,) = [
            entry
            for entry in icalendar.Calendar.from_ical(written(fewer)).walk(kind)
            if str(entry["SUMMARY"]).startswith("Water")
        ]
        assert same["UID"] == one["UID"], "whichever beds are in it"
