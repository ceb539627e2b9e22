"""How much water a crop in a bed asks for, month by month, and what mulch and shade save."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.crop_water import CropWater, crop_water
from perennate.catalogue.model import Crop
from perennate.catalogue.soil_texture import soil_texture
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.reckoner.site import (
    ELEVATION,
    FIRST_FROST,
    LAST_FROST,
    MONTHLY_MAX,
    MONTHLY_MIN,
    NO_FROST,
    MonthDay,
    YesNo,
    latitude,
    site_climate,
    told,
)
from perennate.reckoner.year_days import DAYS, day_of, shown
from perennate.science.covers import COVERS, MULCHES, evaporation_under_mulch
from perennate.science.crop_water import (
    kc_for_climate,
    root_depth_course,
    scaled_stages,
    stage_course,
    stage_of_day,
)
from perennate.science.effective_rain import dependable_rain
from perennate.science.season_need import SeasonNeed, season_need
from perennate.science.soil_hydraulics import hydraulics
from perennate.terms import Text, text
from perennate.weather.climate import Climate, et0, et0_notes, least_humidity, wind
from perennate.weather.normals import MONTH_DAYS, MONTH_OF_DAY

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NAME = "water-need"
SOILS = ("sand", "loamy sand", "sandy loam", "loam", "silt loam", "clay loam", "clay", "peat")
FIRST_ROOTS_M = 0.15
DRY_YEAR, WET_YEAR = 0.9, 0.1
LEAST_DAYS = 14
STAGES = ("initial", "development", "mid", "late")
INPUTS = (
    Input("crop", "crop"),
    Input("start", "month-day"),
    Input("end", "month-day", optional=True),
    Input("length", "float", "m", 0.1, 1000),
    Input("width", "float", "m", 0.1, 1000, default="1.2"),
    Input("soil", "choice", default="loam", choices=SOILS),
    Input("mulch", "choice", default="none", choices=MULCHES),
    Input("mulch_depth", "float", "cm", 0, 50, default="5"),
    Input("cover", "choice", default="open", choices=tuple(COVERS)),
    latitude(optional=False),
    ELEVATION,
    LAST_FROST,
    FIRST_FROST,
    NO_FROST,
    MONTHLY_MIN,
    MONTHLY_MAX,
    Input("monthly_rain", "text", "mm", optional=True),
)
_SOURCES = ("fao56-crop", "fao56-et0", "saxton-rawls2006")


@dataclass(frozen=True)
class _Season:
    """A planting's days: places in the year, coefficients and reach of the roots by day."""

    days: Ints
    stage: Ints
    kc: Floats
    kcb: Floats
    reach_mm: Floats
    fraction: float


@reckoner(NAME, INPUTS)
def water_need(
    crop: Crop,
    start: MonthDay,
    end: MonthDay | None,
    length: float,
    width: float,
    soil: str,
    mulch: str,
    mulch_depth: float,
    cover: str,
    latitude: float,
    elevation: float,
    last_frost: MonthDay | None,
    first_frost: MonthDay | None,
    no_frost: YesNo,
    monthly_min: str | None,
    monthly_max: str | None,
    monthly_rain: str | None,
) -> list[Answer]:
    """Water in a usual and a dry year [mm, l], by month, and with mulch or a shade net.

    The value is the middle of the years, low the year of ten with the least need, high the dry
    year of ten.
    """
    climate = site_climate(
        NAME,
        latitude,
        elevation,
        last_frost,
        first_frost,
        no_frost,
        monthly_min,
        monthly_max,
        monthly_rain,
    )
    water = crop_water(crop.key)
    season = _season(crop, water, climate, start, end, soil)
    left = float(evaporation_under_mulch(mulch, 1.0, mulch_depth))
    area = length * width
    need = _run(climate, season, cover, left)
    base = (told(climate), *et0_notes(climate), *_stands(crop, water), _dates(season, soil))
    stages = tuple(
        text(
            f"reckoner.need.stage_{STAGES[stage]}",
            days=int((season.stage == stage).sum()),
            asked=float(np.median(need.asked[:, season.stage == stage].sum(axis=1))),
        )
        for stage in range(4)
        if (season.stage == stage).any()
    )
    cautions = (text("reckoner.need.guide"), *_rain_guessed(climate, monthly_rain))
    given = need.given.sum(axis=1)
    return [
        _spread("asked by crop and soil", need.asked.sum(axis=1), "mm", (*base, *stages)),
        _spread(
            "to water", given, "mm", (*base, _turns(need), _dependable(climate, season)), cautions
        ),
        _spread("to water the bed", given * area, "l", (text("reckoner.need.bed", area=area),)),
        *_months(need, season, area),
        *_savings(climate, season, mulch, cover, left, given, area),
    ]


