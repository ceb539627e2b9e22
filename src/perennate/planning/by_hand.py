"""A stored plan with the grower's present rows laid over it, judged anew.

A plan is never altered once it is made. What the grower changes by hand stands in the rows of
`plantings`, with the planting's own key; what is shown is the plan with these rows laid over it.
No solver is run, so what is laid over is placed just as the rows say, well or badly: the checks
say what is wrong with it.
"""

from collections.abc import Mapping
from dataclasses import replace

from perennate.catalogue.model import Catalogue
from perennate.holding.model import HandPlanting, Holding
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.checks.hand import kept
from perennate.planning.completed import completed, judged_anew, watered_anew
from perennate.planning.hand import Standing, longest_rests, refused_beds, standing_rows
from perennate.planning.offers import Growing, offers
from perennate.planning.own_rows import (
    as_planned,
    families_of,
    plannable_crops,
    row_of,
    same_days,
    sorted_rows,
    with_odds,
    without_misfits,
)
from perennate.planning.placed import written
from perennate.planning.plan import Finding, Need, Plan, PlannedPlanting
from perennate.planning.recounted import recounted
from perennate.planning.water.season_water import season_water
from perennate.terms import Estimate, text
from perennate.weather.climate import Climate
from perennate.weather.recent import NearTerm

LAID = ("stands", "fixed", "wished")
"""Rows of these kinds are plantings."""
NOT_FOOD = ("seed", "habitat", "compost")


def with_hand(
    plan: Plan,
    holding: Holding,
    catalogue: Catalogue,
    climate: Climate,
    near: NearTerm | None = None,
) -> Plan:
    """The plan as it stands after the holding's present rows; the same object where these change
    nothing, not even what is to be got or looked out for.

    Rows that stand, are fixed or wished replace the planned planting of their key, or are added;
    a wished row that clashes with firmer ones is left out, as in a new plan. A planting whose
    row was deleted is planned again; a refused one is gone, save what stands. Jobs, needs and
    findings are made as for a new plan; aims and yields are counted on from what they were, by
    what is picked now. `catalogue` should already carry the holding's own values.
    """
    holding = sorted_rows(holding)
    weeks = Weeks(plan.start, plan.weeks, plan.as_of)
    growing = Growing(climate, weeks)
    plantings = _laid_over(plan, holding, catalogue, growing)
    if plantings == plan.plantings:
        return _checked_anew(plan, holding, catalogue, climate, weeks)
    aims, yields = recounted(plan, plantings, holding, catalogue, weeks)
    changed = replace(
        plan,
        plantings=plantings,
        aims=aims,
        yields=yields,
        solver=replace(plan.solver, text=text("solver.by_hand")),
    )
    return completed(changed, holding, catalogue, climate, weeks, near, plan.jobs)


def _checked_anew(
    plan: Plan, holding: Holding, catalogue: Catalogue, climate: Climate, weeks: Weeks
) -> Plan:
    """The plan of the same plantings with what beds, sources, lots, aims and figures as they are
    now make of its water, needs and findings. A plan made before water was reckoned stays so."""
    wet = plan
    if plan.water is not None:
        water = season_water(plan.plantings, holding, catalogue, climate, weeks, plan.water)
        if water is not plan.water:
            wet = watered_anew(plan, water, holding, catalogue)
    anew = judged_anew(wet, holding, catalogue, climate, weeks)
    needs_said = [_need_said(one) for one in plan.needs]
    if wet is not plan or [_need_said(one) for one in anew.needs] != needs_said:
        return anew
    if [_said(one) for one in anew.findings] != [_said(one) for one in plan.findings]:
        return replace(plan, findings=anew.findings)
    return plan


def _need_said(need: Need) -> tuple[object, ...]:
    return need.kind, need.item, need.variety, need.by, _rounded(need.amount), _rounded(need.have)


def _said(finding: Finding) -> tuple[object, ...]:
    """What a finding says, as far as a plan that was written and read again still says it."""
    figures = [
        (name, _rounded(value) if isinstance(value, float) else value)
        for name, value in finding.text.params
    ]
    return finding.rule, finding.gravity, finding.about, figures


def _rounded(value: float) -> float:
    return float(f"{value:.3g}")


