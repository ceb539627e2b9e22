"""From a holding to its season: the one way through the planner."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta

from perennate.catalogue.model import Catalogue
from perennate.holding.model import HandPlanting, Holding
from perennate.planning.allocate.ground import Ground
from perennate.planning.allocate.problem import Piece
from perennate.planning.allocate.search import EFFORTS, Found, search
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.completed import completed
from perennate.planning.demand import Demand, demand
from perennate.planning.hand import (
    STRIP_M,
    Standing,
    longest_rests,
    resting,
    standing_rows,
)
from perennate.planning.jobs import make_jobs, minutes_by_week
from perennate.planning.keys import with_keys
from perennate.planning.nursery import bench_by_week
from perennate.planning.offers import Growing, Offer, offers
from perennate.planning.own_rows import (
    as_before,
    families_of,
    plannable_crops,
    row_of,
    sorted_rows,
    with_odds,
    without_misfits,
)
from perennate.planning.placed import for_sale, placed, written
from perennate.planning.plan import VERSION, HoldingSummary, Plan, PlannedPlanting
from perennate.planning.pose import Posed, pose
from perennate.planning.results import aim_results, solver_report, yields_of
from perennate.planning.serving import covered_by
from perennate.planning.water.supply_of import water_supply
from perennate.weather.climate import Climate
from perennate.weather.recent import NearTerm

Progress = Callable[[str, float], None]


def make_plan(
    holding: Holding,
    catalogue: Catalogue,
    climate: Climate,
    as_of: date,
    previous: Plan | None = None,
    seed: int = 0,
    effort: str = "usual",
    progress: Progress | None = None,
    near: NearTerm | None = None,
) -> Plan:
    """The season from `as_of` on. Same arguments, same plan, to the byte.

    `catalogue` should already carry the holding's own values. `previous` keeps keys, and its
    plantings stay where no change gains anything; what it had sown by `as_of` is taken as
    standing unless the holding's own rows say otherwise. `near` is what readings and a forecast
    say of the days about `as_of`: jobs with a go or no-go rule then carry it.
    """
    tell = progress or (lambda stage, share: None)
    weeks = _weeks(as_of, holding.weeks, previous)
    in_order = holding.aims
    holding = sorted_rows(holding)
    holding = _with_sown(holding, previous, as_of)
    tell("options", 0.0)
    known = _known_offers(holding, catalogue, climate, weeks)
    families = families_of(catalogue)
    rest_years = longest_rests(catalogue.crops[key] for key in known)
    standing = standing_rows(holding, catalogue, known, weeks)
    standing = with_odds(standing, catalogue, Growing(climate, weeks))
    standing = as_before(standing, holding, catalogue, previous)
    standing = without_misfits(standing, holding, catalogue, families, rest_years, weeks)
    own_rows = written(standing, holding, catalogue, weeks)
    batches = for_sale(holding, catalogue, weeks)
    ready: dict[str, list[tuple[date, float]]] = {}
    for planting in own_rows:
        for week in planting.by_week:
            ready.setdefault(planting.crop, []).append((week.week, week.kg))
    covered = covered_by(own_rows, holding, weeks)
    wanted = demand(holding, catalogue, weeks, ready, covered)
    posed, found = _allocate(
        holding,
        catalogue,
        weeks,
        wanted,
        known,
        standing,
        families,
        rest_years,
        own_rows,
        batches,
        previous,
        seed,
        effort,
        tell,
        climate,
    )
    plantings: list[PlannedPlanting] = [*own_rows, *batches]
    if posed is not None and found is not None:
        plantings += placed(found.pieces, posed, holding, catalogue, weeks)
    keyed = with_keys(plantings, previous.plantings if previous else ())
    keyed = tuple(sorted(keyed, key=lambda p: (p.sow, p.bed, p.start_m, p.key)))
    tell("jobs", 0.9)
    plan = Plan(
        version=VERSION,
        as_of=as_of,
        start=weeks.start,
        weeks=weeks.count,
        seed=seed,
        effort=effort,
        holding=_summary(holding, climate),
        aims=aim_results(in_order, holding, catalogue, wanted, posed, found, batches, weeks),
        plantings=keyed,
        jobs=(),
        needs=(),
        findings=(),
        yields=yields_of(keyed, holding, catalogue, wanted, found, weeks),
        solver=solver_report(found, posed, holding, weeks),
    )
    return completed(
        plan, holding, catalogue, climate, weeks, near, previous.jobs if previous else ()
    )


def _known_offers(
    holding: Holding, catalogue: Catalogue, climate: Climate, weeks: Weeks
) -> dict[str, list[Offer]]:
    """Offers of every crop that the plan may need: food, seed, habitat, compost and own rows."""
    growing = Growing(climate, weeks)
    return {
        key: offers(catalogue.crops[key], growing) for key in plannable_crops(holding, catalogue)
    }


def _allocate(
    holding: Holding,
    catalogue: Catalogue,
    weeks: Weeks,
    wanted: Demand,
    known: dict[str, list[Offer]],
    standing: Sequence[Standing],
    families: dict[str, int],
    rest_years: dict[str, float],
    own_rows: Sequence[PlannedPlanting],
    batches: Sequence[PlannedPlanting],
    previous: Plan | None,
    seed: int,
    effort: str,
    tell: Progress,
    climate: Climate,
) -> tuple[Posed | None, Found | None]:
    if not wanted.goods or not holding.beds:
        return None, None
    others = with_keys([*own_rows, *batches], ())
    bench = bench_by_week(others, holding, catalogue, weeks.start, weeks.count)
    jobs = make_jobs(others, holding, catalogue, climate, weeks.today, weeks.count)
    minutes = minutes_by_week(jobs, weeks.start, weeks.count)
    posed = pose(
        holding,
        catalogue,
        weeks,
        wanted,
        known,
        standing,
        resting(holding, catalogue, standing, families, rest_years, weeks),
        families,
        rest_years,
        bench,
        minutes,
        climate,
        water_supply(own_rows, holding, catalogue, climate, weeks),
    )
    before = _pieces_before(previous, posed, holding, weeks) if previous else ()
    found = search(posed.problem, EFFORTS[effort], seed, before=before, progress=tell)
    return posed, found


def _with_sown(holding: Holding, previous: Plan | None, as_of: date) -> Holding:
    """The holding with what the plan before had in the ground or on the bench by `as_of`."""
    if previous is None:
        return holding
    named = {row.key for row in holding.plantings}
    taken = [row for row in holding.plantings if row.hand in ("stands", "fixed", "past")]
    added = [
        row_of(old, "stands")
        for old in previous.plantings
        if old.status == "planned"
        and old.bed
        and old.sow < as_of < old.ground_to
        and old.key not in named
        and not any(row.bed == old.bed and _overlap(row, old) for row in taken)
    ]
    return replace(holding, plantings=(*holding.plantings, *added))


def _weeks(as_of: date, count: int, previous: Plan | None) -> Weeks:
    """The plan's weeks: from `as_of`, or as in the plan before, so that no date moves idly."""
    if previous is None:
        return Weeks(as_of, count)
    return Weeks(as_of - timedelta((as_of - previous.start).days % 7), count, as_of)


