"""holding.toml (or the sheet `holding` of a workbook): read, checked, and put back into words."""

import json
import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import asdict, replace
from datetime import date, datetime
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from perennate.holding.assumed import standing_assumptions
from perennate.holding.cells import CellError, DecimalSign, Reading, nearest, quantity, spaced
from perennate.holding.model import (
    Habits,
    Holding,
    Limits,
    MonthDay,
    Nursery,
    Person,
    RememberedClimate,
    Site,
    Watering,
)
from perennate.terms import Problem

_MONTH_DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def _number(unit: str, low: float, high: float) -> Callable[[object], object]:
    """Lets a number also be written as text with a unit, such as "1000 ft"."""

    def read(value: object) -> object:
        if isinstance(value, bool):
            raise ValueError("a number")
        if not isinstance(value, str):
            return value
        try:
            return float(quantity(value, Reading(), lambda n: low <= n <= high, unit))
        except CellError as error:
            raise ValueError(str(error)) from None

    return read


def _month_day(value: object) -> object:
    """Month and day, written "05-15" for 15 May."""
    if isinstance(value, str) and (match := re.fullmatch(r"(?:--)?(\d\d)-(\d\d)", value.strip())):
        month, number = int(match[1]), int(match[2])
        if 1 <= month <= 12 and 1 <= number <= _MONTH_DAYS[month - 1]:
            return (month, number)
    raise ValueError('month and day as "05-15" for 15 May')


def _day(value: object) -> object:
    return value.date() if isinstance(value, datetime) else value


def _tidied(value: object) -> object:
    if isinstance(value, int | float) and not isinstance(value, bool):
        value = f"{value:g}"
    return spaced(value) if isinstance(value, str) else value


Words = Annotated[str, BeforeValidator(_tidied)]
Day = Annotated[date, BeforeValidator(_day)]
YearDay = Annotated[MonthDay, BeforeValidator(_month_day)]
Latitude = Annotated[float, BeforeValidator(_number("", -90, 90)), Field(ge=-90, le=90)]
Longitude = Annotated[float, BeforeValidator(_number("", -180, 180)), Field(ge=-180, le=180)]
Height = Annotated[float, BeforeValidator(_number("m", -430, 6000)), Field(ge=-430, le=6000)]
Degrees = Annotated[float, BeforeValidator(_number("degC", -90, 65)), Field(ge=-90, le=65)]
Area = Annotated[float, BeforeValidator(_number("m2", 0, 1e5)), Field(ge=0, le=1e5)]
Litres = Annotated[float, BeforeValidator(_number("l", 0, 1e8)), Field(ge=0, le=1e8)]
Length = Annotated[float, BeforeValidator(_number("m", 0.1, 500)), Field(ge=0.1, le=500)]
Wind = Annotated[float, BeforeValidator(_number("m/s", 0, 30)), Field(ge=0, le=30)]
Plain = Annotated[float, BeforeValidator(_number("", 0, 1e6)), Field(ge=0)]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class PlanPart(_Part):
    as_of: Day | None = None
    weeks: Annotated[int, Field(ge=1, le=520)] = 52
    year_start: YearDay = (1, 1)


class SitePart(_Part):
    name: Words = ""
    latitude_deg: Latitude
    longitude_deg: Longitude | None = None
    elevation_m: Height
    wind_m_s: Wind | None = None
    coast: bool = False


class RememberedPart(_Part):
    last_frost: YearDay | None = None
    first_frost: YearDay | None = None
    coldest_night_c: Degrees | None = None
    hottest_day_c: Degrees | None = None
    wet_months: tuple[Annotated[int, Field(ge=1, le=12)], ...] = ()
    no_frost: bool = False


class PersonPart(_Part):
    name: Words = ""
    sex: Literal["female", "male"]
    age_years: Annotated[Plain, Field(le=120)]
    weight_kg: Annotated[float, BeforeValidator(_number("kg", 2, 400)), Field(ge=2, le=400)]
    activity: Annotated[Plain, Field(ge=1.2, le=2.5)] = 1.6


class FoodPart(_Part):
    eats: tuple[Words, ...] = ()
    processes: tuple[Words, ...] = ()


class NurseryPart(_Part):
    bench_m2: Area = 0.0
    warm_m2: Area = 0.0
    min_night_c: Degrees = 5.0
    container: Words = "tray_77"


class LimitsPart(_Part):
    hours_per_week: Annotated[Plain, Field(le=1000)] | None = None
    compost_l: Litres | None = None
    water_l: Litres | None = None


