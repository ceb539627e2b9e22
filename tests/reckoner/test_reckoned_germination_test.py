import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.reckoner import as_json, run
from perennate.terms import BadInput

COUNTS = "5: 4; 6: 17; 7: 10; 8: 7; 9: 1; 11: 1"


def told(**given):
    items = as_json(run("germination-test", given))
    return {item["name"]: item for item in items} if isinstance(items, list) else items


def said(answer):
    return " ".join([*answer["working"], *answer["cautions"]])


def test_before_a_test_the_number_of_seeds_is_told():
    plan = told(precision="10")
    assert (plan["answer"], plan["unit"]) == (60, "seeds")
    assert told(precision="5", expected="95")["answer"] > 60
    assert told(precision="5", surety="80")["answer"] < told(precision="5")["answer"]


def test_daily_counts_give_limits_speed_and_course():
    # The limits of 40 of 50: 67.0 to 88.8 by Wilson 1927, 66.3 to 90.0 by Clopper and Pearson 1934.
    found = told(tested="50", counts=COUNTS)
    share = found["germination"]
    assert (share["low"], share["answer"], share["high"]) == pytest.approx(
        (67.0, 80, 88.8), abs=0.05
    )
    exact = found["germination, exact limits"]
    assert (exact["low"], exact["high"]) == pytest.approx((66.3, 90.0), abs=0.05)
    assert found["shown at least"]["answer"] == pytest.approx(68.4, abs=0.05)
    assert found["half have come by"]["answer"] == pytest.approx(5.970588, abs=1e-5)
    assert found["mean time to sprout"]["answer"] == pytest.approx(6.7)
    assert found["speed of germination"]["answer"] == pytest.approx(6.138925, abs=1e-5)
    assert found["sprout in the end, by the curve"]["answer"] == pytest.approx(80, abs=1.5)


def test_ten_of_ten_do_not_show_the_standard_and_nineteen_of_twenty_do():
    ten = told(tested="10", sprouted="10", standard="75")
    assert ten["standard"]["answer"] == "not settled"
    assert "Not even 10 of 10" in said(ten["standard"])
    assert "say little" in said(ten["germination"])
    assert told(tested="20", sprouted="19", standard="75")["standard"]["answer"] == "shown"
    poor = told(tested="20", sprouted="11", standard="75")["standard"]
    assert poor["answer"] == "shown to be below"
    assert "19 of 20 show 75%" in said(poor)


def test_a_crop_brings_its_own_standard():
    found = told(tested="400", sprouted="390", crop="tomato")["standard"]
    assert found["answer"] == "shown"
    assert any("201.31" in source for source in found["sources"])


def test_replicates_that_differ_by_more_than_chance_are_tested_again():
    good = told(tested="400", replicates="85; 80; 91; 79")
    assert good["germination"]["answer"] == pytest.approx(83.75)
    assert good["replicates agree"]["answer"] == "yes"
    bad = told(tested="400", replicates="90 80 91 70")["replicates agree"]
    assert bad["answer"] == "no"
    assert "Test again" in said(bad)


def test_the_sowing_allows_for_the_doubt_of_a_small_test():
    # 24 plants from 17 of 20: 32 with 0.85 taken as exact, 37 by a beta-binomial (Jeffreys prior).
    small = told(tested="20", sprouted="17", wanted="24")["seeds to sow"]
    large = told(tested="2000", sprouted="1700", wanted="24")["seeds to sow"]
    assert (small["answer"], large["answer"]) == (37, 32)
    assert small["low"] < small["answer"]


def test_when_half_came_before_the_first_count_it_is_told():
    found = told(tested="20", counts="7: 15; 8: 2")
    assert found["half have come by"]["answer"] == "not seen"
    assert "sprout in the end, by the curve" not in found


def test_a_test_in_which_nothing_sprouted_has_limits_and_no_speed():
    found = told(tested="20", counts="7: 0; 14: 0")
    assert found["germination"]["answer"] == 0
    assert found["germination"]["high"] == pytest.approx(16.1, abs=0.1)
    assert "mean time to sprout" not in found


def test_every_contradiction_is_told_at_once():
    with pytest.raises(BadInput) as bad:
        run(
            "germination-test",
            {"tested": "10", "sprouted": "12", "counts": "5: 3", "replicates": "3; 3; 3"},
        )
    assert [problem.column for problem in bad.value.problems] == [
        "sprouted",
        "counts",
        "replicates",
        "replicates",
    ]


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"tested": "50"}, "how many of the 50 tested sprouted"),
        ({"sprouted": "40"}, "how many seeds were tested"),
        ({"tested": "50", "counts": "5: 4; 4: 2"}, "days one after another"),
        ({"tested": "50", "counts": "first day 4"}, 'as "5: 4"'),
        ({"tested": "50", "replicates": "five"}, 'as "23; 25"'),
        ({"tested": "8", "replicates": "8; 0"}, "no more than 4 in each"),
        ({"tested": "70", "replicates": "9;9;9;9;9;9;9"}, "equal replicates"),
    ],
)
def test_what_does_not_fit_a_test_is_refused(given, words):
    with pytest.raises(BadInput, match=words):
        run("germination-test", given)


@given(st.integers(1, 500).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_limits_contain_the_share(test):
    sprouted, tested = test
    found = told(tested=str(tested), sprouted=str(sprouted))
    for name in ("germination", "germination, exact limits"):
        item = found[name]
        assert item["low"] <= item["answer"] + 1e-3
        assert item["answer"] <= item["high"] + 1e-3
    assert found["shown at least"]["answer"] <= found["germination"]["answer"] + 1e-3
