"""Checks of the grower's own hand: fixed, standing, refused and wished rows, and how many kinds."""

from collections.abc import Iterator
from datetime import date

from perennate.holding.model import HandPlanting
from perennate.planning.checks.case import OWN, Case, finding, named
from perennate.planning.plan import Finding, PlannedPlanting

_ROUNDING_M = 0.005


def kept(row: HandPlanting, planting: PlannedPlanting) -> bool:
    """Whether a planting is the row just so, in all that the row says."""
    pairs = (
        (row.crop, planting.crop),
        (row.variety, planting.variety),
        (row.bed, planting.bed),
        (row.lot, planting.lot),
        (row.sown, planting.sow),
        (row.ground_from, planting.ground_from),
        (row.ground_to, planting.ground_to),
        (row.plants, planting.plants),
    )
    if any(said not in ("", None) and said != planned for said, planned in pairs):
        return False
    lengths = ((row.start_m, planting.start_m), (row.length_m, planting.length_m))
    return all(said is None or abs(said - planned) <= _ROUNDING_M for said, planned in lengths)


def _lost(case: Case, hand: str) -> Iterator[HandPlanting]:
    """Rows of a kind without a planting of their own; one planting answers one row."""
    free = list(case.plan.plantings)
    for row in case.holding.plantings:
        if row.hand != hand:
            continue
        answer = next((planting for planting in free if kept(row, planting)), None)
        if answer is None:
            yield row
        else:
            free.remove(answer)


def fixed_kept(case: Case) -> Iterator[Finding]:
    """A fixed row that the plan does not hold just so."""
    for row in _lost(case, "fixed"):
        yield finding("hand.fixed_lost", "grave", [row.key], OWN, **_named_row(row))


def standing_kept(case: Case) -> Iterator[Finding]:
    """What stands on the first day but not in the plan: its ground would be given away."""
    for row in _lost(case, "stands"):
        if row.ground_to is not None and row.ground_to <= case.plan.start:
            continue
        yield finding("hand.stands_lost", "grave", [row.key], OWN, **_named_row(row))


def wished_left_out(case: Case) -> Iterator[Finding]:
    """A wished row that is not in the plan."""
    for row in _lost(case, "wished"):
        yield finding("hand.wished_left", "note", [row.key], OWN, **_named_row(row))


def refused_kept(case: Case) -> Iterator[Finding]:
    """A planting that the grower has refused, by crop, variety, bed and days."""
    for row in case.holding.plantings:
        if row.hand != "refused":
            continue
        first, last = row.ground_from or date.min, row.ground_to or date.max
        for planting in case.plan.plantings:
            if planting.status in ("stands", "fixed"):
                continue
            pairs = (
                (row.crop, planting.crop),
                (row.variety, planting.variety),
                (row.bed, planting.bed),
            )
            same = all(not said or said == planned for said, planned in pairs)
            if same and planting.ground_from < last and planting.ground_to > first:
                yield finding(
                    "hand.refused", "grave", [planting.key, row.key], OWN, **named(planting)
                )


def _named_row(row: HandPlanting) -> dict[str, str]:
    return {
        "row": row.key,
        "crop": row.crop or "any crop",
        "variety": row.variety or "any variety",
        "bed": row.bed or "any bed",
    }


def kinds_at_once(case: Case) -> Iterator[Finding]:
    """More kinds in the ground at one time than the grower wishes to look after."""
    most = case.holding.habits.most_kinds_at_once
    starts = sorted({planting.ground_from for planting in case.plan.plantings})
    worst, when = 0, None
    for day in starts:
        kinds = {
            planting.crop
            for planting in case.plan.plantings
            if planting.bed and planting.ground_from <= day < planting.ground_to
        }
        if len(kinds) > worst:
            worst, when = len(kinds), day
    if when is not None and worst > most:
        yield finding("kinds.many", "mind", [], OWN, kinds=worst, most=most, day=when)
