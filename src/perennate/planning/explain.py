"""How a number of a plan was made: its steps in order, with the figures that they rest on.

Nothing is reckoned here that the plan does not say already; what the plan or the catalogue do
not hold is not made up.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Literal

from perennate.catalogue.model import Catalogue, Crop
from perennate.holding.model import Holding
from perennate.planning.fitness import fitness
from perennate.planning.offers import PLANNED_QUANTILE, planned_yield
from perennate.planning.plan import AimResult, Job, Need, Plan, PlannedPlanting
from perennate.planning.seed_counts import germination_of, lot_of
from perennate.terms import Estimate, Text, text
from perennate.terms.text import Value

Kind = Literal["planting", "job", "need", "aim"]

BENCH_NEEDS = ("mix", "containers", "bench")
JOBS_OF_NEEDS = {
    "compost": ("compost",),
    "seed": ("sow", "plant sets"),
    "sets": ("plant sets", "buy plants", "sow"),
    "cover": ("cover", "net"),
}
LARGEST = 8
"""Of the parts of a sum so many are named, the largest first; the rest are summed in one."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure that a step rests on. `name` is the catalogue's or the plan's name for it."""

    name: str
    estimate: Estimate


@dataclass(frozen=True, slots=True)
class Reason:
    """One step of the working, and the figures that it rests on (none for a plain count)."""

    text: Text
    figures: tuple[Figure, ...] = ()


@dataclass(frozen=True, slots=True)
class Explanation:
    key: str
    kind: Kind
    steps: tuple[Reason, ...]


def explain(plan: Plan, key: str, holding: Holding, catalogue: Catalogue) -> Explanation:
    """The working of a planting, job, need or aim of the plan, by its key.

    `catalogue` should already carry the holding's own values. KeyError for a key that the plan
    does not have.
    """
    crops = catalogue.crops
    for planting in plan.plantings:
        if planting.key == key:
            crop = crops.get(planting.crop)
            return Explanation(key, "planting", tuple(_planting(planting, crop, plan, holding)))
    for job in plan.jobs:
        if job.key == key:
            return Explanation(key, "job", tuple(_job(job, plan)))
    for need in plan.needs:
        if need.key == key:
            return Explanation(key, "need", tuple(_need(need, plan, crops.get(need.item))))
    for aim in plan.aims:
        if aim.aim == key:
            return Explanation(key, "aim", tuple(_aim(aim, plan, crops.get(aim.crop))))
    raise KeyError(key)


def _planting(
    planting: PlannedPlanting, crop: Crop | None, plan: Plan, holding: Holding
) -> Iterator[Reason]:
    by_aim = {aim.aim: aim for aim in plan.aims}
    yield Reason(text(f"explain.status_{planting.status}"))
    for aim in planting.aims:
        met = by_aim[aim].met if aim in by_aim else 0.0
        yield Reason(text("explain.for_aim", aim=aim, met=met))
    if crop is None:
        yield Reason(text("explain.crop_unknown", crop=planting.crop))
        return
    yield from _dates(planting, crop)
    yield from _risks(planting, crop)
    if planting.bed:
        yield from _room(planting, crop)
        yield from _harvest(planting, crop, holding)
    yield from _start(planting, crop, plan, holding)
    if planting.bed and planting.rotation_group not in ("", "none"):
        yield Reason(
            text("explain.rest", group=planting.rotation_group, years=planting.rest_years),
            _figures(crop, "rest_years"),
        )


def _figures(crop: Crop, *names: str) -> tuple[Figure, ...]:
    """Those of the figures that the catalogue has."""
    return tuple(Figure(name, crop.figures[name]) for name in names if name in crop.figures)


def _dates(planting: PlannedPlanting, crop: Crop) -> Iterator[Reason]:
    raised = (planting.ground_from - planting.sow).days
    if planting.route == "nursery":
        yield Reason(
            text("explain.raised", sow=planting.sow, out=planting.ground_from, days=raised),
            _figures(crop, "nursery_time"),
        )
    else:
        yield Reason(text(f"explain.begun_{planting.route}", sow=planting.sow))
    if planting.first_harvest is not None:
        days = (planting.first_harvest - planting.ground_from).days
        yield Reason(
            text("explain.first_harvest", first=planting.first_harvest, days=days),
            _figures(crop, "days_to_first_harvest", "temp_base", "temp_ceiling", "temp_reference"),
        )
        for why in planting.why:
            yield Reason(why)
    if planting.bed:
        yield Reason(text("explain.cleared", day=planting.ground_to))


