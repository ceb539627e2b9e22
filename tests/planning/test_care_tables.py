"""The tables of care, raising and diseases fit the rest of the catalogue."""

import csv
from importlib.resources import files

import made
import pytest

from perennate.catalogue.crop_care import care_of, nursery_stages, nursery_way
from perennate.catalogue.reader import load_catalogue
from perennate.catalogue.rotation_diseases import disease_named, rotation_diseases

SHIPPED = load_catalogue()
BASES = ("published", "computed", "memory", "common practice")
TABLES = ("crop_care.csv", "nursery_ways.csv", "nursery_stages.csv", "rotation_diseases.csv")


def rows_of(name: str) -> list[dict[str, str]]:
    path = files("perennate.catalogue") / "data" / name
    return list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("name", TABLES)
def test_every_row_is_whole_and_names_a_basis_and_known_sources(name: str) -> None:
    for row in rows_of(name):
        assert None not in row
        assert None not in row.values()
        assert row["basis"] in BASES
        assert set(row["source"].split(";")) <= set(SHIPPED.sources)


@pytest.mark.parametrize("name", TABLES[:2])
def test_every_crop_named_is_in_the_catalogue(name: str) -> None:
    named = {crop for row in rows_of(name) for crop in row["crops"].split(";")}
    assert named <= set(SHIPPED.crops)


def test_every_labour_rate_and_container_named_is_in_the_catalogue() -> None:
    assert {row["labour"] for row in rows_of("crop_care.csv")} <= set(SHIPPED.labour)
    for crop in SHIPPED.crops:
        way = nursery_way(crop, "tray_72")
        kinds = {way.sow_in, way.prick_into, way.pot_into} - {""}
        assert kinds <= set(SHIPPED.containers), crop


def test_every_labour_rate_of_the_made_catalogue_is_that_of_the_shipped_one() -> None:
    for key, rate in made.labour().items():
        shipped = SHIPPED.labour[key]
        assert (shipped.per_unit, shipped.minutes.value) == (rate.per_unit, rate.minutes.value)


def test_hosts_of_diseases_are_crops_or_rotation_groups() -> None:
    groups = {crop.fact("rotation_group") for crop in SHIPPED.crops.values()}
    for disease in rotation_diseases():
        for host in disease.hosts:
            group = host.removeprefix("group:")
            assert (group in groups) if group != host else (host in SHIPPED.crops), host


@pytest.mark.parametrize(
    ("disease", "years"), [("club root", 7), ("Clubroot", 7), ("cercospora", 3), ("scab", None)]
)
def test_years_without_a_host_by_whatever_name(disease: str, years: float | None) -> None:
    """Club root 7 and leaf spot of beet 3 years: University of Connecticut, crop rotation."""
    found = disease_named(disease)
    assert (found.years if found else None) == years


def test_cover_crops_and_alyssum_are_hosts_of_club_root() -> None:
    club = disease_named("club root")
    assert club is not None
    for crop in ("sweet_alyssum", "cover_mustard", "radish", "rapeseed"):
        assert club.is_host(SHIPPED.crops[crop])
    assert not club.is_host(SHIPPED.crops["carrot"])


def test_survival_through_the_nursery_is_a_share_with_a_spread() -> None:
    for stage in nursery_stages().values():
        assert 0 < stage.low < stage.value < stage.high <= 1


def test_a_crop_that_the_table_does_not_name_has_no_care_of_its_own() -> None:
    assert care_of("moonroot") == ()
    assert nursery_way("moonroot", "tray_50").sow_in == "tray_50"
