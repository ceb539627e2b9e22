"""The steps in the bed from preparing the ground to the last care before picking."""

from datetime import date

import numpy as np

from perennate.catalogue.crop_care import Care, care_of
from perennate.catalogue.model import Crop
from perennate.planning.go_rules import seed_cautions, sowing_rules
from perennate.planning.labour import Task
from perennate.planning.nights import chance_of_night, last_cold_night, stretch
from perennate.planning.nursery_chain import set_out_step
from perennate.planning.plan import PlannedPlanting
from perennate.planning.seed_counts import is_thinned, lot_of, seeds_in_bed, sets_to_plant
from perennate.planning.soil_care import dressing_mm
from perennate.planning.steps import Setting, Step, days, named, useful_delay
from perennate.terms import Text, text
from perennate.terms.text import Value
from perennate.weather.rules import COLDER_AT_LEAF_K

USUAL_EMERGENCE_DAYS = 10
"""Days to emerge where the crop has no thermal time; assumed."""
COVER_CHANCE = 0.05
"""Fleece is kept ready from this chance of a killing night on; assumed."""
STATION_CM = 40
"""From this spacing on seed is sown at stations, not in drills; memory."""
LARGE_SEED_PER_G = 20
CLOSEST_DRILLS_M = 0.15
"""Drills closer than this are not worked one by one but as bands; memory."""
FEED_AFTER_DAYS = 35
THREAD_DAYS = (10, 24, 45)
"""Days after emergence at which weeds are hoed at the thread stage; common practice, memory."""


def stands_from(planting: PlannedPlanting) -> date:
    """The day from which seed or plants are in the bed."""
    return planting.ground_from if planting.route == "nursery" else planting.sow


def emergence(planting: PlannedPlanting, crop: Crop, setting: Setting) -> date:
    """When a sowing in the bed shows: by thermal time at mean temperatures, 4 to 40 days.

    Planted-out plants and sets count from the day they are set.
    """
    if planting.route == "nursery":
        return planting.ground_from
    needed, base = crop.figure("emergence_thermal_time"), crop.figure("emergence_base")
    if needed is None or base is None or setting.mean is None:
        return planting.sow + days(USUAL_EMERGENCE_DAYS)
    warmth = setting.mean[stretch(planting.sow, planting.sow + days(40))]
    reached = np.flatnonzero(np.cumsum(np.maximum(warmth - base.value, 0.0)) >= needed.value)
    return planting.sow + days(min(max(int(reached[0]) + 1 if len(reached) else 40, 4), 40))


def ground_steps(planting: PlannedPlanting, crop: Crop, setting: Setting) -> list[Step]:
    """Compost and preparing, then sowing or planting out, in order."""
    into = (
        set_out_step(planting, crop, setting)
        if planting.route == "nursery"
        else _sow(planting, crop, setting)
    )
    return [*_prepare(planting, crop, setting, into), into]


def _prepare(planting: PlannedPlanting, crop: Crop, setting: Setting, into: Step) -> list[Step]:
    free, on = setting.free_from, stands_from(planting)
    earliest, best = on - days(21), on - days(3)
    if free is not None:
        earliest, best = min(max(earliest, free), on), min(max(best, free), on)
    area = planting.area_m2
    steps = []
    dressing = dressing_mm(crop, setting.holding.habits)
    if dressing > 0:
        steps.append(
            Step(
                "compost",
                earliest,
                best,
                into.latest,
                round(dressing * area, 1),
                "l",
                (Task("compost_spread_10mm", area * dressing / 10),),
                text("job.compost", mm=dressing, feeder=crop.fact("feeder"), **named(planting)),
                cautions=(text("caution.compost_breathing"), text("caution.lifting")),
            )
        )
    steps.append(
        Step(
            "prepare bed",
            earliest,
            best,
            into.latest,
            round(area, 2),
            "m2",
            (Task("broadfork_ready", area), Task("rake_level", area)),
            text("job.prepare", on=on, **named(planting)),
            cautions=(text("caution.lifting"),),
        )
    )
    return steps


