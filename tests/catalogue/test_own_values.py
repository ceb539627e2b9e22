import pytest

from perennate.catalogue.own_values import with_own_values
from perennate.catalogue.reader import load_catalogue
from perennate.terms import BadInput, Estimate

CATALOGUE = load_catalogue()


def own(value: float, unit: str) -> Estimate:
    return Estimate(value, value * 0.8, value * 1.2, unit, "own records", "own records")


def test_an_own_figure_stands_in_place_of_the_shipped_one_with_its_own_basis() -> None:
    changed = with_own_values(CATALOGUE, [("Tomato", "yield", own(9.0, "kg/m2"))])
    assert changed.crops["tomato"].figures["yield"] == own(9.0, "kg/m2")
    assert changed.crops["tomato"].figures["energy"] == CATALOGUE.crops["tomato"].figures["energy"]
    assert changed.crops["carrot"] is CATALOGUE.crops["carrot"]
    assert CATALOGUE.crops["tomato"].value("yield") != 9.0


def test_own_figures_make_a_crop_ready_that_lacked_them() -> None:
    assert CATALOGUE.crops["orach"].fact("plan_ready") == "no"
    weighed = [
        ("orach", "edible_fraction", own(0.8, "1")),
        ("orach", "energy", own(25.0, "kcal/100g")),
        ("orach", "protein", own(2.0, "g/100g")),
    ]
    some = with_own_values(CATALOGUE, weighed[:2]).crops["orach"]
    every = with_own_values(CATALOGUE, weighed).crops["orach"]
    assert some.fact("plan_ready") == "no"
    assert every.facts["plan_ready"].basis == "own records"
    assert every.fact("plan_ready") == "yes"


def test_every_fault_is_named_at_once() -> None:
    faulty = [
        ("tomatoe", "yield", own(9.0, "kg/m2")),
        ("carrot", "sweetness", own(1.0, "1")),
        ("carrot", "yield", own(9.0, "lb")),
        ("carrot", "yield_claim", own(30.0, "kg/m2")),
    ]
    with pytest.raises(BadInput) as refused:
        with_own_values(CATALOGUE, faulty)
    problems = refused.value.problems
    assert [problem.column for problem in problems] == ["crop", "figure", "unit", "figure"]
    assert "tomato" in problems[0].expected


def test_no_own_values_leave_the_catalogue_as_it_is() -> None:
    assert with_own_values(CATALOGUE, ()) == CATALOGUE
