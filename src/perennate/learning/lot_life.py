"""How much of a lot of seed is alive on a day: where it lay, and what its own tests showed.

Days are counted from the start of the lot. A lot lies in one place after another; the last place
goes on for as long as is asked.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from perennate.catalogue.seed_life import SeedLife
from perennate.science.counts import Rate
from perennate.science.seed_life import (
    DAYS_PER_YEAR,
    LifeConstants,
    Stay,
    driest_useful,
    longest_reckoned_years,
    sigma_days,
)
from perennate.science.seed_moisture import equilibrium_moisture, measured_for_oily
from perennate.science.viability_fit import LotFit, Prior, fit_lot
from perennate.terms import Text, text

USUAL_WARMTH = 20.0
"""Warmth of the air [degC] in which seed came to its moisture before it was shut in, where not
told (assumed)."""
PROBITS_OF_LISTED_YEARS = 1.0
"""Probits lost in the years for which lists say that seed keeps: 90 % fall to 61 (assumed)."""

LEAST_RATE, LEAST_STRENGTH = 1e-6, 0.1
"""A lot is never taken to be all dead, nor all alive, nor wholly unknown."""


@dataclass(frozen=True, slots=True)
class Kept:
    """One place: days there, its temperature [degC], the humidity of its air [%] or None.

    `sealed`: shut in, so that the seed keeps its moisture: that of `moisture` [% of the fresh
    weight]; else, with a `humidity`, what it came to in such air at 20 degC; else that of the
    place before.
    """

    days: float
    temperature: float
    humidity: float | None = None
    moisture: float | None = None
    sealed: bool = False


@dataclass(frozen=True, slots=True)
class DatedTest:
    """So many of so many seeds sprouted in a test begun on a day of the lot."""

    day: float
    sprouted: int
    tested: int


@dataclass(frozen=True, slots=True)
class LotLife:
    """A lot as it is believed to be: by day, the share alive with its spread.

    `sigmas`: days in which seed of this kind loses one probit in each place; `told`: what was
    assumed or held back on the way.
    """

    fit: LotFit
    days: tuple[float, ...]
    sigmas: tuple[float, ...]
    stays: tuple[Stay, ...]
    """The places with the moisture reckoned with; none where only a list's years are known."""
    told: tuple[Text, ...] = field(default=())

    def lost_by(self, day: float) -> float:
        """Probits that seed of this kind should have lost by a day, not below 0."""
        return _lost_by(day, self.days, self.sigmas)

    def share_on(self, day: float, surety: float = 0.8) -> tuple[float, float, float]:
        """(middle, low, high) of the share alive on a day of the lot."""
        return self.fit.share_at(self.lost_by(day), surety)

    def rate_on(self, day: float) -> Rate:
        """The lot's germination on a day as a rate to reckon a sowing with."""
        mean, variance = self.fit.moments_at(self.lost_by(day))
        mean = min(max(mean, LEAST_RATE), 1 - LEAST_RATE)
        return Rate(mean, max(mean * (1 - mean) / max(variance, 1e-12) - 1, LEAST_STRENGTH))

    def day_of(self, share: float, quantile: float = 0.5, of_start: bool = False) -> float:
        """The day on which the lot falls to a share, kept on as it lies now.

        With `of_start` a share of what was alive at the start; with a low quantile, the day of
        the pessimist.
        """
        wanted = self.fit.lost_until(share, quantile, of_start)
        day = lost = 0.0
        for days, sigma in zip(self.days[:-1], self.sigmas[:-1], strict=True):
            if lost + days / sigma >= wanted:
                return day + (wanted - lost) * sigma
            day, lost = day + days, lost + days / sigma
        return day + (wanted - lost) * self.sigmas[-1]


