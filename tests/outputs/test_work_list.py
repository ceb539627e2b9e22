"""Jobs in lines: what is done in one go stands in one line, everything else by itself."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

import made_plan
from perennate.outputs.work_list import work_lines
from perennate.planning.plan import Job

pytestmark = pytest.mark.usefixtures("made_words")
DAY = date(2026, 4, 6)
GROWN = {
    one.key: one
    for one in (
        made_plan.planting("a", "celeriac", "", "S1"),
        made_plan.planting("b", "celeriac", "", "S4"),
        made_plan.planting("c", "celeriac", "", "M2"),
        made_plan.planting("d", "leek", "", "M3"),
    )
}


def told(*jobs: Job) -> list[tuple[str, str]]:
    lines = work_lines(jobs, GROWN, "metric", {"celeriac": "Celeriac", "leek": "Leek"})
    return [(line.title, line.place) for line in lines]


def job(kind: str, planting: str, place: str, best: date = DAY, **others: object) -> Job:
    return made_plan.job(f"{kind} {planting} {best}", kind, planting, place, best, **others)


def test_one_sowing_in_the_nursery_for_several_beds_is_one_line_that_names_them() -> None:
    sown = [
        job("sow", key, "nursery", quantity=seeds)
        for key, seeds in (("a", 200.0), ("b", 300.0), ("c", 29.0))
    ]
    assert told(*sown) == [("Sow Celeriac, 529 seeds for S1, S4, M2", "nursery")]


def test_sowings_in_the_beds_of_one_crop_and_day_stand_with_their_places() -> None:
    sown = [job("sow", key, GROWN[key].bed, quantity=100.0) for key in "abc"]
    assert told(*sown) == [("Sow Celeriac, 300 seeds", "S1, S4, M2")]


def test_ground_is_made_ready_in_one_line_whatever_is_to_grow_there() -> None:
    made = [job("prepare bed", key, GROWN[key].bed, quantity=4.0, unit="m2") for key in "ad"]
    assert told(*made) == [("Prepare bed, 8 m²", "S1, M3")]


def test_other_crops_days_and_kinds_keep_lines_of_their_own() -> None:
    jobs = [
        job("sow", "a", "S1"),
        job("sow", "d", "M3"),
        job("weed", "a", "S1"),
        job("sow", "b", "S4", DAY + timedelta(days=1)),
    ]
    assert len(told(*jobs)) == 4


def test_a_line_keeps_the_days_that_suit_all_its_jobs_and_adds_their_minutes() -> None:
    early = job("sow", "a", "S1", earliest=DAY - timedelta(9), latest=DAY + timedelta(2))
    late = job("sow", "b", "S4", earliest=DAY - timedelta(1), latest=DAY + timedelta(20))
    (line,) = work_lines((early, replace(late, lost_if_missed=True)), GROWN, "metric")
    assert line.window == (DAY - timedelta(1), DAY + timedelta(2))
    assert line.minutes == 50.0
    assert line.lost_if_missed


def test_a_job_without_a_place_is_for_the_whole_holding() -> None:
    assert told(job("look over", "", "", quantity=15.8, unit="m2")) == [
        ("Look over, 15.8 m²", "whole holding")
    ]
