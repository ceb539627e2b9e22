"""What is to be bought or made: sums, dates, and units that are never changed in silence."""

from dataclasses import replace
from datetime import date, timedelta

import made
import pytest

from perennate.holding.model import LotMove
from perennate.planning.jobs import make_jobs
from perennate.planning.needs import LEAD_DAYS, SETTLING, make_needs
from perennate.planning.nursery import bench_stays
from perennate.planning.stock import lot_amount

CATALOGUE = made.catalogue()


def needs_of(grown=None, place=None, kinds=CATALOGUE):
    place = place or made.holding()
    grown = made.plantings() if grown is None else grown
    jobs = make_jobs(grown, place, kinds, made.climate(), made.START, made.WEEKS)
    return jobs, make_needs(grown, jobs, place, kinds, made.START, made.WEEKS)


def one(needs, kind, item):
    (found,) = [need for need in needs if (need.kind, need.item) == (kind, item)]
    return found


def test_seed_kept_by_weight_is_asked_by_weight_and_the_conversion_is_said() -> None:
    jobs, needs = needs_of()
    (sow,) = [job for job in jobs if job.kind == "sow" and job.planting == "P-car"]
    need = one(needs, "seed", "carrot")
    assert (need.unit, need.have) == ("g", 20.0)
    assert need.amount == pytest.approx(sow.quantity / 800.0, abs=0.01)
    assert need.to_get == 0.0
    assert need.why.code == "need.seed_by_weight"
    assert ("per_gram", 800.0) in need.why.params
    assert need.by == sow.best - timedelta(LEAD_DAYS)


def test_seed_kept_by_count_is_asked_by_count() -> None:
    need = one(needs_of()[1], "seed", "cabbage")
    assert (need.unit, need.have, need.to_get) == ("seeds", 400.0, 0.0)


def test_several_sowings_from_one_lot_are_one_need() -> None:
    again = replace(made.plantings()[4], key="P-bean2", bed="B6", sow=date(2027, 6, 10))
    jobs, needs = needs_of((*made.plantings(), again))
    need = one(needs, "seed", "bean_snap_bush")
    sown = sum(job.quantity for job in jobs if job.planting.startswith("P-bean") and
               job.kind == "sow")  # fmt: skip
    assert need.amount == sown
    assert need.to_get == sown - 900


def test_a_lot_that_cannot_be_compared_counts_as_nothing() -> None:
    figures = dict(CATALOGUE.crops["carrot"].figures)
    del figures["seeds_per_gram"]
    crops = {**CATALOGUE.crops, "carrot": replace(CATALOGUE.crops["carrot"], figures=figures)}
    need = one(needs_of(kinds=replace(CATALOGUE, crops=crops))[1], "seed", "carrot")
    assert (need.unit, need.have) == ("seeds", 0.0)
    assert need.to_get == need.amount
    assert need.why.code == "need.seed_unknown"


def test_seed_of_no_lot_is_to_be_bought() -> None:
    need = one(needs_of(made.with_planting("P-car", lot=""))[1], "seed", "carrot")
    assert need.to_get == need.amount
    assert need.why.code == "need.seed_to_buy"


def test_a_lot_is_the_sum_of_its_movements() -> None:
    place = made.holding()
    moves = (
        LotMove("L-car", date(2026, 10, 1), 9000, "mg"),
        LotMove("L-car", date(2027, 1, 5), -4000, "mg"),
    )
    moved = replace(place, lot_moves=moves)
    carrot = moved.lots[1]
    assert lot_amount(carrot, moved) == 25.0
    mixed = replace(place, lot_moves=(*moves, LotMove("L-car", date(2027, 2, 1), 9, "seeds")))
    assert lot_amount(carrot, mixed) is None


def test_sets_compost_mix_and_fullest_week() -> None:
    jobs, needs = needs_of()
    assert one(needs, "sets", "potato").have == 200
    compost = [need for need in needs if need.kind == "compost"]
    spread = [job for job in jobs if job.kind == "compost"]
    assert sum(need.amount for need in compost) == sum(job.quantity for job in spread)
    hours = one(needs, "hours", "hours")
    assert (hours.have, hours.to_get) == (20.0, 0.0)
    stays = bench_stays(made.plantings(), made.holding(), CATALOGUE)
    mix = one(needs, "mix", "potting mix")
    assert mix.amount == pytest.approx(SETTLING * sum(stage.mix_l for _, stage in stays), abs=0.1)


def test_compost_is_summed_by_month_and_runs_out_from_the_first_on() -> None:
    place = made.holding()
    short = replace(place, limits=replace(place.limits, compost_l=150.0))
    compost = [need for need in needs_of(place=short)[1] if need.kind == "compost"]
    assert [need.have for need in compost] == [120.0, 30.0]
    assert [need.to_get for need in compost] == [0.0, 210.0]


def test_trays_that_come_free_are_filled_again() -> None:
    later = replace(made.plantings()[2], key="P-cab2", bed="B6", sow=date(2027, 7, 1),
                    ground_from=date(2027, 8, 4))  # fmt: skip
    alone = one(needs_of([made.plantings()[2]])[1], "containers", "tray_72")
    both = one(needs_of([made.plantings()[2], later])[1], "containers", "tray_72")
    assert both.amount == alone.amount
    together = replace(later, sow=date(2027, 4, 10), ground_from=date(2027, 5, 10))
    at_once = one(needs_of([made.plantings()[2], together])[1], "containers", "tray_72")
    assert at_once.amount == 2 * alone.amount


def test_bench_beyond_what_there_is_is_to_be_found() -> None:
    place = made.holding()
    small = replace(place, nursery=replace(place.nursery, bench_m2=0.1))
    need = one(needs_of(place=small)[1], "bench", "bench")
    assert need.to_get == pytest.approx(need.amount - 0.1)


def test_no_need_is_due_before_the_plan_begins() -> None:
    _, needs = needs_of()
    assert all(need.by >= made.START for need in needs)
    assert len({need.key for need in needs}) == len(needs)
