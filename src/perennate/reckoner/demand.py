"""What the air asks of short grass in a day, from whatever was read."""

from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.reckoner.site import ELEVATION, MonthDay, YesNo, latitude
from perennate.reckoner.year_days import day_of, shown
from perennate.science import sun
from perennate.science.evapotranspiration import et0_hargreaves
from perennate.science.radiation import ABOVE_CLEAR_SKY, clear_sky_radiation
from perennate.science.reference_evapotranspiration import (
    HUMIDITY_PATHS,
    RADIATION_PATHS,
    WIND_PATHS,
    reference_evapotranspiration,
)
from perennate.terms import Text, text

NAME = "reference-evapotranspiration"
INPUTS = (
    Input("tmin", "float", "degC", -60, 60),
    Input("tmax", "float", "degC", -60, 60),
    latitude(optional=False),
    Input("day", "month-day"),
    ELEVATION,
    Input("radiation", "float", "MJ/m2", 0, 50, optional=True),
    Input("sunshine", "float", "h", 0, 24, optional=True),
    Input("humidity_most", "float", "%", 0, 100, optional=True),
    Input("humidity_least", "float", "%", 0, 100, optional=True),
    Input("humidity", "float", "%", 0, 100, optional=True),
    Input("dew_point", "float", "degC", -60, 40, optional=True),
    Input("wind", "float", "m/s", 0, 40, optional=True),
    Input("wind_height", "float", "m", 0.5, 100, default="2"),
    Input("coast", "choice", default="no", choices=("no", "yes")),
    Input("dry", "choice", default="no", choices=("no", "yes")),
)
_WIND_GUESSES = (1.0, 3.0)
_TOO_HIGH, _TOO_LOW = 1.3, 0.85


@reckoner(NAME, INPUTS)
def reference_evapotranspiration_of(
    tmin: float,
    tmax: float,
    latitude: float,
    day: MonthDay,
    elevation: float,
    radiation: float | None,
    sunshine: float | None,
    humidity_most: float | None,
    humidity_least: float | None,
    humidity: float | None,
    dew_point: float | None,
    wind: float | None,
    wind_height: float,
    coast: YesNo,
    dry: YesNo,
) -> list[Answer]:
    """ET0 [mm/day] by FAO Penman-Monteith with what was given, and by Hargreaves beside it.

    Low and high: with 1 and 3 m/s where the wind is a guess (FAO-56, example 20).
    """
    if tmax < tmin:
        raise refuse(NAME, "tmax", f"{tmax:g}", f"at least tmin, {tmin:g} degC; exchanged?")
    if humidity_least is not None and humidity_most is not None and humidity_least > humidity_most:
        expected = f"at most humidity_most, {humidity_most:g} %; exchanged?"
        raise refuse(NAME, "humidity_least", f"{humidity_least:g}", expected)
    number = day_of(day)
    ra = float(sun.extraterrestrial_radiation(latitude, number))
    most = float(clear_sky_radiation(ra, elevation)) * ABOVE_CLEAR_SKY + 1.0
    if radiation is not None and radiation > most:
        expected = f"at most {most:.0f} MJ/m2, a clear sky's; are these W/m2, or another latitude?"
        raise refuse(NAME, "radiation", f"{radiation:g}", expected)
    possible = float(sun.daylight_hours(latitude, number))
    if sunshine is not None and sunshine > possible + 0.5:
        raise refuse(
            NAME, "sunshine", f"{sunshine:g}", f"at most {possible:.1f} h, the day's length"
        )

    def by(speed: float | None, height: float) -> tuple[float, Text, Text, Text]:
        found = reference_evapotranspiration(
            tmin,
            tmax,
            latitude,
            number,
            elevation,
            solar_radiation=radiation,
            sunshine_h=sunshine,
            dew_point=dew_point,
            rhmax=humidity_most,
            rhmin=humidity_least,
            rhmean=humidity,
            wind=speed,
            wind_height_m=height,
            coast=coast == "yes",
            dry_place=dry == "yes",
        )
        return (
            float(found.et0),
            text(f"reckoner.demand.humidity_{_slug(HUMIDITY_PATHS[int(found.humidity_path)])}"),
            text(f"reckoner.demand.wind_{_slug(WIND_PATHS[int(found.wind_path)])}"),
            text(f"reckoner.demand.radiation_{_slug(RADIATION_PATHS[int(found.radiation_path)])}"),
        )

    value, *paths = by(wind, wind_height)
    low: float | None = None
    high: float | None = None
    if wind is None:
        ends = [by(speed, 2.0)[0] for speed in _WIND_GUESSES] + [value]
        low, high = round(min(ends), 2), round(max(ends), 2)
    place = text("reckoner.demand.place", date=shown(number), outside=ra)
    guessed = radiation is None and sunshine is None
    cautions = (text("reckoner.demand.swing"),) if guessed else ()
    plain = float(et0_hargreaves(tmin, tmax, ra))
    return [
        Answer(
            "Penman-Monteith",
            round(value, 2),
            low,
            high,
            "mm/day",
            (place, *paths, *((text("reckoner.demand.wind_guess"),) if wind is None else ())),
            ("fao56-et0",),
            cautions,
        ),
        Answer(
            "Hargreaves, from temperature alone",
            round(plain, 2),
            round(plain / _TOO_HIGH, 2),
            round(plain / _TOO_LOW, 2),
            "mm/day",
            (place, text("reckoner.demand.hargreaves", low=tmin, high=tmax)),
            ("fao56-et0", "hargreaves1985"),
            (text("reckoner.demand.hargreaves_off"),),
        ),
    ]


def _slug(path: str) -> str:
    return path.replace(" ", "_").replace("/", "_")
