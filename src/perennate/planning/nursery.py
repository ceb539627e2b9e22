"""The bench under cover: which containers stand on it from when to when, and the room they take."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from perennate.catalogue.crop_care import nursery_way
from perennate.catalogue.model import Catalogue, Container, Crop
from perennate.holding.model import Holding, Nursery
from perennate.planning.plan import PlannedPlanting, Route
from perennate.planning.sample import sample_planting
from perennate.planning.seed_counts import NurseryStart, nursery_start, start_of

USUAL_CONTAINER = "tray_72"
CARRIED_M2 = 0.15
"""One tray as carried out and in, for work that goes by the tray."""


@dataclass(frozen=True, slots=True)
class Stage:
    """One stay on the bench: from a day up to a day, `count` plants in `container`."""

    step: str
    start: date
    end: date
    container: Container
    each: float
    """Plants to one cell or flat."""
    count: int

    @property
    def cells(self) -> int:
        return ceil(self.count / self.each)

    @property
    def trays(self) -> int:
        return ceil(self.cells / self.container.cells)

    @property
    def bench_m2(self) -> float:
        return self.cells / self.container.cells_per_m2

    @property
    def mix_l(self) -> float:
        """Litres of mix to fill the cells, settling and spill not yet added."""
        return self.cells * self.container.fill_l_per_cell.value

    @property
    def carried(self) -> float:
        return self.bench_m2 / CARRIED_M2


def stages_of(
    crop: Crop,
    planting: PlannedPlanting,
    start: NurseryStart,
    catalogue: Catalogue,
    nursery: Nursery,
) -> tuple[Stage, ...]:
    """The stays on the bench from sowing to planting out, in order.

    Weeks of the usual way are squeezed where the planting is raised faster than that: pricking
    out no later than 0.45 and potting on no later than 0.75 of the time.
    """
    way = nursery_way(crop.key, nursery.container)
    days = (planting.ground_from - planting.sow).days
    if planting.route != "nursery" or days <= 0:
        return ()
    moves: list[tuple[str, int, str, float, int]] = [
        ("sow", 0, way.sow_in, way.seeds_each, start.seeds)
    ]
    if way.prick_into:
        day = round(min(way.prick_weeks * 7, 0.45 * days))
        moves.append(("prick out", day, way.prick_into, 1.0, start.prick_out))
    if way.pot_into:
        day = round(min(way.pot_weeks * 7, 0.75 * days))
        moves.append(("pot on", day, way.pot_into, 1.0, start.pot_on))
    stages = []
    for index, (step, day, container, each, count) in enumerate(moves):
        until = moves[index + 1][1] if index + 1 < len(moves) else days
        stages.append(
            Stage(
                step,
                planting.sow + timedelta(day),
                planting.sow + timedelta(until),
                container_of(container, catalogue),
                each,
                count,
            )
        )
    return tuple(stages)


def container_of(key: str, catalogue: Catalogue) -> Container:
    """The container of that key, or the usual tray of 72 where the catalogue lacks it."""
    return catalogue.containers.get(key) or catalogue.containers[USUAL_CONTAINER]


def bench_stays(
    plantings: Sequence[PlannedPlanting], holding: Holding, catalogue: Catalogue
) -> tuple[tuple[str, Stage], ...]:
    """Every stay on the bench with the key of its planting, in order of plantings."""
    stays = []
    for planting in plantings:
        crop = catalogue.crops.get(planting.crop)
        if crop is None or planting.route != "nursery" or planting.plants < 1:
            continue
        start = start_of(crop, planting, holding)
        for stage in stages_of(crop, planting, start, catalogue, holding.nursery):
            stays.append((planting.key, stage))
    return tuple(stays)


def bench_by_week(
    plantings: Sequence[PlannedPlanting],
    holding: Holding,
    catalogue: Catalogue,
    start: date,
    weeks: int,
) -> tuple[float, ...]:
    """The most bench [m2] taken on any day of each week of the plan."""
    days = [0.0] * (7 * weeks)
    for _, stage in bench_stays(plantings, holding, catalogue):
        first = max((stage.start - start).days, 0)
        for day in range(first, min((stage.end - start).days, len(days))):
            days[day] += stage.bench_m2
    return tuple(round(max(days[7 * week : 7 * week + 7]), 3) for week in range(weeks))


def bench_per_plant(
    crop: Crop,
    route: Route,
    catalogue: Catalogue,
    nursery: Nursery,
    nursery_days: int,
    surety: float = 0.9,
) -> tuple[tuple[int, int, float], ...]:
    """Stays on the bench of one plant that is to stand: (first day, day after, m2), from sowing.

    Taken from a batch of a hundred from seed of unstated germination, so that spares are in it.
    """
    if route != "nursery" or nursery_days <= 0:
        return ()
    way = nursery_way(crop.key, nursery.container)
    start = nursery_start(crop, 100, None, surety, way)
    sample = sample_planting(crop, route, 100, nursery_days, 60)
    return tuple(
        (
            (stage.start - sample.sow).days,
            (stage.end - sample.sow).days,
            stage.count / stage.each / stage.container.cells_per_m2 / 100,
        )
        for stage in stages_of(crop, sample, start, catalogue, nursery)
    )


def bench_m2_weeks_per_plant(
    crop: Crop, route: Route, catalogue: Catalogue, nursery: Nursery, nursery_days: int
) -> float:
    """m2 of bench times weeks that one plant standing in the bed has taken."""
    stays = bench_per_plant(crop, route, catalogue, nursery, nursery_days)
    return sum((end - first) / 7 * m2 for first, end, m2 in stays)
