"""A plan is shown with the holding as it is now laid over it, and judged anew."""

from dataclasses import replace
from datetime import timedelta

import pytest
from made_edits import full
from made_nook import nook_plan

from perennate.server.store import models
from perennate.server.store.carry import Carried, take_in
from perennate.server.store.door import apply
from perennate.server.store.reading import forget, standing
from perennate.server.store.rows import holding_of
from perennate.terms import text

pytestmark = pytest.mark.django_db


@pytest.fixture
def nook() -> models.Holding:
    return take_in(Carried("Nook", replace(full(), weather_files=()), {}), "nook", nook_plan())


def test_rows_that_the_plan_does_not_know_are_laid_over_it(nook) -> None:
    found = standing(nook)
    assert found.plan is not None
    assert "k" in {one.key for one in found.plan.plantings}, "a row of the holding's own"


def test_a_change_of_a_bed_is_reckoned_with(nook) -> None:
    seen = holding_of(nook)
    beds = tuple(replace(bed, mulch="straw", mulch_cm=6.0) for bed in seen.beds)
    apply(nook.pk, text("change.settings"), seen, replace(seen, beds=beds))
    nook.refresh_from_db()
    found = standing(nook)
    assert found.is_stale
    assert found.plan is not None
    assert found.made is not None
    assert found.plan.water != found.made.water


def test_what_was_written_down_makes_no_plan_old_but_is_judged(nook) -> None:
    plan = standing(nook).plan
    assert plan is not None
    planting = next(one for one in plan.plantings if one.bed and one.first_harvest)
    assert planting.first_harvest is not None
    day = planting.first_harvest - timedelta(20)
    models.Record.objects.create(
        holding=nook, key="dung", position=99, day=day, kind="raw manure", place=planting.bed,
        amount=20.0, unit="kg",
    )  # fmt: skip
    forget()
    found = standing(nook)
    assert not found.is_stale
    assert found.plan is not None
    assert "manure.wait" in {one.rule for one in found.plan.findings}
