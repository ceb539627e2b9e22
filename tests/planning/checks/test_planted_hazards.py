"""Each hazard of the shipped catalogue that forbids something, planted in a good plan."""

from dataclasses import replace
from datetime import date, timedelta

import made
import pytest

from perennate.catalogue.model import Hazard
from perennate.catalogue.reader import load_catalogue
from perennate.holding.model import Record
from perennate.planning.checks import find_faults
from perennate.planning.checks.food import WAIT_OTHER, WAIT_TOUCHING, touches_soil
from perennate.planning.eating import barred_as_food, most_per_week

SHIPPED = load_catalogue()
OF_CROPS = {
    hazard.key: hazard
    for crop in SHIPPED.crops.values()
    for hazard in crop.hazards
    if hazard.forbids in ("food", "food until processed")
}
WAITS = {
    hazard.key: hazard for hazard in SHIPPED.material_hazards if hazard.forbids == "harvest wait"
}
ON_BEDS = {
    hazard.key: hazard
    for hazard in SHIPPED.material_hazards
    if hazard.applies_to in ("human_waste", "pet_waste")
}


def with_hazard(hazard: Hazard):
    kinds = made.catalogue()
    carrot = replace(kinds.crops["carrot"], hazards=(hazard,))
    return replace(kinds, crops={**kinds.crops, "carrot": carrot})


def rules(place, kinds, grown=None):
    plan = made.plan(grown, place, kinds)
    return {finding.rule for finding in find_faults(plan, place, kinds, made.climate())}


@pytest.mark.parametrize("key", OF_CROPS)
def test_a_crop_with_this_hazard_is_not_counted_as_food(key: str) -> None:
    hazard = OF_CROPS[key]
    rule = "hazard.food" if hazard.forbids == "food" else "hazard.processing"
    assert rules(made.holding(), with_hazard(hazard)) == {rule}
    not_for_food = made.with_planting("P-car", aims=())
    assert rules(made.holding(), with_hazard(hazard), not_for_food) == set()


@pytest.mark.parametrize("key", OF_CROPS)
def test_only_what_processing_mends_is_lifted_by_promising_it(key: str) -> None:
    hazard = OF_CROPS[key]
    willing = replace(made.holding(), processes=("carrot",))
    left = rules(willing, with_hazard(hazard))
    assert left == ({"hazard.food"} if hazard.forbids == "food" else set())


def test_promising_another_crop_lifts_nothing() -> None:
    lupin = made.crops()["lupin_white"]
    other = replace(made.holding(), processes=("taro",))
    assert barred_as_food(lupin, other) is not None
    assert barred_as_food(lupin, replace(other, processes=("Lupin white",))) is None


@pytest.mark.parametrize("key", WAITS)
def test_harvest_waits_after_this_material_to_the_day(key: str) -> None:
    hazard = WAITS[key]
    touching = hazard.parts == "edible part touches soil"
    grown = made.plantings()[1 if touching else 0]
    assert touches_soil(made.crops()[grown.crop]) == touching
    kinds = replace(made.catalogue(), material_hazards=(hazard,))
    assert grown.first_harvest is not None
    for days_before, wanted in ((hazard.days - 1, {"manure.wait"}), (hazard.days, set())):
        day = grown.first_harvest - timedelta(days_before)
        record = Record("R", day, hazard.applies_to, "", grown.bed, 1.0, "kg", None)
        assert rules(replace(made.holding(), records=(record,)), kinds) == wanted


@pytest.mark.parametrize("key", ON_BEDS)
def test_ground_that_had_this_material_grows_no_food(key: str) -> None:
    hazard = ON_BEDS[key]
    kinds = replace(made.catalogue(), material_hazards=(hazard,))
    record = Record("R", date(2026, 9, 1), hazard.applies_to, "", "B2", 1.0, "kg", None)
    assert rules(replace(made.holding(), records=(record,)), kinds) == {"hazard.material"}


@pytest.mark.parametrize("kind", ["Raw manure", "compost-tea", "manure", "fresh manure"])
def test_a_catalogue_without_the_hazard_does_not_make_it_safe(kind: str) -> None:
    record = Record("R", date(2027, 4, 1), kind, "", "B2", 1.0, "kg", None)
    place = replace(made.holding(), records=(record,))
    assert rules(place, made.catalogue()) == {"manure.wait"}


def test_finished_compost_asks_for_no_wait() -> None:
    record = Record("R", date(2027, 6, 1), "compost", "", "B2", 1.0, "kg", None)
    assert rules(replace(made.holding(), records=(record,)), made.catalogue()) == set()


def test_a_part_of_unknown_form_counts_as_touching_soil() -> None:
    """Waits of 120 and 90 days: organic rule 7 CFR 205.203(c)(1)."""
    assert (WAIT_TOUCHING, WAIT_OTHER) == (120, 90)
    assert touches_soil(replace(made.crops()["radish"], facts={}))
    assert not touches_soil(SHIPPED.crops["sweet_corn"])
    assert touches_soil(SHIPPED.crops["lettuce_head"])


def test_the_ceiling_of_eating_goes_with_people_and_is_not_known_without_them() -> None:
    place, garlic = made.holding(), SHIPPED.crops["garlic"]
    two = most_per_week(garlic, place)
    assert two is not None
    assert most_per_week(garlic, replace(place, people=place.people * 2)) == pytest.approx(2 * two)
    assert most_per_week(garlic, replace(place, people=())) is None
    assert two < 1.0
