"""Each known form gives the same weather back; what is dirty is told; nothing is guessed."""

import contextlib
import json
from collections.abc import Callable
from datetime import date

import numpy as np
import pytest
import weather_bytes
from hypothesis import given
from hypothesis import strategies as st

from perennate.terms import BadInput, Text, text
from perennate.weather import WeatherSeries, read_weather

TEN_YEARS = weather_bytes.invented()
ONE_YEAR = weather_bytes.invented("2019-01-01", "2020-01-01")


def codes(series: WeatherSeries) -> set[str]:
    return {note.code for note in series.notes}


def note(series: WeatherSeries, code: str) -> Text:
    return next(found for found in series.notes if found.code == code)


def problems(data: bytes, **told: str) -> list[str]:
    with pytest.raises(BadInput) as caught:
        read_weather(data, "w.csv", **told)  # type: ignore[arg-type]
    return [str(problem) for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("write", "layout"),
    [
        (weather_bytes.own, "weather.csv"),
        (weather_bytes.ghcn, "GHCN-Daily"),
        (weather_bytes.power, "NASA POWER"),
        (lambda weather: weather_bytes.power(weather, by_day_of_year=True), "NASA POWER"),
        (weather_bytes.open_meteo, "Open-Meteo"),
    ],
)
def test_every_form_gives_ten_years_back(
    write: Callable[[weather_bytes.Invented], bytes], layout: str
) -> None:
    series = read_weather(write(TEN_YEARS))
    assert series.layout == layout
    assert not series.typical
    assert np.array_equal(series.days, TEN_YEARS.days)
    assert series.tmin == pytest.approx(TEN_YEARS.tmin)
    assert series.tmax == pytest.approx(TEN_YEARS.tmax)
    assert series.rain == pytest.approx(TEN_YEARS.rain)


def test_a_file_tells_where_it_was_measured() -> None:
    for write in (weather_bytes.ghcn, weather_bytes.open_meteo):
        place = read_weather(write(ONE_YEAR)).place
        assert (place.latitude_deg, place.longitude_deg, place.elevation_m) == (50.1, 9.7, 210.0)
    assert read_weather(weather_bytes.ghcn(ONE_YEAR)).place.name == "LOWER HILL, XX"
    place = read_weather(weather_bytes.power(ONE_YEAR)).place
    assert (place.latitude_deg, place.longitude_deg, place.elevation_m) == (50.1, 9.7, 290.3)


def test_it_reads_a_path_and_takes_the_name_of_the_file(tmp_path) -> None:  # type: ignore[no-untyped-def]
    path = tmp_path / "back garden.csv"
    path.write_bytes(weather_bytes.own(ONE_YEAR))
    assert read_weather(path).file == "back garden.csv"


@given(order=st.permutations(range(40)))
def test_the_order_of_rows_does_not_matter(order: list[int]) -> None:
    head, *rows = weather_bytes.own(ONE_YEAR).splitlines()[:41]
    plain = read_weather(b"\n".join([head, *rows]))
    mixed = read_weather(b"\n".join([head, *(rows[i] for i in order)]))
    assert np.array_equal(mixed.days, plain.days)
    assert np.array_equal(mixed.tmin, plain.tmin)
    assert np.array_equal(mixed.rain, plain.rain)
    assert mixed.notes == plain.notes


FEW = st.lists(
    st.tuples(st.integers(-300, 250), st.integers(5, 200), st.integers(0, 900)),
    min_size=1,
    max_size=30,
)


