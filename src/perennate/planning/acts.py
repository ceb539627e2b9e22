"""What the grower does to a plan by hand, as rows of `plantings`.

Each act gives the rows to put in place of those with their keys, or to add, and the keys of rows
to take out; it changes nothing itself. What cannot be is refused with every fault at once
(BadInput); what is merely unwise passes, and the checks say what is wrong with it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Bed, Hand, HandPlanting, Holding
from perennate.planning.hand import refused_beds
from perennate.planning.keys import new_key
from perennate.planning.offers import routes
from perennate.planning.own_rows import row_of
from perennate.planning.plan import Plan, PlannedPlanting, Route
from perennate.terms import BadInput, Problem

TABLE = "plantings"
_ROUNDING_M = 1e-6


@dataclass(frozen=True, slots=True)
class Act:
    """Rows to add, or to put in place of those with their keys; keys of rows to take out."""

    rows: tuple[HandPlanting, ...] = ()
    remove: tuple[str, ...] = ()


def fix(planting: PlannedPlanting, holding: Holding) -> Act:
    """The planting stays just so in every plan to come. What stands already stays as it is."""
    return _kept(planting, holding, "fixed")


def wish(planting: PlannedPlanting, holding: Holding) -> Act:
    """The planting is taken into plans to come where nothing firmer is in its way."""
    return _kept(planting, holding, "wished")


def _kept(planting: PlannedPlanting, holding: Holding, hand: Hand) -> Act:
    _raise(_of_a_bed(planting, holding))
    return Act((row_of(planting, "stands" if planting.status == "stands" else hand),))


def let_go(planting: PlannedPlanting) -> Act:
    """A fixed or wished planting is the planner's again. BadInput for what stands."""
    if planting.status == "stands":
        _raise([_problem("hand", "stands", "a planting that is fixed or wished")])
    return Act(remove=(planting.key,))


def refuse(
    holding: Holding,
    plan: Plan,
    *,
    crop: str = "",
    bed: str = "",
    first: date | None = None,
    last: date | None = None,
    variety: str = "",
    note: str = "",
) -> Act:
    """Never this crop in this bed between these days (`last` counted); what is empty means any."""
    problems = list(_known_bed(bed, holding)) if bed else []
    if not (crop or bed or first or last):
        problems.append(
            _problem("crop", "nothing", "a crop, a bed or days, or everything would be refused")
        )
    if first and last and last < first:
        problems.append(_problem("ground_to", last.isoformat(), f"a day from {first} on"))
    _raise(problems)
    key = new_key("refused", crop, variety, (first or plan.start).year, _taken(holding, plan))
    after = last + timedelta(1) if last else None
    return Act((HandPlanting(key, "refused", crop, variety, bed, None, first, after, note=note),))


def move(
    planting: PlannedPlanting,
    holding: Holding,
    plan: Plan,
    *,
    bed: str | None = None,
    start_m: float | None = None,
    sow: date | None = None,
) -> Act:
    """To another bed, another place in it, or another day of sowing.

    All days that the row holds move with the sowing; length stays. In another bed without a
    place it stands at its old place where that is within the bed, else as near as it fits. What
    was planned is fixed by it; what is wished or stands stays so.
    """
    problems = list(_of_a_bed(planting, holding))
    if bed is not None:
        problems += _known_bed(bed, holding)
    shift = timedelta(0) if sow is None else sow - planting.sow
    if sow is not None:
        problems += _day_in_plan(planting, sow, planting.ground_from + shift, plan)
    to = _bed(planting.bed if bed is None else bed, holding)
    place = planting.start_m if start_m is None else start_m
    if to is not None:
        if start_m is None:
            place = max(0.0, min(place, to.length_m - planting.length_m))
        problems += _within(place, planting.length_m, to)
    _raise(problems)
    assert to is not None
    row = row_of(planting, _hand_of(planting))
    same_plants = abs(to.width_m - planting.width_m) <= _ROUNDING_M
    return Act(
        (
            replace(
                row,
                bed=to.key,
                start_m=round(place, 3),
                sown=planting.sow + shift,
                ground_from=planting.ground_from + shift,
                ground_to=planting.ground_to + shift,
                plants=row.plants if same_plants else None,
            ),
        )
    )


