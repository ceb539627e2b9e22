import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput


def reckoned(crop, **given):
    found = as_json(run("isolation", {"crop": crop, **given}))
    return {item["name"]: item for item in found}


def said(answer):
    return " ".join([*answer["working"], *answer["cautions"]])


def test_without_neighbours_entered_isolation_is_unknown():
    found = reckoned("carrot", seed="open-pollinated")
    assert found["isolation"]["answer"] == "unknown"
    assert found["true to type"]["answer"] == "unknown"
    assert "No neighbours were entered" in said(found["isolation"])
    assert "off-types expected" not in found


def test_none_found_counts_as_far_as_was_looked():
    assert reckoned("carrot", neighbours="none")["isolation"]["answer"] == "unknown"
    looked = {"neighbours": "none", "seed": "open-pollinated"}
    assert reckoned("carrot", looked="100", **looked)["isolation"]["answer"] == "unknown"
    assert reckoned("carrot", looked="1 km", **looked)["isolation"]["answer"] == "kept for own use"
    far = reckoned("carrot", looked="2 km", **looked)
    assert far["isolation"]["answer"] == "kept"
    assert far["true to type"]["answer"] == "likely"
    assert "Wild carrot" in said(far["isolation"])


def test_a_neighbour_that_crosses_is_too_near_and_one_that_does_not_is_no_matter():
    found = reckoned("beet", neighbours="chard 200 m x 30", seed="open-pollinated")
    assert found["isolation"]["answer"] == "not kept"
    assert found["true to type"]["answer"] == "doubtful"
    share = found["off-types expected"]
    assert 0 < share["low"] < share["answer"] < share["high"] < 100
    apart = reckoned("cucumber", neighbours="melon 2 m", looked="900 m", seed="open-pollinated")
    assert apart["isolation"]["answer"] == "kept"
    assert "off-types expected" not in apart
    assert "do not cross" in said(apart["isolation"])


def test_a_neighbour_of_unknown_kindred_leaves_isolation_unknown():
    found = reckoned("onion_bulb", neighbours="garlic 5 m", looked="5 km")
    assert found["isolation"]["answer"] == "unknown"
    assert "is not known" in said(found["isolation"])
    assert "off-types expected" not in found
    both = reckoned("onion_bulb", neighbours="garlic 5 m; shallot 50 m")
    assert both["isolation"]["answer"] == "unknown"
    assert "may be too low" in said(both["off-types expected"])


def test_a_crop_whose_kindred_is_not_known_is_unknown_whatever_is_entered():
    found = reckoned("garlic", neighbours="none", looked="50 km", means="cage")
    assert found["isolation"]["answer"] == "unknown"
    assert set(found) == {"isolation", "true to type"}


def test_an_f1_parent_is_not_true_to_type_however_isolated():
    found = reckoned("zucchini", neighbours="none", looked="5 km", seed="f1")
    assert found["isolation"]["answer"] == "kept"
    assert found["true to type"]["answer"] == "no"
    assert "F1" in said(found["true to type"])


def test_parents_of_unknown_kind_are_not_called_true():
    found = reckoned("carrot", neighbours="none", looked="5 km")
    assert found["true to type"]["answer"] == "unknown"


@pytest.mark.parametrize("crop", ["zucchini", "pumpkin", "squash_butternut", "squash_maxima"])
@pytest.mark.parametrize(
    "given", [{}, {"neighbours": "zucchini 50 m; butternut 50 m; hubbard 50 m"}]
)
def test_squash_that_is_not_isolated_warns_of_bitterness(crop, given):
    told = said(reckoned(crop, **given)["isolation"])
    assert "not isolated may grow bitter, poisonous fruit" in told
    assert "Taste a raw crumb" in told


def test_isolated_squash_is_to_be_tasted_too_and_carrots_are_not():
    told = said(reckoned("zucchini", neighbours="pumpkin 50 m", means="hand")["isolation"])
    assert "an older cross" in told
    assert "Taste a raw crumb" in told
    assert "bitter" not in said(reckoned("carrot")["isolation"])


def test_farther_smaller_and_caged_is_less():
    def share(neighbours, **given):
        return reckoned("zucchini", neighbours=neighbours, **given)["off-types expected"]

    base = share("pumpkin 100 m x 20")
    assert share("pumpkin 400 m x 20")["answer"] < base["answer"]
    assert share("pumpkin 100 m x 200")["answer"] > base["answer"]
    assert share("pumpkin 100 m x 20; acorn squash 100 m x 20")["answer"] > base["answer"]
    caged = share("pumpkin 100 m x 20", means="cage")
    assert caged["answer"] == 0
    assert 0 < caged["high"] < base["high"]
    assert share("pumpkin 100 m x 20", means="hedge")["answer"] < base["answer"]


