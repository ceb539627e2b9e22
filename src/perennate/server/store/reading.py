"""What a page is made from: the holding as it stands, its season and its plan, held in memory.

Reading a season takes longer than showing a page, so what was read last is kept as long as the
holding's edition is the same; climates are kept as long as site and weather are.
"""

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any, ClassVar

from perennate.holding.model import Holding
from perennate.planning.by_hand import with_hand
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.plan import Plan
from perennate.planning.water.keeping import Kept as KeptWater
from perennate.planning.water.keeping import water_kept
from perennate.planning.water.today import BedToday, water_today
from perennate.season_files import (
    SeasonInput,
    common_names,
    days_at_hand,
    near_term,
    own_catalogue,
    season_of,
)
from perennate.server.store import models
from perennate.server.store.rows import (
    holding_of,
    inputs_of,
    plan_of,
    settings_kept,
    tables_of,
    weather_of,
)
from perennate.weather.climate import Climate

_KEPT = 8


class Kept:
    """The last few things made, by what they were made from; each is made once at a time."""

    every: ClassVar["list[Kept]"] = []

    def __init__(self, most: int = _KEPT) -> None:
        self._most = most
        self.every.append(self)
        self._made: OrderedDict[Hashable, Any] = OrderedDict()
        self._lock = threading.RLock()

    def get(self, key: Hashable, make: Callable[[], Any]) -> Any:
        with self._lock:
            if key not in self._made:
                self._made[key] = make()
                while len(self._made) > self._most:
                    self._made.popitem(last=False)
            self._made.move_to_end(key)
            return self._made[key]

    def clear(self) -> None:
        with self._lock:
            self._made.clear()


_seasons, _climates, _plans, _laid, _waters = Kept(), Kept(), Kept(16), Kept(), Kept()
_kept_waters = Kept(64)


@dataclass(frozen=True, slots=True)
class Standing:
    """A holding as it stands: `made` is its plan as it was made, `plan` with the grower's hand
    laid over it; both None while there is none. `is_stale` tells that what the plan was made from
    has changed since."""

    store_id: int
    slug: str
    edition: int
    season: SeasonInput
    number: int | None
    made: Plan | None
    plan: Plan | None
    is_stale: bool

    @property
    def holding(self) -> Holding:
        return self.season.holding


def standing(store: models.Holding) -> Standing:
    """The holding as it stands in the store. BadInput when its weather or plan cannot be read."""
    found: Standing = _seasons.get((store.pk, store.edition, store.plan_id), lambda: _read(store))
    return found


def _read(store: models.Holding) -> Standing:
    season = season_in(store, holding_of(store))
    made = made_plan(store.plan) if store.plan is not None else None
    number = store.plan.number if store.plan is not None else None
    plan = laid_over(made, season) if made is not None else None
    stale = store.plan is not None and _is_stale(store.plan, season.holding, weather_of(store))
    return Standing(store.pk, store.slug, store.edition, season, number, made, plan, stale)


def _is_stale(row: models.Plan, holding: Holding, weather: Mapping[str, str]) -> bool:
    """Whether a new plan would be made from something else than this one was, but for records,
    which no plan is made from."""
    inputs = inputs_of(row)
    then = (inputs.settings, {**inputs.tables, "records": {}}, inputs.weather)
    return then != (settings_kept(holding), {**tables_of(holding), "records": {}}, dict(weather))


def season_in(
    store: models.Holding, holding: Holding, weather_files: Mapping[str, str] | None = None
) -> SeasonInput:
    """What is planned with, from this holding and the weather that the store keeps for it.

    `weather_files` are the digests of its weather files' content, read anew unless given.
    """
    digests = weather_of(store) if weather_files is None else weather_files
    site = (holding.site, tuple(digests.items()))

    def read() -> SeasonInput:
        blobs = models.Blob.objects.in_bulk(list(digests.values()))
        content = {name: bytes(blobs[digest].content) for name, digest in digests.items()}
        return season_of(replace(holding, own_values=()), content)

    weather: SeasonInput = _climates.get(site, read)
    catalogue = own_catalogue(holding)
    names = common_names(catalogue)
    return SeasonInput(holding, catalogue, weather.climate, names, weather.series)


def made_plan(row: models.Plan) -> Plan:
    """The plan that the row keeps, as it was made."""
    plan: Plan = _plans.get(row.pk, lambda: plan_of(row))
    return plan


def laid_over(made: Plan, season: SeasonInput) -> Plan:
    """The plan with the grower's hand laid over it, its findings those of the plan as it stands.

    What an act would do is reckoned before it is saved and shown after, so it is kept.
    """

    def lay() -> tuple[Plan, Climate, Plan]:
        near = near_term(season, made.as_of)
        laid = with_hand(made, season.holding, season.catalogue, season.climate, near)
        return made, season.climate, laid

    # what the numbers stand for is kept with the answer, so none is given out again meanwhile
    # and records, which change nothing in a plan, are no reason to lay it over anew
    bare = replace(season.holding, records=tuple(r for r in season.holding.records if not r.job))
    return _laid.get((id(made), id(season.climate), bare), lay)[-1]  # type: ignore[no-any-return]


def water_at_hand(standing: Standing, today: date) -> tuple[BedToday, ...]:
    """What each bed wants of water today, by the last days' weather and what was written down."""
    plan = standing.plan
    if plan is None or plan.water is None:
        return ()
    if not plan.start <= today < plan.start + timedelta(weeks=plan.weeks):
        return ()

    def reckon() -> tuple[BedToday, ...]:
        season = standing.season
        near = days_at_hand(season, today)
        return water_today(plan, season.holding, season.catalogue, season.climate, near)

    key = (standing.store_id, standing.edition, standing.number, today)
    return _waters.get(key, reckon)  # type: ignore[no-any-return]


def water_kept_in(standing: Standing, bed: str) -> tuple[KeptWater, ...]:
    """What would hold water in a bed, as the plan stands; empty where nothing of it grows there.

    It runs the bed through all years for each change, which takes longer than showing a page.
    """
    plan = standing.plan
    if plan is None:
        return ()

    def reckon() -> tuple[KeptWater, ...]:
        season = standing.season
        weeks = Weeks(plan.start, plan.weeks, plan.as_of)
        return water_kept(
            bed, plan.plantings, season.holding, season.catalogue, season.climate, weeks
        )

    key = (standing.store_id, standing.edition, standing.number, bed)
    return _kept_waters.get(key, reckon)  # type: ignore[no-any-return]


def forget() -> None:
    """Forget all that is kept in memory, as a fresh start does."""
    for kept in Kept.every:
        kept.clear()