def _sow(planting: PlannedPlanting, crop: Crop, setting: Setting) -> Step:
    lot = lot_of(planting, setting.holding)
    surety = setting.holding.habits.surety
    slip = useful_delay(planting, crop, setting.mean)
    rules = sowing_rules(crop)
    latest = planting.sow + days(slip)
    place: dict[str, Value] = {
        "plants": planting.plants,
        "spacing": planting.spacing_cm,
        "rows": planting.rows,
        "start_m": planting.start_m,
        "length": planting.length_m,
        "surety": surety,
        "latest": latest,
        **named(planting),
    }
    early = planting.sow if rules and setting.climate is None else planting.sow - days(4)
    if planting.route == "set":
        count = sets_to_plant(planting.plants, surety)
        why = text("job.plant_sets", count=count, **place)
        kind, unit, tasks = "plant sets", "pieces", _set_tasks(planting, crop, count)
    else:
        count = seeds_in_bed(crop, planting.plants, lot, surety)
        why = text("job.sow.direct", seeds=count, depth=crop.value("sow_depth", 2.0), **place)
        kind, unit, tasks = "sow", "seeds", _drill_tasks(planting, crop)
    return Step(
        kind,
        early,
        planting.sow,
        latest,
        count,
        unit,
        (*tasks, Task("water_in", planting.area_m2)),
        why,
        go=rules,
        cautions=seed_cautions(lot),
        lost_if_missed=True,
    )


def row_metres(planting: PlannedPlanting) -> float:
    """Metres of drill to draw, sow, thin or earth up; rows closer than that are worked as bands."""
    return min(planting.rows * planting.length_m, planting.area_m2 / CLOSEST_DRILLS_M)


def _drill_tasks(planting: PlannedPlanting, crop: Crop) -> tuple[Task, ...]:
    if planting.layout == "broadcast" or planting.plants == 0:
        area = planting.area_m2
        return (Task("cover_broadcast", area), Task("cover_rake_in", area))
    if planting.spacing_cm >= STATION_CM:
        return (Task("sow_jab", planting.plants),)
    large = crop.value("seeds_per_gram", 1e9) <= LARGE_SEED_PER_G
    metres = row_metres(planting)
    rate = "sow_large_hand" if large else "sow_small_hand"
    return (Task("drill_mark", metres), Task(rate, metres))


def _set_tasks(planting: PlannedPlanting, crop: Crop, count: int) -> tuple[Task, ...]:
    own = next((care.labour for care in care_of(crop.key) if care.kind == "set out"), "")
    if own == "plant_potato":
        return (Task(own, row_metres(planting)),)
    return (Task(own or "transplant_plug", count),)


def care_steps(planting: PlannedPlanting, crop: Crop, setting: Setting) -> list[Step]:
    """Cover, thin, weed, feed and the crop's own care, up to the first picking, by day."""
    end = planting.first_harvest or planting.ground_to
    up = emergence(planting, crop, setting)
    steps = [
        *_fleece(planting, crop, setting),
        *_thin(planting, crop, up, end),
        *_weed(planting, up, end),
        *_feed(planting, crop, end),
    ]
    for care in care_of(crop.key):
        if care.kind != "set out" and care.counted_from != "harvest end":
            steps += care_repeats(planting, care, setting)
    return sorted(steps, key=lambda step: step.best)


def _fleece(planting: PlannedPlanting, crop: Crop, setting: Setting) -> list[Step]:
    kill = crop.figure("kill_seedling") or crop.figure("kill_vegetative")
    on = stands_from(planting)
    until = min(on + days(42), planting.ground_to)
    if kill is None or setting.climate is None or planting.layout == "broadcast":
        return []
    climate = setting.climate
    chance = chance_of_night(climate, on, until, kill.value)
    if chance <= COVER_CHANCE:
        return []
    off = (last_cold_night(climate, on, until, kill.value, COVER_CHANCE) or until) + days(2)
    off = min(off, planting.ground_to)
    area = planting.area_m2
    return [
        Step(
            "cover",
            on,
            on,
            on + days(2),
            round(area, 2),
            "m2",
            (Task("fleece_on", area),),
            text("job.cover", kill=kill.value, chance=chance, off=off, **named(planting)),
            go=(text("go.cover", night=kill.value + COLDER_AT_LEAF_K[0]),),
            lost_if_missed=True,
        ),
        Step(
            "uncover",
            off,
            off,
            off + days(7),
            round(area, 2),
            "m2",
            (Task("fleece_open", area),),
            text("job.uncover", kill=kill.value, chance=COVER_CHANCE, **named(planting)),
        ),
    ]


