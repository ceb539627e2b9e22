"""How much of a lot of seed is alive after some time in store, and what better storing gains."""

from perennate.catalogue.model import Crop
from perennate.catalogue.seed_life import SeedLife
from perennate.learning.lot_life import Kept, LotLife, longest_days, lot_life
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.reckoner.seed_lot import kept_now, lot_typed, not_dried, plant_of
from perennate.reckoner.site import YesNo
from perennate.science.seed_life import (
    DAYS_PER_YEAR,
    Stay,
    deviate,
    longest_reckoned_years,
    sigma_days,
)
from perennate.science.seed_moisture import equilibrium_moisture
from perennate.science.viability_fit import USUAL_START, Prior
from perennate.terms import Text, text

NAME = "seed-life"
STATED_SPREAD = 0.35
"""Standard deviation of a start that is stated as a percentage alone, in probits (assumed)."""
REFRIGERATOR, FREEZER = 4.0, -18.0
DRY_AIR = 25.0
"""Humidity [%] that a jar with silica gel comes to (common practice)."""
ROOM_FROM = 10.0
MOULDS_FROM = 13.0
"""Moisture [%] above which seed that is shut in may heat and mould (common practice)."""
INPUTS = (
    Input("crop", "crop", optional=True),
    Input("species", "text", optional=True),
    Input("age", "float", "days", 0, 36500, default="2 years"),
    Input("temperature", "float", "degC", -20, 40, default="18"),
    Input("humidity", "float", "%", 10, 70, optional=True),
    Input("sealed", "choice", default="no", choices=("no", "yes")),
    Input("moisture", "float", "%", 1, 25, optional=True),
    Input("before", "text", optional=True),
    Input("start", "float", "%", 1, 99.9, optional=True),
    Input("tests", "text", optional=True),
    Input("ahead", "float", "days", 0, 36500, default="1 year"),
    Input("keep", "float", "%", 10, 99, default="85"),
)


@reckoner(NAME, INPUTS)
def seed_life_of(
    crop: Crop | None,
    species: str | None,
    age: float,
    temperature: float,
    humidity: float | None,
    sealed: YesNo,
    moisture: float | None,
    before: str | None,
    start: float | None,
    tests: str | None,
    ahead: float,
    keep: float,
) -> list[Answer]:
    """Germination now and later, when to test again and to grow it out, what other storing gains.

    Raises BadInput where neither the plant nor its moisture is known, and for places outside the
    limits of the equation.
    """
    life = plant_of(NAME, crop, species)
    if life.storage != "orthodox":
        return [not_dried(life)]
    places, shown = lot_typed(NAME, before, tests)
    now = kept_now(NAME, age, temperature, humidity, sealed, moisture, bool(places))
    prior = None
    if start is not None:
        prior = Prior(float(deviate(start / 100)), STATED_SPREAD)
    listed = None if crop is None else crop.figure("seed_store_years")
    years = None if listed is None else listed.value
    if years is None and (life.constants is None or life.oil is None):
        expected = "a crop of which it is known how fast its seed dies; test this one each year"
        raise refuse(NAME, "crop" if crop else "species", life.plant, expected)
    try:
        lot = lot_life(life, [*places, now], shown, prior, years)
    except ValueError as wrong:
        raise refuse(NAME, "temperature", _told_place(now), str(wrong)) from None
    sources = ["ellis-roberts-1980", "cromarty-1982"] if lot.stays else []
    if not lot.stays and listed is not None:
        sources.append(listed.source)
    if lot.stays and life.oil is not None:
        sources += [life.source, life.oil.source]
    sources.append("assumed")
    sources += ["probit-fit"] if shown else []
    said = (*_working(life, lot), *_of_tests(len(shown), start), *lot.told)
    cautions = _cautions(life, lot, now)
    on = sum(place.days for place in places) + age
    answers = [
        _share("germination now", lot, on, said, tuple(sources), cautions),
        _share("germination later", lot, on + ahead, (), tuple(sources), ()),
    ]
    answers += _dates(lot, on, now, keep, tuple(sources))
    if lot.stays and life.constants is not None:
        answers += _gains(life, lot.stays[-1])
    return answers


def _share(
    name: str,
    lot: LotLife,
    on: float,
    said: tuple[Text, ...],
    sources: tuple[str, ...],
    cautions: tuple[Text, ...],
) -> Answer:
    middle, low, high = lot.share_on(on)
    lost = text("reckoner.seedlife.lost", years=on / DAYS_PER_YEAR, probits=lot.lost_by(on))
    values = (middle * 100, low * 100, high * 100)
    return Answer(name, *values, "%", (*said, lost), sources, cautions)


