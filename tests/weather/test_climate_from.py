"""A climate from records, normals, memory or the place alone, and that it is always the same."""

import hashlib
import os
import subprocess
import sys
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
import weather_bytes
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.terms import BadInput
from perennate.weather import (
    Climate,
    MonthlyNormals,
    Remembered,
    climate_from,
    read_normals,
    read_weather,
)
from perennate.weather.climate import day_index, frost_dates, tmean

MILD = MonthlyNormals(
    tmin=np.array([-1.0, -1, 1, 4, 8, 11, 13, 13, 10, 6, 3, 0]),
    tmax=np.array([4.0, 6, 10, 14, 19, 22, 24, 24, 20, 14, 8, 5]),
    rain=np.array([55.0, 45, 50, 45, 60, 65, 70, 65, 55, 55, 60, 60]),
    wet_days=np.array([11.0, 9, 10, 9, 10, 10, 10, 9, 9, 9, 11, 11]),
)


def codes(climate: Climate) -> set[str]:
    return {note.code for note in climate.notes}


def record(first: str, past: str) -> bytes:
    return weather_bytes.own(weather_bytes.invented(first, past))


def sound(climate: Climate) -> bool:
    whole = [climate.tmin, climate.tmax, climate.rain]
    return (
        all(np.isfinite(array).all() and array.shape == (len(array), 365) for array in whole)
        and bool(np.all(climate.tmax > climate.tmin))
        and bool(np.all(climate.rain >= 0))
        and all(np.array_equal(array, array.round(1)) for array in whole)
    )


def test_ten_complete_years_are_taken_as_they_are() -> None:
    weather = weather_bytes.invented()
    climate = climate_from([read_weather(weather_bytes.own(weather))], 50.0, 200.0)
    assert (climate.recorded_years, climate.basis) == (10, "recorded")
    plain = weather.days.astype("datetime64[M]").astype(object)
    leap = np.array([d.month == 2 for d in plain]) & (
        (weather.days - weather.days.astype("datetime64[M]")).astype(int) == 28
    )
    assert np.array_equal(climate.tmin.ravel(), weather.tmin[~leap])
    assert np.array_equal(climate.rain.ravel(), weather.rain[~leap])
    assert codes(climate) == {"weather.read", "weather.recorded"}


def test_gaps_in_complete_years_are_filled_and_told() -> None:
    lines = weather_bytes.own(weather_bytes.invented()).splitlines()
    data = b"\n".join([*lines[:100], *lines[105:]])
    climate = climate_from([read_weather(data)], 50.0, 200.0)
    assert climate.recorded_years == 10
    assert sound(climate)
    filled = next(note for note in climate.notes if note.code == "weather.filled")
    assert dict(filled.params)["days"] == 5


def test_a_year_with_a_season_missing_is_no_year_of_the_record() -> None:
    lines = weather_bytes.own(weather_bytes.invented()).splitlines()
    data = b"\n".join([*lines[:100], *lines[160:]])
    climate = climate_from([read_weather(data)], 50.0, 200.0)
    assert climate.recorded_years == 9
    assert len(climate.tmin) == 40
    assert {"weather.years_left_out", "weather.few_years"} <= codes(climate)


def test_two_files_of_one_place_complete_each_other_and_the_first_wins() -> None:
    first = read_weather(record("2010-01-01", "2016-01-01"), "a.csv")
    other = replace(
        read_weather(record("2010-01-01", "2020-01-01"), "b.csv"),
        tmin=read_weather(record("2010-01-01", "2020-01-01")).tmin - 1.0,
    )
    climate = climate_from([first, other], 50.0, 200.0)
    assert climate.recorded_years == 10
    assert climate.tmin[0, 0] == first.tmin[0]
    assert climate.tmin[9, 0] == pytest.approx(other.tmin[-365], abs=0.051)


def test_forecasts_are_no_record() -> None:
    data = b"date,tmin_c,tmax_c,rain_mm,kind\n" + b"".join(
        f"{day},1,9,0,forecast\n".encode() for day in weather_bytes.invented().days
    )
    assert climate_from([read_weather(data)], 50.0, 200.0).basis == "position only"


