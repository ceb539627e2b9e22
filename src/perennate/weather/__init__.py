"""Daily weather files in, a Climate out.

The names below are fetched when first asked for: the readers of files and the generator of years
take longer to start than most of what needs a Climate.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
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

_STANDS_IN = {
    "Climate": "climate",
    "FrostDates": "climate",
    "MonthlyNormals": "normals",
    "NearTerm": "recent",
    "Remembered": "remembered",
    "WeatherSeries": "series",
    "climate_from": "assemble",
    "read_normals": "normals",
    "read_weather": "readers",
    "update_with_readings": "recent",
}


def __getattr__(name: str) -> Any:
    if name not in _STANDS_IN:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_STANDS_IN[name]}"), name)
