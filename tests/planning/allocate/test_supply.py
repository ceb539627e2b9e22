"""Water from a tank and from elsewhere, week by week."""

from dataclasses import replace

import numpy as np
import pytest
import tiny
from hypothesis import given
from hypothesis import strategies as st

from perennate.planning.allocate.program import INF, Program, solve
from perennate.planning.allocate.relax import relax
from perennate.planning.allocate.supply import WaterSupply

NO_RAIN = (0.0,) * 8
ANY_WEEK = (INF,) * 8


def draws(**litres: float) -> np.ndarray:
    """Litres by week: `draws(w2=5.0)`."""
    drawn = np.zeros(8)
    for week, amount in litres.items():
        drawn[int(week[1:])] = amount
    return drawn


def test_a_tank_serves_what_stands_in_it_and_no_more() -> None:
    supply = WaterSupply(100.0, 60.0, NO_RAIN, NO_RAIN)
    assert supply.lack(draws(w2=40.0, w5=20.0)) == 0.0
    assert supply.lack(draws(w2=40.0, w5=25.0)) == pytest.approx(5.0)


def test_rain_that_finds_the_tank_full_runs_over() -> None:
    rain = (50.0, 50.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    supply = WaterSupply(60.0, 0.0, rain, NO_RAIN)
    assert supply.lack(draws(w3=60.0)) == 0.0
    assert supply.lack(draws(w3=70.0)) == pytest.approx(10.0), "of 100 l only 60 were held"
    assert supply.lack(draws(w0=40.0, w3=60.0)) == 0.0, "what is drawn early makes room"


def test_what_comes_by_the_week_is_drawn_before_the_tank() -> None:
    supply = WaterSupply(20.0, 20.0, NO_RAIN, (5.0,) * 8)
    assert supply.lack(draws(w1=10.0, w2=10.0, w3=10.0)) == 0.0
    assert supply.lack(draws(w1=30.0)) == pytest.approx(5.0)


def test_no_more_than_all_of_it() -> None:
    supply = WaterSupply(0.0, 0.0, NO_RAIN, ANY_WEEK, total=30.0)
    assert supply.lack(draws(w1=20.0, w6=10.0)) == 0.0
    assert supply.lack(draws(w1=20.0, w6=14.0)) == pytest.approx(4.0)


@given(tiny.supplies(), st.lists(st.integers(0, 20).map(float), min_size=8, max_size=8))
def test_taking_some_and_then_the_rest_lacks_as_much_as_all_at_once(
    supply: WaterSupply, amounts: list[float]
) -> None:
    drawn = np.array(amounts)
    first, rest = np.floor(drawn / 2), drawn - np.floor(drawn / 2)
    assert supply.with_spoken_for(first).lack(rest) == pytest.approx(supply.lack(drawn))


@given(tiny.supplies(), st.lists(st.integers(0, 6).map(float), min_size=8, max_size=8))
def test_what_the_tank_can_give_the_programme_allows(
    supply: WaterSupply, amounts: list[float]
) -> None:
    """The programme takes weeks together, so it allows more, never less."""
    drawn = np.array(amounts)
    if supply.lack(drawn) > supply.lack(0.0 * drawn):
        return
    program = Program()
    whole = program.columns(1, cost=-1.0, upper=1.0)
    supply.add_to(program, whole, [tuple(enumerate(amounts))])
    assert solve(program, solver="simplex").columns[whole[0]] == pytest.approx(1.0)


def test_scarce_water_has_a_price_and_lowers_what_can_be_grown() -> None:
    thirsty = tuple(
        replace(option, water=((option.start, 5.0),)) for option in tiny.problem().options
    )
    plenty = relax(tiny.problem(options=thirsty))
    dry = WaterSupply(8.0, 8.0, NO_RAIN, NO_RAIN)
    scarce = relax(tiny.problem(options=thirsty, water=dry))
    assert plenty.water_price.max() == 0.0
    assert scarce.water_price.max() > 0.0
    assert scarce.bound > plenty.bound + 1.0
