"""What could be done about water: other ways of watering, and what would hold water in a bed."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

import made_water
from perennate.outputs.water_keeping import kept_says, kept_table
from perennate.outputs.water_ways import ways_says, ways_table
from perennate.planning.plan import Plan
from perennate.planning.water.keeping import Kept
from perennate.planning.water_plan import Watered, WateringWay
from perennate.terms import Text
from perennate.words import say

pytestmark = pytest.mark.usefixtures("made_words")

PLAN = made_water.watered_plan()
FOUND = (
    Kept("as it is", 1000.0, 20.0, 1.5, 0.0),
    Kept("mulch", 700.0, 14.0, 0.5, 0.0),
    Kept("organic matter", 1012.0, 20.0, 1.5, 0.0),
    Kept("loosened", 996.0, 20.0, 1.5, 0.0),
    Kept("shade net", 500.0, 11.0, 0.0, 0.0),
    Kept("shelter", 880.0, 17.0, 1.0, 0.0),
)


def watered(way: Watered, ways: tuple[WateringWay, ...] | None = None) -> Plan:
    assert PLAN.water is not None
    water = replace(PLAN.water, watered=way, ways=PLAN.water.ways if ways is None else ways)
    return replace(PLAN, water=water)


def said(found: Text | None) -> str:
    assert found is not None
    return say(found)


def all_said(found: tuple[Text, ...]) -> str:
    return " ".join(say(one) for one in found)


# ways of watering


def test_who_waters_in_full_is_told_what_sparing_water_would_cost() -> None:
    told = said(ways_says(PLAN))
    assert told.startswith("Watering sparingly would take 1270 L less and cost 8% of the harvest")


def test_who_spares_water_is_told_what_the_fuller_way_would_save() -> None:
    sparing = said(ways_says(watered("sparing")))
    assert sparing.startswith("Watering in full would take 1270 L more and save 8% of the harvest")
    none = said(ways_says(watered("none")))
    assert none.startswith("Watering sparingly would take 1590 L more and save 13% of the harvest")


def test_each_way_has_a_row_and_the_holdings_own_is_marked() -> None:
    table = ways_table(PLAN)
    assert table is not None
    assert table.rows == (
        ("in full (this holding's)", "3170", "96", "0%"),
        ("sparingly", "1900", "61", "8%"),
        ("for settling in only", "317", "12", "21%"),
    )
    spared = ways_table(watered("sparing"))
    assert spared is not None
    assert [row[0] for row in spared.rows if "holding" in row[0]] == [
        "sparingly (this holding's)",
    ]


def test_a_harvest_whose_loss_nobody_knows_is_unknown_and_not_nought() -> None:
    unknown = tuple(replace(one, yield_lost=None) for one in watered("full").water.ways)  # type: ignore[union-attr]
    for way in ("full", "sparing"):
        plan = watered(way, unknown)
        assert "not known" in said(ways_says(plan))
        table = ways_table(plan)
        assert table is not None
        assert {row[3] for row in table.rows} == {"unknown"}


def test_a_plan_that_tells_of_no_ways_says_nothing_of_them() -> None:
    for plan in (watered("full", ()), replace(PLAN, water=None)):
        assert ways_says(plan) is None
        assert ways_table(plan) is None


def test_ways_are_told_in_gallons_where_the_holding_counts_in_them() -> None:
    us = replace(PLAN, holding=replace(PLAN.holding, units="us"))
    table = ways_table(us)
    assert table is not None
    assert table.head[1] == "Watering, US gal"
    assert table.rows[0][1] == "838"


# what would hold water in a bed


def test_what_saves_most_is_told_apart_from_a_net_that_takes_light() -> None:
    told = all_said(kept_says(FOUND))
    assert "As it is the bed is given 1000 L in about 20 waterings" in told
    assert "most is saved under mulch: 300 L, 30%, and 6 waterings." in told
    assert "A shade net would save 50%, but takes light" in told
    assert "Mulch keeps cold ground cold" in told


def test_each_change_has_a_row_beside_the_bed_as_it_is() -> None:
    table = kept_table(FOUND, "metric")
    assert table.rows[0] == ("as it is", "1000", "–", "–", "20", "1.5", "0")
    assert table.rows[1] == ("mulched, 5 cm deep", "700", "300", "30%", "14", "0.5", "0")
    assert table.rows[2][2:4] == ("-12", "-1%"), "what takes more water is not hidden"
    assert table.rows[3][3] == "0%"
    assert kept_table(FOUND, "us").rows[1][0] == "mulched, 1.97 in deep"
    assert kept_table(FOUND, "us").rows[1][2] == "79"


def test_where_nothing_saves_a_hundredth_that_is_said() -> None:
    told = all_said(kept_says((FOUND[0], FOUND[2], FOUND[3])))
    assert "None of what costs the plants no light saves a hundredth of it." in told
    assert "shade net" not in told
    assert "Mulch" not in told


def test_a_bed_that_is_given_nothing_has_no_shares_of_it() -> None:
    dry = tuple(replace(one, litres=0.0, waterings=0.0) for one in FOUND)
    assert {row[3] for row in kept_table(dry, "metric").rows} == {"–"}
    assert "None of what" in all_said(kept_says(dry))


def test_a_bed_in_which_nothing_stands_says_nothing() -> None:
    assert kept_says(()) == ()
    assert kept_table((), "metric").rows == ()


@given(st.lists(st.floats(0.0, 1e6), min_size=6, max_size=6))
def test_what_is_said_to_save_most_is_the_least_of_the_table_without_the_net(
    litres: list[float],
) -> None:
    found = tuple(replace(one, litres=at) for one, at in zip(FOUND, litres, strict=True))
    best = [dict(one.params) for one in kept_says(found) if one.code == "page.water.kept.best"]
    others = [one.litres for one in found[1:] if one.change != "shade net"]
    saved = found[0].litres - min(others)
    assert bool(best) == (saved > 0 and saved >= 0.01 * found[0].litres)
    for one in best:
        assert one["litres"] == pytest.approx(saved, rel=0.01)
