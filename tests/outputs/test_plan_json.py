"""plan.json: stable bytes, read back whole, held by its schema."""

import json
from dataclasses import replace
from datetime import date

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

import made_plan
from perennate.outputs.plan_json import plan_from_json, plan_to_json
from perennate.outputs.plan_schema import plan_schema, shipped_schema
from perennate.planning.plan import Plan
from perennate.terms import BadInput, text

pytestmark = pytest.mark.usefixtures("made_words")


@pytest.fixture
def plan() -> Plan:
    return made_plan.made_plan()


def test_a_plan_read_back_is_written_as_the_same_bytes(plan: Plan) -> None:
    written = plan_to_json(plan)
    read = plan_from_json(written)
    assert plan_to_json(read) == written
    assert plan_from_json(plan_to_json(read)) == read


def test_only_rounding_changes_what_is_read_back(plan: Plan) -> None:
    read = plan_from_json(plan_to_json(plan))
    assert read.jobs == plan.jobs
    assert read.needs == plan.needs
    assert read.findings == plan.findings
    assert read.plantings[0].frost_risk == 0.0123
    assert replace(read.plantings[0], frost_risk=0.0, by_week=()) == replace(
        plan.plantings[0], frost_risk=0.0, by_week=()
    )


def test_noise_in_the_last_bits_does_not_reach_the_file(plan: Plan) -> None:
    shaken = replace(plan, solver=replace(plan.solver, objective=12.34567 + 1e-12, gap=0.1 + 0.2))
    level = replace(plan, solver=replace(plan.solver, gap=0.3))
    assert plan_to_json(shaken) == plan_to_json(level)


def test_a_whole_number_of_seeds_is_written_as_the_float_that_it_is_read_as(plan: Plan) -> None:
    whole = replace(plan, jobs=(replace(plan.jobs[0], quantity=14),))
    written = plan_to_json(whole)
    assert b'"quantity": 14.0' in written
    assert plan_to_json(plan_from_json(written)) == written


def test_it_has_the_top_keys_in_order_and_ends_with_a_line(plan: Plan) -> None:
    written = plan_to_json(plan)
    assert written.endswith(b"}\n")
    assert list(json.loads(written)) == [
        *("version", "as_of", "start", "weeks", "seed", "effort", "holding", "aims"),
        *("plantings", "jobs", "needs", "findings", "yields", "solver", "water"),
    ]
    assert {"status", "objective", "bound", "gap"} <= set(json.loads(written)["solver"])


def test_a_text_carries_code_parameters_and_sentence(plan: Plan) -> None:
    finding = json.loads(plan_to_json(plan, made_plan.NAMES))["findings"][0]
    assert finding["text"] == {
        "code": "made.frost",
        "params": {"crop": "tomato", "share": 0.08},
        "text": "Frost may take Tomato: 8% of years.",
    }
    assert finding["remedy"]["params"] == {"day": {"date": "2026-06-01"}}


def test_reading_takes_the_code_and_not_the_sentence(plan: Plan) -> None:
    data = json.loads(plan_to_json(plan))
    data["findings"][0]["text"]["text"] = "Something else."
    read = plan_from_json(json.dumps(data).encode())
    assert read.findings == plan.findings


@given(
    st.dictionaries(
        st.from_regex(r"[a-z]{1,8}", fullmatch=True),
        st.one_of(
            st.text(st.characters(exclude_categories=["Cs"])),
            st.integers(-(10**9), 10**9),
            st.dates(),
            st.just("2026-04-01"),
            st.sampled_from([0.5, 12.25, 0.001]),
        ),
        max_size=4,
    )
)
def test_parameters_come_back_as_they_were(params: dict[str, str | int | float | date]) -> None:
    with made_plan.words_known():
        plan = made_plan.made_plan()
        finding = replace(plan.findings[0], remedy=text("made.not_covered", **params))
        read = plan_from_json(plan_to_json(replace(plan, findings=(finding,))))
        assert read.findings == (finding,)
        assert [type(value) for _, value in read.findings[0].remedy.params] == [
            type(value) for _, value in finding.remedy.params
        ]


def test_the_sentence_is_made_of_the_parameters_as_they_are_kept(plan: Plan) -> None:
    # 14.6496 is kept as 14.65, which is shown as 14.7 (to three figures) before and after
    finding = replace(plan.findings[0], text=text("made.short_of_ground", area=14.6496))
    written = plan_to_json(replace(plan, findings=(finding,)))
    assert plan_to_json(plan_from_json(written)) == written


def test_a_number_without_end_is_refused(plan: Plan) -> None:
    endless = replace(plan, solver=replace(plan.solver, bound=float("inf")))
    with pytest.raises(ValueError, match="finite"):
        plan_to_json(endless)


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"{", "line 1"),
        (b"\xff\xfe", "not UTF-8"),
        (b'{"version": "1.0", "weeks": NaN}', "NaN"),
        (b"[]", "no version"),
        (b"{}", "no version"),
        (b'{"version": "9.0"}', "version '9.0'"),
        (b"[" * 100_000, "nested too deep"),
    ],
)
def test_what_is_no_plan_is_refused_with_its_place(data: bytes, found: str) -> None:
    with pytest.raises(BadInput) as refused:
        plan_from_json(data, "old.json")
    assert refused.value.problems[0].file == "old.json"
    assert found in refused.value.problems[0].found


def test_every_fault_of_a_plan_is_named_in_one_go(plan: Plan) -> None:
    data = json.loads(plan_to_json(plan))
    data["plantings"][1]["sow"] = "soon"
    del data["jobs"][0]["best"]
    data["needs"][0]["kind"] = "wish"
    with pytest.raises(BadInput) as refused:
        plan_from_json(json.dumps(data).encode())
    assert [problem.column for problem in refused.value.problems] == [
        "plantings.1.sow",
        "jobs.0.best",
        "needs.0.kind",
    ]


def test_the_shipped_schema_is_the_one_that_the_dataclasses_give() -> None:
    assert shipped_schema() == plan_schema(), (
        "run: python -m perennate.outputs.plan_schema > src/perennate/outputs/plan.schema.json"
    )


def test_plans_keep_to_the_schema_and_the_schema_to_its_dialect(plan: Plan) -> None:
    schema = shipped_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    data = json.loads(plan_to_json(plan))
    validator.validate(data)
    data["jobs"][0]["colour"] = "green"
    data["solver"].pop("gap")
    data["plantings"][0]["route"] = "wished for"
    assert len(list(validator.iter_errors(data))) == 3