def _thin(planting: PlannedPlanting, crop: Crop, up: date, end: date) -> list[Step]:
    if planting.route != "direct" or planting.layout == "broadcast" or not is_thinned(crop):
        return []
    best = up + days(14)
    if best >= end:
        return []
    return [
        Step(
            "thin",
            best - days(4),
            best,
            best + days(7),
            round(row_metres(planting), 1),
            "m",
            (Task("thin_row", row_metres(planting)),),
            text("job.thin", spacing=planting.spacing_cm, **named(planting)),
        )
    ]


def _weed(planting: PlannedPlanting, up: date, end: date) -> list[Step]:
    if planting.layout == "broadcast":
        return []
    times = THREAD_DAYS if planting.route == "direct" else THREAD_DAYS[:2]
    area = planting.area_m2
    steps = []
    for number, after in enumerate(times, start=1):
        best = up + days(after)
        if best >= end:
            break
        by_hand = planting.route == "direct" and number == 2
        steps.append(
            Step(
                "weed",
                best - days(3),
                best,
                best + days(7),
                round(area, 2),
                "m2",
                (Task("hand_weed_thread" if by_hand else "stirrup_hoe", area),),
                text(
                    "job.weed.hand" if by_hand else "job.weed.hoe",
                    number=number,
                    latest=best + days(7),
                    **named(planting),
                ),
            )
        )
    return steps


def _feed(planting: PlannedPlanting, crop: Crop, end: date) -> list[Step]:
    best = stands_from(planting) + days(FEED_AFTER_DAYS)
    if crop.fact("feeder") != "heavy" or best >= end or planting.layout == "broadcast":
        return []
    return [
        Step(
            "feed",
            best - days(7),
            best,
            best + days(14),
            round(planting.area_m2, 2),
            "m2",
            (Task("liquid_feed", planting.area_m2),),
            text("job.feed", **named(planting)),
            cautions=(text("caution.liquid_feed"),),
        )
    ]


def care_repeats(planting: PlannedPlanting, care: Care, setting: Setting) -> list[Step]:
    """Each time that a kind of care comes round while the planting stands."""
    start = {
        "sow": planting.sow,
        "stand": stands_from(planting),
        "harvest end": planting.last_harvest or planting.ground_to,
    }[care.counted_from]
    amount, unit = care_amount(planting, care, setting)
    steps = []
    for time in range(care.times):
        best = start + days(care.days + time * care.repeat_days)
        if care.counted_from == "stand" and best >= planting.ground_to:
            break
        before = care.counted_from == "sow"
        after = care.counted_from == "harvest end"
        window = days(care.window_days)
        steps.append(
            Step(
                care.kind,
                best if after else best - window,
                best,
                min(best + window, planting.sow) if before else best + window,
                round(amount, 2),
                unit,
                (Task(care.labour, amount * care.units_each),),
                text(
                    "job." + care.kind.replace(" ", "_"),
                    number=time + 1,
                    note=care.note or "as usual",
                    **named(planting),
                ),
                cautions=_care_cautions(care.kind),
            )
        )
    return steps


def care_amount(planting: PlannedPlanting, care: Care, setting: Setting) -> tuple[float, str]:
    """How much is cared for, in the unit by which its labour rate goes."""
    per = setting.catalogue.labour[care.labour].per_unit
    if per in ("m2", "m2_visit"):
        return planting.area_m2, "m2"
    if per == "m":
        metres = row_metres(planting)
        return (metres / 2, "m") if care.kind == "trellis" else (metres, "m")
    if per == "kg":
        return planting.harvest.value, "kg"
    return float(planting.plants), "plants"


def _care_cautions(kind: str) -> tuple[Text, ...]:
    return {
        "net": (text("caution.bird_net"),),
        "stake": (text("caution.stakes"),),
        "poles": (text("caution.stakes"),),
        "trellis": (text("caution.stakes"),),
        "thresh": (text("caution.dust"),),
    }.get(kind, ())
