"""A stored plan with the grower's rows laid over it."""

import subprocess
import sys
from dataclasses import replace
from datetime import date, timedelta

import pytest
import small
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.holding.model import HandPlanting, Holding
from perennate.planning import acts
from perennate.planning.by_hand import with_hand
from perennate.planning.checks.hand import kept
from perennate.planning.own_rows import row_of
from perennate.planning.plan import Plan, PlannedPlanting
from perennate.planning.recounted import share_now
from perennate.terms import BadInput

HOLDING = small.holding()


@pytest.fixture(scope="module")
def first() -> Plan:
    return small.plan()


def shown(plan: Plan, rows: tuple[HandPlanting, ...], of: Holding = HOLDING) -> Plan:
    """The plan with rows beside the holding's own."""
    return with_hand(plan, small.with_rows(rows, of), small.shipped(), small.weather())


def of_crop(plan: Plan, crop: str) -> PlannedPlanting:
    return next(planting for planting in plan.plantings if planting.crop == crop)


def by_key(plan: Plan, key: str) -> PlannedPlanting:
    return next(planting for planting in plan.plantings if planting.key == key)


def rules(plan: Plan) -> set[tuple[str, tuple[str, ...]]]:
    return {(finding.rule, finding.about) for finding in plan.findings}


def jobs_of(plan: Plan, key: str) -> list:
    return [job for job in plan.jobs if job.planting == key]


def test_an_unchanged_holding_shows_the_plan_itself(first: Plan) -> None:
    assert with_hand(first, HOLDING, small.shipped(), small.weather()) is first


def test_a_plan_made_with_rows_of_every_kind_is_itself_while_they_stay() -> None:
    day = date(2026, 4, 20)
    rows = (
        HandPlanting("f", "fixed", "lettuce_leaf", "", "mid", None, day, date(2026, 7, 1), 0, 1),
        HandPlanting("w", "wished", "radish", "", "north", None, day, None, None, 1.0),
        HandPlanting("x", "wished", "radish", "", "mid", None, day, None, 0.0, 1.0),
        HandPlanting("s", "stands", "kale", "", "wall", date(2025, 8, 1), date(2025, 9, 1),
                     date(2026, 4, 10), 0.0, 1.0),
        HandPlanting("r", "refused", "potato", "", "north", None, None, None),
    )  # fmt: skip
    holding = small.with_rows(rows)
    plan = small.plan(holding)
    assert ("hand.wished_left", ("x",)) in rules(plan)
    assert with_hand(plan, holding, small.shipped(), small.weather()) is plan


def test_what_the_plan_before_had_sown_stays_without_a_row(first: Plan) -> None:
    later = small.plan(previous=first, as_of=date(2026, 5, 4))
    assert any(planting.status == "stands" for planting in later.plantings)
    assert with_hand(later, HOLDING, small.shipped(), small.weather()) is later


def test_a_wish_that_what_was_sown_kept_out_stays_out(first: Plan) -> None:
    kale = of_crop(first, "kale")
    day = kale.sow + timedelta(14)
    wish = replace(row_of(kale, "wished"), key="w", crop="lettuce_leaf", sown=None, plants=None)
    holding = small.with_rows([wish])
    later = small.plan(holding, previous=first, as_of=day)
    assert by_key(later, kale.key).status == "stands"
    assert ("hand.wished_left", ("w",)) in rules(later)
    assert with_hand(later, holding, small.shipped(), small.weather()) is later


def test_a_row_without_a_place_goes_where_rows_of_the_plan_leave_room() -> None:
    there = HandPlanting("b", "fixed", "radish", "", "mid", None, date(2026, 4, 20),
                         date(2026, 6, 1), None, 1.0)  # fmt: skip
    plan = small.plan(small.with_rows([there]))
    changed = shown(plan, (there, replace(there, key="a")))
    assert by_key(changed, "b") == by_key(plan, "b")
    assert by_key(changed, "a").start_m == by_key(changed, "b").start_m + 1.0


