import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput


def held(given):
    return {answer.name: answer for answer in run("soil-water", given)}


def cautions(given):
    return " ".join(as_json(run("soil-water", given))[3]["cautions"])


def test_a_loam_by_the_published_figures():
    # Saxton and Rawls (2006): loam of 40 % sand, 20 % clay and 2.5 % organic matter holds 28 % at
    # 33 kPa, 14 % at 1500 kPa and 46 % when full
    found = held({"sand": "40", "clay": "20", "organic_matter": "2.5", "roots": "50 cm"})
    assert found["field capacity"].value == pytest.approx(28, abs=0.6)
    assert found["wilting point"].value == pytest.approx(14, abs=0.6)
    assert found["saturation"].value == pytest.approx(46, abs=0.6)
    assert found["available water, each 10 cm"].value == pytest.approx(14.3, abs=0.1)
    assert found["within reach of roots"].value == pytest.approx(71.5, abs=0.5)
    # p of 0.5 at 4 mm a day is 0.54: 38.6 mm, nine to ten days
    assert found["days that lasts"].value == pytest.approx(0.54 * 71.5 / 4, abs=0.1)
    assert found["air at field capacity"].value == pytest.approx(18, abs=0.6)


def test_what_organic_matter_and_depth_bring_is_reckoned_for_this_soil():
    found = held({"sand": "40", "clay": "20", "organic_matter": "2.5", "roots": "0.5"})
    richer = held({"sand": "40", "clay": "20", "organic_matter": "3.5", "roots": "0.5"})
    gain = richer["within reach of roots"].value - found["within reach of roots"].value
    assert found["gain by 1 % more organic matter"].value == pytest.approx(gain)
    assert 2 < gain < 6
    assert found["gain by roots 10 cm deeper"].value == pytest.approx(14.3, abs=0.1)


def test_a_heavy_clay_gains_no_water_by_organic_matter_and_that_is_said():
    (gain,) = [
        item
        for item in as_json(run("soil-water", {"soil": "clay"}))
        if item["name"].startswith("gain by 1 %")
    ]
    assert gain["answer"] == 0.0
    assert "crumb, air and drainage" in " ".join(gain["working"])


def test_the_word_alone_has_a_wide_spread_and_an_analysis_a_narrow_one():
    word = held({"soil": "loam"})["available water, each 10 cm"]
    known = held({"sand": "40", "clay": "20"})["available water, each 10 cm"]
    assert word.low < known.low < known.high < word.high


def test_a_soil_that_nobody_has_looked_at_runs_from_sandy_loam_to_clay_loam():
    found = held({})["field capacity"]
    sandy, heavy = (held({"soil": soil})["field capacity"] for soil in ("sandy loam", "clay loam"))
    assert found.low <= sandy.value < found.value < heavy.value <= found.high
    assert "not known" in cautions({})


def test_a_crop_brings_its_roots_and_how_dry_it_may_become():
    lettuce, tomato = (held({"soil": "loam", "crop": crop}) for crop in ("lettuce_head", "tomato"))
    assert lettuce["days that lasts"].value < tomato["days that lasts"].value
    assert "Tomato" in " ".join(
        as_json(run("soil-water", {"soil": "loam", "crop": "tomato"}))[6]["working"]
    )


def test_peat_is_not_reckoned_from_sand_and_clay():
    found = held({"soil": "peat"})
    assert found["available water, each 10 cm"].value == pytest.approx(35.0)
    assert found["available water, each 10 cm"].low < 25 < 45 < (
        found["available water, each 10 cm"].high
    )  # fmt: skip
    assert "gain by 1 % more organic matter" not in found
    assert "Peats differ widely" in cautions({"soil": "peat"})


def test_clay_has_little_air_and_drains_slowly():
    sand, clay = held({"soil": "sand"}), held({"soil": "clay"})
    assert clay["air at field capacity"].value < 10 < sand["air at field capacity"].value
    assert sand["days to drain"].value == 1
    assert clay["days to drain"].value > 4


def test_beyond_the_equations_it_says_so():
    told = cautions({"sand": "15", "clay": "70", "organic_matter": "12"})
    assert "60% clay" in told
    assert "8% organic matter" in told


def test_sixty_per_cent_of_both_is_refused_in_one_sentence():
    with pytest.raises(BadInput) as refused:
        run("soil-water", {"sand": "60", "clay": "60"})
    (problem,) = refused.value.problems
    assert problem.found == "60 % clay and 60 % sand"
    assert "100 %" in problem.expected


@pytest.mark.parametrize(
    ("given", "column"),
    [
        ({"clay": "30"}, "sand"),
        ({"sand": "30"}, "clay"),
        ({"soil": "mud"}, "soil"),
        ({"stones": "95"}, "stones"),
        ({"organic_matter": "-1"}, "organic_matter"),
        ({"et0": "0"}, "et0"),
        ({"roots": "9"}, "roots"),
    ],
)
def test_what_makes_no_soil_is_refused(given, column):
    with pytest.raises(BadInput) as refused:
        run("soil-water", given)
    assert [problem.column for problem in refused.value.problems] == [column]


def test_american_units_give_the_same_soil():
    metric = held({"soil": "loam", "roots": "0.6096", "et0": "5.08"})
    american = held({"soil": "loam", "roots": "2 ft", "et0": "0.2 in"})
    for name, answer in metric.items():
        assert american[name].value == pytest.approx(answer.value), name