def _risks(planting: PlannedPlanting, crop: Crop) -> Iterator[Reason]:
    if not planting.bed or planting.first_harvest is None:
        return
    kills = _figures(crop, "kill_seedling", "kill_vegetative")
    if kills and planting.status != "stands":
        yield Reason(text("explain.frost", chance=planting.frost_risk), kills)
    if planting.heat_risk > 0:
        yield Reason(text("explain.heat", chance=planting.heat_risk), _figures(crop, "heat_day"))


def _room(planting: PlannedPlanting, crop: Crop) -> Iterator[Reason]:
    given: dict[str, Value] = {
        "bed": planting.bed,
        "length": planting.length_m,
        "width": planting.width_m,
        "area": round(planting.area_m2, 2),
    }
    yield Reason(text("explain.ground", start=planting.start_m, **given))
    if planting.layout == "broadcast":
        yield Reason(text("explain.broadcast"))
        return
    names = ("spacing_close",) if "spacing_close" in crop.figures else (
        "row_spacing", "in_row_spacing")  # fmt: skip
    yield Reason(
        text(
            "explain.plants",
            plants=planting.plants,
            rows=planting.rows,
            spacing=planting.spacing_cm,
            layout=planting.layout,
        ),
        _figures(crop, *names),
    )


def _harvest(planting: PlannedPlanting, crop: Crop, holding: Holding) -> Iterator[Reason]:
    figure = crop.figure("yield")
    if figure is None or planting.harvest.value <= 0:
        yield Reason(text("explain.no_harvest"))
        return
    counted = planned_yield(crop)
    own = figure.basis == "own records"
    code = "explain.yield_own" if own else "explain.yield"
    yield Reason(
        text(code, usual=figure.value, counted=counted, share=1 - PLANNED_QUANTILE),
        (Figure("yield", figure),),
    )
    bed = next((bed for bed in holding.beds if bed.key == planting.bed), None)
    if bed is not None:
        fit = fitness(crop, bed)
        whole = counted * planting.area_m2 * fit
        yield Reason(
            text(
                "explain.fitness", bed=bed.key, light=bed.light, soil=bed.soil, share=fit,
                area=round(planting.area_m2, 2), whole=round(whole, 2),
            )
        )  # fmt: skip
    yield Reason(
        text(
            "explain.harvest",
            kg=planting.harvest.value,
            weeks=len(planting.by_week),
        ),
        (Figure("harvest", planting.harvest),),
    )


def _start(planting: PlannedPlanting, crop: Crop, plan: Plan, holding: Holding) -> Iterator[Reason]:
    """How many are started, as the job says, and the germination that it counts with."""
    first = [
        job
        for job in plan.jobs
        if job.planting == planting.key and job.kind in ("sow", "plant sets", "buy plants")
    ]
    for job in first:
        figures: tuple[Figure, ...] = ()
        if job.kind == "sow" and job.unit == "seeds":
            lot = lot_of(planting, holding)
            believed = germination_of(crop, lot)
            if lot is None or lot.germination is None:
                figures = _figures(crop, "germination_standard")
            if not figures:
                mean = round(believed.rate.mean, 4)
                figures = (
                    Figure(
                        "germination",
                        Estimate(mean, mean, mean, "1", believed.source, believed.basis),
                    ),
                )
        yield Reason(job.why, figures)


def _job(job: Job, plan: Plan) -> Iterator[Reason]:
    yield Reason(job.why)
    yield Reason(text("explain.window", earliest=job.earliest, best=job.best, latest=job.latest))
    if job.lost_if_missed:
        yield Reason(text("explain.lost_if_missed", latest=job.latest))
    yield Reason(
        text("explain.minutes", minutes=job.minutes.value), (Figure("minutes", job.minutes),)
    )
    for rule in (*job.go, *job.cautions):
        yield Reason(rule)
    planting = next((one for one in plan.plantings if one.key == job.planting), None)
    if planting is not None:
        yield Reason(text("explain.job_of", **_named(planting)))


def _need(need: Need, plan: Plan, crop: Crop | None) -> Iterator[Reason]:
    yield Reason(need.why, _figures(crop, "seeds_per_gram") if crop and need.unit == "g" else ())
    if need.kind == "hours":
        yield from _work(need, plan)
    elif need.kind in BENCH_NEEDS:
        on_bench = [one for one in plan.plantings if one.route == "nursery" and one.plants]
        if need.kind == "bench":
            after = need.by + timedelta(7)
            on_bench = [one for one in on_bench if one.sow < after and one.ground_from > need.by]
        parts = [
            (one, float(one.plants), "plants")
            for one in on_bench
            if one.sow >= plan.as_of or need.kind == "bench"
        ]
        yield from _parts(parts)
    else:
        yield from _parts(_jobs_of(need, plan))
    if need.kind not in ("hours", "bench"):
        yield Reason(
            text(
                "explain.to_get",
                amount=need.amount,
                have=need.have,
                get=need.to_get,
                unit=need.unit,
                by=need.by,
            )
        )


