"""Water drawn: beds' strips, tanks, salt through the years."""

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import made_plan
import made_water
from made_pictures import place_href, plans, sound
from perennate.outputs.screen.salt_sheet import all_beds, salt_sheets
from perennate.outputs.screen.tank_sheet import tank_sheets
from perennate.outputs.screen.water_sheet import (
    Bucket,
    Buckets,
    WaterSheet,
    beds_as_they_lie,
    water_sheet,
)
from perennate.planning.plan import Plan

HOLDING = made_water.watered_holding()
PLAN = made_water.watered_plan()
NAMES = made_plan.NAMES
PATHS = (
    *("crop", "rain", "given", "given_dry", "band", "held", "held_dry"),
    *("short", "short_marks", "airless", "airless_marks"),
)


def sheet(plan: Plan = PLAN, **others: object) -> WaterSheet:
    drawn = water_sheet(plan, HOLDING, place_href, **others)  # type: ignore[arg-type]
    assert drawn is not None
    return drawn


def bucket(drawn: Buckets, key: str) -> Bucket:
    (found,) = (one for one in drawn.buckets if one.key == key)
    return found


def starts(path: str) -> list[tuple[float, float]]:
    """Where the strokes of a path begin."""
    found = re.findall(r"M(-?[\d.]+) (-?[\d.]+)", path)
    return [(float(x), float(y)) for x, y in found]


def lengths(path: str) -> list[float]:
    """How far down each bar of a path goes, up below 0."""
    return [float(one) for one in re.findall(r"v(-?[\d.]+)", path)]


@settings(deadline=None, max_examples=40)
@given(plans(), st.integers(-30, 300), st.integers(0, 400), st.booleans())
def test_every_bed_with_water_has_a_strip_within_the_picture(
    plan: Plan, offset: int, days: int, whole: bool
) -> None:
    watered = replace(plan, water=made_water.made_water(plan))
    first = plan.start + timedelta(days=offset)
    span = None if whole else (first, first + timedelta(days=days))
    drawn = water_sheet(watered, HOLDING, place_href, span)
    beds = {one.bed for one in plan.plantings if one.bed}
    if not beds:
        assert drawn is None
        return
    assert drawn is not None
    for form in (drawn.wide, drawn.hand):
        assert {one.key for one in form.buckets} == beds
        assert sound(form)
        for one in form.buckets:
            for path in PATHS:
                for x, y in starts(getattr(one, path)):
                    assert form.left - 4 <= x <= form.right + 4
                    assert one.target.y - 0.2 <= y <= one.target.y + one.target.h + 0.2


def test_a_bed_is_drawn_only_in_the_weeks_in_which_it_is_under_crop() -> None:
    drawn = sheet().wide
    lettuce = bucket(drawn, "=Ecke")
    # it stands until 11 May, ten weeks into the plan
    end = drawn.left + 10 * drawn.span / 52
    ends = [float(x) for x in re.findall(r"[ML]([\d.]+) ", lettuce.held)]
    assert max(ends) == pytest.approx(end, abs=0.2)
    assert len(starts(lettuce.rain)) == 10
    garden = bucket(drawn, "Süd 1")
    assert len(starts(garden.held)) == 2, "bare between carrot and garlic"


def test_rain_hangs_from_above_and_watering_stands_below_to_one_scale() -> None:
    one = bucket(sheet().wide, "Süd 2")
    water = next(
        bed for bed in made_water.made_water(made_plan.made_plan()).beds if bed.bed == "Süd 2"
    )
    rain, given = lengths(one.rain), lengths(one.given)
    assert min(rain) > 0 > max(given)
    assert {y for _, y in starts(one.rain)} == {one.target.y}
    (foot,) = {y for _, y in starts(one.given)}
    assert one.empty < foot <= one.target.y + one.target.h
    tall = max(rain) / max(water.rain_mm)
    assert max(-one for one in given) / max(water.watering_mm) == pytest.approx(tall, rel=0.15)


