"""Picking, keeping, clearing, and the ground after it."""

from datetime import date
from math import ceil

from perennate.catalogue.crop_care import care_of
from perennate.catalogue.model import Crop
from perennate.planning.bed_chain import care_repeats
from perennate.planning.go_rules import harvest_cautions
from perennate.planning.labour import Task, picking_task
from perennate.planning.nights import Floats
from perennate.planning.plan import PlannedPlanting
from perennate.planning.steps import Setting, Step, days, named
from perennate.terms import text
from perennate.weather.climate import day_index

QUICK_SPOILER_DAYS = 7
"""A crop that holds no longer than this in the field is lost if its picking is missed."""
COOL_C, WARM_C = 12.0, 20.0
"""Mean temperatures at which the table's days of holding in the field are meant."""
USUAL_HOLD_DAYS = 7
BARE_DAYS = 28
"""Ground empty for longer than this is mulched or sown with a cover; common practice, memory."""
GREEN_ROLES = ("cover", "insectary")


def field_hold_days(crop: Crop, mean: Floats | None, day: date) -> float:
    """Days that the ripe crop waits in the field, between the table's warm and cool figures."""
    warm = crop.value("field_hold_warm", USUAL_HOLD_DAYS)
    cool = max(crop.value("field_hold_cool", warm), warm)
    if mean is None:
        return warm
    share = (float(mean[day_index(day)]) - COOL_C) / (WARM_C - COOL_C)
    return cool + (warm - cool) * min(max(share, 0.0), 1.0)


def harvest_steps(planting: PlannedPlanting, crop: Crop, setting: Setting) -> list[Step]:
    """One window where the crop is taken once, else one a week as the plan has it."""
    if planting.first_harvest is None:
        return []
    weeks = [amount for amount in planting.by_week if amount.kg > 0]
    once = crop.fact("pick_style") == "once_over" or not weeks
    if once:
        kg = sum(amount.kg for amount in weeks) or planting.harvest.value
        return [_once(planting, crop, kg, setting)] if kg > 0 else []
    first, last = planting.first_harvest, planting.last_harvest or planting.first_harvest
    steps = []
    for amount in weeks:
        best = min(max(amount.week, first), max(last, first))
        latest = min(max(amount.week + days(6), best), max(planting.ground_to, best))
        steps.append(_weekly(planting, crop, amount.kg, best, latest, setting))
    return steps


def _once(planting: PlannedPlanting, crop: Crop, kg: float, setting: Setting) -> Step:
    first = planting.first_harvest or planting.ground_to
    hold = field_hold_days(crop, setting.mean, first)
    latest = max(first, min(first + days(hold), planting.ground_to))
    return Step(
        "harvest",
        first - days(min(hold, 3)),
        first,
        latest,
        round(kg, 2),
        "kg",
        picking_task(crop, kg, planting.area_m2, setting.catalogue),
        text(
            "job.harvest.once",
            hold=round(hold),
            sign=crop.fact("sign_of_loss") or "not known",
            low=planting.harvest.low,
            high=planting.harvest.high,
            **named(planting),
        ),
        cautions=harvest_cautions(crop),
        lost_if_missed=hold <= QUICK_SPOILER_DAYS,
    )


def _weekly(
    planting: PlannedPlanting, crop: Crop, kg: float, best: date, latest: date, setting: Setting
) -> Step:
    hold = field_hold_days(crop, setting.mean, best)
    between = max(crop.value("days_between_picks", 7.0), 1.0)
    return Step(
        "harvest",
        best,
        best,
        latest,
        round(kg, 3),
        "kg",
        picking_task(crop, kg, planting.area_m2, setting.catalogue),
        text(
            "job.harvest.weekly",
            picks=max(1, ceil(7 / between)),
            between=round(between),
            hold=round(hold),
            sign=crop.fact("sign_of_loss") or "not known",
            **named(planting),
        ),
        cautions=harvest_cautions(crop),
        lost_if_missed=hold <= QUICK_SPOILER_DAYS,
    )


def after_harvest_steps(planting: PlannedPlanting, crop: Crop, setting: Setting) -> list[Step]:
    """Seed cleaned where it is wanted, curing and the like, clearing, and ground not left bare."""
    steps = []
    for care in care_of(crop.key):
        if care.counted_from == "harvest end" and planting.harvest.value > 0:
            steps += care_repeats(planting, care, setting)
    wanted = {aim.key for aim in setting.holding.aims if aim.kind == "seed"}
    if wanted & set(planting.aims):
        steps.append(_clean_seed(planting))
    steps.append(_clear(planting, crop))
    idle = _bare_days(planting, setting)
    if idle is None or idle > BARE_DAYS:
        steps.append(_cover_ground(planting, idle))
    return steps


def _clean_seed(planting: PlannedPlanting) -> Step:
    best = (planting.last_harvest or planting.ground_to) + days(14)
    return Step(
        "clean seed",
        best - days(7),
        best,
        best + days(28),
        1,
        "lot",
        (Task("clean_small_lot", 1), Task("label_lot", 1)),
        text("job.clean_seed", **named(planting)),
        cautions=(text("caution.dust"),),
    )


def _clear(planting: PlannedPlanting, crop: Crop) -> Step:
    last = min(planting.last_harvest or planting.ground_to, planting.ground_to)
    best = max(planting.ground_to - days(1), last)
    green = crop.role in GREEN_ROLES
    return Step(
        "cut" if green else "clear",
        best - days(7) if green else last,
        best,
        planting.ground_to,
        round(planting.area_m2, 2),
        "m2",
        (Task("chop_and_drop", planting.area_m2),),
        text("job.cut" if green else "job.clear", by=planting.ground_to, **named(planting)),
        cautions=(text("caution.knife"),),
    )


def _bare_days(planting: PlannedPlanting, setting: Setting) -> int | None:
    """Days that the ground lies empty afterwards; None when nothing follows in the plan."""
    if setting.taken_again is None:
        return None
    return (setting.taken_again - planting.ground_to).days


def _cover_ground(planting: PlannedPlanting, idle: int | None) -> Step:
    area = planting.area_m2
    code = "job.cover_ground" if idle is not None else "job.cover_ground.open"
    said = {"idle": idle} if idle is not None else {}
    return Step(
        "cover ground",
        planting.ground_to,
        planting.ground_to,
        planting.ground_to + days(14),
        round(area, 2),
        "m2",
        (Task("cover_broadcast", area), Task("cover_rake_in", area)),
        text(code, **said, **named(planting)),
    )
