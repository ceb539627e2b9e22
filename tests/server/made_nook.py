"""A small made holding that is planned in a few seconds."""

from datetime import date

from perennate.holding.model import Aim, Bed, Holding, Nursery, Person, Site


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
