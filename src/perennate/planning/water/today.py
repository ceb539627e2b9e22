"""What the beds want of water in the coming days, from the weather and the waterings of the last.

The days are reckoned from readings and the forecast where there are any, and from the climate
where there are none; waterings and rain that the grower wrote down count as written.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Holding, Record
from perennate.planning.plan import Plan
from perennate.planning.water.asked import asked
from perennate.planning.water.grounds import grounds
from perennate.planning.water.run import REFILL, at_share
from perennate.planning.water.stands import Days, Stand, stands_on
from perennate.science.evapotranspiration import et0_hargreaves
from perennate.science.soil_water import Ground, SoilWaterRun, Watering, soil_water_run
from perennate.science.sun import extraterrestrial_radiation
from perennate.terms import Text, text
from perennate.terms.text import Value
from perennate.weather.climate import Climate
from perennate.weather.recent import NearTerm

Floats = NDArray[np.float64]

WATERED, RAINED = "watered", "rain"
"""Kinds of records."""
USUAL_HELD = 0.8
"""Share of the water held where the plan does not say; assumed."""


@dataclass(frozen=True, slots=True)
class BedToday:
    """One bed today: `held` is the share of its thirstiest planting's water that is there; `due`
    the day on which it wants water, None where not within the days that are known; `litres` and
    `mm` what it wants then."""

    bed: str
    held: float
    airless: bool
    due: date | None
    litres: float
    mm: float
    text: Text


def water_today(
    plan: Plan, holding: Holding, catalogue: Catalogue, climate: Climate, near: NearTerm
) -> tuple[BedToday, ...]:
    """Every bed in which something stands today: the wettest and the thirstiest first."""
    days = Days(near.first, len(near.kind))
    today = near.index(near.as_of)
    stands = stands_on(plan.plantings, holding, days)
    if not stands:
        return ()
    demand = asked(stands, days, catalogue, climate)
    ground = grounds(stands, demand.roots_m, days, climate)
    rain = _rain(near, days, holding.records)
    sun = extraterrestrial_radiation(climate.latitude_deg, days.of_year + 1.0)
    run = soil_water_run(
        rain[None, :],
        et0_hargreaves(near.tmin, near.tmax, sun)[None, :],
        demand.crop,
        ground,
        np.array([stand.first for stand in stands]),
        np.array([stand.days for stand in stands]),
        Watering(amounts_mm=_written(stands, days, today, holding)),
        start_share=np.array([_held_before(stand.bed.key, plan, days.first) for stand in stands]),
        wraps=False,
        keep_days=True,
    )
    line = ground.available_mm * demand.crop.depletion_fraction
    line = line * at_share(holding.habits.watering_every_days)
    reading = _Reading(stands, days, today, run, ground, line, rain, near)
    keys = sorted({stand.bed.key for stand in stands})
    found = [reading.of_bed(key) for key in keys]
    return tuple(
        sorted(
            (one for one in found if one is not None),
            key=lambda one: (not one.airless, one.due or date.max, one.bed),
        )
    )


@dataclass(frozen=True)
class _Reading:
    """A run of the days about today, read bed by bed."""

    stands: Sequence[Stand]
    days: Days
    today: int
    run: SoilWaterRun
    ground: Ground
    line: Floats
    rain: Floats
    near: NearTerm

    def of_bed(self, key: str) -> BedToday | None:
        rows = [
            row
            for row, stand in enumerate(self.stands)
            if stand.bed.key == key and stand.settled <= self.today < stand.first + stand.days
        ]
        if not rows:
            return None
        gone = {row: self._gone(row) for row in rows}
        thirstiest = min(rows, key=lambda row: 1.0 - gone[row][self._at(row)] / self._room(row))
        left = 1.0 - float(gone[thirstiest][self._at(thirstiest)]) / self._room(thirstiest)
        held = min(max(left, 0.0), 1.0)
        airless = any(self._airless(row) for row in rows)
        due = min((self._due(row) for row in rows), default=None, key=lambda d: d or 10**6)
        litres = area = 0.0
        for row in rows:
            stand = self.stands[row]
            at = min((due or self.today) - stand.first, stand.days - 1)
            litres += REFILL * max(float(gone[row][at]), 0.0) * stand.planting.area_m2
            area += stand.planting.area_m2
        said: dict[str, Value] = {
            "bed": key,
            "crop": self.stands[thirstiest].planting.crop,
            "held": round(held, 3),
            "rain": round(float(self.rain[: self.today].sum()), 1),
            "days": self.today,
            "read": self.near.kind[: self.today].count("observed"),
        }
        day = None if due is None else self.days.day(due)
        if airless:
            return BedToday(key, held, True, None, 0.0, 0.0, text("water.today.airless", **said))
        if day is None:
            ahead = self.days.count - self.today
            said["ahead"] = ahead
            return BedToday(key, held, False, None, 0.0, 0.0, text("water.today.enough", **said))
        said |= {"litres": litres, "mm": litres / area, "day": day}
        code = "water.today.now" if due == self.today else "water.today.later"
        return BedToday(key, held, False, day, litres, litres / area, text(code, **said))

    def _gone(self, row: int) -> Floats:
        """Water gone from the root zone at each day's end [mm], by day of the planting."""
        return np.asarray(self.run.by_day["depletion"][row, 0])

    def _at(self, row: int) -> int:
        return self.today - self.stands[row].first

    def _room(self, row: int) -> float:
        wide = np.broadcast_to(self.ground.available_mm, self.line.shape)
        return max(float(wide[row, self._at(row)]), 1e-9)

    def _due(self, row: int) -> int | None:
        """Place on the days of the first, from today on, on which the line is passed."""
        stand, at = self.stands[row], self._at(row)
        over = self._gone(row)[at : stand.days] > self.line[row, at : stand.days]
        return self.today + int(np.argmax(over)) if over.any() else None

    def _airless(self, row: int) -> bool:
        limit = np.broadcast_to(self.ground.airless_under_mm, self.line.shape)
        air = self.run.by_day["air"][row, 0, self._at(row)]
        return bool(air < limit[row, self._at(row)])


