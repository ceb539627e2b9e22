"""Which crops carry every figure that a plan needs of them."""

from collections.abc import Collection, Mapping

from perennate.catalogue.figures import NOT_FOOD

_EVERY_CROP = (
    "days_to_first_harvest",
    "harvest_window",
    "temp_base",
    "soil_temp_sow_min",
    "kill_vegetative",
    "yield",
    "rest_years",
)
_FOOD = ("edible_fraction", "energy", "protein", "life_best", "eaten_per_year")


def missing_for_plan(role: str, figures: Collection[str]) -> tuple[str, ...]:
    """Names of the figures that a crop of this role lacks before it can be planned.

    Room is known by the close spacing, or else by the rows and the distance in the row. A crop
    that stands for years needs more than this list; see `is_ready`.
    """
    needed = _EVERY_CROP if role in NOT_FOOD else _EVERY_CROP + _FOOD
    missing = [name for name in needed if name not in figures]
    if "spacing_close" not in figures and not {"row_spacing", "in_row_spacing"} <= set(figures):
        missing.append("spacing_close")
    return tuple(missing)


def is_ready(role: str, life_cycle: str, figures: Mapping[str, float]) -> bool:
    """Whether a plan of annual crops can take the crop: every figure there, gone within a year.

    `figures` holds the values by name.
    """
    if missing_for_plan(role, figures):
        return False
    return life_cycle != "perennial" and figures["days_to_first_harvest"] < 365
