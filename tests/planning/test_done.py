"""Jobs that were done become records that a holding can hold."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

import made_plan
from perennate.holding.schema import table_schema
from perennate.planning.done import record_of, shared_out, ticked

KINDS = table_schema("records").field("kind").choices


def test_every_job_is_recorded_under_a_kind_that_records_have() -> None:
    plan = made_plan.made_plan()
    plantings = {one.key: one for one in plan.plantings}
    for job in plan.jobs:
        record = record_of(job, plantings.get(job.planting), job.best, job.quantity, part=False)
        assert record.kind in KINDS
        assert (record.job, record.amount, record.unit) == (job.key, job.quantity, job.unit)


def test_work_without_a_kind_of_its_own_is_named_in_the_note() -> None:
    job = next(iter(made_plan.made_plan().jobs))

    record = record_of(replace(job, kind="thresh"), None, date(2026, 8, 1), None, part=True)
    assert (record.kind, record.note, record.part, record.unit) == ("work", "thresh", True, "")


@given(st.floats(0.01, 1e4), st.lists(st.floats(0, 1e3), min_size=1, max_size=6))
def test_a_shared_amount_is_given_out_whole_and_in_proportion(
    amount: float, planned: list[float]
) -> None:

    job = next(iter(made_plan.made_plan().jobs))
    jobs = tuple(replace(job, quantity=one) for one in planned)
    shares = shared_out(amount, jobs)
    assert sum(shares) == pytest.approx(amount)
    if sum(planned) > 0:
        assert all(
            share * sum(planned) == pytest.approx(amount * one, rel=1e-9, abs=1e-9)
            for share, one in zip(shares, planned, strict=True)
        )


def test_what_was_done_whole_once_stays_done_and_the_last_day_counts() -> None:
    job = next(iter(made_plan.made_plan().jobs))
    days = [date(2026, 4, day) for day in (9, 2, 12)]
    records = [
        record_of(job, None, day, None, part)
        for day, part in zip(days, (False, True, True), strict=True)
    ]
    assert ticked(records)[job.key].whole
    assert ticked(records)[job.key].day == days[2]
    assert not ticked(records[1:])[job.key].whole
    assert ticked([replace(records[0], job="")]) == {}
