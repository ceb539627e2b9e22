import csv
from importlib.resources import files

import pytest

from perennate.catalogue.reader import load_catalogue
from perennate.catalogue.seed_life import read_seed_life, seed_life, seed_lives
from perennate.science.seed_life import sigma_days
from perennate.terms import BadInput

# KE, CW, CH, CQ as listed in the data of viabilitymetrics, each with who fitted it.
PUBLISHED = {
    "onion_bulb": (6.975, 3.47, 0.04, 0.000428, "Ellis and Roberts, 1981"),
    "barley": (9.144, 5.342, 0.0329, 0.000478, "Ellis and Roberts, 1980a; Dickie et al., 1990"),
    "lettuce_leaf": (6.895, 4.2, 0.0329, 0.000478, "Kraak and Vos, 1987; Dickie et al., 1990"),
    "pea_dry": (9.858, 5.39, 0.0329, 0.000478, "Ellis et al., 1989"),
    "bean_dry": (9.09, 4.761, 0.0329, 0.000478, "Ellis et al., 1990"),
    "tomato": (6.5017, 3.1807, 0.0324, 0.000431, "Kruse, Ghiasi, and Schmohl, 2005"),
    "wheat_winter": (9.043, 5.183, 0.0351, 0.000475, "Ellis et al., 2007"),
    "maize_grain": (10.562, 6.366, 0.0332, 0.000577, "Ellis et al., 2007"),
    "rice_upland": (8.242, 4.345, 0.0307, 0.000501, "Ellis et al., 2007"),
    "Malus domestica": (7.316, 4.119, 0.04, 0.00042, "Dickie, 1988"),
}

# Greatest moisture [%] of seed in hermetic packs, 7 CFR 201.36c.
SEALED = {
    **{"pepper_sweet": 4.5, "kale": 5.0, "lettuce_head": 5.5, "tomato": 5.5, "cucumber": 6.0},
    **{"onion_bulb": 6.5, "watermelon": 6.5, "bean_dry": 7.0, "carrot": 7.0, "beet": 7.5},
    **{"spinach": 8.0, "sweet_corn": 8.0},
}

RECALCITRANT = ("Castanea sativa", "Quercus robur", "Persea americana", "Mangifera indica")


@pytest.mark.parametrize("plant", PUBLISHED)
def test_constants_of_the_published_list(plant):
    found = seed_life(plant)
    c = found.constants
    assert (c.ke, c.cw, c.ch, c.cq, found.reference) == PUBLISHED[plant]
    assert found.basis == "published"
    assert not found.stands_for


@pytest.mark.parametrize("plant", SEALED)
def test_the_greatest_moisture_of_tight_packs(plant):
    assert seed_life(plant).seal.value == SEALED[plant]


@pytest.mark.parametrize("plant", RECALCITRANT)
def test_seed_that_must_not_dry_has_no_constants(plant):
    found = seed_life(plant)
    assert found.storage == "recalcitrant"
    assert found.constants is None


def test_every_crop_has_a_row_and_what_is_not_known_says_so():
    rows = seed_lives()
    for crop in load_catalogue().crops:
        assert crop in rows
    assert rows["garlic"].storage == "unknown"
    assert rows["eggplant"].constants is None
    assert seed_life("no such plant") is None


def test_a_stand_in_is_named_and_only_assumed():
    rows = seed_lives()
    stand_ins = [row for row in rows.values() if row.stands_for]
    assert len(stand_ins) > 20
    for row in stand_ins:
        other = rows[row.stands_for]
        assert row.basis == "assumed"
        assert row.note
        assert (row.constants.ke, row.constants.cw) == (other.constants.ke, other.constants.cw)
        assert row.plant in load_catalogue().crops


def test_peas_outlive_lettuce_at_the_same_moisture():
    rows = seed_lives()
    at_eight = {
        key: float(sigma_days(8, 20, rows[key].constants)) for key in ("pea_dry", "lettuce_leaf")
    }
    # The published constants give 13840 and 179 days at 8 % and 20 degC.
    assert at_eight["pea_dry"] == pytest.approx(13840, rel=1e-3)
    assert at_eight["lettuce_leaf"] == pytest.approx(179, rel=3e-3)


def test_every_set_of_constants_gives_a_life_that_can_be():
    for row in seed_lives().values():
        if row.constants is not None:
            days = float(sigma_days(8, 20, row.constants))
            assert 60 < days < 40_000, row.plant
            assert row.oil is not None, row.plant


def test_every_fault_of_a_table_is_told_at_once(tmp_path):
    shipped = files("perennate.catalogue").joinpath("data", "seed_viability.csv")
    rows = list(csv.DictReader(shipped.read_text(encoding="utf-8").splitlines()))
    by_plant = {row["plant"]: row for row in rows}
    chosen = ("onion_bulb", "leek", "tomato", "pea_dry", "lettuce_leaf", "carrot", "beet")
    faulty = [by_plant[plant] for plant in chosen]
    faulty[0] |= {"plant": "moon_cheese"}
    faulty[1] |= {"stands_for": "carrot"}
    faulty[2] |= {"ke": ""}
    faulty[3] |= {"cw": "-2", "oil_pct": "99"}
    faulty[4] |= {"storage": "frozen", "source": "hearsay"}
    faulty[5] |= {"seal_pct": "50", "oil_source": "hearsay"}
    faulty[6] |= {"storage": "recalcitrant"}
    with (tmp_path / "seed_viability.csv").open("w", encoding="utf-8", newline="") as place:
        writer = csv.DictWriter(place, faulty[0].keys())
        writer.writeheader()
        writer.writerows(faulty)
    known = load_catalogue()
    with pytest.raises(BadInput) as bad:
        read_seed_life(tmp_path, known.crops.keys(), known.sources)
    assert {(one.row, one.column) for one in bad.value.problems} == {
        (2, "plant"),
        (3, "stands_for"),
        (4, "ke"),
        (5, "cw"),
        (5, "oil_pct"),
        (6, "storage"),
        (6, "source"),
        (6, "ke"),
        (7, "seal_pct"),
        (7, "oil_source"),
        (8, "ke"),
    }
