"""Drip lines: what each emitter gives, how even that is, how long a line may be, how long to run.

Flow in l/h, pressure head in m of water, lengths in m, depth of water in mm.

References
----------
.. [1] Keller, J., Karmeli, D. (1974), Trickle irrigation design parameters, Transactions of the
   ASAE 17:678-684: q = k h^x; emission uniformity 100 (1 - 1.27 CV/sqrt(n)) qmin/qmean.
.. [2] Christiansen, J.E. (1942), Irrigation by sprinkling, California Agricultural Experiment
   Station Bulletin 670: uniformity 100 (1 - mean deviation/mean).
.. [3] Bucks, D.A., Nakayama, F.S., Gilbert, R.G. (1979), Trickle irrigation water quality and
   preventive maintenance, Agricultural Water Management 2:149-162 (limits from memory).
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perennate.science.pipe_flow import KPA_PER_M, USUAL_WATER_C, Law, head_loss

Floats = NDArray[np.float64]
Rating = Literal["none", "slight to moderate", "severe", "unknown"]

GOOD_UNIFORMITY = 90.0
FAIR_UNIFORMITY = 85.0
"""What a new line should reach, and the least to lay [%] (common practice)."""

PONDED_MM = 5.0
"""Water that may stand on the ground before it runs off (assumed) [mm]."""

_TURNS = 1000
_CLOSE, _CLOSE_ENOUGH = 1e-9, 1e-3


@dataclass(frozen=True, slots=True)
class Emitter:
    """Emitters of one make: `flow_l_h` at `pressure_kpa`, q = k h^x with `exponent` x.

    `exponent` is about 0.5 for a turbulent path and 0 for one that holds its flow; `variation`:
    coefficient of variation of new ones; `least_kpa`: below it the flow falls as the root of
    pressure whatever the exponent. Raises ValueError out of range.
    """

    flow_l_h: float
    pressure_kpa: float = 100.0
    exponent: float = 0.5
    variation: float = 0.05
    least_kpa: float = 0.0

    def __post_init__(self) -> None:
        if self.flow_l_h <= 0.0 or self.pressure_kpa <= 0.0:
            raise ValueError("flow and pressure of an emitter must be above 0")
        if not 0.0 <= self.exponent <= 1.0:
            raise ValueError(f"the exponent lies from 0 to 1, not {self.exponent:g}")
        if not 0.0 <= self.variation < 0.5:
            raise ValueError(f"the variation is a share below 0.5, not {self.variation:g}")
        if not 0.0 <= self.least_kpa <= self.pressure_kpa:
            raise ValueError("the least pressure is not above the nominal one")

    def flow(self, head_m: ArrayLike) -> Floats:
        """Flow [l/h] at a head [m] [1]_; nothing at no or negative head."""
        kpa = np.maximum(np.asarray(head_m, dtype=np.float64) * KPA_PER_M, 0.0)
        least = max(self.least_kpa, 1e-9 if self.exponent == 0.0 else 0.0)
        held = self.flow_l_h * (np.maximum(kpa, least) / self.pressure_kpa) ** self.exponent
        if least == 0.0:
            return np.asarray(held)
        return np.asarray(held * np.minimum(np.sqrt(kpa / least), 1.0))


@dataclass(frozen=True)
class LineRun:
    """A line as it runs: one value an emitter from the inlet, nan beyond a line's own end.

    `flow` [l/h] and `head` [m] have shape (lines, emitters); `inlet_flow` [l/h] and `end_head` [m]
    (lines,).
    """

    flow: Floats
    head: Floats
    inlet_flow: Floats
    end_head: Floats

    def __len__(self) -> int:
        return len(self.flow)


def line_run(
    emitter: Emitter,
    emitters: ArrayLike,
    spacing_m: ArrayLike,
    diameter_mm: ArrayLike,
    inlet_head_m: ArrayLike,
    slope: ArrayLike = 0.0,
    law: Law = "darcy-weisbach",
    water_c: float = USUAL_WATER_C,
) -> LineRun:
    """Flow and head at every emitter, each drawing by the pressure that reaches it.

    The first emitter is one spacing from the inlet. `slope`: rise of the ground along the line
    [m/m], negative where it falls. Arguments may be arrays of lines. Solved to 1e-9 of the
    nominal flow, to 1e-3 where friction jumps in a piece of the line. Raises ValueError for no
    emitters or no spacing, ArithmeticError where the flows do not settle, as in lines of a
    thousand emitters whose far half is all but dry.
    """
    count, spacing, across, inlet, rise = np.broadcast_arrays(
        *(
            np.atleast_1d(np.asarray(one, dtype=np.float64))
            for one in (emitters, spacing_m, diameter_mm, inlet_head_m, slope)
        )
    )
    if np.any(count < 1.0) or np.any(spacing <= 0.0):
        raise ValueError("a line needs at least one emitter, and a spacing above 0")
    place = np.arange(1.0, count.max() + 1.0)
    within = place <= count[:, None]
    static = inlet[:, None] - rise[:, None] * spacing[:, None] * place

    def heads(flow: Floats) -> Floats:
        through = np.cumsum(flow[:, ::-1], axis=1)[:, ::-1]
        lost = head_loss(through, across[:, None], spacing[:, None], law, water_c)
        return np.asarray(static - np.cumsum(lost, axis=1))

    def drawn(flow: Floats) -> Floats:
        return np.where(within, emitter.flow(heads(flow)), 0.0)

    flow = _settled(drawn, np.where(within, emitter.flow(static), 0.0), emitter.flow_l_h)
    head = heads(flow)
    last = np.maximum(count.astype(np.int64) - 1, 0)
    return LineRun(
        np.where(within, flow, np.nan),
        np.where(within, head, np.nan),
        flow.sum(axis=1),
        head[np.arange(len(head)), last],
    )


def emission_uniformity(
    flow: ArrayLike, variation: float, emitters_per_plant: float = 1.0
) -> Floats:
    """Emission uniformity [%] of the flows of each line, last axis, nan left out [1]_."""
    each = np.asarray(flow, dtype=np.float64)
    mean = np.nanmean(each, axis=-1)
    least = np.nanmin(each, axis=-1)
    even = 1.0 - 1.27 * variation / np.sqrt(emitters_per_plant)
    return np.asarray(
        100.0 * even * np.divide(least, mean, out=np.zeros_like(mean), where=mean > 0.0)
    )


def christiansen_uniformity(flow: ArrayLike) -> Floats:
    """Christiansen's uniformity [%] of each line, last axis, nan left out [2]_."""
    each = np.asarray(flow, dtype=np.float64)
    mean = np.nanmean(each, axis=-1)
    off = np.nanmean(np.abs(each - mean[..., None]), axis=-1)
    return np.asarray(
        100.0 * (1.0 - np.divide(off, mean, out=np.ones_like(mean), where=mean > 0.0))
    )


