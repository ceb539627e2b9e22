"""What is said of a plan's water: the season, the weeks at hand, sources, plantings, tables."""

import io
from dataclasses import replace
from datetime import date

import openpyxl
import pytest

import made_plan
import made_water
from perennate.outputs.plan_json import plan_from_json, plan_to_json
from perennate.outputs.summary import summary
from perennate.outputs.water_figures import bed_season, due_water
from perennate.outputs.water_told import (
    bed_line,
    due_says,
    due_table,
    planting_lines,
    plantings_table,
    salt_unknown,
    season_lines,
    sources_told,
    weeks_at_hand,
)
from perennate.outputs.workbook import plan_xlsx
from perennate.planning.plan import Plan
from perennate.planning.water_plan import WaterPlan
from perennate.terms import Text
from perennate.words import say

pytestmark = pytest.mark.usefixtures("made_words")

PLAN = made_water.watered_plan()
HOLDING = made_water.watered_holding()
NAMES = made_plan.NAMES


def water_of(plan: Plan = PLAN) -> WaterPlan:
    assert plan.water is not None
    return plan.water


def said(texts: tuple[Text, ...]) -> str:
    return " ".join(say(one, names=NAMES, dates="day") for one in texts)


def test_the_season_is_told_with_its_spread_and_what_rain_alone_costs() -> None:
    told = said(season_lines(PLAN))
    assert "Watering takes 3170 L over the plan" in told
    assert "less than 2220 L" in told
    assert "more than 4440 L" in told
    assert "On rain alone 23% of the food harvest would be lost" in told
    assert season_lines(made_plan.made_plan()) == ()


@pytest.mark.parametrize("way", ["full", "sparing", "none"])
def test_every_way_of_watering_has_a_sentence(way: str) -> None:
    plan = replace(PLAN, water=replace(water_of(), watered=way))
    assert "3170 L" in said(season_lines(plan))


def test_a_response_that_nobody_knows_is_said_to_be_unknown() -> None:
    plan = replace(PLAN, water=replace(water_of(), rain_alone_loss=None))
    assert "is not known" in said(season_lines(plan))


def test_a_season_of_a_bed_counts_only_weeks_under_crop() -> None:
    bean = next(one for one in water_of().beds if one.bed == "Süd 2")
    season = bed_season(bean, PLAN, range(PLAN.weeks))
    assert season.need_mm == pytest.approx(sum(bean.need_mm))
    assert season.litres == pytest.approx(
        sum(depth * area for depth, area in zip(bean.watering_mm, bean.area_m2, strict=True))
    )
    assert season.least == min(
        held for held, area in zip(bean.held, bean.area_m2, strict=True) if area
    )
    assert len(season.short) == 6


def test_the_weeks_at_hand_are_the_plans_own() -> None:
    assert weeks_at_hand(PLAN, date(2026, 6, 17)) == (date(2026, 6, 15), date(2026, 6, 28))
    assert weeks_at_hand(PLAN, PLAN.start) == (date(2026, 3, 2), date(2026, 3, 15))


def test_what_is_watered_at_hand_adds_up_to_its_beds() -> None:
    span = weeks_at_hand(PLAN, date(2026, 6, 17))
    due = due_water(water_of(), PLAN, span)
    assert {one.week for one in due} == {date(2026, 6, 15), date(2026, 6, 22)}
    told = dict(due_says(due, span).params)
    assert told["litres"] == pytest.approx(sum(one.litres for one in due), rel=0.005)
    assert told["beds"] == 4
    table = due_table(PLAN, span)
    assert len(table.rows) == len(due)
    assert {row[0] for row in due_table(PLAN, span, "Žleb").rows} == {"Žleb"}


def test_weeks_in_which_nothing_is_watered_say_so() -> None:
    span = (date(2026, 12, 7), date(2026, 12, 20))
    assert due_says(due_water(water_of(), PLAN, span), span).code == "page.water.due_none"


def test_a_bed_has_a_line_while_it_is_under_crop() -> None:
    june = bed_line(PLAN, "Süd 2", date(2026, 6, 17))
    assert june is not None
    assert "of watering in" in said((june,))
    assert bed_line(PLAN, "Süd 2", date(2026, 4, 1)) is None
    assert bed_line(PLAN, "Süd 2", date(2031, 6, 17)) is None
    assert bed_line(made_plan.made_plan(), "Süd 2", date(2026, 6, 17)) is None


# plantings


def test_a_planting_tells_need_drought_air_salt_and_whose_figures_stand_in() -> None:
    bean = said(planting_lines(PLAN, "p-bean", "metric"))
    assert "310 mm" in bean
    assert "412 L (250 to 640)" in bean
    assert "97% of the yield is left after drought, 71% on rain alone" in bean
    assert "35% of years" in bean
    assert "93% of the yield is left at the bed's expected salt" in bean
    assert "Water figures of Carrot stand in" in said(planting_lines(PLAN, "p-beet", "metric"))
    assert "not known" in said(planting_lines(PLAN, "p-garlic", "metric"))
    assert planting_lines(PLAN, "p-nowhere", "metric") == ()


