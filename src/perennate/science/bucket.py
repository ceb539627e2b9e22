"""One day after another of the soil's water, for a piece of the plantings through all years.

The steps are those of `science.soil_water`, written into buffers that are used again each day, so
that all of it stays in a core's cache. Rows are plantings; those at work on a step lie within
`lo` to `hi`, and a row among them that does not stand yet, or no more, has columns that let
nothing happen to it (`science.bucket_columns`).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from perennate.science.bucket_columns import Steps

Numbers = NDArray[Any]
Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

SUMS = (
    "rain",
    "watering",
    "intercepted",
    "runoff",
    "drained",
    "soil_lost",
    "crop_used",
    "crop_wanted",
)
COUNTS = ("waterings", "stress_days", "airless_days")
BY_WEEK = (
    "rain",
    "watering",
    "waterings",
    "crop_used",
    "crop_wanted",
    "soil_lost",
    "drained",
    "runoff",
    "airless_days",
    "stress_days",
    "depletion",
)


_FEW = ("watering", "runoff")
"""Sums that change here and there in a day; what a day brought is their difference."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What is written as the days go: by day and by week, (plantings, days or weeks, years)."""

    by_day: Mapping[str, Floats]
    by_week: Mapping[str, NDArray[np.float32]]
    weeks: int
    first_of_week: int
    occasions: Ints
    """Days on which any of a group was watered, (groups, years); no rows without groups."""


