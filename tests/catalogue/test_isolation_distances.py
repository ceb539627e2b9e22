import csv
from importlib.resources import files

import pytest

from perennate.catalogue.crossing import crossing_tables
from perennate.catalogue.isolation import (
    HOME,
    barrier,
    home_distance,
    isolation_distance,
    reach_m,
    read_isolation,
    time_gaps,
)
from perennate.catalogue.reader import load_catalogue
from perennate.terms import BadInput

FEET = 0.3048

# US Code of Federal Regulations 7 part 201.76, table 5 [feet], seen from alfalfa to maize.
CFR_SEEN = [
    ("bean_dry", "foundation", 0),
    ("bean_dry", "certified", 0),
    ("mung_bean", "certified", 0),
    ("fava_dry", "foundation", 0),
    ("barley", "certified", 0),
    ("buckwheat", "foundation", 660),
    ("buckwheat", "certified", 660),
    ("cover_red_clover", "foundation", 600),
    ("cover_red_clover", "registered", 300),
    ("cover_red_clover", "certified", 165),
    ("cover_alfalfa", "foundation", 600),
    ("cover_alfalfa", "certified", 165),
    ("maize_grain", "foundation", 660),
]
# The same table's later rows, from memory.
CFR_REMEMBERED = [
    ("okra", "foundation", 1320),
    ("okra", "certified", 825),
    ("onion_bulb", "foundation", 5280),
    ("onion_bulb", "registered", 2640),
    ("onion_bulb", "certified", 1320),
    ("pepper_sweet", "foundation", 200),
    ("pepper_sweet", "certified", 30),
    ("tomato", "registered", 100),
    ("watermelon", "foundation", 2640),
    ("watermelon", "certified", 1320),
    ("rye_grain", "certified", 660),
    ("sunflower", "certified", 2640),
    ("sorghum_grain", "foundation", 990),
    ("sorghum_grain", "certified", 660),
    ("millet_pearl", "foundation", 1320),
    ("soybean", "all", 0),
]


def asked(kind, standard, seed_class):
    return [
        one
        for one in isolation_distance(kind)
        if (one.standard, one.seed_class) == (standard, seed_class)
    ]


@pytest.mark.parametrize(("kind", "seed_class", "feet"), CFR_SEEN)
def test_distances_of_us_certification(kind, seed_class, feet):
    (found,) = asked(kind, "7 CFR 201.76", seed_class)
    assert found.distance.value == pytest.approx(feet * FEET, abs=0.06)
    assert found.distance.basis == "published"


@pytest.mark.parametrize(("kind", "seed_class", "feet"), CFR_REMEMBERED)
def test_distances_of_us_certification_from_memory_say_so(kind, seed_class, feet):
    (found,) = asked(kind, "7 CFR 201.76", seed_class)
    assert found.distance.value == pytest.approx(feet * FEET, abs=0.06)
    assert found.distance.basis == "memory"


# FAO, Quality declared seed, annex II, cereals.
@pytest.mark.parametrize(
    ("kind", "metres"), [("maize_grain", 200), ("sorghum_grain", 100), ("millet_pearl", 100)]
)
def test_distances_of_quality_declared_seed(kind, metres):
    (found,) = asked(kind, "FAO QDS", "quality declared")
    assert found.distance.value == metres
    assert found.distance.basis == "published"


def test_distances_of_beet_depend_on_from_what():
    # Directives 87/481/EEC and 2002/55/EC, annex I point 4
    found = {
        (one.seed_class, one.apart_from): one.distance.value
        for one in isolation_distance("beet")
        if one.standard in ("87/481/EEC", "2002/55/EC")
    }
    assert found == {
        ("basic and certified", "any Beta outside its subspecies group"): 1000,
        ("basic", "another variety group of the subspecies"): 1000,
        ("certified", "another variety group of the subspecies"): 600,
        ("basic", "a variety of the same group"): 600,
        ("certified", "a variety of the same group"): 300,
    }


def test_a_certified_distance_is_no_garden_distance():
    # 0 m for broad bean in one law, though it outcrosses 8 to 84 %
    assert isolation_distance("fava_dry")[0].standard == HOME
    assert home_distance("fava_dry").distance.high == 400
    assert asked("fava_dry", "7 CFR 201.76", "certified")[0].distance.value == 0


def test_home_distances_go_from_usable_to_seed_passed_on():
    beans = home_distance("bean_dry").distance
    assert (beans.low, beans.high) == (6, 46)
    wind = home_distance("spinach").distance
    assert (wind.low, wind.high) == (1609, 3219)


def test_what_has_no_row_is_unknown():
    assert isolation_distance("garlic") == ()
    assert home_distance("garlic") is None
    assert time_gaps("garlic") == ()
    # so it is looked for as far as anything is
    assert reach_m("garlic") == max(reach_m(kind) for kind in crossing_tables().kinds) == 3219
    assert reach_m("bean_dry") == 46
    assert barrier("cage", "wind") is None


def test_time_keeps_maize_apart_and_not_squash():
    # Bannert, Vogler and Stamp 2008: 5 to 7 days cut crossing by 80 % or more
    maize = {gap.days: gap.cut for gap in time_gaps("sweet_corn") if gap.source == "bannert2008"}
    assert maize == {5: 0.8, 7: 0.8}
    assert [gap.cut for gap in time_gaps("zucchini")] == [0.0]


def test_a_cage_stops_insects_and_a_hedge_only_some():
    assert barrier("cage", "insect").passing.value == 0.0
    assert barrier("hedge", "insect").passing.value == 0.5
    assert barrier("hedge", "insect").passing.basis == "memory"


def test_every_fault_of_the_tables_is_told_at_once(tmp_path):
    spoiled = {
        "isolation_distances.csv": [
            {"applies_to": "moon_cheese"},
            {"standard": "hearsay"},
            {"low_m": "50", "high_m": "20"},
            {"low_m": "far"},
        ],
        "time_isolation.csv": [{"groups": "ZZZ"}, {"gap_days": "-1"}],
        "isolation_means.csv": [{"means": "wish"}, {"passing": "2", "high": "2"}],
    }
    for name, faults in spoiled.items():
        shipped = files("perennate.catalogue").joinpath("data", name)
        rows = list(csv.DictReader(shipped.read_text(encoding="utf-8").splitlines()))
        for row, fault in zip(rows, faults, strict=False):
            row |= fault
        with (tmp_path / name).open("w", encoding="utf-8", newline="") as place:
            writer = csv.DictWriter(place, rows[0].keys())
            writer.writeheader()
            writer.writerows(rows)
    with pytest.raises(BadInput) as bad:
        read_isolation(tmp_path, load_catalogue().sources, crossing_tables())
    assert {(p.file, p.row, p.column) for p in bad.value.problems} == {
        ("isolation_distances.csv", 2, "applies_to"),
        ("isolation_distances.csv", 3, "standard"),
        ("isolation_distances.csv", 4, "low_m"),
        ("isolation_distances.csv", 5, "low_m"),
        ("time_isolation.csv", 2, "groups"),
        ("time_isolation.csv", 3, "gap_days"),
        ("isolation_means.csv", 2, "means"),
        ("isolation_means.csv", 3, "passing"),
    }