def test_the_table_of_plantings_obeys_bed_and_weeks_and_leaves_out_what_is_gone() -> None:
    whole = plantings_table(PLAN, NAMES)
    assert len(whole.rows) == len(whole.keys) == 6
    assert plantings_table(PLAN, NAMES, "Süd 1").keys == ("p-carrot", "p-garlic")
    winter = (date(2026, 12, 1), date(2026, 12, 31))
    assert plantings_table(PLAN, NAMES, span=winter).keys == ("p-garlic",)
    fewer = replace(PLAN, plantings=PLAN.plantings[1:])
    assert "p-carrot" not in plantings_table(fewer, NAMES).keys


def test_an_unknown_response_reads_as_unknown_and_never_as_a_number() -> None:
    table = plantings_table(PLAN, NAMES, "Süd 1")
    garlic = table.rows[table.keys.index("p-garlic")]
    assert garlic[5:7] == ("unknown", "unknown")
    assert garlic[8] == "unknown"


# sources


def test_a_source_without_an_analysis_is_unknown_and_to_be_minded() -> None:
    told = {one.key: one for one in sources_told(PLAN, HOLDING)}
    assert list(told) == ["Dach", "Leitung", "Brunnen"]
    well = told["Brunnen"]
    assert well.is_mind
    assert "no analysis" in said(well.water)
    assert "which does not mean safe" in said(well.water)
    assert "Keep it off leaves" in said(well.water)
    assert set(well.beds) == {"=Ecke", "Žleb"}


def test_a_tested_source_tells_its_figures_and_what_was_not_measured() -> None:
    mains = next(one for one in sources_told(PLAN, HOLDING) if one.key == "Leitung")
    told = said(mains.water)
    assert not mains.is_mind
    assert "Analysis of 18 Sep 2025: conductivity 0.47 dS/m, pH 7.6." in told
    assert "No restriction: salt, pH." in told
    unknown = told[told.index("Not measured, so unknown") :]
    assert "boron" in unknown
    assert "sodium" in unknown


def test_a_source_that_lacks_says_how_much_and_in_how_many_years() -> None:
    roof = next(one for one in sources_told(PLAN, HOLDING) if one.key == "Dach")
    assert roof.drawn is not None
    assert "86% of what is asked, and all of it in 40% of years" in say(roof.drawn)


def test_beds_without_a_source_are_told_as_such() -> None:
    nameless = tuple(replace(one, source="") for one in water_of().beds)
    plan = replace(PLAN, water=replace(water_of(), beds=nameless, sources=()))
    last = sources_told(plan, replace(HOLDING, water_sources=()))[-1]
    assert (last.key, last.is_row, last.is_mind) == ("no source named", False, True)
    assert "does not mean safe" in said(last.water)


def test_only_the_source_of_the_bed_chosen_is_told() -> None:
    assert [one.key for one in sources_told(PLAN, HOLDING, "Žleb")] == ["Brunnen"]


def test_beds_whose_salt_is_not_reckoned_are_named() -> None:
    assert salt_unknown(PLAN) is None
    fewer = replace(PLAN, water=replace(water_of(), salts=water_of().salts[2:]))
    told = salt_unknown(fewer)
    assert told is not None
    assert "2 beds (Süd 1, Süd 2)" in say(told)
    assert salt_unknown(fewer, "Žleb") is None


# files


def test_water_comes_back_from_plan_json_as_it_was_written() -> None:
    written = plan_to_json(PLAN)
    assert plan_to_json(plan_from_json(written)) == written
    assert plan_from_json(written).water is not None


def test_the_workbook_has_water_by_bed_and_week_and_of_plantings() -> None:
    book = openpyxl.load_workbook(io.BytesIO(plan_xlsx(PLAN, NAMES)))
    assert book.sheetnames[-4:] == [
        *("Water", "Water of plantings", "Ways of watering", "Working"),
    ]
    rows = list(book["Water"].iter_rows(values_only=True))
    litres = rows[0].index("Watering, L")
    total = sum(row[litres] for row in rows[1:])
    assert total == pytest.approx(water_of().total_l.value, abs=0.1)
    assert all(row[rows[0].index("Area, m²")] > 0 for row in rows[1:])
    plantings = list(book["Water of plantings"].iter_rows(values_only=True))
    left = plantings[0].index("Yield left after drought")
    assert [row[left] for row in plantings[1:]].count(None) == 1
    ways = list(book["Ways of watering"].iter_rows(values_only=True))
    assert ways[0] == ("Way of watering", "Watering, L", "Waterings", "Harvest lost", "Chosen")
    assert [(row[0], row[3], row[4]) for row in ways[1:]] == [
        *(("in full", 0, "yes"), ("sparingly", 0.08, "no"), ("for settling in only", 0.21, "no")),
    ]


def test_the_summary_says_three_lines_of_water() -> None:
    lines = summary(PLAN, NAMES)[0].lines
    assert len(lines) == len(summary(made_plan.made_plan(), NAMES)[0].lines) + 3
    assert any("3170 L" in line for line in lines)


def test_us_units_reach_every_part() -> None:
    us = replace(PLAN, holding=replace(PLAN.holding, units="us"))
    assert "US gal" in str(dict(planting_lines(us, "p-bean", "us")[0].params)["litres"])
    head = due_table(us, weeks_at_hand(us, date(2026, 6, 17))).head
    assert "Watering, US gal" in head
    book = openpyxl.load_workbook(io.BytesIO(plan_xlsx(us, NAMES)))
    assert "Rain, in" in [cell.value for cell in book["Water"][1]]
