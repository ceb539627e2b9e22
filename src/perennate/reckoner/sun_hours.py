"""How many hours of direct sun a piece of ground gets through the year."""

from datetime import date

import numpy as np

from perennate.reckoner.quantities import UnreadableError, read_quantity
from perennate.reckoner.registry import Answer, Input, reckoner
from perennate.reckoner.site import latitude
from perennate.reckoner.year_days import shown
from perennate.science.sun_hours import Horizon, Obstacle, Standing, SunHours, sun_hours
from perennate.terms import BadInput, Problem, Text, text

NAME = "sun-hours"
INPUTS = (
    latitude(optional=False),
    Input("standing", "text", "m", optional=True),
    Input("horizon", "text", "deg", optional=True),
)
FULL_SUN_H, HALF_SHADE_H = 6.0, 3.0
"""Hours of sun a day in the warm half year from which ground counts as such (common practice)."""

_POINTS = (
    *("n", "nne", "ne", "ene", "e", "ese", "se", "sse"),
    *("s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw"),
)
_STANDING = "height / distance / direction / width, and perhaps / what passes in percent"
_HORIZON = "from / to / elevation in degrees, and perhaps / what passes in percent"
_YEAR = 365
_SOURCES = ("sun-position",)


@reckoner(NAME, INPUTS)
def sun_hours_of(latitude: float, standing: str | None, horizon: str | None) -> list[Answer]:
    """Hours of direct sun on the 21st of each month, and what the warm half year comes to.

    Low and high of the summary are the shortest and longest day of that half.
    """
    problems: list[Problem] = []
    obstacles = [
        *_read("standing", standing, _STANDING, problems),
        *_read("horizon", horizon, _HORIZON, problems),
    ]
    if problems:
        raise BadInput(problems)
    year = sun_hours(latitude, np.arange(1, _YEAR + 1), obstacles)
    count = text("reckoner.sun.open")
    if obstacles:
        count = text("reckoner.sun.counted", things=len(obstacles))
    warm = (text("reckoner.sun.skylight"), text("reckoner.sun.point"))
    return [
        _summary(latitude, year, count, warm),
        *(_month(month, year, count) for month in range(1, 13)),
    ]


def _summary(latitude: float, year: SunHours, count: Text, cautions: tuple[Text, ...]) -> Answer:
    # between the equinoxes; about the equator the whole year grows
    warm = np.arange(79, 266) if latitude >= 0.0 else np.r_[265:_YEAR, 0:79]
    if abs(latitude) < 23.5:
        warm = np.arange(_YEAR)
    hours = year.hours[warm]
    mean = float(hours.mean())
    kind = "full" if mean >= FULL_SUN_H else "half" if mean >= HALF_SHADE_H else "shade"
    days = int((year.hours >= FULL_SUN_H).sum())
    working = (
        count,
        text(f"reckoner.sun.{kind}", hours=mean),
        text("reckoner.sun.six_hours", days=days),
    )
    return Answer(
        "sun a day in the growing half year",
        round(mean, 1),
        round(float(hours.min()), 1),
        round(float(hours.max()), 1),
        "h",
        working,
        (*_SOURCES, "common-practice"),
        cautions,
    )


def _month(month: int, year: SunHours, count: Text) -> Answer:
    index = date(2023, month, 21).timetuple().tm_yday - 1
    hours, possible = float(year.hours[index]), float(year.possible[index])
    when = shown(index + 1)
    if possible == 0.0:
        told = (text("reckoner.sun.night", date=when),)
    elif np.isnan(year.first[index]):
        told = (text("reckoner.sun.none", date=when, possible=possible),)
    else:
        told = (
            text(
                "reckoner.sun.day",
                date=when,
                possible=possible,
                hours=hours,
                first=_clock(year.first[index]),
                last=_clock(year.last[index]),
                share=float(year.beam_share[index]),
            ),
        )
    return Answer(f"sun on {when}", round(hours, 1), None, None, "h", (count, *told), _SOURCES)


def _clock(hour: float) -> str:
    minutes = round(float(hour) * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def _read(column: str, typed: str | None, expected: str, problems: list[Problem]) -> list[Obstacle]:
    """What stands about, one thing after another apart by semicolons; a problem for each fault."""
    found: list[Obstacle] = []
    for thing in [] if typed is None else typed.strip("; ").split(";"):
        parts = [part.strip() for part in thing.split("/")]
        try:
            found.append(_standing(parts) if column == "standing" else _horizon(parts))
        except UnreadableError as unreadable:
            wanted = f"{expected}: {unreadable.expected}"
            problems.append(Problem(NAME, None, column, thing.strip(), wanted))
        except ValueError as wrong:
            problems.append(Problem(NAME, None, column, thing.strip(), f"{expected}: {wrong}"))
    return found


def _standing(parts: list[str]) -> Standing:
    if len(parts) not in (4, 5):
        raise UnreadableError("four figures or five")
    height, distance, width = (read_quantity(parts[i], "m") for i in (0, 1, 3))
    return Standing(height, distance, _direction(parts[2]), width, _passes(parts[4:]))


def _horizon(parts: list[str]) -> Horizon:
    if len(parts) not in (3, 4):
        raise UnreadableError("three figures or four")
    elevation = read_quantity(parts[2], "deg")
    return Horizon(_direction(parts[0]), _direction(parts[1]), elevation, _passes(parts[3:]))


def _direction(typed: str) -> float:
    if typed.casefold() in _POINTS:
        return _POINTS.index(typed.casefold()) * 22.5
    try:
        return read_quantity(typed, "deg")
    except UnreadableError:
        raise UnreadableError(
            "a direction as degrees from north by east, or N, NE, E ..."
        ) from None


def _passes(typed: list[str]) -> float:
    return read_quantity(typed[0], "%") / 100 if typed else 0.0
