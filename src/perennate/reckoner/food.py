"""How much ground a share of people's food would take."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from perennate.catalogue.model import Catalogue, Crop
from perennate.reckoner.people import Eater, read_people
from perennate.reckoner.quantities import UnreadableError, read_number
from perennate.reckoner.registry import Answer, Input, crop_expected, crop_named, reckoner
from perennate.science.nutrients import VITAMIN_A_RE_PER_RAE, daily_intakes
from perennate.science.yields import lognormal_quantile, lognormal_sum
from perennate.terms import BadInput, Problem, Text, text

NAME = "ground-to-feed"
DAYS = 365.0
SIGMA_GARDEN, SIGMA_CROP, SIGMA_YEAR = 0.65, 0.55, 0.3
"""Where the catalogue has no sigma for a crop (assumed, as for a crop without measured yields)."""

USUAL_DIET = (
    "wheat_winter 62.2; maize_grain 19; potato 8; chickpea 2.6; pea_dry 2; lentil 2; "
    "tomato 1.3; onion_bulb 1.2; cabbage 0.8; carrot 0.6; kale 0.3"
)
INPUTS = (
    Input("people", "text", default="female 35 62 moderate; male 35 72 moderate"),
    Input("share", "float", "%", 1, 100, default="100"),
    Input("diet", "text", default=USUAL_DIET),
    Input("yields", "choice", default="usual", choices=("usual", "low")),
    Input("lost", "float", "%", 0, 90, default="20"),
    Input("paths", "float", "%", 0, 80, default="25"),
    Input("processed", "text", optional=True),
)


_NUTRIENTS = {
    "calcium": "calcium",
    "iron": "iron",
    "vitamin_a": "vitamin A",
    "vitamin_c": "vitamin C",
}


@dataclass(frozen=True, slots=True)
class Dish:
    """One crop's part: energy wanted and reached per year, kilograms grown and eaten, ground."""

    crop: Crop
    wanted_kcal: float
    eaten_kcal: float
    eaten_kg: float
    area_m2: float
    capped_kg: float | None


@reckoner(NAME, INPUTS)
def ground_to_feed(
    people: str,
    share: float,
    diet: str,
    yields: Literal["usual", "low"],
    lost: float,
    paths: float,
    processed: str | None,
    catalogue: Catalogue,
) -> list[Answer]:
    """Beds for a share of the energy of some people, and what that food does not cover.

    No crop is counted beyond the most that people eat of it; what is cut off so is not covered.
    """
    eaters = read_people(NAME, people)
    mix = _read_diet(diet, catalogue, _named(processed, catalogue))
    need = sum(eater.energy_kcal for eater in eaters)
    need_low, need_high = (sum(eater.energy_range[end] for eater in eaters) for end in (0, 1))
    working = [text("reckoner.food.person", **eater.shown()) for eater in eaters]
    working.append(text("reckoner.food.need", people=len(eaters), kcal=need))
    working.append(text("reckoner.food.share", share=share / 100, kcal=need * share / 100))
    dishes = [
        _dish(crop, part * need * DAYS * share / 100, len(eaters), lost / 100, yields)
        for crop, part in mix
    ]
    working += [_told(dish) for dish in dishes]
    working.append(text("reckoner.food.lost", lost=lost / 100))
    median, sigma = lognormal_sum(
        [dish.area_m2 for dish in dishes], _covariance([dish.crop for dish in dishes])
    )
    area = sum(dish.area_m2 for dish in dishes)
    low = float(lognormal_quantile(median, sigma, 0.1)) * need_low / need
    high = float(lognormal_quantile(median, sigma, 0.9)) * need_high / need
    working.append(text("reckoner.food.beds", area=area, low=low, high=high, yields=yields))
    sources = (
        "fao-who-unu-2004",
        "lognormal",
        *(source for dish in dishes for source in _sources(dish.crop)),
    )
    cautions = tuple(_cautions(eaters, dishes))
    answers = [
        Answer(
            "beds", area, min(low, area), max(high, area), "m2", tuple(working), sources, cautions
        ),
        _with_paths(area, low, high, paths / 100),
    ]
    answers += _covered(eaters, dishes, need)
    answers += [
        Answer(
            f"beds of {dish.crop.key}",
            dish.area_m2,
            *_spread(dish),
            "m2",
            (_told(dish),),
            tuple(_sources(dish.crop)),
        )
        for dish in dishes
    ]
    return answers


