"""What the records say stands in the ground."""

from datetime import date

import made_plan
from perennate.holding.model import Record
from perennate.planning.in_ground import in_ground


def record(job: str, *, part: bool = False) -> Record:
    day = date(2026, 4, 6)
    return Record(f"{job} {day}", day, "", "", "", None, "", None, job=job, part=part)


def test_nothing_is_in_the_ground_before_anything_is_written_down() -> None:
    assert in_ground(made_plan.made_plan(), []) == frozenset()


def test_what_was_sown_in_its_bed_is_in_the_ground() -> None:
    assert in_ground(made_plan.made_plan(), [record("j-sow-carrot")]) == {"p-carrot"}


def test_what_was_sown_in_part_is_in_the_ground_too() -> None:
    assert in_ground(made_plan.made_plan(), [record("j-sow-carrot", part=True)]) == {"p-carrot"}


def test_what_was_sown_under_cover_is_not_in_the_ground_until_it_is_planted_out() -> None:
    plan = made_plan.made_plan()
    assert in_ground(plan, [record("j-sow-tomato")]) == frozenset()
    assert in_ground(plan, [record("j-sow-tomato"), record("j-plant-tomato")]) == {"p-tomato"}
