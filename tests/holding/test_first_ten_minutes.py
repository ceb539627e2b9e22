"""A few answers give a whole holding; what was guessed is marked, what was said is kept."""

from dataclasses import replace
from datetime import date

import pytest
from catalogue_names import find, suggest
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.catalogue.reader import load_catalogue
from perennate.holding import (
    BedsAlike,
    FirstAnswers,
    Place,
    SeedHeld,
    Standing,
    assumption,
    first_holding,
    read_tables,
    settings_of,
    standing_assumptions,
    table_rows,
)
from perennate.holding.first_aims import COUNTED_ON, GROUND_USED_TWICE
from perennate.terms import BadInput

TEN = (
    "carrot",
    "potato",
    "tomato",
    "lettuce_leaf",
    "onion_bulb",
    "kale",
    "bean_snap_bush",
    "zucchini",
    "pea_shelling",
    "beet",
)
BEDS = (BedsAlike(6, 6.0, 1.2), BedsAlike(2, 4.0, 1.0, "half shade", "loam", "wall "))
JUNE = FirstAnswers(
    Place(47.1, 8.6),
    date(2027, 6, 10),
    last_frost=(5, 5),
    first_frost=(10, 10),
    beds=BEDS,
    standing=(Standing("garlic", 1), Standing("Potato", 2, (4, 20)), Standing("lettuce_head", 2)),
    eats=TEN,
    seeds=(SeedHeld("carrot", "Sandry Long", 2024), SeedHeld("carrot", "Sandry Long", 2024)),
    children=2,
    bench="window sill",
    hours_per_week=6,
)
UNREMEMBERED = replace(JUNE, last_frost=None, first_frost=None)
SOUTH = replace(UNREMEMBERED, place=Place(-37.8, 145.0, 50.0), as_of=date(2027, 12, 1))
TROPICS = replace(
    SOUTH, place=Place(3.0, 101.0, 40.0), as_of=date(2027, 3, 1), no_frost=True, wet_months=(11, 12)
)


def made(answers):
    return first_holding(answers, load_catalogue())


def wrong(answers):
    with pytest.raises(BadInput) as bad:
        made(answers)
    assert {(one.file, one.row) for one in bad.value.problems} == {("answers", None)}
    return [one.column for one in bad.value.problems]


def is_whole(holding):
    again = read_tables(settings_of(holding), table_rows(holding), find, suggest)
    return again == holding == replace(holding, assumed=standing_assumptions(holding))


@pytest.mark.parametrize("answers", [JUNE, SOUTH, TROPICS], ids=["june", "south", "tropics"])
def test_it_is_a_holding_that_the_reader_takes(answers):
    assert is_whole(made(answers))


def test_what_was_said_stands_and_is_not_called_assumed():
    holding = made(replace(JUNE, name=" Nook  end ", place=Place(47.1, 8.6, 410.0)))
    assert (holding.site.name, holding.site.elevation_m) == ("Nook end", 410.0)
    assert holding.site.remembered.last_frost == (5, 5)
    assert holding.limits.hours_per_week == 6
    assert holding.eats == TEN
    assert not [name for name in holding.assumed if name.startswith("site.")]
    potato = next(one for one in holding.plantings if one.crop == "potato")
    assert (potato.bed, potato.ground_from) == ("b2", date(2027, 4, 20))
    assert not {"beds.wall 1.light", "beds.b1.length_m"} & set(holding.assumed)


def test_what_was_guessed_is_called_assumed_and_has_words():
    holding = made(JUNE)
    assert {
        "site.name",
        "site.elevation_m",
        "nursery.bench_m2",
        "people.4.weight_kg",
        "beds.b1.light",
        "beds.wall2.x_m",
        "aims.carrot.amount",
        "aims.kale.start",
        "plantings.garlic b1.ground_from",
        "plantings.potato b2.length_m",
        "lots.carrot Sandry Long 2024 2.kind",
    } <= set(holding.assumed)
    assert {assumption(name).code for name in holding.assumed}.isdisjoint({"assumed.other"})


def test_beds_are_drawn_apart_with_paths_between():
    beds = made(replace(JUNE, beds=(*BEDS, BedsAlike(40, 3.0, 0.8, stem="x")))).beds
    assert [bed.key for bed in beds[:8]] == ["b1", "b2", "b3", "b4", "b5", "b6", "wall1", "wall2"]
    for number, one in enumerate(beds):
        for other in beds[:number]:
            apart_x = max(one.x_m - other.x_m - other.width_m, other.x_m - one.x_m - one.width_m)
            apart_y = max(one.y_m - other.y_m - other.length_m, other.y_m - one.y_m - one.length_m)
            assert max(apart_x, apart_y) >= 0.5 - 1e-9
    assert max(bed.x_m + bed.width_m for bed in beds) <= 24


def test_however_large_the_beds_are_they_are_drawn_where_beds_may_lie():
    assert is_whole(made(replace(JUNE, beds=(BedsAlike(1000, 500.0, 100.0),))))


