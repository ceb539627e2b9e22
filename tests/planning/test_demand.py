"""Aims as amounts by week: ceilings of what people eat, hazards, households, spans of dates."""

from dataclasses import replace
from datetime import date

import pytest
import small

from perennate.holding.model import Aim, Holding, Person
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.demand import demand, food_crops, household_need, weeks_kept
from perennate.planning.eating import SEASON_PEAK, WEEKS_PER_YEAR, barred_as_food, most_per_week
from perennate.planning.plan import Plan
from perennate.words import say

HOUSE = Aim("house", "household", "", "", 0.6, "share", "season", None, None, 1)
HAZARDOUS = ("lupin_white", "taro", "fava_dry", "bean_lima")
ALL = tuple(sorted(small.shipped().crops))


def fed(*eats: str, **others: object) -> Holding:
    return small.holding(aims=(HOUSE,), eats=eats, lots=(), plantings=(), **others)


@pytest.fixture(scope="module")
def everything() -> tuple[Holding, Plan]:
    """A household that would eat anything, from three beds."""
    whole = fed(*ALL)
    return whole, small.plan(whole)


def eaten(whole: Holding):
    weeks = Weeks(small.START, 52)
    return demand(whole, small.shipped(), weeks, {})


def test_no_energy_aim_may_take_more_of_a_crop_than_people_eat() -> None:
    whole = fed(*ALL, people=(Person("A", "female", 40, 60, 1.7), Person("B", "male", 9, 30, 1.6)))
    wanted = eaten(whole)
    assert {use.crop for use in wanted.uses} >= {"garlic", "parsnip", "parsley", "potato"}
    for use, good in zip(wanted.uses, wanted.goods, strict=True):
        crop = small.shipped().crops[use.crop]
        yearly = crop.figures["eaten_per_year"].high
        ceiling = 2 * yearly / WEEKS_PER_YEAR * SEASON_PEAK
        assert good.most_per_week == pytest.approx(ceiling, abs=6e-4), use.crop
        assert most_per_week(crop, whole) == pytest.approx(ceiling)


@pytest.mark.parametrize("crop", ["garlic", "parsnip", "parsley", "basil", "potato"])
def test_ceilings_are_such_as_a_person_would_own_to(crop: str) -> None:
    one = replace(fed(crop), people=small.holding().people)
    most = most_per_week(small.shipped().crops[crop], one)
    limit = {"garlic": 0.35, "parsnip": 1.0, "parsley": 0.3, "basil": 0.3, "potato": 8.0}[crop]
    assert most is not None
    assert 0 < most <= limit


def test_a_plan_for_energy_keeps_to_the_ceilings(everything, monkeypatch) -> None:
    from perennate.planning import season

    seen = []
    kept = season.search
    monkeypatch.setattr(season, "search", lambda *a, **k: seen.append(kept(*a, **k)) or seen[-1])
    whole = fed("garlic", "parsnip", "parsley", "potato")
    plan = small.plan(whole)
    (found,) = seen
    uses = [use.crop for use in eaten(whole).uses]
    for crop, used in zip(uses, found.judged.used, strict=True):
        ceiling = most_per_week(small.shipped().crops[crop], whole)
        assert max(used) <= ceiling + 1e-3, crop
    assert sum(map(sum, found.judged.used)) > 1.0
    garlic = sum(p.harvest.value for p in plan.plantings if p.crop == "garlic")
    assert garlic <= 52 * most_per_week(small.shipped().crops["garlic"], whole) * 1.2


def test_an_aim_for_a_crop_does_not_raise_what_counts_as_energy() -> None:
    rope = small.food("garlic", 2.0, None, None, per="week")
    wanted = eaten(replace(fed("garlic"), aims=(HOUSE, rope)))
    (good,) = wanted.goods
    ceiling = most_per_week(small.shipped().crops["garlic"], fed("garlic"))
    assert good.most_per_week == 2.0
    assert good.eaten_per_week == pytest.approx(ceiling, abs=6e-4)


