"""Checks of what is eaten: hazards, waits after raw manure, ceilings, and aims not met."""

from collections.abc import Iterator
from datetime import timedelta

from perennate.catalogue.crop_care import care_of
from perennate.catalogue.model import Crop, Hazard
from perennate.planning.checks.case import ASSUMED, OWN, Case, finding, named
from perennate.planning.eating import barred_as_food, most_per_week
from perennate.planning.plan import Finding, Gravity

FOOD_AIMS = ("food", "household")
NOT_EATEN = ("cover", "insectary")
UNSAFE = (
    "raw_manure",
    "slurry",
    "bought_manure",
    "manure_unknown",
    "compost_tea_fed",
    "compost_tea_unknown",
    "compost_unfinished",
    "human_waste",
    "pet_waste",
)
UNSAFE_BY_COMMON_NAME = {
    "manure": "manure_unknown",
    "fresh_manure": "raw_manure",
    "compost_tea": "compost_tea_unknown",
    "tea": "compost_tea_unknown",
}
WAIT_TOUCHING, WAIT_OTHER = 120, 90
WAIT_SOURCE = "usda-nop"
OFF_THE_GROUND = ("ears in husk", "dry kernel", "dry grain", "sprouts")
HELD_UP = ("string", "stake", "poles", "trellis")
UNMET = 0.98
_ROUNDING = 1.001


def barred_food(case: Case) -> Iterator[Finding]:
    """A crop counted as food that may not be, or not before the grower does its processing."""
    food = {aim.key for aim in case.holding.aims if aim.kind in FOOD_AIMS}
    for planting, crop in case.known:
        hazard = barred_as_food(crop, case.holding)
        if hazard is None or not food & set(planting.aims):
            continue
        rule = "hazard.food" if hazard.forbids == "food" else "hazard.processing"
        yield finding(
            rule,
            "grave",
            [planting.key, *sorted(food & set(planting.aims))],
            hazard.source,
            hazard=hazard.hazard,
            parts=hazard.parts or "the plant",
            processing=hazard.processing or "none known",
            who=hazard.who_at_risk or "everyone",
            ask=hazard.ask or "a local adviser",
            **named(planting),
        )


def manure_wait(case: Case) -> Iterator[Finding]:
    """Picked sooner after raw manure or compost tea than food safety allows, or on ground that
    had what never goes on food."""
    for planting, crop in case.known:
        if planting.first_harvest is None or crop.role in NOT_EATEN:
            continue
        last = planting.last_harvest or planting.first_harvest
        for record in case.holding.records:
            material = _material(record.kind)
            if record.place != planting.bed or record.day > last or not material:
                continue
            hazard = _hazard(case, material, touches_soil(crop))
            if hazard is not None and hazard.forbids == "food":
                yield finding(
                    "hazard.material",
                    "grave",
                    [planting.key, planting.bed, record.key],
                    hazard.source,
                    what=record.kind,
                    day=record.day,
                    hazard=hazard.hazard,
                    ask=hazard.ask,
                    **named(planting),
                )
                continue
            wait = WAIT_TOUCHING if touches_soil(crop) else WAIT_OTHER
            wait = hazard.days if hazard is not None and hazard.days is not None else wait
            open_from = record.day + timedelta(wait)
            if planting.first_harvest < open_from:
                yield finding(
                    "manure.wait",
                    "grave",
                    [planting.key, planting.bed, record.key],
                    hazard.source if hazard is not None else WAIT_SOURCE,
                    what=record.kind,
                    day=record.day,
                    wait=wait,
                    open=open_from,
                    first=planting.first_harvest,
                    **named(planting),
                )


def _material(kind: str) -> str:
    """The catalogue's word for a material that a record names; empty for anything harmless.

    What is not said to be composted or free of feeds is taken as if it were not.
    """
    word = "_".join(kind.casefold().replace("-", " ").replace("_", " ").split())
    return word if word in UNSAFE else UNSAFE_BY_COMMON_NAME.get(word, "")


def _hazard(case: Case, material: str, touching: bool) -> Hazard | None:
    found = [row for row in case.catalogue.material_hazards if row.applies_to == material]
    parts = "edible part touches soil" if touching else "edible part off the soil"
    return next((row for row in found if row.forbids == "food" or row.parts == parts), None)


def touches_soil(crop: Crop) -> bool:
    """Whether the edible part may touch the soil; not known counts as touching."""
    held_up = any(care.kind in HELD_UP for care in care_of(crop.key))
    return not held_up and crop.fact("yield_form") not in OFF_THE_GROUND


def eating_ceiling(case: Case) -> Iterator[Finding]:
    """An aim that counts on more of a crop in a week than the household will eat."""
    for aim in case.plan.aims:
        crop = case.catalogue.crops.get(aim.crop)
        if aim.kind != "food" or crop is None:
            continue
        most = most_per_week(crop, case.holding)
        worst = max(aim.by_week, key=lambda amount: amount.kg, default=None)
        if most is None or worst is None or worst.kg <= most * _ROUNDING:
            continue
        figure = crop.figures["eaten_per_year"]
        yield finding(
            "eating.ceiling",
            "mind",
            [aim.aim],
            figure.source,
            aim=aim.aim,
            crop=aim.crop,
            kg=worst.kg,
            most=most,
            week=worst.week,
            people=len(case.holding.people),
        )


def aim_unmet(case: Case) -> Iterator[Finding]:
    """An aim that falls short; what holds it back stands with the aim."""
    for aim in case.plan.aims:
        if aim.met >= UNMET:
            continue
        grave: Gravity = "grave" if aim.priority == 1 and aim.met < 0.5 else "mind"
        yield finding(
            "aim.unmet",
            grave,
            [aim.aim],
            ASSUMED,
            aim=aim.aim,
            crop=aim.crop or "everything",
            met=aim.met,
        )


def aim_not_borne_out(case: Case) -> Iterator[Finding]:
    """An aim for a weight of one crop that claims more than the plantings of it bring."""
    for aim in case.plan.aims:
        if aim.kind != "food" or not aim.crop or aim.unit != "kg":
            continue
        brought = sum(
            amount.kg
            for planting in case.plan.plantings
            if planting.crop == aim.crop
            for amount in planting.by_week
        )
        if aim.expected.value > brought * _ROUNDING + 0.01:
            yield finding(
                "aim.not_borne_out",
                "grave",
                [aim.aim],
                OWN,
                aim=aim.aim,
                crop=aim.crop,
                expected=aim.expected.value,
                brought=brought,
            )
