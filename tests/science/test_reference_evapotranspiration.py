import csv
from collections.abc import Mapping
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pandas as pd
import pyet
import pytest
import refet
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from perennate.science import humidity, radiation, sun
from perennate.science.evapotranspiration import et0_penman_monteith, wind_at_2m
from perennate.science.reference_evapotranspiration import (
    HUMIDITY_PATHS,
    MIDDLE_DAYS,
    RADIATION_PATHS,
    WIND_PATHS,
    reference_evapotranspiration,
    reference_evapotranspiration_monthly,
)

Floats = NDArray[np.float64]
MARICOPA = Path(__file__).parent / "et0_maricopa.csv"
LATITUDE, ELEVATION = 50.5, 215.0  # about those of the weather station at the Schwingbach


def maricopa() -> Mapping[str, Floats]:
    """106 days of the weather station Maricopa, Arizona, with the ET0 of REF-ET 3.1.15 (University
    of Idaho), from the CC0 test folder of pyfao56."""
    rows = list(csv.DictReader(MARICOPA.open(encoding="utf-8")))
    return {name: np.array([float(row[name]) for row in rows]) for name in rows[0]}


@pytest.fixture(scope="module")
def schwingbach() -> Mapping[str, Floats]:
    """The days of 2015 at the Schwingbach, Hesse, from hourly readings that spotpy ships.

    The rows run hour by hour through three years, but up to the 12th of each month their stamps
    have day and month exchanged (1 February stands behind 1 January): the order is what counts.
    """
    package = find_spec("spotpy")
    assert package is not None
    assert package.origin is not None
    place = Path(package.origin).parent / "examples" / "cmf_data" / "driver_data_site24.csv"
    hours = pd.read_csv(place, comment="#", index_col=0, encoding="utf-8")
    hours.index = pd.date_range("2014-01-01", periods=len(hours), freq="h")
    days = hours.loc["2015"].groupby(hours.loc["2015"].index.date)
    known = {
        "tmin": days["airtemp_degC"].min(),
        "tmax": days["airtemp_degC"].max(),
        "rhmax": days["relhum_perc"].max().clip(upper=100.0),
        "rhmin": days["relhum_perc"].min(),
        "wind": days["windspeed_ms"].mean().clip(lower=0.5),
        "radiation": days["solarrad_Wm2"].mean() * 0.0864,
    }
    return {name: column.to_numpy() for name, column in known.items()}


def test_maricopa_day_by_day_as_ref_et_gives_it() -> None:
    days = maricopa()
    ours = reference_evapotranspiration(
        days["tmin_c"],
        days["tmax_c"],
        33.069,
        days["day_of_year"],
        361.0,
        solar_radiation=days["rs_mj_m2_day"],
        dew_point=days["tdew_c"],
        wind=days["wind_3m_m_s"],
        wind_height_m=3.0,
    ).et0
    off = ours - days["et0_fao56_mm_day"]
    assert len(off) == 106
    assert np.abs(off).max() < 0.06
    assert np.sqrt((off**2).mean()) < 0.01
    # ASCE's standardised equation is another, so it lies near and not upon it.
    assert 0.01 < np.sqrt(((ours - days["et0_asce_mm_day"]) ** 2).mean()) < 0.12


def test_a_year_of_real_days_as_pyet_and_refet_have_it(schwingbach: Mapping[str, Floats]) -> None:
    """Same inputs and options. pyet takes the same constants, so it must agree to the last digits;
    refet follows ASCE-EWRI 2005 with sigma 4.901e-9 for 4.903e-9, 2503 for 4098 x 0.6108 in the
    slope, and no deficit below 0. Neither knows the least wind of 0.5 m/s, which the readings are
    given beforehand."""
    days = schwingbach
    number = np.arange(1, len(days["tmin"]) + 1)
    assert len(number) == 365
    air = humidity.vapour_pressure_from_humidity(
        days["tmin"], days["tmax"], days["rhmax"], days["rhmin"]
    )
    ours = reference_evapotranspiration(
        days["tmin"],
        days["tmax"],
        LATITUDE,
        number,
        ELEVATION,
        solar_radiation=days["radiation"],
        rhmax=days["rhmax"],
        rhmin=days["rhmin"],
        wind=days["wind"],
    ).et0
    series = {
        name: pd.Series(column, index=pd.date_range("2015-01-01", periods=365))
        for name, column in (days | {"air": air}).items()
    }
    theirs = pyet.pm_fao56(
        (series["tmin"] + series["tmax"]) / 2,
        series["wind"],
        rs=series["radiation"],
        tmax=series["tmax"],
        tmin=series["tmin"],
        ea=series["air"],
        elevation=ELEVATION,
        lat=np.radians(LATITUDE),
    ).to_numpy()
    assert np.abs(ours - theirs).mean() < 1e-6
    asce = refet.Daily(
        tmin=days["tmin"],
        tmax=days["tmax"],
        rs=days["radiation"],
        ea=air,
        uz=days["wind"],
        zw=2,
        elev=ELEVATION,
        lat=LATITUDE,
        doy=number,
        method="asce",
    ).eto()
    assert np.abs(ours - asce).mean() < 0.01