@pytest.mark.parametrize("key", HAZARDOUS)
def test_crops_that_need_processing_are_no_food_until_it_is_said_to_be_done(key: str) -> None:
    crop = small.shipped().crops[key]
    whole = fed(*HAZARDOUS, "potato")
    hazard = barred_as_food(crop, whole)
    assert hazard is not None
    assert key not in food_crops(whole, small.shipped())
    aim = small.food(key, 1.0, None, None)
    asked = replace(whole, aims=(aim,))
    assert eaten(asked).not_planned == {aim.key: "aim.needs_processing"}
    done = replace(whole, processes=(hazard.key,))
    assert barred_as_food(crop, done) is None
    if crop.fact("plan_ready") == "yes":
        assert key in food_crops(done, small.shipped())


def test_none_of_them_is_planted_for_a_household(everything) -> None:
    _, plan = everything
    assert plan.plantings
    assert not {p.crop for p in plan.plantings} & set(HAZARDOUS)


def test_a_household_is_told_its_share_and_what_is_not_covered(everything) -> None:
    whole, plan = everything
    (result,) = plan.aims
    said = " ".join(say(note) for note in result.notes)
    assert "B12" in said
    assert "fat and iron" in said
    everything_said = said + " ".join(say(t) for t in (*result.held_back_by, *plan.yields.notes))
    assert "fed" not in everything_said.replace(".", " ").split()
    assert 0 < result.expected.value <= 0.6
    energy, _ = household_need(whole.people)
    kcal = sum(
        p.harvest.value * crop.value("energy") * 10 * crop.value("edible_fraction", 1.0)
        for p in plan.plantings
        if (crop := small.shipped().crops[p.crop])
    )
    assert result.expected.value <= kcal / (energy * 52) + 0.01, "no more than the harvest holds"


@pytest.mark.parametrize(
    ("start", "end"),
    [(date(2025, 5, 1), date(2025, 9, 1)), (date(2027, 6, 1), date(2027, 8, 1))],
)
@pytest.mark.parametrize("kind", ["food", "household", "habitat"])
def test_an_aim_outside_the_weeks_is_not_called_met(kind: str, start: date, end: date) -> None:
    crop = "potato" if kind == "food" else ""
    aim = Aim("late", kind, crop, "", 0.5, "", "week", start, end, 2)  # type: ignore[arg-type]
    plan = small.plan(small.holding(aims=(aim, small.holding().aims[1])))
    result = plan.aims[0]
    assert result.met == 0.0
    assert [held.code for held in result.held_back_by] == ["aim.outside_weeks"]


def test_two_households_are_not_both_promised() -> None:
    twice = (HOUSE, replace(HOUSE, key="again", amount=0.3))
    wanted = eaten(small.holding(aims=twice))
    assert len(wanted.not_planned) == 1
    assert set(wanted.not_planned.values()) == {"aim.one_household"}


def test_amounts_stand_in_the_weeks_between_the_dates() -> None:
    weekly = small.food("carrot", 0.3, date(2026, 7, 6), date(2026, 7, 26), per="week")
    (amount,) = eaten(small.holding(aims=(weekly,))).amounts
    assert [week for week, kg in enumerate(amount.weekly) if kg] == [18, 19, 20]
    assert sum(amount.weekly) == pytest.approx(0.9)
    (amount,) = eaten(small.holding(aims=(replace(weekly, per="season"),))).amounts
    assert amount.total == 0.3


def test_what_keeps_is_what_the_catalogue_says() -> None:
    crops = small.shipped().crops
    assert weeks_kept(crops["lettuce_leaf"]) <= 3
    assert weeks_kept(crops["potato"]) >= 12
    assert weeks_kept(crops["squash_maxima"]) > weeks_kept(crops["zucchini"])
