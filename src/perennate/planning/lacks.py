"""What a holding does not say yet and a plan would want: notes for a beginner, no faults."""

from perennate.catalogue.model import Catalogue, Crop
from perennate.holding.model import Holding
from perennate.planning.offers import routes
from perennate.terms import Text, text
from perennate.weather.climate import Climate


def lacks_of(holding: Holding, catalogue: Catalogue, climate: Climate) -> tuple[Text, ...]:
    """A sentence for each thing without which a plan stays empty, thin or broad."""
    found = []
    if not holding.beds:
        found.append(text("lack.beds"))
    if not holding.aims:
        found.append(text("lack.aims"))
    found += _crops(holding, catalogue)
    if climate.basis == "position only":
        found.append(text("lack.weather"))
    return tuple(found)


def _crops(holding: Holding, catalogue: Catalogue) -> list[Text]:
    """Crops of aims that a plan cannot place: not ready, or raised on a bench that is not there."""
    aimed = dict.fromkeys(aim.crop for aim in holding.aims if aim.crop in catalogue.crops)
    found = []
    for crop in (catalogue.crops[key] for key in aimed):
        if crop.fact("plan_ready") != "yes":
            found.append(text("lack.figures", crop=crop.key))
        elif holding.nursery.bench_m2 <= 0 and usually_raised(crop):
            alone = routes(crop) == ("nursery",)
            found.append(text("lack.bench_alone" if alone else "lack.bench", crop=crop.key))
    return found


def usually_raised(crop: Crop) -> bool:
    """Whether the first way of starting the crop is under cover."""
    return routes(crop)[:1] == ("nursery",)
