import csv
from importlib.resources import files

import pytest

from perennate.catalogue.reader import load_catalogue
from perennate.catalogue.salt_tolerance import (
    RATINGS,
    boron_tolerance,
    read_salt_tolerance,
    salt_tolerance,
    salt_tolerances,
)
from perennate.science.salinity import ece_at_loss
from perennate.terms import BadInput

# Threshold [dS/m] and slope [% for each dS/m]: Maas 1990, as listed by the US Salinity Laboratory.
MAAS_1990 = {
    "asparagus": (4.1, 2.0),
    "bean_dry": (1.0, 19.0),
    "beet": (4.0, 9.0),
    "broccoli": (2.8, 9.2),
    "cabbage": (1.8, 9.7),
    "carrot": (1.0, 14.0),
    "celery": (1.8, 6.2),
    "cucumber": (2.5, 13.0),
    "eggplant": (1.1, 6.9),
    "lettuce_head": (1.3, 13.0),
    "mung_bean": (1.8, 20.7),
    "onion_bulb": (1.2, 16.0),
    "pepper_sweet": (1.5, 14.0),
    "potato": (1.7, 12.0),
    "radish": (1.2, 13.0),
    "spinach": (2.0, 7.6),
    "sweet_corn": (1.7, 12.0),
    "sweet_potato": (1.5, 11.0),
    "tomato": (2.5, 9.9),
    "turnip": (0.9, 9.0),
    "zucchini": (4.7, 9.4),
    "Fragaria × ananassa": (1.0, 33.0),
}


@pytest.mark.parametrize("key", MAAS_1990)
def test_figures_of_the_published_list(key):
    found = salt_tolerance(key)
    assert (found.threshold.value, found.slope.value) == MAAS_1990[key]
    assert found.basis == "published"
    assert not found.stands_for


def test_a_crop_without_a_row_is_unknown():
    assert salt_tolerance("taro") is None
    assert boron_tolerance("taro") is None
    assert salt_tolerance("no such crop") is None


def test_a_rating_alone_is_no_figure():
    kale = salt_tolerance("kale")
    assert kale.threshold is None
    assert kale.slope is None
    assert RATINGS[kale.rating] == "moderately sensitive"
    assert kale.rating_estimated


def test_a_stand_in_names_the_crop_and_rests_on_memory():
    known = salt_tolerances()
    stand_ins = [one for one in known.values() if one.stands_for]
    assert len(stand_ins) > 20
    for one in stand_ins:
        other = known[one.stands_for]
        assert one.basis == "memory"
        assert not other.stands_for
        assert (one.threshold is None) == (other.threshold is None)


def test_trees_are_found_by_their_scientific_name():
    peach = salt_tolerance("Prunus persica")
    assert peach.woody
    assert "rootstocks" in peach.note
    assert salt_tolerance("Malus domestica").threshold is None


def test_boron_is_borne_by_asparagus_and_not_by_lemons():
    # Ayers and Westcot 1985, table 16 (from memory).
    assert boron_tolerance("asparagus").high == 15.0
    assert boron_tolerance("Citrus limon").high == 0.5
    assert boron_tolerance("tomato").low == 4.0


def test_all_that_salt_can_cost_lies_within_sea_water():
    for one in salt_tolerances().values():
        if one.threshold is not None:
            assert float(ece_at_loss(100, one.threshold.value, one.slope.value)) < 55


def test_every_fault_of_a_table_is_told_at_once(tmp_path):
    shipped = files("perennate.catalogue").joinpath("data", "salt_tolerance.csv")
    rows = list(csv.DictReader(shipped.read_text(encoding="utf-8").splitlines()))[:6]
    rows[0] |= {"crop": "moon_cheese"}
    rows[1] |= {"threshold_ds_m": "-1", "stands_for": ""}
    rows[2] |= {"slope_pct": "", "stands_for": ""}
    rows[3] |= {"boron_low_mg_l": "9", "stands_for": "nothing"}
    rows[4] |= {"source": "hearsay"}
    rows[5] |= {"rating": "", "stands_for": ""}
    with (tmp_path / "salt_tolerance.csv").open("w", encoding="utf-8", newline="") as place:
        writer = csv.DictWriter(place, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    known = load_catalogue()
    with pytest.raises(BadInput) as bad:
        read_salt_tolerance(tmp_path, known.crops.keys(), known.sources)
    told = {(problem.row, problem.column) for problem in bad.value.problems}
    assert told == {
        (2, "crop"),
        (3, "threshold_ds_m"),
        (4, "slope_pct"),
        (5, "boron_low_mg_l"),
        (5, "stands_for"),
        (6, "source"),
        (7, "rating"),
    }