def _rain(near: NearTerm, days: Days, records: Iterable[Record]) -> Floats:
    """Rain of the days [mm]; what the grower measured outweighs all else."""
    rain = np.array(near.rain, np.float64)
    for record in records:
        place = days.place(record.day)
        if record.kind == RAINED and record.amount is not None and 0 <= place < days.count:
            rain[place] = record.amount
    return rain


def _written(stands: Sequence[Stand], days: Days, today: int, holding: Holding) -> Floats:
    """Waterings as they were written down [mm], by planting and its day."""
    beds = {bed.key: bed for bed in holding.beds}
    by_bed = {key: np.zeros(days.count) for key in beds}
    for record in holding.records:
        place = days.place(record.day)
        bed = beds.get(record.place)
        if record.kind != WATERED or record.amount is None or bed is None:
            continue
        if 0 <= place <= today:
            mm = record.amount if record.unit == "mm" else record.amount / bed.area_m2
            by_bed[bed.key][place] += mm
    longest = max(stand.days for stand in stands)
    found = np.zeros((len(stands), longest))
    for row, stand in enumerate(stands):
        found[row, : stand.days] = by_bed[stand.bed.key][stand.first : stand.first + stand.days]
    return found


def _held_before(bed: str, plan: Plan, day: date) -> float:
    """Share of the water held on a day as the plan foresees it."""
    week = (day - plan.start) // timedelta(7)
    for one in plan.water.beds if plan.water is not None else ():
        if one.bed == bed and 0 <= week < len(one.held) and one.area_m2[week] > 0:
            return min(max(one.held[week], 0.0), 1.0)
    return USUAL_HELD