@given(
    values=FEW,
    mark=st.booleans(),
    decimal=st.sampled_from(".,"),
    line=st.sampled_from(["\n", "\r\n"]),
    form=st.sampled_from(["%Y-%m-%d", "%Y/%m/%d", "%d.%m.%Y", "%Y%m%d"]),
    coding=st.sampled_from(["utf-8", "utf-16"]),
)
def test_the_way_a_spreadsheet_writes_does_not_matter(
    values: list[tuple[int, int, int]],
    mark: bool,
    decimal: str,
    line: str,
    form: str,
    coding: str,
) -> None:
    days = [date.fromordinal(737_000 + i) for i in range(len(values))]
    rows = ["date;tmin_c;tmax_c;rain_mm"]
    for day, (low, range_, rain) in zip(days, values, strict=True):
        numbers = [f"{value / 10:.1f}" for value in (low, low + range_, rain)]
        rows.append(";".join([day.strftime(form), *(n.replace(".", decimal) for n in numbers)]))
    written = line.join(["sep=;", *rows]) if mark else line.join(rows)
    series = read_weather(("\ufeff" + written if coding == "utf-8" else written).encode(coding))
    assert series.days.astype(object).tolist() == days
    assert series.tmin == pytest.approx([low / 10 for low, _, _ in values])
    assert series.tmax == pytest.approx([(low + range_) / 10 for low, range_, _ in values])
    assert series.rain == pytest.approx([rain / 10 for _, _, rain in values])


def test_fahrenheit_and_inches_by_their_headings() -> None:
    for heading in (
        b"date,tmin_f,tmax_f,rain_in",
        "Date,Tmin (°F),Tmax [degF],Rain (inch)".encode(),
    ):
        series = read_weather(heading + b"\n2020-02-29,32,50,0.5\n")
        assert (series.tmin[0], series.tmax[0], series.rain[0]) == (0.0, 10.0, 12.7)


def test_units_that_are_not_told_are_asked_for_and_not_guessed() -> None:
    """What each unit would mean stands in the question, since both look sane."""
    data = b"date,tmin,tmax,rain\n2020-01-01,35,55,0.5\n2020-01-02,40,58,0\n"
    asked = problems(data)
    assert len(asked) == 3
    assert "35 to 40 degC, or 2 to 4 degC if it is degF" in asked[0]
    assert asked[0].endswith("expected temperature_unit degC or degF")
    assert asked[2].endswith("expected rain_unit mm or in")
    told = read_weather(data, temperature_unit="degF", rain_unit="in")
    assert told.rain[0] == pytest.approx(12.7)


def test_day_and_month_that_may_be_either_are_asked_for() -> None:
    data = b"date,tmin_c\n03/04/2020,1\n05/06/2020,2\n"
    assert "date_order day first or month first" in problems(data)[0]
    first = read_weather(data, date_order="month first").days[0]
    assert first == np.datetime64("2020-03-04")
    shown = read_weather(b"date,tmin_c\n03/04/2020,1\n13/06/2020,2\n").days[0]
    assert shown == np.datetime64("2020-04-03")


def test_missing_codes_are_no_temperatures() -> None:
    """Semicolons, decimal commas, and the codes that stations write for nothing."""
    codes_seen = ["5,2", "-999", "6,1", "--", "-99.9", "99.9", "9999", "NaN", "", "null", "NA"]
    rows = [f"2020-01-{i + 1:02};{code};12" for i, code in enumerate(codes_seen)]
    series = read_weather("\n".join(["date;tmin_c;tmax_c", *rows]).encode())
    assert np.nanmean(series.tmin) == pytest.approx(5.65)
    assert np.isfinite(series.tmin).sum() == 2
    missing = note(series, "weather.missing")
    assert dict(missing.params) == {"column": "tmin", "days": 9, "file": "weather.csv", "of": 11}


def test_99_9_fahrenheit_is_a_hot_day_and_no_missing_code() -> None:
    series = read_weather(b"date,tmin_f,tmax_f\n2020-07-01,70,99.9\n2020-07-02,71,98\n")
    assert series.tmax[0] == pytest.approx(37.7, abs=0.06)


