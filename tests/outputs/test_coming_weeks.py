"""The work of some weeks: every job stands once, under what presses most."""

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

import made_plan
from perennate.outputs.coming_weeks import FEW_LINES, Weeks, coming_weeks
from perennate.planning.done import Done

PLAN = made_plan.made_plan()
PLANTINGS = {one.key: one for one in PLAN.plantings}
JOB = PLAN.jobs[0]
TODAY = PLAN.as_of + timedelta(days=40)

days = st.integers(-60, 60).map(lambda n: TODAY + timedelta(days=n))


def groups(jobs, done=None, first=TODAY, last=TODAY + timedelta(days=20)):
    weeks = Weeks(TODAY, first, last, PLAN.as_of)
    made = made_plan.NAMES
    return coming_weeks(jobs, done or {}, weeks, PLANTINGS, "metric", made, 99)


def job(key: str, earliest: date, best: date, latest: date, lost: bool = False):
    return replace(
        JOB, key=key, earliest=earliest, best=best, latest=latest, lost_if_missed=lost, kind=key
    )


@st.composite
def some_jobs(draw):
    made = []
    for number in range(draw(st.integers(1, 8))):
        window = sorted(draw(st.tuples(days, days, days)))
        made.append(job(f"job {number}", *window, draw(st.booleans())))
    return made


@given(some_jobs(), st.data())
def test_no_job_stands_twice_and_none_that_may_be_done_now_is_left_out(jobs, data) -> None:
    ticks = data.draw(st.dictionaries(st.sampled_from([one.key for one in jobs]), st.booleans()))
    done = {key: Done(whole, TODAY) for key, whole in ticks.items()}
    found = groups(jobs, done)
    stand = Counter(one.key for group in found for line in group.lines for one in line.jobs)
    assert all(count == 1 for count in stand.values())
    for one in jobs:
        if one.earliest <= TODAY <= one.latest:
            assert one.key in stand


def test_what_is_lost_if_left_comes_before_what_is_due() -> None:
    near, far = TODAY + timedelta(days=3), TODAY + timedelta(days=90)
    lost = job("sow", TODAY, TODAY, near, lost=True)
    due = job("weed", TODAY, near, far)
    may = job("feed", TODAY, far, far)
    past = job("chit", TODAY - timedelta(9), TODAY - timedelta(9), TODAY - timedelta(1), lost=True)
    assert [group.press for group in groups([due, may, lost, past])] == [
        "past",
        "lost",
        "due",
        "may",
    ]
    assert [
        group.press for group in groups([replace(past, latest=PLAN.as_of - timedelta(1))])
    ] == []


def test_a_quiet_week_tells_what_comes_next_and_does_not_count_its_minutes() -> None:
    later = [
        job(
            f"work {n}", TODAY + timedelta(30 + n), TODAY + timedelta(31 + n), TODAY + timedelta(40)
        )
        for n in range(5)
    ]
    (found,) = groups(later)
    assert (found.press, len(found.lines), found.minutes) == ("next", FEW_LINES, 0.0)


def test_a_caution_stands_in_full_once_and_is_pointed_to_after_that() -> None:
    wary = next(one for one in PLAN.jobs if one.cautions)
    pair = [
        replace(wary, key=key, kind=key, earliest=TODAY, best=TODAY, latest=TODAY)
        for key in ("lift", "turn")
    ]
    (found,) = groups(pair)
    first, second = found.shown
    assert [text for _, text in first.cautions] == list(wary.cautions)
    assert (second.cautions, second.above) == ((), tuple(n for n, _ in first.cautions))