def test_weeks_short_of_water_and_short_of_air_have_marks_of_their_own() -> None:
    drawn = sheet()
    one = bucket(drawn.wide, "=Ecke")
    assert len(starts(one.airless)) == 1
    assert len(starts(one.airless_marks)) == 2
    assert one.short == ""
    assert len(starts(bucket(drawn.wide, "Žleb").short_marks)) == 6
    kinds = [sign.kind for sign in drawn.key]
    assert kinds == ["rain", "given", "held", "short", "airless"]
    assert "Plants go short of water in 4 beds" in drawn.says
    assert "Roots go short of air in 3 beds" in drawn.says


def test_without_faults_neither_key_nor_sentence_speaks_of_them() -> None:
    water = PLAN.water
    assert water is not None
    calm = tuple(
        replace(bed, short_days=(0.0,) * PLAN.weeks, airless_days=(0.4,) * PLAN.weeks)
        for bed in water.beds
    )
    drawn = sheet(replace(PLAN, water=replace(water, beds=calm)))
    assert [sign.kind for sign in drawn.key] == ["rain", "given", "held"]
    assert drawn.says.endswith("in the mean of the years.")


def test_beds_stand_as_the_ground_is_read_and_those_without_a_place_last() -> None:
    assert beds_as_they_lie(HOLDING.beds) == ["Süd 3", "Süd 2", "Žleb", "Süd 1", "=Ecke"]
    loose = (replace(HOLDING.beds[2], x_m=None, y_m=None), *HOLDING.beds[:2])
    assert beds_as_they_lie(loose)[-1] == "Süd 3"
    assert [one.key for one in sheet().wide.buckets] == beds_as_they_lie(HOLDING.beds)


def test_one_bed_alone_is_large_and_has_its_weeks_as_a_table() -> None:
    alone = sheet(chosen="Süd 2")
    assert [one.key for one in alone.wide.buckets] == ["Süd 2"]
    assert alone.wide.buckets[0].target.h > 4 * sheet().wide.buckets[0].target.h
    assert [mark.name for mark in alone.wide.scale][1:4] == ["full", "half", "empty"]
    assert alone.wide.buckets[0].given_dry != ""
    assert len(alone.table.rows) == 20, "from 18 May to 5 October"
    assert alone.table.rows[0][0] == "18 May 2026"
    assert water_sheet(PLAN, HOLDING, place_href, chosen="nowhere") is None
    assert water_sheet(made_plan.made_plan(), HOLDING, place_href) is None


def test_weeks_chosen_narrow_the_strips() -> None:
    drawn = sheet(span=(date(2026, 7, 6), date(2026, 7, 26)))
    assert len(starts(bucket(drawn.wide, "Süd 2").rain)) == 3
    assert "6 Jul to 26 Jul" in drawn.title


def test_sixty_beds_have_lower_strips_and_a_short_sentence() -> None:
    water = PLAN.water
    assert water is not None
    many = tuple(replace(water.beds[0], bed=f"B{number}") for number in range(60))
    drawn = sheet(replace(PLAN, water=replace(water, beds=many)))
    assert len(drawn.wide.buckets) == 60
    assert drawn.wide.buckets[0].target.h < sheet().wide.buckets[0].target.h
    assert "and 54 more" in drawn.says
    assert min(one.target.h for one in (*drawn.wide.buckets, *drawn.hand.buckets)) >= 44


def test_us_units_stand_in_heads_and_sentences() -> None:
    us = replace(PLAN, holding=replace(PLAN.holding, units="us"))
    drawn = sheet(us, chosen="Süd 2")
    assert "Rain, in" in drawn.table.head
    assert "Watering, US gal" in drawn.table.head
    assert " mm" not in drawn.says
    metric = sheet(chosen="Süd 2").table
    rain = metric.head.index("Rain, mm")
    assert float(drawn.table.rows[0][rain]) == pytest.approx(
        float(metric.rows[0][rain]) / 25.4, abs=0.03
    )


# tanks