def test_what_crosses_now_and_then_may_not_cross_at_all():
    swede = reckoned("rutabaga", neighbours="turnip 100 m")["off-types expected"]
    assert swede["low"] == 0 < swede["answer"]
    assert "now and then" in said(swede)
    turnip = reckoned("turnip", neighbours="pak choi 100 m")["off-types expected"]
    assert turnip["low"] > 0
    runner = reckoned("bean_runner", neighbours="bean_dry 5 m")["isolation"]
    assert "seldom by Runner bean" in said(runner)
    assert "seldom by" not in said(reckoned("bean_dry", neighbours="bean_runner 5 m")["isolation"])


def test_a_selfing_crop_gets_few_off_types():
    pea = reckoned("pea_snap", neighbours="pea_dry 3 m")["off-types expected"]
    squash = reckoned("zucchini", neighbours="pumpkin 3 m")["off-types expected"]
    assert pea["answer"] < 0.01 * squash["answer"]


def test_beyond_what_was_measured_there_is_only_a_bound():
    near = reckoned("sweet_corn", neighbours="popcorn 150 m")["off-types expected"]
    far = reckoned("sweet_corn", neighbours="popcorn 500 m")["off-types expected"]
    assert far["low"] == 0 < near["low"]
    assert far["high"] <= near["high"]
    assert "outside the measured" in said(far)
    assert "outside the measured" not in said(near)


def test_maize_is_kept_apart_by_time_and_squash_is_not():
    days = {
        "bloom_first": "07-01",
        "bloom_last": "07-12",
        "their_first": "08-05",
        "their_last": "08-16",
    }
    corn = reckoned("sweet_corn", neighbours="popcorn 100 m", **days)
    assert corn["isolation"]["answer"] == "kept for own use"
    squash = reckoned("zucchini", neighbours="pumpkin 100 m", **days)
    assert squash["isolation"]["answer"] == "not kept"
    cabbage = reckoned("cabbage", neighbours="kale 100 m", **days)
    assert cabbage["isolation"]["answer"] == "kept for own use"
    assert "no plant bolts" in said(cabbage["isolation"])


def test_blooms_over_the_new_year_overlap_as_others_do():
    south = reckoned(
        "carrot",
        neighbours="wild carrot 50 m",
        bloom_first="12-20",
        bloom_last="01-20",
        their_first="01-05",
        their_last="02-05",
    )
    north = reckoned(
        "carrot",
        neighbours="wild carrot 50 m",
        bloom_first="06-20",
        bloom_last="07-21",
        their_first="07-06",
        their_last="08-06",
    )
    share = "off-types expected"
    assert south[share]["answer"] == pytest.approx(north[share]["answer"], rel=1e-6)
    both = reckoned("carrot", neighbours="wild carrot 50 m")
    assert south[share]["answer"] < both[share]["answer"]


def test_a_cage_against_wind_pollen_has_no_figure_and_is_not_counted():
    bare = reckoned("beet", neighbours="chard 200 m")
    caged = reckoned("beet", neighbours="chard 200 m", means="cage")
    assert caged["isolation"]["answer"] == "not kept"
    assert caged["off-types expected"]["answer"] == bare["off-types expected"]["answer"]
    assert "is not known for this crop" in said(caged["isolation"])
    assert reckoned("beet", neighbours="chard 200 m", means="tent")["isolation"]["answer"] == "kept"


def test_units_and_commas_are_read():
    metric = reckoned("beet", neighbours="chard 152,4 m x 30")
    us = reckoned("beet", neighbours="chard 500 ft x 30")
    share = "off-types expected"
    assert us[share]["answer"] == pytest.approx(metric[share]["answer"], rel=1e-4)


@pytest.mark.parametrize(
    ("given", "count", "words"),
    [
        ({"neighbours": "chard"}, 1, "how far off"),
        ({"neighbours": "chard 20 m x 0"}, 1, "one plant or more"),
        ({"neighbours": "chard 20 kg; moon cheese 20 m"}, 2, "a wild relative in place of"),
        ({"neighbours": ";"}, 1, 'or "none"'),
        ({"bloom_first": "07-01"}, 1, "both blooms, or of none"),
        ({"means": "wish"}, 1, "one of none"),
    ],
)
def test_what_cannot_be_read_is_refused_with_each_fault(given, count, words):
    with pytest.raises(BadInput, match=words) as bad:
        reckoned("beet", **given)
    assert len(bad.value.problems) == count
