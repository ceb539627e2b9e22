"""One test for each hazard that forbids: what it rules out, and what lifts it."""

from dataclasses import replace

import pytest

from perennate.catalogue.hazards import (
    food_is_allowed,
    material_hazards,
    material_is_food,
    no_hazard_on_record,
    unprocessed_hazards,
    wait_days,
)
from perennate.catalogue.reader import load_catalogue

CATALOGUE = load_catalogue()
CROPS = CATALOGUE.crops
NEEDS_PROCESSING = {
    "lupin_white": "lupin_alkaloids",
    "taro": "taro_raw",
    "fava_dry": "fava_dry_raw",
    "bean_lima": "lima_cyanide",
    "bean_dry": "bean_lectin",
    "hyacinth_bean": "hyacinth_bean_raw",
}
CAUTIONED = [
    ("bean_runner", "lectin"),
    ("bean_snap_bush", "lectin"),
    ("potato", "solanine"),
    ("rhubarb", "oxalic"),
    ("tomato", "alkaloids"),
    ("eggplant", "alkaloids"),
    ("ground_cherry", "nightshades"),
    ("tomatillo", "nightshades"),
    ("parsnip", "sunlight"),
    ("celery", "sunlight"),
    ("zucchini", "cucurbitacins"),
    ("borage", "liver"),
    ("cover_sorghum_sudan", "prussic"),
    ("cover_sweetclover", "coumarin"),
    ("fava_fresh", "G6PD"),
    ("rye_grain", "ergot"),
    ("peanut", "aflatoxin"),
]
WAITING = [
    "raw_manure",
    "slurry",
    "manure_unknown",
    "bought_manure",
    "compost_unfinished",
    "compost_tea_fed",
    "compost_tea_unknown",
]


@pytest.mark.parametrize(("crop", "hazard"), NEEDS_PROCESSING.items())
def test_a_crop_that_needs_processing_is_no_food_until_the_grower_says_so(
    crop: str, hazard: str
) -> None:
    plant = CROPS[crop]
    assert not food_is_allowed(plant, ())
    assert not food_is_allowed(plant, ("some other thing",))
    assert food_is_allowed(plant, (crop,))
    assert food_is_allowed(plant, (hazard.replace("_", " ").upper(),))
    assert [found.key for found in unprocessed_hazards(plant, ())] == [hazard]
    assert unprocessed_hazards(plant, (crop,)) == ()


def test_processing_one_crop_does_not_free_another() -> None:
    assert not food_is_allowed(CROPS["taro"], ("lupin_white", "bean_dry"))


def test_no_other_crop_waits_for_processing() -> None:
    waiting = {
        crop.key
        for crop in CROPS.values()
        for hazard in crop.hazards
        if hazard.forbids == "food until processed"
    }
    assert waiting == set(NEEDS_PROCESSING)


def test_comfrey_is_never_food() -> None:
    assert any(hazard.forbids == "food" for hazard in CROPS["comfrey"].hazards)
    assert not food_is_allowed(CROPS["comfrey"], ("comfrey", "comfrey_liver"))


def test_a_ban_holds_whatever_the_role_of_the_plant() -> None:
    eaten = replace(CROPS["comfrey"], role="vegetable")
    assert not food_is_allowed(eaten, ("comfrey",))


@pytest.mark.parametrize("crop", ["cover_rye", "cover_fava", "cosmos"])
def test_covers_and_flowers_are_not_food(crop: str) -> None:
    assert not food_is_allowed(CROPS[crop], ())


@pytest.mark.parametrize(("crop", "word"), CAUTIONED)
def test_a_crop_that_can_hurt_carries_its_caution(crop: str, word: str) -> None:
    said = " ".join(hazard.hazard for hazard in CROPS[crop].hazards)
    assert word in said


def test_broad_beans_warn_people_without_the_enzyme_even_when_cooked() -> None:
    (hazard,) = unprocessed_hazards(CROPS["fava_dry"], ())
    assert "G6PD" in hazard.who_at_risk
    assert "do not eat it at all" in hazard.processing


def test_dry_beans_are_boiled_hard_for_ten_minutes() -> None:
    (hazard,) = unprocessed_hazards(CROPS["bean_dry"], ())
    assert "boil hard for at least 10 minutes" in hazard.processing


@pytest.mark.parametrize("material", WAITING)
def test_manure_and_its_like_block_the_harvest(material: str) -> None:
    """US 7 CFR 205.203(c)(1): 120 days where the edible part touches soil, otherwise 90."""
    assert wait_days(material, True) == 120
    assert wait_days(material, False) == 90


def test_the_longer_wait_holds_where_it_is_not_known_what_touches_soil() -> None:
    assert wait_days("Raw manure", None) == 120


def test_finished_compost_and_plain_tea_ask_for_no_wait_but_carry_a_caution() -> None:
    for material in ("compost", "compost tea plain"):
        assert wait_days(material, True) == 0
        assert material_hazards(material)


def test_an_unknown_material_is_not_harmless() -> None:
    assert wait_days("grey paste from the shed", False) is None
    assert not material_is_food("grey paste from the shed")


def test_treated_seed_is_never_food() -> None:
    assert not material_is_food("treated seed")
    assert [hazard.forbids for hazard in material_hazards("treated_seed")] == ["food"]


@pytest.mark.parametrize("material", ["human_waste", "pet_waste", "tansy"])
def test_other_materials_that_never_become_food(material: str) -> None:
    assert not material_is_food(material)


def test_raw_elderberries_are_not_food() -> None:
    (hazard,) = material_hazards("elderberry")
    assert hazard.forbids == "food until processed"
    assert not material_is_food("elderberry")


def test_a_crop_without_a_hazard_on_record_is_told_apart_from_a_safe_one() -> None:
    assert no_hazard_on_record(CROPS["kale"])
    assert not no_hazard_on_record(CROPS["potato"])


def test_every_hazard_says_who_is_at_risk_what_helps_and_whom_to_ask() -> None:
    all_hazards = [hazard for crop in CROPS.values() for hazard in crop.hazards]
    for hazard in (*all_hazards, *CATALOGUE.material_hazards):
        assert hazard.who_at_risk
        assert hazard.processing
        assert hazard.ask
        assert hazard.parts
