import pytest

from perennate.science.nutrients import Intakes, daily_intakes


def test_intakes_of_adults_and_children():
    # FAO/WHO 2001, appendix 1, table 1.
    assert daily_intakes("female", 30) == Intakes(1000, 29, 500, 45)
    assert daily_intakes("female", 30, 0.05) == Intakes(1000, 59, 500, 45)
    assert daily_intakes("female", 55) == Intakes(1300, 11, 500, 45)
    assert daily_intakes("male", 30) == Intakes(1000, 14, 600, 45)
    assert daily_intakes("male", 8) == daily_intakes("female", 8) == Intakes(700, 9, 500, 35)


@pytest.mark.parametrize("age", [0.5, 12, 18.5, 70])
def test_an_age_that_is_not_in_the_table_is_not_guessed(age):
    assert daily_intakes("female", age) is None


def test_another_share_of_iron_is_refused():
    with pytest.raises(ValueError, match=r"0\.05 or 0\.10"):
        daily_intakes("male", 30, 0.15)
