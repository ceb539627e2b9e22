"""Figures of the tables beside what the named publication prints."""

import pytest

from perennate.catalogue.reader import load_catalogue

CROPS = load_catalogue().crops

SR28 = [
    # USDA National Nutrient Database for Standard Reference, Release 28 (2016), per 100 g raw
    ("potato", "energy", 77),  # NDB 11352
    ("potato", "protein", 2.05),
    ("potato", "vitamin_c", 19.7),
    ("carrot", "energy", 41),  # NDB 11124
    ("carrot", "vitamin_a", 835),
    ("tomato", "energy", 18),  # NDB 11529
    ("tomato", "vitamin_c", 13.7),
    ("kale", "energy", 49),  # NDB 11233
    ("kale", "vitamin_c", 120),
    ("lentil", "protein", 24.63),  # NDB 16069
    ("sweet_potato", "vitamin_a", 709),  # NDB 11507
]

HARRINGTON_MINGES = [
    # Harrington and Minges 1954, days to emergence by soil temperature
    ("carrot", "emerge_days_10c", 17),
    ("carrot", "emerge_days_20c", 7),
    ("tomato", "emerge_days_10c", 43),
    ("onion_bulb", "emerge_days_00c", 136),
    ("spinach", "emerge_days_05c", 23),
    ("parsnip", "emerge_days_30c", 32),
]

OTHERS = [
    # University of Florida IFAS with University of California, soil temperatures for seed
    ("tomato", "soil_temp_sow_min", 10, "ifas-soil-temp"),
    ("tomato", "soil_temp_sow_opt", 27, "ifas-soil-temp"),
    ("tomato", "soil_temp_sow_max", 35, "ifas-soil-temp"),
    # North Dakota State University H-912 (2010): potato 90 to 120 days
    ("potato", "days_to_first_harvest", 105, "ndsu-h912"),
    # US 7 CFR 201.31, germination standards
    ("carrot", "germination_standard", 0.55, "cfr7-201.31;eu-2002-55-annex2"),
    ("tomato", "germination_standard", 0.75, "cfr7-201.31;eu-2002-55-annex2"),
    # Dawling 2012: tomato dies at 0 °C; the curd of cauliflower is spoilt there
    ("tomato", "kill_mature", 0, "dawling2012"),
    ("cauliflower", "kill_bloom", 0, "dawling2012"),
    # USDA Handbook 66 of 1954: potato 24 to 26 weeks
    ("potato", "life_best", 25 * 7, "hb66-1954"),
]


@pytest.mark.parametrize(("crop", "figure", "printed"), SR28)
def test_food_value_is_that_of_the_us_nutrient_data_base(
    crop: str, figure: str, printed: float
) -> None:
    found = CROPS[crop].figures[figure]
    assert (found.value, found.source, found.basis) == (printed, "usda-sr28", "published")


@pytest.mark.parametrize(("crop", "figure", "days"), HARRINGTON_MINGES)
def test_days_to_emerge_are_those_of_harrington_and_minges(
    crop: str, figure: str, days: float
) -> None:
    found = CROPS[crop].figures[figure]
    assert (found.value, found.source) == (days, "harrington-minges-1954")


@pytest.mark.parametrize(("crop", "figure", "printed", "source"), OTHERS)
def test_other_figures_are_as_printed(crop: str, figure: str, printed: float, source: str) -> None:
    found = CROPS[crop].figures[figure]
    assert (found.value, found.source, found.basis) == (printed, source, "published")


def test_nitrogen_fixed_by_legumes_spans_what_peoples_and_others_found() -> None:
    """Peoples and others 1995: faba bean 53 to 330, pea 17 to 244, lentil 10 to 192 kg/ha."""
    for crop, low, high in (("fava_dry", 53, 330), ("pea_dry", 17, 244), ("lentil", 10, 192)):
        found = CROPS[crop].figures["n_fixed"]
        assert (found.low, found.high) == (low, high)


def test_a_potato_field_carries_the_energy_that_hand_arithmetic_gives() -> None:
    """5.00 kg/m2 x 0.75 edible x 770 kcal/kg = 2,888 kcal/m2."""
    potato = CROPS["potato"]
    per_kg = potato.value("edible_fraction") * potato.value("energy") * 10
    assert potato.value("yield_commercial") * per_kg == pytest.approx(2888, abs=1)


def test_removal_of_nitrogen_is_protein_over_six_and_a_quarter() -> None:
    """N of the edible part is protein/6.25: 10 x g/100 g is kg/t."""
    for key in ("carrot", "potato", "bean_dry", "wheat_winter"):
        crop = CROPS[key]
        assert crop.value("n_removal") == pytest.approx(crop.value("protein") * 10 / 6.25, abs=0.05)


def test_heads_stand_less_cold_than_the_plant_in_cauliflower() -> None:
    cauliflower = CROPS["cauliflower"]
    assert cauliflower.value("kill_bloom") > cauliflower.value("kill_mature")