def test_crops_of_one_bed_share_it_and_one_without_a_bed_gets_the_emptiest():
    standing = (*JUNE.standing, Standing("kale"), Standing("leek", "wall2"))
    rows = {one.crop: one for one in made(replace(JUNE, standing=standing)).plantings}
    assert (rows["potato"].start_m, rows["potato"].length_m) == (0.0, 3.0)
    assert (rows["lettuce_head"].start_m, rows["lettuce_head"].length_m) == (3.0, 3.0)
    assert (rows["garlic"].length_m, rows["kale"].bed, rows["leek"].bed) == (6.0, "b3", "wall2")
    assert {row.hand for row in rows.values()} == {"stands"}


def test_what_stands_over_winter_has_stood_since_autumn_and_summer_crops_since_spring():
    rows = {one.crop: one.ground_from for one in made(JUNE).plantings}
    assert date(2026, 9, 15) < rows["garlic"] < date(2026, 11, 15)
    assert date(2027, 4, 1) < rows["lettuce_head"] < date(2027, 6, 1)
    south = {one.crop: one.ground_from for one in made(SOUTH).plantings}
    assert date(2027, 4, 1) < south["garlic"] < date(2027, 7, 15)
    winter = made(replace(JUNE, as_of=date(2028, 1, 15), standing=(Standing("leek", 1),)))
    assert winter.plantings[0].ground_from < date(2027, 10, 15)


def test_a_day_that_is_still_to_come_this_year_was_last_year():
    standing = (Standing("leek", 1, (8, 1)), Standing("kale", 1, (2, 29)))
    first, second = made(replace(JUNE, standing=standing)).plantings
    assert (first.ground_from, second.ground_from) == (date(2026, 8, 1), date(2027, 2, 28))


def test_aims_together_ask_for_about_the_ground_there_is():
    crops = load_catalogue().crops
    for answers in (JUNE, SOUTH, TROPICS):
        holding = made(answers)
        ground = 0.0
        for aim in holding.aims:
            weeks = ((aim.end - aim.start).days + 1) / 7 if aim.per == "week" else 1
            ground += aim.amount * weeks / (crops[aim.crop].value("yield") * COUNTED_ON)
        taken = {one.bed for one in holding.plantings}
        free = sum(bed.area_m2 for bed in holding.beds if bed.key not in taken)
        assert [aim.crop for aim in holding.aims] == list(TEN)
        assert ground <= free * GROUND_USED_TWICE * 1.1


def test_more_ground_or_more_people_ask_for_more_and_small_wishes_stay_whole():
    small, large = made(JUNE), made(replace(JUNE, beds=(BedsAlike(40, 10.0, 1.2),)))
    many = made(replace(JUNE, beds=(BedsAlike(40, 10.0, 1.2),), adults=6))
    amounts = [{aim.crop: aim.amount for aim in one.aims} for one in (small, large, many)]
    assert all(amounts[0][crop] <= amounts[1][crop] < amounts[2][crop] for crop in TEN)
    assert amounts[0]["zucchini"] == amounts[1]["zucchini"]
    assert amounts[0]["potato"] < amounts[1]["potato"] / 2


def test_what_keeps_is_wanted_for_the_year_and_the_rest_while_it_can_be_had():
    aims = {aim.crop: aim for aim in made(JUNE).aims}
    assert (aims["carrot"].per, aims["carrot"].start) == ("season", None)
    beans = aims["bean_snap_bush"]
    assert beans.per == "week"
    assert beans.end < date(2027, 10, 10)
    assert date(2027, 7, 20) < beans.start < date(2027, 8, 31)
    south = {aim.crop: aim for aim in made(SOUTH).aims}
    assert south["tomato"].start.year == south["tomato"].end.year == 2028
    assert south["tomato"].end < date(2028, 6, 30)


def test_a_crop_that_no_plan_takes_is_eaten_but_no_aim():
    crops = load_catalogue().crops
    other = next(key for key in sorted(crops) if crops[key].fact("plan_ready") != "yes")
    holding = made(replace(JUNE, eats=("carrot", other, "Carrot")))
    assert holding.eats == ("carrot", other)
    assert [aim.crop for aim in holding.aims] == ["carrot"]


def test_the_year_begins_in_july_where_summer_falls_over_new_year():
    assert made(SOUTH).year_start == (7, 1)
    assert "plan.year_start" in made(SOUTH).assumed
    assert made(JUNE).year_start == made(TROPICS).year_start == (1, 1)


def test_seed_potatoes_are_tubers_and_a_bench_is_as_large_as_its_kind():
    holding = made(replace(JUNE, seeds=(SeedHeld("potato"), SeedHeld("kale")), bench="none"))
    assert [(lot.kind, lot.unit) for lot in holding.lots] == [("tuber", "pieces"), ("seed", "g")]
    assert holding.nursery.bench_m2 == 0
    assert not [name for name in holding.assumed if name.startswith("nursery")]
    sill, house = made(JUNE), made(replace(JUNE, bench="small greenhouse"))
    assert 0 < sill.nursery.bench_m2 < house.nursery.bench_m2


