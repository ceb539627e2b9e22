"""Daily weather files in, a Climate out."""

from perennate.weather.assemble import climate_from
from perennate.weather.climate import Climate, FrostDates
from perennate.weather.normals import MonthlyNormals, read_normals
from perennate.weather.readers import read_weather
from perennate.weather.recent import NearTerm, update_with_readings
from perennate.weather.remembered import Remembered
from perennate.weather.series import WeatherSeries

__all__ = [
    "Climate",
    "FrostDates",
    "MonthlyNormals",
    "NearTerm",
    "Remembered",
    "WeatherSeries",
    "climate_from",
    "read_normals",
    "read_weather",
    "update_with_readings",
]
