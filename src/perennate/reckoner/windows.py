"""When a crop can be sown and planted out at a place, and the chance that frost takes it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.model import Crop
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
    spring_and_autumn,
    told,
)
from perennate.reckoner.year_days import shown
from perennate.terms import Text, text
from perennate.weather.climate import (
    Climate,
    chance_of_frost_between,
    coldest_day,
    soil_temperature,
)

NAME = "sow-window"
YEAR = 365
HALF = 182
LEAST_SPAN_DAYS = 14
LEAST_SPELL_DAYS, MOST_SPELL_DAYS = 21, 250
SOW_DEPTH_M = 0.05
ONE_IN_TEN = 0.1
INPUTS = (
    Input("crop", "crop"),
    latitude(optional=False),
    ELEVATION,
    LAST_FROST,
    FIRST_FROST,
    NO_FROST,
    MONTHLY_MIN,
    MONTHLY_MAX,
)


@dataclass(frozen=True, slots=True)
class Way:
    """A way to start a crop: the figure that holds its weeks, and how to count them."""

    name: str
    figure: str
    season: int  # 0 from the last frost, 1 from the first
    sign: int
    stands_outside: bool
    sown_in_bed: bool = False
    last_only: bool = False


WAYS = (
    Way("sow under cover", "indoor_sow_before_last_frost", 0, -1, False),
    Way("plant out", "transplant_after_last_frost", 0, 1, True),
    Way("sow in the bed", "direct_sow_after_last_frost", 0, 1, True, sown_in_bed=True),
    Way(
        "last sowing in the bed",
        "last_direct_sow_before_first_frost",
        1,
        -1,
        False,
        last_only=True,
    ),
    Way("last planting out", "last_transplant_before_first_frost", 1, -1, False, last_only=True),
    Way("sow to overwinter", "overwinter_sow_before_first_frost", 1, -1, False),
)


@reckoner(NAME, INPUTS)
def sow_window(
    crop: Crop,
    latitude: float,
    elevation: float,
    last_frost: MonthDay | None,
    first_frost: MonthDay | None,
    no_frost: YesNo,
    monthly_min: str | None,
    monthly_max: str | None,
) -> list[Answer]:
    """Windows for sowing and planting out, from the middle last and first frost of the place.

    Where frost is not usual the windows are the months whose soil and days suit the crop.
    """
    climate = site_climate(
        NAME, latitude, elevation, last_frost, first_frost, no_frost, monthly_min, monthly_max
    )
    frosts = spring_and_autumn(climate, 0.5)
    if frosts[0] is None or frosts[1] is None:
        return _by_warmth(crop, climate)
    start = (text("reckoner.window.frosts", last=shown(frosts[0] + 1), first=shown(frosts[1] + 1)),)
    answers, chances = [], []
    for way in WAYS:
        window = _window(crop, way, frosts)
        if window is None:
            continue
        days, soil_told, cautions = _when_warm(crop, climate, way, window)
        working = (told(climate), *start, _weeks(crop, way), *soil_told)
        answers.append(_answer(crop, climate, way, days, working, cautions))
        if way.stands_outside:
            chances += _chance(crop, climate, way, days)
    if not answers:
        raise refuse(NAME, "crop", crop.key, "a crop whose weeks about the frosts are known")
    return [*answers, *chances, *(_safe_day(crop, climate) if chances else ())]


def _window(crop: Crop, way: Way, frosts: tuple[int | None, int | None]) -> tuple[int, int] | None:
    """First and last day [index, may run beyond the year], or None when not known."""
    figure, frost = crop.figure(way.figure), frosts[way.season]
    if figure is None or frost is None:
        return None
    ends = sorted(round(frost + 7 * way.sign * weeks) for weeks in (figure.low, figure.high))
    return ends[0], ends[1]


def _when_warm(
    crop: Crop, climate: Climate, way: Way, window: tuple[int, int]
) -> tuple[tuple[int, int], list[Text], list[Text]]:
    """The window begun when the soil is warm enough, with the working and what to mind."""
    if not way.sown_in_bed:
        return window, [], []
    first, last = window
    soil, soil_told = _soil_day(crop, climate, first)
    if soil is None or soil > last:
        cold = text("reckoner.window.cold_soil", crop=crop.key, last=shown(last + 1))
        return window, soil_told, [cold]
    return (max(first, soil), last), soil_told, []


def _answer(
    crop: Crop,
    climate: Climate,
    way: Way,
    window: tuple[int, int],
    working: tuple[Text, ...],
    cautions: list[Text],
) -> Answer:
    first, last = window
    if way.stands_outside:
        working += tuple(_risks(crop, climate, window))
        if crop.figure("kill_seedling") is None:
            cautions.append(text("reckoner.window.limit_unknown", crop=crop.key))
    if way.last_only:
        cautions.append(text("reckoner.window.last_rule"))
    if climate.basis == "position only":
        cautions.append(text("reckoner.window.position_only"))
    return Answer(
        way.name,
        shown((last if way.last_only else first) + 1),
        shown(first + 1),
        shown(last + 1),
        "month-day",
        working,
        (crop.figures[way.figure].source, "frost-dates"),
        tuple(cautions),
    )


def _weeks(crop: Crop, way: Way) -> Text:
    figure = crop.figures[way.figure]
    side = ("before" if way.sign < 0 else "after") + ("_last" if way.season == 0 else "_first")
    if figure.low == figure.high:
        code = f"reckoner.window.week_{side}"
        return text(code, crop=crop.key, what=way.name, weeks=figure.value, basis=figure.basis)
    return text(
        f"reckoner.window.weeks_{side}",
        crop=crop.key,
        what=way.name,
        low=figure.low,
        high=figure.high,
        basis=figure.basis,
    )


def _soil_day(crop: Crop, climate: Climate, first: int) -> tuple[int | None, list[Text]]:
    """The first day from the coldest on when the usual soil is warm enough, near `first`."""
    least = crop.figure("soil_temp_sow_min")
    if least is None:
        return first, []
    soil = soil_temperature(climate, SOW_DEPTH_M)
    coldest = int(np.argmin(soil))
    ring = soil[(coldest + np.arange(YEAR)) % YEAR]
    if ring.max() < least.value:
        return None, [text("reckoner.window.soil_never", crop=crop.key, soil=least.value)]
    day = coldest + int(np.argmax(ring >= least.value))
    # The same day of the ring in the turn of the year that the window stands in.
    day -= YEAR * round((day - first) / YEAR)
    soil_told = text(
        "reckoner.window.soil",
        crop=crop.key,
        soil=least.value,
        date=shown(day + 1),
        basis=least.basis,
    )
    return day, [soil_told]


def _risks(crop: Crop, climate: Climate, window: tuple[int, int]) -> list[Text]:
    limit = crop.figure("kill_seedling")
    if limit is None:
        return []
    return [
        text(
            "reckoner.window.risk",
            crop=crop.key,
            limit=limit.value,
            date=shown(day + 1),
            chance=_chance_after(climate, day, limit.value),
            basis=limit.basis,
        )
        for day in dict.fromkeys(window)
    ]


def _chance_after(climate: Climate, day: int, limit: float) -> float:
    """Chance of a night at or below the limit from a day to midsummer, three weeks at least."""
    midsummer = coldest_day(climate.tmin, climate.latitude_deg) + HALF
    ahead = (midsummer - day) % YEAR
    span = ahead if LEAST_SPELL_DAYS <= ahead <= MOST_SPELL_DAYS else LEAST_SPELL_DAYS
    return chance_of_frost_between(climate, day % YEAR, (day + span) % YEAR, limit)


def _chance(crop: Crop, climate: Climate, way: Way, window: tuple[int, int]) -> list[Answer]:
    """The chance of a killing night after the first and the last day of a window."""
    limit = crop.figure("kill_seedling")
    if limit is None:
        return []
    early, late = (_chance_after(climate, day, limit.value) for day in window)
    return [
        Answer(
            f"chance of a killing night after: {way.name}",
            early,
            min(early, late),
            max(early, late),
            "1",
            tuple(_risks(crop, climate, window)),
            (limit.source, "frost-dates"),
        )
    ]


def _safe_day(crop: Crop, climate: Climate) -> list[Answer]:
    """The day after which a killing night comes in one year of ten; none where it never does."""
    limit = crop.figures["kill_seedling"]
    day, _ = spring_and_autumn(climate, ONE_IN_TEN, limit.value)
    if day is None:
        return []
    safe = text(
        "reckoner.window.safe",
        crop=crop.key,
        limit=limit.value,
        date=shown(day + 1),
        chance=ONE_IN_TEN,
    )
    return [
        Answer(
            "killing night later in 10% of years",
            shown(day + 1),
            None,
            None,
            "month-day",
            (told(climate), safe),
            (limit.source, "frost-dates"),
        )
    ]


def _by_warmth(crop: Crop, climate: Climate) -> list[Answer]:
    """Stretches of the year whose usual soil and days suit the crop, where frost is not usual."""
    soil = soil_temperature(climate, SOW_DEPTH_M)
    least, most = crop.figure("soil_temp_sow_min"), crop.figure("soil_temp_sow_max")
    heat = crop.figure("heat_day")
    if least is None:
        raise refuse(NAME, "crop", crop.key, "a crop whose least warmth of soil is known")
    fits = soil >= least.value
    working = [told(climate), text("reckoner.window.no_frost")]
    working.append(text("reckoner.window.soil_from", crop=crop.key, soil=least.value))
    sources = [least.source]
    if most is not None:
        fits &= soil <= most.value
        working.append(text("reckoner.window.soil_to", crop=crop.key, soil=most.value))
        sources.append(most.source)
    if heat is not None:
        fits &= climate.tmax.mean(axis=0) < heat.value
        working.append(text("reckoner.window.heat", crop=crop.key, heat=heat.value))
        sources.append(heat.source)
    cautions = (text("reckoner.window.rain"),)
    spans = _spans(fits)
    if not spans:
        return [
            Answer(
                "sow in the bed",
                "none",
                None,
                None,
                "",
                tuple(working),
                tuple(sources),
                (*cautions, text("reckoner.window.never", crop=crop.key)),
            )
        ]
    return [
        Answer(
            "sow in the bed",
            shown(first + 1),
            shown(first + 1),
            shown(last + 1),
            "month-day",
            tuple(working),
            tuple(sources),
            cautions,
        )
        for first, last in spans
    ]


def _spans(fits: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Stretches of at least a fortnight round the ring of the year; all of it: (0, 364)."""
    if fits.all():
        return [(0, YEAR - 1)]
    found = []
    for first in np.flatnonzero(fits & ~np.roll(fits, 1)):
        ahead = fits[(first + np.arange(YEAR)) % YEAR]
        length = int(np.argmin(ahead))
        if length >= LEAST_SPAN_DAYS:
            found.append((int(first), int(first) + length - 1))
    return found