def test_each_day_takes_the_best_path_that_its_readings_allow() -> None:
    nan = np.nan
    found = reference_evapotranspiration(
        [10.0] * 6,
        [20.0] * 6,
        45.0,
        190,
        vapour_pressure=[1.2, nan, nan, nan, nan, nan],
        dew_point=[nan, 9.6, nan, nan, nan, nan],
        rhmax=[nan, nan, 95.0, 95.0, nan, nan],
        rhmin=[nan, nan, 50.0, nan, nan, nan],
        rhmean=[nan, nan, nan, nan, 70.0, nan],
        wind=[3.0, 3.0, nan, 3.0, 3.0, 3.0],
        solar_radiation=[25.0, 25.0, 25.0, nan, 25.0, nan],
        sunshine_h=[nan, nan, nan, 9.0, nan, nan],
    )
    assert [HUMIDITY_PATHS[code] for code in found.humidity_path] == list(HUMIDITY_PATHS)
    assert [RADIATION_PATHS[code] for code in found.radiation_path] == [
        "measured",
        "measured",
        "measured",
        "hours of sunshine",
        "measured",
        "range of temperature",
    ]
    assert [WIND_PATHS[code] for code in found.wind_path].count("taken as 2 m/s") == 1
    assert np.isfinite(found.et0).all()
    shares = found.shares()
    assert shares["wind"] == {"measured": 5 / 6, "taken as 2 m/s": 1 / 6}
    assert sum(shares["humidity"].values()) == pytest.approx(1.0)


def test_a_day_without_temperature_stays_unknown_and_spoils_no_other() -> None:
    whole = reference_evapotranspiration([10.0, 11.0], [20.0, 21.0], 45.0, [190, 191]).et0
    gap = reference_evapotranspiration([np.nan, 11.0], [20.0, 21.0], 45.0, [190, 191]).et0
    assert np.isnan(gap[0])
    assert gap[1] == whole[1]


def test_humidity_that_is_not_known_is_guessed_drier_in_a_dry_place() -> None:
    usual = reference_evapotranspiration(8.0, 30.0, 30.0, 200).et0
    dry = reference_evapotranspiration(8.0, 30.0, 30.0, 200, dry_place=True).et0
    assert dry > usual


def test_a_month_takes_up_the_heat_that_the_ground_stores() -> None:
    """Against the daily function with G by equation 43 (FAO-56), G from the months about it."""
    tmin = np.array([-3, -2, 1, 4, 8, 12, 14, 13, 10, 6, 2, -1.0])
    tmax = tmin + 9.0
    found = reference_evapotranspiration_monthly(tmin, tmax, 47.0, 400.0)
    april = reference_evapotranspiration(
        tmin[3], tmax[3], 47.0, MIDDLE_DAYS[3], 400.0, heat_flux=0.07 * (12.5 - 5.5)
    )
    assert found.et0.shape == (12,)
    assert found.et0[3] == pytest.approx(float(april.et0))
    still = reference_evapotranspiration(tmin, tmax, 47.0, MIDDLE_DAYS, 400.0).et0
    assert (found.et0 < still)[1:6].all()  # from February to June the ground grows warmer
    assert (found.et0 > still)[8:11].all()
    with pytest.raises(ValueError, match="twelve months"):
        reference_evapotranspiration_monthly(tmin[:11], tmax[:11], 47.0)


def test_long_arrays_are_worked_in_pieces_and_come_out_alike() -> None:
    chance = np.random.default_rng(3)
    tmin = chance.normal(8.0, 4.0, (40, 1000))
    tmax = tmin + 2.0 + 8.0 * chance.random((40, 1000))
    day = np.arange(1000) % 366 + 1
    whole = reference_evapotranspiration(tmin, tmax, -33.0, day, 20.0).et0
    rows = [
        reference_evapotranspiration(low, high, -33.0, day, 20.0).et0
        for low, high in zip(tmin, tmax, strict=True)
    ]
    assert np.array_equal(whole, np.array(rows))
    plain = sun.extraterrestrial_radiation(-33.0, day)
    rs = radiation.radiation_from_temperature(plain, tmin[0], tmax[0])
    air = humidity.vapour_pressure_from_dew_point(tmin[0])
    rso = radiation.clear_sky_radiation(plain, 20.0)
    kept = radiation.net_shortwave(rs) - radiation.net_longwave(tmin[0], tmax[0], air, rs, rso)
    gamma = humidity.psychrometric_constant(humidity.atmospheric_pressure(20.0))
    by_hand = et0_penman_monteith(tmin[0], tmax[0], air, kept, 2.0, gamma)
    assert whole[0] == pytest.approx(np.maximum(by_hand, 0.0))