def lot_life(
    life: SeedLife,
    kept: Sequence[Kept],
    tests: Sequence[DatedTest] = (),
    prior: Prior | None = None,
    listed_years: float | None = None,
) -> LotLife:
    """What is believed of a lot of seed.

    `listed_years`: for how long lists say that such seed keeps at home; used only where there are
    no constants. Raises ValueError for seed that does not bear drying or of which that is not
    known, for a plant without either, and for places outside the limits of the equation.
    """
    if not kept:
        raise ValueError("a lot lies in one place at least")
    if life.storage != "orthodox":
        raise ValueError(f"the equation is for seed that bears drying; this is {life.storage}")
    told: list[Text] = []
    stays: tuple[Stay, ...] = ()
    if life.constants is not None and life.oil is not None:
        stays, told = stays_of(life, life.constants, kept)
        sigmas = [float(sigma_days(s.moisture, s.temperature, life.constants)) for s in stays]
    elif listed_years is not None and listed_years > 0:
        sigmas = [listed_years * DAYS_PER_YEAR / PROBITS_OF_LISTED_YEARS] * len(kept)
        told.append(text("lot_life.listed", years=listed_years))
    else:
        raise ValueError("no constants of this plant or a relative are known, and no years either")
    days = tuple(place.days for place in kept)
    lost = tuple(_lost_by(one.day, days, sigmas) for one in tests)
    fit = _fit(lost, tuple((one.sprouted, one.tested) for one in tests), prior or Prior())
    return LotLife(fit, days, tuple(sigmas), stays, tuple(dict.fromkeys(told)))


@lru_cache(maxsize=4096)
def _fit(lost: tuple[float, ...], tests: tuple[tuple[int, int], ...], prior: Prior) -> LotFit:
    """The fit of a lot; all lots without tests share one."""
    return fit_lot(lost, [good for good, _ in tests], [all_ for _, all_ in tests], prior)


def stays_of(
    life: SeedLife, constants: LifeConstants, kept: Sequence[Kept]
) -> tuple[tuple[Stay, ...], list[Text]]:
    """The moisture of seed in each place, and what had to be assumed. Raises ValueError."""
    oil = 0.0 if life.oil is None else life.oil.value
    told: list[Text] = []
    stays: list[Stay] = []
    for place in kept:
        if place.days < 0:
            raise ValueError(f"a stay is not shorter than 0 days, found {place.days:g}")
        before = stays[-1].moisture if stays else None
        moisture = _moisture(place, oil, before, told)
        useful = float(driest_useful(moisture, constants))
        if useful > moisture:
            told.append(text("lot_life.too_dry", moisture=moisture, limit=useful))
        stays.append(Stay(place.days, place.temperature, useful))
    return tuple(stays), told


def longest_days(kept: Kept) -> float:
    """Days beyond which no life is counted on in such a place."""
    return longest_reckoned_years(kept.temperature) * DAYS_PER_YEAR


def _moisture(place: Kept, oil: float, before: float | None, told: list[Text]) -> float:
    if place.moisture is not None:
        return place.moisture
    if not place.sealed:
        if place.humidity is None:
            raise ValueError("seed that lies open takes the moisture of the air: its humidity")
        if place.temperature < 0:
            raise ValueError("seed is frozen only when shut in")
        if not measured_for_oily(place.temperature, oil):
            told.append(text("lot_life.oily", temperature=place.temperature))
        return float(equilibrium_moisture(place.humidity, place.temperature, oil))
    if place.humidity is not None:
        told.append(text("lot_life.shut_in", humidity=place.humidity, temperature=USUAL_WARMTH))
        return float(equilibrium_moisture(place.humidity, USUAL_WARMTH, oil))
    if before is None:
        raise ValueError("the moisture of seed that is shut in, or the humidity it was dried in")
    return before


def _lost_by(day: float, days: Sequence[float], sigmas: Sequence[float]) -> float:
    """Probits lost by a day: each place in turn, the last one going on."""
    left, lost = max(day, 0.0), 0.0
    last = len(days) - 1
    for at, (stay, sigma) in enumerate(zip(days, sigmas, strict=True)):
        spent = left if at == last else min(left, stay)
        lost += spent / sigma
        left -= spent
    return lost
