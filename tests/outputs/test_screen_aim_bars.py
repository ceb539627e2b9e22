"""Bars of aims: as long as what is expected, never longer than the whole."""

from dataclasses import replace

import pytest

import made_plan
from perennate.outputs.screen.aim_bars import FULL, aim_bar, aim_bars


def test_a_bar_is_as_long_as_the_share_that_is_met() -> None:
    plan = made_plan.made_plan()
    bar = next(one for one in aim_bars(plan, made_plan.NAMES) if one.title == "Haushalt")
    assert bar.w == pytest.approx(FULL * 0.413, abs=0.1)
    assert bar.low < bar.w < bar.high


def test_a_bar_says_in_words_what_it_draws() -> None:
    plan = made_plan.made_plan()
    bar = next(one for one in aim_bars(plan, made_plan.NAMES) if one.title == "Haushalt")
    assert bar.says.startswith("41% of ")


def test_a_bar_never_runs_past_its_whole() -> None:
    plan = made_plan.made_plan()
    aim = plan.aims[0]
    lavish = replace(aim, met=1.4, expected=replace(aim.expected, high=9 * aim.wanted))
    bar = aim_bar(lavish, plan, made_plan.NAMES)
    assert (bar.w, bar.high, bar.is_met) == (FULL, FULL, True)


def test_an_aim_that_wants_nothing_has_a_bar_all_the_same() -> None:
    plan = made_plan.made_plan()
    bar = aim_bar(replace(plan.aims[0], wanted=0.0, met=1.0), plan, made_plan.NAMES)
    assert bar.w == FULL