def test_normals_give_forty_years_that_keep_them() -> None:
    climate = climate_from([], 52.0, 30.0, normals=MILD, seed=5)
    assert (climate.basis, climate.recorded_years, len(climate.tmin)) == ("normals", 0, 40)
    month = np.repeat(np.arange(12), [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    for number in range(12):
        days = month == number
        assert climate.tmin[:, days].mean() == pytest.approx(MILD.tmin[number], abs=0.9)
        assert climate.tmax[:, days].mean() == pytest.approx(MILD.tmax[number], abs=0.9)
    assert climate.tmin.mean() == pytest.approx(MILD.tmin.mean(), abs=0.3)
    assert climate.rain.sum(axis=1).mean() == pytest.approx(MILD.rain.sum(), rel=0.08)
    assert (climate.rain > 0).sum(axis=1).mean() == pytest.approx(118, rel=0.05)
    assert {"weather.generated", "weather.wgen"} <= codes(climate)


@pytest.mark.parametrize(
    ("latitude", "elevation", "remembered"),
    [
        (52.0, 50.0, Remembered((5, 10), (10, 5), -12.0, 33.0)),
        (-43.0, 50.0, Remembered((11, 2), (4, 5), -6.0, 31.0)),
        (46.0, 1800.0, Remembered((7, 1), (8, 20), -25.0)),
        (60.0, 20.0, Remembered(last_frost=(6, 1))),
        (-35.0, 700.0, Remembered(first_frost=(5, 12))),
        (38.0, 20.0, Remembered(coldest_night_c=-4.0)),
    ],
)
def test_the_middle_year_agrees_with_what_is_remembered(
    latitude: float, elevation: float, remembered: Remembered
) -> None:
    climate = climate_from([], latitude, elevation, remembered=remembered, seed=2)
    assert climate.basis == "remembered"
    assert sound(climate)
    dates = frost_dates(climate)
    for own, month_day in (
        (dates.spring[0.5], remembered.last_frost),
        (dates.autumn[0.5], remembered.first_frost),
    ):
        if month_day is not None:
            assert own is not None
            assert abs((own - day_index(date(2001, *month_day)) + 182) % 365 - 182) <= 5
    if remembered.coldest_night_c is not None:
        coldest = np.median(climate.tmin.min(axis=1))
        assert coldest == pytest.approx(remembered.coldest_night_c, abs=0.3)
    if remembered.hottest_day_c is not None:
        hottest = np.median(climate.tmax.max(axis=1))
        assert hottest == pytest.approx(remembered.hottest_day_c, abs=0.3)


def test_the_spread_of_a_remembered_climate_is_wide() -> None:
    """Wider than that of generated years of known normals: two weeks and more for one in ten."""
    climate = climate_from([], 52.0, 50.0, remembered=Remembered((5, 10), (10, 5)))
    late, middle = frost_dates(climate).spring[0.1], frost_dates(climate).spring[0.5]
    assert late is not None
    assert middle is not None
    assert late - middle >= 14
    assert tmean(climate).mean(axis=1).std() > 1.0


def test_a_place_without_frost_never_freezes() -> None:
    memory = Remembered(no_frost=True, wet_months=(5, 6, 7, 8, 9))
    climate = climate_from([], 24.0, 900.0, remembered=memory)
    assert climate.tmin.min() > 0.0
    by_month = np.add.reduceat(climate.rain.mean(axis=0), np.arange(0, 360, 30))
    assert by_month[4:9].mean() > 3 * by_month[[0, 1, 2, 10, 11]].mean()


def test_memories_that_contradict_each_other_are_let_go_and_told() -> None:
    """Frost into late June beside a coldest night just under freezing."""
    climate = climate_from([], 50.0, 100.0, remembered=Remembered((6, 25), (8, 1), 4.0))
    assert "weather.unmet_coldest_night" in codes(climate)
    assert sound(climate)


def test_no_memory_and_no_file_is_position_only_and_says_so() -> None:
    climate = climate_from([], -38.0, 10.0, remembered=Remembered())
    assert climate.basis == "position only"
    assert {"weather.position_only", "weather.generated", "weather.wgen"} == codes(climate)
    warmest = tmean(climate).mean(axis=0).argmax()
    assert warmest < 60 or warmest > 350


@settings(max_examples=25)
@given(latitude=st.floats(-90, 90), elevation=st.floats(-400, 5000), seed=st.integers(0, 2**32))
def test_every_place_on_earth_has_a_sound_climate(
    latitude: float, elevation: float, seed: int
) -> None:
    assert sound(climate_from([], latitude, elevation, seed=seed))


def test_a_record_of_a_season_moves_the_guess() -> None:
    series = read_weather(record("2019-04-01", "2019-08-01"))
    climate = climate_from([series], 50.0, 200.0)
    assert climate.basis == "position only"
    assert "weather.anchored" in codes(climate)
    part = tmean(climate)[:, 90:212].mean()
    assert part == pytest.approx(((series.tmin + series.tmax) / 2).mean(), abs=0.6)


def test_a_record_that_is_far_from_memory_is_told() -> None:
    series = read_weather(record("2010-01-01", "2020-01-01"))
    known = frost_dates(climate_from([series], 50.0, 200.0)).spring[0.5]
    assert known is not None
    climate = climate_from([series], 50.0, 200.0, remembered=Remembered(last_frost=(6, 20)))
    assert climate.basis == "recorded"
    assert "weather.last_frost_later" in codes(climate)


def test_a_station_far_away_is_told() -> None:
    series = read_weather(weather_bytes.open_meteo(weather_bytes.invented()))
    assert "weather.far_away" not in codes(climate_from([series], 50.3, 210.0, longitude_deg=9.9))
    assert "weather.far_away" in codes(climate_from([series], 50.3, 210.0, longitude_deg=14.0))
    assert "weather.far_away" in codes(climate_from([series], 53.0, 210.0))


def test_a_latitude_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="between -90 and 90"):
        climate_from([], 97.0, 0.0)


def test_normals_from_a_table() -> None:
    rows = [
        f"{m + 1};{MILD.tmin[m]};{MILD.tmax[m]};{MILD.rain[m]};{MILD.wet_days[m]}"  # type: ignore[index]
        for m in range(12)
    ]
    table = "\n".join(["month;tmin_c;tmax_c;rain_mm;wet_days", *reversed(rows)])
    normals = read_normals(table.replace(".", ",").encode())
    assert np.array_equal(normals.tmin, MILD.tmin)
    assert np.array_equal(normals.rain, MILD.rain)
    for broken, expected in (
        (table.replace("12;", "11;"), "1 to 12, each once"),
        (table.replace("tmin_c", "tmin"), "no unit|tmin_c"),
        (table.replace("month;", "name;"), "the columns month"),
        (table.replace("24.0;70.0", "2.0;70.0"), "above tmin"),
        (table.replace(";70.0;", ";much;"), "a number"),
    ):
        with pytest.raises(BadInput, match=expected):
            read_normals(broken.encode())


FRESH = """
import hashlib
import numpy as np
from perennate.weather import Remembered, climate_from
from perennate.weather.climate import et0, frost_dates, soil_temperature
climate = climate_from([], 47.5, 600.0, remembered=Remembered((5, 15), (10, 1), -15.0), seed=11)
bytes_ = b"".join(a.tobytes() for a in (climate.tmin, climate.tmax, climate.rain))
bytes_ += et0(climate).tobytes() + soil_temperature(climate, 0.05).tobytes()
bytes_ += repr((frost_dates(climate), climate.notes)).encode()
print(hashlib.sha256(bytes_).hexdigest())
"""


def test_the_same_seed_gives_the_same_bytes_in_any_process() -> None:
    seen = set()
    for hash_seed, zone, locale in (
        ("0", "UTC", "C"),
        ("4711", "Pacific/Kiritimati", "C.UTF-8"),
        ("99", "America/St_Johns", "de_DE.UTF-8"),
    ):
        surroundings = os.environ | {"PYTHONHASHSEED": hash_seed, "TZ": zone, "LC_ALL": locale}
        done = subprocess.run(
            [sys.executable, "-c", FRESH],
            env=surroundings,
            capture_output=True,
            text=True,
            check=True,
        )
        seen.add(done.stdout.strip())
    assert len(seen) == 1
    assert len(seen.pop()) == hashlib.sha256().digest_size * 2


def test_another_seed_gives_other_years() -> None:
    one, other = (climate_from([], 47.5, 600.0, seed=seed) for seed in (1, 2))
    assert not np.array_equal(one.tmin, other.tmin)
