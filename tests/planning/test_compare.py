"""What differs between two plans, and what is said of it."""

from dataclasses import replace
from datetime import date, timedelta

import made
import pytest
import small

from perennate.planning import acts
from perennate.planning.by_hand import with_hand
from perennate.planning.checks import find_faults
from perennate.planning.compare import SAID_SHORTLY, compare, said
from perennate.planning.plan import Plan
from perennate.terms import text
from perennate.words import say, templates


def judged(plantings: tuple | None = None) -> Plan:
    """The made plan, or one of other plantings, with its findings."""
    plan = made.plan(plantings)
    return replace(
        plan, findings=find_faults(plan, made.holding(), made.catalogue(), made.climate())
    )


GOOD = judged()


def codes(before: Plan, after: Plan) -> list[str]:
    return [one.code for one in said(compare(before, after))]


def test_a_plan_differs_from_itself_in_nothing() -> None:
    change = compare(GOOD, GOOD)
    assert change.is_nothing
    assert said(change) == (text("compare.nothing"),)


def test_a_frost_risk_that_is_new_is_said_first() -> None:
    early = judged(made.with_planting("P-tom", sow=date(2027, 3, 1), ground_from=date(2027, 3, 10)))
    change = compare(GOOD, early)
    assert "frost.risk" in {finding.rule for finding in change.findings_new}
    first = said(change)[0]
    assert first.code == "compare.new.frost.risk"
    assert say(first).startswith("A frost risk of ")
    assert "compare.gone.frost.risk" in codes(early, GOOD)


def test_what_is_added_on_one_side_is_gone_on_the_other() -> None:
    fewer = judged(made.plantings()[1:])
    there, back = compare(GOOD, fewer), compare(fewer, GOOD)
    assert [planting.key for planting in there.gone] == ["P-tom"]
    assert there.gone == back.added
    assert there.jobs_gone == back.jobs_added > 0
    assert there.findings_new == back.findings_gone
    assert there.minutes_before == back.minutes_after > there.minutes_after


def test_moved_resized_and_put_off_are_told_apart() -> None:
    place = compare(GOOD, judged(made.with_planting("P-bean", bed="B4", start_m=1.0)))
    size = compare(GOOD, judged(made.with_planting("P-bean", length_m=4.0, plants=200)))
    days = compare(GOOD, judged(made.with_planting("P-bean", sow=date(2027, 5, 25))))
    counts = [
        tuple(len(pairs) for pairs in (one.moved, one.new_size, one.new_days))
        for one in (place, size, days)
    ]
    assert counts == [(1, 0, 0), (0, 1, 0), (0, 0, 1)]


def test_aims_that_lose_come_before_plantings_and_those_that_gain_after() -> None:
    worse = replace(GOOD, aims=(replace(GOOD.aims[0], met=0.81), *GOOD.aims[1:]))
    assert codes(GOOD, worse) == ["compare.aim_of_crop"]
    assert say(said(compare(GOOD, worse))[0]) == "tomato (A-tom): met 100% before, 81% now."
    moved = made.with_planting("P-bean", start_m=1.0)
    both = replace(worse, plantings=moved)
    found = codes(GOOD, both)
    assert found.index("compare.aim_of_crop") < found.index("compare.moved")
    found = codes(both, GOOD)
    assert found.index("compare.aim_of_crop") > found.index("compare.moved")


def test_new_findings_are_listed_by_gravity() -> None:
    bean, potato = made.plantings()[4], made.plantings()[3]
    crowded = made.with_planting("P-bean", bed=potato.bed, plants=4000, spacing_cm=2.0)
    plan = judged(crowded)
    backwards = replace(plan, findings=plan.findings[::-1])
    gravities = [one.gravity for one in compare(GOOD, backwards).findings_new]
    assert bean.bed != potato.bed
    assert {"grave", "mind"} <= set(gravities)
    order = {"grave": 0, "mind": 1, "note": 2}
    assert gravities == sorted(gravities, key=lambda gravity: order[gravity])


def test_many_alike_are_counted() -> None:
    fewer = judged(made.plantings()[4:])
    change = compare(GOOD, fewer)
    counted = [one for one in said(change) if one.code == "compare.gone_planting.many"]
    assert counted == [text("compare.gone_planting.many", count=4)]


def test_a_finding_that_grows_graver_is_said_again() -> None:
    late = judged(made.with_planting("P-tom", sow=date(2027, 3, 1), ground_from=date(2027, 3, 10)))
    frost = next(one for one in late.findings if one.rule == "frost.risk")
    milder = replace(late, findings=(replace(frost, gravity="mind"),))
    graver = replace(late, findings=(replace(frost, gravity="grave"),))
    change = compare(milder, graver)
    assert not change.findings_new
    assert [pair.after.gravity for pair in change.findings_changed] == ["grave"]
    assert codes(milder, graver) == ["compare.new.frost.risk"]


@pytest.mark.parametrize("rule", SAID_SHORTLY)
def test_every_rule_that_is_said_shortly_has_its_sentences(rule: str) -> None:
    assert f"compare.new.{rule}" in templates()
    assert f"compare.gone.{rule}" in templates()
    assert f"check.{rule}" in templates()


def test_every_sentence_of_an_edit_can_be_said() -> None:
    plan, holding = small.plan(), small.holding()
    changed = []
    for planting in plan.plantings:
        later = planting.sow + timedelta(90)
        changed += [
            acts.fix(planting, holding),
            acts.wish(planting, holding),
            acts.drop(planting, holding, plan),
            acts.resize(planting, holding, length_m=planting.length_m / 2),
            acts.move(planting, holding, plan, start_m=0.0, sow=min(later, date(2026, 12, 1))),
        ]
    changed.append(acts.refuse(holding, plan, crop="carrot"))
    changed.append(acts.Act(tuple(row for act in changed[:-1] for row in act.rows[:1])))
    for act in changed:
        own = replace(holding, plantings=acts.after(act, holding.plantings))
        after = with_hand(plan, own, small.shipped(), small.weather())
        for pair in ((plan, after), (after, plan)):
            assert all(say(one) for one in said(compare(*pair)))