def test_as_good_as_nothing_is_a_holding_too():
    bare = made(FirstAnswers(Place(-90.0), date(2028, 2, 29), adults=0))
    assert (bare.beds, bare.aims, bare.people) == ((), (), ())
    assert is_whole(bare)
    hungry = made(FirstAnswers(Place(47.0), date(2028, 2, 29), eats=("carrot",)))
    assert hungry.aims[0].amount > 1


def test_everything_wrong_is_said_at_once_in_the_words_of_the_questions():
    answers = replace(
        JUNE,
        place=Place(95.0, 200.0, -9000.0),
        beds=(BedsAlike(0, 6.0, 1.2), BedsAlike(2, 0.01, float("nan"), "bright", "mud")),
        standing=(Standing("carott", 9), Standing("kale", "z", (2, 30))),
        eats=("carrot", "unobtainium"),
        seeds=(SeedHeld("kale", "", 2031),),
        adults=-1,
        bench="shed",
        hours_per_week=-1,
        weeks=0,
        no_frost=True,
    )
    found = wrong(answers)
    assert {
        "place.latitude_deg",
        "place.longitude_deg",
        "place.elevation_m",
        "beds.1.count",
        "beds.2.length_m",
        "beds.2.width_m",
        "beds.2.light",
        "beds.2.soil",
        "standing.1.crop",
        "standing.2.since",
        "eats.2",
        "seeds.1.year",
        "adults",
        "bench",
        "hours_per_week",
        "weeks",
    } <= set(found)
    assert wrong(replace(JUNE, no_frost=True)) == ["no_frost"]
    assert wrong(replace(JUNE, last_frost=(2, 30))) == ["last_frost"]
    assert wrong(replace(JUNE, standing=(Standing("kale", 99), Standing("kale", "b 1")))) == [
        "standing.1.bed",
        "standing.2.bed",
    ]
    assert wrong(replace(JUNE, beds=(), standing=(Standing("kale"),))) == ["standing.1.bed"]


def test_stems_that_give_two_beds_one_name_are_refused_and_one_stem_counts_on():
    clash = (BedsAlike(11, 2.0, 1.0, stem="b"), BedsAlike(1, 2.0, 1.0, stem="b1"))
    assert wrong(replace(JUNE, beds=clash)) == ["beds"]
    beds = made(replace(JUNE, beds=(BedsAlike(2, 2.0, 1.0), BedsAlike(1, 3.0, 1.0)))).beds
    assert [(bed.key, bed.length_m) for bed in beds] == [("b1", 2.0), ("b2", 2.0), ("b3", 3.0)]
    assert wrong(replace(JUNE, beds=(BedsAlike(10**9, 2.0, 1.0),))) == ["beds.1.count"]


DAYS = st.dates(date(2020, 1, 1), date(2036, 12, 31))
CROPS = st.sampled_from(sorted(load_catalogue().crops))


@given(
    st.builds(
        FirstAnswers,
        place=st.builds(
            Place,
            latitude_deg=st.floats(-90, 90),
            longitude_deg=st.none() | st.floats(-180, 180),
            elevation_m=st.none() | st.floats(-400, 6000),
        ),
        as_of=DAYS,
        name=st.text(max_size=5),
        no_frost=st.just(False),
        last_frost=st.none() | st.sampled_from([(2, 29), (5, 5), (11, 1)]),
        first_frost=st.none() | st.sampled_from([(3, 1), (9, 30)]),
        beds=st.lists(
            st.builds(
                BedsAlike,
                count=st.integers(1, 30),
                length_m=st.floats(0.1, 500),
                width_m=st.floats(0.1, 100),
                stem=st.just("b"),
            ),
            min_size=1,
            max_size=3,
        ).map(tuple),
        standing=st.lists(
            st.builds(
                Standing,
                crop=CROPS,
                bed=st.sampled_from(["", 1, "b1"]),
                since=st.none() | st.sampled_from([(2, 29), (12, 31)]),
            ),
            max_size=4,
        ).map(tuple),
        eats=st.lists(CROPS, max_size=6).map(tuple),
        seeds=st.lists(
            st.builds(SeedHeld, crop=CROPS, variety=st.text(max_size=4), year=st.none()), max_size=3
        ).map(tuple),
        adults=st.integers(0, 4),
        children=st.integers(0, 4),
        bench=st.sampled_from(["none", "window sill", "small greenhouse"]),
        units=st.sampled_from(["metric", "us"]),
        weeks=st.integers(1, 200),
    )
)
@settings(max_examples=30, deadline=None)
def test_answers_that_can_be_given_give_a_whole_holding(answers):
    try:
        holding = made(answers)
    except BadInput as bad:
        refused = {one.expected for one in bad.problems}
    else:
        refused = {"a text without control characters"}
        assert is_whole(holding)
    assert refused == {"a text without control characters"}