def resize(planting: PlannedPlanting, holding: Holding, *, length_m: float) -> Act:
    """Longer or shorter from its beginning; plants are counted anew."""
    problems = list(_of_a_bed(planting, holding))
    bed = _bed(planting.bed, holding)
    if bed is not None:
        problems += _within(planting.start_m, length_m, bed)
    _raise(problems)
    row = row_of(planting, _hand_of(planting))
    return Act((replace(row, length_m=round(length_m, 3), plants=None),))


def split(planting: PlannedPlanting, holding: Holding, plan: Plan, *, at_m: float) -> Act:
    """In two at so many metres along the bed; the first keeps the key, the second gets its own."""
    problems = list(_of_a_bed(planting, holding))
    end = planting.start_m + planting.length_m
    if not planting.start_m + _ROUNDING_M < at_m < end - _ROUNDING_M:
        expected = f"a place between {planting.start_m:g} and {end:g} m along the bed"
        problems.append(_problem("start_m", f"{at_m:g}", expected))
    _raise(problems)
    row = row_of(planting, _hand_of(planting))
    aim = planting.aims[0] if planting.aims else ""
    key = new_key(aim, row.crop, row.variety, planting.sow.year, _taken(holding, plan))
    at_m = round(at_m, 3)
    first = replace(row, length_m=round(at_m - planting.start_m, 3), plants=None)
    second = replace(row, key=key, start_m=at_m, length_m=round(end - at_m, 3), plants=None)
    return Act((first, second))


def add(
    holding: Holding,
    plan: Plan,
    catalogue: Catalogue,
    *,
    crop: str,
    bed: str,
    sow: date | None = None,
    ground_from: date | None = None,
    ground_to: date | None = None,
    start_m: float | None = None,
    length_m: float | None = None,
    variety: str = "",
    lot: str = "",
    plants: int | None = None,
    route: Route | None = None,
    hand: Hand = "fixed",
    note: str = "",
) -> Act:
    """A planting of the grower's own, from its sowing or from its day in the bed.

    The day that is not given is reckoned from the crop's weeks in the nursery, by the route or
    the crop's usual one. An empty length is the rest of the bed; an empty place with a length is
    the first that other rows leave free; an empty end is filled from the crop's days.
    """
    known = catalogue.crops.get(crop)
    problems = list(_known_bed(bed, holding))
    if known is None:
        problems.append(_problem("crop", f'"{crop}"', "a crop of the catalogue"))
    if hand not in ("fixed", "wished", "stands"):
        problems.append(_problem("hand", f'"{hand}"', "fixed, wished or stands"))
    if sow is None and ground_from is None:
        problems.append(_problem("sown", "nothing", "the day of sowing or the day in the bed"))
    raised = timedelta(0)
    if known is not None:
        way = route or next(iter(routes(known)), "direct")
        if way == "nursery":
            raised = timedelta(round(7 * known.value("nursery_time", 5.0)))
    begun = sow or (ground_from - raised if ground_from else None)
    stood = ground_from or (sow + raised if sow else None)
    if begun and stood:
        problems += _days(begun, stood, ground_to, hand, plan)
    if plants is not None and plants < 1:
        problems.append(_problem("plants", str(plants), "1 or more"))
    to = _bed(bed, holding)
    if to is not None:
        place = start_m or 0.0
        problems += _within(place, to.length_m - place if length_m is None else length_m, to)
    _raise(problems)
    assert begun is not None
    key = new_key("", crop, variety, begun.year, _taken(holding, plan))
    row = HandPlanting(key, hand, crop, variety, bed, begun, stood, ground_to, start_m, length_m,
                       plants, lot, note)  # fmt: skip
    return Act((row,))


