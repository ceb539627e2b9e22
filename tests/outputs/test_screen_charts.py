"""Charts: sums with their spread, and SVG that a strict page can hold."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

import made_plan
from perennate.outputs.screen.charts import Chart, harvest_chart

PLAN = made_plan.made_plan()


@pytest.fixture(scope="module")
def carrots() -> Chart:
    return harvest_chart(PLAN, made_plan.NAMES, crop="carrot")


def test_the_weeks_of_a_crop_carry_the_spread_of_its_harvest(carrots: Chart) -> None:
    assert carrots.title == "Picked by week: Carrot"
    (first, second) = carrots.table.rows
    assert first[:2] == ("6 Jul 2026", "4.8")
    assert float(first[2]) == pytest.approx(4.8049 * 4.2 / 9.61, abs=0.01)
    assert float(second[3]) == pytest.approx(4.8051 * 16.8 / 9.61, abs=0.01)
    assert "9.61 kg over 2 weeks, most in the week of 13 Jul" in carrots.says


def test_pounds_for_a_holding_that_counts_in_pounds() -> None:
    plan = replace(PLAN, holding=replace(PLAN.holding, units="us"))
    chart = harvest_chart(plan, made_plan.NAMES, crop="carrot")
    assert chart.table.head[1] == "Expected, lb"
    assert chart.table.rows[0][1] == "10.6"


def test_weeks_without_a_harvest_between_two_with_one_stay_in() -> None:
    weeks = [row[0] for row in harvest_chart(PLAN, made_plan.NAMES).table.rows]
    days = [one.week for one in PLAN.yields.by_week if one.kg > 0]
    assert len(weeks) == (days[-1] - days[0]).days // 7 + 1 > len(days)


def test_a_crop_that_is_not_picked_has_words_and_no_drawing() -> None:
    chart = harvest_chart(PLAN, made_plan.NAMES, crop="garlic")
    assert (chart.wide, chart.hand, chart.table.rows) == ("", "", ())
    assert chart.says == "Nothing is picked."


def test_an_aim_that_the_plan_does_not_have_is_an_error() -> None:
    with pytest.raises(KeyError):
        harvest_chart(PLAN, made_plan.NAMES, aim="nobody")


@pytest.mark.parametrize("form", ["wide", "hand"])
def test_the_drawing_has_no_style_script_face_or_address_of_its_own(
    carrots: Chart, form: str
) -> None:
    drawn = getattr(carrots, form)
    ElementTree.fromstring(drawn)
    for foreign in ("<style", "style=", "<script", "font-family", "<image", "href", "@import"):
        assert foreign not in drawn
    assert set(re.findall(r'https?://[^"]*', drawn)) <= {"http://www.w3.org/2000/svg"}
    assert not re.search(r" on[a-z]+=", drawn)


def test_colours_are_the_pages_own_and_a_crop_takes_its_hatch(carrots: Chart) -> None:
    for drawn in (carrots.wide, carrots.hand):
        painted = set(re.findall(r'(?:fill|stroke)="([^"]*)"', drawn))
        own = {"none", "transparent", "currentColor", "var(--drawn-faint)", "var(--drawn-wash)"}
        assert {one for one in painted if not one.startswith("url(#hatch-")} <= own
    assert "url(#hatch-" in carrots.wide


def test_the_narrow_form_is_narrow_enough_for_a_phone(carrots: Chart) -> None:
    width = re.search(r'<svg [^>]*width="([\d.]+)"', carrots.hand)
    assert width
    assert float(width[1]) <= 336
