"""Rules for the day itself, and cautions that work carries."""

from perennate.catalogue.model import Crop, Hazard
from perennate.holding.model import Lot
from perennate.planning.steps import NIGHT_MARGIN_K, TENDER_SOIL_C, is_tender
from perennate.terms import Text, text
from perennate.weather.rules import forecast_night_rule, soil_warm_rule

_KNIFE = ("cut_", "pick_salad", "pick_lettuce", "pick_zucchini", "pick_okra", "pick_eggplant")
_LIFT = ("lift_", "pick_squash", "pick_melon")


def sowing_rules(crop: Crop) -> tuple[Text, ...]:
    """Go or no-go for a sowing or sets in the bed: soil, and nights where the crop is tender."""
    soil = crop.figure("soil_temp_sow_min")
    rules = () if soil is None else (soil_warm_rule(soil.value),)
    return rules + (_nights(crop) if is_tender(crop) else ())


def tender_rules(crop: Crop) -> tuple[Text, ...]:
    """Go or no-go for setting out; none for plants that bear frost."""
    if not is_tender(crop):
        return ()
    soil = max(crop.value("soil_temp_sow_min", TENDER_SOIL_C), TENDER_SOIL_C)
    return (soil_warm_rule(soil), *_nights(crop))


def _nights(crop: Crop) -> tuple[Text, ...]:
    kill = crop.figure("kill_seedling") or crop.figure("kill_vegetative")
    if kill is None:
        return (text("go.nights_unknown"),)
    return (forecast_night_rule(kill.value + NIGHT_MARGIN_K),)


def seed_cautions(lot: Lot | None) -> tuple[Text, ...]:
    """Treated seed is said; seed of which nothing is known is handled as treated."""
    if lot is None or lot.treated is False:
        return ()
    if lot.treated:
        return (text("caution.treated_seed", lot=lot.key),)
    return (text("caution.seed_treatment_unknown", lot=lot.key),)


def harvest_cautions(crop: Crop) -> tuple[Text, ...]:
    """Knives, lifting, and what the crop itself can do to a person."""
    rate = crop.fact("pick_task")
    said = []
    if rate.startswith(_KNIFE):
        said.append(text("caution.knife"))
    if rate.startswith(_LIFT):
        said.append(text("caution.lifting"))
    return (*said, *(hazard_caution(crop, hazard) for hazard in crop.hazards))


def hazard_caution(crop: Crop, hazard: Hazard) -> Text:
    """A hazard of the catalogue as a caution, with who to ask."""
    return text(
        "caution.hazard",
        crop=crop.key,
        hazard=hazard.hazard,
        parts=hazard.parts or "the plant",
        processing=hazard.processing or "none known",
        who=hazard.who_at_risk or "everyone",
        ask=hazard.ask or "a local adviser",
    )