def test_fixing_changes_the_status_and_nothing_else(first: Plan) -> None:
    carrot = of_crop(first, "carrot")
    fixed = shown(first, acts.fix(carrot, HOLDING).rows)
    assert by_key(fixed, carrot.key) == replace(carrot, status="fixed")
    assert (fixed.jobs, fixed.needs, fixed.findings) == (first.jobs, first.needs, first.findings)
    assert (fixed.aims, fixed.yields) == (first.aims, first.yields)


def test_a_planting_moved_onto_another_is_found_to_overlap_it(first: Plan) -> None:
    carrot, potato = of_crop(first, "carrot"), of_crop(first, "potato")
    rows = acts.move(carrot, HOLDING, first, bed=potato.bed, start_m=potato.start_m).rows
    rows = (replace(rows[0], ground_from=potato.ground_from, ground_to=potato.ground_to),)
    overlapping = {finding for finding in rules(shown(first, rows)) if finding[0] == "bed.overfull"}
    assert any({carrot.key, potato.key} <= set(about) for _, about in overlapping)
    assert not any(rule == "bed.overfull" for rule, _ in rules(first))


def test_moved_and_moved_back_has_its_first_jobs_again(first: Plan) -> None:
    kale = of_crop(first, "kale")
    away = shown(first, acts.move(kale, HOLDING, first, sow=kale.sow + timedelta(20)).rows)
    moved = by_key(away, kale.key)
    assert jobs_of(away, kale.key) != jobs_of(first, kale.key)
    back = shown(first, acts.move(moved, HOLDING, first, sow=kale.sow).rows)
    assert jobs_of(back, kale.key) == jobs_of(first, kale.key)
    assert by_key(back, kale.key).by_week == kale.by_week


def test_jobs_of_untouched_plantings_keep_their_keys(first: Plan) -> None:
    kale, carrot = of_crop(first, "kale"), of_crop(first, "carrot")
    changed = shown(first, acts.move(kale, HOLDING, first, sow=kale.sow + timedelta(20)).rows)
    assert [job.key for job in jobs_of(changed, carrot.key)] == [
        job.key for job in jobs_of(first, carrot.key)
    ]


def test_all_days_of_a_row_move_with_its_sowing(first: Plan) -> None:
    kale = of_crop(first, "kale")
    shift = timedelta(10)
    moved = by_key(
        shown(first, acts.move(kale, HOLDING, first, sow=kale.sow + shift).rows), kale.key
    )
    assert (moved.sow, moved.ground_from, moved.ground_to) == (
        kale.sow + shift,
        kale.ground_from + shift,
        kale.ground_to + shift,
    )
    assert (moved.length_m, moved.start_m, moved.bed) == (kale.length_m, kale.start_m, kale.bed)


def test_sown_too_late_its_frost_is_said_on_the_planting_and_among_the_findings(
    first: Plan,
) -> None:
    potato = of_crop(first, "potato")
    late = replace(
        row_of(potato, "fixed"),
        sown=date(2026, 9, 20),
        ground_from=date(2026, 9, 20),
        ground_to=date(2026, 12, 31),
    )
    changed = shown(first, (late,))
    assert by_key(changed, potato.key).frost_risk > 0.9
    found = {rule for rule, about in rules(changed) if potato.key in about}
    assert found & {"frost.risk", "season.short"}