def _overlap(row: HandPlanting, old: PlannedPlanting) -> bool:
    begins = row.ground_from or row.sown or date.min
    ends = row.ground_to or date.max
    if begins >= old.ground_to or ends <= old.ground_from:
        return False
    start = row.start_m or 0.0
    end = start + row.length_m if row.length_m is not None else float("inf")
    return start < old.start_m + old.length_m and old.start_m < end


def _pieces_before(
    previous: Plan, posed: Posed, holding: Holding, weeks: Weeks
) -> tuple[Piece, ...]:
    """The previous plan's plantings still to come, as pieces of the new problem."""
    numbers = {bed.key: index for index, bed in enumerate(holding.beds)}
    named = {row.key for row in holding.plantings}
    by_stem: dict[tuple[str, str], list[int]] = {}
    for index, offer in enumerate(posed.offers):
        by_stem.setdefault((offer.crop, offer.route), []).append(index)
    ground = Ground(posed.problem)
    for old in previous.plantings:
        if old.status != "planned" or old.bed not in numbers or old.sow < weeks.today:
            continue
        if old.key in named:
            continue
        bed = numbers[old.bed]
        near = [
            index
            for index in by_stem.get((old.crop, old.route), [])
            if abs((posed.offers[index].ground_from - old.ground_from).days) <= 4
            and bed not in posed.problem.options[index].refused
            and posed.problem.options[index].fitness[posed.bed_groups[bed]] > 0
            and _same_use(posed, index, old)
        ]
        if not near:
            continue
        index = min(
            near,
            key=lambda i: (
                abs((posed.offers[i].ground_from - old.ground_from).days),
                abs((posed.offers[i].ground_to - old.ground_to).days),
                i,
            ),
        )
        first = round(old.start_m / STRIP_M)
        piece = Piece(bed, first, index, max(1, round(old.length_m / STRIP_M)))
        open_strips = ground.open_strips(bed, posed.problem.options[index])
        if open_strips[first : first + piece.strips].all() and first + piece.strips <= len(
            open_strips
        ):
            ground.add(piece)
    return tuple(ground.pieces)


def _same_use(posed: Posed, index: int, old: PlannedPlanting) -> bool:
    use = posed.uses[posed.problem.options[index].good]
    return (use.aim in old.aims) if use.aim else use.kind == "food"


def _summary(holding: Holding, climate: Climate) -> HoldingSummary:
    return HoldingSummary(
        holding.site.name,
        holding.site.latitude_deg,
        holding.site.elevation_m,
        len(holding.beds),
        round(sum(bed.area_m2 for bed in holding.beds), 2),
        holding.units,
        climate.basis,
        climate.notes,
    )