def _laid_over(
    plan: Plan, holding: Holding, catalogue: Catalogue, growing: Growing
) -> tuple[PlannedPlanting, ...]:
    before = {planting.key: planting for planting in plan.plantings}
    own = {row.key: row for row in holding.plantings}
    standing = _whole_rows(plan, holding, catalogue, growing)
    found = [
        _as_rowed(one, own[one.row.key], before.get(one.row.key), holding, catalogue, growing.weeks)
        for one in standing
        if one.row.key in own
    ]
    laid = {one.row.key for one in standing if one.row.key in own}
    for old in plan.plantings:
        row = own.get(old.key)
        if old.key in laid or (row is not None and _takes_away(row, old)):
            continue
        if old.status in ("fixed", "wished"):
            old = replace(old, status="planned")
        if not _refused(old, holding):
            found.append(old)
    return tuple(sorted(found, key=lambda p: (p.sow, p.bed, p.start_m, p.key)))


def _whole_rows(
    plan: Plan, holding: Holding, catalogue: Catalogue, growing: Growing
) -> list[Standing]:
    """The rows made whole as a new plan would; those that the plan answers keep their place."""
    before = {planting.key: planting for planting in plan.plantings}
    named = {row.key for row in holding.plantings}
    pinned = [
        row_of(before[row.key], row.hand) if _answered(row, before) else row
        for row in holding.plantings
    ]
    pinned += [
        row_of(old, "stands")
        for old in plan.plantings
        if old.status == "stands" and old.key not in named
    ]
    whole = sorted_rows(replace(holding, plantings=tuple(pinned)))
    plannable = plannable_crops(whole, catalogue)
    asked = {
        row.crop for row in holding.plantings if row.hand in LAID and not _answered(row, before)
    }
    known = {key: offers(catalogue.crops[key], growing) for key in plannable if key in asked}
    standing = standing_rows(whole, catalogue, known, growing.weeks)
    standing = with_odds(standing, catalogue, growing)
    standing = [_as_in(plan, one, whole, catalogue) for one in standing]
    return without_misfits(
        standing,
        whole,
        catalogue,
        families_of(catalogue),
        longest_rests(catalogue.crops[key] for key in plannable),
        growing.weeks,
    )


def _as_in(plan: Plan, one: Standing, holding: Holding, catalogue: Catalogue) -> Standing:
    """A row of a planned planting's days keeps its harvest by the m2: the planting of its own
    key, else one of its crop and sowing, of which it is a part."""
    same = [old for old in plan.plantings if old.bed and same_days(one.row, old)]
    own = [old for old in same if old.key == one.row.key]
    parts = [old for old in same if old.sow == one.row.sown]
    for old in (*own, *parts):
        return as_planned(one, old, holding, catalogue)
    return one


def _answered(row: HandPlanting, before: Mapping[str, PlannedPlanting]) -> bool:
    """Whether the plan holds the row just so, under its own key."""
    return row.hand in LAID and row.key in before and kept(row, before[row.key])


def _as_rowed(
    one: Standing,
    row: HandPlanting,
    old: PlannedPlanting | None,
    holding: Holding,
    catalogue: Catalogue,
    weeks: Weeks,
) -> PlannedPlanting:
    """A row as a planting, which stays what it was in all that the row did not change."""
    if old is not None and kept(row, old):
        return replace(old, status=one.row.hand)  # type: ignore[arg-type]
    new = written([one], holding, catalogue, weeks)[0]
    if old is None or old.crop != new.crop:
        return new
    why = old.why if same_days(row, old) and old.sow == new.sow else new.why
    new = replace(new, aims=old.aims, why=why)
    if _is_no_food(old, holding):
        none = Estimate(0.0, 0.0, 0.0, "kg", "computed", "computed")
        new = replace(new, by_week=(), harvest=none)
    return new


def _is_no_food(planting: PlannedPlanting, holding: Holding) -> bool:
    kinds = [aim.kind for aim in holding.aims if aim.key in planting.aims]
    return bool(kinds) and all(kind in NOT_FOOD for kind in kinds)


def _takes_away(row: HandPlanting, old: PlannedPlanting) -> bool:
    """Whether a row with the planting's own key leaves no planting of it in the plan."""
    if row.hand in LAID:
        return True  # it clashes, or its bed or crop is unknown; a finding says so
    if row.crop != old.crop:
        return False
    return old.status == "stands" or (row.hand == "past" and row.ground_from == old.ground_from)


def _refused(planting: PlannedPlanting, holding: Holding) -> bool:
    """Whether a refused row bars a planned planting in its bed, as it would bar a new one."""
    if planting.status != "planned" or not planting.bed:
        return False
    barred = refused_beds(holding, planting.crop, planting.ground_from, planting.ground_to)
    if barred is None:
        return True
    return planting.bed in {holding.beds[number].key for number in barred}
