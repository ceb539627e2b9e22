"""A crop that stands the winter is named at its one time of planting, unless it is in the plan."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from perennate.catalogue.reader import load_catalogue
from perennate.holding import example_folder
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.next_year import RULE, for_next_year
from perennate.planning.offers import Growing
from perennate.planning.sample import sample_planting
from perennate.season_files import read_season
from perennate.words import say

CATALOGUE = load_catalogue()


@pytest.fixture(scope="module")
def growing() -> Growing:
    climate = read_season(example_folder("demo")).climate
    return Growing(climate, Weeks(date(2026, 2, 16), 52))


def test_garlic_is_named_with_its_days_in_autumn(growing: Growing) -> None:
    (finding,) = for_next_year(["carrot", "garlic"], (), CATALOGUE, growing)
    assert (finding.rule, finding.about) == (RULE, ("garlic",))
    first, last = (dict(finding.text.params)[name] for name in ("first", "last"))
    assert isinstance(first, date)
    assert isinstance(last, date)
    assert date(2026, 9, 1) < first < last < date(2026, 12, 15)
    assert "Garlic" in say(finding.text, names={"garlic": "Garlic"})
    assert say(finding.remedy)


def test_garlic_that_is_in_the_plan_then_is_not_named(growing: Growing) -> None:
    (finding,) = for_next_year(["garlic"], (), CATALOGUE, growing)
    first = dict(finding.text.params)["first"]
    assert isinstance(first, date)
    day = first + timedelta(3)
    sample = sample_planting(CATALOGUE.crops["garlic"], "set", 40, 0, 240)
    planted = replace(sample, sow=day, ground_from=day)
    assert for_next_year(["garlic"], (planted,), CATALOGUE, growing) == ()


def test_a_plan_long_enough_to_pick_it_needs_no_word(growing: Growing) -> None:
    longer = Growing(growing.climate, Weeks(date(2026, 2, 16), 104))
    assert for_next_year(["garlic"], (), CATALOGUE, longer) == ()


def test_without_frost_there_is_no_such_time() -> None:
    climate = read_season(example_folder("tropics")).climate
    here = Growing(climate, Weeks(date(2026, 2, 16), 52))
    assert for_next_year(["garlic"], (), CATALOGUE, here) == ()
