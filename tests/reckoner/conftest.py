"""A small catalogue with invented crops, so that the sums in the tests can be done by hand."""

from types import MappingProxyType

import pytest

from perennate.catalogue.model import Catalogue, Crop, Fact, Hazard, Source
from perennate.terms import Estimate


def figure(value, unit, low=None, high=None, source="handbook", basis="published"):
    return Estimate(
        value, value if low is None else low, value if high is None else high, unit, source, basis
    )


def crop(key, name, figures, facts=(), hazards=()):
    return Crop(
        key=key,
        common_name=name,
        scientific_name=f"Planta {key}",
        synonyms=(),
        family="Plantaceae",
        role="vegetable",
        figures=MappingProxyType(dict(figures)),
        facts=MappingProxyType({k: Fact(v, "handbook", "published") for k, v in facts}),
        hazards=tuple(hazards),
        harvest_shares=(1.0,),
    )


ROOT = crop(
    "brookroot",
    "Brookroot",
    {
        "spacing_close": figure(30, "cm", 25, 35),
        "temp_base": figure(5, "degC"),
        "temp_ceiling": figure(25, "degC", source="memory", basis="memory"),
        "germination_standard": figure(0.75, "1"),
        "seeds_per_gram": figure(400, "1/g", 300, 500),
        "yield": figure(4, "kg/m2", 2, 8),
        "edible_fraction": figure(0.8, "1"),
        "energy": figure(100, "kcal/100g"),
        "protein": figure(5, "g/100g"),
        "vitamin_c": figure(10, "mg/100g"),
        "eaten_per_year": figure(100, "kg", 100, 500),
        "life_cellar": figure(100, "d", 80, 150),
        "life_fridge": figure(14, "d", 10, 20),
        "weight_loss_month": figure(2, "%", 1, 4),
        "chilling_limit": figure(3, "degC"),
        "soil_temp_sow_min": figure(8, "degC"),
        "kill_seedling": figure(-1, "degC"),
        "direct_sow_after_last_frost": figure(-1, "week", -2, 4),
        "transplant_after_last_frost": figure(2, "week", 1, 3),
        "indoor_sow_before_last_frost": figure(6, "week", 5, 8),
        "last_direct_sow_before_first_frost": figure(10, "week"),
    },
    facts=[("hardiness", "half-hardy"), ("sow_method", "direct/transplant")],
)
BITTER = crop(
    "bitterbean",
    "Bitterbean",
    {
        "yield": figure(0.3, "kg/m2", 0.2, 0.5),
        "edible_fraction": figure(1, "1"),
        "energy": figure(350, "kcal/100g"),
        "protein": figure(30, "g/100g"),
    },
    hazards=[
        Hazard(
            "bitter",
            "bitterbean",
            "seed",
            "bitter alkaloids",
            "soak for a week, changing water",
            "everyone",
            "food until processed",
            None,
            "poison centre",
            "handbook",
            "published",
        )
    ],
)


@pytest.fixture
def plants():
    return Catalogue(
        crops=MappingProxyType({"brookroot": ROOT, "bitterbean": BITTER}),
        labour=MappingProxyType({}),
        containers=MappingProxyType({}),
        material_hazards=(),
        sources=MappingProxyType(
            {
                "handbook": Source("handbook", "An invented handbook, 2001"),
                "memory": Source("memory", "From memory"),
                "common-practice": Source("common-practice", "Common practice"),
            }
        ),
    )