def test_half_the_ground_brings_half_the_harvest_and_meets_less_of_the_aim(first: Plan) -> None:
    potato = of_crop(first, "potato")
    rows = acts.resize(potato, HOLDING, length_m=potato.length_m / 2).rows
    changed = shown(first, rows)
    half = by_key(changed, potato.key)
    assert half.harvest.value == pytest.approx(potato.harvest.value / 2, rel=0.01)
    assert half.plants <= potato.plants / 2 + 1
    before = next(aim for aim in first.aims if aim.crop == "potato")
    now = next(aim for aim in changed.aims if aim.crop == "potato")
    assert now.met < before.met
    assert now.expected.value == pytest.approx(now.met * now.wanted, abs=0.01)
    others = [(a, b) for a, b in zip(first.aims, changed.aims, strict=True) if a.crop != "potato"]
    assert all(was == is_now for was, is_now in others)
    lost = first.yields.harvest_kg.value - changed.yields.harvest_kg.value
    assert lost == pytest.approx(potato.harvest.value - half.harvest.value, abs=0.02)
    assert not any(rule == "aim.not_borne_out" for rule, _ in rules(changed))


def test_split_keeps_the_ground_and_nearly_the_plants(first: Plan) -> None:
    carrot = of_crop(first, "carrot")
    act = acts.split(carrot, HOLDING, first, at_m=carrot.start_m + carrot.length_m / 2)
    changed = shown(first, act.rows)
    parts = [by_key(changed, row.key) for row in act.rows]
    assert parts[0].key == carrot.key != parts[1].key
    assert sum(part.area_m2 for part in parts) == pytest.approx(carrot.area_m2)
    assert sum(part.plants for part in parts) == pytest.approx(carrot.plants, rel=0.1)
    kg = sum(part.harvest.value for part in parts)
    assert kg == pytest.approx(carrot.harvest.value, abs=0.02)
    assert not any(rule == "bed.overfull" for rule, _ in rules(changed))


def test_parts_of_a_planting_bring_what_was_planned_for_it_not_what_is_usual(first: Plan) -> None:
    carrot = of_crop(first, "carrot")
    poor = replace(carrot, by_week=tuple(replace(week, kg=week.kg / 2) for week in carrot.by_week))
    stored = replace(
        first, plantings=tuple(poor if one == carrot else one for one in first.plantings)
    )
    act = acts.split(poor, HOLDING, stored, at_m=carrot.start_m + carrot.length_m / 2)
    parts = [by_key(shown(stored, act.rows), row.key) for row in act.rows]
    kg = sum(week.kg for part in parts for week in part.by_week)
    assert kg == pytest.approx(carrot.harvest.value / 2, abs=0.02)


def test_a_dropped_planting_is_gone_and_its_aim_falls(first: Plan) -> None:
    potato = of_crop(first, "potato")
    act = acts.drop(potato, HOLDING, first)
    assert [row.hand for row in act.rows if row.key == potato.key] == ["refused"]
    changed = shown(first, act.rows)
    assert {p.key for p in first.plantings} - {p.key for p in changed.plantings} == {potato.key}
    assert jobs_of(changed, potato.key) == []
    before = next(aim for aim in first.aims if aim.crop == "potato")
    now = next(aim for aim in changed.aims if aim.crop == "potato")
    assert now.met < before.met
    assert any(rule == "aim.unmet" for rule, about in rules(changed) if now.aim in about)


def test_dropping_one_of_two_alike_leaves_the_other(first: Plan) -> None:
    carrot = of_crop(first, "carrot")
    act = acts.split(carrot, HOLDING, first, at_m=carrot.start_m + carrot.length_m / 2)
    stored = shown(first, act.rows)
    stored = replace(
        stored, plantings=tuple(replace(p, status="planned") for p in stored.plantings)
    )
    dropped = acts.drop(by_key(stored, carrot.key), HOLDING, stored)
    keys = {p.key for p in shown(stored, dropped.rows).plantings}
    assert carrot.key not in keys
    assert act.rows[1].key in keys


def test_moved_and_then_dropped_it_is_gone(first: Plan) -> None:
    kale = of_crop(first, "kale")
    moved = shown(first, acts.move(kale, HOLDING, first, sow=kale.sow + timedelta(60)).rows)
    act = acts.drop(by_key(moved, kale.key), HOLDING, first)
    assert kale.key not in {p.key for p in shown(first, act.rows).plantings}


