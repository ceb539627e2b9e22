"""The water that each way of growing a crop will ask for, before anything is placed."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from perennate.catalogue.crop_water import crop_waters
from perennate.catalogue.model import Catalogue
from perennate.holding.model import Bed, Holding
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.offers import Offer
from perennate.planning.plan import Route
from perennate.planning.sample import sample_planting
from perennate.planning.water.run import watered
from perennate.planning.water.stands import Stand, days_of
from perennate.weather.climate import Climate

YEARS = 8
"""Years of weather from which a mean week is taken: enough to order crops by their thirst."""
BARE_DAYS = 30

ByWeek = tuple[tuple[int, float], ...]


def water_of_offers(
    offers: Sequence[Offer],
    holding: Holding,
    catalogue: Catalogue,
    climate: Climate,
    weeks: Weeks,
) -> tuple[ByWeek, ...]:
    """Litres per m2 by week of the plan that each offer is given by the holding's habit, mean of
    the years, in the kind of bed of which there is most."""
    if not offers or not holding.beds:
        return tuple(() for _ in offers)
    bed = _usual_bed(holding)
    days = days_of(weeks)
    known = crop_waters()
    asked = sorted({_key(offer) for offer in offers if offer.crop in known})
    stands = []
    for crop_key, route, begins, ends in asked:
        crop = catalogue.crops[crop_key]
        sample = sample_planting(crop, route, 9, 0, (ends - begins).days)
        start = days.place(begins)
        end = min(days.place(ends), days.count)
        if start >= end:
            continue
        bare = min(BARE_DAYS, start)
        planting = replace(sample, sow=begins, ground_from=begins, ground_to=ends, spacing_cm=0.0)
        stands.append(
            Stand(
                planting,
                bed,
                known[crop_key],
                start - bare,
                bare,
                end - start + bare,
                0,
                (ends - begins).days,
                holding.habits.watering,
            )
        )
    if not stands:
        return tuple(() for _ in offers)
    ran = watered(stands, days, holding, catalogue, climate, most_years=YEARS, by_bed=False)
    litres = ran.run.by_week["watering"].astype(np.float64).mean(axis=1).round(2)
    by_key = {
        (s.planting.crop, s.planting.route, s.planting.ground_from, s.planting.ground_to): tuple(
            (int(week), float(row[week])) for week in np.flatnonzero(row)
        )
        for s, row in zip(stands, litres, strict=True)
    }
    return tuple(by_key.get(_key(offer), ()) for offer in offers)


def _key(offer: Offer) -> tuple[str, Route, date, date]:
    return (offer.crop, offer.route, offer.ground_from, offer.ground_to)


def _usual_bed(holding: Holding) -> Bed:
    """A bed of the kind (soil, mulch, cover, watering) that takes up most ground."""
    ground: dict[tuple[str, ...], float] = {}
    for bed in holding.beds:
        ground[_kind(bed)] = ground.get(_kind(bed), 0.0) + bed.area_m2
    most = max(sorted(ground), key=lambda kind: ground[kind])
    return next(bed for bed in holding.beds if _kind(bed) == most)


def _kind(bed: Bed) -> tuple[str, ...]:
    return (bed.soil, bed.mulch, bed.cover, bed.watering)
