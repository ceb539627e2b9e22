"""Checks of a plan against the weather: frost, heat, cold soil, seasons too short."""

from collections.abc import Iterator
from datetime import date, timedelta

from perennate.catalogue.model import Crop
from perennate.planning.bed_chain import stands_from
from perennate.planning.checks.case import ASSUMED, CATALOGUE, OWN, Case, finding, named
from perennate.planning.nights import (
    chance_of_hot_spell,
    chance_of_night,
    last_cold_night,
)
from perennate.planning.offers import SET_SHOOTS_DAYS
from perennate.planning.plan import Finding, Gravity, PlannedPlanting
from perennate.weather.climate import day_index

YOUNG_DAYS = 42
"""Frost in the first six weeks counts as a frost risk, later as a season too short."""
SEEDLING_DAYS = 21
MIND_CHANCE, GRAVE_CHANCE = 0.15, 0.5
HOT_CHANCE = 0.3
HOT_DAYS = 3
FLEECE_K = 1.1
"""What fleece holds off on a still night at the least (Whiting and others, CMG GardenNotes 722,
Colorado State University: 1.1 to 2.2)."""
SOIL_SLACK_K = 1.0


def _gravity(chance: float) -> Gravity:
    return "grave" if chance >= GRAVE_CHANCE else "mind"


def _young(planting: PlannedPlanting) -> tuple[date, date]:
    """From standing in the open up to six weeks on, or to the first picking."""
    start = stands_from(planting)
    start += timedelta({"nursery": 0, "direct": 10, "set": SET_SHOOTS_DAYS}[planting.route])
    end = start + timedelta(YOUNG_DAYS)
    return start, min(end, planting.first_harvest or end)


def frost_risk(case: Case) -> Iterator[Finding]:
    """Young plants in nights that kill them; a cover among the jobs counts with its least."""
    covered = {job.planting for job in case.plan.jobs if job.kind == "cover"}
    for planting, crop in case.chosen:
        if not planting.bed:
            continue
        stage = "seedling" if planting.route != "nursery" else "vegetative"
        kill = crop.figure(f"kill_{stage}") or crop.figure("kill_vegetative")
        if kill is None:
            yield finding("frost.unknown", "note", [planting.key], CATALOGUE, **named(planting))
            continue
        start, end = _young(planting)
        shelter = FLEECE_K if planting.key in covered else 0.0
        chance = chance_of_night(case.climate, start, end, kill.value - shelter)
        if chance > MIND_CHANCE:
            safe = last_cold_night(
                case.climate, start, start + timedelta(120), kill.value, MIND_CHANCE
            )
            yield finding(
                "frost.risk",
                _gravity(chance),
                [planting.key],
                kill.source,
                chance=chance,
                kill=kill.value,
                first=start,
                safe=safe or start,
                **named(planting),
            )


def season_too_short(case: Case) -> Iterator[Finding]:
    """Killed before half of the picking is in hand, in too many years."""
    for planting, crop in case.chosen:
        if planting.first_harvest is None or not planting.bed:
            continue
        start = _young(planting)[1]
        last = planting.last_harvest or planting.first_harvest
        middle = planting.first_harvest + (last - planting.first_harvest) / 2
        kill = crop.figure("kill_vegetative")
        ripe = crop.figure("kill_mature") or kill
        if kill is None or ripe is None:
            continue
        chance = max(
            chance_of_night(case.climate, start, planting.first_harvest, kill.value),
            chance_of_night(case.climate, planting.first_harvest, middle, ripe.value),
        )
        if chance > MIND_CHANCE:
            yield finding(
                "season.short",
                _gravity(chance),
                [planting.key],
                ripe.source,
                chance=chance,
                kill=min(kill.value, ripe.value),
                middle=middle,
                first=planting.first_harvest,
                **named(planting),
            )


def beyond_the_plan(case: Case) -> Iterator[Finding]:
    """Picked only after the plan ends: its harvest counts for nothing in this plan."""
    for planting, _ in case.chosen:
        if planting.first_harvest is not None and planting.first_harvest >= case.end:
            yield finding(
                "season.beyond",
                "mind",
                [planting.key],
                ASSUMED,
                first=planting.first_harvest,
                end=case.end,
                **named(planting),
            )


def heat_risk(case: Case) -> Iterator[Finding]:
    """Hot spells from halfway to the first picking up to its end."""
    for planting, crop in case.chosen:
        limit = crop.figure("heat_day")
        if limit is None or planting.first_harvest is None or not planting.bed:
            continue
        start = stands_from(planting)
        half = start + (planting.first_harvest - start) / 2
        chance = chance_of_hot_spell(
            case.climate, half, planting.first_harvest, limit.value, HOT_DAYS
        )
        if chance > HOT_CHANCE:
            yield finding(
                "heat.risk",
                "mind",
                [planting.key],
                limit.source,
                chance=chance,
                limit=limit.value,
                days=HOT_DAYS,
                first=half,
                last=planting.first_harvest,
                effect=crop.fact("heat_effect") or "not known",
                **named(planting),
            )


def cold_soil(case: Case) -> Iterator[Finding]:
    """Sown in the bed while the soil, on the mean of the years, is colder than the seed needs."""
    for planting, crop in case.chosen:
        least = crop.figure("soil_temp_sow_min")
        if planting.route == "nursery" or least is None or not planting.bed:
            continue
        soil = _soil(case, planting.sow)
        if soil < least.value - SOIL_SLACK_K:
            yield finding(
                "soil.cold",
                "grave" if soil < least.value - 4 else "mind",
                [planting.key],
                least.source,
                soil=soil,
                least=least.value,
                sow=planting.sow,
                warm=_warm_from(case, crop, planting.sow, least.value),
                **named(planting),
            )


def _soil(case: Case, day: date) -> float:
    return float(case.soil[day_index(day)])


def _warm_from(case: Case, crop: Crop, day: date, least: float) -> date:
    for later in range(1, 300):
        if _soil(case, day + timedelta(later)) >= least:
            return day + timedelta(later)
    return day


def late_start(case: Case) -> Iterator[Finding]:
    """The first step of a planting that is not yet begun lies before the plan's first day."""
    for planting, _ in case.chosen:
        if planting.sow < case.plan.start:
            yield finding(
                "chain.late",
                "mind",
                [planting.key],
                OWN,
                late=(case.plan.start - planting.sow).days,
                sow=planting.sow,
                start=case.plan.start,
                **named(planting),
            )
