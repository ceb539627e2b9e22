"""What sheds pollen onto a seed crop, and the off-types that it brings.

A stand is whatever blooms: a planting kept for seed, one that bolts, a neighbour's plot, a wild
relative on a field edge.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from perennate.catalogue.crossing import Crossing, Kind, crosses, crossing_matrix, crossing_tables
from perennate.catalogue.dispersal import DispersalCurve, curve_of
from perennate.catalogue.isolation import Barrier, reach_m
from perennate.science.gene_flow import (
    Spread,
    bloom_overlap,
    crossing_share,
    foreign_odds,
    off_types,
    within_points,
)
from perennate.science.isolation_pairs import pairs_within_reach

_ALWAYS = (-1e6, 1e6)
"""Days of a bloom that is not known: it may fall at any time."""


@dataclass(frozen=True, slots=True)
class Stand:
    """Plants of one kind at one place.

    `key` is unique among stands; `kind` a key of `crossing_tables().kinds`; `x_m`, `y_m`: its
    middle; `plants` in bloom, None where not known; `bloom`: first and last day as numbers on one
    axis, both in bloom, None where not known; `bloom_sd`: days by which it may come early or late.
    """

    key: str
    kind: str
    x_m: float
    y_m: float
    plants: int | None = None
    bloom: tuple[float, float] | None = None
    bloom_sd: float = 0.0


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two stands within reach of each other's pollen that may cross; `overlap` is the share of the
    bloom of the first, and of the second, with the other (1 where either bloom is not known)."""

    first: Stand
    second: Stand
    distance_m: float
    overlap: tuple[float, float]
    bloom_known: bool
    crossing: Crossing


@dataclass(frozen=True, slots=True)
class Foreign:
    """A stand that sheds onto a seed crop. `plants` None: taken to be as many as the own ones."""

    distance_m: float
    crossing: Crossing
    plants: int | None = None
    overlap: float = 1.0


@dataclass(frozen=True, slots=True)
class OffTypes:
    """Share of off-types expected in the seed [1], and what it rests on.

    `outcrossing`: value, low and highest share of seed with a foreign father where plants stand
    mixed. `measured`: whether every stand lies at a distance that the curve was measured at;
    `as_if_free`: whether some that cross only now and then count as if freely.
    """

    value: float
    low: float
    high: float
    curve: DispersalCurve
    outcrossing: tuple[float, float, float]
    measured: bool
    as_if_free: bool


def meetings(stands: Sequence[Stand], early_or_late: float = 3.0) -> tuple[Meeting, ...]:
    """Every two stands within reach that may cross and may bloom together, by order of the stands.

    Blooms are widened by `early_or_late` times their spread before it is asked whether they meet.
    KeyError for a kind that is not there.
    """
    if not stands:
        return ()
    keys = sorted({stand.kind for stand in stands})
    code = {key: number for number, key in enumerate(keys)}
    blooms = np.array([stand.bloom or _ALWAYS for stand in stands], float)
    wider = np.array([early_or_late * stand.bloom_sd for stand in stands])
    pairs = pairs_within_reach(
        [stand.x_m for stand in stands],
        [stand.y_m for stand in stands],
        [reach_m(stand.kind) for stand in stands],
        blooms[:, 0] - wider,
        blooms[:, 1] + wider,
        [code[stand.kind] for stand in stands],
        crossing_matrix(keys),
    )
    sd = np.array([stand.bloom_sd for stand in stands])
    a, b = blooms[pairs.first], blooms[pairs.second]
    spread = np.hypot(sd[pairs.first], sd[pairs.second])
    of_first = bloom_overlap(a[:, 0], a[:, 1], b[:, 0], b[:, 1], spread)
    of_second = bloom_overlap(b[:, 0], b[:, 1], a[:, 0], a[:, 1], spread)
    found = []
    for i in range(len(pairs)):
        one, other = stands[pairs.first[i]], stands[pairs.second[i]]
        known = one.bloom is not None and other.bloom is not None
        share = (float(of_first[i]), float(of_second[i])) if known else (1.0, 1.0)
        far = float(pairs.distance_m[i])
        found.append(Meeting(one, other, far, share, known, crosses(one.kind, other.kind)))
    return tuple(found)


def foreign_of(stand: Stand, met: Sequence[Meeting]) -> tuple[Foreign, ...]:
    """What sheds onto a stand, of all meetings, those not known to cross among them."""
    found = []
    for meeting in met:
        for own, other, overlap in (
            (meeting.first, meeting.second, meeting.overlap[0]),
            (meeting.second, meeting.first, meeting.overlap[1]),
        ):
            if own.key == stand.key:
                found.append(Foreign(meeting.distance_m, meeting.crossing, other.plants, overlap))
    return tuple(found)


def expected_off_types(
    kind: str, plants: int, foreign: Sequence[Foreign], closed: Barrier | None = None
) -> OffTypes | None:
    """Share of off-types that foreign stands bring to so many plants of a kind.

    `closed`: barrier, cage or bag between. None where it is not known how the kind mates or
    whether some stand crosses with it: unknown, and never none.
    """
    own: Kind = crossing_tables().kinds[kind]
    curve = curve_of(own)
    if own.mating is None or curve is None:
        return None
    if any(one.crossing.verdict == "unknown" for one in foreign):
        return None
    shed = [one for one in foreign if one.crossing.verdict == "yes"]
    rate, extreme = own.mating.outcrossing, own.mating.extreme
    mixed = (rate.value, rate.low, rate.high if extreme is None else extreme.value)
    if not shed:
        return OffTypes(0.0, 0.0, 0.0, curve, mixed, True, False)
    far = np.array([one.distance_m for one in shed])
    passing = None
    if closed is not None:
        through = closed.passing
        passing = Spread(*(np.asarray(end) for end in (through.value, through.low, through.high)))
    odds = foreign_odds(
        crossing_share(curve.fit, far),
        [(one.plants or plants) / plants for one in shed],
        [one.overlap for one in shed],
        passing,
    )
    freely = np.array([one.crossing.likelihood == "free" for one in shed])
    found = off_types(Spread(odds.value, odds.low * freely, odds.high), mixed)
    measured = bool(np.all(within_points(curve.fit, far)))
    return OffTypes(*found, curve, mixed, measured, not bool(freely.all()))
