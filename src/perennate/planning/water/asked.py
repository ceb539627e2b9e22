"""What each planting asks of the water, day by day: its crop, its spacing, its bed's mulch."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Bed
from perennate.planning.water.stands import Days, Stand
from perennate.science.covers import COVERS, Cover, evaporation_under_mulch
from perennate.science.crop_water import (
    kc_for_climate,
    kc_max,
    kcb_for_cover,
    root_depth_course,
    scaled_stages,
    stage_course,
    stage_of_day,
)
from perennate.science.soil_water import CropDays, crop_days
from perennate.weather.climate import Climate, least_humidity, wind

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

FIRST_ROOTS_M = 0.15
"""Depth from which a seedling or a plug drinks [m]; memory."""
DRIP_WETS = 0.4
"""Share of a bed's surface that drip lines wet (Allen and others 1998, FAO 56, table 20: 0.3 to
0.4 for trickle; beds of several lines the more), memory."""
SOWN_BARE_DAYS = 28
"""Mulch is drawn to seedlings so long after sowing in the bed; common practice, memory."""
SHELTER_TAKES = 0.1
"""Share of the air's demand that a hedge or fence takes off where only temperature is known: wind
of 1 instead of 2 m/s is 7 % in example 20 of FAO 56, and hedges take more; assumed."""

MULCHES: Mapping[str, str] = {
    "none": "none",
    "straw": "organic",
    "grass cuttings": "organic",
    "leaves": "organic",
    "wood chips": "organic",
    "compost": "organic",
    "sheet": "plastic",
}
"""The holding's words for mulch, as `science.covers` knows them."""
USUAL_MULCH_CM = 5.0
DEEP = ("none", "rain")
_COVERS: Mapping[str, str] = {"shade net": "shade"}


def cover_of(bed: Bed) -> Cover:
    return COVERS[_COVERS.get(bed.cover, bed.cover)]


@dataclass(frozen=True)
class Asked:
    """Each of shape (plantings, days of the planting); `roots_m` [m], `stage` 0 to 3, -1 bare."""

    crop: CropDays
    roots_m: Floats
    stage: Ints
    day: Ints
    """Day of the planting from 1; 0 and below while the ground is still bare."""


def asked(
    stands: Sequence[Stand],
    days: Days,
    catalogue: Catalogue,
    climate: Climate,
) -> Asked:
    """What plantings ask of the water, with roots as deep as they are watered for; where nothing
    is watered once it has settled in, as deep as they can go."""
    longest = max(stand.days for stand in stands)
    bare = np.array([stand.bare for stand in stands])[:, None]
    grown = np.array([stand.grown for stand in stands])[:, None]
    day = np.arange(1, longest + 1)[None, :] - bare + grown
    day = np.where(np.arange(longest)[None, :] < bare, 0, day)
    lengths = scaled_stages(
        [stand.water.stages_d for stand in stands], [float(stand.whole) for stand in stands]
    )
    height = np.array([stand.water.height_m for stand in stands])
    middle = [days.of_year[min(stand.settled, days.count - 1)] for stand in stands]
    moved_wind = _over_season(wind(climate), middle, stands)
    dry = _over_season(least_humidity(climate), middle, stands)
    initial, mid, end = np.array([stand.water.kcb for stand in stands]).T
    mid = kc_for_climate(mid, moved_wind, dry, height)
    end = kc_for_climate(end, moved_wind, dry, height)
    cover = np.array([_cover_when_grown(stand, catalogue) for stand in stands])
    mid = np.where(cover < 1.0, kcb_for_cover(mid, cover, height), mid)
    end = np.minimum(end, np.maximum(mid, initial))
    basal = np.where(day > 0, stage_course(np.maximum(day, 1), lengths, initial, mid, end), 0.0)
    most = kc_max(basal, moved_wind[:, None], dry[:, None], height[:, None])
    roots = _roots(stands, basal, initial, mid)
    stage = np.where(day > 0, stage_of_day(np.maximum(day, 1), lengths), -1)
    crop = crop_days(
        basal,
        most,
        height[:, None],
        np.array([stand.water.depletion for stand in stands])[:, None],
        wetted_share=np.array([wetted(stand.bed) for stand in stands])[:, None],
        evaporation_left=_evaporation_left(stands, day),
        et0_share=np.array([_demand_share(stand.bed) for stand in stands])[:, None],
    )
    return Asked(crop, roots, stage, day)


def _over_season(by_day: Floats, first: Sequence[int], stands: Sequence[Stand]) -> Floats:
    """The mean of a course over the year in each planting's time."""
    return np.array(
        [
            by_day[(begin + np.arange(max(stand.days - stand.bare, 1))) % 365].mean()
            for begin, stand in zip(first, stands, strict=True)
        ]
    )


def _cover_when_grown(stand: Stand, catalogue: Catalogue) -> float:
    """Share of the ground that leaves cover when grown: less where plants stand wider than close,
    in proportion to the ground that each has."""
    crop = catalogue.crops.get(stand.planting.crop)
    close = crop.value("spacing_close", 0.0) if crop is not None else 0.0
    if stand.planting.layout == "broadcast" or close <= 0 or stand.planting.spacing_cm <= close:
        return 1.0
    return float((close / stand.planting.spacing_cm) ** 2)


def _roots(stands: Sequence[Stand], basal: Floats, initial: Floats, mid: Floats) -> Floats:
    """Depth of roots [m]; a compacted layer ends them."""
    most = np.array(
        [s.water.root_most_m if s.way in DEEP else s.water.root_least_m for s in stands]
    )
    pan = np.array([s.bed.pan_cm / 100 if s.bed.pan_cm is not None else np.inf for s in stands])
    most = np.minimum(most, np.maximum(pan, FIRST_ROOTS_M))
    first = np.minimum(FIRST_ROOTS_M, most)
    return root_depth_course(basal, initial, mid, first, most)


def wetted(bed: Bed) -> float:
    """Share of a bed's surface that watering wets."""
    return DRIP_WETS if bed.watering == "drip" else 1.0


def _demand_share(bed: Bed) -> float:
    return cover_of(bed).et0 * (1.0 - SHELTER_TAKES if bed.sheltered else 1.0)


def _evaporation_left(stands: Sequence[Stand], day: Ints) -> Floats:
    """Share of the ground's evaporation that its mulch leaves, from the day that it lies there."""
    left = np.ones(day.shape)
    for row, stand in enumerate(stands):
        depth = stand.bed.mulch_cm if stand.bed.mulch_cm is not None else USUAL_MULCH_CM
        from_day = SOWN_BARE_DAYS if stand.planting.route == "direct" else 1
        share = float(evaporation_under_mulch(MULCHES[stand.bed.mulch], 1.0, depth))
        left[row, day[row] >= from_day] = share
    return left
