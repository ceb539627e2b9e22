"""Real open weather that packages ship: what the readers make of it.

Seattle-Tacoma, Washington, daily 2012-2015 (vega_datasets; NOAA). Greensboro, North Carolina,
TMY3 station 723170 (pvlib; NREL). Lincoln 11 SW, Nebraska, daily 2016 in degF (bokeh_sampledata;
NOAA). Fulda basin, Germany, daily 1979-1988 (spotpy).
"""

from datetime import date
from importlib.resources import files

import numpy as np
import pytest

from perennate.terms import BadInput
from perennate.weather import WeatherSeries, climate_from, read_weather
from perennate.weather.climate import chance_of_frost_between, day_index, frost_dates, tmean


def shipped(package: str, *path: str) -> bytes:
    return files(package).joinpath(*path).read_bytes()


def seattle() -> WeatherSeries:
    data = shipped("vega_datasets", "_data", "seattle-weather.csv")
    return read_weather(data, "seattle-weather.csv", temperature_unit="degC", rain_unit="mm")


def greensboro() -> WeatherSeries:
    return read_weather(shipped("pvlib", "data", "723170TYA.CSV"), "723170TYA.CSV")


def fulda() -> WeatherSeries:
    """Its own layout is turned into weather.csv as a grower would do it by hand."""
    rows = shipped("spotpy", "examples", "cmf_data", "fulda_climate.csv").decode().splitlines()
    cells = [row.split(",") for row in rows[2:] if row]
    ours = [";".join((c[0], *(n.replace(".", ",") for n in (c[2], c[1], c[4])))) for c in cells]
    return read_weather(
        "\n".join(["date;tmin_c;tmax_c;rain_mm", *ours]).encode(), "fulda_climate.csv"
    )


def test_seattle_2012_to_2015() -> None:
    series = seattle()
    assert len(series.days) == 1461
    assert (series.tmin.min(), series.tmax.max()) == (-7.1, 35.6)
    assert series.rain.sum() == pytest.approx(4426.0)
    assert series.days[series.rain.argmax()] == np.datetime64("2015-03-15")


def test_seattle_does_not_say_its_units_so_they_are_asked_for() -> None:
    with pytest.raises(BadInput, match="temperature_unit degC or degF"):
        read_weather(shipped("vega_datasets", "_data", "seattle-weather.csv"))


def test_four_years_of_seattle_are_kept_and_more_generated() -> None:
    climate = climate_from([seattle()], 47.45, 130.0, seed=1)
    assert (climate.basis, climate.recorded_years, climate.tmin.shape) == ("recorded", 4, (40, 365))
    first = seattle().tmin[:365]
    assert np.array_equal(climate.tmin[0][:59], first[:59])  # 2012 is a leap year
    assert {"weather.few_years", "weather.wgen"} <= {note.code for note in climate.notes}
    generated, recorded = tmean(climate)[4:], tmean(climate)[:4]
    assert generated.mean() == pytest.approx(recorded.mean(), abs=0.4)
    assert climate.rain[4:].sum(axis=1).mean() == pytest.approx(
        climate.rain[:4].sum(axis=1).mean(), rel=0.1
    )


def test_lincoln_2016_is_in_fahrenheit_and_does_not_say_so() -> None:
    data = shipped("bokeh_sampledata", "_data", "lincoln_weather.csv")
    with pytest.raises(BadInput, match=r"8 to 99 degC, or -13 to 37 degC if it is degF"):
        read_weather(data)
    with pytest.raises(BadInput, match="another unit"):
        read_weather(data, temperature_unit="degC")
    series = read_weather(data, temperature_unit="degF")
    assert series.layout == "ncei daily summaries"
    assert series.place.name == "LINCOLN 11 SW, NE US"
    assert len(series.days) == 366
    assert np.nanmax(series.tmax) == pytest.approx(37.2, abs=0.1)
    assert np.nanmin(series.tmin) == pytest.approx(-25.0, abs=0.1)
    assert np.isnan(series.tmin).sum() == 1


def test_lincoln_has_no_rain_so_the_climate_says_that_rain_is_guessed() -> None:
    data = shipped("bokeh_sampledata", "_data", "lincoln_weather.csv")
    series = read_weather(data, temperature_unit="degF")
    climate = climate_from([series], 40.7, 418.0)
    assert "weather.rain_guessed" in {note.code for note in climate.notes}
    assert np.isfinite(climate.rain).all()


def test_greensboro_is_a_typical_year_and_no_record() -> None:
    series = greensboro()
    assert series.typical
    assert (series.layout, len(series.days)) == ("TMY3", 365)
    assert series.place.name == "GREENSBORO PIEDMONT TRIAD INT"
    assert (series.place.latitude_deg, series.place.elevation_m) == (36.1, 273.0)
    climate = climate_from([series], 36.1, 273.0)
    assert (climate.basis, climate.recorded_years) == ("normals", 0)
    assert tmean(climate).mean() == pytest.approx(((series.tmin + series.tmax) / 2).mean(), abs=0.5)


def test_greensboro_rain_stands_in_tenths_under_a_heading_of_mm_and_is_left_out() -> None:
    """8345 in a year under "Lprecip depth (mm)", where about 1070 mm fall."""
    assert np.isnan(greensboro().rain).all()
    assert "weather.typical_rain" in {note.code for note in greensboro().notes}


def test_fulda_1979_to_1988_is_ten_complete_years() -> None:
    series = fulda()
    assert len(series.days) == 3653
    climate = climate_from([series], 50.5, 300.0)
    assert (climate.basis, climate.recorded_years, climate.tmin.shape) == (
        "recorded",
        10,
        (10, 365),
    )
    assert climate.tmin[0, 0] == -20.1
    assert "weather.wgen" not in {note.code for note in climate.notes}
    dates = frost_dates(climate)
    assert dates.share_of_years == 1.0
    last, first = dates.spring[0.5], dates.autumn[0.5]
    assert last is not None
    assert first is not None
    assert day_index_of(4, 10) < last < day_index_of(5, 20)
    assert day_index_of(9, 20) < first < day_index_of(11, 5)
    assert chance_of_frost_between(climate, day_index_of(7, 1), day_index_of(8, 20)) == 0.0


def test_a_valley_record_is_brought_up_to_a_high_holding() -> None:
    low = climate_from([greensboro()], 36.1, 273.0)
    high = climate_from([greensboro()], 36.1, 1273.0)
    assert (tmean(low) - tmean(high)).mean() == pytest.approx(6.5, abs=0.1)
    assert "weather.height" in {note.code for note in high.notes}


def day_index_of(month: int, day: int) -> int:
    return day_index(date(2001, month, day))