def _dates(
    lot: LotLife, on: float, now: Kept, keep: float, sources: tuple[str, ...]
) -> list[Answer]:
    """Years from now until a test is due and until the lot must be grown out."""
    most = longest_days(now)
    found = [lot.day_of(keep / 100, quantile, of_start=True) for quantile in (0.5, 0.1, 0.9)]
    middle, soon, late = (max(0.0, min(day, most) - on) / DAYS_PER_YEAR for day in found)
    working = [text("reckoner.seedlife.keep", keep=keep / 100)]
    if middle == 0.0:
        working.append(text("reckoner.seedlife.below"))
    if max(found) > most:
        working.append(text("reckoner.seedlife.capped", years=most / DAYS_PER_YEAR))
    again = text("reckoner.seedlife.again")
    if soon == 0.0:
        again = text("reckoner.seedlife.again_now")
    return [
        Answer("test again within", soon, None, None, "years", (again,), sources),
        Answer("grow out within", middle, soon, late, "years", tuple(working), sources),
    ]


def _gains(life: SeedLife, stay: Stay) -> list[Answer]:
    """How many times as long the seed would live, kept otherwise from now on."""
    if life.constants is None:
        return []
    sigma = float(sigma_days(stay.moisture, stay.temperature, life.constants))
    oil = 0.0 if life.oil is None else life.oil.value
    dry = float(equilibrium_moisture(DRY_AIR, 20.0, oil))
    dry = max(min(dry, stay.moisture), life.constants.driest)
    others = [
        ("life in a refrigerator, sealed", stay.moisture, REFRIGERATOR),
        ("life when dried and sealed", dry, stay.temperature),
        ("life when dried, in a refrigerator", dry, REFRIGERATOR),
        ("life when dried, in a freezer", dry, FREEZER),
    ]
    answers = []
    seen = {(stay.moisture, stay.temperature)}
    for name, moisture, warmth in others:
        if warmth > stay.temperature or (moisture, warmth) in seen:
            continue
        seen.add((moisture, warmth))
        times = float(sigma_days(moisture, warmth, life.constants)) / sigma
        told = text(
            "reckoner.seedlife.gain",
            moisture=moisture,
            temperature=warmth,
            times=times,
            years=longest_reckoned_years(warmth),
        )
        cautions = (text("reckoner.seedlife.freezer"),) if warmth < 0 else ()
        cited = ("ellis-roberts-1980", life.source)
        answers.append(Answer(name, times, None, None, "times", (told,), cited, cautions))
    return answers


def _working(life: SeedLife, lot: LotLife) -> tuple[Text, ...]:
    if not lot.stays:
        return ()
    stay, sigma = lot.stays[-1], lot.sigmas[-1]
    whose = text("reckoner.seedlife.own", species=life.fitted_on, by=life.reference)
    if life.stands_for:
        whose = text(
            "reckoner.seedlife.proxy",
            stand_in_crop=life.stands_for,
            species=life.fitted_on,
            by=life.reference,
            why=life.note,
        )
    place = text(
        "reckoner.seedlife.sigma",
        moisture=stay.moisture,
        temperature=stay.temperature,
        days=sigma,
    )
    return (whose, place)


def _of_tests(tests: int, start: float | None) -> tuple[Text, ...]:
    begun = text("reckoner.seedlife.usual_start", share=0.95, deviate=USUAL_START)
    if start is not None:
        begun = text("reckoner.seedlife.stated_start", share=start / 100)
    if tests:
        return (begun, text("reckoner.seedlife.tests", tests=tests))
    return (begun, text("reckoner.seedlife.no_tests"))


def _cautions(life: SeedLife, lot: LotLife, now: Kept) -> tuple[Text, ...]:
    found = [text("reckoner.seedlife.no_promise")]
    if lot.stays and lot.stays[-1].moisture > MOULDS_FROM:
        found.append(text("reckoner.seedlife.moulds", moisture=lot.stays[-1].moisture))
    if lot.stays and now.temperature > ROOM_FROM and not now.sealed:
        found.append(text("reckoner.seedlife.rooms"))
    if life.note and not life.stands_for:
        found.append(text("reckoner.seedlife.note", note=life.note))
    return tuple(found)


def _told_place(now: Kept) -> str:
    air = "sealed" if now.sealed else f"{now.humidity:g} % humidity" if now.humidity else "open"
    return f"{now.temperature:g} degC, {air}"
