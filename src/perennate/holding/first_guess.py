"""A whole holding from the few answers of someone who begins; every guess is marked as assumed.

What is asked for is taken as said. The rest is guessed roughly and on purpose so that a plan can
be made at once, and stands in `Holding.assumed` until it is confirmed or changed.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from perennate.catalogue.model import Catalogue, Crop
from perennate.catalogue.names import find_crop, suggestions
from perennate.holding.assumed import name_of
from perennate.holding.cells import CellError, as_text, literal
from perennate.holding.first_aims import Eaters, first_aims
from perennate.holding.layout import laid_out
from perennate.holding.model import (
    Bed,
    HandPlanting,
    Holding,
    Light,
    Limits,
    Lot,
    MonthDay,
    Nursery,
    Person,
    RememberedClimate,
    Site,
    Soil,
    SourceKind,
    WaterSource,
)
from perennate.holding.reader import SETTINGS_FILE
from perennate.holding.schema import table_schema
from perennate.holding.settings import check_settings, settings_of
from perennate.holding.warmth import Warmth
from perennate.terms import BadInput, Problem

Bench = Literal["none", "window sill", "small greenhouse"]

GUESSED_ELEVATION_M = 200.0
"""Half of all people live lower than about this (memory)."""
BENCHES = {
    "none": Nursery(),
    "window sill": Nursery(bench_m2=0.5, warm_m2=0.5, min_night_c=14.0),
    "small greenhouse": Nursery(bench_m2=4.0, warm_m2=0.5, min_night_c=3.0),
}
"""What a bench of that kind is likely to be (memory)."""
UNNAMED = "My holding"
MOST_BEDS = 1000
_ADULTS = (("female", 40.0, 65.0), ("male", 40.0, 78.0))
_CHILDREN = (("female", 9.0, 30.0), ("male", 9.0, 30.0))
_ACTIVITY = 1.7
_MOST_EATERS = 60
_TROPIC_DEG = 23.5
LEAST_LENGTH_M = 0.05
"""Shorter than this no planting is taken down."""
_SHARE_OF_GROWTH = 0.5
"""A crop that stands is taken to be halfway to its harvest."""
_KINDS = {"tuber": "tuber", "set": "set", "slip": "slip", "corm": "tuber"}


@dataclass(frozen=True, slots=True)
class Place:
    latitude_deg: float
    longitude_deg: float | None = None
    elevation_m: float | None = None


@dataclass(frozen=True, slots=True)
class BedsAlike:
    """So many beds of one size. Light and soil None: not asked. Keys are the stem and a number."""

    count: int
    length_m: float
    width_m: float
    light: Light | None = None
    soil: Soil | None = None
    stem: str = "b"


@dataclass(frozen=True, slots=True)
class Standing:
    """A crop that stands now. `bed`: its number, counted from 1, or its key; "" where not said.

    `since`: about when it was sown or planted there.
    """

    crop: str
    bed: int | str = ""
    since: MonthDay | None = None


@dataclass(frozen=True, slots=True)
class SeedHeld:
    crop: str
    variety: str = ""
    year: int | None = None


@dataclass(frozen=True, slots=True)
class FirstAnswers:
    """What is asked in the first ten minutes; crops by any name that the catalogue knows."""

    place: Place
    as_of: date
    name: str = ""
    last_frost: MonthDay | None = None
    first_frost: MonthDay | None = None
    no_frost: bool = False
    coldest_night_c: float | None = None
    wet_months: tuple[int, ...] = ()
    beds: tuple[BedsAlike, ...] = ()
    standing: tuple[Standing, ...] = ()
    eats: tuple[str, ...] = ()
    seeds: tuple[SeedHeld, ...] = ()
    adults: int = 2
    children: int = 0
    bench: Bench = "none"
    hours_per_week: float | None = None
    water: tuple[SourceKind, ...] = ()
    units: Literal["metric", "us"] = "metric"
    weeks: int = 52


class _Guessing:
    """The answers, what is wrong with them, and the names of what is guessed."""

    def __init__(self, answers: FirstAnswers, catalogue: Catalogue) -> None:
        self.answers, self.catalogue = answers, catalogue
        self.problems: list[Problem] = []
        self.assumed: list[str] = []

    def wrong(self, column: str, found: object, expected: str) -> None:
        shown = "nothing" if found in ("", None) else f'"{found}"'
        self.problems.append(Problem("answers", None, column, shown, expected))

    def words(self, told: str, column: str) -> str:
        """The text on one line, tidied as the reader of a holding does."""
        try:
            return " ".join(as_text(literal(told)).split())
        except CellError as error:
            self.wrong(column, told, str(error))
            return ""

    def crop(self, name: str, column: str) -> Crop | None:
        found = find_crop(self.catalogue, name)
        if found is None:
            near = suggestions(self.catalogue, name)[:3]
            guess = f"; did you mean {' or '.join(near)}?" if near else ""
            self.wrong(column, name, f"the name of a crop in the catalogue{guess}")
        return found

    def guessed(self, table: str, key: str, *columns: str) -> None:
        self.assumed += [name_of(table, key, column) for column in columns]


def first_holding(answers: FirstAnswers, catalogue: Catalogue) -> Holding:
    """The holding of these answers. BadInput with every problem (file "answers", column such as
    "beds.2.length_m", counted from 1)."""
    guessing = _Guessing(answers, catalogue)
    settings = _settings(guessing)
    beds = _beds(guessing)
    crops = [
        (one, guessing.crop(one, f"eats.{number}")) for number, one in enumerate(answers.eats, 1)
    ]
    eaten = tuple(dict.fromkeys(crop.key for _, crop in crops if crop is not None))
    lots, sources = _lots(guessing), _water(guessing)
    warmth = None
    if not guessing.problems:
        warmth = Warmth(settings.site, answers.as_of)
    plantings = _plantings(guessing, beds, warmth)
    if guessing.problems or warmth is None:
        raise BadInput(guessing.problems)
    taken = {one.bed for one in plantings}
    free = [bed for bed in beds if bed.key not in taken] or list(beds)
    eaters = Eaters(answers.adults, answers.children)
    aims = first_aims([catalogue.crops[key] for key in eaten], eaters, free, warmth, answers.weeks)
    for aim in aims:
        dates = [name for name in ("start", "end") if getattr(aim, name) is not None]
        guessing.guessed("aims", aim.key, "amount", "per", *dates)
    return replace(
        settings,
        eats=eaten,
        beds=beds,
        water_sources=sources,
        aims=aims,
        lots=lots,
        plantings=plantings,
        assumed=tuple(guessing.assumed),
    )


def _settings(guessing: _Guessing) -> Holding:
    """The holding without its tables; what the settings refuse is said of the answers."""
    answers, place = guessing.answers, guessing.answers.place
    elevation = place.elevation_m
    if elevation is None:
        elevation = GUESSED_ELEVATION_M
        guessing.assumed.append("site.elevation_m")
    name = guessing.words(answers.name, "name")
    if not name:
        guessing.assumed.append("site.name")
    year_start = (1, 1)
    if place.latitude_deg < -_TROPIC_DEG:
        year_start = (7, 1)
        guessing.assumed.append("plan.year_start")
    if answers.bench not in BENCHES:
        guessing.wrong("bench", answers.bench, f"one of {', '.join(BENCHES)}")
    nursery = BENCHES.get(answers.bench, Nursery())
    if answers.bench != "none":
        guessing.assumed += ["nursery.bench_m2", "nursery.warm_m2", "nursery.min_night_c"]
    for column in ("adults", "children"):
        count = getattr(answers, column)
        if not 0 <= count <= _MOST_EATERS:
            guessing.wrong(column, count, f"a whole number from 0 up to {_MOST_EATERS}")
            return _bare(guessing, name, elevation, year_start, nursery, ())
    people = _people(answers.adults, _ADULTS) + _people(answers.children, _CHILDREN)
    for number in range(1, len(people) + 1):
        columns = ("sex", "age_years", "weight_kg", "activity")
        guessing.guessed("people", str(number), *columns)
    return _bare(guessing, name, elevation, year_start, nursery, people)


def _bare(
    guessing: _Guessing,
    name: str,
    elevation_m: float,
    year_start: MonthDay,
    nursery: Nursery,
    people: tuple[Person, ...],
) -> Holding:
    answers, place = guessing.answers, guessing.answers.place
    holding = Holding(
        site=Site(
            name or UNNAMED,
            place.latitude_deg,
            place.longitude_deg,
            elevation_m,
            RememberedClimate(
                answers.last_frost,
                answers.first_frost,
                answers.coldest_night_c,
                wet_months=answers.wet_months,
                no_frost=answers.no_frost,
            ),
        ),
        as_of=answers.as_of,
        weeks=answers.weeks,
        units=answers.units,
        people=people,
        nursery=nursery,
        limits=Limits(hours_per_week=answers.hours_per_week),
        year_start=year_start,
    )
    _, wrong = check_settings(settings_of(holding), SETTINGS_FILE, lambda path: None)
    for problem in wrong:
        column = re.sub(
            r"^(site\.(?=name)|remembered\.|limits\.|plan\.|reading\.)", "", problem.column or ""
        )
        column = re.sub(r"^site\.", "place.", column)
        guessing.problems.append(replace(problem, file="answers", column=column))
    return holding


def _people(count: int, usual: Sequence[tuple[str, float, float]]) -> tuple[Person, ...]:
    kinds = [usual[number % len(usual)] for number in range(count)]
    return tuple(Person("", sex, age, weight, _ACTIVITY) for sex, age, weight in kinds)  # type: ignore[arg-type]


def _beds(guessing: _Guessing) -> tuple[Bed, ...]:
    """The beds by group, with keys, laid out to be drawn."""
    schema = table_schema("beds")
    groups: list[list[Bed]] = []
    made: dict[str, int] = {}
    for number, alike in enumerate(guessing.answers.beds, 1):
        before = len(guessing.problems)
        if not 1 <= alike.count <= MOST_BEDS:
            expected = f"a whole number from 1 up to {MOST_BEDS}"
            guessing.wrong(f"beds.{number}.count", alike.count, expected)
        for column in ("length_m", "width_m"):
            field, value = schema.field(column), getattr(alike, column)
            if not (field.low or 0.0) <= value <= (field.high or 0.0):
                expected = f"a number from {field.low:g} up to {field.high:g} m"
                guessing.wrong(f"beds.{number}.{column}", f"{value:g}", expected)
        for column in ("light", "soil"):
            value, choices = getattr(alike, column), schema.field(column).choices
            if value is not None and value not in choices:
                expected = f"one of {', '.join(choices)}"
                guessing.wrong(f"beds.{number}.{column}", value, expected)
        if len(guessing.problems) > before:
            continue
        stem = guessing.words(alike.stem, f"beds.{number}.stem") or "b"
        first = made.get(stem, 0) + 1
        made[stem] = first + alike.count - 1
        groups.append(
            [
                Bed(
                    f"{stem}{each}",
                    float(alike.length_m),
                    float(alike.width_m),
                    alike.light or "full sun",
                    alike.soil or "unknown",
                )
                for each in range(first, made[stem] + 1)
            ]
        )
        for bed in groups[-1]:
            guessing.guessed("beds", bed.key, *(() if alike.light else ("light",)), "x_m", "y_m")
    keys = [bed.key for group in groups for bed in group]
    for key in sorted({key for key in keys if keys.count(key) > 1}) if len(groups) > 1 else ():
        guessing.wrong("beds", key, "stems that give each bed a name of its own")
    if len(keys) > MOST_BEDS:
        guessing.wrong("beds", len(keys), f"at most {MOST_BEDS} beds")
    return laid_out(groups)


def _water(guessing: _Guessing) -> tuple[WaterSource, ...]:
    """A source of each kind that is named, called by it; nothing is known of what is in it."""
    kinds = table_schema("water_sources").field("kind").choices
    for one in guessing.answers.water:
        if one not in kinds:
            guessing.wrong("water", one, f"one of {', '.join(kinds)}")
    return tuple(WaterSource(kind, kind) for kind in dict.fromkeys(guessing.answers.water))


def _lots(guessing: _Guessing) -> tuple[Lot, ...]:
    lots: list[Lot] = []
    taken: set[str] = set()
    for number, held in enumerate(guessing.answers.seeds, 1):
        crop = guessing.crop(held.crop, f"seeds.{number}.crop")
        if held.year is not None and not 1900 <= held.year <= guessing.answers.as_of.year:
            expected = f"the year of its harvest, up to {guessing.answers.as_of.year}"
            guessing.wrong(f"seeds.{number}.year", held.year, expected)
        if crop is None:
            continue
        variety = guessing.words(held.variety, f"seeds.{number}.variety")
        said = (crop.common_name.lower(), variety, "" if held.year is None else str(held.year))
        key = _own_key(" ".join(part for part in said if part).replace(";", ","), taken)
        kind = _KINDS.get(crop.fact("sow_method").split("/")[0], "seed")
        unit = "g" if kind == "seed" else "pieces"
        lots.append(Lot(key, crop.key, variety, kind, None, unit, held.year, None))  # type: ignore[arg-type]
        guessing.guessed("lots", key, "kind")
    return tuple(lots)


def _plantings(
    guessing: _Guessing, beds: Sequence[Bed], warmth: Warmth | None
) -> tuple[HandPlanting, ...]:
    """What stands, each in its share of its bed; where no bed is told, in the emptiest."""
    by_key = {bed.key: bed for bed in beds}
    found: list[tuple[Crop, Bed, Standing, bool]] = []
    count: dict[str, int] = dict.fromkeys(by_key, 0)
    for number, one in enumerate(guessing.answers.standing, 1):
        crop = guessing.crop(one.crop, f"standing.{number}.crop")
        bed = _bed(guessing, one.bed, beds, by_key, number)
        _since(guessing, one.since, number)
        told = one.bed != ""
        if not told and beds:
            bed = min(beds, key=lambda bed: count[bed.key])
        if crop is not None and bed is not None:
            count[bed.key] += 1
            found.append((crop, bed, one, told))
    if guessing.problems or warmth is None:
        return ()
    rows: list[HandPlanting] = []
    taken: set[str] = set()
    placed: dict[str, int] = {}
    for crop, bed, one, told in found:
        key = _own_key(f"{crop.common_name.lower()} {bed.key}", taken)
        length = max(bed.length_m / count[bed.key], LEAST_LENGTH_M)
        start = min(placed.get(bed.key, 0) * length, bed.length_m - length)
        placed[bed.key] = placed.get(bed.key, 0) + 1
        columns = ["start_m", "length_m"] if told else ["bed", "start_m", "length_m"]
        if one.since is None:
            days = round(_SHARE_OF_GROWTH * crop.value("days_to_first_harvest", 90.0))
            since = warmth.likely_start(crop, days)
        else:
            since = last_such_day(one.since, guessing.answers.as_of)
        guessing.guessed("plantings", key, *columns, "ground_from")
        rows.append(
            HandPlanting(key, "stands", crop.key, "", bed.key, None, since, None, start, length)
        )
    return tuple(rows)


def _bed(
    guessing: _Guessing,
    told: int | str,
    beds: Sequence[Bed],
    by_key: dict[str, Bed],
    number: int,
) -> Bed | None:
    column = f"standing.{number}.bed"
    if not beds:
        if not guessing.answers.beds:
            guessing.wrong(column, told, "beds for it to stand in, told before")
        return None
    if isinstance(told, int):
        if 1 <= told <= len(beds):
            return beds[told - 1]
        guessing.wrong(column, told, f"the number of a bed, from 1 up to {len(beds)}")
    elif told and told not in by_key:
        guessing.wrong(column, told, f"one of {', '.join(list(by_key)[:12])}")
    return by_key.get(told) if isinstance(told, str) else None


def _since(guessing: _Guessing, since: MonthDay | None, number: int) -> None:
    if since is not None:
        try:
            date(2000, *since)
        except (ValueError, TypeError):
            shown = "-".join(map(str, since))
            guessing.wrong(f"standing.{number}.since", shown, "a month and a day that it has")


def last_such_day(month_day: MonthDay, as_of: date) -> date:
    """The last day of that month and number up to `as_of`; 29 February is the 28th where not."""
    for year in (as_of.year, as_of.year - 1):
        try:
            day = date(year, *month_day)
        except ValueError:
            day = date(year, 2, 28)
        if day <= as_of:
            return day
    raise AssertionError("a day of last year lies before this one")


def _own_key(stem: str, taken: set[str]) -> str:
    key, count = stem, 1
    while key in taken:
        count += 1
        key = f"{stem} {count}"
    taken.add(key)
    return key
