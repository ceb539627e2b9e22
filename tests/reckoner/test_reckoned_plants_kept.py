import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput


def reckoned(**given):
    found = as_json(run("plants-to-keep", given))
    return {item["name"]: item for item in found} if isinstance(found, list) else {"plants": found}


def test_plants_of_one_generation_are_those_of_the_published_rule():
    # Marshall and Brown 1975: alleles above 5 % with 95 %: 30 outcrossed plants or 59 inbred ones
    assert reckoned(selfing="0", generations="1")["plants"]["answer"] == 30
    assert reckoned(selfing="100", generations="1")["plants"]["answer"] == 59


def test_more_generations_surety_and_traits_want_more_plants():
    base = reckoned(selfing="0", generations="5")["plants"]["answer"]
    assert base > 30
    assert reckoned(selfing="0", generations="10")["plants"]["answer"] > base
    assert reckoned(selfing="0", generations="5", surety="99")["plants"]["answer"] > base
    assert reckoned(selfing="0", generations="5", alleles="20")["plants"]["answer"] > base
    assert reckoned(selfing="0", generations="5", frequency="20")["plants"]["answer"] < base


def test_a_crop_brings_how_it_mates_and_what_practice_keeps():
    spinach = reckoned(crop="spinach")
    assert spinach["plants kept in practice"]["low"] == 100
    assert spinach["plants"]["low"] <= spinach["plants"]["answer"] <= spinach["plants"]["high"]
    lettuce = reckoned(crop="lettuce_head")
    assert lettuce["plants"]["answer"] > spinach["plants"]["answer"]
    assert "loses vigour" in " ".join(spinach["plants"]["cautions"])
    assert "loses vigour" not in " ".join(lettuce["plants"]["cautions"])


def test_a_crop_whose_mating_is_unknown_is_reckoned_on_the_safe_side():
    garlic = reckoned(crop="garlic")["plants"]
    assert garlic["answer"] == garlic["high"] == reckoned(selfing="100")["plants"]["answer"]
    assert garlic["low"] == reckoned(selfing="0")["plants"]["answer"]
    assert "not known" in " ".join(garlic["working"] + garlic["cautions"])


def test_what_plants_in_hand_keep():
    found = reckoned(selfing="0", plants="30", generations="1")
    assert found["chance that it is kept"]["answer"] == pytest.approx(95.393, abs=0.001)
    assert found["effective size"]["answer"] == 30
    assert found["inbreeding each generation"]["answer"] == pytest.approx(100 / 60, abs=0.001)


def test_few_males_count_as_few_plants():
    # Wright 1931: 10 and 40 count as 32
    found = reckoned(crop="spinach", plants="50", males="10")
    assert found["effective size"]["answer"] == 32
    even = reckoned(crop="spinach", plants="50", males="25")
    assert found["chance that it is kept"]["answer"] < even["chance that it is kept"]["answer"]


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({}, "a crop, or the share of seed that is selfed"),
        ({"crop": "spinach", "males": "5"}, "fewer than the plants"),
        ({"crop": "spinach", "plants": "5", "males": "5"}, "fewer than the plants"),
        ({"selfing": "120"}, "0 to 100"),
        ({"selfing": "100", "frequency": "0"}, "0.1 to 99"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(given, words):
    with pytest.raises(BadInput, match=words) as bad:
        reckoned(**given)
    assert len(bad.value.problems) == 1
