"""All that follows from a plan's plantings: its water, jobs, needs and findings."""

from collections.abc import Sequence
from dataclasses import replace

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Holding
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.jobs import in_order, make_jobs
from perennate.planning.judged import findings_of
from perennate.planning.near import with_near_term
from perennate.planning.needs import make_needs
from perennate.planning.plan import Job, Plan
from perennate.planning.water.season_water import season_water
from perennate.planning.water.watering_jobs import WATER, watering_jobs
from perennate.planning.water_plan import WaterPlan
from perennate.weather.climate import Climate
from perennate.weather.recent import NearTerm


def completed(
    plan: Plan,
    holding: Holding,
    catalogue: Catalogue,
    climate: Climate,
    weeks: Weeks,
    near: NearTerm | None = None,
    previous_jobs: Sequence[Job] = (),
) -> Plan:
    """The plan with what its plantings ask for; jobs keep the keys of the jobs before."""
    water = season_water(plan.plantings, holding, catalogue, climate, weeks, plan.water)
    jobs = make_jobs(
        plan.plantings, holding, catalogue, climate, weeks.today, weeks.count, previous_jobs
    )
    if near is not None:
        jobs = with_near_term(jobs, near)
    with_water = replace(plan, jobs=jobs, water=water)
    return judged_anew(
        watered_anew(with_water, water, holding, catalogue), holding, catalogue, climate, weeks
    )


def watered_anew(
    plan: Plan, water: WaterPlan | None, holding: Holding, catalogue: Catalogue
) -> Plan:
    """The plan with other water, and the waterings that follow from it among its jobs."""
    jobs = [job for job in plan.jobs if job.kind != WATER]
    if water is not None:
        jobs += watering_jobs(water, plan, holding, catalogue)
    return replace(plan, water=water, jobs=tuple(sorted(jobs, key=in_order)))


def judged_anew(
    plan: Plan, holding: Holding, catalogue: Catalogue, climate: Climate, weeks: Weeks
) -> Plan:
    """The plan of the same plantings, jobs and water with its needs and findings made anew."""
    needs = make_needs(
        plan.plantings, plan.jobs, holding, catalogue, weeks.today, weeks.count, plan.water
    )
    plan = replace(plan, needs=needs, findings=())
    return replace(plan, findings=findings_of(plan, holding, catalogue, climate, weeks))