def test_a_tank_is_as_full_as_its_level_and_its_lacks_are_marked() -> None:
    (tank,) = tank_sheets(PLAN, HOLDING)
    assert tank.key == "Dach"
    assert sound(tank.wide)
    assert sound(tank.hand)
    assert tank.wide.holds == "2000 L"
    heights = [float(y) for y in re.findall(r"[ML][\d.]+ ([\d.]+)", tank.wide.level)]
    assert min(heights) == tank.wide.full
    assert PLAN.water is not None
    lowest = min(PLAN.water.sources[0].level_l)
    tall = tank.wide.empty - tank.wide.full
    assert max(heights) == pytest.approx(tank.wide.empty - tall * lowest / 2000.0, abs=0.1)
    assert len(starts(tank.wide.short)) == 1
    assert "876 L" in tank.says or "877 L" in tank.says
    assert len(tank.table.rows) == PLAN.weeks


def test_only_sources_with_a_tank_are_drawn_as_tanks() -> None:
    assert [one.key for one in tank_sheets(PLAN, HOLDING)] == ["Dach"]
    assert tank_sheets(made_plan.made_plan(), HOLDING) == ()


# salt

THRESHOLDS = {"bean_dry": 1.0, "tomato": 2.5}


def test_beds_whose_salt_goes_the_same_way_are_drawn_once_the_saltiest_first() -> None:
    salts = salt_sheets(PLAN, NAMES, place_href, THRESHOLDS)
    assert [[bed for bed, _ in one.beds] for one in salts] == [
        ["Žleb", "=Ecke"],
        ["Süd 1", "Süd 2"],
        ["Süd 3"],
    ]
    assert [one.is_mind for one in salts] == [True, False, False]
    assert [one.start_known for one in salts] == [False, False, True]
    assert all(sound(one) for one in salts)


def test_of_all_beds_those_whose_salt_is_to_be_minded_are_drawn_else_the_saltiest() -> None:
    def drawn(plan: Plan) -> list[list[str]]:
        few = salt_sheets(plan, NAMES, place_href, THRESHOLDS, few=True)
        return [[bed for bed, _ in one.beds] for one in few]

    assert drawn(PLAN) == [["Žleb", "=Ecke"]]
    water = PLAN.water
    assert water is not None
    harmless = tuple(one for one in water.salts if one.bed not in ("Žleb", "=Ecke"))
    assert drawn(replace(PLAN, water=replace(water, salts=harmless))) == [["Süd 1", "Süd 2"]]


def test_the_line_of_a_crop_stands_at_its_threshold() -> None:
    (well, *_) = salt_sheets(PLAN, NAMES, place_href, THRESHOLDS)
    assert [line.name for line in well.lines] == ["Bean (dry)", "Tomato"]
    zero = well.bottom
    bean, tomato = well.lines
    assert (zero - tomato.y) / (zero - bean.y) == pytest.approx(2.5, abs=0.02)
    assert bean.label_y - tomato.label_y >= 13.0, "names do not run into one another"


def test_a_tolerance_that_is_not_known_has_no_line() -> None:
    (well, *_) = salt_sheets(PLAN, NAMES, place_href, {"tomato": 2.5})
    assert [line.name for line in well.lines] == ["Tomato"]


def test_salt_is_told_in_a_sentence_with_what_rain_does() -> None:
    well, roof, mains = salt_sheets(PLAN, NAMES, place_href, THRESHOLDS)
    assert "Rain does not carry out" in well.says
    assert "Bean (dry) 18%, Tomato 6%" in well.says
    assert "Rain carries out" in roof.says
    assert "not measured, assumed" in roof.says
    assert "(measured)" in mains.says
    assert len(well.table.rows) == 10
    assert well.table.rows[0][0] == "2026", "the first year is the plan's own"


def test_the_table_of_all_beds_has_a_row_each() -> None:
    table = all_beds(PLAN, NAMES)
    assert len(table.rows) == 5
    assert {len(row) for row in table.rows} == {len(table.head)}