def _work(need: Need, plan: Plan) -> Iterator[Reason]:
    """The jobs of the fullest week, the longest first."""
    day = need.by
    week = [job for job in plan.jobs if 0 <= (job.best - day).days < 7]
    week.sort(key=lambda job: (-job.minutes.value, job.key))
    for job in week[:LARGEST]:
        yield Reason(
            text("explain.work", work=job.kind, place=job.place or "everywhere",
                 hours=round(job.minutes.value / 60, 1)),
            (Figure("minutes", job.minutes),),
        )  # fmt: skip
    rest = week[LARGEST:]
    if rest:
        hours = round(sum(job.minutes.value for job in rest) / 60, 1)
        yield Reason(text("explain.work_rest", jobs=len(rest), hours=hours))


Part = tuple[PlannedPlanting, float, str]


def _jobs_of(need: Need, plan: Plan) -> list[Part]:
    """What each planting takes of a need, by its jobs. Compost is summed by its month."""
    plantings = {planting.key: planting for planting in plan.plantings}
    kinds = JOBS_OF_NEEDS.get(need.kind, ())
    parts: list[Part] = []
    for job in plan.jobs:
        planting = plantings.get(job.planting)
        if planting is None or job.kind not in kinds:
            continue
        if need.kind in ("seed", "sets"):
            if (planting.crop, planting.variety) != (need.item, need.variety):
                continue
            if (job.unit == "seeds") != (need.kind == "seed") or not _of_its_lot(need, planting):
                continue
            if need.unit == "plants" and job.kind != "buy plants":
                continue
        elif not _is_for(need, job):
            continue
        parts.append((planting, job.quantity, job.unit))
    return parts


def _of_its_lot(need: Need, planting: PlannedPlanting) -> bool:
    return dict(need.why.params).get("lot", planting.lot or "no lot") == (planting.lot or "no lot")


def _is_for(need: Need, job: Job) -> bool:
    if need.kind == "cover":
        return (job.kind == "net") == (need.item == "insect net")
    return need.kind != "compost" or (job.best.year, job.best.month) == _month(need)


def _month(need: Need) -> tuple[int, int]:
    first = dict(need.why.params).get("first", need.by)
    year, month = str(first).split("-")[:2]
    return int(year), int(month)


def _parts(parts: Sequence[Part]) -> Iterator[Reason]:
    ordered = sorted(parts, key=lambda part: (-part[1], part[0].key))
    for planting, amount, unit in ordered[:LARGEST]:
        yield Reason(text("explain.part", amount=amount, unit=unit, **_named(planting)))
    rest = ordered[LARGEST:]
    if rest:
        amount = round(sum(amount for _, amount, _ in rest), 1)
        yield Reason(
            text("explain.parts_rest", plantings=len(rest), amount=amount, unit=rest[0][2])
        )


def _aim(aim: AimResult, plan: Plan, crop: Crop | None) -> Iterator[Reason]:
    yield Reason(text("explain.wanted", amount=aim.wanted, unit=aim.unit, priority=aim.priority))
    serving = [one for one in plan.plantings if aim.aim in one.aims]
    if not serving:
        yield Reason(text("explain.nothing_serves"))
    if aim.kind in ("food", "household"):
        parts = [(one, one.harvest.value, "kg") for one in serving if one.harvest.value > 0]
    elif aim.kind == "sell":
        parts = [(one, float(one.plants), "plants") for one in serving]
    else:
        parts = [(one, round(one.area_m2, 2), "m2") for one in serving]
    yield from _parts(parts)
    if aim.kind == "food" and crop is not None and "yield" in crop.figures:
        yield Reason(text("explain.aim_spread"), _figures(crop, "yield"))
    given: dict[str, Value] = {"met": aim.met, "amount": aim.expected.value, "unit": aim.unit}
    weeks = len(aim.by_week)
    yield Reason(
        text("explain.met", weeks=weeks, **given) if weeks else text("explain.met_whole", **given),
        (Figure("expected", aim.expected),),
    )
    for one in (*aim.held_back_by, *aim.notes):
        yield Reason(one)


def _named(planting: PlannedPlanting) -> dict[str, Value]:
    return {
        "crop": planting.crop,
        "variety": planting.variety or "any variety",
        "bed": planting.bed or "the nursery",
        "sow": planting.sow,
    }
