"""From chains to dated jobs with keys that last."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache
from uuid import UUID, uuid5

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Holding
from perennate.planning.chains import chain, settings
from perennate.planning.labour import Task, minutes_of
from perennate.planning.nursery import bench_stays
from perennate.planning.plan import Job, PlannedPlanting
from perennate.planning.steps import Step
from perennate.terms import text
from perennate.weather.climate import Climate

NAMES = UUID("6f1f6c1e-6a0e-5d53-9d5e-0d6f1b7f6a11")
"""Namespace of job keys."""

LOOKS_PER_WEEK = 2
"""Walks along every planting in a week, to see pests and ripeness; common practice."""
TIDY_WEEKS = 4
"""Weeks between tidyings of ground under crop; the rate is for a monthly tidy."""
SAME_JOB_DAYS = 28
"""A job of the plan before that lies no further off than this is taken as the same one."""

NURSERY = "nursery"

ORDER_OF_A_DAY = (
    *("look over", "water", "uncover", "harvest", "cure", "clean", "thresh", "clean seed"),
    "ready to sell",
    *("clear", "cut", "compost", "prepare bed", "cover ground"),
    *("chit", "soak", "sow", "prick out", "pot on", "harden off"),
    *("buy plants", "plant sets", "plant out", "cover", "net"),
    *("poles", "trellis", "stake", "string", "train"),
    *("thin", "weed", "earth up", "feed"),
)
"""What is picked and cleared, then the ground, then what goes into it, then its care: no work of
a day waits for another that stands after it."""


def make_jobs(
    plantings: Sequence[PlannedPlanting],
    holding: Holding,
    catalogue: Catalogue,
    climate: Climate | None,
    start: date,
    weeks: int,
    previous_jobs: Sequence[Job] = (),
) -> tuple[Job, ...]:
    """Every job from `start` on, up to the end of the plan, by best day and in the order of work.

    Keys come from the planting's key, the kind of work and its number in the chain, so a new
    plan of the same planting names its jobs alike; a job of the plan before whose key was made
    otherwise keeps it where kind and planting agree and the days are near.
    """
    end = start + timedelta(7 * weeks)
    around = settings(plantings, holding, catalogue, climate)
    jobs: list[Job] = []
    for planting in plantings:
        crop = catalogue.crops.get(planting.crop)
        if crop is None:
            continue
        steps = chain(planting, crop, around[planting.key], start)
        jobs += _of_planting(planting, steps, catalogue, start, end)
    jobs += _rounds(plantings, holding, catalogue, start, end)
    return tuple(sorted(_with_former_keys(jobs, previous_jobs), key=in_order))


def in_order(job: Job) -> tuple[date, int, str, str, date, str]:
    """Jobs by best day; on one day as they follow one another on the ground; then by place."""
    rank = ORDER_OF_A_DAY.index(job.kind) if job.kind in ORDER_OF_A_DAY else len(ORDER_OF_A_DAY)
    place = re.sub(r"\d+", lambda number: number[0].zfill(9), job.place)
    return job.best, rank, job.kind, place, job.latest, job.key


def _of_planting(
    planting: PlannedPlanting,
    steps: Iterable[Step],
    catalogue: Catalogue,
    start: date,
    end: date,
) -> list[Job]:
    numbers: dict[str, int] = {}
    jobs = []
    for step in steps:
        number = numbers[step.kind] = numbers.get(step.kind, 0) + 1
        if not _is_ahead(planting, step, start) or step.best >= end:
            continue
        best = max(step.best, start)
        jobs.append(
            Job(
                job_key(planting.key, step.kind, str(number)),
                step.kind,
                planting.key,
                NURSERY if step.where == "nursery" else planting.bed,
                max(min(step.earliest, best), start),
                best,
                max(step.latest, best),
                step.quantity,
                step.unit,
                minutes_of(step.tasks, catalogue),
                step.why,
                step.go,
                step.cautions,
                step.lost_if_missed,
            )
        )
    return jobs


def _is_ahead(planting: PlannedPlanting, step: Step, start: date) -> bool:
    """What stands had its earlier work done; a harvest counts as long as its window is open."""
    if step.best >= start:
        return True
    if planting.status == "stands":
        return step.kind == "harvest" and step.latest >= start
    return step.latest >= start or step.best >= planting.sow


@lru_cache(maxsize=65536)
def job_key(planting: str, kind: str, which: str) -> str:
    """A key that depends on nothing but the planting, the kind of work and its number."""
    return str(uuid5(NAMES, "\x1f".join((planting, kind, which))))


def _rounds(
    plantings: Sequence[PlannedPlanting],
    holding: Holding,
    catalogue: Catalogue,
    start: date,
    end: date,
) -> list[Job]:
    """One walk round a week, from the Monday: what grows, and what stands on the bench."""
    stays = bench_stays(plantings, holding, catalogue)
    jobs = []
    monday = start - timedelta(start.weekday())
    while monday < end:
        sunday = monday + timedelta(6)
        area = sum(
            planting.area_m2
            for planting in plantings
            if planting.bed and planting.ground_from <= sunday and planting.ground_to > monday
        )
        bench = sum(
            stage.bench_m2 for _, stage in stays if stage.start <= sunday and stage.end > monday
        )
        if area > 0 or bench > 0:
            jobs.append(_round(monday, area, bench, catalogue, start))
        monday += timedelta(7)
    return jobs


def _round(monday: date, area: float, bench: float, catalogue: Catalogue, start: date) -> Job:
    best = max(monday, start)
    tasks = (
        Task("scout", area * LOOKS_PER_WEEK),
        Task("hand_weed_maintenance", area / TIDY_WEEKS),
        Task("bench_check", bench * 7),
    )
    return Job(
        job_key("", "look over", monday.isoformat()),
        "look over",
        "",
        "",
        best,
        best,
        monday + timedelta(6),
        round(area + bench, 1),
        "m2",
        minutes_of(tasks, catalogue),
        text("job.look_over", area=round(area, 1), bench=round(bench, 2)),
        (),
        (),
        False,
    )


def upkeep_minutes_per_m2_week(catalogue: Catalogue) -> float:
    """Minutes a week for each m2 under crop that no single planting's chain carries."""
    tasks = (Task("scout", LOOKS_PER_WEEK), Task("hand_weed_maintenance", 1 / TIDY_WEEKS))
    return minutes_of(tasks, catalogue).value


def _with_former_keys(jobs: Sequence[Job], previous: Sequence[Job]) -> list[Job]:
    made = {job.key for job in jobs}
    former: dict[tuple[str, str], list[Job]] = {}
    held = {job.key for job in previous}
    for job in previous:
        if job.key not in made:
            former.setdefault((job.planting, job.kind), []).append(job)
    if not former:
        return list(jobs)
    kept = []
    for job in jobs:
        like = former.get((job.planting, job.kind), [])
        near = min(like, key=lambda old: (abs((old.best - job.best).days), old.key), default=None)
        apart = abs((near.best - job.best).days) if near is not None else 0
        if near is None or job.key in held or apart > SAME_JOB_DAYS:
            kept.append(job)
        else:
            like.remove(near)
            kept.append(replace(job, key=near.key))
    return kept


def minutes_by_week(jobs: Sequence[Job], start: date, weeks: int) -> tuple[float, ...]:
    """Minutes of work by week of the plan, each job on its best day."""
    sums = [0.0] * weeks
    for job in jobs:
        week = (job.best - start).days // 7
        if 0 <= week < weeks:
            sums[week] += job.minutes.value
    return tuple(round(minutes, 1) for minutes in sums)
