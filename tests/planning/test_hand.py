"""The grower's hand comes first: rows of `plantings` and the plan made before."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
import small

from perennate.catalogue.reader import load_catalogue
from perennate.holding.model import Aim, HandPlanting
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.hand import whole_row
from perennate.planning.own_rows import row_of
from perennate.planning.plan import Plan, PlannedPlanting

CATALOGUE = load_catalogue()


def row(key: str, hand: str, crop: str, bed: str, start: date | None, end: date | None, **others):
    plain = HandPlanting(key, hand, crop, "", bed, None, start, end)  # type: ignore[arg-type]
    return replace(plain, **others)


@pytest.fixture(scope="module")
def first() -> Plan:
    return small.plan()


def placed(plan: Plan) -> set[tuple]:
    return {
        (p.key, p.crop, p.bed, p.sow, p.ground_from, p.ground_to, p.start_m, p.length_m)
        for p in plan.plantings
    }


def overlaps(one: PlannedPlanting, other: PlannedPlanting) -> bool:
    return (
        one.bed == other.bed
        and one.ground_from < other.ground_to
        and other.ground_from < one.ground_to
        and one.start_m < other.start_m + other.length_m - 1e-6
        and other.start_m < one.start_m + one.length_m - 1e-6
    )


def assert_sound(plan: Plan) -> None:
    beds = {bed.key: bed for bed in small.holding().beds}
    for number, one in enumerate(plan.plantings):
        if one.bed:
            assert one.start_m >= 0
            assert one.start_m + one.length_m <= beds[one.bed].length_m + 1e-6
        assert not any(overlaps(one, other) for other in plan.plantings[:number] if one.bed)
    for grave in (f for f in plan.findings if f.gravity == "grave"):
        assert not grave.rule.startswith(("bed.", "rotation.", "hand.", "food.")), grave


def test_a_fixed_row_is_kept_as_it_is() -> None:
    fixed = row("mine", "fixed", "chard", "north", date(2026, 5, 3), date(2026, 9, 10),
                start_m=1.25, length_m=1.5, plants=17, sown=date(2026, 4, 1))  # fmt: skip
    plan = small.plan(small.with_rows([fixed]))
    (mine,) = [p for p in plan.plantings if p.key == "mine"]
    assert (mine.crop, mine.bed, mine.status) == ("chard", "north", "fixed")
    assert (mine.sow, mine.ground_from, mine.ground_to) == (
        date(2026, 4, 1),
        date(2026, 5, 3),
        date(2026, 9, 10),
    )
    assert (mine.start_m, mine.length_m, mine.plants) == (1.25, 1.5, 17)
    assert_sound(plan)


def test_what_stands_on_the_first_day_is_taken_as_it_is_and_feeds_its_aim() -> None:
    stands = row("old kale", "stands", "carrot", "mid", date(2025, 8, 1), date(2026, 8, 20),
                 start_m=0.0, length_m=4.0)  # fmt: skip
    plan = small.plan(small.with_rows([stands]))
    (old,) = [p for p in plan.plantings if p.key == "old kale"]
    assert old.status == "stands"
    assert old.ground_from == date(2025, 8, 1)
    assert not [p for p in plan.plantings if p.bed == "mid" and p.ground_from < date(2026, 8, 20)
                and p.key != "old kale"]  # fmt: skip
    assert_sound(plan)


@pytest.mark.parametrize("where", ["", "north"])
def test_a_refused_crop_is_not_planted_there(first, where: str) -> None:
    assert any(p.crop == "potato" and p.bed == "north" for p in first.plantings)
    plan = small.plan(small.with_rows([row("no", "refused", "potato", where, None, None)]))
    potatoes = [p for p in plan.plantings if p.crop == "potato"]
    assert not any(p.bed == where or not where for p in potatoes)
    assert_sound(plan)


def test_a_refusal_holds_between_its_dates_and_for_any_crop(first) -> None:
    begins, ends = date(2026, 5, 1), date(2026, 8, 1)
    assert any(p.bed == "north" and p.ground_from < ends and p.ground_to > begins
               for p in first.plantings)  # fmt: skip
    plan = small.plan(small.with_rows([row("no", "refused", "", "north", begins, ends)]))
    there = [p for p in plan.plantings if p.bed == "north"]
    assert all(p.ground_to <= begins or p.ground_from >= ends for p in there)
    assert there, "outside those dates the bed is still used"


def test_a_bed_kept_free_stays_free(first) -> None:
    whole = small.holding()
    beds = (replace(whole.beds[0], free_from=date(2026, 4, 15), free_to=date(2026, 9, 30)),)
    plan = small.plan(replace(whole, beds=(*beds, *whole.beds[1:])))
    there = [p for p in plan.plantings if p.bed == "north"]
    assert all(p.ground_to <= date(2026, 4, 15) or p.ground_from > date(2026, 9, 30) for p in there)
    assert any(p.ground_from < date(2026, 9, 1) for p in first.plantings if p.bed == "north")


def test_a_wish_is_taken_where_its_place_is_free_and_left_where_not() -> None:
    wish = row("wish", "wished", "chard", "north", date(2026, 5, 4), date(2026, 9, 7),
               start_m=1.0, length_m=2.0)  # fmt: skip
    plan = small.plan(small.with_rows([wish]))
    (taken,) = [p for p in plan.plantings if p.key == "wish"]
    assert (taken.status, taken.start_m, taken.length_m) == ("wished", 1.0, 2.0)
    firm = row("firm", "fixed", "beet", "north", date(2026, 6, 1), date(2026, 8, 1),
               start_m=2.5, length_m=1.0)  # fmt: skip
    plan = small.plan(small.with_rows([wish, firm]))
    assert "wish" not in {p.key for p in plan.plantings}
    assert "firm" in {p.key for p in plan.plantings}
    too_soon = replace(wish, crop="potato", bed="mid")
    plan = small.plan(small.with_rows([too_soon]))
    assert "wish" not in {p.key for p in plan.plantings}, "potatoes stood there last year"


def test_rows_without_a_place_are_given_what_the_others_leave() -> None:
    times = date(2026, 5, 4), date(2026, 8, 3)
    rows = [
        row("a", "fixed", "beet", "north", *times, length_m=1.5),
        row("b", "fixed", "chard", "north", *times, start_m=0.0, length_m=2.0),
    ]
    plan = small.plan(small.with_rows(rows))
    a, b = (next(p for p in plan.plantings if p.key == key) for key in "ab")
    assert not overlaps(a, b)
    assert (b.start_m, a.length_m) == (0.0, 1.5)


def test_the_same_input_with_its_own_plan_before_changes_nothing(first) -> None:
    again = small.plan(previous=first)
    if again.solver.objective >= first.solver.objective - 1e-3:
        assert placed(again) == placed(first)
    assert again.solver.objective <= first.solver.objective + 1e-6
    third = small.plan(previous=again)
    assert placed(third) == placed(again)
    assert {job.key for job in third.jobs} == {job.key for job in again.jobs}


def test_a_later_start_keeps_what_was_sown_by_then(first) -> None:
    today = date(2026, 6, 8)
    later = small.plan(as_of=today, previous=first)
    sown = {p.key: p for p in first.plantings if p.sow < today < p.ground_to}
    assert sown
    now = {p.key: p for p in later.plantings}
    for key, old in sown.items():
        assert now[key].status == "stands"
        assert (now[key].bed, now[key].ground_from, now[key].ground_to) == (
            old.bed, old.ground_from, old.ground_to,
        )  # fmt: skip
        assert (now[key].start_m, now[key].length_m) == (old.start_m, old.length_m)
    assert_sound(later)


def moved(old: PlannedPlanting, **others) -> HandPlanting:
    plain = HandPlanting(
        old.key, "fixed", old.crop, old.variety, old.bed, old.sow, old.ground_from, old.ground_to,
        old.start_m, old.length_m, None, old.lot,
    )  # fmt: skip
    return replace(plain, **others)


def test_a_planting_moved_by_file_moves_and_is_not_planted_twice(first) -> None:
    old = next(p for p in first.plantings if (p.crop, p.bed) == ("kale", "north"))
    later = timedelta(21)
    there = moved(old, start_m=old.start_m - 1.0, ground_from=old.ground_from + later,
                  ground_to=old.ground_to + later)  # fmt: skip
    plan = small.plan(small.with_rows([there]), previous=first)
    now = next(p for p in plan.plantings if p.key == old.key)
    assert (now.bed, now.start_m) == ("north", old.start_m - 1.0)
    assert now.ground_from == old.ground_from + later
    others = [p for p in plan.plantings if p.crop == "kale" and p.key != old.key]
    assert sum(p.area_m2 for p in others) <= 1.5 * sum(
        p.area_m2 for p in first.plantings if p.crop == "kale"
    )
    assert_sound(plan)


def test_a_planting_split_by_file_stands_in_both_parts(first) -> None:
    old = next(p for p in first.plantings if p.length_m >= 1.0 and p.crop == "carrot")
    half = old.length_m / 2
    rows = [
        moved(old, length_m=half),
        moved(old, key="second half", start_m=old.start_m + half, length_m=half),
    ]
    plan = small.plan(small.with_rows(rows), previous=first)
    now = {p.key: p for p in plan.plantings}
    assert now[old.key].length_m == now["second half"].length_m == half
    assert_sound(plan)


def test_a_planting_dropped_by_file_is_gone(first) -> None:
    old = next(p for p in first.plantings if p.crop == "kale")
    gone = row("drop", "refused", "kale", old.bed, old.ground_from, old.ground_to)
    plan = small.plan(small.with_rows([gone]), previous=first)
    assert not [p for p in plan.plantings if p.crop == "kale" and p.bed == old.bed
                and p.ground_from < old.ground_to and p.ground_to > old.ground_from]  # fmt: skip


def test_new_rows_change_no_more_than_they_must(first) -> None:
    added = row("added", "fixed", "beet", "wall", date(2026, 4, 20), date(2026, 6, 29),
                start_m=1.0, length_m=2.0)  # fmt: skip
    plan = small.plan(small.with_rows([added]), previous=first)
    assert "added" in {p.key for p in plan.plantings}
    kept = placed(first) & placed(plan)
    assert len(kept) >= len(first.plantings) - 2
    assert_sound(plan)


@pytest.mark.parametrize(
    "day",
    [date(2026, 6, 18), date(2026, 12, 3), date(2026, 12, 30), date(2027, 1, 1), date(2028, 2, 29)],
)
def test_a_plan_may_start_on_any_day(day: date) -> None:
    year = timedelta(365)
    aims = tuple(
        replace(aim, start=None, end=None) for aim in small.holding().aims if aim.per == "season"
    )
    plan = small.plan(small.holding(as_of=day, aims=aims))
    assert plan.start == day
    assert plan.plantings
    assert all(day <= p.sow < day + year for p in plan.plantings)
    assert all(day <= job.best for job in plan.jobs)
    assert max(result.met for result in plan.aims) > 0.9
    assert_sound(plan)


@pytest.mark.parametrize(
    ("crop", "sown", "ground_from", "route"),
    [
        ("garlic", None, date(2026, 10, 10), "set"),
        ("garlic", date(2026, 10, 10), date(2026, 10, 10), "set"),
        ("tomato", None, date(2026, 5, 20), "nursery"),
        ("tomato", date(2026, 4, 1), date(2026, 5, 20), "nursery"),
        ("carrot", date(2026, 4, 20), date(2026, 4, 20), "direct"),
        ("onion_bulb", date(2026, 4, 1), date(2026, 4, 1), "set"),
    ],
)
def test_a_row_is_raised_as_its_days_and_its_crop_say(crop, sown, ground_from, route) -> None:
    wanted = row("r", "fixed", crop, "mid", ground_from, None, sown=sown, start_m=0.0, length_m=1.0)
    whole = whole_row(wanted, CATALOGUE.crops[crop], (), Weeks(date(2026, 3, 1), 52))
    assert whole.route == route
    assert whole.ground_from == ground_from
    assert whole.sow <= ground_from < whole.first_harvest


def test_ground_for_an_aim_that_is_no_food_stays_so_when_it_is_fixed() -> None:
    bloom = Aim("bloom", "habitat", "", "", 2.0, "m2", "season", date(2026, 6, 1),
                date(2026, 8, 31), 1)  # fmt: skip
    seed = Aim("seed", "seed", "lettuce_leaf", "", 5.0, "g", "season", None, None, 1)
    of = small.holding(aims=(*small.holding().aims, bloom, seed))
    before = small.plan(of)
    served = [p for p in before.plantings if {"bloom", "seed"} & set(p.aims)]
    assert {aim for p in served for aim in p.aims} == {"bloom", "seed"}
    fixed = [row_of(planting, "fixed") for planting in served]
    assert {row.aim for row in fixed} == {"bloom", "seed"}
    after = small.plan(small.with_rows(fixed, of))
    now = {p.key: p for p in after.plantings}
    for old in served:
        assert now[old.key].status == "fixed"
        assert now[old.key].aims == old.aims
        assert now[old.key].by_week == ()
    met = {aim.aim: aim.met for aim in after.aims}
    assert met["bloom"] >= 0.9 * next(a.met for a in before.aims if a.aim == "bloom")
    more = [p for p in after.plantings if p.status == "planned" and set(p.aims) & {"bloom", "seed"}]
    ground = sum(p.area_m2 for p in served)
    assert sum(p.area_m2 for p in more) < 0.5 * ground, "what is fixed counts, so little is added"


def test_a_row_that_names_an_aim_which_is_gone_is_food() -> None:
    row = HandPlanting("x", "fixed", "kale", "", "north", None, date(2026, 5, 4), None, 0.0, 1.0,
                       aim="no such aim")  # fmt: skip
    plan = small.plan(small.with_rows([row]))
    (planting,) = [p for p in plan.plantings if p.key == "x"]
    assert planting.by_week