def greatest_length(
    emitter: Emitter,
    spacing_m: float,
    diameter_mm: float,
    inlet_head_m: float,
    uniformity: float = GOOD_UNIFORMITY,
    slope: float = 0.0,
    most_m: float = 300.0,
) -> float:
    """Longest line [m] that keeps an emission uniformity [%], up to `most_m`; 0 where none does."""

    def keeps(count: int) -> bool:
        try:
            run = line_run(emitter, count, spacing_m, diameter_mm, inlet_head_m, slope)
        except ArithmeticError:  # all but dry at the far end
            return False
        return float(emission_uniformity(run.flow, emitter.variation)[0]) >= uniformity

    if not keeps(1):
        return 0.0
    most = max(int(most_m / spacing_m + 1e-9), 1)
    good, bad = 1, 2
    while bad <= most and keeps(bad):
        good, bad = bad, bad * 2
    bad = min(bad, most + 1)
    while bad - good > 1:
        middle = (good + bad) // 2
        good, bad = (middle, bad) if keeps(middle) else (good, middle)
    return good * spacing_m


def application_rate(
    emitter_l_h: ArrayLike, emitter_spacing_m: ArrayLike, line_spacing_m: ArrayLike
) -> Floats:
    """Water over the whole ground [mm/h]: flow over the piece of ground of one emitter."""
    piece = np.asarray(emitter_spacing_m, dtype=np.float64) * np.asarray(
        line_spacing_m, dtype=np.float64
    )
    if not np.all(piece > 0.0):
        raise ValueError("spacings must be above 0")
    return np.asarray(np.asarray(emitter_l_h, dtype=np.float64) / piece)


