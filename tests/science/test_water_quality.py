from dataclasses import fields, replace

import pytest

from perennate.holding.model import WaterSource
from perennate.science.water_quality import (
    LIMITS,
    WaterAnalysis,
    acid_for,
    carries_germs,
    charge_balance,
    likely_mistakes,
    nitrogen_fed,
    sodium_ratio,
    water_classes,
    worst,
)

SOFT = WaterAnalysis(
    kind="well",
    ec_ds_m=0.45,
    ph=7.4,
    sodium_mg_l=23.0,
    calcium_mg_l=50.0,
    magnesium_mg_l=10.0,
    chloride_mg_l=36.0,
    bicarbonate_mg_l=145.0,
    sulphate_mg_l=37.0,
    boron_mg_l=0.1,
    nitrate_n_mg_l=2.0,
    iron_mg_l=0.05,
    free_chlorine_mg_l=0.3,
)


def by_hazard(analysis, overhead=False, bed_sar=None):
    return {one.hazard: one for one in water_classes(analysis, overhead, bed_sar)}


def test_an_analysis_has_the_fields_of_a_water_source():
    of_source = {one.name for one in fields(WaterSource)}
    assert {one.name for one in fields(WaterAnalysis)} <= of_source


def test_a_source_without_an_analysis_is_unknown_and_never_safe():
    for overhead in (False, True):
        classes = water_classes(WaterAnalysis(kind="mains"), overhead)
        assert {one.rating for one in classes} == {"unknown"}
        assert worst(classes) == "unknown"
    assert worst(()) == "unknown"


def test_one_hazard_not_measured_keeps_a_good_water_from_safe():
    ground = water_classes(replace(SOFT, ec_ds_m=0.7), False)
    assert worst(ground) == "none"
    assert worst(water_classes(replace(SOFT, ec_ds_m=0.7, boron_mg_l=None), False)) == "unknown"


@pytest.mark.parametrize(
    ("field", "unit_weight", "hazard", "overhead"),
    [
        ("ec_ds_m", 1.0, "salinity", False),
        ("chloride_mg_l", 35.45, "chloride", False),
        ("boron_mg_l", 1.0, "boron", False),
        ("nitrate_n_mg_l", 1.0, "nitrate", False),
        ("bicarbonate_mg_l", 61.016, "bicarbonate", True),
        ("iron_mg_l", 1.0, "iron", False),
        ("free_chlorine_mg_l", 1.0, "chlorine", True),
        ("sar_adjusted", 1.0, "sodium", False),
    ],
)
def test_limits_of_the_table(field, unit_weight, hazard, overhead):
    # Ayers and Westcot 1985, table 1; chlorine after Cayanan 2009 and Donovan 2015.
    low, high = LIMITS[hazard]
    for value, rating in (
        (low * 0.99, "none"),
        (low * 1.01, "slight to moderate"),
        (high * 0.99, "slight to moderate"),
        (high * 1.01, "severe"),
    ):
        water = WaterAnalysis(**{field: value * unit_weight})
        assert by_hazard(water, overhead)[hazard].rating == rating


@pytest.mark.parametrize("ion", ["sodium", "chloride"])
def test_leaves_burn_where_roots_do_not(ion):
    # 3 me/l, which is 69 mg/l of sodium and 106 mg/l of chloride (table 1).
    weight = {"sodium": 22.99, "chloride": 35.45}[ion]
    water = replace(SOFT, **{f"{ion}_mg_l": 3.5 * weight})
    assert by_hazard(water)[ion].rating == "none"
    assert by_hazard(water, overhead=True)[ion].rating == "slight to moderate"


def test_rain_on_a_sodic_bed_is_severe_though_nothing_was_measured():
    rain = WaterAnalysis(kind="roof")
    assert by_hazard(rain)["infiltration"].rating == "unknown"
    assert by_hazard(rain, bed_sar=12.0)["infiltration"].rating == "severe"


def test_chlorine_counts_on_leaves_and_not_in_soil():
    assert "chlorine" not in by_hazard(SOFT)
    assert by_hazard(SOFT, overhead=True)["chlorine"].rating == "none"
    both = replace(SOFT, free_chlorine_mg_l=2.0, chloramine_mg_l=1.0)
    assert by_hazard(both, overhead=True)["chlorine"].value == 3.0


def test_the_gravest_hazard_comes_first():
    salty = replace(SOFT, boron_mg_l=5.0)
    assert water_classes(salty, False)[0].hazard == "boron"


def test_salt_is_read_from_what_is_dissolved_where_it_was_not_measured():
    water = replace(SOFT, ec_ds_m=None, tds_mg_l=640.0)
    assert by_hazard(water)["salinity"].value == pytest.approx(1.0)


def test_the_sodium_ratio_says_how_it_came():
    assert sodium_ratio(replace(SOFT, sar_adjusted=4.2)) == (4.2, "laboratory")
    assert sodium_ratio(SOFT)[1] == "lime in balance"
    assert sodium_ratio(replace(SOFT, bicarbonate_mg_l=None))[1] == "plain"
    assert sodium_ratio(replace(SOFT, sodium_mg_l=None)) == (None, "unknown")


def test_nitrogen_in_the_water_is_feed():
    # 1 mg/l in 100 mm is 1 kg/ha, 0.1 g/m2.
    assert nitrogen_fed(1.0, 100.0) == pytest.approx(0.1)


def test_acid_against_bicarbonate():
    assert acid_for(61.0 + 61.016) == pytest.approx(1.0)
    assert acid_for(30.0) == 0.0


@pytest.mark.parametrize(
    ("kind", "germs", "kept_off"),
    [
        ("mains", "untested", False),
        ("mains", "found", True),
        ("well", "untested", True),
        ("well", "clean", False),
        ("well", "found", True),
        ("roof", "clean", True),
        ("surface", "clean", True),
        ("grey", "untested", True),
        ("unknown", "untested", True),
    ],
)
def test_which_water_is_kept_off_leaves_eaten_raw(kind, germs, kept_off):
    assert carries_germs(kind, germs) is kept_off


def test_a_good_analysis_balances_and_raises_no_question():
    assert abs(charge_balance(SOFT)) < 5.0
    assert likely_mistakes(SOFT) == ()
    assert charge_balance(replace(SOFT, sulphate_mg_l=None)) is None


@pytest.mark.parametrize(
    ("change", "field", "meant"),
    [
        ({"ph": 70.0}, "ph", "7.0?"),
        ({"ec_ds_m": 450.0}, "ec_ds_m", "450 uS/cm, which is 0.45 dS/m?"),
        ({"sodium_mg_l": -23.0}, "sodium_mg_l", "23 without the minus?"),
        ({"sodium_mg_l": 900.0}, "sodium_mg_l", "in another unit?"),
        ({"tds_mg_l": 3000.0}, "tds_mg_l", "in another unit?"),
        # 1 meq/l of bicarbonate and of calcium that were copied as milligrams, or the reverse
        ({"bicarbonate_mg_l": 2.4}, "bicarbonate_mg_l", "2.4 meq/l of bicarbonate"),
        ({"calcium_mg_l": 2.5}, "calcium_mg_l", "2.5 meq/l of calcium"),
    ],
)
def test_what_cannot_be_is_asked_after_with_what_was_likely_meant(change, field, meant):
    ((name, _, expected),) = likely_mistakes(replace(SOFT, **change))
    assert name == field
    assert meant in expected
