"""Daily weather from a file of any of the known forms."""

from pathlib import Path

from perennate.weather.ghcn import read_ghcn
from perennate.weather.nasa_power import looks_like_power, read_nasa_power
from perennate.weather.open_meteo import read_open_meteo_csv, read_open_meteo_json
from perennate.weather.own_table import read_own_table
from perennate.weather.series import RawDays, WeatherSeries, checked
from perennate.weather.table import DateOrder, decoded, line_at
from perennate.weather.typical_year import looks_like_tmy3, read_epw, read_tmy3
from perennate.weather.units import RainUnit, TemperatureUnit, Told

LAYOUTS = (
    "weather.csv",
    "GHCN-Daily",
    "ncei daily summaries",
    "NASA POWER",
    "Open-Meteo",
    "EPW",
    "TMY3",
)


def read_weather(
    source: bytes | str | Path,
    file: str = "weather.csv",
    *,
    temperature_unit: TemperatureUnit | None = None,
    rain_unit: RainUnit | None = None,
    date_order: DateOrder | None = None,
) -> WeatherSeries:
    """The daily weather of a file, in degC and mm, checked.

    `source`: the bytes themselves, or the path of a file (then its name stands for `file` in
    notes and problems). The form is told from the content: GHCN-Daily access CSV, NASA POWER
    daily CSV, EPW, TMY3, Open-Meteo daily CSV or JSON, NCEI daily summaries, or a plain table
    such as our own weather.csv. Units and the order of day and month are never guessed: where
    the file does not tell them they come from the keywords, or the question is put as a Problem.

    Raises BadInput with every problem at once. What was dropped (missing codes, failed quality
    flags, contradictions, values that cannot be) is told in the series' notes.
    """
    if not isinstance(source, bytes):
        path = Path(source)
        file, source = path.name, path.read_bytes()
    data = decoded(source, file)
    told = Told(temperature_unit, rain_unit, date_order)
    return checked(_raw(data, file, told))


def _raw(data: bytes, file: str, told: Told) -> RawDays:
    first, after = line_at(data, 0)
    second, _ = line_at(data, after)
    bare = first.replace('"', "").strip()
    if data[:64].lstrip()[:1] in (b"{", b"["):
        return read_open_meteo_json(data, file)
    if bare.startswith("LOCATION,"):
        return read_epw(data, file)
    if looks_like_tmy3(second):
        return read_tmy3(data, file)
    if looks_like_power(bare):
        return read_nasa_power(data, file)
    if bare.startswith(("latitude,longitude,elevation,utc_offset", "location_id,latitude")):
        return read_open_meteo_csv(data, file)
    if bare.startswith("STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,NAME"):
        return read_ghcn(data, file)
    return read_own_table(data, file, told)
