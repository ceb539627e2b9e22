import csv
from importlib.resources import files

import numpy as np
import pytest

from perennate.catalogue.crossing import crossing_tables
from perennate.catalogue.dispersal import curve_of, dispersal_curves, read_dispersal
from perennate.catalogue.reader import load_catalogue
from perennate.science.gene_flow import crossing_share
from perennate.terms import BadInput

KINDS = crossing_tables().kinds


@pytest.mark.parametrize("name", sorted(dispersal_curves()))
def test_measured_points_lie_within_the_stated_error(name):
    curve = dispersal_curves()[name]
    far = [point.distance_m for point in curve.points]
    seen = np.array([point.share for point in curve.points])
    wide = crossing_share(curve.fit, far, chance=0.98)
    assert np.all((wide.low <= seen) & (seen <= wide.high))
    usual = crossing_share(curve.fit, far, chance=0.8)
    assert np.mean((usual.low <= seen) & (seen <= usual.high)) >= 0.8


def test_the_usual_error_is_not_so_wide_that_it_says_nothing():
    maize = dispersal_curves()["maize"]
    found = crossing_share(maize.fit, 50.0)
    assert float(found.high) < 0.02
    assert float(found.low) > 0.001


def test_shares_of_published_measurements_stand_in_the_table():
    maize = {(p.distance_m, p.source): p.share for p in dispersal_curves()["maize"].points}
    assert maize[1.0, "baltazar2015"] == pytest.approx(0.129)
    assert maize[180.0, "byrne-fromherz2003"] == pytest.approx(0.0005)
    insect = {p.distance_m: p.share for p in dispersal_curves()["insect"].points}
    # Kirkpatrick and Wilson 1988: 5 % beyond 1300 m
    assert insect[1300.0] == pytest.approx(0.05)


def test_pollen_is_followed_by_what_carries_it():
    assert curve_of(KINDS["popcorn"]).name == "maize"
    assert curve_of(KINDS["beet"]).name == "wind"
    assert curve_of(KINDS["wheat_winter"]).name == "wind"
    assert curve_of(KINDS["zucchini"]).name == "insect"
    assert curve_of(KINDS["pea_snap"]).name == "insect"
    assert curve_of(KINDS["garlic"]) is None


def test_every_fault_of_the_table_is_told_at_once(tmp_path):
    shipped = files("perennate.catalogue").joinpath("data", "gene_flow_points.csv")
    rows = list(csv.DictReader(shipped.read_text(encoding="utf-8").splitlines()))
    rows[0] |= {"curves": "tide"}
    rows[1] |= {"distance_m": "0"}
    rows[2] |= {"crossing_pct": "100"}
    rows[3] |= {"source": "hearsay"}
    with (tmp_path / "gene_flow_points.csv").open("w", encoding="utf-8", newline="") as place:
        writer = csv.DictWriter(place, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    with pytest.raises(BadInput) as bad:
        read_dispersal(tmp_path, load_catalogue().sources)
    assert {(p.row, p.column) for p in bad.value.problems} == {
        (2, "curves"),
        (3, "distance_m"),
        (4, "crossing_pct"),
        (5, "source"),
    }
