"""The steps under cover: sow, prick out, pot on, harden off, and setting out."""

from datetime import date
from math import ceil

from perennate.catalogue.crop_care import care_of
from perennate.catalogue.model import Crop
from perennate.planning.go_rules import seed_cautions, tender_rules
from perennate.planning.labour import Task
from perennate.planning.nursery import Stage, stages_of
from perennate.planning.plan import PlannedPlanting
from perennate.planning.seed_counts import NurseryStart, lot_of, start_of
from perennate.planning.steps import Setting, Step, days, named, useful_delay
from perennate.terms import text

HARDEN_DAYS = (14, 10, 7)
"""Days before planting out at which hardening off starts: earliest, best, latest."""

POT_RATES = ((0.5, "pot_9cm"), (1.5, "pot_1l"), (2.5, "pot_2l"))
"""Labour rate by litres of the pot."""


def nursery_steps(planting: PlannedPlanting, crop: Crop, setting: Setting) -> list[Step]:
    """From sowing up to plants that are hardened off, in order."""
    start = start_of(crop, planting, setting.holding)
    stages = stages_of(crop, planting, start, setting.catalogue, setting.holding.nursery)
    slip = useful_delay(planting, crop, setting.mean)
    steps = [_sow(planting, crop, start, stages[0], slip, setting)]
    for stage in stages[1:]:
        steps.append(_move_up(planting, stage, start, slip))
    steps.append(_harden(planting, start, stages[-1], slip))
    return steps


def _sow(
    planting: PlannedPlanting,
    crop: Crop,
    start: NurseryStart,
    stage: Stage,
    slip: int,
    setting: Setting,
) -> Step:
    tasks: tuple[Task, ...]
    lot = lot_of(planting, setting.holding)
    latest = planting.sow + days(slip)
    if stage.each > 1:
        tasks = (Task("fill_flat_seed", stage.cells), Task("sow_flat_open", stage.cells))
    elif stage.container.cells == 1:
        tasks = (Task(pot_rate(stage), stage.cells), Task("sow_tray_hand", stage.cells / 72))
    else:
        tasks = (Task("sow_tray_hand", stage.cells / 72),)
    water = Task("water_tray", stage.carried * (stage.end - stage.start).days / 2)
    return Step(
        "sow",
        planting.sow - days(7),
        planting.sow,
        latest,
        start.seeds,
        "seeds",
        (*tasks, water),
        text(
            "job.sow.nursery",
            seeds=start.seeds,
            trays=stage.trays,
            container=stage.container.name,
            plants=planting.plants,
            surety=start.surety,
            germination=start.germination.rate.mean,
            basis=start.germination.basis,
            plant_out=planting.ground_from,
            latest=latest,
            **named(planting),
        ),
        "nursery",
        cautions=(text("caution.potting_mix"), *seed_cautions(lot)),
        lost_if_missed=True,
    )


def _move_up(planting: PlannedPlanting, stage: Stage, start: NurseryStart, slip: int) -> Step:
    labour = "prick_out" if stage.step == "prick out" else pot_rate(stage)
    code = "job.prick_out" if stage.step == "prick out" else "job.pot_on"
    return Step(
        stage.step,
        stage.start - days(4),
        stage.start,
        stage.start + days(max(slip, 5)),
        stage.count,
        "plants",
        (
            Task(labour, stage.count),
            Task("water_tray", stage.carried * (stage.end - stage.start).days / 2),
        ),
        text(
            code,
            count=stage.count,
            trays=stage.trays,
            container=stage.container.name,
            surety=start.surety,
            plants=planting.plants,
            plant_out=planting.ground_from,
            **named(planting),
        ),
        "nursery",
        cautions=(text("caution.potting_mix"),),
    )


def pot_rate(stage: Stage) -> str:
    """Labour rate of potting up by the size of the pot; above 2.5 l that of 3 l."""
    litres = stage.container.fill_l_per_cell.value
    return next((rate for most, rate in POT_RATES if litres <= most), "pot_3l")


def _harden(planting: PlannedPlanting, start: NurseryStart, stage: Stage, slip: int) -> Step:
    early, usual, late = HARDEN_DAYS
    out = planting.ground_from
    length = (out - planting.sow).days
    room = round(0.4 * length)
    best = max(out - days(min(usual, room)), stage.start)
    carried_days = (out - best).days
    return Step(
        "harden off",
        max(min(out - days(early), best), stage.start - days(4)),
        best,
        max(best, out - days(min(late, room))) + days(slip),
        start.plant_out,
        "plants",
        (Task("harden_off", stage.carried * carried_days),),
        text(
            "job.harden_off",
            count=start.plant_out,
            out_days=carried_days,
            plant_out=out,
            **named(planting),
        ),
        "nursery",
    )


def set_out_step(planting: PlannedPlanting, crop: Crop, setting: Setting) -> Step:
    """Planting out of raised plants, watered in."""
    start = start_of(crop, planting, setting.holding)
    slip = useful_delay(planting, crop, setting.mean)
    stages = stages_of(crop, planting, start, setting.catalogue, setting.holding.nursery)
    pots = bool(stages) and stages[-1].container.cells == 1 and stages[-1].each == 1
    own = next((care.labour for care in care_of(crop.key) if care.kind == "set out"), "")
    rate = own if own == "plant_leek_hole" else "transplant_pot" if pots else "transplant_plug"
    latest = planting.ground_from + days(slip)
    return Step(
        "plant out",
        planting.ground_from - days(4),
        planting.ground_from,
        latest,
        planting.plants,
        "plants",
        (Task(rate, planting.plants), Task("water_in", planting.area_m2)),
        text(
            "job.plant_out",
            plants=planting.plants,
            spares=start.plant_out - planting.plants,
            spacing=planting.spacing_cm,
            rows=planting.rows,
            start_m=planting.start_m,
            length=planting.length_m,
            latest=latest,
            **named(planting),
        ),
        go=tender_rules(crop),
        lost_if_missed=True,
    )


def bought_plants_step(
    planting: PlannedPlanting, crop: Crop, setting: Setting, today: date
) -> Step:
    """Where it is too late to raise them: plants of planting size, from elsewhere."""
    start = start_of(crop, planting, setting.holding)
    best = max(today, planting.ground_from - days(3))
    return Step(
        "buy plants",
        max(today, best - days(7)),
        best,
        max(best, planting.ground_from),
        start.plant_out,
        "plants",
        (),
        text(
            "job.buy_plants",
            count=start.plant_out,
            sow=planting.sow,
            late=(today - planting.sow).days,
            **named(planting),
        ),
        "nursery",
        cautions=(text("caution.bought_plants"),),
        lost_if_missed=True,
    )


def ready_to_sell_step(planting: PlannedPlanting, crop: Crop, setting: Setting) -> Step:
    """Plants that leave the holding from the bench."""
    return Step(
        "ready to sell",
        planting.ground_from - days(3),
        planting.ground_from,
        planting.ground_from + days(14),
        planting.plants,
        "plants",
        (Task("label_pots", ceil(planting.plants / 6)),),
        text("job.ready_to_sell", plants=planting.plants, **named(planting)),
        "nursery",
        cautions=(text("caution.selling_plants"),),
    )
