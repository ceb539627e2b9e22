"""Checks of what is scarce: room on the bench, hours, compost."""

from collections.abc import Iterator

from perennate.planning.checks.case import OWN, Case, finding, runs
from perennate.planning.jobs import minutes_by_week
from perennate.planning.labour import sum_minutes
from perennate.planning.nursery import bench_by_week
from perennate.planning.plan import Finding

_ROUNDING = 1e-3


def overfull_bench(case: Case) -> Iterator[Finding]:
    """More on the bench than fits, in runs of weeks."""
    plan, room = case.plan, case.holding.nursery.bench_m2
    taken = bench_by_week(plan.plantings, case.holding, case.catalogue, plan.start, plan.weeks)
    over = [week for week, area in enumerate(taken) if area > room + _ROUNDING]
    for first, last in runs(over):
        most = max(taken[first : last + 1])
        on_it = [
            planting.key
            for planting in plan.plantings
            if planting.route == "nursery"
            and planting.sow < case.week(last + 1)
            and planting.ground_from > case.week(first)
        ]
        yield finding(
            "bench.overfull",
            "grave" if most > 1.2 * room else "mind",
            on_it,
            OWN,
            most=most,
            room=room,
            first=case.week(first),
            weeks=last - first + 1,
        )


def overfull_hours(case: Case) -> Iterator[Finding]:
    """More work in a week than there are hours, in runs of weeks, with what takes the most."""
    limit = case.holding.limits.hours_per_week
    if limit is None:
        return
    spent = minutes_by_week(case.plan.jobs, case.plan.start, case.plan.weeks)
    over = [week for week, minutes in enumerate(spent) if minutes > limit * 60 + 1]
    for first, last in runs(over):
        worst = max(range(first, last + 1), key=lambda week: spent[week])
        here = [
            job
            for job in case.plan.jobs
            if case.week(worst) <= job.best < case.week(worst + 1) and job.minutes.value > 0
        ]
        here.sort(key=lambda job: (-job.minutes.value, job.key))
        together = sum_minutes(here)
        yield finding(
            "hours.overfull",
            "grave" if spent[worst] > 1.5 * limit * 60 else "mind",
            [job.planting for job in here[:3] if job.planting],
            together.basis,
            hours=spent[worst] / 60,
            low=together.low / 60,
            high=together.high / 60,
            limit=limit,
            week=case.week(worst),
            weeks=last - first + 1,
            most_kind=here[0].kind if here else "",
        )


def compost_short(case: Case) -> Iterator[Finding]:
    """More compost planned than the holding has."""
    have = case.holding.limits.compost_l
    if have is None:
        return
    jobs = [job for job in case.plan.jobs if job.kind == "compost"]
    wanted = sum(job.quantity for job in jobs)
    if wanted > have + _ROUNDING:
        used = 0.0
        short_from = jobs[0].best
        for job in sorted(jobs, key=lambda job: (job.best, job.key)):
            used += job.quantity
            if used > have:
                short_from = job.best
                break
        yield finding(
            "compost.short",
            "mind",
            [],
            OWN,
            wanted=wanted,
            have=have,
            short=wanted - have,
            first=short_from,
        )