def drop(planting: PlannedPlanting, holding: Holding, plan: Plan) -> Act:
    """The planting is not wanted. `plan` is the stored plan, without rows laid over it.

    A row of the grower's that the stored plan does not have is taken out. A planting of the
    stored plan becomes a refused row of its own key for its crop, bed and days; others of that
    crop that the row would bar too are fixed, so that only this one goes. What stands in the
    ground becomes a past row that ends on the plan's day.
    """
    if not planting.bed:
        _raise(_of_a_bed(planting, holding))
    old = next((old for old in plan.plantings if old.key == planting.key), None)
    if old is None:
        return Act(remove=(planting.key,))
    if old.status == "stands" and old.ground_from < plan.as_of:
        ended = min(planting.ground_to, plan.as_of)
        return Act((replace(row_of(planting, "past"), ground_to=ended),))
    refused = HandPlanting(
        old.key, "refused", old.crop, "", old.bed, None, old.ground_from, old.ground_to
    )
    own = {row.key for row in holding.plantings if row.hand in ("fixed", "wished", "stands")}
    only = replace(holding, plantings=(refused,))
    others = tuple(
        row_of(other, "fixed")
        for other in plan.plantings
        if other.key not in own | {old.key}
        and other.status != "stands"
        and other.bed == old.bed
        and not _barred(other, holding)
        and _barred(other, only)
    )
    return Act((refused, *others))


def _barred(planting: PlannedPlanting, holding: Holding) -> bool:
    beds = refused_beds(holding, planting.crop, planting.ground_from, planting.ground_to)
    return beds is None or planting.bed in {holding.beds[number].key for number in beds}


def after(act: Act, rows: tuple[HandPlanting, ...]) -> tuple[HandPlanting, ...]:
    """The table of `plantings` after an act: rows keep their place, new ones come last."""
    given = {row.key: row for row in act.rows}
    kept = tuple(given.pop(row.key, row) for row in rows if row.key not in act.remove)
    return (*kept, *given.values())


def _hand_of(planting: PlannedPlanting) -> Hand:
    return "fixed" if planting.status == "planned" else planting.status


def _taken(holding: Holding, plan: Plan) -> set[str]:
    """Keys that a new row may not take."""
    return {row.key for row in holding.plantings} | {old.key for old in plan.plantings}


def _bed(key: str, holding: Holding) -> Bed | None:
    return next((bed for bed in holding.beds if bed.key == key), None)


def _known_bed(key: str, holding: Holding) -> Iterator[Problem]:
    if _bed(key, holding) is None:
        there = ", ".join(bed.key for bed in holding.beds) or "none yet"
        yield _problem("bed", f'"{key}"', f"a bed of the holding ({there})")


def _of_a_bed(planting: PlannedPlanting, holding: Holding) -> Iterator[Problem]:
    if not planting.bed:
        yield _problem("bed", "nothing", "a planting in a bed; change its aim instead")


def _within(start_m: float, length_m: float, bed: Bed) -> Iterator[Problem]:
    if start_m < -_ROUNDING_M:
        yield _problem("start_m", f"{start_m:g}", "0 m or more")
    if length_m <= _ROUNDING_M:
        yield _problem("length_m", f"{length_m:g}", "more than 0 m")
    elif start_m + length_m > bed.length_m + _ROUNDING_M:
        found = f"{start_m:g} m + {length_m:g} m"
        yield _problem("length_m", found, f"within {bed.key}, which is {bed.length_m:g} m long")


def _day_in_plan(
    planting: PlannedPlanting, sow: date, ground_from: date, plan: Plan
) -> Iterator[Problem]:
    yield from _days(sow, ground_from, None, _hand_of(planting), plan)


def _days(
    sow: date, ground_from: date, ground_to: date | None, hand: Hand, plan: Plan
) -> Iterator[Problem]:
    end = plan.start + timedelta(7 * plan.weeks)
    if hand == "stands":
        if sow > plan.as_of:
            yield _problem("sown", sow.isoformat(), f"a day up to {plan.as_of}, as it stands")
    elif sow < plan.as_of:
        yield _problem("sown", sow.isoformat(), f"a day of the plan, from {plan.as_of} on")
    if ground_from >= end:
        yield _problem("ground_from", ground_from.isoformat(), f"a day of the plan, before {end}")
    if ground_from < sow:
        yield _problem("ground_from", ground_from.isoformat(), f"the sowing ({sow}) or later")
    if ground_to is not None and ground_to <= ground_from:
        yield _problem("ground_to", ground_to.isoformat(), f"a day after {ground_from}")


def _problem(column: str, found: str, expected: str) -> Problem:
    return Problem(TABLE, None, column, found, expected)


def _raise(problems: Iterator[Problem] | list[Problem]) -> None:
    """BadInput with all of these; nothing where there are none."""
    found = tuple(problems)
    if found:
        raise BadInput(found)