def test_what_cannot_be_true_is_dropped_and_told() -> None:
    good = "\n".join(f"2020-02-{d:02},1,9,0" for d in range(1, 29))
    data = f"date,tmin_c,tmax_c,rain_mm\n{good}\n2020-03-01,7,4,-2\n2020-03-02,5,71,1\n"
    series = read_weather(data.encode())
    assert np.isnan(series.tmin[-2])
    assert np.isnan(series.tmax[-2])
    assert np.isnan(series.rain[-2])
    assert np.isnan(series.tmax[-1])
    assert series.tmin[-1] == 5
    assert {"weather.crossed", "weather.impossible", "weather.gaps"} <= codes(series)
    gap = dict(note(series, "weather.gaps").params)
    assert (gap["days"], gap["longest"], gap["after"]) == (1, 1, date(2020, 2, 28))


def test_rows_that_repeat_a_day() -> None:
    """Alike: read once. Unlike: what they differ in is not known, the rest stands."""
    rows = ["2020-01-01,1,5,0", "2020-01-02,2,6,1", "2020-01-02,2,6,1", "2020-01-03,3,7,2"]
    series = read_weather("\n".join(["date,tmin_c,tmax_c,rain_mm", *rows]).encode())
    assert len(series.days) == 3
    assert "weather.contradicted" not in codes(series)
    series = read_weather(
        "\n".join(["date,tmin_c,tmax_c,rain_mm", *rows, "2020-01-03,3,9,2"]).encode()
    )
    assert np.isnan(series.tmax[2])
    assert (series.tmin[2], series.rain[2]) == (3, 2)
    assert dict(note(series, "weather.contradicted").params)["days"] == 1


def test_monthly_rows_in_a_daily_file_are_left_out() -> None:
    rows = b"2020-01-31,1,5,2\n2020-01,2,6,80\n01/2020,2,6,80\nJan 2020,2,6,80\n2020-02-01,1,5,0\n"
    series = read_weather(b"date,tmin_c,tmax_c,rain_mm\n" + rows)
    assert len(series.days) == 2
    told = dict(note(series, "weather.monthly_rows").params)
    assert (told["rows"], told["row"], told["value"]) == (3, 3, "2020-01")


def test_every_cell_that_cannot_be_read_is_told_in_one_go() -> None:
    data = (
        b"date,tmin_c,tmax_c\n2020-01-01,1,2\n2020-01-40,3,4\n2020-01-03,warm,4\n2020-01-04,1,?\n"
    )
    assert problems(data) == [
        "w.csv, row 3, column date: found '2020-01-40'; expected a day as yyyy-mm-dd",
        "w.csv, row 4, column tmin_c: found 'warm'; expected a number, or empty",
        "w.csv, row 5, column tmax_c: found '?'; expected a number, or empty",
    ]


def test_thousands_of_bad_cells_do_not_make_thousands_of_lines() -> None:
    rows = "\n".join(f"{day},x" for day in TEN_YEARS.days)
    told = problems(f"date,tmin_c\n{rows}\n".encode())
    assert len(told) == 21
    assert "3632 more cells like these" in told[-1]


def test_files_that_are_none() -> None:
    assert "an empty file" in problems(b"")[0]
    assert "an empty file" in problems(b" \n\n")[0]
    assert "a heading line with date" in problems(b"name,amount\nbeans,3\n")[0]
    assert "no days" in problems(b"date,tmin_c\n")[0]
    assert "columns named twice" in problems(b"date,tmin_c,tmin_c\n2020-01-01,1,2\n")[0]
    assert "no JSON" in problems(b"{broken")[0]


def test_a_column_that_is_mostly_impossible_has_another_unit() -> None:
    """Kelvin under a Celsius heading."""
    rows = "\n".join(f"2020-01-{d:02},{270 + d}" for d in range(1, 29))
    assert "another unit" in problems(f"date,tmin_c\n{rows}\n".encode())[0]
    crossed = "\n".join(f"2020-01-{d:02},9,1" for d in range(1, 29))
    assert "swapped" in problems(f"date,tmin_c,tmax_c\n{crossed}\n".encode())[0]


