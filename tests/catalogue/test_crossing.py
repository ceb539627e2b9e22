import csv
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.catalogue.crossing import (
    LIKELIHOODS,
    crosses,
    crossing_kinds,
    crossing_matrix,
    crossing_tables,
    kind_named,
    mating,
    read_crossing,
    wild_relatives,
)
from perennate.catalogue.reader import load_catalogue
from perennate.terms import BadInput

# Each pair with where it is told. "practice": widely agreed among seed growers.
CROSS = [
    ("beet", "chard", "Directive 87/481/EEC, article 1: any Beta vulgaris"),
    ("beet", "sea_beet", "Directive 87/481/EEC, article 1: any Beta vulgaris"),
    ("beet", "sugar_beet", "SI 2005/3037, schedule 3: any Beta pollen"),
    ("zucchini", "pumpkin", "Kirkpatrick and Wilson 1988: within Cucurbita pepo"),
    ("squash_acorn", "ornamental_gourd", "Kirkpatrick and Wilson 1988"),
    ("zucchini", "texas_gourd", "Kirkpatrick and Wilson 1988: 5 % beyond 1300 m"),
    ("pepper_sweet", "pepper_hot", "Navazio 2012: annuum, chinense, frutescens one complex"),
    ("pepper_sweet", "habanero", "Navazio 2012: annuum, chinense, frutescens one complex"),
    ("lettuce_head", "prickly_lettuce", "D'Andrea and others 2008"),
    ("lettuce_leaf", "lettuce_romaine", "D'Andrea and others 2008"),
    ("radish", "wild_radish", "practice; one gene pool of Raphanus"),
    ("radish", "daikon", "Crane and Mather 1943: between kinds of radish"),
    ("sunflower", "wild_sunflower", "Arias and Rieseberg 1994: 27 % at 3 m"),
    ("amaranth_grain", "smooth_pigweed", "Nyambo and others 2024"),
    ("sweet_corn", "popcorn", "Baltazar and others 2015: within maize"),
    ("sweet_corn", "popcorn_ga1s", "practice; its pollen takes, though it refuses"),
    ("cabbage", "kale", "Directive 2002/55/EC, annex I: within Brassica oleracea"),
    ("broccoli", "brussels_sprouts", "Directive 2002/55/EC, annex I"),
    ("turnip", "pak_choi", "practice: one Brassica rapa"),
    ("rutabaga", "turnip", "practice: Brassica napus with rapa, now and then"),
    ("carrot", "wild_carrot", "practice: one Daucus carota"),
    ("celery", "celeriac", "practice: one Apium graveolens"),
    ("artichoke_globe", "cardoon", "practice: one Cynara cardunculus"),
    ("bean_runner", "bean_dry", "practice: now and then, common bean as mother"),
    ("sorghum_grain", "johnsongrass", "practice: now and then"),
    ("cucumber", "cucumber", "practice: two varieties of one species"),
    ("melon", "armenian_cucumber", "practice: Armenian cucumber is a melon"),
    ("radicchio", "wild_chicory", "practice: one Cichorium intybus"),
]
APART = [
    ("cucumber", "melon", "practice: never in the garden"),
    ("cucumber", "armenian_cucumber", "practice: Armenian cucumber is a melon"),
    ("cucumber", "zucchini", "different genera"),
    ("melon", "watermelon", "different genera"),
    ("melon", "pumpkin", "different genera"),
    ("zucchini", "squash_maxima", "practice: Cucurbita pepo with maxima by hand alone"),
    ("zucchini", "squash_butternut", "practice: Cucurbita pepo with moschata very rarely"),
    ("squash_maxima", "squash_butternut", "practice: by hand, for rootstocks"),
    ("kale", "siberian_kale", "practice: Brassica oleracea with napus, hardly ever"),
    ("cabbage", "turnip", "practice: hardly without embryo rescue"),
    ("cabbage", "radish", "practice: by hand alone"),
    ("leek", "onion_bulb", "practice: Allium ampeloprasum with cepa never"),
    ("chives", "garlic_chives", "practice"),
    ("bean_dry", "bean_lima", "practice: lima bean with no other crop bean"),
    ("bean_runner", "bean_lima", "practice: lima bean with no other crop bean"),
    ("bean_dry", "soybean", "different genera"),
    ("cowpea", "mung_bean", "practice"),
    ("tomato", "potato", "practice"),
    ("tomato", "pepper_sweet", "different genera"),
    ("pepper_sweet", "rocoto", "practice: Capsicum annuum with pubescens never"),
    ("tomatillo", "cape_gooseberry", "practice"),
    ("basil", "holy_basil", "practice"),
    ("arugula", "wall_rocket", "practice"),
    ("buckwheat", "tartary_buckwheat", "practice"),
    ("alpine_strawberry", "garden_strawberry", "practice: ploidy differs"),
    ("beet", "spinach", "different genera"),
    ("carrot", "parsnip", "different genera"),
    ("pea_snap", "sweet_pea", "different genera"),
    ("lettuce_head", "endive", "different genera"),
]
KINDS = sorted(crossing_tables().kinds)


@pytest.mark.parametrize(("one", "other", "told"), CROSS)
def test_kinds_that_cross(one, other, told):
    found = crosses(one, other)
    assert found.verdict == "yes", told
    assert all(key in load_catalogue().sources for key in found.source.split(";"))


