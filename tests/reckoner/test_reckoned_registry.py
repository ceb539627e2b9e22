import json

import pytest

from perennate.reckoner import RECKONERS, Input, as_json, list_json, reckoner, run
from perennate.reckoner.registry import Answer
from perennate.terms import BadInput, text

KEYS = {"answer", "low", "high", "unit", "working", "sources", "cautions"}


def test_every_fault_comes_in_one_go(plants):
    given = {"lenght": "3", "width": "-1", "spacing": "30 kg", "layout": "round", "crop": "moon"}
    with pytest.raises(BadInput) as bad:
        run("plants-in-bed", given, plants)
    assert [problem.column for problem in bad.value.problems] == [
        "lenght",
        "crop",
        "width",
        "length",
        "spacing",
        "layout",
    ]
    assert "expected a number from 0.1 to 100 m" in str(bad.value)
    assert "found nothing" in str(bad.value)


def test_an_unknown_reckoner_is_answered_with_the_known_ones(plants):
    with pytest.raises(BadInput, match="plants-in-bed"):
        run("moon-phase", {}, plants)


def test_a_whole_number_is_asked_for_as_such(plants):
    with pytest.raises(BadInput, match="a whole number from 1 to"):
        run("seed-to-sow", {"plants": "2.5", "germination": "80"}, plants)


def test_one_answer_is_an_object_and_several_are_a_list_with_names(plants):
    one = as_json(
        run("plants-in-bed", {"length": "3", "spacing": "30", "layout": "square"}, plants), plants
    )
    assert set(one) == KEYS
    both = as_json(run("plants-in-bed", {"length": "3", "spacing": "30"}, plants), plants)
    assert [item["name"] for item in both] == ["square", "offset"]
    assert all(set(item) == KEYS | {"name"} for item in both)
    assert json.loads(json.dumps(both)) == both


def test_the_list_tells_every_input_in_words():
    told = {item["name"]: item for item in list_json()}
    assert list(told) == [
        "chill",
        "degree-days",
        "drip-layout",
        "drip-run",
        "frost-dates",
        "germination-test",
        "ground-to-feed",
        "isolation",
        "keeping",
        "leaching",
        "plants-in-bed",
        "plants-to-keep",
        "rain-tank",
        "reference-evapotranspiration",
        "seed-drying",
        "seed-life",
        "seed-to-sow",
        "soil-water",
        "sow-window",
        "sun-hours",
        "water-need",
        "water-quality",
    ]
    assert json.loads(json.dumps(list_json())) == list_json()
    width = next(i for i in told["plants-in-bed"]["inputs"] if i["name"] == "width")
    assert width == {
        "name": "width",
        "kind": "float",
        "unit": "m",
        "low": 0.1,
        "high": 100,
        "default": "1.2",
        "required": False,
        "choices": [],
        "help": "Width of the bed",
    }
    length = next(i for i in told["plants-in-bed"]["inputs"] if i["name"] == "length")
    assert length["required"]


def test_defaults_are_within_their_own_ranges(plants):
    for name, found in RECKONERS.items():
        for item in found.inputs:
            if item.default is not None and item.choices:
                assert item.default in item.choices, name
            assert not (item.default is not None and item.optional), name


def test_a_function_must_take_what_it_declares():
    with pytest.raises(ValueError, match="declares"):

        @reckoner("moon-phase", [Input("day", "int")])
        def moon(night: int) -> list[Answer]:
            return []

    with pytest.raises(ValueError, match="twice"):

        @reckoner("keeping", [])
        def again() -> list[Answer]:
            return []


def test_a_source_that_no_list_holds_is_an_error(plants):
    answer = Answer("x", 1, None, None, "", (text("reckoner.seed.treated"),), ("nowhere",))
    with pytest.raises(KeyError):
        as_json([answer], plants)