class Bucket:
    """The stores of some plantings, (plantings, years) [mm above wilting point]."""

    def __init__(
        self,
        weather: tuple[Numbers, Numbers],
        steps: Steps,
        start: Floats,
        surface: Floats,
        fraction_follows_etc: bool,
    ) -> None:
        self.weather, self.steps, self.follows = weather, steps, fraction_follows_etc
        kind, shape = weather[0].dtype, start.shape
        at = steps.begin, np.arange(shape[0])
        col = {name: values[at] for name, values in steps.columns.items()}
        self.root = (start * col["taw"]).astype(kind)
        self.below = (start * col["below_taw"]).astype(kind)
        self.wet = ((1.0 - surface) * col["tew"]).astype(kind)
        self.at_start = self.root.astype(np.float64) + self.below
        self.sum = {name: np.zeros(shape, kind) for name in SUMS}
        self.count = {name: np.zeros(shape, np.int16) for name in COUNTS}
        self.spell, self.longest = np.zeros(shape, np.int16), np.zeros(shape, np.int16)
        self.buffer = tuple(np.empty(shape, kind) for _ in range(5))
        # NumPy is twice as fast against whole arrays as against a single limit
        self.zero, self.one = np.zeros(shape, kind), np.ones(shape, kind)
        self.flag = np.zeros(shape, np.bool_)
        self.ones = np.empty(shape, np.int16)
        self.mark: dict[str, Numbers] = {}
        self.short = np.zeros(shape, kind)

    def run(self, kept: Kept) -> None:
        """All days, on which `kept` is filled with what it has room for."""
        for step in range(len(self.steps.lo)):
            lo, hi = int(self.steps.lo[step]), int(self.steps.hi[step])
            if lo < hi:
                self._day(step, slice(lo, hi), kept)

    def sums(self) -> dict[str, Numbers]:
        """Sums and counts by the names of `science.soil_water.SoilWaterRun`."""
        return {
            **self.sum,
            **self.count,
            "airless_spell": self.longest,
            "water_at_start": self.at_start,
            "water_at_end": self.root.astype(np.float64) + self.below,
        }

    def _day(self, step: int, rows: slice, kept: Kept) -> None:
        steps, has = self.steps, self.steps.has
        col = {name: values[step, rows] for name, values in steps.columns.items()}
        total = {name: values[rows] for name, values in self.sum.items()}
        height = rows.stop - rows.start
        rain, et0, a, b, c = (values[:height] for values in self.buffer)
        root, below, wet = self.root[rows], self.below[rows], self.wet[rows]
        before = {name: total[name].copy() for name in _FEW if kept.by_day}
        place = steps.place[step, rows]
        np.take(self.weather[0], place, axis=0, out=rain, mode="clip")
        np.take(self.weather[1], place, axis=0, out=et0, mode="clip")

        if has["rooted"][step]:
            np.multiply(below, col["rooted"], out=a)
            root += a
            below -= a
        self._rain_comes(col, rows, rain, a, total)
        if has["watering"][step]:
            self._water_is_given(rows, col, kept)
        root += rain
        wet += rain
        np.minimum(wet, col["tew"], out=wet)

        soil, crop, stress = a, b, c
        np.multiply(wet, col["ke_slope"], out=soil)
        np.minimum(soil, col["ke_most"], out=soil)
        soil *= et0
        np.multiply(et0, col["kcb"], out=crop)
        total["crop_wanted"] += crop
        self._stress(col, root, soil, crop, stress)
        np.minimum(stress, self.one[rows], out=stress)
        under = col["stress_under"] if has["bare"] else 1.0
        self._count(np.less, stress, under, "stress_days", rows)
        crop *= stress
        if has["shallow"]:
            np.minimum(crop, root, out=crop)
        root -= crop
        np.minimum(soil, root, out=soil)
        root -= soil
        total["crop_used"] += crop
        total["soil_lost"] += soil
        if kept.by_day:
            self._keep_day(kept, step, rows, crop_used=crop, soil_lost=soil, stress=stress)
        soil *= col["few_turned"]
        wet -= soil
        np.maximum(wet, self.zero[rows], out=wet)
        self._water_leaves(step, rows, col, (a, b), kept)
        self._air(col, rows)
        if kept.by_day:
            self._keep_day(kept, step, rows, depletion=col["taw"] - root, air=col["full"] - root)
            self._keep_day(kept, step, rows, surface_depletion=col["tew"] - wet)
            few = {name: total[name] - values for name, values in before.items()}
            self._keep_day(kept, step, rows, **few)
        if kept.by_week:
            self._keep_week(kept, step, rows, col["taw"])

    def _rain_comes(
        self,
        col: Mapping[str, Numbers],
        rows: slice,
        rain: Numbers,
        a: Numbers,
        total: Mapping[str, Numbers],
    ) -> None:
        """Rain that a cover lets through, less what leaves catch and what runs off the surface."""
        has = self.steps.has
        if has["cover"]:
            rain *= col["rain_share"]
        total["rain"] += rain
        if has["interception"]:
            np.minimum(rain, col["interception"], out=a)
            rain -= a
            total["intercepted"] += a
        if has["runoff"]:
            # few days bring so much rain, so the curve is worked out for those alone
            at, row = self._where(np.greater, rain, col["runoff_first"], rows)
            some = rain.reshape(-1)[at]
            past = some - col["runoff_first"][row, 0]
            off = past * past / (some + col["runoff_rest"][row, 0])
            rain.reshape(-1)[at] = some - off
            total["runoff"].reshape(-1)[at] += off

    def _water_is_given(self, rows: slice, col: Mapping[str, Numbers], kept: Kept) -> None:
        """Set amounts, or a refill where the root zone was too dry the evening before.

        A planting is watered every week or so, so only those that are, are worked on.
        """
        steps, root = self.steps, self.root[rows]
        if steps.has["set"]:
            at, row = self._where(np.greater, col["amounts"], 0.0, rows)
            amount = col["amounts"][row, 0]
        else:
            due = self._due(rows, col, kept)
            at, row = self._where(np.less, root, col["water_under"], rows, due)
            amount = (col["taw"][row, 0] - root.reshape(-1)[at]) * col["refill"][row, 0]
            amount = np.clip(amount, 0.0, col["most"][row, 0])
        root.reshape(-1)[at] += amount
        self.sum["watering"][rows].reshape(-1)[at] += amount
        self.wet[rows].reshape(-1)[at] += amount * col["unwetted_turned"][row, 0]
        self.count["waterings"][rows].reshape(-1)[at] += amount > 0.0

    def _due(self, rows: slice, col: Mapping[str, Numbers], kept: Kept) -> NDArray[np.bool_] | None:
        """Which are watered because another of their group is; None without groups."""
        steps = self.steps
        if steps.group_rows is None:
            return None
        self.flag[...] = False
        np.less(self.root[rows], col["water_under"], out=self.flag[rows])
        due = np.logical_or.reduceat(self.flag[steps.group_rows], steps.group_starts, axis=0)
        kept.occasions[steps.groups] += due
        return np.asarray(due[steps.group_of[rows]] & (col["allowed"] > 0.0))

    def _where(
        self,
        test: "np.ufunc",
        left: Numbers,
        right: Any,
        rows: slice,
        too: NDArray[np.bool_] | None = None,
    ) -> tuple[Ints, Ints]:
        """Where a test holds (or `too` does): places in the flattened rows, and their row."""
        flag = self.flag[rows]
        test(left, right, out=flag)
        if too is not None:
            flag |= too
        at = np.flatnonzero(flag)
        return at, at // flag.shape[1]

    def _stress(
        self, col: Mapping[str, Numbers], root: Numbers, soil: Numbers, crop: Numbers, out: Numbers
    ) -> None:
        """Ks before it is cut at 1: a root zone holds back where less than (1 - p) TAW is left."""
        if self.follows:
            np.add(soil, crop, out=out)
            out *= col["rest_slope"]
            out += col["rest_base"]
            if self.steps.has["least_rest"]:
                np.maximum(out, col["rest_least"], out=out)
            if self.steps.has["most_rest"]:
                np.minimum(out, col["rest_most"], out=out)
            np.divide(root, out, out=out)
        else:
            np.multiply(root, col["rest_turned"], out=out)

    def _water_leaves(
        self,
        step: int,
        rows: slice,
        col: Mapping[str, Numbers],
        buffers: tuple[Numbers, Numbers],
        kept: Kept,
    ) -> None:
        """What gravity takes goes down, and further down, as far as there is room."""
        a, b = buffers
        root, below = self.root[rows], self.below[rows]
        np.subtract(below, col["below_taw"], out=b)
        np.maximum(b, self.zero[rows], out=b)
        b *= col["below_drains"]
        below -= b
        self.sum["drained"][rows] += b
        if kept.by_day:
            self._keep_day(kept, step, rows, drained=b)
        np.subtract(root, col["taw"], out=a)
        np.maximum(a, self.zero[rows], out=a)
        a *= col["drains"]
        np.subtract(col["below_full"], below, out=b)
        np.minimum(a, b, out=a)
        root -= a
        below += a

    def _air(self, col: Mapping[str, Numbers], rows: slice) -> None:
        """Days with too little air; what the pores cannot hold runs off."""
        root = self.root[rows]
        self._count(np.greater, root, col["airless_above"], "airless_days", rows)
        # pores that run over are airless first, but for roots that want no air
        if self.steps.has["wet_land"] or self.flag[rows].any():
            at, row = self._where(np.greater, root, col["full"], rows)
            over = root.reshape(-1)[at] - col["full"][row, 0]
            root.reshape(-1)[at] -= over
            self.sum["runoff"][rows].reshape(-1)[at] += over
        spell, longest = self.spell[rows], self.longest[rows]
        spell += 1
        spell *= self.ones[rows]
        np.maximum(longest, spell, out=longest)

    def _count(self, test: "np.ufunc", left: Any, right: Any, name: str, rows: slice) -> None:
        """Add 1 to a count where the test holds; `flag` and `ones` keep the outcome."""
        flag, ones, count = self.flag[rows], self.ones[rows], self.count[name][rows]
        test(left, right, out=flag)
        ones[...] = flag
        count += ones

    def _keep_day(self, kept: Kept, step: int, rows: slice, **values: Numbers) -> None:
        here, day = self.steps.standing(step, rows)
        for name, value in values.items():
            kept.by_day[name][self.steps.rows_of[rows][here], day] = value[here]

    def _keep_week(self, kept: Kept, step: int, rows: slice, taw: Numbers) -> None:
        """Differences of the sums since the week before, on the last day of each row's week."""
        steps, short = self.steps, self.short[rows]
        here, day = steps.standing(step, rows)
        np.add(short, (taw - self.root[rows]) / taw, out=short, where=here[:, None])
        since = steps.first[rows][here] + day - kept.first_of_week
        last = (since % 7 == 6) | (step + 1 == steps.end[rows][here])
        if not last.any():
            return
        row = np.flatnonzero(here)[last]
        week, days = (since // 7)[last], np.minimum(since % 7, day)[last] + 1
        wanted = (week >= 0) & (week < kept.weeks)
        at = steps.rows_of[rows][row][wanted], week[wanted]
        row += rows.start
        for name, values in {**self.sum, **self.count}.items():
            if name not in kept.by_week:
                continue
            mark = self.mark.setdefault(name, np.zeros_like(values))
            kept.by_week[name][at] = (values[row] - mark[row])[wanted]
            mark[row] = values[row]
        kept.by_week["depletion"][at] = (self.short[row] / days[:, None])[wanted]
        self.short[row] = 0.0