def _read_diet(
    diet: str, catalogue: Catalogue, processed: frozenset[str]
) -> list[tuple[Crop, float]]:
    """Crops with their parts of the energy, adding to 1; BadInput with every problem."""
    problems, found = [], []
    for piece in re.split(r"\s*[;\n]\s*", diet.strip().strip(";")):
        match = re.fullmatch(r"(.+?)\s*[ =:]\s*([\d.,]+)\s*%?", piece)
        crop = crop_named(match[1], catalogue) if match is not None else None
        if match is None:
            problems.append(Problem(NAME, None, "diet", piece, 'a crop and a part, as "potato 30"'))
            continue
        if crop is None:
            problems.append(
                Problem(NAME, None, "diet", match[1], crop_expected(match[1], catalogue))
            )
            continue
        try:
            part = read_number(match[2])
        except UnreadableError as wrong:
            problems.append(Problem(NAME, None, "diet", piece, wrong.expected))
            continue
        problems += _hindrances(crop, processed)
        if part > 0:
            found.append((crop, part))
    total = sum(part for _, part in found)
    if not problems and total <= 0:
        problems.append(Problem(NAME, None, "diet", diet, "a part above 0 of some crop"))
    if problems:
        raise BadInput(problems)
    return [(crop, part / total) for crop, part in found]


def _hindrances(crop: Crop, processed: frozenset[str]) -> list[Problem]:
    problems = []
    for name in ("yield", "edible_fraction", "energy", "protein"):
        figure = crop.figure(name)
        if figure is None or (name != "protein" and figure.value <= 0):
            problems.append(Problem(NAME, None, "diet", crop.key, f"a crop whose {name} is known"))
    for hazard in crop.hazards:
        if hazard.forbids == "food":
            problems.append(Problem(NAME, None, "diet", crop.key, f"food; {hazard.hazard}"))
        elif hazard.forbids == "food until processed" and crop.key not in processed:
            problems.append(
                Problem(
                    NAME,
                    None,
                    "diet",
                    crop.key,
                    f"food, once you do this and say processed={crop.key}: {hazard.processing}",
                )
            )
    return problems


def _named(processed: str | None, catalogue: Catalogue) -> frozenset[str]:
    if processed is None:
        return frozenset()
    names = [name for name in re.split(r"\s*;\s*", processed.strip()) if name]
    crops = {name: crop_named(name, catalogue) for name in names}
    unknown = [name for name, crop in crops.items() if crop is None]
    if unknown:
        raise BadInput(
            Problem(NAME, None, "processed", name, crop_expected(name, catalogue))
            for name in unknown
        )
    return frozenset(crop.key for crop in crops.values() if crop is not None)


def _dish(
    crop: Crop, wanted_kcal: float, people: int, lost: float, yields: Literal["usual", "low"]
) -> Dish:
    kcal_per_kg = crop.value("energy") * 10
    most = crop.figure("eaten_per_year")
    # What people eat a year is counted as it comes from the ground, peel and all.
    eaten_kg = wanted_kcal / (kcal_per_kg * crop.value("edible_fraction"))
    ceiling = most.high * people if most is not None else None
    capped = ceiling if ceiling is not None and eaten_kg > ceiling else None
    if capped is not None:
        eaten_kg = capped
    figure = crop.figures["yield"]
    per_m2 = figure.value if yields == "usual" else figure.low
    return Dish(
        crop,
        wanted_kcal,
        eaten_kg * kcal_per_kg * crop.value("edible_fraction"),
        eaten_kg,
        eaten_kg / (1 - lost) / per_m2,
        capped,
    )


def _covariance(crops: list[Crop]) -> np.ndarray:
    garden = np.array([crop.value("yield_sigma_garden", SIGMA_GARDEN) for crop in crops])
    own = np.array(
        [
            np.hypot(
                crop.value("yield_sigma_crop", SIGMA_CROP),
                crop.value("yield_sigma_year", SIGMA_YEAR),
            )
            for crop in crops
        ]
    )
    return np.outer(garden, garden) + np.diag(own**2)


def _spread(dish: Dish) -> tuple[float, float]:
    figure = dish.crop.figures["yield"]
    grown = dish.area_m2 * figure.value
    return min(dish.area_m2, grown / figure.high), max(dish.area_m2, grown / figure.low)


