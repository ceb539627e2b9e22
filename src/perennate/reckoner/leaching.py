"""How much more water keeps salt away from the roots, and when rain does it for nothing."""

import numpy as np

from perennate.catalogue.model import Crop
from perennate.catalogue.salt_tolerance import SaltTolerance, salt_tolerance
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.reckoner.site import YesNo
from perennate.reckoner.water_report import read_analysis
from perennate.science.salinity import (
    ece_at_loss,
    free_leaching_share,
    leaching_requirement,
    leaching_requirement_often_watered,
    relative_yield,
    share_of_second,
    water_to_apply,
)
from perennate.science.salt_balance import GRAMS_PER_EC_MM, SaltBalance, salt_balance
from perennate.terms import Text, text

NAME = "leaching"
INPUTS = (
    Input("ec", "text", "dS/m"),
    Input("need", "float", "mm", 1, 3000),
    Input("crop", "crop", optional=True),
    Input("ece", "float", "dS/m", 0.1, 20, optional=True),
    Input("loss", "float", "%", 0, 50, default="0"),
    Input("often", "choice", default="no", choices=("no", "yes")),
    Input("efficiency", "float", "%", 10, 100, default="90"),
    Input("surplus", "float", "mm", 0, 5000, default="0"),
    Input("held", "float", "mm", 10, 1000, default="100"),
    Input("second_ec", "text", "dS/m", optional=True),
)
YEARS = (1, 5, 20)
_STEPS = 6
"""Steps of the growing season, and of the rest of the year."""
_START_ECE = 0.5


@reckoner(NAME, INPUTS)
def leaching(
    ec: str,
    need: float,
    crop: Crop | None,
    ece: float | None,
    loss: float,
    often: YesNo,
    efficiency: float,
    surplus: float,
    held: float,
    second_ec: str | None,
) -> list[Answer]:
    """Leaching requirement, water for the season, what rain washes out, salt through the years.

    Raises BadInput where neither a crop with a known tolerance nor a wanted ECe is given.
    """
    salt = _conductivity("ec", ec)
    second = None if second_ec is None else _conductivity("second_ec", second_ec)
    tolerance = _tolerance(crop, ece)
    wanted, from_where = _wanted(crop, ece, loss, tolerance)
    answers = _season(salt, need, wanted, from_where, tolerance, often, efficiency, surplus)
    answers += _years(salt, need, surplus, held, tolerance)
    if second is not None:
        answers.append(_mixture(salt, second, wanted))
    return answers


def _conductivity(column: str, typed: str) -> float:
    found = read_analysis({"ec": typed}, NAME).ec_ds_m
    if found is None:
        raise refuse(NAME, column, typed, "a conductivity, such as 1.2 dS/m")
    return found


def _tolerance(crop: Crop | None, ece: float | None) -> SaltTolerance | None:
    found = None if crop is None else salt_tolerance(crop.key)
    if crop is not None and ece is None and (found is None or found.threshold is None):
        expected = f"the ECe to keep to in ece as well: what {crop.common_name} stands is unknown"
        raise refuse(NAME, "crop", crop.key, expected)
    if crop is None and ece is None:
        raise refuse(NAME, "crop", "nothing", "a crop, or the ECe to keep to in ece")
    return found


def _wanted(
    crop: Crop | None, ece: float | None, loss: float, tolerance: SaltTolerance | None
) -> tuple[float, Text]:
    if ece is not None:
        return ece, text("reckoner.leach.given", ece=ece)
    if crop is None or tolerance is None or tolerance.threshold is None or tolerance.slope is None:
        raise refuse(NAME, "crop", "nothing", "a crop, or the ECe to keep to in ece")
    found = float(ece_at_loss(loss, tolerance.threshold.value, tolerance.slope.value))
    return found, text("reckoner.leach.tolerance", crop=crop.key, ece=found, loss=loss)