def test_remarks_units_rows_and_other_columns_are_passed_over() -> None:
    data = b"# my gauge\n\ndate,note,tmin_c,tmax_c\n#,,degC,degC\n2020-01-01,fog,1,2\n\n"
    series = read_weather(data)
    assert (len(series.days), series.tmin[0]) == (1, 1.0)


def test_readings_and_forecasts_in_one_file_and_readings_win() -> None:
    data = (
        b"date,tmin_c,tmax_c,rain_mm,kind\n2020-05-01,3,14,0,observed\n"
        b"2020-05-01,1,12,5,forecast\n2020-05-02,-1,11,2,Forecast\n2020-05-03,2,9,1,\n"
    )
    series = read_weather(data)
    assert series.forecast.tolist() == [False, True, False]
    assert series.tmin.tolist() == [3, -1, 2]
    assert "observed or forecast" in problems(data.replace(b"Forecast", b"maybe"))[0]


def test_ghcn_values_with_a_failed_quality_flag_are_left_out() -> None:
    data = weather_bytes.ghcn(ONE_YEAR).decode().splitlines()
    data[1] = data[1].rpartition('",,E"')[0] + '",I,E"'
    series = read_weather("\n".join(data).encode())
    assert np.isnan(series.tmin[0])
    assert np.isfinite(series.tmax[0])
    assert dict(note(series, "weather.flagged").params)["days"] == 1


def test_ghcn_rain_of_99_9_mm_is_rain_and_decimals_are_no_tenths() -> None:
    line = weather_bytes.ghcn(ONE_YEAR).decode().splitlines()[0]
    row = '"X","2019-01-01","50.1","9.7","-999.9","A HILL","  999",",,E"' + ',"0",",,E"' * 2
    row += ',"{}",",,E","{}",",,E"'
    series = read_weather("\n".join([line, row.format("  112", "")]).encode())
    assert (series.rain[0], series.tmax[0]) == (99.9, 11.2)
    assert np.isnan(series.tmin[0])
    assert series.place.elevation_m is None
    assert "whole tenths" in problems("\n".join([line, row.format("11.2", "-3.9")]).encode())[0]


def test_power_newest_days_are_not_minus_999_degrees() -> None:
    data = weather_bytes.power(ONE_YEAR).decode().splitlines()
    for i in range(1, 6):
        data[-i] = ",".join([*data[-i].split(",")[:3], *["-999"] * 5])
    series = read_weather("\n".join(data).encode())
    assert np.nanmin(series.tmin) > -40
    assert dict(note(series, "weather.not_yet_there").params)["days"] == 5


def test_power_radiation_in_kilowatt_hours_is_brought_to_megajoules() -> None:
    data = weather_bytes.power(ONE_YEAR)
    other = data.replace(b"(MJ/m^2/day)", b"(kW-hr/m^2/day)")
    assert read_weather(data).others["radiation"][0] == pytest.approx(12.34)
    assert read_weather(other).others["radiation"][0] == pytest.approx(12.34 * 3.6)


def test_power_days_that_no_year_has() -> None:
    head = b"YEAR,DOY,T2M_MAX,T2M_MIN\n"
    assert len(read_weather(head + b"2019,365,5,1\n2020,366,5,1\n").days) == 2
    told = problems(head + b"2019,365,5,1\n2019,366,5,1\n")
    assert "row 3, column DOY" in told[0]
    told = problems(b"YEAR,MO,DY,T2M_MAX,T2M_MIN\n2019,2,29,5,1\n2019,13,1,5,1\n")
    assert ["row 2, column DY" in told[0], "row 3, column DY" in told[1]] == [True, True]
    assert "YEAR, MO, DY or YEAR, DOY" in problems(b"YEAR,DY,T2M_MAX\n2019,1,5\n")[0]


