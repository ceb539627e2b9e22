import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput


def counts(given, plants):
    return {answer.name: answer.value for answer in run("plants-in-bed", given, plants)}


@pytest.mark.parametrize(
    ("width", "length", "spacing", "margin", "offset"),
    [
        ("1.2", "6", "30", "15", 78),
        ("1.2", "6", "30", "0", 103),
        ("1.2", "6", "10", "5", 774),
        ("1", "10", "45", "20", 43),
        ("1.5 m", "6.1 m", "12 in", "6 in", 98),
    ],
)
def test_whole_rows_of_a_real_bed(plants, width, length, spacing, margin, offset):
    given = {
        "width": width,
        "length": length,
        "spacing": spacing,
        "margin": margin,
        "rows": "along",
    }
    assert counts(given, plants)["offset"] == offset


def test_offset_rows_can_hold_fewer_in_a_narrow_bed(plants):
    given = {"width": "120 cm", "length": "300 cm", "spacing": "30"}
    assert counts(given, plants) == {"square": 40, "offset": 39}
    assert counts(given | {"spacing": "15"}, plants) == {"square": 160, "offset": 176}
    assert counts({**given, "width": "0,76"}, plants) == {"square": 20, "offset": 22}
    assert counts(given | {"rows": "along"}, plants)["offset"] == 38


def test_a_named_crop_brings_its_spacing_and_its_spread(plants):
    (answer,) = run(
        "plants-in-bed", {"crop": "Brookroot", "length": "6", "layout": "offset"}, plants
    )
    assert answer.value == 78  # at 30 cm
    assert answer.low < 78 < answer.high  # at 35 and 25 cm
    assert "handbook" in answer.sources
    assert answer.cautions == ()


@pytest.mark.parametrize(("spacing", "word"), [("22", "closer"), ("15", "too tight"), ("25", "")])
def test_too_close_a_spacing_is_told(plants, spacing, word):
    given = {"crop": "brookroot", "length": "6", "spacing": spacing, "layout": "square"}
    told = as_json(run("plants-in-bed", given, plants), plants)
    assert len(told["cautions"]) == (1 if word else 0)
    assert word in " ".join(told["cautions"])


def test_the_working_reads_as_a_sum(plants):
    given = {
        "crop": "brookroot",
        "width": "4 ft",
        "length": "20 ft",
        "layout": "offset",
        "rows": "along",
    }
    told = as_json(run("plants-in-bed", given, plants), plants)
    assert told["unit"] == "plants"
    assert told["working"][0].startswith("Brookroot: usually 25 cm to 35 cm")
    assert any("rows along the bed, 26 cm from row to row" in line for line in told["working"])
    assert told["sources"][-1] == "An invented handbook, 2001"


def test_neither_spacing_nor_crop_is_one_clear_problem(plants):
    with pytest.raises(BadInput) as bad:
        run("plants-in-bed", {"length": "3"}, plants)
    assert str(bad.value) == (
        "plants-in-bed, column spacing: found nothing; expected a spacing, or a crop that has one"
    )
