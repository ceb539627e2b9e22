"""When the last and first frosts come, with the chance stated one way only."""

from math import isnan
from typing import Literal

from scipy.special import ndtri

from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.reckoner.site import (
    ELEVATION,
    FIRST_FROST,
    LAST_FROST,
    MONTHLY_MAX,
    MONTHLY_MIN,
    NO_FROST,
    PLACE_SPREAD_K,
    MonthDay,
    YesNo,
    latitude,
    site_climate,
    spring_and_autumn,
    told,
)
from perennate.reckoner.year_days import day_of, days_from, shown
from perennate.science.frost import Season, frost_date_error, frost_date_mixed
from perennate.terms import Text, text
from perennate.weather.climate import Climate

NAME = "frost-dates"
TENTH = float(ndtri(0.9))
CHANCES = (0.5, 0.1)
DateIs = Literal["typical", "late"]
INPUTS = (
    LAST_FROST,
    FIRST_FROST,
    Input("date_is", "choice", default="typical", choices=("typical", "late")),
    Input("spread", "float", "days", 1, 60, default="12"),
    Input("years", "int", "", 2, 200, default="10"),
    Input("share_of_years", "float", "%", 1, 100, default="100"),
    NO_FROST,
    latitude(optional=True),
    ELEVATION,
    MONTHLY_MIN,
    MONTHLY_MAX,
)


@reckoner(NAME, INPUTS)
def frost_dates_of(
    last_frost: MonthDay | None,
    first_frost: MonthDay | None,
    date_is: DateIs,
    spread: float,
    years: int,
    share_of_years: float,
    no_frost: YesNo,
    latitude: float | None,
    elevation: float,
    monthly_min: str | None,
    monthly_max: str | None,
) -> list[Answer]:
    """Dates after (before) which frost still (already) comes in five and in one year of ten.

    From remembered dates by the normal law; without any, from the climate of normals or position.
    """
    remembered = last_frost is not None or first_frost is not None
    if no_frost == "yes":
        if remembered:
            raise refuse(NAME, "no_frost", "yes", "no, where frosts are remembered")
        return [_no_frost(("given",), text("reckoner.frost.none"))]
    if not remembered:
        if latitude is None:
            expected = "a last or a first frost, a latitude, or no_frost=yes"
            raise refuse(NAME, "last_frost", "nothing", expected)
        climate = site_climate(
            NAME, latitude, elevation, None, None, no_frost, monthly_min, monthly_max
        )
        return _from_climate(climate)
    share = share_of_years / 100
    answers: list[Answer] = []
    means: dict[Season, float] = {}
    dates: tuple[tuple[Season, MonthDay | None], ...] = (
        ("spring", last_frost),
        ("autumn", first_frost),
    )
    for season, date in dates:
        if date is None:
            continue
        means[season] = middle_day(day_of(date), date_is, spread, season)
        given = text(f"reckoner.frost.given_{date_is}", date=shown(day_of(date)), spread=spread)
        for chance in CHANCES:
            answers.append(_by_normal(season, means[season], chance, spread, years, share, given))
    if len(means) == 2:
        answers += [_free_days(means, spread, share, c) for c in CHANCES if share > c]
    return answers


def middle_day(day: float, date_is: DateIs, spread: float, season: Season) -> float:
    """The middle date [day of year] of a remembered one.

    A "late" date is one that frost passes on the harmful side in one year of ten.
    """
    if date_is == "typical":
        return day
    return day - TENTH * spread if season == "spring" else day + TENTH * spread


def _by_normal(
    season: Season,
    mean: float,
    chance: float,
    spread: float,
    years: int,
    share: float,
    given: Text,
) -> Answer:
    day = float(frost_date_mixed(share, mean, spread, chance, season))
    convention = text("reckoner.frost.convention")
    if isnan(day):  # fewer years have any frost than the chance asked
        rarer = text("reckoner.frost.rarer", share=share, chance=chance)
        return Answer(
            _name(season, chance), "none", None, None, "", (convention, rarer), ("frost-dates",)
        )
    error = TENTH * float(frost_date_error(spread, years, chance))
    working = (
        convention,
        given,
        text(f"reckoner.frost.{season}", date=shown(day), chance=chance),
        text("reckoner.frost.error", years=years, days=error),
    )
    return Answer(
        _name(season, chance),
        shown(day),
        shown(day - error),
        shown(day + error),
        "month-day",
        working,
        ("frost-dates", "given"),
        _cautions(chance),
    )


def _from_climate(climate: Climate) -> list[Answer]:
    answers = []
    off = PLACE_SPREAD_K[climate.basis]
    convention = text("reckoner.frost.convention")
    found: dict[float, tuple[int | None, int | None]] = {}
    for chance in CHANCES:
        found[chance] = spring_and_autumn(climate, chance)
        milder = spring_and_autumn(climate, chance, -off)
        colder = spring_and_autumn(climate, chance, off)
        seasons: tuple[Season, ...] = ("spring", "autumn")
        for i, season in enumerate(seasons):
            day = found[chance][i]
            early, late = (milder[i], colder[i]) if i == 0 else (colder[i], milder[i])
            if day is None:
                share = float((climate.tmin <= 0).any(axis=1).mean())
                rarer = text("reckoner.frost.rarer", share=share, chance=chance)
                answers.append(
                    Answer(
                        _name(season, chance),
                        "none",
                        _shown(early),
                        _shown(late),
                        "",
                        (convention, told(climate), rarer),
                        ("frost-dates", "memory"),
                        _cautions(chance),
                    )
                )
                continue
            working = (
                convention,
                told(climate),
                text(f"reckoner.frost.{season}", date=shown(day + 1), chance=chance),
                text("reckoner.frost.place", kelvin=off),
            )
            answers.append(
                Answer(
                    _name(season, chance),
                    shown(day + 1),
                    _shown(early),
                    _shown(late),
                    "month-day",
                    working,
                    ("frost-dates", "memory"),
                    _cautions(chance),
                )
            )
    if all(day is None for pair in found.values() for day in pair):
        return [_no_frost(("memory",), told(climate), text("reckoner.frost.none"))]
    return answers


def _no_frost(sources: tuple[str, ...], *working: Text) -> Answer:
    return Answer("frost", "none", None, None, "", working, sources)


def _shown(index: int | None) -> str | None:
    return None if index is None else shown(index + 1)


def _name(season: Season, chance: float) -> str:
    which, side = ("last", "later") if season == "spring" else ("first", "earlier")
    return f"{which} frost, {side} in {chance:.0%} of years"


def _free_days(means: dict[Season, float], spread: float, share: float, chance: float) -> Answer:
    begin, end = (
        float(frost_date_mixed(share, means[season], spread, chance, season))
        for season in ("spring", "autumn")
    )
    # Late springs and early autumns can close the gap altogether; a ring would hide that.
    lost = (begin - means["spring"]) + (means["autumn"] - end)
    days = max(0.0, days_from(means["spring"], means["autumn"]) - lost)
    working = (
        text("reckoner.frost.convention"),
        text("reckoner.frost.free", begin=shown(begin), end=shown(end), days=days),
    )
    return Answer(
        f"frost-free days at {chance:.0%}",
        round(days),
        None,
        None,
        "days",
        working,
        ("frost-dates",),
    )


def _cautions(chance: float) -> tuple[Text, ...]:
    ground = text("reckoner.frost.ground")
    return (ground, text("reckoner.frost.half")) if chance == 0.5 else (ground,)
