import pytest
from scipy.stats import betabinom, binom

from perennate.reckoner import as_json, run
from perennate.terms import BadInput


def answers(given, plants):
    return {answer.name: answer for answer in run("seed-to-sow", given, plants)}


def test_losses_multiply_before_the_division(plants):
    # 60 plants and a tenth spare; 85 % germinate, 90 % of them reach planting size: 86.3, so 87.
    given = {"plants": "66", "germination": "85", "losses": "10"}
    assert answers(given, plants)["seeds on average"].value == 87


def test_a_market_stand_of_twice_a_hundred_plants(plants):
    given = {"plants": "200", "germination": "50 %", "losses": "50"}
    assert answers(given, plants)["seeds on average"].value == 800


def test_losses_of_the_start_are_not_losses_of_what_is_left(plants):
    given = {"plants": "60", "germination": "100", "tested": "10000", "losses": "20; 11; 9"}
    of_start = answers(given | {"losses_of": "start"}, plants)["seeds on average"].value
    of_left = answers(given | {"losses_of": "left"}, plants)["seeds on average"].value
    assert of_start == 101  # 60 of 100 are left, and the test itself leaves a trace of doubt
    assert of_left == 93  # 0.648


def test_the_surety_is_that_of_the_beta_binomial_law(plants):
    found = answers({"plants": "50", "germination": "80", "tested": "100", "losses": "0"}, plants)
    seeds = found["seeds"].value
    assert betabinom.sf(49, seeds, 80.5, 20.5) >= 0.9 > betabinom.sf(49, seeds - 1, 80.5, 20.5)
    assert found["seeds"].low < seeds < found["seeds"].high
    assert binom.sf(49, seeds, 0.8) > 0.9  # more is sown than a sure rate would ask


def test_a_small_test_asks_for_more_seed_and_says_why(plants):
    given = {"plants": "50", "germination": "80", "losses": "0"}
    few = answers(given | {"tested": "10"}, plants)["seeds"]
    many = answers(given | {"tested": "100"}, plants)["seeds"]
    assert few.value > many.value
    told = as_json([few], plants)
    assert "49% to 94%" in " ".join(told["working"])
    assert any("A test of 10 seeds says little" in line for line in told["cautions"])


def test_a_crop_brings_germination_weight_and_usual_losses(plants):
    found = answers({"crop": "brookroot", "plants": "100"}, plants)
    seeds = found["seeds"].value
    assert seeds > 100 / 0.75
    assert found["grams"].value == pytest.approx(seeds / 400)
    assert found["grams"].low < found["grams"].value < found["grams"].high
    assert found["trays"].value == -(-seeds // 72)
    assert found["plants left"].low <= found["plants left"].value <= found["plants left"].high
    assert any(
        "own seed of Brookroot" in line for line in as_json([found["seeds"]], plants)["cautions"]
    )


def test_more_surety_needs_more_seed(plants):
    needed = [
        answers({"crop": "brookroot", "plants": "40", "surety": surety}, plants)["seeds"].value
        for surety in ("50", "90", "99")
    ]
    assert needed == sorted(needed)
    assert needed[0] < needed[2]


@pytest.mark.parametrize(
    ("given", "column"),
    [
        ({"plants": "10"}, "germination"),
        ({"plants": "10", "germination": "85", "tested": "10"}, "germination"),
        ({"plants": "10", "crop": "brookroot", "tested": "10"}, "germination"),
        ({"plants": "10", "germination": "80", "losses": "5; x"}, "losses"),
        ({"plants": "10", "germination": "80", "losses": "60; 50", "losses_of": "start"}, "losses"),
        ({"plants": "1000000", "germination": "0,1", "losses": "99"}, "germination"),
    ],
)
def test_what_cannot_be_reckoned_is_named(plants, given, column):
    with pytest.raises(BadInput) as bad:
        run("seed-to-sow", given, plants)
    assert [problem.column for problem in bad.value.problems] == [column]
