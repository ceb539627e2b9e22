"""What the ground of each planting holds, from its bed: texture, organic matter, stones, layers."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.soil_texture import soil_texture
from perennate.holding.model import Bed
from perennate.planning.water.asked import cover_of
from perennate.planning.water.stands import Days, Stand
from perennate.science.ground_days import PROFILE_M, Profile, ground_days, profile
from perennate.science.soil_hydraulics import Hydraulics
from perennate.science.soil_water import Ground
from perennate.weather.climate import Climate, soil_temperature

Floats = NDArray[np.float64]

ROOT_ZONE_M = 0.2
"""Depth at which the warmth of the root zone is taken [m]; assumed."""
DEEPER_M = 0.1


def soil_shares(bed: Bed) -> tuple[float, float, float]:
    """Sand and clay as shares, organic matter in %: the bed's own figures, else its texture's."""
    usual = soil_texture(bed.soil)
    sand = (usual.sand.value if bed.sand is None else bed.sand) / 100
    clay = (usual.clay.value if bed.clay is None else bed.clay) / 100
    if sand + clay > 1.0:  # one of them measured, the other only the texture's
        sand, clay = (1.0 - clay, clay) if bed.sand is None else (sand, 1.0 - sand)
    organic = usual.organic_matter.value if bed.organic_matter is None else bed.organic_matter
    return sand, clay, organic


def profile_of(beds: Sequence[Bed], deepest_roots_m: Floats) -> Profile:
    """The ground of each bed, deep enough for its roots."""
    shares = np.array([soil_shares(bed) for bed in beds])
    reach = np.maximum(PROFILE_M, deepest_roots_m + DEEPER_M)
    return profile(
        shares[:, 0],
        shares[:, 1],
        shares[:, 2],
        np.array([(bed.stones or 0.0) / 100 for bed in beds]),
        loosened_to_m=np.array([(bed.loosened_cm or 0.0) / 100 for bed in beds]),
        pan_at_m=np.array([np.inf if bed.pan_cm is None else bed.pan_cm / 100 for bed in beds]),
        bottom_m=reach,
        known=_known_of(beds),
    )


def _known_of(beds: Sequence[Bed]) -> Hydraulics:
    """Figures of beds whose soil has its own (peat), NaN for those that sand and clay tell."""
    own = [soil_texture(bed.soil).own_hydraulics for bed in beds]

    def figure(name: str) -> Floats:
        return np.array([np.nan if soil is None else getattr(soil, name) for soil in own])

    return Hydraulics(
        figure("wilting_point"),
        figure("field_capacity"),
        figure("saturation"),
        figure("conductivity_mm_h"),
        figure("bulk_density"),
        np.zeros(len(own), bool),
    )


def grounds(stands: Sequence[Stand], roots_m: Floats, days: Days, climate: Climate) -> Ground:
    """`Ground` of every planting by day, its roots (plantings, days) [m] as given."""
    beds = [stand.bed for stand in stands]
    warmth = soil_temperature(climate, ROOT_ZONE_M)[days.of_year]
    longest = roots_m.shape[1]
    places = np.array([stand.first for stand in stands])[:, None] + np.arange(longest)
    return ground_days(
        profile_of(beds, roots_m[:, -1]),
        roots_m,
        warmth[np.minimum(places, days.count - 1)],
        wants_air=np.array([not stand.water.wet_land for stand in stands])[:, None],
        rain_share=np.array([cover_of(bed).rain for bed in beds])[:, None],
    )
