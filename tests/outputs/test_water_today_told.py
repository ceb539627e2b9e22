"""Today's water in few lines: what presses first, the rest counted."""

from datetime import date, timedelta

from perennate.outputs.water_today import now_says, today_says
from perennate.planning.water.today import BedToday
from perennate.terms import text
from perennate.words import say

TODAY = date(2026, 6, 15)
SAID = {"crop": "kale", "held": 0.4, "rain": 3.0, "days": 30, "read": 12}


def bed(key: str, due: int | None, litres: float = 0.0, **others: object) -> BedToday:
    said = {**SAID, "bed": key, **others}
    if due is None:
        words = text("water.today.enough", ahead=14, **said)
    else:
        day = TODAY + timedelta(due)
        code = "water.today.now" if due == 0 else "water.today.later"
        words = text(code, litres=litres, mm=litres / 4, day=day, **said)
    day = None if due is None else TODAY + timedelta(due)
    return BedToday(key, 0.4, False, day, litres, litres / 4, words)


def drowned(key: str) -> BedToday:
    return BedToday(key, 1.0, True, None, 0.0, 0.0, text("water.today.airless", bed=key, **SAID))


BEDS = [drowned("W"), bed("A", 0, 40.0), bed("B", 0, 30.0)] + [
    bed(f"L{number}", number, 10.0) for number in range(1, 6)
] + [bed("E", None), bed("F", None)]  # fmt: skip


def codes(of: list[BedToday], key: str = "") -> list[str]:
    return [one.code.removeprefix("water.today.") for one in today_says(of, key)]


def test_what_presses_comes_first_and_the_rest_is_counted() -> None:
    assert codes(BEDS) == ["airless", "now", "now", "later", "later", "later", "more_later", "rest"]
    said = [say(one) for one in today_says(BEDS)]
    assert "2 more beds" in said[-2]
    assert said[-1].startswith("2 beds have enough")


def test_many_beds_that_want_water_are_told_in_few_lines() -> None:
    many = [bed(f"N{number}", 0, 10.0) for number in range(9)]
    assert codes(many) == ["now"] * 6 + ["more_now"]
    assert say(today_says(many)[-1]) == "3 more beds want 30 L in all today: N6, N7, N8."


def test_of_one_bed_its_own_line_is_given() -> None:
    assert codes(BEDS, "F") == ["enough"]
    assert codes(BEDS, "nowhere") == []


def test_it_is_said_where_nothing_was_read() -> None:
    assert codes([bed("A", 0, 40.0, read=0)]) == ["unread", "now"]


def test_one_line_for_the_coming_weeks() -> None:
    line = now_says(BEDS)
    assert line is not None
    assert say(line) == "2 beds want water today, 70 L in all; 1 bed is too wet."
    none = now_says([bed("E", None)])
    assert none is not None
    assert say(none) == "No bed wants water today."
    wet = now_says([drowned("W")])
    assert wet is not None
    assert say(wet) == "No bed wants water today; 1 bed is too wet."
    dry = now_says([bed("A", 0, 40.0)])
    assert dry is not None
    assert say(dry) == "1 bed wants water today, 40 L in all."
    assert now_says([]) is None
