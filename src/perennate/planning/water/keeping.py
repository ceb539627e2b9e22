"""What mulch, compost, loosening, shade and shelter would save in one bed: the bed's own plantings
run through the same years with one thing changed."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Bed, Holding
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.plan import PlannedPlanting
from perennate.planning.water.asked import USUAL_MULCH_CM
from perennate.planning.water.by_week import litres_by_planting
from perennate.planning.water.grounds import soil_shares
from perennate.planning.water.run import Ran, watered
from perennate.planning.water.stands import days_of, stands_on
from perennate.weather.climate import Climate

MORE_ORGANIC = 1.0
"""What some years of compost may add to organic matter [% by weight]; assumed."""
LOOSENED_CM = 40.0


@dataclass(frozen=True, slots=True)
class Kept:
    """A bed with one thing changed: litres given over the plan, and days on which plants went
    short and roots without air, by planting, all means of the years."""

    change: str
    """"as it is", "mulch", "organic matter", "loosened", "shade net" or "shelter"."""
    litres: float
    waterings: float
    short_days: float
    airless_days: float


def water_kept(
    bed_key: str,
    plantings: Sequence[PlannedPlanting],
    holding: Holding,
    catalogue: Catalogue,
    climate: Climate,
    weeks: Weeks,
) -> tuple[Kept, ...]:
    """The bed as it is, then with each change that it does not have yet; empty where nothing of
    the plan stands in it."""
    bed = next((one for one in holding.beds if one.key == bed_key), None)
    here = [planting for planting in plantings if planting.bed == bed_key]
    days = days_of(weeks)
    if bed is None or not stands_on(here, holding, days):
        return ()
    found = []
    for change, changed in (("as it is", bed), *_changes(bed)):
        beds = tuple(changed if one.key == bed_key else one for one in holding.beds)
        other = replace(holding, beds=beds)
        ran = watered(stands_on(here, other, days), days, other, catalogue, climate)
        found.append(
            Kept(
                change,
                round(float(litres_by_planting(ran).sum(axis=(0, 2)).mean()), 1),
                round(float(ran.run.by_week["waterings"].max(axis=0).sum(axis=1).mean()), 1),
                _worst(ran, "stress_days"),
                _worst(ran, "airless_days"),
            )
        )
    return tuple(found)


def _worst(ran: Ran, name: str) -> float:
    """Days of the planting that has the most of them in the plan, mean of the years."""
    days = ran.run.by_week[name].astype(np.float64).sum(axis=2).mean(axis=1)
    return round(float(days.max(initial=0.0)), 1)


def _changes(bed: Bed) -> list[tuple[str, Bed]]:
    found = []
    if bed.mulch == "none" or (bed.mulch_cm or USUAL_MULCH_CM) < USUAL_MULCH_CM:
        mulch = bed.mulch if bed.mulch != "none" else "straw"
        found.append(("mulch", replace(bed, mulch=mulch, mulch_cm=USUAL_MULCH_CM)))
    organic = soil_shares(bed)[2]
    found.append(("organic matter", replace(bed, organic_matter=organic + MORE_ORGANIC)))
    if (bed.loosened_cm or 0.0) < LOOSENED_CM:
        found.append(("loosened", replace(bed, loosened_cm=LOOSENED_CM, pan_cm=None)))
    if bed.cover == "open":
        found.append(("shade net", replace(bed, cover="shade net")))
    if not bed.sheltered:
        found.append(("shelter", replace(bed, sheltered=True)))
    return found


__all__ = ["Kept", "water_kept"]
