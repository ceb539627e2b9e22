"""How many seeds or sets to start so that enough plants stand, with the surety asked for once."""

from dataclasses import dataclass
from math import ceil

from perennate.catalogue.crop_care import NurseryWay, nursery_stages, nursery_way
from perennate.catalogue.model import Crop
from perennate.holding.model import Holding, Lot
from perennate.planning.plan import PlannedPlanting
from perennate.science.counts import Rate, number_to_start_chain, rate_from_spread
from perennate.terms import Basis

TEST_OF = 50
"""Seeds behind a germination that is stated without their number; assumed."""
STANDARD_WORTH = 20
"""Seeds' worth of belief in a legal standard of germination for an untested lot; assumed."""
MEMORY_WORTH = 10
"""Seeds' worth of belief in the usual germination of good seed; assumed."""
USUAL_GERMINATION = 0.8


THICK_SOWING = 1.5
"""Fine seed is sown thicker than it will stand, and thinned; assumed."""
FINE_SEED_PER_G = 100
CLOSE_CM = 15


@dataclass(frozen=True, slots=True)
class Germination:
    """What is believed of a lot's germination, and what it rests on."""

    rate: Rate
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True)
class NurseryStart:
    """How many to start and to move on at each step so that `wanted` stand with `surety`."""

    wanted: int
    surety: float
    germination: Germination
    seeds: int
    prick_out: int
    pot_on: int
    plant_out: int
    """Plants to have ready on the day of planting: those wanted, and spares for gaps."""
    survival: float
    """Mean share of seeds that end as plants standing."""


def germination_of(crop: Crop, lot: Lot | None) -> Germination:
    """Germination of a lot as stated; else the legal standard; else the usual 0.8, from memory.

    A stated germination without its number of seeds is read as a test of 50. Age alone changes
    nothing here; a check speaks of it.
    """
    if lot is not None and lot.germination is not None:
        basis: Basis = "own records" if lot.tested is not None else "remembered"
        return Germination(_believed(lot.germination, TEST_OF), basis, "own records")
    standard = crop.figure("germination_standard")
    if standard is not None:
        rate = _believed(standard.value, STANDARD_WORTH)
        return Germination(rate, standard.basis, standard.source)
    return Germination(_believed(USUAL_GERMINATION, MEMORY_WORTH), "memory", "common-practice")


def _believed(share: float, worth: float) -> Rate:
    return Rate((share * worth + 0.5) / (worth + 1), worth + 1)


def stage_rate(stage: str) -> Rate:
    """Survival through a stage of the table of nursery stages, as a beta law."""
    known = nursery_stages()[stage]
    return rate_from_spread(known.value, known.low, known.high)


def nursery_start(
    crop: Crop, plants_wanted: int, lot: Lot | None, surety: float, way: NurseryWay
) -> NurseryStart:
    """Counts along the chain of raising; the surety is applied once, over what is still ahead.

    The number to sow carries the doubt of the whole chain; the number to prick out, seen from
    that day, only that of the steps after it. No step is padded on top of another.
    """
    germination = germination_of(crop, lot)
    transplant = stage_rate("transplant")
    after_pot = [transplant]
    if way.pot_into:
        after_pot.insert(0, stage_rate("plug to pot"))
    after_prick = [stage_rate("plug ready"), *after_pot]
    whole = [germination.rate, stage_rate("sprout to emerge")]
    whole += [stage_rate("emerge to prick out")] if way.prick_into else []
    whole += after_prick

    plant_out = number_to_start_chain(plants_wanted, [transplant], surety)
    pot_on = number_to_start_chain(plants_wanted, after_pot, surety)
    prick_out = number_to_start_chain(plants_wanted, after_prick, surety)
    seeds = number_to_start_chain(plants_wanted, whole, surety)
    pot_on = max(pot_on, plant_out)
    prick_out = max(prick_out, pot_on)
    survival = 1.0
    for rate in whole:
        survival *= rate.mean
    seeds = max(seeds, prick_out)
    return NurseryStart(
        plants_wanted, surety, germination, seeds, prick_out, pot_on, plant_out, survival
    )


def seeds_in_bed(crop: Crop, plants_wanted: int, lot: Lot | None, surety: float) -> int:
    """Seeds to sow in the bed so that as many plants as wanted come up with the surety.

    Fine seed of close crops is sown half as thick again, since gaps in a row are not evened out.
    """
    rates = [germination_of(crop, lot).rate, stage_rate("sprout to emerge in the bed")]
    seeds = number_to_start_chain(plants_wanted, rates, surety)
    return ceil(seeds * THICK_SOWING) if is_thinned(crop) else seeds


def is_thinned(crop: Crop) -> bool:
    """Whether a crop is sown thick in drills and thinned: fine seed set close."""
    fine = crop.value("seeds_per_gram", 0.0) >= FINE_SEED_PER_G
    return fine and crop.value("spacing_close", 100.0) <= CLOSE_CM


def sets_to_plant(plants_wanted: int, surety: float) -> int:
    """Sets, tubers, cloves or slips so that enough stand with the surety."""
    return number_to_start_chain(plants_wanted, [stage_rate("set stands")], surety)


def start_of(crop: Crop, planting: PlannedPlanting, holding: Holding) -> NurseryStart:
    """The counts for one planting, from its own lot and the holding's surety."""
    way = nursery_way(crop.key, holding.nursery.container)
    lot = lot_of(planting, holding)
    return nursery_start(crop, planting.plants, lot, holding.habits.surety, way)


def lot_of(planting: PlannedPlanting, holding: Holding) -> Lot | None:
    return next((lot for lot in holding.lots if lot.key == planting.lot), None)