def test_shade_and_shelter_lower_the_demand() -> None:
    def demand(light: float, wind: float) -> float:
        found = reference_evapotranspiration(
            16.0,
            30.0,
            40.0,
            200,
            solar_radiation=26.0,
            rhmean=45.0,
            wind=3.0,
            light_share=light,
            wind_share=wind,
        )
        return float(found.et0)

    assert demand(1, 1) > demand(1, 0.6) > demand(0.65, 0.6)
    assert demand(0.65, 0.6) / demand(1, 1) == pytest.approx(0.65, abs=0.06)


temperatures = st.floats(-40, 40)
ranges = st.floats(0.5, 25)


@given(
    tmin=temperatures,
    range_=ranges,
    rh=st.floats(5, 100),
    drier=st.floats(0, 50),
    wind=st.floats(0.5, 12),
    day=st.integers(1, 366),
    latitude=st.floats(-66, 66),
)
def test_drier_air_takes_more_water(
    tmin: float, range_: float, rh: float, drier: float, wind: float, day: int, latitude: float
) -> None:
    """The wind's part alone: drier air also lets more warmth go to the sky, which takes less."""
    air = humidity.vapour_pressure_from_mean_humidity(tmin, tmin + range_, rh)
    less = humidity.vapour_pressure_from_mean_humidity(tmin, tmin + range_, max(rh - drier, 0.0))
    moist, dry = (
        float(et0_penman_monteith(tmin, tmin + range_, ea, 10.0, wind, 0.066)) for ea in (air, less)
    )
    assert dry >= moist - 1e-12


@given(tmin=st.floats(-5, 25), range_=ranges, day=st.integers(1, 365), latitude=st.floats(0, 60))
def test_the_southern_year_is_the_northern_half_a_year_apart(
    tmin: float, range_: float, day: int, latitude: float
) -> None:
    """Up to the sun's distance, which makes January's sun 7 % stronger than July's, and the few
    days by which the halves of the year differ."""
    north = float(reference_evapotranspiration(tmin, tmin + range_, latitude, day).et0)
    apart = (day - 1 + 182.5) % 365 + 1
    south = float(reference_evapotranspiration(tmin, tmin + range_, -latitude, apart).et0)
    assert south == pytest.approx(north, rel=0.13, abs=0.12)


def test_a_leap_day_lies_between_its_neighbours() -> None:
    before, leap, after = reference_evapotranspiration(2.0, 11.0, 52.0, [59, 60, 61]).et0
    assert before < leap < after
    last, first = reference_evapotranspiration(2.0, 11.0, 52.0, [366, 1]).et0
    assert last == pytest.approx(first, abs=0.02)


@given(latitude=st.floats(-90, 90), day=st.integers(1, 366), tmin=temperatures, range_=ranges)
def test_it_is_a_number_in_polar_night_and_day_too(
    latitude: float, day: int, tmin: float, range_: float
) -> None:
    found = float(reference_evapotranspiration(tmin, tmin + range_, latitude, day).et0)
    assert 0.0 <= found < 20.0


@given(wind=st.floats(0, 30), height=st.floats(0.5, 50))
def test_wind_is_stronger_higher_up(wind: float, height: float) -> None:
    """Equation 47 is 1.0002 and not 1 at 2 m."""
    at_2m = float(wind_at_2m(wind, height))
    assert (at_2m <= wind * 1.0003) if height >= 2 else (at_2m >= wind)


@pytest.mark.parametrize(
    ("given_", "said"),
    [
        ({"tmin": 21.0}, "are the two columns exchanged"),
        ({"latitude_deg": 95.0}, "latitude must lie between -90 and 90"),
        ({"day_of_year": 367}, "day of year must lie between 1 and 366"),
        ({"rhmean": 120.0}, "lies between 0 and 100 %, found 120"),
        ({"rhmax": -1.0, "rhmin": 40.0}, "lies between 0 and 100 %, found -1"),
        ({"rhmean": np.array([0.5, 0.6])}, "is it a share"),
        ({"vapour_pressure": 12.0}, "is it in hPa"),
        ({"vapour_pressure": -0.1}, "found -0.1"),
        ({"wind": -1.0}, "must not be negative"),
        ({"wind": 55.0}, "km/h"),
        ({"wind": 3.0, "wind_height_m": 0.2}, "0.5 m or higher"),
        ({"solar_radiation": -1.0}, "must not be negative, found -1"),
        ({"solar_radiation": 290.0}, "is it in W/m2"),
        ({"sunshine_h": -2.0}, "must not be negative"),
        ({"sunshine_h": 19.0}, "more sunshine than the day is long"),
    ],
)
def test_what_cannot_be_is_refused_with_the_likely_mistake(
    given_: dict[str, object], said: str
) -> None:
    usual: dict[str, object] = {
        "tmin": 12.0,
        "tmax": 20.0,
        "latitude_deg": 45.0,
        "day_of_year": 190,
    }
    with pytest.raises(ValueError, match=said):
        reference_evapotranspiration(**(usual | given_))  # type: ignore[arg-type]