def _season(
    salt: float,
    need: float,
    wanted: float,
    from_where: Text,
    tolerance: SaltTolerance | None,
    often: YesNo,
    efficiency: float,
    surplus: float,
) -> list[Answer]:
    sources = ("rhoades-1974", *([tolerance.source] if tolerance is not None else []))
    if often == "yes" and tolerance is not None and tolerance.threshold and tolerance.slope:
        at_none = float(ece_at_loss(100.0, tolerance.threshold.value, tolerance.slope.value))
        share = float(leaching_requirement_often_watered(salt, at_none))
        way = text("reckoner.leach.often", ece=at_none)
    else:
        share = float(leaching_requirement(salt, wanted))
        way = text("reckoner.leach.seldom", ec=salt)
    working = (from_where, way)
    cautions = (text("reckoner.leach.inefficient"),)
    if np.isnan(share):
        no_fit = text("reckoner.leach.beyond" if salt >= 5.0 * wanted else "reckoner.leach.no_fit")
        return [
            Answer(
                "leaching requirement", "does not fit", None, None, "", (*working, no_fit), sources
            )
        ]
    net = float(water_to_apply(need, share))
    gross = float(water_to_apply(need, share, efficiency / 100.0))
    leaches = net - need
    free = float(free_leaching_share(leaches, surplus))
    washed = text("reckoner.leach.washed", needed=leaches, surplus=surplus)
    more = text("reckoner.leach.more", needed=leaches * (1.0 - free))
    return [
        Answer("leaching requirement", share * 100.0, None, None, "%", working, sources),
        Answer("water for the season with leaching, net", net, None, None, "mm", working, sources),
        Answer(
            "water for the season with leaching, as given",
            gross,
            None,
            None,
            "mm",
            (text("reckoner.leach.efficiency", efficiency=efficiency),),
            sources,
            cautions,
        ),
        Answer(
            "leaching that rain does for nothing",
            free * 100.0,
            None,
            None,
            "%",
            (washed, more),
            ("fao29", "common-practice"),
        ),
    ]


def years_of_salt(salt: float, need: float, surplus: float, held: float, years: int) -> SaltBalance:
    """The salt of a bed that is given `need` a season and drains `surplus` of rain in the rest of
    each year [mm], in twelve steps a year."""
    season, rest = np.ones(_STEPS), np.zeros(_STEPS)
    given = np.tile(np.concatenate((season, rest)), years) * need / _STEPS
    rain = np.tile(np.concatenate((rest, season)), years) * surplus / _STEPS
    return salt_balance(given, salt, rain, rain, held, _START_ECE)


def _years(
    salt: float, need: float, surplus: float, held: float, tolerance: SaltTolerance | None
) -> list[Answer]:
    balance = years_of_salt(salt, need, surplus, held, max(YEARS))
    by_year = balance.ece.reshape(-1, 2 * _STEPS)[:, :_STEPS]
    grown = float(balance.stored[-1] - balance.start) * GRAMS_PER_EC_MM
    answers = []
    for year in YEARS:
        of_season = by_year[year - 1]
        mean = float(of_season.mean())
        working = [text("reckoner.leach.course", surplus=surplus, held=held)]
        if tolerance is not None and tolerance.threshold and tolerance.slope:
            share = relative_yield(mean, tolerance.threshold.value, tolerance.slope.value)
            working.append(text("reckoner.leach.yield", ece=mean, share=float(share)))
        if year == max(YEARS):
            settled = abs(by_year[-1].mean() - by_year[-2].mean()) <= 0.01 * by_year[-1].mean()
            working.append(
                text("reckoner.leach.settled" if settled else "reckoner.leach.climbs", grams=grown)
            )
        answers.append(
            Answer(
                f"salt in the soil (ECe), season {year}",
                mean,
                float(of_season.min()),
                float(of_season.max()),
                "dS/m",
                tuple(working),
                ("fao29",),
                (text("reckoner.leach.left_out"),),
            )
        )
    return answers


def _mixture(first: float, second: float, wanted: float) -> Answer:
    """Share of a second source that brings the water to what the crop stands without leaching
    beyond the usual: ECe over 1.5."""
    goal = wanted / 1.5
    share = float(share_of_second(first, second, goal))
    name = "second water in the mixture"
    if first <= goal:
        told = text("reckoner.leach.good_alone", ec=first, goal=goal)
        return Answer(name, 0.0, None, None, "%", (told,), ("fao29",))
    if np.isnan(share):
        told = text("reckoner.leach.no_mixture", goal=goal)
        return Answer(name, "none does it", None, None, "", (told,), ("fao29",))
    told = text("reckoner.leach.mixture", goal=goal, first=first, second=second)
    return Answer(name, share * 100.0, None, None, "%", (told,), ("fao29",))
