"""A small made holding that is planned in a few seconds."""

from datetime import date
from functools import cache

from perennate.holding.model import Aim, Bed, Holding, Nursery, Person, Site
from perennate.planning.plan import Plan
from perennate.planning.season import make_plan
from perennate.season_files import season_of


def nook() -> Holding:
    """Three beds, three aims, one eater: planned in two seconds."""
    span = date(2026, 6, 1), date(2026, 12, 15)
    return Holding(
        Site("Nook", 46.0, 9.0, 200.0),
        date(2026, 3, 2),
        52,
        "metric",
        people=(Person("Ines", "female", 40, 62, 1.7),),
        eats=("carrot", "lettuce_leaf", "kale"),
        nursery=Nursery(bench_m2=1.0, warm_m2=0.5),
        beds=(Bed("north", 5.0, 1.2), Bed("mid", 4.0, 1.2), Bed("wall", 3.0, 0.8)),
        aims=(
            Aim("roots", "food", "carrot", "", 5.0, "kg", "season", *span, 1),
            Aim("leaves", "food", "lettuce_leaf", "", 0.2, "kg", "week", *span),
            Aim("winter", "food", "kale", "", 4.0, "kg", "season", *span, 3),
        ),
    )


@cache
def nook_plan() -> Plan:
    """Its plan, looked for quickly."""
    season = season_of(nook(), {})
    return make_plan(
        season.holding, season.catalogue, season.climate, date(2026, 3, 2), effort="quick"
    )
