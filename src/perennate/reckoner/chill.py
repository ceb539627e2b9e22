"""How much winter cold a place brings, and by when a wanted chill is met."""

import numpy as np
from numpy.typing import NDArray

from perennate.reckoner.registry import Answer, Input, reckoner
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
from perennate.reckoner.year_days import shown
from perennate.terms import Text, text
from perennate.weather.chill_of_years import COUNTS, Chill, Count, chill_met_by, chill_of_years
from perennate.weather.climate import Climate

NAME = "chill"
INPUTS = (
    latitude(optional=False),
    ELEVATION,
    LAST_FROST,
    FIRST_FROST,
    NO_FROST,
    MONTHLY_MIN,
    MONTHLY_MAX,
    Input("wanted", "float", "", 1, 5000, optional=True),
    Input("count", "choice", default="portions", choices=COUNTS),
)
SHARES = (0.5, 0.9)
_SOURCES = {"portions": "chill-dynamic", "utah": "chill-utah", "hours": "chill-hours"}


@reckoner(NAME, INPUTS)
def chill_of_place(
    latitude: float,
    elevation: float,
    last_frost: MonthDay | None,
    first_frost: MonthDay | None,
    no_frost: YesNo,
    monthly_min: str | None,
    monthly_max: str | None,
    wanted: float | None,
    count: Count,
) -> list[Answer]:
    """Chill of a middle winter by each count, low and high being those of one winter in ten.

    With `wanted`, the share of winters that bring it and the days by which five and nine winters
    in ten have it.
    """
    climate = site_climate(
        NAME, latitude, elevation, last_frost, first_frost, no_frost, monthly_min, monthly_max
    )
    found = chill_of_years(climate)
    winter = text(
        "reckoner.chill.winter",
        first=shown(int(found.days[0]) + 1),
        last=shown(int(found.days[-1]) + 1),
    )
    base = (told(climate), winter, text("reckoner.chill.hourly"))
    answers = [
        _sum("chill portions", found.portions, "portions", base, climate),
        _sum("Utah units", found.utah, "utah", base, climate),
        _sum("chilling hours, 0 to 7.2 °C", found.hours, "hours", base, climate),
        _sum("chilling hours, up to 7.2 °C", found.hours_with_frost, "hours", base, climate),
    ]
    if wanted is not None:
        answers += _met(found, wanted, count, base, climate)
    return answers


def _sum(
    name: str, winters: NDArray[np.float64], count: Count, base: tuple[Text, ...], climate: Climate
) -> Answer:
    low, middle, high = (float(one) for one in np.quantile(winters, (0.1, 0.5, 0.9)))
    return Answer(
        name,
        round(middle),
        round(low),
        round(high),
        "",
        (*base, text(f"reckoner.chill.{count}")),
        (_SOURCES[count], "linvill-1990"),
        _cautions(climate),
    )


def _met(
    found: Chill, wanted: float, count: Count, base: tuple[Text, ...], climate: Climate
) -> list[Answer]:
    share = float((found.by_day[count] >= wanted).any(axis=1).mean())
    bring = text("reckoner.chill.bring", wanted=wanted, count=count, share=share)
    sources = (_SOURCES[count], "linvill-1990")
    cautions = (*_cautions(climate), text("reckoner.chill.same_count"))
    answers = [
        Answer(
            "winters that bring it", round(share * 100), None, None, "%", (*base, bring), sources
        )
    ]
    for part in SHARES:
        day = chill_met_by(found, wanted, count, part)
        name = f"met in {part * 10:.0f} winters of 10 by"
        if day is None:
            too_few = text("reckoner.chill.too_few", share=part)
            answers.append(
                Answer(name, "never", None, None, "", (bring, too_few), sources, cautions)
            )
            continue
        by = text("reckoner.chill.by", date=shown(day + 1), share=part)
        answers.append(
            Answer(name, shown(day + 1), None, None, "month-day", (bring, by), sources, cautions)
        )
    return answers


def _cautions(climate: Climate) -> tuple[Text, ...]:
    not_exchanged = text("reckoner.chill.not_exchanged")
    if climate.basis == "recorded":
        return (not_exchanged,)
    return (not_exchanged, text("reckoner.chill.generated"))
