import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput


def answers(given, plants):
    return {answer.name: answer for answer in run("keeping", given, plants)}


def test_roots_lose_their_share_each_month(plants):
    found = answers({"crop": "brookroot", "days": "60", "kg": "10"}, plants)
    left = found["kg left"]
    assert left.value == pytest.approx(10 * 0.98**2)
    assert (left.low, left.high) == (
        pytest.approx(10 * 0.96**2),
        pytest.approx(10 * 0.99**2),
    )
    assert found["life"].value == 100
    assert found["life used"].value == pytest.approx(0.6)


def test_past_its_life_nothing_is_counted(plants):
    due = answers({"crop": "brookroot", "days": "90"}, plants)["kg left"]
    assert due.low == 0
    assert due.value > 0
    past = answers({"crop": "brookroot", "days": "160"}, plants)["kg left"]
    assert past.low == past.value == past.high == 0
    assert any("expect to find it spoiled" in line for line in as_json([past], plants)["cautions"])


def test_weights_and_times_in_other_units(plants):
    left = answers({"crop": "brookroot", "days": "2 weeks", "kg": "10 lb"}, plants)["kg left"]
    assert left.value == pytest.approx(4.53592 * 0.98 ** (14 / 30))


def test_a_place_that_may_chill_the_crop_is_told(plants):
    told = as_json(run("keeping", {"crop": "brookroot", "store": "fridge"}, plants), plants)
    assert any("hurt by cold under 3 °C" in line for line in told[0]["cautions"])
    cellar = as_json(run("keeping", {"crop": "brookroot"}, plants), plants)
    assert not any("hurt by cold" in line for line in cellar[0]["cautions"])


def test_a_life_that_is_not_known_is_not_guessed(plants):
    with pytest.raises(BadInput, match="cellar, fridge"):
        run("keeping", {"crop": "brookroot", "store": "room"}, plants)