class HabitsPart(_Part):
    least_piece_m: Length = 1.0
    most_kinds_at_once: Annotated[int, Field(ge=1, le=1000)] = 24
    surety: Annotated[Plain, Field(ge=0.5, lt=1)] = 0.9
    least_ground: bool = False
    rotation_by: Literal["bed", "half bed"] = "bed"
    compost_mm_per_year: Annotated[Plain, Field(le=200)] = 10.0
    watering: Watering = "full"
    watering_every_days: Annotated[int, Field(ge=1, le=14)] = 1


class ReadingPart(_Part):
    units: Literal["metric", "us"] = "metric"
    decimal: DecimalSign | None = None
    dates: Literal["day first", "month first"] | None = None


class WeatherPart(_Part):
    files: tuple[Words, ...] = ()


class AssumedPart(_Part):
    what: tuple[Words, ...] = ()


class Settings(_Part):
    """Everything that holding.toml may say."""

    plan: PlanPart = PlanPart()
    site: SitePart
    remembered: RememberedPart = RememberedPart()
    people: tuple[PersonPart, ...] = ()
    food: FoodPart = FoodPart()
    nursery: NurseryPart = NurseryPart()
    limits: LimitsPart = LimitsPart()
    habits: HabitsPart = HabitsPart()
    reading: ReadingPart = ReadingPart()
    weather: WeatherPart = WeatherPart()
    assumed: AssumedPart = AssumedPart()

    def how_to_read(self) -> Reading:
        part = self.reading
        return Reading(part.decimal, part.dates, part.units == "us")


LISTS = (
    ("remembered", "wet_months"),
    ("food", "eats"),
    ("food", "processes"),
    ("weather", "files"),
    ("assumed", "what"),
)
"""Settings that hold several values."""

_EXPECTED = {
    "site": "a part [site] with latitude_deg and elevation_m",
    "site.latitude_deg": "degrees north of the equator, south of it with a minus",
    "site.elevation_m": "metres above the sea",
}

RowOf = Callable[[tuple[int | str, ...]], int | None]
"""The row in which a setting stands, by its path."""


def read_toml(text: str, file: str) -> tuple[Settings | None, list[Problem], RowOf]:
    """The settings, or every problem with them; and where each setting stands."""

    def row_of(path: tuple[int | str, ...]) -> int | None:
        return _line_of(text, path)

    try:
        said = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        match = re.search(r"line (\d+)", str(error))
        row = int(match[1]) if match else None
        lines = text.splitlines()
        found = f'"{lines[row - 1].strip()}"' if row and row <= len(lines) else "an unclosed line"
        expected = (
            'name = value: texts in "quotes", numbers with a decimal point, days as 2026-03-14'
        )
        return None, [Problem(file, row, None, found, expected)], row_of
    settings, problems = check_settings(said, file, row_of)
    return settings, [_at_its_note(text, problem) for problem in problems], row_of


def _at_its_note(text: str, problem: Problem) -> Problem:
    """A missing setting that stands behind a # is asked for in the row where it stands."""
    name = (problem.column or "").rpartition(".")[2]
    for row, line in enumerate(text.splitlines(), 1):
        if problem.found == "nothing" and name and re.match(rf"\s*#\s*{re.escape(name)}\s*=", line):
            expected = f"{problem.expected}: take the # from this row and write yours"
            return replace(problem, row=row, expected=expected)
    return problem


def check_settings(
    said: Mapping[str, Any], file: str, row_of: RowOf
) -> tuple[Settings | None, list[Problem]]:
    """The settings of a nested mapping, or every problem with them."""
    try:
        settings = Settings.model_validate(said)
    except ValidationError as error:
        return None, [
            _problem(file, row_of, detail["loc"], detail["type"], detail["msg"], detail["input"])
            for detail in error.errors()
        ]
    weather = settings.remembered
    path = ("remembered", "no_frost")
    if weather.no_frost and (weather.last_frost or weather.first_frost):
        return None, [
            Problem(
                file,
                row_of(path),
                ".".join(path),
                "true, and a day of frost as well",
                "no_frost = true where frost is not known at all, else false",
            )
        ]
    return settings, []


