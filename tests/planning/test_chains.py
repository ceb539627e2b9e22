"""Chains: dates in order, counts that suffice, late starts, and jobs whose keys last."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import made
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.catalogue.crop_care import nursery_stages, nursery_way
from perennate.planning.chains import BACKBONE, chain
from perennate.planning.chains import settings as surroundings
from perennate.planning.jobs import (
    ORDER_OF_A_DAY,
    in_order,
    job_key,
    make_jobs,
    minutes_by_week,
)
from perennate.planning.labour import FETCHING, Task, minutes_of
from perennate.planning.nursery import bench_by_week
from perennate.planning.seed_counts import (
    germination_of,
    nursery_start,
    seeds_in_bed,
    sets_to_plant,
    stage_rate,
)
from perennate.planning.steps import Step, useful_delay
from perennate.planning.work_rates import bench_m2_weeks_per_plant, work_per_m2
from perennate.science.counts import chain_rate, chance_of_enough, number_to_start

CATALOGUE = made.catalogue()
CLIMATE = made.climate()
HOLDING = made.holding()


def steps_of(planting, today=made.START, climate=CLIMATE) -> tuple[Step, ...]:
    around = surroundings([planting], HOLDING, CATALOGUE, climate)[planting.key]
    return chain(planting, CATALOGUE.crops[planting.crop], around, today)


def of_kind(steps, kind):
    return [step for step in steps if step.kind == kind]


@st.composite
def grown(draw):
    """A planting of any made crop and route, started anywhere around two new years."""
    crop = draw(st.sampled_from(sorted(CATALOGUE.crops)))
    route = draw(st.sampled_from(["direct", "nursery", "set"]))
    sow = date(2027, 1, 1) + timedelta(draw(st.integers(0, 800)))
    raised = draw(st.integers(10, 90)) if route == "nursery" else 0
    ground = sow + timedelta(raised)
    first = ground + timedelta(draw(st.integers(20, 200)))
    last = first + timedelta(draw(st.integers(0, 90)))
    end = last + timedelta(draw(st.integers(0, 30)))
    return made.planting(
        "P", crop, "", "", "B1", route, sow, ground, first, last, end,
        draw(st.integers(1, 500)), draw(st.floats(0.5, 200)), rows=draw(st.integers(1, 15)),
        status=draw(st.sampled_from(["planned", "fixed", "stands"])),
    )  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(grown(), st.integers(0, 200), st.booleans())
def test_dates_along_a_chain_never_run_backwards(planting, late, with_climate) -> None:
    today = planting.sow + timedelta(late - 100)
    steps = steps_of(planting, today, CLIMATE if with_climate else None)
    for step in steps:
        assert step.earliest <= step.best <= step.latest, step.kind
    spine = [step for step in steps if step.kind in BACKBONE]
    assert len(spine) >= 2
    for before, after in pairwise(spine):
        assert before.earliest <= after.earliest
        assert before.best <= after.best
        assert before.latest <= after.latest


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 400), st.sampled_from([0.5, 0.8, 0.9, 0.95]), st.floats(0.3, 0.98))
def test_counts_along_the_chain_suffice_and_not_more(plants, surety, germination) -> None:
    crop = CATALOGUE.crops["tomato"]
    lot = replace(made.lots()[0], germination=germination)
    start = nursery_start(crop, plants, lot, surety, nursery_way("tomato", "tray_72"))
    after = [stage_rate(name) for name in ("plug ready", "plug to pot", "transplant")]
    whole = chain_rate(
        [
            germination_of(crop, lot).rate,
            stage_rate("sprout to emerge"),
            stage_rate("emerge to prick out"),
            *after,
        ]
    )
    assert start.seeds >= start.prick_out >= start.pot_on >= start.plant_out >= plants
    assert chance_of_enough(start.seeds, plants, whole) >= surety - 1e-9
    assert chance_of_enough(start.prick_out, plants, chain_rate(after)) >= surety - 1e-9
    if start.seeds > start.prick_out:
        assert chance_of_enough(start.seeds - 1, plants, whole) < surety


def test_the_surety_is_applied_once_and_not_at_every_step() -> None:
    crop, way = CATALOGUE.crops["tomato"], nursery_way("tomato", "tray_72")
    start = nursery_start(crop, 100, made.lots()[0], 0.9, way)
    padded = 100
    for name in ("transplant", "plug to pot", "plug ready", "emerge to prick out",
                 "sprout to emerge"):  # fmt: skip
        padded = number_to_start(padded, stage_rate(name), 0.9)
    padded = number_to_start(padded, germination_of(crop, made.lots()[0]).rate, 0.9)
    assert start.seeds < 0.85 * padded


def test_a_lot_of_unstated_germination_rests_on_the_standard_and_without_one_on_memory() -> None:
    crop = CATALOGUE.crops["tomato"]
    assert germination_of(crop, made.lots()[0]).basis == "own records"
    unknown = replace(made.lots()[0], germination=None)
    assert germination_of(crop, unknown).source == "made"
    bare = replace(crop, figures={})
    believed = germination_of(bare, None)
    assert believed.basis == "memory"
    assert believed.rate.mean == pytest.approx(0.8, abs=0.03)


def test_worse_seed_is_sown_thicker() -> None:
    crop = CATALOGUE.crops["bean_snap_bush"]
    good, weak = (replace(made.lots()[4], germination=share) for share in (0.95, 0.6))
    assert seeds_in_bed(crop, 100, weak, 0.9) > 1.4 * seeds_in_bed(crop, 100, good, 0.9)
    assert sets_to_plant(100, 0.9) > 100 / nursery_stages()["set stands"].value


def test_tomatoes_are_sown_pricked_out_potted_on_hardened_and_planted() -> None:
    steps = steps_of(made.plantings()[0])
    spine = [step.kind for step in steps if step.kind in BACKBONE and step.kind != "harvest"]
    assert spine == ["sow", "prick out", "pot on", "harden off", "plant out", "clear"]
    (out,) = of_kind(steps, "plant out")
    (harden,) = of_kind(steps, "harden off")
    assert 7 <= (out.best - harden.best).days <= 14
    assert [rule.code for rule in out.go] == [
        "weather.rule_soil_warm", "weather.rule_forecast_nights",
    ]  # fmt: skip
    assert out.lost_if_missed
    assert of_kind(steps, "string")
    assert len(of_kind(steps, "train")) == 8
    assert of_kind(steps, "feed")


def test_a_hardy_crop_carries_no_rule_on_nights_and_a_light_feeder_no_compost() -> None:
    steps = steps_of(made.plantings()[1])
    (sow,) = of_kind(steps, "sow")
    assert [rule.code for rule in sow.go] == ["weather.rule_soil_warm"]
    assert not of_kind(steps, "compost")
    assert [step.kind for step in steps].count("weed") == 3
    assert of_kind(steps, "thin")


def test_fleece_goes_on_where_the_nights_may_kill_and_not_where_they_do_not() -> None:
    early = made.with_planting("P-tom", sow=date(2027, 3, 2), ground_from=date(2027, 3, 28))[0]
    (on,), (off,) = (of_kind(steps_of(early), kind) for kind in ("cover", "uncover"))
    assert on.best == early.ground_from < off.best
    assert not of_kind(steps_of(early, climate=made.climate(warmer=15.0)), "cover")


def test_a_crop_taken_once_has_one_window_and_one_picked_on_has_a_week_each() -> None:
    (once,) = of_kind(steps_of(made.plantings()[2]), "harvest")
    assert once.quantity == 40.0
    assert not once.lost_if_missed
    weekly = of_kind(steps_of(made.plantings()[4]), "harvest")
    assert len(weekly) == 6
    assert sum(step.quantity for step in weekly) == pytest.approx(12.0)
    assert all(step.lost_if_missed for step in weekly)


def test_a_late_sowing_starts_today_and_a_hopeless_one_buys_plants() -> None:
    tomato = made.plantings()[0]
    late = steps_of(tomato, tomato.sow + timedelta(6))
    (sow,) = of_kind(late, "sow")
    assert sow.best == tomato.sow + timedelta(6)
    assert sow.why.code == "job.sow.late"
    hopeless = steps_of(tomato, tomato.sow + timedelta(50))
    assert not of_kind(hopeless, "sow")
    assert of_kind(hopeless, "buy plants")[0].quantity > tomato.plants
    assert of_kind(hopeless, "plant out")


def test_a_direct_sowing_far_too_late_says_so() -> None:
    bean = made.plantings()[4]
    (sow,) = of_kind(steps_of(bean, bean.sow + timedelta(40)), "sow")
    assert sow.why.code == "job.sow.too_late"


def test_the_later_the_year_the_less_a_sowing_may_slip() -> None:
    """A day lost in warm weather costs several at a cool harvest."""
    crop, mean = CATALOGUE.crops["radish"], made.climate().tmax.mean(axis=0) - 5
    spring = replace(made.plantings()[1], crop="radish", sow=date(2027, 3, 20),
                     first_harvest=date(2027, 5, 20), last_harvest=date(2027, 6, 5))  # fmt: skip
    autumn = replace(spring, sow=date(2027, 8, 20), first_harvest=date(2027, 10, 20),
                     last_harvest=date(2027, 11, 5))  # fmt: skip
    assert useful_delay(autumn, crop, mean) < useful_delay(spring, crop, mean)


def test_a_slip_forgoes_no_more_warmth_than_half_of_the_picking_gives() -> None:
    """In even warmth a day at sowing is a day at harvest: half of 24 days of picking is 12."""
    even = [15.0] * 365
    carrot = replace(made.plantings()[1], first_harvest=date(2027, 7, 1),
                     last_harvest=date(2027, 7, 25))  # fmt: skip
    crop = CATALOGUE.crops["carrot"]
    assert useful_delay(carrot, crop, np.array(even)) == 12
    assert useful_delay(carrot, crop, None) == 12


def test_what_stands_is_not_sown_again() -> None:
    standing = made.with_planting("P-car", status="stands")
    start = date(2027, 5, 1)
    jobs = make_jobs(standing, HOLDING, CATALOGUE, CLIMATE, start, 52)
    kinds = {job.kind for job in jobs if job.planting == "P-car"}
    assert "sow" not in kinds
    assert "harvest" in kinds
    assert all(job.earliest >= start for job in jobs)


def test_plants_for_sale_need_no_bed() -> None:
    (tomato,) = made.with_planting("P-tom", bed="")[:1]
    steps = steps_of(tomato)
    assert of_kind(steps, "ready to sell")[0].quantity == 40
    assert not of_kind(steps, "plant out")
    assert not of_kind(steps, "prepare bed")


def test_jobs_lie_within_the_plan_and_carry_their_bed() -> None:
    jobs = make_jobs(made.plantings(), HOLDING, CATALOGUE, CLIMATE, made.START, 20)
    end = made.START + timedelta(140)
    assert all(made.START <= job.earliest <= job.best < end for job in jobs)
    assert {job.place for job in jobs} == {"", "nursery", "B1", "B2", "B3", "B4", "B5"}
    assert len({job.key for job in jobs}) == len(jobs)


def test_keys_last_when_the_plan_is_made_again_later() -> None:
    first = make_jobs(made.plantings(), HOLDING, CATALOGUE, CLIMATE, made.START, 52)
    again = make_jobs(
        made.plantings(), HOLDING, CATALOGUE, CLIMATE, made.START + timedelta(14), 50, first
    )
    keys = {job.key: (job.kind, job.best) for job in first}
    assert len(again) > 50
    assert all(keys[job.key][0] == job.kind for job in again if job.kind != "look over")


def test_a_job_keeps_the_key_it_was_given_elsewhere() -> None:
    first = make_jobs(made.plantings(), HOLDING, CATALOGUE, CLIMATE, made.START, 52)
    brought = [replace(job, key="old-" + job.key) for job in first if job.planting == "P-tom"]
    again = make_jobs(made.plantings(), HOLDING, CATALOGUE, CLIMATE, made.START, 52, brought)
    mine = [job.key for job in again if job.planting == "P-tom"]
    assert mine
    assert all(key.startswith("old-") for key in mine)
    assert job_key("a", "sow", "1") != job_key("a", "sow", "2") != job_key("b", "sow", "2")


def test_other_rows_do_not_change_a_plantings_jobs() -> None:
    whole = make_jobs(made.plantings(), HOLDING, CATALOGUE, CLIMATE, made.START, 52)
    turned = make_jobs(made.plantings()[::-1], HOLDING, CATALOGUE, CLIMATE, made.START, 52)
    assert whole == turned


def test_the_check_value_of_a_square_metre_of_bed() -> None:
    """1 m2 with 12 plugs, prepared, hoed twice, weeded once, tidied four times, looked over
    twenty times and 3 kg picked: 22.1 minutes on the usual rates, without fetching."""
    tasks = [
        Task("broadfork_ready", 1), Task("compost_spread_10mm", 1), Task("rake_level", 1),
        Task("transplant_plug", 12), Task("water_in", 1), Task("stirrup_hoe", 2),
        Task("hand_weed_thread", 1), Task("hand_weed_maintenance", 4), Task("scout", 20),
    ]  # fmt: skip
    rates = made.labour()
    three = made.known(3.0, "min", 3.0, 3.0)
    rates["pick"] = replace(rates["pick_tomato"], key="pick", minutes=three)
    total = minutes_of([*tasks, Task("pick", 3)], replace(CATALOGUE, labour=rates))
    assert total.value / FETCHING == pytest.approx(22.1, abs=0.1)
    assert total.low < total.value < total.high
    assert total.basis == "memory"


def test_spreads_of_tasks_add_as_squares() -> None:
    one = minutes_of([Task("rake_level", 1)], CATALOGUE)
    two = minutes_of([Task("rake_level", 1), Task("broadfork_ready", 1)], CATALOGUE)
    assert two.value == pytest.approx(2 * one.value)
    assert two.value - two.low < 2 * (one.value - one.low)


def test_minutes_by_week_add_up_to_the_jobs() -> None:
    jobs = make_jobs(made.plantings(), HOLDING, CATALOGUE, CLIMATE, made.START, 52)
    weekly = minutes_by_week(jobs, made.START, 52)
    assert sum(weekly) == pytest.approx(sum(job.minutes.value for job in jobs), rel=1e-3)


def test_bench_is_taken_from_sowing_to_planting_out() -> None:
    taken = bench_by_week(made.plantings(), HOLDING, CATALOGUE, made.START, 52)
    weeks = [week for week, area in enumerate(taken) if area > 0]
    assert weeks == list(range(weeks[0], weeks[-1] + 1))
    assert weeks[0] == (date(2027, 3, 20) - made.START).days // 7
    assert weeks[-1] == (date(2027, 5, 24) - made.START).days // 7


def test_rates_per_m2_agree_with_the_jobs_of_a_planting() -> None:
    cabbage = made.plantings()[2]
    crop = CATALOGUE.crops["cabbage"]
    raised = (cabbage.ground_from - cabbage.sow).days
    stands = (cabbage.ground_to - cabbage.ground_from).days
    rates = work_per_m2(crop, "nursery", 5.0, 42.0, raised, stands, CATALOGUE, HOLDING)
    jobs = make_jobs([cabbage], HOLDING, CATALOGUE, None, made.START, 52)
    own = sum(job.minutes.value for job in jobs if job.planting and job.kind not in ("harvest",))
    assert sum(rates.values()) == pytest.approx(own / cabbage.area_m2, rel=0.1)
    assert set(rates) == {"start", "nursery", "bed", "care", "after"}


def test_pricking_out_and_potting_on_take_more_bench_than_plugs() -> None:
    nursery = HOLDING.nursery
    big = bench_m2_weeks_per_plant(CATALOGUE.crops["tomato"], "nursery", CATALOGUE, nursery, 56)
    small = bench_m2_weeks_per_plant(CATALOGUE.crops["cabbage"], "nursery", CATALOGUE, nursery, 40)
    assert big > 1.2 * small > 0
    assert bench_m2_weeks_per_plant(CATALOGUE.crops["carrot"], "direct", CATALOGUE, nursery, 0) == 0


def test_a_southern_autumn_sowing_over_new_year_is_an_ordinary_chain() -> None:
    south = made.climate(south=True)
    bean = made.planting(
        "S", "bean_snap_bush", "", "", "B1", "direct", date(2027, 11, 25), date(2027, 11, 25),
        date(2028, 1, 28), date(2028, 2, 29), date(2028, 3, 4), 300, 10.0, rows=9,
    )  # fmt: skip
    steps = steps_of(bean, date(2027, 9, 1), south)
    assert not of_kind(steps, "cover")
    assert of_kind(steps, "harvest")[-1].best <= date(2028, 2, 29)


def test_jobs_of_one_day_stand_in_the_order_of_work_and_then_by_place():
    job = make_jobs(made.plantings(), HOLDING, CATALOGUE, CLIMATE, made.START, made.WEEKS)[0]
    kinds = ("cover", "sow", "prepare bed", "compost", "clear", "harvest")
    day = [replace(job, kind=kind, place=place) for kind in kinds for place in ("S10", "S2")]
    assert [(one.kind, one.place) for one in sorted(day, key=in_order)] == [
        (kind, place) for kind in reversed(kinds) for place in ("S2", "S10")
    ]


def test_no_planting_has_two_jobs_of_one_day_against_its_chain():
    jobs = make_jobs(made.plantings(), HOLDING, CATALOGUE, CLIMATE, made.START, made.WEEKS)
    assert list(jobs) == sorted(jobs, key=lambda job: job.best)
    assert {job.kind for job in jobs} <= set(ORDER_OF_A_DAY)
    before = ("compost", "prepare bed", "sow", "plant sets", "plant out", "cover", "thin", "weed")
    for one in jobs:
        for other in jobs[jobs.index(one) + 1 :]:
            same = (one.planting, one.best) == (other.planting, other.best)
            if same and one.kind in before and other.kind in before:
                assert before.index(one.kind) <= before.index(other.kind)
