"""The key plan: beds, trees and bench, small and to scale."""

from dataclasses import replace
from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from made_pictures import HOLDING, beds_in_a_row, loose, place_href, sound, within
from perennate.holding.model import Bed, Tree
from perennate.outputs.screen.key_plan import KeyPlan, key_plan

TREES = (
    Tree("gate apple", "Malus domestica", "", date(2021, 11, 20), -4.0, 2.0),
    Tree("lost plum", "Prunus domestica", "", None),
)


def by_key(plan: KeyPlan, key: str) -> tuple[float, float, float, float]:
    (place,) = (one for one in plan.places if one.key == key)
    return place.x, place.y, place.w, place.h


place_m = st.one_of(st.none(), st.floats(-500, 500))


@st.composite
def grounds(draw: st.DrawFn) -> tuple[list[Bed], list[Tree], float]:
    beds = [
        Bed(f"B{n}", draw(st.floats(0.5, 60)), draw(st.floats(0.3, 5)), x_m=x, y_m=y)
        for n in range(draw(st.integers(0, 12)))
        for x in [draw(place_m)]
        for y in [None if x is None else draw(st.floats(-500, 500))]
    ]
    trees = [
        replace(TREES[0], key=f"T{n}", x_m=x, y_m=None if x is None else x / 2)
        for n in range(draw(st.integers(0, 3)))
        for x in [draw(place_m)]
    ]
    return beds, trees, draw(st.floats(0, 60))


@settings(deadline=None)
@given(grounds(), st.floats(200, 600))
def test_every_place_is_a_link_within_the_plan(
    ground: tuple[list[Bed], list[Tree], float], width: float
) -> None:
    beds, trees, bench_m2 = ground
    drawn = key_plan(beds, trees, bench_m2, place_href, width=width)
    keys = [bed.key for bed in beds] + [tree.key for tree in trees]
    keys += ["nursery"] if bench_m2 > 0 else []
    assert sorted(place.key for place in drawn.places) == sorted(keys)
    assert {place.href for place in drawn.places} == {f"?bed={key}" for key in keys}
    assert sound(drawn)
    assert all(within(place, drawn.width, drawn.height) for place in drawn.places)
    assert drawn.bar.end <= drawn.width


def test_beds_lie_to_scale_with_north_up() -> None:
    beds = [Bed("south", 10.0, 1.0, x_m=0.0, y_m=0.0), Bed("north", 5.0, 2.0, x_m=0.0, y_m=4.0)]
    drawn = key_plan(beds, (), 0.0, place_href)
    south, north = by_key(drawn, "south"), by_key(drawn, "north")
    assert north[1] < south[1]
    assert south[2] == 2 * north[2]
    assert round(south[2] / south[3]) == 10
    assert drawn.north is not None
    assert drawn.unplaced == ""


def test_beds_without_a_place_stand_in_order_and_the_plan_says_so() -> None:
    drawn = key_plan(loose(HOLDING).beds, (), 0.0, place_href)
    assert [place.key for place in drawn.places] == [bed.key for bed in HOLDING.beds]
    assert drawn.unplaced == "No bed has a place yet; drawn in order"
    assert drawn.north is None
    places = [(place.y, place.x) for place in drawn.places]
    assert places == sorted(places)


def test_what_has_no_place_stands_below_what_has() -> None:
    drawn = key_plan(HOLDING.beds, TREES, 4.0, place_href)
    lowest = max(place.y + place.h for place in drawn.places if place.kind == "bed")
    assert by_key(drawn, "lost plum")[1] > lowest
    assert by_key(drawn, "gate apple")[1] < lowest
    assert drawn.unplaced == "Not placed; drawn in order"


def test_the_bench_has_its_area_to_scale() -> None:
    drawn = key_plan([Bed("a", 8.0, 1.0, x_m=0.0, y_m=0.0)], (), 8.0, place_href)
    _, _, w, h = by_key(drawn, "a")
    _, _, wide, high = by_key(drawn, "nursery")
    assert abs(wide * high - w * h) < 0.03 * w * h


def test_one_place_is_chosen_and_each_has_its_name() -> None:
    drawn = key_plan(HOLDING.beds, TREES, 4.0, place_href, chosen="Süd 2", units="us")
    assert [place.key for place in drawn.places if place.chosen] == ["Süd 2"]
    names = {place.key: place.name for place in drawn.places}
    assert names["Süd 2"] == "Bed Süd 2, 19.7 ft by 3.94 ft"
    assert names["gate apple"] == "Tree gate apple, Malus domestica"
    assert names["nursery"] == "Bench, 43.1 sq ft"
    assert drawn.bar.name.endswith("ft")


def test_a_name_without_room_is_left_out_of_the_drawing_but_not_of_the_list() -> None:
    drawn = key_plan(beds_in_a_row(200), (), 0.0, place_href)
    assert not any(place.label for place in drawn.places)
    assert drawn.places[7].title == "B7"
    assert len(drawn.table.rows) == 200


def test_a_holding_without_ground_still_has_a_plan() -> None:
    drawn = key_plan((), (), 0.0, place_href)
    assert drawn.places == ()
    assert sound(drawn)