def _season(
    crop: Crop,
    water: CropWater,
    climate: Climate,
    start: MonthDay,
    end: MonthDay | None,
    soil: str,
) -> _Season:
    first = day_of(start) - 1
    if end is not None:
        count = (day_of(end) - 1 - first) % DAYS + 1
    else:
        count = round(crop.value("days_to_first_harvest", 0) + crop.value("harvest_window", 0))
        count = min(count, DAYS)
    if count < LEAST_DAYS:
        found = "nothing" if end is None else shown(day_of(end))
        raise refuse(NAME, "end", found, f"a day {LEAST_DAYS} days or more after the start")
    days = (first + np.arange(count)) % DAYS
    lengths = scaled_stages(water.stages_d, count)
    number = np.arange(1.0, count + 1)
    late = days[int(lengths[:2].sum()) :] if lengths[2:].sum() >= 1 else days
    windy, dry = float(wind(climate)[late].mean()), float(least_humidity(climate)[late].mean())

    def course(three: tuple[float, float, float]) -> Floats:
        middle, last = (
            float(kc_for_climate(value, windy, dry, water.height_m)) for value in three[1:]
        )
        return stage_course(number, lengths, three[0], middle, last)

    kcb = course(water.kcb)
    roots = root_depth_course(
        stage_course(number, lengths, 0.0, 1.0, 1.0),
        0.0,
        1.0,
        min(FIRST_ROOTS_M, water.root_least_m),
        water.root_least_m,
    )
    usual = soil_texture(soil)
    ground = usual.own_hydraulics or hydraulics(
        usual.sand.value / 100.0, usual.clay.value / 100.0, usual.organic_matter.value
    )
    held = float(ground.field_capacity - ground.wilting_point)
    return _Season(
        days,
        stage_of_day(number, lengths),
        course(water.kc),
        kcb,
        1000.0 * held * roots,
        water.depletion,
    )


def _run(climate: Climate, season: _Season, cover: str, left: float) -> SeasonNeed:
    return season_need(
        et0(climate, cover)[:, season.days],
        climate.rain[:, season.days] * COVERS[cover].rain,
        season.kc,
        season.kcb,
        season.reach_mm,
        season.fraction,
        left,
    )


def _stands(crop: Crop, water: CropWater) -> tuple[Text, ...]:
    if water.stands_for:
        stand = text("reckoner.need.stands_for", crop=crop.key, other=water.stands_for)
        return (stand,)
    return (text("reckoner.need.own", crop=crop.key, basis=water.basis),)


def _dates(season: _Season, soil: str) -> Text:
    return text(
        "reckoner.need.dates",
        first=shown(float(season.days[0] + 1)),
        last=shown(float(season.days[-1] + 1)),
        days=len(season.days),
        soil=soil,
        reach=float(season.reach_mm[-1]),
    )


def _dependable(climate: Climate, season: _Season) -> Text:
    """The rain of the season by FAO's rule, month by month in parts, beside the days' own."""
    by_month = np.bincount(MONTH_OF_DAY, climate.rain.mean(axis=0))
    share = np.bincount(MONTH_OF_DAY[season.days], minlength=12) / MONTH_DAYS
    return text(
        "reckoner.need.dependable",
        rain=float((by_month * share).sum()),
        counted=float((dependable_rain(by_month) * share).sum()),
    )


def _turns(need: SeasonNeed) -> Text:
    turns = (need.given > 0.0).sum(axis=1)
    return text(
        "reckoner.need.turns",
        usual=int(np.median(turns)),
        dry=int(np.quantile(turns, DRY_YEAR)),
        rain_lost=float(np.median(need.drained.sum(axis=1))),
    )


def _rain_guessed(climate: Climate, monthly_rain: str | None) -> tuple[Text, ...]:
    if monthly_rain is not None or climate.basis == "recorded":
        return ()
    return (text("reckoner.need.rain_guessed"),)


def _spread(
    name: str,
    of_years: Floats,
    unit: str,
    working: tuple[Text, ...],
    cautions: tuple[Text, ...] = (),
) -> Answer:
    low, middle, high = (
        round(float(value), 1) for value in np.quantile(of_years, (WET_YEAR, 0.5, DRY_YEAR))
    )
    years = text("reckoner.need.years", years=len(of_years))
    return Answer(name, middle, low, high, unit, (*working, years), _SOURCES, cautions)


def _months(need: SeasonNeed, season: _Season, area: float) -> list[Answer]:
    """What to water in each month, in the order in which the season meets them."""
    month_of = np.array([(date(2023, 1, 1) + timedelta(int(day))).month for day in season.days])
    found = []
    for month in dict.fromkeys(month_of.tolist()):
        days = month_of == month
        asked = float(np.median(need.asked[:, days].sum(axis=1)))
        name = f"to water in {date(2023, month, 1):%B}"
        working = (text("reckoner.need.month", days=int(days.sum()), asked=asked),)
        found.append(_spread(name, need.given[:, days].sum(axis=1) * area, "l", working))
    return found


def _savings(
    climate: Climate,
    season: _Season,
    mulch: str,
    cover: str,
    left: float,
    given: Floats,
    area: float,
) -> list[Answer]:
    """The same bed with a mulch, and under a net, where it has none yet."""
    ways: list[tuple[str, str, str, float]] = []
    if mulch == "none":
        under = float(evaporation_under_mulch("organic"))
        ways.append(("with 5 cm of mulch", "mulch", cover, under))
    if cover == "open":
        ways.append(("under a shade net", "net", "shade", left))
    found = []
    usual = float(np.median(given))
    for name, what, over, leaves in ways:
        less = _run(climate, season, over, leaves).given.sum(axis=1)
        saved = usual - float(np.median(less))
        share = saved / usual if usual > 0.0 else 0.0
        working = (text(f"reckoner.need.with_{what}", saved=saved * area, share=share),)
        found.append(_spread(f"to water the bed {name}", less * area, "l", working))
    return found
