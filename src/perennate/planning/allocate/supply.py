"""Water by week: what may be drawn from a tank that fills with rain, and from elsewhere."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from perennate.planning.allocate.program import Program

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
INF = float("inf")

PERIOD = 4
"""Weeks that the relaxation takes together: a tank evens out what is finer."""


@dataclass(frozen=True, slots=True)
class WaterSupply:
    """Litres. `level` stands in a tank of `tank` before the first week, `inflow` runs into it in
    each week, `weekly` comes from elsewhere in each (infinite: no limit), and no more than `total`
    is drawn in all. `spoken_for` is drawn in any case, first of all.

    What comes from elsewhere is drawn before the tank, which keeps: no order serves more.
    """

    tank: float
    level: float
    inflow: tuple[float, ...]
    weekly: tuple[float, ...]
    total: float = INF
    spoken_for: tuple[float, ...] = ()

    def with_spoken_for(self, used: Floats) -> "WaterSupply":
        """The supply that is left when so much more is drawn in each week."""
        spoken = np.round(self._spoken() + used, 3)
        return replace(self, spoken_for=tuple(spoken.tolist()))

    def lack(self, used: Floats) -> float:
        """Litres of what is spoken for and used that are not there, over all weeks."""
        drawn = self._spoken() + used
        beyond = max(float(drawn.sum()) - self.total, 0.0)
        return float(self._lacking(drawn).sum()) + beyond

    def add_to(
        self, program: "Program", area: Ints, litres: Sequence[tuple[tuple[int, float], ...]]
    ) -> Ints:
        """Rows of a programme by which columns `area` draw `litres` (week, amount) by unit.

        Returns the rows of the periods, whose duals are the price of a litre. What is spoken for
        and is lacking already is left out, so that taking nothing is always possible.
        """
        weeks = len(self.inflow)
        first = np.arange(0, weeks, PERIOD)
        spoken = self._spoken()
        open_to = np.add.reduceat(np.array(self.inflow) + self._lacking(spoken) - spoken, first)
        elsewhere = np.add.reduceat(np.array(self.weekly), first)
        open_to[0] += self.level
        # the tank's rain of one period may be drawn within it, so it holds that much more
        level = program.columns(len(first), upper=self.tank)
        other = program.columns(len(first), upper=elsewhere)
        rows = program.rows(len(first), -INF, open_to)
        program.entries(rows, level, 1.0)
        program.entries(rows[1:], level[:-1], -1.0)
        program.entries(rows, other, -1.0)
        left = max(self.total - float(spoken.sum()), 0.0)
        all_weeks = program.rows(1, -INF, left) if np.isfinite(left) else np.zeros(0, np.int64)
        for column, by_week in zip(area, litres, strict=True):
            drawn: dict[int, float] = {}
            for week, amount in by_week:
                if 0 <= week < weeks:
                    drawn[week // PERIOD] = drawn.get(week // PERIOD, 0.0) + amount
            if drawn:
                columns = np.repeat(column, len(drawn))
                program.entries(rows[list(drawn)], columns, np.array(list(drawn.values())))
                program.entries(all_weeks, columns[: len(all_weeks)], sum(drawn.values()))
        return np.concatenate((rows, all_weeks))

    def _spoken(self) -> Floats:
        return np.array(self.spoken_for) if self.spoken_for else np.zeros(len(self.inflow))

    def _lacking(self, drawn: Floats) -> Floats:
        """Litres not there in each week, by running the tank."""
        lacking = np.zeros(len(drawn))
        level = self.level
        for week, (wanted, comes, elsewhere) in enumerate(
            zip(drawn.tolist(), self.inflow, self.weekly, strict=True)
        ):
            level += comes - max(wanted - elsewhere, 0.0)
            if level < 0.0:
                lacking[week], level = -level, 0.0
            level = min(level, self.tank)
        return lacking