def _told(dish: Dish) -> Text:
    if dish.capped_kg is not None:
        return text(
            "reckoner.food.capped",
            crop=dish.crop.key,
            kg=dish.eaten_kg,
            wanted=dish.wanted_kcal,
            kcal=dish.eaten_kcal,
            area=dish.area_m2,
        )
    return text(
        "reckoner.food.dish",
        crop=dish.crop.key,
        kg=dish.eaten_kg,
        kcal=dish.eaten_kcal,
        area=dish.area_m2,
    )


def _with_paths(area: float, low: float, high: float, paths: float) -> Answer:
    bare = 1 - paths
    told = text("reckoner.food.paths", paths=paths, area=area / bare)
    return Answer(
        "ground with paths",
        area / bare,
        min(low, area) / bare,
        max(high, area) / bare,
        "m2",
        (told,),
        ("assumed",),
    )


def _covered(eaters: list[Eater], dishes: list[Dish], need: float) -> list[Answer]:
    """Shares of energy, protein, minerals and vitamins that the food brings, 1 = all of them."""
    per_day = sum(dish.eaten_kcal for dish in dishes) / DAYS
    protein = _per_day(dishes, "protein") or 0.0
    safe = sum(eater.protein_g for eater in eaters)
    answers = [
        Answer(
            "energy covered",
            per_day / need,
            None,
            None,
            "1",
            (text("reckoner.food.energy_covered", kcal=per_day, need=need),),
            ("fao-who-unu-2004",),
        ),
        Answer(
            "protein covered",
            protein / safe,
            None,
            None,
            "1",
            (text("reckoner.food.protein_covered", grams=protein, safe=safe),),
            ("who-fao-unu-2007",),
        ),
    ]
    intakes = [daily_intakes(eater.sex, eater.age_years) for eater in eaters]
    known = [intake for intake in intakes if intake is not None]
    if len(known) < len(eaters):
        return answers
    for name in _NUTRIENTS:
        brought = _per_day(dishes, name)
        if brought is None:
            continue
        if name == "vitamin_a":
            brought *= VITAMIN_A_RE_PER_RAE
        wanted = sum(getattr(intake, name) for intake in known)
        told = text(
            "reckoner.food.intake",
            nutrient=_NUTRIENTS[name],
            brought=brought,
            wanted=wanted,
            unit="ug" if name == "vitamin_a" else "mg",
        )
        answers.append(
            Answer(
                f"{_NUTRIENTS[name]} covered",
                brought / wanted,
                None,
                None,
                "1",
                (told,),
                ("fao-who-2001",),
            )
        )
    return answers


def _per_day(dishes: list[Dish], name: str) -> float | None:
    """Amount of a nutrient a day in its own unit; None when any crop's content is not known."""
    total = 0.0
    for dish in dishes:
        figure = dish.crop.figure(name)
        if figure is None:
            return None
        total += dish.eaten_kg * dish.crop.value("edible_fraction") * 10 * figure.value / DAYS
    return total


def _sources(crop: Crop) -> list[str]:
    names = ("yield", "energy", "eaten_per_year")
    return [crop.figures[name].source for name in names if name in crop.figures]


def _cautions(eaters: list[Eater], dishes: list[Dish]) -> list[Text]:
    found = [
        text("reckoner.food.not_covered"),
        text("reckoner.food.raw_vitamins"),
        text("reckoner.food.groups_not_persons"),
        text("reckoner.food.first_garden"),
    ]
    capped = [dish.crop.key for dish in dishes if dish.capped_kg is not None]
    found += [text("reckoner.food.ceiling", crop=key) for key in capped]
    if any(eater.age_years < 3 for eater in eaters):
        found.append(text("reckoner.food.small_children"))
    if any(daily_intakes(eater.sex, eater.age_years) is None for eater in eaters):
        found.append(text("reckoner.food.no_intakes"))
    told: Mapping[tuple[str, str], Text] = {
        (dish.crop.key, hazard.key): text(
            "reckoner.food.hazard",
            crop=dish.crop.key,
            hazard=hazard.hazard,
            processing=hazard.processing or "-",
        )
        for dish in dishes
        for hazard in dish.crop.hazards
    }
    return [*found, *told.values()]
