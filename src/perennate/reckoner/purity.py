"""Whether a seed crop stays true: isolation from what crosses with it, off-types to come."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from perennate.catalogue.crossing import Crossing, Kind, crosses, crossing_tables, wild_relatives
from perennate.catalogue.isolation import MEANS, Barrier, barrier, home_distance
from perennate.catalogue.model import Crop
from perennate.planning.true_to_type import Foreign, expected_off_types
from perennate.reckoner.neighbours import Neighbour, read_neighbours
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.reckoner.site import MonthDay
from perennate.reckoner.year_days import DAYS, day_of
from perennate.science.gene_flow import bloom_overlap, foreign_genes_after
from perennate.terms import Text, text

NAME = "isolation"
INPUTS = (
    Input("crop", "crop"),
    Input("neighbours", "text", optional=True),
    Input("looked", "float", "m", 0, 100_000, optional=True),
    Input("plants", "int", "", 1, 1_000_000, default="20"),
    Input("bloom_first", "month-day", optional=True),
    Input("bloom_last", "month-day", optional=True),
    Input("their_first", "month-day", optional=True),
    Input("their_last", "month-day", optional=True),
    Input("bloom_spread", "float", "days", 0, 60, default="7"),
    Input("means", "choice", default="none", choices=("none", *MEANS)),
    Input("seed", "choice", default="unknown", choices=("unknown", "open-pollinated", "f1")),
    Input("seasons", "int", "", 1, 50, default="5"),
)
Isolated = Literal["unknown", "not kept", "kept for own use", "kept"]

_CLOSED = ("cage", "tent", "bag", "hand")
"""Means that stand for isolation by themselves; a hedge or border only helps."""
_APART_IN_TIME = 0.01
_FAR_DAYS = (-DAYS, 0, DAYS)


@dataclass(frozen=True, slots=True)
class _Seen:
    """What was entered about the stands round a seed crop, sorted by whether they cross."""

    entered: bool
    looked_m: float | None
    crossing: tuple[tuple[Neighbour, Crossing], ...]
    unknown: tuple[tuple[Neighbour, Crossing], ...]
    apart: tuple[tuple[Neighbour, Crossing], ...]


@reckoner(NAME, INPUTS)
def isolation(
    crop: Crop,
    neighbours: str | None,
    looked: float | None,
    plants: int,
    bloom_first: MonthDay | None,
    bloom_last: MonthDay | None,
    their_first: MonthDay | None,
    their_last: MonthDay | None,
    bloom_spread: float,
    means: str,
    seed: str,
    seasons: int,
) -> list[Answer]:
    """Whether it is isolated and true to type, the share of off-types, and the usual distance.

    Without neighbours entered isolation is unknown. Raises BadInput for neighbours that cannot be
    read, and blooms of which only a part is given.
    """
    kind = crossing_tables().kinds[crop.key]
    overlap = _overlap((bloom_first, bloom_last, their_first, their_last), bloom_spread)
    seen = _sorted(kind, neighbours, looked)
    closed = _barrier(kind, means)
    state, why = _isolation(kind, seen, overlap, means, closed)
    cautions = (*_cautions(crop, kind, seen, state, means, closed), *_wild(kind, seen))
    told = (*_told(crop, kind, seen), *why)
    sources = tuple(
        dict.fromkeys(
            (
                kind.source,
                *(crossing.source for _, crossing in (*seen.crossing, *seen.unknown, *seen.apart)),
            )
        )
    )
    answers = [
        Answer("isolation", state, None, None, "", told, sources, cautions),
        _true(crop, state, seed, sources),
    ]
    if seen.entered:
        answers += _off_types(kind, seen, plants, overlap, closed, seasons)
    return answers + _distance(kind)


def _sorted(kind: Kind, neighbours: str | None, looked: float | None) -> _Seen:
    stands = () if neighbours is None else read_neighbours(NAME, "neighbours", neighbours)
    pairs = [(stand, crosses(kind.key, stand.kind.key)) for stand in stands]

    def those(verdict: str) -> tuple[tuple[Neighbour, Crossing], ...]:
        return tuple(pair for pair in pairs if pair[1].verdict == verdict)

    return _Seen(neighbours is not None, looked, those("yes"), those("unknown"), those("no"))


def _overlap(days: Sequence[MonthDay | None], spread: float) -> float | None:
    """Share of the own bloom with theirs, round the ring of the year; None where it is not told."""
    if all(day is None for day in days):
        return None
    lacking = [
        name
        for name, day in zip(
            ("bloom_first", "bloom_last", "their_first", "their_last"), days, strict=True
        )
        if day is None
    ]
    if lacking:
        raise refuse(NAME, lacking[0], "nothing", "first and last day of both blooms, or of none")
    own, own_last, their, their_last = (day_of(day) for day in days if day is not None)
    own_last += DAYS * (own_last < own)
    their_last += DAYS * (their_last < their)
    found = [
        bloom_overlap(own, own_last, their + shift, their_last + shift, spread * np.sqrt(2.0))
        for shift in _FAR_DAYS
    ]
    return min(1.0, float(np.sum(found)))


def _barrier(kind: Kind, means: str) -> Barrier | None:
    if means == "none" or kind.mating is None:
        return None
    return barrier(means, "wind" if kind.by_wind else "insect")


def _isolation(
    kind: Kind, seen: _Seen, overlap: float | None, means: str, closed: Barrier | None
) -> tuple[Isolated, tuple[Text, ...]]:
    if not kind.groups or kind.mating is None:
        return "unknown", (text("reckoner.purity.kindred_unknown", crop=kind.key),)
    if closed is not None and means in _CLOSED:
        return "kept", (text("reckoner.purity.closed", means=means),)
    if not seen.entered:
        return "unknown", (text("reckoner.purity.none_entered"),)
    if seen.unknown:
        return "unknown", (text("reckoner.purity.some_unknown"),)
    usual = home_distance(kind.key)
    if usual is None:
        return "unknown", (text("reckoner.purity.no_distance", crop=kind.key),)
    far, near = usual.distance.high, usual.distance.low
    shared = text("reckoner.purity.usual", near=near, far=far)
    nearest = min((stand.distance_m for stand, _ in seen.crossing), default=None)
    if nearest is not None and nearest < near:
        in_time = _in_time(kind.mating.time_isolation, overlap)
        if in_time is not None:
            return "kept for own use", (shared, in_time)
        return "not kept", (shared, text("reckoner.purity.too_near", distance=nearest))
    bounds = [metres for metres in (nearest, seen.looked_m) if metres is not None]
    if not bounds:
        return "unknown", (shared, text("reckoner.purity.not_looked"))
    free = min(bounds)
    if free >= far:
        return "kept", (shared, text("reckoner.purity.far_enough", distance=free))
    if free >= near:
        return "kept for own use", (shared, text("reckoner.purity.near_enough", distance=free))
    return "unknown", (shared, text("reckoner.purity.looked_too_near", distance=free))


def _in_time(feasible: str, overlap: float | None) -> Text | None:
    """Why different times keep them apart; None where they do not, or the crop blooms on and on."""
    if overlap is None or overlap >= _APART_IN_TIME or feasible == "no":
        return None
    code = "in_time_partly" if feasible == "partial" else "in_time"
    return text(f"reckoner.purity.{code}", share=overlap)


def _told(crop: Crop, kind: Kind, seen: _Seen) -> tuple[Text, ...]:
    told = []
    for stand, crossing in (*seen.crossing, *seen.unknown, *seen.apart):
        code = crossing.rule if crossing.rule in ("family", "genus") else crossing.likelihood
        told.append(
            text(
                f"reckoner.purity.crossing_{code.replace(' ', '_')}",
                crop=crop.key,
                neighbour=stand.kind.name,
            )
        )
        if crossing.mother and crossing.mother not in kind.groups:
            told.append(text("reckoner.purity.one_way", crop=crop.key, neighbour=stand.kind.name))
    return tuple(told)


def _wild(kind: Kind, seen: _Seen) -> tuple[Text, ...]:
    entered = {stand.kind.key for stand, _ in seen.crossing}
    names = [one.name for one in wild_relatives(kind.key) if one.key not in entered]
    if not names:
        return ()
    return (text("reckoner.purity.wild", wild=", ".join(names)),)


def _cautions(
    crop: Crop, kind: Kind, seen: _Seen, state: str, means: str, closed: Barrier | None
) -> tuple[Text, ...]:
    found = []
    if seen.entered:
        found.append(text("reckoner.purity.entered_only"))
    if means != "none" and closed is None and kind.mating is not None:
        found.append(text("reckoner.purity.no_figure_for_means", means=means))
    if means in _CLOSED and closed is not None and kind.mating is not None:
        found.append(text("reckoner.purity.by_hand", how=kind.mating.hand_method))
    if any(hazard.key.startswith("squash_bitter") for hazard in crop.hazards):
        code = "bitter_saved" if state == "kept" else "bitter"
        found.append(text(f"reckoner.purity.{code}", crop=crop.key))
    return tuple(found)


def _true(crop: Crop, state: str, seed: str, sources: tuple[str, ...]) -> Answer:
    if seed == "f1":
        value, why = "no", text("reckoner.purity.f1", crop=crop.key)
    elif state == "unknown":
        value, why = "unknown", text("reckoner.purity.isolation_unknown")
    elif seed == "unknown":
        value, why = "unknown", text("reckoner.purity.seed_unknown")
    elif state == "kept":
        value, why = "likely", text("reckoner.purity.likely")
    else:
        value, why = "doubtful", text("reckoner.purity.doubtful")
    return Answer("true to type", value, None, None, "", (why,), sources)


def _off_types(
    kind: Kind,
    seen: _Seen,
    plants: int,
    overlap: float | None,
    closed: Barrier | None,
    seasons: int,
) -> list[Answer]:
    together = 1.0 if overlap is None else overlap
    foreign = [
        Foreign(stand.distance_m, crossing, stand.plants, together)
        for stand, crossing in seen.crossing
    ]
    found = expected_off_types(kind.key, plants, foreign, closed)
    if found is None or kind.mating is None or not foreign:
        return []
    fit, mixed = found.curve.fit, found.outcrossing
    working = [
        text(
            "reckoner.purity.curve", curve=found.curve.name, near=fit.nearest_m, far=fit.farthest_m
        ),
        text("reckoner.purity.outcrossing", share=mixed[0], low=mixed[1], high=mixed[2]),
        text("reckoner.purity.together", share=overlap)
        if overlap is not None
        else text("reckoner.purity.bloom_unknown"),
    ]
    sources = [*found.curve.sources, "goggi2007", kind.mating.outcrossing.source, "foreign-pollen"]
    if kind.mating.extreme is not None:
        sources.append(kind.mating.extreme.source)
    if closed is not None:
        passes = closed.passing
        working.append(text("reckoner.purity.passing", means=closed.means, share=passes.high))
        sources.append(passes.source)
    genes = float(foreign_genes_after(found.value, seasons))
    working.append(text("reckoner.purity.after", seasons=seasons, share=genes))
    cautions = [text("reckoner.purity.tune")]
    if seen.unknown:
        cautions.append(text("reckoner.purity.unknown_left_out"))
    if found.as_if_free:
        cautions.append(text("reckoner.purity.as_if_free"))
    if not found.measured:
        cautions.append(text("reckoner.purity.beyond", near=fit.nearest_m, far=fit.farthest_m))
    return [
        Answer(
            "off-types expected",
            100.0 * found.value,
            100.0 * found.low,
            100.0 * found.high,
            "%",
            tuple(working),
            tuple(dict.fromkeys(sources)),
            tuple(cautions),
        )
    ]


def _distance(kind: Kind) -> list[Answer]:
    usual = home_distance(kind.key)
    if usual is None:
        return []
    one = usual.distance
    working = (text("reckoner.purity.usual", near=one.low, far=one.high),)
    cautions = (text("reckoner.purity.law"), text("reckoner.purity.other_ways"))
    return [
        Answer("distance kept", one.low, one.low, one.high, "m", working, (one.source,), cautions)
    ]
