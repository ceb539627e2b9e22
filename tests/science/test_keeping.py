import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import keeping


def test_potatoes_lose_most_in_the_first_month():
    # Olsen and Frazier 2017: 3 % in the first month, 5 % in all after five.
    left = keeping.share_left([0, 30, 150], 0.03, 0.005)
    assert left == pytest.approx([1.0, 0.97, 0.951], abs=0.0005)
    first_part = (1 - left[1]) / (1 - left[2])
    assert 0.55 <= first_part <= 0.70


@given(st.floats(0, 400), st.floats(0, 60), st.floats(0, 0.5), st.floats(0, 0.5))
def test_weight_never_comes_back(days, more, first, later):
    before, after = keeping.share_left([days, days + more], first, later)
    assert 0 < after <= before <= 1


def test_an_even_loss_halves_as_it_should():
    assert keeping.even_share_left(60, 0.5) == pytest.approx(0.25)


def test_life_is_used_up_in_every_place_it_lies():
    used = keeping.life_used([3, 30], [7, 120])
    assert used == pytest.approx(3 / 7 + 0.25)
    assert keeping.days_still_to_keep(used, 120) == pytest.approx((1 - used) * 120)
    assert keeping.days_still_to_keep(1.2, 120) == 0


def test_ten_degrees_more_keep_half_to_a_third_as_long():
    assert keeping.life_at(10, 0, 120, None, 2) == pytest.approx(60)
    assert keeping.life_at(10, 0, 120, None, 3) == pytest.approx(40)


@pytest.mark.parametrize(
    ("temperature", "limit", "says"),
    [(8, 10, "chilling limit"), (-2, None, "holds from"), (25, None, "holds from")],
)
def test_life_is_not_scaled_where_the_rule_does_not_hold(temperature, limit, says):
    with pytest.raises(ValueError, match=says):
        keeping.life_at(temperature, 0, 100, limit)


def test_apples_are_kept_from_carrots_but_not_from_onions():
    made, harmed = ["VH", "VL", "VL", ""], ["H", "H", "L", "H"]  # apple, carrot, onion, unknown
    assert keeping.ethylene_conflicts(made, harmed) == ((0, 1), (0, 3))
    assert keeping.ethylene_not_known(made, harmed) == (3,)


def test_impossible_figures_are_refused():
    with pytest.raises(ValueError, match="life"):
        keeping.life_used([1], [0])
    with pytest.raises(ValueError, match="loss"):
        keeping.share_left(10, 1.0, 0)
