"""A holding goes through the store and comes out the same: by folder, archive and workbook."""

from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from holding.made_holdings import holdings
from perennate.holding import EXAMPLES, example_folder, write_holding
from perennate.season_files import own_catalogue
from perennate.server.store.carry import (
    Carried,
    archive_of,
    give_out,
    read_carried,
    read_uploaded,
    take_in,
    take_in_new,
    weather_content,
)
from perennate.server.store.models import Change
from perennate.server.store.rows import holding_of
from perennate.terms import BadInput

NORMALS = (example_folder("demo") / "normals.csv").read_bytes()
READINGS = b"date,tmin_c,tmax_c,rain_mm\n2026-02-01,-2,6,0\n2026-02-02,-1,7,3\n"
WEATHER = st.sampled_from(
    [{}, {"normals.csv": NORMALS}, {"weather.csv": READINGS, "weather-2.csv": READINGS}]
)
numbers = count()


def fits(holding) -> bool:
    try:
        own_catalogue(holding)
    except BadInput:
        return False
    return True


@pytest.mark.django_db
@given(holdings(), WEATHER)
@settings(
    max_examples=5,
    deadline=None,
    phases=[Phase.generate],
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
def test_a_made_holding_through_the_store_by_folder_archive_and_workbook(holding, weather):
    assume(fits(holding))
    with TemporaryDirectory() as place:
        first = Path(place) / "first"
        first.mkdir()
        for name, content in weather.items():
            (first / name).write_bytes(content)
        (first / "holding.toml").touch()
        write_holding(holding, first)
        carried = read_carried(first)
        assert carried.weather == weather
        store = take_in_new(carried)
        assert holding_of(store) == carried.holding
        assert weather_content(store) == weather
        for name in ("second", "second.zip", "second.xlsx"):
            path = Path(place) / f"{name}-there" / name
            path.parent.mkdir()
            give_out(store, path)
            again = read_carried(path)
            assert (again.holding, again.weather) == (carried.holding, weather)
        uploaded = read_uploaded("nook.zip", archive_of(store))
        assert (uploaded.holding, uploaded.weather) == (carried.holding, weather)


@pytest.mark.django_db
@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_through_the_store_with_its_weather(name, tmp_path):
    carried = read_carried(example_folder(name))
    assert carried.weather
    store = take_in(carried)
    give_out(store, tmp_path / "out")
    again = read_carried(tmp_path / "out")
    assert (again.holding, again.weather) == (carried.holding, carried.weather)


@pytest.mark.django_db
def test_a_folder_with_other_weather_gets_that_of_the_store(tmp_path):
    store = take_in(read_carried(example_folder("high")))
    give_out(store, tmp_path / "out")
    (tmp_path / "out" / "normals.csv").write_bytes(NORMALS)
    give_out(store, tmp_path / "out")
    assert (tmp_path / "out" / "normals.csv").read_bytes() == weather_content(store)["normals.csv"]


@pytest.mark.django_db
def test_a_workbook_is_not_put_beside_weather_of_another(tmp_path):
    store = take_in(read_carried(example_folder("high")))
    (tmp_path / "normals.csv").write_bytes(NORMALS)
    with pytest.raises(BadInput, match=r"normals\.csv"):
        give_out(store, tmp_path / "high.xlsx")
    assert [one.name for one in tmp_path.iterdir()] == ["normals.csv"]


@pytest.mark.django_db
def test_taking_the_same_folder_in_twice_changes_nothing():
    carried = read_carried(example_folder("tropics"))
    store = take_in(carried, "t")
    assert take_in(carried, "t").edition == store.edition == 1
    assert Change.objects.count() == 1


@pytest.mark.django_db
def test_a_folder_taken_in_over_a_holding_gives_that_folder_in_its_order():
    demo = read_carried(example_folder("demo"))
    store = take_in(demo, "here")
    other = read_carried(example_folder("southern"))
    take_in(other, "here")
    assert holding_of(store) != demo.holding
    store.refresh_from_db()
    assert holding_of(store) == other.holding
    assert weather_content(store) == other.weather


@pytest.mark.django_db
@pytest.mark.parametrize("slug", ["a/b", "A b", "ä ö", "x" * 81])
def test_a_short_name_that_no_address_can_have_is_refused(slug):
    with pytest.raises(BadInput, match="--as"):
        take_in(read_carried(example_folder("high")), slug)
    assert not Change.objects.exists()


@pytest.mark.django_db
def test_two_of_one_name_get_short_names_of_their_own():
    carried = read_carried(example_folder("high"))
    named = Carried("Oase 東", carried.holding, carried.weather)
    assert [take_in_new(named).slug for _ in range(3)] == ["oase-東", "oase-東-2", "oase-東-3"]
