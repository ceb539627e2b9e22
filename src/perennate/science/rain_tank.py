"""Rain from roofs into a tank: what runs in, what is drawn, what spills, how big a tank is worth.

References
----------
.. [1] Farreny, R. and others (2011), Roof selection for rainwater harvesting, Water Research
   45:3245: smooth sloping roofs yield above 0.90 of the rain (seen in the abstract), clay tile
   0.84, metal 0.92, flat gravel 0.62 (from memory).
.. [2] Jenkins, D. and others (1978), and Fewkes, A., Butler, D. (2000), Building Serv. Eng. Res.
   Technol. 21:99: the order in which a day's water is drawn and spilled (from memory).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

ROOF_RUNOFF: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {
        "metal": (0.92, 0.85, 0.95),
        "tile": (0.84, 0.75, 0.90),
        "flat gravel": (0.62, 0.50, 0.75),
        "green": (0.35, 0.15, 0.60),
        "unknown": (0.75, 0.50, 0.90),
    }
)
"""Share of the rain that runs off a roof by its kind, usual, low and high [1]_; green and unknown
roofs from memory."""


@dataclass(frozen=True, slots=True)
class TankRun:
    """A tank through the years; arrays (years, days) in litres, the years one after another.

    `level` is what stands in it at the end of the day. Before the first day `start` stood in it.
    start + sum(inflow) = sum(drawn) + sum(spilled) + last level.
    """

    inflow: Floats
    demand: Floats
    drawn: Floats
    spilled: Floats
    level: Floats
    start: float

    @property
    def share_of_demand(self) -> Floats:
        """Share of each year's demand that the tank gave, (years,); 1 where none was asked."""
        asked = self.demand.sum(axis=1)
        share = np.ones(len(asked))
        np.divide(self.drawn.sum(axis=1), asked, out=share, where=asked > 0.0)
        return share

    @property
    def share_of_days(self) -> Floats:
        """Share of each year's days with a demand that was met in full, (years,)."""
        asked = self.demand > 0.0
        met = asked & (self.drawn >= self.demand - 1e-9)
        share = np.ones(len(asked))
        np.divide(met.sum(axis=1), asked.sum(axis=1), out=share, where=asked.any(axis=1))
        return share


def collected(
    rain_mm: ArrayLike, roof_m2: float, runoff_share: float, first_flush_mm: float = 0.0
) -> Floats:
    """Water that comes to the tank each day [l], shape (years, days) as the rain [mm].

    `roof_m2`: roof as seen from above; `first_flush_mm`: depth on the roof that a diverter takes
    from each rain; it empties on a day without. Raises ValueError.
    """
    rain = np.atleast_2d(np.asarray(rain_mm, dtype=np.float64))
    if np.any(rain < 0.0) or not np.all(np.isfinite(rain)):
        raise ValueError(f"rain of a day is 0 mm or more, not {np.min(rain):g}")
    if roof_m2 <= 0.0:
        raise ValueError(f"a roof has more than 0 m2, not {roof_m2:g}")
    if not 0.0 < runoff_share <= 1.0:
        raise ValueError(f"the share that runs off lies above 0 and up to 1, not {runoff_share:g}")
    if first_flush_mm < 0.0:
        raise ValueError(f"a first flush is 0 mm or more, not {first_flush_mm:g}")
    runs = rain.ravel() * runoff_share
    if first_flush_mm > 0.0:
        # a running sum within each spell of rain: the diverter takes its first millimetres
        total = np.cumsum(runs)
        before_spell = np.maximum.accumulate(np.where(runs == 0.0, total, 0.0))
        of_spell = total - before_spell
        earlier = of_spell - runs
        runs = np.maximum(of_spell - first_flush_mm, 0.0) - np.maximum(
            earlier - first_flush_mm, 0.0
        )
        runs = np.clip(runs, 0.0, rain.ravel() * runoff_share)
    return np.asarray((runs * roof_m2).reshape(rain.shape))


def tank_run(
    inflow_l: ArrayLike, demand_l: ArrayLike, tank_l: float, start_l: float = 0.0
) -> TankRun:
    """A tank by day through all years, (years, days); demand broadcasts to the inflow [l].

    Each day what is wanted is drawn from what stood in the tank the evening before; then rain
    comes, and what does not fit spills: yield after spillage, the careful order [2]_. All years
    run side by side and are run again until each begins with the level that the one before left.
    Raises ValueError for a tank of nothing, negatives, or a start that does not fit in.
    """
    inflow = np.atleast_2d(np.asarray(inflow_l, dtype=np.float64))
    demand = np.broadcast_to(np.asarray(demand_l, dtype=np.float64), inflow.shape)
    if not tank_l > 0.0:
        raise ValueError(f"a tank holds more than 0 l, not {tank_l:g}; without one, rain is lost")
    if not 0.0 <= start_l <= tank_l:
        raise ValueError(f"a tank of {tank_l:g} l cannot begin with {start_l:g} l in it")
    if np.any(inflow < 0.0) or np.any(demand < 0.0):
        raise ValueError("what runs in and what is wanted are 0 l or more")
    start = np.full(len(inflow), start_l)
    while True:
        run = _years_side_by_side(inflow, demand, tank_l, start)
        begins = np.concatenate(([start_l], run[2][:-1, -1]))
        if np.array_equal(begins, start):
            return TankRun(inflow, demand, *run, start_l)
        start = begins


def _years_side_by_side(
    inflow: Floats, demand: Floats, tank_l: float, start: Floats
) -> tuple[Floats, Floats, Floats]:
    drawn, spilled, levels = (np.zeros_like(inflow) for _ in range(3))
    level = start
    for day in range(inflow.shape[1]):
        draws = np.minimum(demand[:, day], level)
        full = level - draws + inflow[:, day]
        level = np.minimum(full, tank_l - draws)
        drawn[:, day], spilled[:, day], levels[:, day] = draws, full - level, level
    return drawn, spilled, levels


def size_for(
    inflow_l: ArrayLike,
    demand_l: ArrayLike,
    share_of_demand: float,
    chance: float | None = None,
    most_l: float = 1_000_000.0,
    start_l: float = 0.0,
) -> float | None:
    """Smallest tank [l], to 1 % or 10 l, that gives a share of the demand, 0 to 1.

    The share is that of all years together, or with `chance` one that this share of the years
    reach. None where even `most_l` does not. A larger tank never gives less, so the search halves
    the span. Raises ValueError for shares outside 0 to 1.
    """
    for name, one in (("share of the demand", share_of_demand), ("chance", chance or 0.0)):
        if not 0.0 <= one <= 1.0:
            raise ValueError(f"a {name} lies between 0 and 1, not {one:g}")

    def enough(tank_l: float) -> bool:
        run = tank_run(inflow_l, demand_l, tank_l, min(start_l, tank_l))
        if chance is None:
            asked = run.demand.sum()
            return bool(run.drawn.sum() >= (share_of_demand - 1e-9) * asked)
        return float((run.share_of_demand >= share_of_demand - 1e-9).mean()) >= chance - 1e-9

    if not enough(most_l):
        return None
    low, high = 0.0, most_l
    while high - low > max(10.0, 0.01 * high):
        middle = max(1.0, float(np.sqrt(max(low, 1.0) * high)))
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high
