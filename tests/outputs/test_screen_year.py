"""The year by bed: bars by weeks and metres."""

from dataclasses import replace
from datetime import date, timedelta

from django.template.loader import render_to_string
from hypothesis import given, settings
from hypothesis import strategies as st

import made_plan
from made_pictures import (
    HOLDING,
    beds_in_a_row,
    path_points,
    place_href,
    plans,
    planting_href,
    sound,
    within,
)
from perennate.outputs.screen.year_sheet import YearBand, YearSheet, year_sheet
from perennate.planning.plan import Plan

PLAN = made_plan.made_plan()


def sheet(plan: Plan = PLAN, **others: object) -> YearSheet:
    given = {"holding": HOLDING, **others}
    holding = given.pop("holding")
    return year_sheet(plan, holding, made_plan.NAMES, planting_href, place_href, **given)  # type: ignore[arg-type]


def band(drawn: YearSheet, key: str) -> YearBand:
    (found,) = (one for one in drawn.bands if one.key == key)
    return found


@settings(deadline=None)
@given(plans(), st.integers(-60, 300), st.integers(0, 500))
def test_every_planting_of_the_span_has_one_bar_within_its_band(
    plan: Plan, offset: int, days: int
) -> None:
    first = plan.start + timedelta(days=offset)
    last = first + timedelta(days=days)
    drawn = sheet(plan, span=(first, last))
    seen = sorted(
        one.key for one in plan.plantings if one.ground_from <= last and one.ground_to > first
    )
    assert sorted(bar.key for band in drawn.bands for bar in band.bars) == seen
    assert len(drawn.table.rows) == len(seen)
    assert sound(drawn)
    for row in drawn.bands:
        assert row.y + row.h <= drawn.bottom + 0.11
        for bar in row.bars:
            assert within(bar, drawn.right, row.y + row.h + 1.0, drawn.left, row.y)
        for path in (row.covers, *(bar.picks for bar in row.bars)):
            points = path_points(path)
            assert all(drawn.left - 0.1 <= x <= drawn.right + 0.1 for x, _ in points)
            assert all(row.y - 4 <= y <= row.y + row.h + 4 for _, y in points)
    marks = (*drawn.months, *drawn.weeks)
    assert all(drawn.left - 0.1 <= mark.x <= drawn.right for mark in marks)


def test_a_bar_is_as_long_as_its_weeks_and_as_high_as_its_share() -> None:
    drawn = sheet()
    row = band(drawn, "Süd 1")
    carrot = next(bar for bar in row.bars if bar.key == "p-carrot")
    assert abs(carrot.w - 140 * drawn.span / 364) < 0.2
    assert abs(carrot.h - row.h * 2 / 6) < 0.2
    assert carrot.y == row.y


def test_time_under_cover_is_a_line_up_to_planting_out() -> None:
    drawn = sheet()
    row = band(drawn, "Žleb")
    (bar,) = row.bars
    points = path_points(row.covers)
    assert max(x for x, _ in points) == bar.x
    assert abs(bar.x - min(x for x, _ in points) - 77 * drawn.span / 364) < 0.2
    assert band(drawn, "Süd 1").covers == ""


def test_weeks_of_picking_are_ticks_at_the_foot_of_the_bar() -> None:
    carrot = next(bar for bar in band(sheet(), "Süd 1").bars if bar.key == "p-carrot")
    feet = path_points(carrot.picks)[::2]
    assert len(feet) == 7
    assert {y for _, y in feet} == {carrot.y + carrot.h}


def test_what_reaches_past_the_span_is_cut_and_says_so() -> None:
    drawn = sheet(span=(date(2026, 5, 1), date(2026, 6, 30)))
    carrot = next(bar for bar in band(drawn, "Süd 1").bars if bar.key == "p-carrot")
    assert (carrot.cut_left, carrot.cut_right) == (True, True)
    assert (carrot.x, carrot.w) == (drawn.left, drawn.span)


def test_a_planting_whose_ground_is_free_on_the_first_day_is_not_shown() -> None:
    free = date(2026, 8, 24)
    keys = {bar.key for bar in band(sheet(span=(free, date(2026, 9, 30))), "Süd 1").bars}
    assert "p-carrot" not in keys
    before = sheet(span=(free - timedelta(days=1), date(2026, 9, 30)))
    assert "p-carrot" in {bar.key for bar in band(before, "Süd 1").bars}


def test_one_bed_alone_is_drawn_larger() -> None:
    alone = sheet(beds=("Süd 2",))
    assert [row.key for row in alone.bands] == ["Süd 2"]
    assert alone.bands[0].h > band(sheet(), "Süd 2").h
    assert [row[0] for row in alone.table.rows] == ["Süd 2"]


def test_with_a_group_chosen_the_others_are_light() -> None:
    bars = [bar for row in sheet(group="Apiaceae").bands for bar in row.bars]
    assert {bar.key for bar in bars if not bar.light} == {"p-carrot"}
    assert not any(bar.light for row in sheet().bands for bar in row.bars)
    assert not any(bar.label for bar in bars if bar.light)
    assert band(sheet(group="Apiaceae"), "Žleb").covers == ""


def test_plants_to_sell_stand_in_the_nursery_in_lanes() -> None:
    ready = date(2026, 5, 25)
    sold = [
        replace(PLAN.plantings[3], key=key, bed="", sow=sow, ground_from=ready, ground_to=ready)
        for key, sow in (("one", date(2026, 4, 1)), ("two", date(2026, 4, 8)))
    ]
    drawn = sheet(replace(PLAN, plantings=tuple(sold)))
    one, other = band(drawn, "nursery").bars
    assert one.y + one.h < other.y
    assert one.x < other.x
    assert "nursery" not in [row.key for row in sheet(beds=("Süd 1",)).bands]


def test_weeks_are_marked_by_their_first_day_within_the_span() -> None:
    for first in (date(2026, 5, 1), date(2026, 5, 4), date(2026, 2, 1)):
        drawn = sheet(span=(first, first + timedelta(days=62)))
        days = [first + timedelta(days=n) for n in range(63)]
        begins = [d for d in days if (d - PLAN.start).days % 7 == 0]
        assert [mark.name for mark in drawn.weeks] == [str(d.day) for d in begins]


def test_today_is_drawn_within_the_span_only() -> None:
    assert sheet().today == sheet().left
    assert sheet(span=(date(2026, 5, 1), date(2026, 6, 30))).today is None


def test_sixty_beds_over_sixty_weeks_stay_under_120_kilobytes() -> None:
    beds = beds_in_a_row(60)
    plantings = tuple(
        made_plan.planting(
            f"{bed.key}-{number}-e5395a5-0589-516b",
            "carrot",
            "Rotkäppchen",
            bed.key,
            route="nursery",
            start_m=2.0 * number,
            ground_from=PLAN.start + timedelta(days=60 + 40 * number),
            ground_to=PLAN.start + timedelta(days=200 + 40 * number),
        )
        for bed in beds
        for number in range(3)
    )
    plan = replace(PLAN, weeks=60, plantings=plantings)
    drawn = sheet(plan, holding=replace(HOLDING, beds=beds))
    svg = render_to_string("drawn/year_sheet.svg", {"sheet": drawn})
    assert svg.count('class="planting"') == 180
    assert len(svg.encode()) < 120_000
