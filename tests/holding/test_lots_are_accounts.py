"""What is left of a lot is a sum of whole numbers."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.holding import lot_balance
from perennate.holding.lots import first_overdraft
from perennate.holding.model import Holding, Lot, LotMove, Site

LOT = Lot("C1", "carrot", "", "seed", 5.0, "g", 2025, 0.8)
HOLDING = Holding(Site("Nook", 47.0, None, 300.0), None, 52, "metric", lots=(LOT,))


def moves(*changes: int) -> tuple[LotMove, ...]:
    return tuple(LotMove("C1", date(2026, 1, 1 + n), c, "mg") for n, c in enumerate(changes))


def test_what_came_in_less_what_went_out_in_milligrams():
    assert lot_balance(replace(HOLDING, lot_moves=moves(-2000, -500)), "C1") == 2500


def test_a_lot_without_a_stated_amount_is_the_sum_of_its_moves():
    lot = replace(LOT, amount=None)
    assert lot_balance(replace(HOLDING, lots=(lot,), lot_moves=moves(700, -200)), "C1") == 500


def test_a_lot_of_which_nothing_is_known_has_no_balance():
    assert lot_balance(replace(HOLDING, lots=(replace(LOT, amount=None),)), "C1") is None


def test_an_unknown_lot_is_a_key_error():
    with pytest.raises(KeyError, match="C2"):
        lot_balance(HOLDING, "C2")


def test_more_out_than_in_is_never_a_balance():
    with pytest.raises(ValueError, match="1000 mg more"):
        lot_balance(replace(HOLDING, lot_moves=moves(-6000)), "C1")


def test_seeds_and_milligrams_are_not_added():
    move = LotMove("C1", date(2026, 1, 1), -10, "seeds")
    with pytest.raises(ValueError, match="kept in mg"):
        lot_balance(replace(HOLDING, lot_moves=(move,)), "C1")


def test_what_comes_in_on_a_day_counts_before_what_goes_out():
    same_day = (LotMove("C1", date(2026, 1, 1), -6000, "mg"), *moves(1000))
    assert first_overdraft(LOT, same_day) is None


@given(st.lists(st.integers(-4000, 4000), max_size=12))
def test_an_account_that_never_goes_below_zero_ends_at_the_plain_sum(changes):
    history = moves(*changes)
    if first_overdraft(LOT, history) is None:
        left = lot_balance(replace(HOLDING, lot_moves=history), "C1")
        assert left == 5000 + sum(changes)
        assert left >= 0
    else:
        assert min(5000 + sum(changes[: n + 1]) for n in range(len(changes))) < 0
