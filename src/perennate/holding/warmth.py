"""When it is warm enough for a crop, roughly, from the position and remembered frosts alone.

Good for a first guess of dates and for nothing else: a plan uses a Climate.
"""

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import groupby

from perennate.catalogue.model import Crop
from perennate.holding.model import MonthDay, Site

GROWS_ABOVE_BASE_K = 3.0
"""A crop is taken to grow where the day's mean lies so far above its base (memory)."""
NOON_ABOVE_MEAN_K = 5.0
TENDER_C = 12.0
"""Mean of the day above which frost is taken to be over where nobody remembers it (memory)."""
OVERWINTERS_DAYS = 200
AUTUMN_C = 10.0
"""Mean of the day below which what stands over winter is set (memory)."""
_AUTUMN_AT_LEAST = 14
_DAY = timedelta(1)
_YEAR_DAYS = 365


class Warmth:
    """The mean course of warmth through the year at a site, seen from `as_of`."""

    def __init__(self, site: Site, as_of: date) -> None:
        from perennate.weather.position import normals_of_position

        self.site, self.as_of = site, as_of
        normals = normals_of_position(site.latitude_deg, site.elevation_m)
        self._monthly = [float(mean) for mean in (normals.tmin + normals.tmax) / 2]

    def mean_c(self, day: date) -> float:
        """The mean of a day [degC], between the middles of two months."""
        at = (day.month - 1) + (day.day - 15.5) / 30.5
        month, part = int(at // 1), at % 1
        before, after = self._monthly[month % 12], self._monthly[(month + 1) % 12]
        return before + part * (after - before)

    def grows(self, crop: Crop, day: date) -> bool:
        """Whether the crop is likely to grow outside on that day."""
        mean = self.mean_c(day)
        if mean < crop.value("temp_base", 5.0) + GROWS_ABOVE_BASE_K:
            return False
        if mean + NOON_ABOVE_MEAN_K > crop.value("heat_day", 60.0):
            return False
        return self.outlasts_frost(crop) or self._frost_free(day)

    @staticmethod
    def outlasts_frost(crop: Crop) -> bool:
        """Whether a light frost leaves the crop standing."""
        return crop.value("kill_vegetative", 0.0) < -1.0

    def _frost_free(self, day: date) -> bool:
        memory = self.site.remembered
        if memory.no_frost:
            return True
        if memory.last_frost and memory.first_frost:
            return _within((day.month, day.day), memory.last_frost, memory.first_frost)
        return self.mean_c(day) >= TENDER_C

    def spells(self, crop: Crop, days: int) -> Iterator[tuple[date, date]]:
        """First and last day of each time in which the crop grows, from `as_of` on."""
        ahead = [self.as_of + timedelta(number) for number in range(days)]
        for grows, run in groupby(ahead, key=lambda day: self.grows(crop, day)):
            if grows:
                spell = list(run)
                yield spell[0], spell[-1]

    def likely_start(self, crop: Crop, days: int) -> date:
        """The day on which a crop that stands was likely put there: so many days of growth ago.

        Days too cold for it do not count; never more than a year ago. A crop that takes most of
        a year was put there when the last autumn cooled, where there is one.
        """
        if crop.value("days_to_first_harvest", 0.0) >= OVERWINTERS_DAYS:
            autumn = self._last_autumn()
            if autumn is not None:
                return autumn
        day, left = self.as_of, days
        for _ in range(_YEAR_DAYS):
            if left <= 0:
                break
            day -= _DAY
            left -= self.grows(crop, day)
        return day

    def _last_autumn(self) -> date | None:
        for number in range(_AUTUMN_AT_LEAST, _YEAR_DAYS):
            day = self.as_of - timedelta(number)
            if self.mean_c(day) < AUTUMN_C <= self.mean_c(day - _DAY):
                return day
        return None


def _within(day: MonthDay, last_frost: MonthDay, first_frost: MonthDay) -> bool:
    """Between the last and the first frost, also where that crosses the new year."""
    if last_frost < first_frost:
        return last_frost < day < first_frost
    return day > last_frost or day < first_frost