def run_minutes(depth_mm: ArrayLike, rate_mm_h: ArrayLike, efficiency: float = 0.9) -> Floats:
    """Minutes until a net depth of water is in the ground."""
    if not 0.0 < efficiency <= 1.0:
        raise ValueError(f"an efficiency lies above 0 and up to 1, not {efficiency:g}")
    rate = np.asarray(rate_mm_h, dtype=np.float64)
    if not np.all(rate > 0.0):
        raise ValueError("the rate of application must be above 0")
    return np.asarray(60.0 * np.asarray(depth_mm, dtype=np.float64) / (efficiency * rate))


@dataclass(frozen=True, slots=True)
class Pulses:
    """Run in turns: `count` of `on_minutes` each, `rest_minutes` between them."""

    count: int
    on_minutes: float
    rest_minutes: float


def pulses(
    minutes: float, rate_mm_h: float, infiltration_mm_h: float, ponded_mm: float = PONDED_MM
) -> Pulses:
    """One turn where the ground takes the water as it comes, else turns too short to run off.

    Each turn leaves at most `ponded_mm` standing, and the rest lets it sink in. Raises ValueError
    where the ground takes nothing.
    """
    if infiltration_mm_h <= 0.0 or ponded_mm <= 0.0:
        raise ValueError("infiltration and ponding must be above 0")
    if rate_mm_h <= infiltration_mm_h:
        return Pulses(1, minutes, 0.0)
    longest = 60.0 * ponded_mm / (rate_mm_h - infiltration_mm_h)
    count = max(int(np.ceil(minutes / longest - 1e-9)), 1)
    each = minutes / count
    standing = (rate_mm_h - infiltration_mm_h) * each / 60.0
    return Pulses(count, each, 60.0 * standing / infiltration_mm_h if count > 1 else 0.0)


_CLOGGING: dict[str, tuple[float, float]] = {
    "solids": (50.0, 100.0),
    "ph": (7.0, 8.0),
    "iron": (0.1, 1.5),
    "manganese": (0.1, 1.5),
    "bacteria": (10_000.0, 50_000.0),
}
"""Above the first slight to moderate, above the second severe [3]_."""


def clogging(found: dict[str, float]) -> dict[str, Rating]:
    """How far water stops up emitters, by what is in it [3]_.

    Keys: solids, iron, manganese [mg/l], ph, bacteria [per ml]; what is not given is unknown.
    Raises ValueError for another key, or a figure below 0.
    """
    for name, value in found.items():
        if name not in _CLOGGING:
            raise ValueError(f"{name} is not one of {', '.join(_CLOGGING)}")
        if not value >= 0.0:
            raise ValueError(f"{name} is not below 0, as {value:g} is")
    rated: dict[str, Rating] = {}
    for name, (slight, severe) in _CLOGGING.items():
        figure = found.get(name)
        if figure is None:
            rated[name] = "unknown"
        else:
            rated[name] = (
                "severe" if figure > severe else "slight to moderate" if figure > slight else "none"
            )
    return rated


def _settled(drawn: Callable[[Floats], Floats], flow: Floats, nominal: float) -> Floats:
    """Flows that draw themselves, by steps that shrink on each line where they overshoot."""
    step = np.full((len(flow), 1), 0.5)
    before = np.full((len(flow), 1), np.inf)
    for _ in range(_TURNS):
        change = drawn(flow) - flow
        if np.all(np.abs(change) <= _CLOSE * nominal):
            return flow
        off = np.sqrt((change**2).sum(axis=1, keepdims=True))
        step = np.where(off > before, step * 0.5, np.minimum(step * 1.05, 0.9))
        before = off
        flow = np.maximum(flow + step * change, 0.0)
    # friction jumps where flow turns turbulent, and a line with a piece on the jump only creeps
    if np.all(np.abs(drawn(flow) - flow) <= _CLOSE_ENOUGH * nominal):
        return flow
    raise ArithmeticError("the flows of a line did not settle")