def test_an_added_row_is_in_the_plan_and_dropped_it_is_taken_out_again(first: Plan) -> None:
    act = acts.add(
        HOLDING, first, small.shipped(), crop="radish", bed="north", sow=date(2026, 4, 6),
        start_m=4.0, length_m=1.0,
    )  # fmt: skip
    changed = shown(first, act.rows)
    radish = by_key(changed, act.rows[0].key)
    assert (radish.status, radish.sow, radish.bed) == ("fixed", date(2026, 4, 6), "north")
    assert radish.harvest.value > 0
    assert jobs_of(changed, radish.key)
    dropped = acts.drop(radish, small.with_rows(act.rows), first)
    assert (dropped.rows, dropped.remove) == ((), (radish.key,))


def test_a_row_that_is_taken_out_is_the_planners_again() -> None:
    row = HandPlanting("f", "fixed", "radish", "", "mid", None, date(2026, 4, 20),
                       date(2026, 6, 1), 0.0, 1.0)  # fmt: skip
    plan = small.plan(small.with_rows([row]))
    assert by_key(plan, "f").status == "fixed"
    assert by_key(shown(plan, ()), "f").status == "planned"


def test_what_stood_and_is_dropped_becomes_history() -> None:
    row = HandPlanting("s", "stands", "kale", "", "wall", date(2025, 8, 1), date(2025, 9, 1),
                       date(2026, 4, 10), 0.0, 1.0)  # fmt: skip
    holding = small.with_rows([row])
    plan = small.plan(holding)
    act = acts.drop(by_key(plan, "s"), holding, plan)
    rows = acts.after(act, holding.plantings)
    assert [(one.hand, one.ground_to) for one in rows if one.key == "s"] == [("past", plan.as_of)]
    changed = with_hand(plan, replace(holding, plantings=rows), small.shipped(), small.weather())
    assert "s" not in {p.key for p in changed.plantings}


def test_a_refusal_bars_what_is_planned_but_not_what_is_fixed(first: Plan) -> None:
    carrot = of_crop(first, "carrot")
    refused = acts.refuse(HOLDING, first, crop="carrot").rows
    assert not [p for p in shown(first, refused).plantings if p.crop == "carrot"]
    both = (*refused, *acts.fix(carrot, HOLDING).rows)
    assert [p.key for p in shown(first, both).plantings if p.crop == "carrot"] == [carrot.key]


def test_a_new_plan_keeps_every_row_and_shows_it_as_it_was_shown(first: Plan) -> None:
    kale, carrot = of_crop(first, "kale"), of_crop(first, "carrot")
    rows = (
        *acts.move(kale, HOLDING, first, sow=kale.sow + timedelta(14)).rows,
        *acts.split(carrot, HOLDING, first, at_m=carrot.start_m + 0.5).rows,
    )
    changed = shown(first, rows)
    again = small.plan(small.with_rows(rows), previous=first)
    for row in rows:
        assert kept(row, by_key(again, row.key))
        was, now = by_key(changed, row.key), by_key(again, row.key)
        assert (was.length_m, was.start_m, was.plants) == (now.length_m, now.start_m, now.plants)
    assert with_hand(again, small.with_rows(rows), small.shipped(), small.weather()) is again


def test_impossible_acts_are_refused_with_every_fault(first: Plan) -> None:
    carrot = of_crop(first, "carrot")
    end = first.start + timedelta(7 * first.weeks)
    cases = [
        (lambda: acts.move(carrot, HOLDING, first, bed="moon"), {"bed"}),
        (lambda: acts.move(carrot, HOLDING, first, start_m=50.0), {"length_m"}),
        (lambda: acts.move(carrot, HOLDING, first, start_m=-1.0), {"start_m"}),
        (lambda: acts.move(carrot, HOLDING, first, sow=end), {"ground_from"}),
        (lambda: acts.move(carrot, HOLDING, first, sow=date(2020, 1, 1), bed="moon"),
         {"bed", "sown"}),
        (lambda: acts.resize(carrot, HOLDING, length_m=-1.0), {"length_m"}),
        (lambda: acts.split(carrot, HOLDING, first, at_m=carrot.start_m), {"start_m"}),
        (lambda: acts.refuse(HOLDING, first), {"crop"}),
        (lambda: acts.add(HOLDING, first, small.shipped(), crop="moonwort", bed="moon"),
         {"bed", "crop", "sown"}),
    ]  # fmt: skip
    for act, columns in cases:
        with pytest.raises(BadInput) as refused:
            act()
        assert {problem.column for problem in refused.value.problems} == columns