@pytest.mark.parametrize(("one", "other", "told"), APART)
def test_kinds_that_do_not_cross(one, other, told):
    found = crosses(one, other)
    assert found.verdict == "no", told
    assert found.source in load_catalogue().sources


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("garlic", "onion_bulb"),
        ("mint", "spearmint"),
        ("triticale", "wheat_winter"),
        ("arugula", "radish"),
        ("garlic", "garlic"),
        ("onion_green", "leek"),
    ],
)
def test_what_nothing_tells_is_unknown_and_never_safe(one, other):
    assert crosses(one, other).verdict == "unknown"


def test_a_name_of_two_species_is_reckoned_with_both():
    assert crosses("onion_green", "onion_bulb").verdict == "yes"
    assert crosses("onion_green", "onion_welsh").verdict == "yes"
    assert crosses("onion_bulb", "onion_welsh").likelihood == "rare"
    assert crosses("mustard_seed", "turnip").verdict == "yes"
    assert crosses("cover_mustard", "turnip").verdict != "yes"


def test_the_mother_of_a_one_way_cross_is_told():
    assert crosses("bean_runner", "bean_dry").mother == "PHA-VUL"
    assert crosses("endive", "radicchio").mother == "CIC-INT"
    assert crosses("beet", "chard").mother == ""


@given(st.sampled_from(KINDS), st.sampled_from(KINDS))
def test_crossing_is_the_same_whichever_is_named_first(one, other):
    assert crosses(one, other) == crosses(other, one)


@given(st.sampled_from(KINDS), st.sampled_from(KINDS))
def test_plants_of_one_species_are_never_said_not_to_cross(one, other):
    kinds = crossing_tables().kinds
    first, second = (" ".join(kinds[k].scientific_name.split()[:2]) for k in (one, other))
    if first == second:
        assert crosses(one, other).verdict != "no"


def test_the_matrix_of_kinds_counts_unknown_as_crossing():
    kinds = ["cucumber", "melon", "garlic", "onion_bulb"]
    assert crossing_matrix(kinds).astype(int).tolist() == [
        [1, 0, 0, 0],
        [0, 1, 0, 0],
        [0, 0, 1, 1],
        [0, 0, 1, 1],
    ]


def test_a_genus_lies_in_one_family():
    by_genus = {}
    for kind in crossing_tables().kinds.values():
        assert by_genus.setdefault(kind.genus, kind.family) == kind.family


def test_every_crop_of_the_catalogue_is_a_kind():
    kinds = crossing_tables().kinds
    for key, crop in load_catalogue().crops.items():
        assert kinds[key].role == "crop"
        assert kinds[key].scientific_name == crop.scientific_name


def test_wild_relatives_count_as_neighbours():
    assert "wild_carrot" in {kind.key for kind in wild_relatives("carrot")}
    assert {kind.key for kind in wild_relatives("beet")} == {"sea_beet"}
    assert not wild_relatives("tomato")
    assert "tomato_exserted" in {kind.key for kind in crossing_kinds("tomato")}


def test_how_plants_mate():
    assert mating("tomato").system == "selfing"
    assert mating("tomato").extreme is None
    beet = mating("beet")
    assert beet.vectors == ("wind",)
    assert beet.outcrossing.low == 0.95
    # Street, Ismail and Rukhkyan 2008: 8 to 84 %, though certified at 0 m
    assert mating("fava_dry").extreme.value == 0.84
    assert mating("garlic") is None
    with pytest.raises(KeyError):
        mating("moon_cheese")


def test_kinds_are_found_by_what_people_call_them():
    assert kind_named("courgette").key == "zucchini"
    assert kind_named("Wild carrot").key == "wild_carrot"
    assert kind_named("Beta vulgaris subsp. maritima").key == "sea_beet"
    assert kind_named("moon cheese") is None


def test_likelihoods_are_in_order_of_the_harm():
    assert LIKELIHOODS.index("occasional") < LIKELIHOODS.index("unknown")
    assert LIKELIHOODS.index("unknown") < LIKELIHOODS.index("rare")


def copied(folder, name, changed):
    shipped = files("perennate.catalogue").joinpath("data", name)
    rows = list(csv.DictReader(shipped.read_text(encoding="utf-8").splitlines()))
    changed(rows)
    with (folder / name).open("w", encoding="utf-8", newline="") as place:
        writer = csv.DictWriter(place, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)


def test_every_fault_of_the_tables_is_told_at_once(tmp_path):
    def spoil_kinds(rows):
        rows[0] |= {"system": "guessing"}
        rows[1] |= {"outcross_low_pct": "90", "outcross_high_pct": "10"}
        rows[2] |= {"plants_least": "0"}
        rows[3] |= {"source": "hearsay"}
        rows[4] |= {"role": "wild"}

    def spoil_pairs(rows):
        rows[0] |= {"likelihood": "perhaps"}
        rows[1] |= {"mother": "ZZZ"}

    copied(tmp_path, "mating.csv", spoil_kinds)
    copied(tmp_path, "cross_groups.csv", spoil_pairs)
    with pytest.raises(BadInput) as bad:
        read_crossing(tmp_path, load_catalogue())
    assert {(p.file, p.row, p.column) for p in bad.value.problems} == {
        ("mating.csv", 2, "system"),
        ("mating.csv", 3, "outcross_low_pct"),
        ("mating.csv", 4, "plants_least"),
        ("mating.csv", 5, "source"),
        ("mating.csv", 6, "role"),
        ("cross_groups.csv", 2, "likelihood"),
        ("cross_groups.csv", 3, "mother"),
    }


def test_a_group_without_a_row_for_itself_is_refused(tmp_path):
    copied(tmp_path, "mating.csv", lambda rows: None)
    copied(tmp_path, "cross_groups.csv", lambda rows: rows.pop(0))
    with pytest.raises(BadInput, match="no row for ABE-CAI"):
        read_crossing(tmp_path, load_catalogue())
