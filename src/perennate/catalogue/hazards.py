"""What hazards rule out: food that needs processing, and the wait before a harvest."""

from collections.abc import Collection

from perennate.catalogue.figures import NOT_FOOD
from perennate.catalogue.model import Catalogue, Crop, Hazard
from perennate.catalogue.reader import load_catalogue

TOUCHES_SOIL = "edible part touches soil"
OFF_THE_SOIL = "edible part off the soil"


def food_is_allowed(crop: Crop, processes: Collection[str]) -> bool:
    """Whether a plan may count the crop as food.

    `processes` names what the grower says they process: keys of crops (`lupin_white`) or of
    hazards (`lupin_alkaloids`). Covers and flowers are never food. True says only that no hazard
    on record forbids it; see `no_hazard_on_record`.
    """
    if crop.role in NOT_FOOD:
        return False
    done = {_key(process) for process in processes}
    return not any(_forbids(hazard, done) for hazard in crop.hazards)


def unprocessed_hazards(crop: Crop, processes: Collection[str]) -> tuple[Hazard, ...]:
    """The hazards that keep the crop from being counted as food, for the finding to name."""
    done = {_key(process) for process in processes}
    return tuple(hazard for hazard in crop.hazards if _forbids(hazard, done))


def no_hazard_on_record(crop: Crop) -> bool:
    """Whether nothing is known against the crop, which does not make it safe."""
    return not crop.hazards


def material_hazards(material: str, catalogue: Catalogue | None = None) -> tuple[Hazard, ...]:
    """The hazards of a material by its key (`raw_manure`); empty when nothing is known of it."""
    known = (catalogue or load_catalogue()).material_hazards
    wanted = _key(material)
    return tuple(hazard for hazard in known if hazard.applies_to == wanted)


def wait_days(
    material: str, edible_touches_soil: bool | None, catalogue: Catalogue | None = None
) -> int | None:
    """Days from spreading a material to the first harvest: 120 and 90 for raw manure (US 7 CFR
    205.203(c)), 0 for one that is known and asks for no wait, None for one that is not known.

    None is not "no wait": ask what it is, or wait as after raw manure. Where it is not known
    whether the edible part touches soil (`edible_touches_soil` None), the longer wait holds.
    """
    known = material_hazards(material, catalogue)
    if not known:
        return None
    part = OFF_THE_SOIL if edible_touches_soil is False else TOUCHES_SOIL
    waits = [h.days or 0 for h in known if h.forbids == "harvest wait" and h.parts == part]
    return max(waits, default=0)


def material_is_food(material: str, catalogue: Catalogue | None = None) -> bool:
    """Whether a material may ever be eaten or fed: only when it is known and nothing forbids it.

    Treated seed never is. A material that is not known is not food either.
    """
    known = material_hazards(material, catalogue)
    return bool(known) and all(hazard.forbids == "" for hazard in known)


def _forbids(hazard: Hazard, done: Collection[str]) -> bool:
    if hazard.forbids == "food":
        return True
    processed = hazard.key in done or hazard.applies_to in done
    return hazard.forbids == "food until processed" and not processed


def _key(name: str) -> str:
    return "_".join(name.casefold().replace("-", " ").replace("_", " ").split())