def test_open_meteo_in_fahrenheit_and_inches_and_in_json() -> None:
    head = "latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation"
    csv = (
        f"{head}\n52.5,13.4,38.0,0,GMT,GMT\n\n"
        "time,temperature_2m (°F)\n2020-01-01T00:00,40\n\n"
        "time,temperature_2m_max (°F),temperature_2m_min (°F),precipitation_sum (inch)\n"
        "2020-01-01,50,41,0.1\n2020-01-02,59,NaN,0\n"
    )
    series = read_weather(csv.encode())
    assert series.tmax.tolist() == [10.0, 15.0]
    assert np.isnan(series.tmin[1])
    assert series.rain[0] == pytest.approx(2.54)
    whole = {
        "latitude": 52.5,
        "longitude": 13.4,
        "elevation": 38.0,
        "utc_offset_seconds": 3600,
        "daily_units": {"temperature_2m_max": "°C", "temperature_2m_min": "°C"},
        "daily": {
            "time": ["2020-01-01", "2020-01-02"],
            "temperature_2m_max": [10.0, None],
            "temperature_2m_min": [5.0, 1.0],
        },
    }
    series = read_weather(json.dumps(whole).encode())
    assert series.tmax[0] == 10.0
    assert np.isnan(series.tmax[1])
    whole["daily_units"] = {}
    assert "the unit ''" in problems(json.dumps(whole).encode())[0]


def test_open_meteo_days_cut_far_from_local_midnight_are_told() -> None:
    data = weather_bytes.open_meteo(ONE_YEAR)
    assert "weather.days_cut" not in codes(read_weather(data))
    far = data.replace(b"50.1,9.7,210.0,3600", b"50.1,151.0,210.0,0")
    assert dict(note(read_weather(far), "weather.days_cut").params)["hours"] == 10.1


def test_open_meteo_several_places_are_refused() -> None:
    data = b"location_id," + weather_bytes.open_meteo(ONE_YEAR).replace(b"\n50.1", b"\n0,50.1", 1)
    assert "several places" in problems(data)[0]


def test_epw_hours_become_days_of_a_typical_year() -> None:
    hours = 10 + np.tile(6 * np.sin(np.arange(24) / 24 * 2 * np.pi), 365).round(1)
    hours[:24] = 99.9
    series = read_weather(weather_bytes.epw(hours))
    assert series.typical
    assert series.layout == "EPW"
    assert len(series.days) == 365
    assert np.isnan(series.tmin[0])
    assert (series.tmin[1], series.tmax[1]) == (4.0, 16.0)
    assert series.others["radiation"][0] == pytest.approx(24 * 100 * 0.0036)
    assert (series.place.name, series.place.elevation_m) == ("Lower Hill", 210.0)
    assert {"weather.typical_year", "weather.typical_rain"} <= codes(series)


@given(
    st.binary(max_size=200)
    | st.text(max_size=200).map(str.encode)
    | st.text('date,;tmin_c\n-0123456789./{}[]"YEARLOCATION', max_size=120).map(str.encode)
)
def test_whatever_comes_in_is_read_or_refused(data: bytes) -> None:
    series = None
    with contextlib.suppress(BadInput):
        series = read_weather(data)
    assert series is None or np.all(np.diff(series.days).astype(int) > 0)


def test_more_cells_than_headings_are_decimal_commas_gone_wrong() -> None:
    told = problems(b"date,tmin_c,tmax_c\n2020-01-01,5,3,9,1\n2020-01-02,4,2,8,0\n")
    assert len(told) == 2
    assert "row 2: found '2020-01-01,5,3,9,1'; expected 3 cells" in told[0]
    series = read_weather(b"date,tmin_c,tmax_c\n2020-01-01,5,9,,\n2020-01-02,4,8,,\n")
    assert series.tmax.tolist() == [9.0, 8.0]


def test_note_of_a_clean_file_says_what_was_read() -> None:
    assert read_weather(weather_bytes.own(ONE_YEAR), "north.csv").notes == (
        text(
            "weather.read",
            file="north.csv",
            layout="weather.csv",
            days=365,
            first=date(2019, 1, 1),
            last=date(2019, 12, 31),
        ),
    )
