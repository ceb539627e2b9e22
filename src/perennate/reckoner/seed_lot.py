"""What people type of a lot of seed: which plant, where it lay, what its tests showed."""

import re

from perennate.catalogue.model import Crop
from perennate.catalogue.seed_life import SeedLife, seed_life, seed_lives
from perennate.learning.lot_life import DatedTest, Kept
from perennate.reckoner.quantities import UnreadableError, read_quantity
from perennate.reckoner.registry import Answer, refuse
from perennate.reckoner.site import YesNo
from perennate.science.seed_life import GREATEST_MOISTURE, LEAST_TEMPERATURE
from perennate.science.seed_moisture import (
    GREATEST_HUMIDITY,
    GREATEST_WARMTH,
    LEAST_HUMIDITY,
    LEAST_WARMTH,
)
from perennate.terms import BadInput, Problem, text

USUAL_HUMIDITY = 50.0
"""Humidity of the air [%] in a heated or dry room, where none is told (assumed)."""
_TEST = re.compile(r"(?P<day>[^:]+):\s*(?P<good>\d+)\s*(?:/|of)\s*(?P<all>\d+)")


def plant_of(name: str, crop: Crop | None, species: str | None) -> SeedLife:
    """The row of a crop, or of a tree or bush by its scientific name. Raises BadInput."""
    if (crop is None) == (species is None):
        found = "nothing" if crop is None else "both"
        raise refuse(name, "crop", found, "a crop, or the scientific name of a tree in species")
    if crop is not None:
        found_crop = seed_life(crop.key)
        if found_crop is None:
            raise refuse(name, "crop", crop.key, "a crop of which it is known how its seed keeps")
        return found_crop
    wanted = " ".join((species or "").split()).casefold()
    woody = {key.casefold(): life for key, life in seed_lives().items() if life.woody}
    if wanted not in woody:
        known = ", ".join(life.plant for life in woody.values())
        raise refuse(name, "species", species or "nothing", f"one of {known}")
    return woody[wanted]


def kept_now(
    name: str,
    days: float,
    temperature: float,
    humidity: float | None,
    sealed: YesNo,
    moisture: float | None,
    lay_elsewhere: bool,
) -> Kept:
    """The place where the lot lies now. Raises BadInput."""
    if sealed == "yes":
        if humidity is None and moisture is None and not lay_elsewhere:
            humidity = USUAL_HUMIDITY
        return Kept(days, temperature, humidity, moisture, True)
    if temperature < 0:
        raise refuse(name, "sealed", "no", "yes below 0 degC: open seed draws water in a freezer")
    if humidity is None and moisture is None:
        humidity = USUAL_HUMIDITY
    return Kept(days, temperature, humidity, moisture)


def not_dried(life: SeedLife) -> Answer:
    """The one answer for seed that does not bear drying, or of which that is not known."""
    told = text(f"reckoner.seedlife.{life.storage}", plant=life.plant.replace("_", " "))
    cautions = (text("reckoner.seedlife.note", note=life.note),) if life.note else ()
    return Answer(
        "seed in store", "not reckoned", None, None, "", (told,), (life.storage_source,), cautions
    )


def lot_typed(
    name: str, before: str | None, tests: str | None
) -> tuple[list[Kept], list[DatedTest]]:
    """Earlier places and tests of a lot. Raises BadInput with every fault of both at once."""
    problems: list[Problem] = []
    found = _kept_before(name, before, problems), _tests_of(name, tests, problems)
    if problems:
        raise BadInput(problems)
    return found


def _kept_before(name: str, typed: str | None, problems: list[Problem]) -> list[Kept]:
    """Places as "2 years / 20 C / 50 %; 3 years / 4 C / sealed"."""
    places: list[Kept] = []
    for part in _parts(typed):
        try:
            places.append(_place(part, first=not places))
        except UnreadableError as unreadable:
            problems.append(Problem(name, None, "before", part, unreadable.expected))
    return places


def _place(part: str, first: bool) -> Kept:
    cells = [cell.strip() for cell in part.split("/")]
    if len(cells) != 3:
        raise UnreadableError('time / temperature / humidity, as "2 years / 20 C / 50 %"')
    days = read_quantity(cells[0], "days")
    temperature = read_quantity(cells[1], "degC")
    air = cells[2].casefold()
    if days < 0:
        raise UnreadableError("a time not below 0 days")
    if air.startswith("sealed"):
        rest = air.removeprefix("sealed").strip()
        if not rest and first:
            raise UnreadableError('the moisture of seed that was sealed first, as "sealed 6 %"')
        moisture = read_quantity(rest, "%") if rest else None
        if moisture is not None and not 1 <= moisture <= GREATEST_MOISTURE:
            raise UnreadableError(f"a moisture from 1 to {GREATEST_MOISTURE:g} %")
        if not LEAST_TEMPERATURE <= temperature <= GREATEST_WARMTH:
            raise UnreadableError("-20 to 40 degC")
        return Kept(days, temperature, None, moisture, True)
    humidity = read_quantity(air, "%")
    if not LEAST_HUMIDITY <= humidity <= GREATEST_HUMIDITY:
        raise UnreadableError("a humidity from 10 to 70 %")
    if not LEAST_WARMTH <= temperature <= GREATEST_WARMTH:
        raise UnreadableError("0 to 40 degC for seed that lies open; sealed otherwise")
    return Kept(days, temperature, humidity)


def _tests_of(name: str, typed: str | None, problems: list[Problem]) -> list[DatedTest]:
    """Tests by the lot's age, as "0 days: 48 of 50; 2 years: 40/50"."""
    tests: list[DatedTest] = []
    for part in _parts(typed):
        match = _TEST.fullmatch(part)
        expected = 'age: sprouted of tested, as "2 years: 40 of 50"'
        if match is None:
            problems.append(Problem(name, None, "tests", part, expected))
            continue
        good, all_ = int(match["good"]), int(match["all"])
        try:
            day = read_quantity(match["day"], "days")
        except UnreadableError as unreadable:
            problems.append(Problem(name, None, "tests", part, unreadable.expected))
            continue
        if day < 0 or all_ < 1 or good > all_:
            problems.append(Problem(name, None, "tests", part, "no more sprouts than seeds"))
            continue
        tests.append(DatedTest(day, good, all_))
    return tests


def _parts(typed: str | None) -> list[str]:
    return [part.strip() for part in (typed or "").split(";") if part.strip()]