def test_unwise_but_possible_acts_pass(first: Plan) -> None:
    potato = of_crop(first, "potato")
    assert acts.move(potato, HOLDING, first, sow=date(2026, 12, 1)).rows


def test_an_act_puts_its_rows_in_place_and_new_ones_last() -> None:
    one, two = HOLDING.plantings
    new = replace(one, key="new")
    changed = replace(two, bed="north")
    act = acts.Act((new, changed), (one.key,))
    assert acts.after(act, (one, two)) == (changed, new)


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_a_share_moves_with_the_count_and_stays_a_share(
    share: float, before: float, after: float
) -> None:
    now = share_now(share, before, after)
    assert 0 <= now <= 1
    assert share_now(share, before, before) == share
    assert (now <= share) if after < before else (now >= share)


@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_whatever_is_moved_the_plan_stays_whole(first: Plan, data: st.DataObject) -> None:
    planting = data.draw(st.sampled_from([p for p in first.plantings if p.bed]))
    bed = data.draw(st.sampled_from([b for b in HOLDING.beds if b.length_m >= planting.length_m]))
    shift = timedelta(data.draw(st.integers(0, 120)))
    try:
        act = acts.move(planting, HOLDING, first, bed=bed.key, sow=planting.sow + shift)
    except BadInput:
        return
    changed = shown(first, act.rows)
    assert {p.key for p in changed.plantings} == {p.key for p in first.plantings}
    assert {job.planting for job in changed.jobs} - {""} <= {p.key for p in changed.plantings}
    for aim in changed.aims:
        assert 0 <= aim.met <= 1
        assert aim.expected.value <= aim.wanted + 1e-6
    assert not any(rule in ("aim.not_borne_out", "hand.fixed_lost") for rule, _ in rules(changed))


def test_no_solver_is_loaded_for_a_change_by_hand() -> None:
    code = (
        "import sys, perennate.planning.by_hand, perennate.planning.acts;"
        "print({name.split('.')[0] for name in sys.modules} & {'highspy', 'ortools'})"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "set()"


def test_a_bed_made_shorter_is_checked_at_once(first: Plan) -> None:
    """No row of plantings changes, and yet what stands there reaches beyond the end now."""
    taken = max(first.plantings, key=lambda one: one.start_m + one.length_m)
    shorter = tuple(
        replace(bed, length_m=taken.start_m + taken.length_m - 0.5) if bed.key == taken.bed else bed
        for bed in HOLDING.beds
    )
    after = shown(first, HOLDING.plantings, replace(HOLDING, beds=shorter))
    assert ("bed.beyond_end", (taken.key, taken.bed)) in rules(after) - rules(first)
    assert after.plantings == first.plantings
    assert shown(after, HOLDING.plantings).findings == first.findings


def test_an_aim_that_came_went_or_grew_is_told_at_once(first: Plan) -> None:
    grown, *rest = HOLDING.aims
    new = replace(grown, key="another")
    aims = (replace(grown, amount=2 * grown.amount), *rest[1:], new)
    told = rules(shown(first, HOLDING.plantings, replace(HOLDING, aims=aims))) - rules(first)
    assert {rule for rule, _ in told} >= {"aim.other_amount", "aim.not_in_plan", "aim.gone"}
    assert rules(shown(first, HOLDING.plantings)) == rules(first)
