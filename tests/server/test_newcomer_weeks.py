"""What is shown in a week of which little is to be said."""

from dataclasses import replace
from datetime import date, timedelta

import made_plan
from perennate.outputs.coming_weeks import other_work
from perennate.outputs.work_list import work_lines
from perennate.planning.plan import Job

QUIET = date(2026, 11, 30)


def rounds(weeks: int) -> list[Job]:
    """A round of every week, each of another area, as in a bed that grows."""
    plain = made_plan.job("round", "look over", "", "", QUIET, unit="m2")
    return [
        replace(
            plain,
            key=f"round {week}",
            quantity=7.0 + week,
            best=QUIET + timedelta(weeks=week),
        )
        for week in range(weeks)
    ]


def test_next_comes_work_of_other_kinds_and_no_round_that_is_shown_already() -> None:
    plantings = {one.key: one for one in made_plan.made_plantings()}
    later = [replace(job, best=QUIET + timedelta(100)) for job in made_plan.made_jobs()]
    lines = work_lines([*rounds(6), *later], plantings, "metric")
    following = other_work(lines, {("look over", "")}, plantings)
    assert following
    assert not any(line.jobs[0].key.startswith("round") for line in following)


def test_next_names_a_round_once_where_none_is_shown() -> None:
    lines = work_lines(rounds(6), {}, "metric")
    assert [line.best for line in other_work(lines, (), {})] == [QUIET]
