"""Readings of sun, moisture and wind in a site's files, and the demand reckoned from them."""

from dataclasses import replace

import numpy as np
import pytest

from perennate.science import sun
from perennate.science.evapotranspiration import et0_hargreaves
from perennate.science.reference_evapotranspiration import reference_evapotranspiration
from perennate.terms import BadInput
from perennate.weather import WeatherSeries, climate_from
from perennate.weather.climate import Climate, day_index, et0, et0_notes, least_humidity, wind
from perennate.weather.series import RawDays, checked

LATITUDE, ELEVATION = 43.0, 200.0
CLEAR = 0.75 * sun.extraterrestrial_radiation(LATITUDE, np.arange(1.0, 366.0))


def station(years: int, *, height: float = 2.0, **others: float | None) -> WeatherSeries:
    """Invented days from 2001 on; humidity [%] and wind [m/s] the same all year, sun as a share
    of the clear sky's."""
    days = np.arange(np.datetime64("2001-01-01"), np.datetime64(f"{2001 + years}-01-01"))
    place = np.array([day_index(day) for day in days.astype(object)])
    chance = np.random.default_rng(5)
    tmin = 8.0 - 9.0 * np.cos(2 * np.pi * place / 365) + 2.0 * chance.standard_normal(len(days))
    columns = {"tmin": tmin, "tmax": tmin + 11.0, "rain": 6.0 * (chance.random(len(days)) < 0.3)}
    for name, value in others.items():
        if value is not None:
            columns[name] = value * CLEAR[place] if name == "radiation" else tmin * 0 + value
    raw = RawDays("station.csv", "made", days, columns, wind_height_m=height)
    return checked(raw)


def made(years: int, **others: float | None) -> Climate:
    return climate_from([station(years, **others)], LATITUDE, ELEVATION)


def codes(climate: Climate) -> set[str]:
    return {note.code for note in et0_notes(climate)}


def test_without_readings_it_is_hargreaves_and_says_how_far_off_that_may_be() -> None:
    climate = made(11)
    ra = sun.extraterrestrial_radiation(LATITUDE, np.arange(1.0, 366.0))
    assert climate.air is None
    assert et0(climate) == pytest.approx(et0_hargreaves(climate.tmin, climate.tmax, ra), abs=6e-4)
    assert codes(climate) == {"weather.demand_hargreaves"}
    assert (wind(climate) == 2.0).all()
    dew = np.exp(17.27 * climate.tmin.mean(0) / (climate.tmin.mean(0) + 237.3))
    full = np.exp(17.27 * climate.tmax.mean(0) / (climate.tmax.mean(0) + 237.3))
    assert least_humidity(climate) == pytest.approx(100 * dew / full, abs=0.06)


def test_years_with_all_readings_are_reckoned_by_penman_monteith() -> None:
    climate = made(11, radiation=0.7, humidity=62.0, wind=3.5)
    full = reference_evapotranspiration(
        climate.tmin,
        climate.tmax,
        LATITUDE,
        np.arange(1, 366),
        ELEVATION,
        solar_radiation=0.7 * CLEAR,
        rhmean=62.0,
        wind=3.5,
    ).et0
    assert et0(climate) == pytest.approx(full, abs=6e-4)
    assert codes(climate) == {"weather.demand_penman_monteith"}
    assert wind(climate) == pytest.approx(np.full(365, 3.5), abs=0.01)


def test_wind_from_a_mast_is_brought_down_to_2_m() -> None:
    """FAO-56, example 14: 3.2 m/s at 10 m is 2.4 at 2 m."""
    climate = made(11, height=10.0, humidity=60.0, wind=3.2)
    assert wind(climate) == pytest.approx(np.full(365, 2.4), abs=0.05)


def test_what_was_not_read_is_said() -> None:
    assert codes(made(11, humidity=60.0)) == {
        "weather.demand_penman_monteith",
        "weather.no_radiation",
        "weather.no_wind",
    }
    assert "weather.no_humidity" in codes(made(11, radiation=0.6))
    assert codes(made(11, wind=3.0)) == {"weather.demand_hargreaves"}


def test_a_told_wind_stands_in_where_none_was_read() -> None:
    series = station(11, humidity=60.0)
    still, windy = (
        climate_from([series], LATITUDE, ELEVATION, wind_told=speed) for speed in (1.0, 4.0)
    )
    assert et0(still).mean() < et0(climate_from([series], LATITUDE, ELEVATION)).mean()
    assert et0(windy).mean() > 1.1 * et0(still).mean()
    assert "weather.no_wind" not in codes(windy)
    nothing_read = climate_from([], LATITUDE, ELEVATION, wind_told=3.5)
    assert (wind(nothing_read) == 3.5).all()
    read = climate_from([station(11, humidity=60.0, wind=2.5)], LATITUDE, ELEVATION, wind_told=4.0)
    assert wind(read) == pytest.approx(np.full(365, 2.5), abs=0.01)


