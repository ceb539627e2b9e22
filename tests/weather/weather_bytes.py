"""Ten years of invented weather written in each known file form, for tests and benchmarks."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Invented:
    days: NDArray[np.datetime64]
    tmin: Floats
    tmax: Floats
    rain: Floats


def invented(first: str = "2010-01-01", past: str = "2020-01-01", seed: int = 1) -> Invented:
    """Daily weather of an invented place with values on whole tenths."""
    days = np.arange(first, past, dtype="datetime64[D]")
    chance = np.random.default_rng(seed)
    season = -np.cos(2 * np.pi * np.arange(len(days)) / 365.25)
    tmin = (5 + 8 * season + 3 * chance.standard_normal(len(days))).round(1)
    tmax = (tmin + 4 + 8 * chance.random(len(days))).round(1)
    rain = np.where(chance.random(len(days)) < 0.3, chance.gamma(0.8, 7.0, len(days)), 0.0)
    return Invented(days, tmin, tmax, rain.round(1))


def own(weather: Invented) -> bytes:
    rows = zip(weather.days, weather.tmin, weather.tmax, weather.rain, strict=True)
    lines = [f"{d},{low:.1f},{high:.1f},{rain:.1f}" for d, low, high, rain in rows]
    return "\n".join(["date,tmin_c,tmax_c,rain_mm", *lines, ""]).encode()


def ghcn(weather: Invented) -> bytes:
    names = ["STATION", "DATE", "LATITUDE", "LONGITUDE", "ELEVATION", "NAME"]
    for element in ("PRCP", "SNOW", "SNWD", "TMAX", "TMIN"):
        names += [element, f"{element}_ATTRIBUTES"]
    lines = [",".join(f'"{name}"' for name in names)]
    for d, low, high, rain in zip(
        weather.days, weather.tmin, weather.tmax, weather.rain, strict=True
    ):
        cells = ["XX000000001", str(d), "50.1", "9.7", "210.0", "LOWER HILL, XX"]
        for value in (rain * 10, 0.0, 0.0, high * 10, low * 10):
            cells += [f"{value:5.0f}", ",,E"]
        lines.append(",".join(f'"{cell}"' for cell in cells))
    return "\n".join([*lines, ""]).encode()


def ncei(weather: Invented) -> bytes:
    lines = ['"STATION","NAME","DATE","PRCP","TMAX","TMIN"']
    for d, low, high, rain in zip(
        weather.days, weather.tmin, weather.tmax, weather.rain, strict=True
    ):
        lines.append(f'"XX000000001","LOWER HILL, XX","{d}","{rain:.1f}","{high:.1f}","{low:.1f}"')
    return "\n".join([*lines, ""]).encode()


POWER_HEADER = """-BEGIN HEADER-
NASA/POWER Daily Data
Dates (month/day/year): 01/01/2010 through 12/31/2019
Location: Latitude  50.1   Longitude 9.7
Elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 290.3 meters
The value for missing source data that cannot be computed or is outside of the sources \
availability range: -999
Parameter(s):
T2M_MAX               MERRA-2 Temperature at 2 Meters Maximum (C)
T2M_MIN               MERRA-2 Temperature at 2 Meters Minimum (C)
PRECTOTCORR           MERRA-2 Precipitation Corrected (mm/day)
RH2M                  MERRA-2 Relative Humidity at 2 Meters (%)
ALLSKY_SFC_SW_DWN     CERES SYN1deg All Sky Surface Shortwave Downward Irradiance (MJ/m^2/day)
-END HEADER-
"""


def power(weather: Invented, by_day_of_year: bool = False) -> bytes:
    when = "YEAR,DOY" if by_day_of_year else "YEAR,MO,DY"
    lines = [f"{when},T2M_MAX,T2M_MIN,PRECTOTCORR,RH2M,ALLSKY_SFC_SW_DWN"]
    for d, low, high, rain in zip(
        weather.days.astype(object), weather.tmin, weather.tmax, weather.rain, strict=True
    ):
        day = (
            f"{d.year},{d.timetuple().tm_yday}" if by_day_of_year else f"{d.year},{d.month},{d.day}"
        )
        lines.append(f"{day},{high:.2f},{low:.2f},{rain:.2f},71.50,12.34")
    return (POWER_HEADER + "\n".join([*lines, ""])).encode()


def open_meteo(weather: Invented) -> bytes:
    lines = [
        "latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation",
        "50.1,9.7,210.0,3600,Europe/Lower_Hill,GMT+1",
        "",
        "time,temperature_2m_max (°C),temperature_2m_min (°C),precipitation_sum (mm)",
    ]
    for d, low, high, rain in zip(
        weather.days, weather.tmin, weather.tmax, weather.rain, strict=True
    ):
        lines.append(f"{d},{high:.1f},{low:.1f},{rain:.2f}")
    return "\n".join([*lines, ""]).encode()


def epw(temperatures: Floats) -> bytes:
    """A typical year of 8760 hours."""
    head = [
        "LOCATION,Lower Hill,XX,XXX,Invented,000001,50.10,9.70,1.0,210.0",
        *(f"{name},0" for name in ("DESIGN CONDITIONS", "TYPICAL/EXTREME PERIODS")),
        *(f"{name},0" for name in ("GROUND TEMPERATURES", "HOLIDAYS/DAYLIGHT SAVINGS")),
        *(f"COMMENTS {number},invented" for number in (1, 2)),
        "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31",
    ]
    months = np.arange("2001-01-01", "2002-01-01", dtype="datetime64[D]").astype(object)
    lines = []
    for number, day in enumerate(months):
        for hour in range(24):
            warm = temperatures[number * 24 + hour]
            lines.append(
                f"{1990 + day.month},{day.month},{day.day},{hour + 1},60,?9?9,{warm:.1f},5.0,70,"
                "99000,0,0,300,100,80,40,9999,9999,9999,9999,180,2.5,5,5,9999,99999,9,"
                "999999999,20,0.1,0,88,0.2,0.0,1.0"
            )
    return "\n".join([*head, *lines, ""]).encode()
