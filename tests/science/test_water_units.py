import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science.water_units import (
    ANALYSIS_UNITS,
    EQUIVALENT_WEIGHT,
    ec_to_ds_m,
    hardness_meq,
    to_meq,
    to_mg_l,
)

amounts = st.floats(0.001, 10_000)


@pytest.mark.parametrize(
    ("value", "unit", "ds_m"),
    [
        (450, "uS/cm", 0.45),
        (450, "µS/cm", 0.45),
        (450, "μS/cm", 0.45),
        (450, "umhos/cm", 0.45),
        (1.2, "mmhos/cm", 1.2),
        (1.2, "mS/cm", 1.2),
        (120, "mS/m", 1.2),
        (0.12, "S/m", 1.2),
        (1.2, "dS m-1", 1.2),
    ],
)
def test_a_conductivity_in_every_unit(value, unit, ds_m):
    assert ec_to_ds_m(value, unit) == pytest.approx(ds_m)


@pytest.mark.parametrize(
    ("value", "unit", "ion", "mg_l"),
    [
        # Ayers and Westcot 1985, table 1 as printed: 3 me/l of sodium or chloride on leaves.
        (3, "meq/l", "sodium", 69),
        (3, "me/l", "chloride", 106.4),
        (2, "mmol/l", "calcium", 80.2),
        (2, "mmol/l", "sodium", 46),
        # NIST Handbook 44: a grain is 64.79891 mg, a US gallon 3.785411784 l.
        (1, "grains/gal", "sodium", 17.118),
        (1, "gr/gal", "sodium", 17.118),
        (1, "grains/imp gal", "sodium", 14.254),
        (40, "mg/l NO3", "nitrate_n", 9.036),
        (9, "mg/l NO3-N", "nitrate_n", 9),
        (1, "mg/l SO4-S", "sulphate", 2.996),
        # 10 mg/l of CaO and 10 mg/l of CaCO3, as calcium.
        (1, "°dH", "calcium", 7.147),
        (1, "°fH", "calcium", 4.004),
        (100, "mg/l as CaCO3", "bicarbonate", 121.9),
        (300, "ppb", "boron", 0.3),
    ],
)
def test_an_amount_in_every_unit(value, unit, ion, mg_l):
    assert to_mg_l(value, unit, ion) == pytest.approx(mg_l, rel=2e-3)


@given(amounts, st.sampled_from(sorted(EQUIVALENT_WEIGHT)))
def test_equivalents_and_milligrams_go_round(value, ion):
    assert to_meq(to_mg_l(value, "meq/l", ion), ion) == pytest.approx(value)


@given(amounts, st.sampled_from(["mg/l CaCO3", "°dH", "°fH", "grains/gal CaCO3", "°Clark"]))
def test_a_hardness_is_the_calcium_that_it_would_be(value, unit):
    calcium = to_mg_l(value, unit, "calcium")
    assert to_meq(calcium, "calcium") == pytest.approx(hardness_meq(value, unit))


def test_a_hardness_in_bare_milligrams_is_of_lime():
    # 100 mg/l of CaCO3 are 2 meq/l; 17.118 mg/l are a grain in a US gallon.
    assert hardness_meq(100.0, "mg/l") == pytest.approx(2.0, rel=1e-3)
    assert hardness_meq(100.0 / 17.118, "grains/gal") == pytest.approx(2.0, rel=1e-3)


@pytest.mark.parametrize(
    ("value", "unit", "ion"),
    [
        (1, "stone", "sodium"),
        (1, "°dH", "sodium"),
        (1, "meq/l", "boron"),
        (1, "mg/l NO3", "sodium"),
    ],
)
def test_a_unit_that_does_not_fit_is_refused_with_those_that_do(value, unit, ion):
    with pytest.raises(ValueError, match=f"{ion} is told in mg/l"):
        to_mg_l(value, unit, ion)


def test_a_conductivity_in_another_unit_is_refused():
    with pytest.raises(ValueError, match="told in dS/m"):
        ec_to_ds_m(1.0, "mg/l")


def test_every_unit_named_in_messages_is_read():
    for unit in ANALYSIS_UNITS["conductivity"]:
        assert ec_to_ds_m(1.0, unit) > 0
    for unit in ANALYSIS_UNITS["mass"]:
        assert to_mg_l(1.0, unit, "sodium") > 0
    for unit in ANALYSIS_UNITS["hardness"]:
        assert hardness_meq(1.0, unit) > 0
    for unit in ANALYSIS_UNITS["nitrate_n"]:
        assert to_mg_l(1.0, unit, "nitrate_n") > 0
