"""The four invented holdings are read without a problem and are what they are said to be."""

from collections import Counter
from datetime import date, timedelta

import pytest

from perennate.catalogue.reader import load_catalogue
from perennate.holding import EXAMPLES, example_folder, lot_balance


@pytest.fixture(scope="module", params=EXAMPLES)
def holding(request, read):
    return read(example_folder(request.param))


def test_it_has_ground_aims_and_weather(holding):
    assert 6 <= len(holding.beds) <= 60
    assert holding.aims
    assert holding.weather_files == ("normals.csv",)
    assert "(invented)" in holding.site.name


def test_its_history_keeps_the_rests_of_the_rotation(holding):
    crops = load_catalogue().crops
    stood = [
        planting
        for planting in holding.plantings
        if planting.hand in ("past", "stands", "fixed") and planting.ground_from and planting.bed
    ]
    for later in stood:
        group = crops[later.crop].fact("rotation_group")
        rest = timedelta(days=365 * crops[later.crop].value("rest_years") - 150)
        for earlier in stood:
            same = earlier.bed == later.bed and crops[earlier.crop].fact("rotation_group") == group
            if same and earlier.ground_from < later.ground_from and group not in ("", "none"):
                assert later.ground_from - earlier.ground_to >= rest, (earlier.key, later.key)


def test_every_crop_aimed_at_can_be_planned(holding):
    crops = load_catalogue().crops
    for aim in holding.aims:
        assert not aim.crop or crops[aim.crop].fact("plan_ready") == "yes", aim.crop


def test_every_lot_has_its_account(holding):
    assert all(lot_balance(holding, lot.key) is not None for lot in holding.lots)


def test_beds_do_not_lie_on_each_other(holding):
    placed = [bed for bed in holding.beds if bed.x_m is not None]
    assert placed
    for n, one in enumerate(placed):
        for other in placed[n + 1 :]:
            apart_x = one.x_m + one.width_m <= other.x_m or other.x_m + other.width_m <= one.x_m
            apart_y = one.y_m + one.length_m <= other.y_m or other.y_m + other.length_m <= one.y_m
            assert apart_x or apart_y, (one.key, other.key)


def test_the_demo_is_a_whole_season_of_a_household_of_four(read):
    demo = read(example_folder("demo"))
    assert (len(demo.beds), len(demo.people), demo.weeks) == (52, 4, 60)
    assert demo.as_of == date(2026, 2, 16)
    assert {bed.light for bed in demo.beds} == {"full sun", "half shade", "shade"}
    assert len({bed.soil for bed in demo.beds}) >= 4
    assert all(4 <= bed.length_m <= 9 and bed.width_m == 1.2 for bed in demo.beds)
    kinds = Counter(aim.kind for aim in demo.aims)
    assert kinds["seed"] == 6
    assert sum(aim.amount for aim in demo.aims if aim.kind == "sell") == 150
    assert kinds["habitat"] == kinds["compost"] == kinds["household"] == 1
    years = {planting.ground_from.year for planting in demo.plantings if planting.hand == "past"}
    assert years == {2023, 2024, 2025}
    assert {planting.hand for planting in demo.plantings} == {
        "stands",
        "fixed",
        "wished",
        "refused",
        "past",
    }
    assert set(demo.processes) == {"fava_dry", "bean_dry"}
    assert len(demo.eats) >= 30


def test_the_others_are_of_other_climates(read):
    southern, tropics, high = (read(example_folder(name)) for name in EXAMPLES[1:])
    assert southern.site.latitude_deg < 0
    assert southern.year_start == (7, 1)
    assert abs(tropics.site.latitude_deg) < 23
    assert tropics.site.remembered.no_frost
    assert tropics.units == "us"
    assert high.site.elevation_m > 1500
    assert high.site.remembered.last_frost == (6, 25)


def test_an_unknown_example_is_a_key_error():
    with pytest.raises(KeyError, match="demo"):
        example_folder("moon")
