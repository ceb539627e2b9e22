import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import energy


def test_a_moderately_active_woman_of_55_kg():
    # FAO/WHO/UNU 2004, 5.4.1: basal 5.45 MJ (1 302 kcal), level 1.85, need 2 410 kcal.
    basal = energy.basal_metabolic_rate("female", 25, 55)
    assert basal == pytest.approx(1302, abs=0.5)
    assert basal / energy.KCAL_PER_MJ == pytest.approx(5.45, abs=0.005)
    # The report rounds in megajoules (10.08) before it turns the need into kcal.
    need = energy.energy_requirement("female", 25, 55, "moderate")
    assert need == pytest.approx(2410, abs=3)
    assert need / energy.KCAL_PER_MJ == pytest.approx(10.08, abs=0.01)
    assert round(need / 55) == 44


def test_a_vigorous_man_of_70_kg():
    # FAO/WHO/UNU 2004, 5.3: basal 7.30 MJ (1 745 kcal), level 2.25, need 3 925 kcal, 56 per kg.
    assert energy.basal_metabolic_rate("male", 22, 70) == pytest.approx(1745, abs=1.5)
    need = energy.adult_energy("male", 22, 70, 2.25)
    assert need == pytest.approx(3925, abs=5)
    assert round(need / 70) == 56


@pytest.mark.parametrize(
    ("sex", "age", "mass", "kcal"),
    [
        ("male", 2, 12, 59.512 * 12 - 30.4),
        ("female", 2, 12, 58.317 * 12 - 31.1),
        ("male", 3, 15, 22.706 * 15 + 504.3),
        ("female", 9.9, 30, 20.315 * 30 + 485.9),
        ("male", 10, 33, 17.686 * 33 + 658.2),
        ("female", 17.9, 55, 13.384 * 55 + 692.6),
        ("male", 30, 75, 11.472 * 75 + 873.1),
        ("female", 59.9, 65, 8.126 * 65 + 845.6),
        ("male", 60, 70, 11.711 * 70 + 587.7),
        ("female", 80, 60, 9.082 * 60 + 658.5),
    ],
)
def test_every_age_has_its_basal_equation(sex, age, mass, kcal):
    assert energy.basal_metabolic_rate(sex, age, mass) == pytest.approx(kcal)


def test_the_standard_error_goes_with_the_equation():
    assert energy.basal_standard_error("male", 45, 75) == 167


def test_children_are_reckoned_from_expenditure_and_growth():
    # FAO/WHO/UNU 2004, section 4.2: 310.2 + 63.3 W - 0.263 W^2, a boy of 33.3 kg spends 2 126.
    need = energy.child_energy("male", 10, 33.3, "moderate")
    assert need / 1.01 == pytest.approx(2126.5, abs=0.5)
    assert energy.energy_requirement("male", 10, 33.3, "moderate") == need
    assert energy.child_energy("male", 10, 33.3, "vigorous") == pytest.approx(need * 1.15)
    small = energy.child_energy("female", 4, 16, "vigorous")
    assert small == energy.child_energy("female", 4, 16, "light")


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: energy.adult_energy("male", 30, 70, 2.5), "1.40 to 2.40"),
        (lambda: energy.adult_energy("male", 30, 70, 1.2), "1.40 to 2.40"),
        (lambda: energy.adult_energy("male", 15, 60, 1.8), "under 18"),
        (lambda: energy.child_energy("male", 0.5, 8, "light"), "1 to under 18"),
        (lambda: energy.child_energy("female", 18, 55, "light"), "1 to under 18"),
        (lambda: energy.basal_metabolic_rate("male", 30, 300), "30 to 150 kg"),
        (lambda: energy.basal_metabolic_rate("male", -1, 10), "0 to 110"),
        (lambda: energy.protein_safe_level("male", 0.5, 8), "begin at 1 year"),
        (lambda: energy.protein_safe_level("male", 30, 70, 0.2), "0.5 to 1"),
    ],
)
def test_outside_its_range_a_figure_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()


def test_protein_for_adults_and_children():
    # WHO Technical Report Series 935 (2007): 0.83 g per kg for adults; children by age.
    assert energy.protein_safe_level("female", 40, 55) == pytest.approx(45.7, abs=0.06)
    assert energy.protein_safe_level("male", 40, 70) == pytest.approx(58.1)
    assert energy.protein_safe_level("male", 5, 19.7) == pytest.approx(17.1, abs=0.05)
    assert energy.protein_safe_level("female", 12, 46.1) == pytest.approx(41.0, abs=0.05)
    assert energy.protein_safe_level("male", 16, 66.5) == pytest.approx(57.9, abs=0.05)
    assert energy.protein_safe_level("male", 40, 70, 0.8) == pytest.approx(58.1 / 0.8)


@given(st.sampled_from(["female", "male"]), st.integers(18, 90), st.floats(40, 110))
def test_more_activity_needs_more(sex, age, mass):
    light, moderate, vigorous = (
        energy.energy_requirement(sex, age, mass, level)
        for level in ("light", "moderate", "vigorous")
    )
    assert light < moderate < vigorous


def test_the_spread_within_a_class_is_eight_to_ten_percent():
    low, high = energy.energy_spread("female", 30, "moderate")
    assert low == pytest.approx(0.92, abs=0.005)
    assert high == pytest.approx(1.08, abs=0.005)
