"""What a grower remembers of the weather, and a guessed climate bent until it agrees."""

from dataclasses import dataclass
from datetime import date
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from perennate.weather.climate import coldest_day, day_index
from perennate.weather.generate import in_order

Floats = NDArray[np.float64]
MonthDay = tuple[int, int]
Part = Literal["last frost", "first frost", "coldest night"]

_ROUNDS = 60
_NO_FROST_C = 0.5
_SETTLED_K = 0.02
_MOST_SHIFT_K = 25.0
_BEFORE_COLDEST = 300
_SUMMER_SHARE = 0.5


class Memory(Protocol):
    """The parts that may be remembered; every one may be blank."""

    @property
    def last_frost(self) -> MonthDay | None: ...
    @property
    def first_frost(self) -> MonthDay | None: ...
    @property
    def coldest_night_c(self) -> float | None: ...
    @property
    def hottest_day_c(self) -> float | None: ...
    @property
    def wet_months(self) -> tuple[int, ...]: ...
    @property
    def no_frost(self) -> bool: ...


@dataclass(frozen=True, slots=True)
class Remembered:
    """A plain `Memory`: last and first frost as (month, day) of a middling year, the coldest
    night and hottest day of a middling year [degC], wet months 1 to 12, or that frost is not
    known here at all."""

    last_frost: MonthDay | None = None
    first_frost: MonthDay | None = None
    coldest_night_c: float | None = None
    hottest_day_c: float | None = None
    wet_months: tuple[int, ...] = ()
    no_frost: bool = False


def is_blank(memory: Memory) -> bool:
    """Whether nothing at all is remembered."""
    return (
        memory.last_frost is None
        and memory.first_frost is None
        and memory.coldest_night_c is None
        and memory.hottest_day_c is None
        and not memory.wet_months
        and not memory.no_frost
    )


@dataclass(frozen=True)
class Bent:
    """tmin and tmax (n, 365) after bending, and the parts of the memory that could not be met."""

    tmin: Floats
    tmax: Floats
    unmet: tuple[Part, ...] = ()


def bent_to_memory(tmin: Floats, tmax: Floats, latitude_deg: float, memory: Memory) -> Bent:
    """tmin and tmax (n, 365) shifted so that the middle year agrees with what is remembered.

    The shift is a piecewise straight course through the year, hung on the days that are
    remembered: last frost, first frost, the cold season (coldest night) and the warm season
    (hottest day, for tmax alone). Each hook moves until the median over the years is right. Parts
    that contradict each other are let go, the coldest night first, then the first frost. Where
    frost is not known, all is lifted until no night freezes.
    """
    cold = coldest_day(tmin, latitude_deg)
    night, unmet = _night_shift(tmin, cold, memory)
    low, high = tmin + night, tmax + night
    if memory.no_frost:
        lift = max(0.0, _NO_FROST_C - float(low.min()))
        low, high = low + lift, high + lift
    if memory.hottest_day_c is not None:
        warm = (cold + 182) % 365
        near = np.clip(np.cos(2.0 * np.pi * (np.arange(365) - warm) / 365.0), 0.0, None)
        for _ in range(_ROUNDS):
            off = memory.hottest_day_c - float(np.median(high.max(axis=1)))
            if abs(off) < _SETTLED_K:
                break
            high = high + off * near
    return Bent(*in_order(low, high), unmet)


def _night_shift(tmin: Floats, cold: int, memory: Memory) -> tuple[Floats, tuple[Part, ...]]:
    """The shift by day index, shape (365,), and what had to be let go for it."""
    parts: list[Part] = []
    if not memory.no_frost:
        if memory.last_frost is not None:
            parts.append("last frost")
        if memory.first_frost is not None:
            parts.append("first frost")
    if memory.coldest_night_c is not None:
        parts.append("coldest night")
    unmet: list[Part] = []
    while parts:
        hooks = _Hooks(tmin, cold, memory, parts)
        if hooks.settle():
            return hooks.by_day_index(), tuple(unmet)
        unmet.append(parts.pop())
    return np.zeros(365), tuple(unmet)


class _Hooks:
    """The days on which the shift hangs, by day counted from the coldest (0 to 364)."""

    def __init__(self, tmin: Floats, cold: int, memory: Memory, parts: list[Part]) -> None:
        self.cold = cold
        self.order = (cold + np.arange(365)) % 365
        self.tmin = tmin[:, self.order]
        self.shift: dict[Part, float] = dict.fromkeys(parts, 0.0)
        self.target = memory.coldest_night_c or 0.0
        self.last = self._since(memory.last_frost) if "last frost" in parts else None
        self.first = self._since(memory.first_frost) if "first frost" in parts else None
        # In mild winters frost may end before the coldest day, or begin after it.
        if self.last is not None and self.last > _BEFORE_COLDEST:
            self.last = 0
        if self.first is not None and self.first < 365 - _BEFORE_COLDEST:
            self.first = 364
        if self.last is not None and self.first is not None and self.first <= self.last:
            # No season between them: frost in every month, and both hold at once.
            self.last, self.first = min(self.last, 181), max(self.first, 184)
        self.top = 182
        if self.last is not None and self.last >= self.top:
            self.top = min(self.last + 1, 363)
        if self.first is not None and self.first <= self.top:
            self.top = max(self.first - 1, 1)

    def _since(self, month_day: MonthDay | None) -> int | None:
        if month_day is None:
            return None
        return (day_index(date(2000, *month_day)) - self.cold) % 365

    def settle(self) -> bool:
        """Moves the hooks until the middle year is right; False where it cannot be."""
        for _ in range(_ROUNDS):
            errors = self._errors(self.tmin + self._course())
            if all(abs(error) < _SETTLED_K for error in errors.values()):
                return True
            for part, error in errors.items():
                self.shift[part] -= error
            if max(abs(shift) for shift in self.shift.values()) > _MOST_SHIFT_K:
                return False
        return False

    def by_day_index(self) -> Floats:
        course = np.empty(365)
        course[self.order] = self._course()
        return course

    def _course(self) -> Floats:
        """The shift by day since the coldest; the mean of what is known where nothing is."""
        every = list(self.shift.values())
        frosts = [self.shift[p] for p in ("last frost", "first frost") if p in self.shift]
        summer = float(np.mean(frosts or every)) * (_SUMMER_SHARE if frosts else 1.0)
        winter = self.shift.get("coldest night", float(np.mean(every)))
        hooks = {0: winter, self.top: summer, 365: winter}
        if self.last is not None:
            hooks[self.last] = self.shift["last frost"]
        if self.first is not None:
            hooks[self.first] = self.shift["first frost"]
        at = sorted(hooks)
        return np.interp(np.arange(365), at, [hooks[day] for day in at])

    def _errors(self, tmin: Floats) -> dict[Part, float]:
        """How much too warm the middle year is at each hook [K]."""
        errors: dict[Part, float] = {}
        if "coldest night" in self.shift:
            errors["coldest night"] = float(np.median(tmin.min(axis=1))) - self.target
        if self.last is not None:
            after = tmin[:, self.last : max(self.top, self.last + 1)]
            errors["last frost"] = float(np.median(after.min(axis=1)))
        if self.first is not None:
            before = tmin[:, min(self.top, self.first) : self.first + 1]
            errors["first frost"] = float(np.median(before.min(axis=1)))
        return errors
