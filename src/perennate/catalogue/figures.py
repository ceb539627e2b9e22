"""The names of all figures and facts of a crop, and the unit of every figure."""

from collections.abc import Mapping
from types import MappingProxyType

FIGURES: Mapping[str, str] = MappingProxyType(
    {
        # room
        "spacing_close": "cm",
        "plants_per_m2": "1/m2",
        "row_spacing": "cm",
        "in_row_spacing": "cm",
        "sow_depth": "cm",
        # time
        "nursery_time": "week",
        "days_to_first_harvest": "d",
        "harvest_window": "d",
        "temp_base": "degC",
        "temp_reference": "degC",
        "temp_ceiling": "degC",
        "succession_interval": "d",
        # soil warmth for sowing
        "soil_temp_sow_min": "degC",
        "soil_temp_sow_opt": "degC",
        "soil_temp_sow_max": "degC",
        # weeks about the last and the first frost
        "indoor_sow_before_last_frost": "week",
        "transplant_after_last_frost": "week",
        "direct_sow_after_last_frost": "week",
        "last_direct_sow_before_first_frost": "week",
        "last_transplant_before_first_frost": "week",
        "overwinter_sow_before_first_frost": "week",
        "frost_credit": "d",
        # cold, heat, water
        "kill_seedling": "degC",
        "kill_vegetative": "degC",
        "kill_bloom": "degC",
        "kill_mature": "degC",
        "chill_injury": "degC",
        "heat_day": "degC",
        "heat_night": "degC",
        "vernal_days": "d",
        "flood_tolerance": "d",
        # yield
        "yield": "kg/m2",
        "yield_sigma_garden": "1",
        "yield_sigma_crop": "1",
        "yield_sigma_year": "1",
        "yield_intensive": "kg/m2",
        "yield_commercial": "kg/m2",
        "yield_claim": "kg/m2",
        # food
        "edible_fraction": "1",
        "water": "g/100g",
        "energy": "kcal/100g",
        "protein": "g/100g",
        "fat": "g/100g",
        "carbohydrate": "g/100g",
        "vitamin_a": "ug RAE/100g",
        "vitamin_c": "mg/100g",
        "iron": "mg/100g",
        "calcium": "mg/100g",
        "portion": "g",
        "eaten_per_year": "kg",
        # soil and rotation
        "harvest_index": "1",
        "residue": "kg/m2",
        "n_removal": "kg/t",
        "p_removal": "kg/t",
        "k_removal": "kg/t",
        "n_fixed": "kg/ha",
        "rest_years": "year",
        # picking and keeping
        "picks": "1",
        "days_between_picks": "d",
        "field_hold_warm": "d",
        "field_hold_cool": "d",
        "life_best": "d",
        "life_cellar": "d",
        "life_fridge": "d",
        "life_room": "d",
        "weight_loss_month": "%",
        "chilling_limit": "degC",
        # seed
        "germ_temp_min": "degC",
        "germ_temp_opt_low": "degC",
        "germ_temp_opt_high": "degC",
        "germ_temp_max": "degC",
        "emergence_base": "degC",
        "emergence_thermal_time": "degC d",
        **{f"emerge_days_{warmth:02d}c": "d" for warmth in range(0, 45, 5)},
        "germination_standard": "1",
        "seeds_per_gram": "1/g",
        "seed_store_years": "year",
    }
)

FACTS: tuple[str, ...] = (
    "life_cycle",
    "hardiness",
    "sow_method",
    "days_counted_from",
    "yield_form",
    "rotation_group",
    "feeder",
    "light_need",
    "food_group",
    "food_group_us",
    "nutrition_note",
    "usda_ndb_no",
    "pick_style",
    "pick_task",
    "sign_of_loss",
    "usual_cover",
    "curing",
    "can_method",
    "heat_effect",
    "bolt_type",
    "germination_light",
    "no_emergence_at",
    "eaten_raw",
    "plan_ready",
)

ROLES: tuple[str, ...] = (
    "vegetable",
    "calorie-root",
    "calorie-vegetable",
    "grain",
    "pulse",
    "oilseed",
    "herb",
    "cover",
    "insectary",
)

NOT_FOOD: frozenset[str] = frozenset({"cover", "insectary"})
"""Roles of plants that are not grown to be eaten."""