def test_near_the_sea_the_same_range_of_temperature_means_more_sun() -> None:
    """FAO-56, equation 50: kRs 0.19 for 0.16."""
    series = station(11, humidity=60.0)
    coast = climate_from([series], LATITUDE, ELEVATION, coast=True)
    assert et0(coast).mean() > 1.03 * et0(climate_from([series], LATITUDE, ELEVATION)).mean()


def test_generated_years_are_brought_to_the_level_of_those_with_readings() -> None:
    climate = made(3, radiation=0.7, humidity=40.0, wind=4.0)
    assert climate.tmin.shape == (40, 365)
    found = et0(climate)
    recorded, generated = found[:3], found[3:]
    assert generated.mean() == pytest.approx(recorded.mean(), rel=0.05)
    for month in (slice(0, 31), slice(181, 212)):
        assert generated[:, month].mean() == pytest.approx(recorded[:, month].mean(), rel=0.1)
    plain = et0(replace(climate, air=None))
    assert plain[3:].mean() < 0.9 * generated.mean()  # dry, windy: Hargreaves falls short
    assert codes(climate) == {"weather.demand_penman_monteith", "weather.demand_scaled"}


def test_a_typical_year_scales_the_years_made_from_it() -> None:
    series = replace(station(1, radiation=0.7, humidity=40.0, wind=4.0), typical=True)
    climate = climate_from([series], LATITUDE, ELEVATION)
    assert climate.basis == "normals"
    assert et0(climate).mean() > 1.1 * et0(replace(climate, air=None)).mean()
    assert codes(climate) == {"weather.demand_scaled"}


def test_single_days_without_readings_do_not_stay_unknown() -> None:
    series = station(11, radiation=0.7, humidity=60.0, wind=3.0)
    gaps = {name: column.copy() for name, column in series.others.items()}
    for column in gaps.values():
        column[100:110] = np.nan
    climate = climate_from([replace(series, others=gaps)], LATITUDE, ELEVATION)
    whole = et0(climate_from([series], LATITUDE, ELEVATION))
    found = et0(climate)
    assert np.isfinite(found).all()
    assert found[0, 100:110].mean() == pytest.approx(whole[0, 100:110].mean(), rel=0.15)
    assert np.array_equal(found[1:], whole[1:])


def test_radiation_above_the_clear_sky_is_left_out_and_told() -> None:
    series = station(11, radiation=0.7, humidity=60.0)
    bright = series.others["radiation"].copy()
    bright[50:53] = 49.0
    climate = climate_from(
        [replace(series, others={**series.others, "radiation": bright})], LATITUDE, ELEVATION
    )
    (note,) = [note for note in climate.notes if note.code == "weather.too_bright"]
    assert dict(note.params)["days"] == 3
    langleys = replace(series, others={**series.others, "radiation": 2.0 * bright})
    wrong = climate_from([langleys], LATITUDE, ELEVATION)
    assert "weather.radiation_unit" in {note.code for note in wrong.notes}
    assert "weather.no_radiation" in codes(wrong)


@pytest.mark.parametrize(
    ("column", "value"), [("humidity", -20.0), ("humidity", 300.0), ("wind", 60.0), ("rain", -3.0)]
)
def test_a_column_that_cannot_be_is_refused_with_the_likely_mistake(
    column: str, value: float
) -> None:
    series = station(1)
    columns = {"tmin": series.tmin, "tmax": series.tmax, column: np.full(len(series.days), value)}
    with pytest.raises(BadInput) as bad:
        checked(RawDays("station.csv", "made", series.days, columns))
    (problem,) = bad.value.problems
    assert problem.column == column
    assert "another unit" in problem.expected


def test_radiation_in_watts_is_refused_and_a_wet_sensor_is_read_as_full() -> None:
    series = station(1, radiation=0.7, humidity=103.0)
    assert series.others["humidity"].max() == 100.0
    columns = {"tmin": series.tmin, "tmax": series.tmax}
    columns["radiation"] = series.others["radiation"] * 11.57
    with pytest.raises(BadInput, match="radiation"):
        checked(RawDays("station.csv", "made", series.days, columns))


def test_a_cover_lowers_the_demand_with_and_without_readings() -> None:
    for climate in (made(11), made(11, radiation=0.7, humidity=60.0, wind=3.0)):
        summer = et0(climate)[:, 181:212].mean()
        shaded = et0(climate, "shade")[:, 181:212].mean()
        assert 0.55 < shaded / summer < 0.8
        house = et0(climate, "greenhouse")
        assert house == pytest.approx(0.64 * et0(climate), abs=1e-3)
    with pytest.raises(KeyError):
        et0(made(11), "umbrella")


def test_the_same_files_give_the_same_demand() -> None:
    first, second = made(3, radiation=0.7, wind=3.0), made(3, radiation=0.7, wind=3.0)
    assert np.array_equal(et0(first), et0(second))
