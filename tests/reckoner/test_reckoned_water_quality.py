import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput

GOOD = {
    "kind": "well",
    "ec": "450 uS/cm",
    "sodium": "1 meq/l",
    "calcium": "2.5 meq/l",
    "magnesium": "0.8 meq/l",
    "chloride": "1 meq/l",
    "bicarbonate": "2.4 meq/l",
    "sulphate": "0.8 meq/l",
}


def judged(**given):
    return {item["name"]: item for item in as_json(run("water-quality", given))}


def test_a_source_without_an_analysis_is_unknown_and_says_so():
    found = judged()
    assert found["as a whole"]["answer"] == "unknown"
    assert "not the same as safe" in found["as a whole"]["cautions"][0]
    assert found["on leaves eaten raw"]["answer"] == "keep off"


def test_germs_go_by_source_and_point_to_the_authority():
    assert judged(kind="mains")["on leaves eaten raw"]["answer"] == "may be used"
    for kind in ("well", "roof", "surface", "grey"):
        found = judged(kind=kind)["on leaves eaten raw"]
        assert found["answer"] == "keep off"
        assert "local authority" in found["cautions"][0]
    assert judged(kind="well", germs="clean")["on leaves eaten raw"]["answer"] == "may be used"


def test_the_same_water_is_judged_otherwise_on_leaves():
    ground, leaves = judged(**GOOD), judged(**GOOD, overhead="yes")
    assert "bicarbonate" not in ground
    assert leaves["bicarbonate"]["answer"] == "slight to moderate"
    assert "goggles" in leaves["bicarbonate"]["cautions"][0]


def test_chlorine_is_told_with_its_evidence():
    found = judged(kind="mains", free_chlorine="0.5", overhead="yes")["chlorine"]
    assert found["answer"] == "none"
    assert "8 mg/l" in " ".join(found["working"])
    assert found["cautions"] == []
    strong = judged(kind="mains", free_chlorine="3", overhead="yes")["chlorine"]
    assert strong["answer"] == "slight to moderate"
    assert "open barrel" in strong["cautions"][0]


def test_rain_on_a_sodic_bed_is_severe():
    assert judged(kind="roof", bed_sar="10")["infiltration"]["answer"] == "severe"
    assert judged(kind="roof", ec="30 uS/cm", bed_sar="10")["as a whole"]["answer"] == "severe"


def test_nitrate_is_counted_as_feed():
    found = judged(nitrate="40 mg/l NO3")
    assert found["nitrogen in 100 mm of it"]["answer"] == pytest.approx(0.904, abs=0.001)
    assert "infants" not in str(found["nitrate"]["cautions"])
    assert "infants" in str(judged(nitrate="40 mg/l N")["nitrate"]["cautions"])


def test_a_crop_is_judged_by_its_tolerance_and_unknown_is_said():
    bean = judged(ec="1.0 dS/m", boron="2", crop="bean_dry")
    # 1.5 dS/m in the extract, half over the threshold of 1, at 19 % for each dS/m
    assert bean["yield of dry bean that salt leaves"]["answer"] == pytest.approx(90.5)
    assert bean["boron for dry bean"]["answer"] == "too much"
    kale = judged(ec="1.0 dS/m", crop="kale")["yield of kale that salt leaves"]
    assert kale["answer"] == "unknown"
    assert "moderately sensitive" in kale["working"][0]
    taro = judged(ec="1.0 dS/m", crop="taro", boron="1")
    assert "not the same as nothing" in taro["yield of taro that salt leaves"]["working"][0]
    assert taro["boron for taro"]["answer"] == "unknown"
    assert judged(crop="bean_dry")["yield of dry bean that salt leaves"]["answer"] == "unknown"


def test_a_stand_in_is_named():
    working = judged(ec="1 dS/m", crop="shallot")["yield of shallot that salt leaves"]["working"]
    assert "Onion (bulb)" in working[1]


def test_the_charges_are_balanced_where_all_is_known():
    assert abs(judged(**GOOD)["charges out of balance"]["answer"]) < 5


def test_doubts_are_told_with_the_place_that_asked():
    with pytest.raises(BadInput, match="water-quality, column ph: found a pH of 70"):
        run("water-quality", {"ph": "70"})
