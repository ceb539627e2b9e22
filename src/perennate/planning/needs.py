"""What must be bought, made or drawn, by when: sums over the jobs and plantings of a plan."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import Literal

from perennate.catalogue.model import Catalogue, Crop
from perennate.holding.model import Holding, Lot
from perennate.planning.jobs import job_key, minutes_by_week
from perennate.planning.nursery import Stage, bench_by_week, bench_stays
from perennate.planning.plan import Job, Need, PlannedPlanting
from perennate.planning.stock import lot_amount, seeds_in_lot
from perennate.planning.water_plan import WaterPlan
from perennate.terms import Text, text
from perennate.terms.text import Value

LEAD_DAYS = 14
"""Things are to hand so many days before they are first used."""
SETTLING = 1.15
"""Mix settles and spills: 1.1 to 1.2 times the volume of the cells, memory."""

Kind = Literal["seed", "sets", "compost", "mix", "containers", "bench", "hours", "water", "cover"]

_STARTS = ("sow", "plant sets", "buy plants")


def make_needs(
    plantings: Sequence[PlannedPlanting],
    jobs: Sequence[Job],
    holding: Holding,
    catalogue: Catalogue,
    start: date,
    weeks: int,
    water: WaterPlan | None = None,
) -> tuple[Need, ...]:
    """Every need of a plan, by day, then kind and item."""
    end = start + timedelta(7 * weeks)
    stays = [
        stage
        for _, stage in bench_stays(plantings, holding, catalogue)
        if stage.start >= start and stage.start < end
    ]
    needs = [
        *_living(plantings, jobs, holding, catalogue, start),
        *_compost(jobs, holding, start),
        *_mix(stays, start),
        *_containers(stays, start),
        *_bench(plantings, holding, catalogue, start, weeks),
        *_hours(jobs, holding, start, weeks),
        *_covers(jobs, start),
        *(_water(water, start, weeks) if water is not None else ()),
    ]
    return tuple(sorted(needs, key=lambda need: (need.by, need.kind, need.item, need.key)))


@dataclass
class _Sum:
    amount: float = 0.0
    first: date = date.max
    sowings: int = 0

    def add(self, amount: float, day: date) -> None:
        self.amount += amount
        self.first = min(self.first, day)
        self.sowings += 1


def _by(first: date, start: date) -> date:
    return max(first - timedelta(LEAD_DAYS), start)


def _need(
    kind: Kind,
    item: str,
    variety: str,
    by: date,
    amount: float,
    unit: str,
    have: float,
    why: Text,
    which: str = "",
) -> Need:
    return Need(
        job_key("need", kind, "\x1f".join((item, variety, unit, which))),
        kind,
        item,
        variety,
        by,
        amount,
        unit,
        have,
        max(0.0, round(amount - have, 3)),
        why,
    )


def _living(
    plantings: Sequence[PlannedPlanting],
    jobs: Sequence[Job],
    holding: Holding,
    catalogue: Catalogue,
    start: date,
) -> Iterable[Need]:
    """Seed, sets and plants by crop, variety and lot."""
    by_key = {planting.key: planting for planting in plantings}
    sums: dict[tuple[str, str, str, str], _Sum] = defaultdict(_Sum)
    for job in jobs:
        planting = by_key.get(job.planting)
        if planting is None or job.kind not in _STARTS:
            continue
        unit = "plants" if job.kind == "buy plants" else job.unit
        sums[planting.crop, planting.variety, planting.lot, unit].add(job.quantity, job.best)
    lots = {lot.key: lot for lot in holding.lots}
    for (crop_key, variety, lot_key, unit), total in sorted(sums.items()):
        crop = catalogue.crops[crop_key]
        lot = lots.get(lot_key)
        if unit == "plants":
            yield _plants(crop, variety, total, start)
        elif unit == "seeds":
            yield _seed(crop, variety, lot, total, holding, start)
        else:
            yield _sets(crop, variety, lot, total, holding, start)


def _plants(crop: Crop, variety: str, total: _Sum, start: date) -> Need:
    why = text("need.plants", crop=crop.key, sowings=total.sowings, first=total.first)
    by = max(total.first, start)
    return _need("sets", crop.key, variety, by, total.amount, "plants", 0.0, why)


def _sets(
    crop: Crop, variety: str, lot: Lot | None, total: _Sum, holding: Holding, start: date
) -> Need:
    have = lot_amount(lot, holding) if lot is not None and lot.unit == "pieces" else None
    known = lot is None or have is not None
    why = text(
        "need.sets" if known else "need.sets_unknown",
        crop=crop.key,
        sowings=total.sowings,
        first=total.first,
        lot=lot.key if lot else "no lot",
    )
    by, which = _by(total.first, start), lot.key if lot else ""
    return _need(
        "sets", crop.key, variety, by, total.amount, "pieces", max(have or 0.0, 0.0), why, which
    )


def _seed(
    crop: Crop, variety: str, lot: Lot | None, total: _Sum, holding: Holding, start: date
) -> Need:
    """Seed in the unit of its lot; by weight only through stated seeds per gram."""
    by, which = _by(total.first, start), lot.key if lot else ""
    said: dict[str, Value] = {
        "crop": crop.key,
        "seeds": round(total.amount),
        "sowings": total.sowings,
        "first": total.first,
        "lot": lot.key if lot else "no lot",
    }
    per_gram = crop.figure("seeds_per_gram")
    if lot is not None and lot.unit == "g" and per_gram is not None:
        grams = round(total.amount / per_gram.value, 2)
        have = max(lot_amount(lot, holding) or 0.0, 0.0)
        why = text("need.seed_by_weight", per_gram=per_gram.value, basis=per_gram.basis, **said)
        return _need("seed", crop.key, variety, by, grams, "g", have, why, which)
    code = "need.seed"
    if lot is not None and seeds_in_lot(lot, crop, holding) is None:
        code = "need.seed_unknown"
    elif lot is None and per_gram is not None:
        code = "need.seed_to_buy"
        said["grams"] = round(total.amount / per_gram.value, 2)
        said["per_gram"] = per_gram.value
    have = (seeds_in_lot(lot, crop, holding) or 0.0) if lot is not None else 0.0
    return _need(
        "seed",
        crop.key,
        variety,
        by,
        total.amount,
        "seeds",
        max(have, 0.0),
        text(code, **said),
        which,
    )


def _compost(jobs: Sequence[Job], holding: Holding, start: date) -> Iterable[Need]:
    """Compost month by month; what the holding says it has is used up from the first on."""
    monthly: dict[tuple[int, int], list[Job]] = defaultdict(list)
    for job in jobs:
        if job.kind == "compost":
            monthly[job.best.year, job.best.month].append(job)
    left = holding.limits.compost_l
    for (year, month), spread in sorted(monthly.items()):
        litres = sum(job.quantity for job in spread)
        have = 0.0 if left is None else min(left, litres)
        left = None if left is None else left - have
        days = [job.best for job in spread]
        why = text("need.compost", first=min(days), last=max(days), litres=round(litres, 1))
        yield _need(
            "compost",
            "compost",
            "",
            max(min(days) - timedelta(7), start),
            round(litres, 1),
            "l",
            round(have, 1),
            why,
            f"{year}-{month:02}",
        )


def _mix(stays: Sequence[Stage], start: date) -> Iterable[Need]:
    if not stays:
        return
    litres = sum(stage.mix_l for stage in stays) * SETTLING
    why = text("need.mix", cells=sum(stage.cells for stage in stays), settling=SETTLING - 1)
    by = _by(min(stage.start for stage in stays), start)
    yield _need("mix", "potting mix", "", by, round(litres, 1), "l", 0.0, why)


def _containers(stays: Sequence[Stage], start: date) -> Iterable[Need]:
    """The most of each kind that stand in use on one day; an emptied tray is used again."""
    kinds: dict[str, list[Stage]] = defaultdict(list)
    for stage in stays:
        kinds[stage.container.key].append(stage)
    for key, in_kind in sorted(kinds.items()):
        days = {stage.start for stage in in_kind}
        at_once, on = max(
            (
                sum(stage.trays for stage in in_kind if stage.start <= day < stage.end),
                -day.toordinal(),
            )
            for day in days
        )
        why = text(
            "need.containers",
            container=in_kind[0].container.name,
            day=date.fromordinal(-on),
            fillings=sum(stage.trays for stage in in_kind),
        )
        by = _by(min(days), start)
        yield _need("containers", key, "", by, float(at_once), "pieces", 0.0, why)


def _bench(
    plantings: Sequence[PlannedPlanting],
    holding: Holding,
    catalogue: Catalogue,
    start: date,
    weeks: int,
) -> Iterable[Need]:
    taken = bench_by_week(plantings, holding, catalogue, start, weeks)
    most = max(taken, default=0.0)
    if most <= 0:
        return
    week = start + timedelta(7 * taken.index(most))
    why = text("need.bench", week=week, most=most, have=holding.nursery.bench_m2)
    have = holding.nursery.bench_m2
    yield _need("bench", "bench", "", week, round(most, 2), "m2", have, why)


def _hours(jobs: Sequence[Job], holding: Holding, start: date, weeks: int) -> Iterable[Need]:
    minutes = minutes_by_week(jobs, start, weeks)
    most = max(minutes, default=0.0)
    if most <= 0:
        return
    limit = holding.limits.hours_per_week
    week = start + timedelta(7 * minutes.index(most))
    hours = round(most / 60, 1)
    said: dict[str, Value] = {
        "week": week,
        "hours": hours,
        "total": round(sum(minutes) / 60),
        "weeks": weeks,
    }
    if limit is None:
        why = text("need.hours", **said)
        yield _need("hours", "hours", "", week, hours, "h", hours, why)
        return
    over = sum(1 for spent in minutes if spent > limit * 60)
    why = text("need.hours_limit", limit=limit, over=over, **said)
    yield _need("hours", "hours", "", week, hours, "h", limit, why)


def _covers(jobs: Sequence[Job], start: date) -> Iterable[Need]:
    """Fleece and net: the most that lies at one time, from laying until it is lifted or the
    ground is cleared, edges for tucking in not counted."""
    for kind, item, lifted_by in (
        ("cover", "fleece", ("uncover", "clear")),
        ("net", "insect net", ("clear",)),
    ):
        lifted: dict[str, date] = {}
        for job in jobs:
            if job.kind in lifted_by:
                lifted[job.planting] = min(lifted.get(job.planting, date.max), job.best)
        spans = [
            (job.best, lifted.get(job.planting, date.max), job.quantity)
            for job in jobs
            if job.kind == kind
        ]
        if not spans:
            continue
        firsts = [first for first, _, _ in spans]
        most = max(
            sum(area for first, last, area in spans if first <= day < last) for day in firsts
        )
        why = text("need.cover", pieces=len(spans), most=round(most, 1), first=min(firsts))
        yield _need("cover", item, "", _by(min(firsts), start), ceil(most), "m2", 0.0, why)


def _water(water: WaterPlan, start: date, weeks: int) -> Iterable[Need]:
    """Water of each source over the plan, what it cannot give being to get; or of none by name."""
    for source in water.sources:
        asked = [a + b for a, b in zip(source.drawn_l, source.short_l, strict=True)]
        dry = sum(source.drawn_dry_l)
        yield from _drawn(source.source, asked, dry, sum(source.drawn_l), start)
    if water.sources:
        return
    asked = [
        sum(bed.watering_mm[week] * bed.area_m2[week] for bed in water.beds)
        for week in range(weeks)
    ]
    yield from _drawn("", asked, water.total_l.high, sum(asked), start)


def _drawn(
    source: str, asked: Sequence[float], dry: float, have: float, start: date
) -> Iterable[Need]:
    wet = [week for week, litres in enumerate(asked) if litres >= 1.0]
    if not wet:
        return
    worst = max(wet, key=lambda week: asked[week])
    said: dict[str, Value] = {
        "litres": sum(asked),
        "dry": max(dry, sum(asked)),
        "first": start + timedelta(7 * wet[0]),
        "last": start + timedelta(7 * wet[-1] + 6),
        "most": asked[worst],
        "week": start + timedelta(7 * worst),
    }
    why = text("need.water", source=source, **said) if source else text("need.water_any", **said)
    by = start + timedelta(7 * wet[0])
    amount = round(sum(asked), 1)
    yield _need("water", source or "water", "", by, amount, "l", round(have, 1), why)
