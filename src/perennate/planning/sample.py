"""A planting of no place and an ordinary year, from which rates per m2 and per plant are taken."""

from datetime import date, timedelta

from perennate.catalogue.model import Crop
from perennate.planning.plan import PlannedPlanting, Route
from perennate.terms import Estimate

SAMPLE_SOWN = date(2001, 4, 2)


def sample_planting(
    crop: Crop,
    route: Route,
    plants: int,
    nursery_days: int,
    ground_days: int,
    area_m2: float = 1.0,
    spacing_cm: float = 30.0,
) -> PlannedPlanting:
    """`plants` of a crop on `area_m2`, `nursery_days` under cover (if so raised), then in a bed."""
    sow = SAMPLE_SOWN
    ground = sow + timedelta(nursery_days if route == "nursery" else 0)
    end = ground + timedelta(ground_days)
    width = min(1.2, area_m2)
    row_m = spacing_cm / 100
    return PlannedPlanting(
        key="sample",
        crop=crop.key,
        variety="",
        lot="",
        bed="sample",
        route=route,
        status="planned",
        sow=sow,
        ground_from=ground,
        first_harvest=end - timedelta(1),
        last_harvest=end - timedelta(1),
        ground_to=end,
        start_m=0.0,
        length_m=area_m2 / width,
        width_m=width,
        layout="broadcast" if plants == 0 else "offset",
        spacing_cm=spacing_cm,
        rows=max(1, round(width / (row_m * 0.866))),
        plants=plants,
        harvest=Estimate(0.0, 0.0, 0.0, "kg", "assumed", "assumed"),
        by_week=(),
        aims=(),
        rotation_group=crop.fact("rotation_group"),
        rest_years=0.0,
        frost_risk=0.0,
        heat_risk=0.0,
        why=(),
    )
