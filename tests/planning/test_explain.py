"""How the numbers of a plan were made."""

from dataclasses import replace

import made
import pytest
import small

from perennate.planning.explain import Explanation, explain
from perennate.planning.plan import Plan
from perennate.words import say


@pytest.fixture(scope="module")
def plan() -> Plan:
    return small.plan()


def of(plan: Plan, key: str) -> Explanation:
    return explain(plan, key, small.holding(), small.shipped())


def figures(said: Explanation) -> dict[str, object]:
    return {figure.name: figure.estimate for step in said.steps for figure in step.figures}


def params(said: Explanation, code: str) -> list[dict]:
    return [dict(step.text.params) for step in said.steps if step.text.code == code]


def test_everything_with_a_key_can_be_explained_in_words(plan: Plan) -> None:
    kinds = set()
    keys = [one.key for one in (*plan.plantings, *plan.jobs, *plan.needs)]
    for key in (*keys, *(aim.aim for aim in plan.aims)):
        said = of(plan, key)
        kinds.add(said.kind)
        assert said.key == key
        assert said.steps
        for step in said.steps:
            assert say(step.text, units="us")
            assert all(figure.estimate.source for figure in step.figures)
    assert kinds == {"planting", "job", "need", "aim"}


def test_a_planting_rests_on_the_crops_own_figures_with_their_sources(plan: Plan) -> None:
    carrot = next(one for one in plan.plantings if one.crop == "carrot")
    said = of(plan, carrot.key)
    crop = small.shipped().crops["carrot"]
    for name in ("days_to_first_harvest", "yield", "spacing_close"):
        assert figures(said)[name] == crop.figures[name]
    assert figures(said)["harvest"] == carrot.harvest
    assert params(said, "explain.plants")[0]["plants"] == carrot.plants
    whole = params(said, "explain.fitness")[0]
    counted = params(said, "explain.yield")[0]["counted"]
    assert whole["whole"] == pytest.approx(counted * whole["area"] * whole["share"], abs=0.02)
    assert carrot.harvest.value <= whole["whole"] + 0.02


def test_an_own_figure_takes_the_catalogues_place(plan: Plan) -> None:
    carrot = next(one for one in plan.plantings if one.crop == "carrot")
    shipped = small.shipped()
    crop = shipped.crops["carrot"]
    own = replace(crop.figures["yield"], basis="own records", source="own records")
    crops = {**shipped.crops, "carrot": replace(crop, figures={**crop.figures, "yield": own})}
    said = explain(plan, carrot.key, small.holding(), replace(shipped, crops=crops))
    assert params(said, "explain.yield_own")
    assert not params(said, "explain.yield")


def test_a_need_of_seed_is_the_sum_of_its_sowings(plan: Plan) -> None:
    for need in plan.needs:
        if need.kind == "seed" and need.unit == "seeds":
            parts = params(of(plan, need.key), "explain.part")
            rest = params(of(plan, need.key), "explain.parts_rest")
            assert sum(part["amount"] for part in (*parts, *rest)) == pytest.approx(need.amount)
            assert {part["crop"] for part in parts} == {need.item}


def test_seed_of_another_lot_is_no_part_of_the_sum() -> None:
    other = replace(made.plantings()[1], key="P-more", lot="", variety="Long Lantern", bed="B3")
    plan = made.plan([*made.plantings(), other])
    for need in plan.needs:
        if need.kind == "seed" and need.item == "carrot":
            said = explain(plan, need.key, made.holding(), made.catalogue())
            assert len(params(said, "explain.part")) == 1


def test_a_need_of_compost_is_the_sum_of_its_month(plan: Plan) -> None:
    found = [need for need in plan.needs if need.kind == "compost"]
    assert found
    for need in found:
        said = of(plan, need.key)
        parts = (*params(said, "explain.part"), *params(said, "explain.parts_rest"))
        assert sum(part["amount"] for part in parts) == pytest.approx(need.amount, abs=0.1)


def test_an_aim_names_what_serves_it_and_what_holds_it_back(plan: Plan) -> None:
    for aim in plan.aims:
        said = of(plan, aim.aim)
        assert figures(said)["expected"] == aim.expected
        served = {one.crop for one in plan.plantings if aim.aim in one.aims}
        assert {part["crop"] for part in params(said, "explain.part")} <= served
        texts = [step.text for step in said.steps]
        assert all(one in texts for one in (*aim.held_back_by, *aim.notes))


def test_a_job_shows_its_minutes_and_its_window(plan: Plan) -> None:
    job = plan.jobs[0]
    said = of(plan, job.key)
    assert said.steps[0].text == job.why
    assert figures(said)["minutes"] == job.minutes
    assert params(said, "explain.window")[0]["best"] == job.best


def test_an_unknown_key_is_an_error(plan: Plan) -> None:
    with pytest.raises(KeyError, match="moon"):
        of(plan, "moon")
