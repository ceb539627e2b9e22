import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput


def leached(**given):
    return {item["name"]: item for item in as_json(run("leaching", given))}


MAIZE = {"ec": "1.2 dS/m", "need": "800", "ece": "2.5", "efficiency": "65"}


def test_the_maize_of_the_paper():
    # Ayers and Westcot 1985 (from memory): about 10 %, 890 mm net, 1370 mm as given.
    found = leached(**MAIZE)
    assert found["leaching requirement"]["answer"] == pytest.approx(10, abs=1)
    assert found["water for the season with leaching, net"]["answer"] == pytest.approx(890, abs=8)
    given = found["water for the season with leaching, as given"]["answer"]
    assert given == pytest.approx(1370, abs=12)


def test_a_crop_is_leached_to_its_own_threshold():
    found = leached(ec="1200 uS/cm", need="800", crop="sweet_corn")
    # 1.2 / (5 x 1.7 - 1.2)
    assert found["leaching requirement"]["answer"] == pytest.approx(16.4, abs=0.1)
    more = leached(ec="1200 uS/cm", need="800", crop="sweet_corn", loss="10")
    assert more["leaching requirement"]["answer"] < found["leaching requirement"]["answer"]
    often = leached(ec="1200 uS/cm", need="800", crop="sweet_corn", often="yes")
    assert often["leaching requirement"]["answer"] == pytest.approx(6.0, abs=0.1)


@pytest.mark.parametrize(("ec", "words"), [("3", "does not fit to this water"), ("6", "nothing")])
def test_water_that_does_not_fit_the_crop_is_told(ec, words):
    found = leached(ec=ec, need="500", ece="1.0")["leaching requirement"]
    assert found["answer"] == "does not fit"
    assert words in found["working"][-1]


def test_winter_rain_washes_for_nothing_and_a_greenhouse_goes_without():
    open_air = leached(**MAIZE, surplus="300")
    assert open_air["leaching that rain does for nothing"]["answer"] == 100
    last = open_air["salt in the soil (ECe), season 20"]
    assert last["answer"] < 3
    assert "stays at that" in " ".join(last["working"])
    dry = leached(**MAIZE, surplus="0")
    assert dry["leaching that rain does for nothing"]["answer"] == 0
    grown = dry["salt in the soil (ECe), season 20"]
    assert grown["answer"] > 10 * last["answer"]
    assert "no end to it" in " ".join(grown["working"])


def test_rain_water_mixes_well_water_down():
    found = leached(ec="2 dS/m", need="300", ece="1.5", second_ec="30 uS/cm")
    # 1 dS/m wanted: (1 - 2) / (0.03 - 2)
    assert found["second water in the mixture"]["answer"] == pytest.approx(50.8, abs=0.1)
    alone = leached(ec="0.5", need="300", ece="1.5", second_ec="3")["second water in the mixture"]
    assert alone["answer"] == 0
    none = leached(ec="2", need="300", ece="1.5", second_ec="3")["second water in the mixture"]
    assert none["answer"] == "none does it"


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"ec": "1.2", "need": "800"}, "a crop, or the ECe to keep to"),
        ({"ec": "1.2", "need": "800", "crop": "kale"}, "what Kale stands is unknown"),
        ({"ec": "450", "need": "800", "ece": "2"}, "450 uS/cm, which is 0.45 dS/m, perhaps"),
        ({"ec": "1.2", "need": "800", "ece": "2", "second_ec": "450"}, "450 uS/cm"),
    ],
)
def test_what_is_missing_or_doubtful_is_asked_for(given, words):
    with pytest.raises(BadInput, match=words):
        run("leaching", given)