def _problem(
    file: str, row_of: RowOf, loc: tuple[int | str, ...], kind: str, said: str, value: Any
) -> Problem:
    path = tuple(part if isinstance(part, str) else part + 1 for part in loc)
    column = ".".join(str(part) for part in path)
    expected = re.sub(r"^Value error, |^Input should be ", "", said)
    if kind == "extra_forbidden":
        names = _names_at(loc)
        near = nearest(str(loc[-1]), names)
        expected = f"one of {', '.join(names)}"
        expected += f"; did you mean {near[0]}?" if near else ""
        return Problem(file, row_of(loc), column, "an unknown setting", expected)
    if kind == "missing":
        expected = _EXPECTED.get(column, "this setting")
        return Problem(file, row_of(loc[:-1]), column, "nothing", expected)
    found = value.isoformat() if isinstance(value, date) else json.dumps(value, default=str)
    return Problem(file, row_of(loc), column, found, expected)


def _names_at(loc: tuple[int | str, ...]) -> tuple[str, ...]:
    """The settings that the section of an unknown setting knows."""
    if len(loc) == 1:
        return tuple(Settings.model_fields)
    if loc[0] == "people":
        return tuple(PersonPart.model_fields)
    part = getattr(Settings.model_fields[str(loc[0])], "default", None)
    return (
        tuple(type(part).model_fields) if isinstance(part, _Part) else tuple(SitePart.model_fields)
    )


def _line_of(text: str, path: tuple[int | str, ...]) -> int | None:
    """The line of a TOML text on which the setting or its section stands."""
    section: tuple[int | str, ...] = ()
    count: dict[str, int] = {}
    here: tuple[int | str, ...]
    best: tuple[int, int] | None = None
    for number, line in enumerate(text.splitlines(), 1):
        if match := re.match(r"\s*\[\[\s*([\w.-]+)\s*\]\]", line):
            here = section = (match[1], count.get(match[1], 0))
            count[match[1]] = count.get(match[1], 0) + 1
        elif match := re.match(r"\s*\[\s*([\w.-]+)\s*\]", line):
            section = here = (match[1],)
        elif match := re.match(r"\s*([\w-]+)\s*=", line):
            here = (*section, match[1])
        else:
            continue
        if path[: len(here)] == here and (best is None or len(here) > best[0]):
            best = (len(here), number)
    return best[1] if best else None


def parts_of(settings: Settings) -> dict[str, Any]:
    """The parts of a Holding that the settings give, by the name of its field."""
    return {
        "site": Site(
            **settings.site.model_dump(), remembered=_made(RememberedClimate, settings.remembered)
        ),
        "as_of": settings.plan.as_of,
        "weeks": settings.plan.weeks,
        "year_start": settings.plan.year_start,
        "units": settings.reading.units,
        "people": tuple(_made(Person, person) for person in settings.people),
        "nursery": _made(Nursery, settings.nursery),
        "limits": _made(Limits, settings.limits),
        "habits": _made(Habits, settings.habits),
        "assumed": settings.assumed.what,
    }


def _made(kind: Callable[..., Any], part: _Part) -> Any:
    return kind(**part.model_dump())


def settings_of(holding: Holding) -> dict[str, Any]:
    """The nested mapping that holding.toml of this holding says; nothing is said of None."""
    site = asdict(holding.site)
    remembered = site.pop("remembered")
    for name in ("last_frost", "first_frost"):
        remembered[name] = _written(remembered[name])
    said = {
        "plan": {
            "as_of": holding.as_of,
            "weeks": holding.weeks,
            "year_start": _written(holding.year_start),
        },
        "site": site,
        "remembered": remembered,
        "people": [asdict(person) for person in holding.people],
        "food": {"eats": holding.eats, "processes": holding.processes},
        "nursery": asdict(holding.nursery),
        "limits": asdict(holding.limits),
        "habits": asdict(holding.habits),
        "reading": {"units": holding.units},
        "weather": {"files": holding.weather_files},
    }
    standing = standing_assumptions(holding)
    if standing:
        said["assumed"] = {"what": standing}
    return {name: _known(part) for name, part in said.items()}


def _written(day: MonthDay | None) -> str | None:
    return None if day is None else f"{day[0]:02d}-{day[1]:02d}"


def _known(part: Any) -> Any:
    if isinstance(part, dict):
        return {name: value for name, value in part.items() if value is not None}
    return part


def toml_text(said: Mapping[str, Any]) -> str:
    """The nested mapping of `settings_of` as TOML."""
    lines: list[str] = []
    for section, part in said.items():
        for values in part if isinstance(part, list) else [part]:
            lines.append(f"[[{section}]]" if isinstance(part, list) else f"[{section}]")
            lines += [f"{name} = {_toml(value)}" for name, value in values.items()]
            lines.append("")
    return "\n".join(lines)


def _toml(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    return "[" + ", ".join(_toml(one) for one in value) + "]"
