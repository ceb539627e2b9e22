"""What holds for every row of the tables that ship."""

import csv
import math

import pytest

from perennate.catalogue.figures import FIGURES, NOT_FOOD
from perennate.catalogue.reader import figure_notes, load_catalogue, shipped_tables
from perennate.catalogue.readiness import is_ready, missing_for_plan
from perennate.catalogue.tables import BASES

CROPS = load_catalogue().crops.values()
OWN_BASES = {"own records", "remembered", "assumed"}


def rows(table: str) -> list[dict[str, str]]:
    with (shipped_tables() / table).open("r", encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


def test_there_are_176_crops_and_at_least_110_foods_ready_to_plan() -> None:
    foods = [c for c in CROPS if c.fact("plan_ready") == "yes" and c.role not in NOT_FOOD]
    assert len(CROPS) == 176
    assert len(foods) >= 110


def test_every_figure_has_a_source_that_is_listed_and_a_shipped_basis() -> None:
    listed = load_catalogue().sources
    for row in rows("figures.csv") + rows("facts.csv") + rows("harvest_shares.csv"):
        assert row["source"], row
        assert all(key in listed for key in row["source"].split(";")), row
        assert row["basis"] in set(BASES) - OWN_BASES, row


@pytest.mark.parametrize(
    "table", sorted(entry.name for entry in shipped_tables().iterdir() if entry.name[0] != ".")
)
def test_every_source_of_every_table_is_in_the_bibliography(table: str) -> None:
    listed = load_catalogue().sources
    cited = {key for row in rows(table) for key in row.get("source", "").split(";") if key}
    assert cited <= set(listed)


def test_every_figure_stands_in_its_own_unit_and_within_its_ends() -> None:
    for crop in CROPS:
        for name, figure in crop.figures.items():
            assert figure.unit == FIGURES[name]
            assert figure.low <= figure.value <= figure.high


def test_weekly_shares_add_to_one() -> None:
    for crop in CROPS:
        if crop.harvest_shares:
            assert math.fsum(crop.harvest_shares) == pytest.approx(1.0)
    assert all(crop.harvest_shares for crop in CROPS if "yield" in crop.figures)


def test_ready_to_plan_is_said_by_the_rule_and_by_nothing_else() -> None:
    for crop in CROPS:
        values = {name: figure.value for name, figure in crop.figures.items()}
        ready = is_ready(crop.role, crop.fact("life_cycle"), values)
        assert crop.fact("plan_ready") == ("yes" if ready else "no"), crop.key


def test_a_crop_that_lacks_a_killing_temperature_is_not_ready() -> None:
    carrot = load_catalogue().crops["carrot"]
    lacking = {name for name in carrot.figures if name != "kill_vegetative"}
    assert missing_for_plan("vegetable", carrot.figures) == ()
    assert missing_for_plan("vegetable", lacking) == ("kill_vegetative",)


def test_a_claimed_record_is_never_the_yield_that_is_planned_on() -> None:
    claimed = [crop for crop in CROPS if "yield_claim" in crop.figures]
    assert len(claimed) > 50
    for crop in claimed:
        assert crop.value("yield") < crop.value("yield_claim"), crop.key


def test_gardens_bring_about_six_tenths_of_the_intensive_figures() -> None:
    """Measured over intensive: geometric mean 0.58 over 42 study means of 21 crops; the priors,
    part of which rest on figures of the field, lie between 0.5 and 0.75 of it."""
    logs = [
        math.log(crop.value("yield") / crop.value("yield_intensive"))
        for crop in CROPS
        if crop.role not in NOT_FOOD
    ]
    assert 0.5 < math.exp(math.fsum(logs) / len(logs)) < 0.75


def test_yields_are_as_wide_as_gardens_differ() -> None:
    """p90/p10 of a log-normal law is exp(2 x 1.2816 sigma)."""
    for crop in CROPS:
        if crop.role in NOT_FOOD:
            continue
        law = crop.figures["yield"]
        parts = ("garden", "crop", "year")
        sigma = math.hypot(*(crop.value(f"yield_sigma_{part}") for part in parts))
        assert math.log(law.high / law.low) == pytest.approx(2 * 1.2816 * sigma, rel=0.05), crop.key


def test_no_sum_of_warmth_to_full_maturity_can_date_a_harvest() -> None:
    assert not any("simple2019" in source for source in load_catalogue().sources)
    assert not any("maturity" in name for name in FIGURES)


def test_growth_can_always_be_scaled_by_warmth() -> None:
    for crop in CROPS:
        base, reference = crop.value("temp_base"), crop.value("temp_reference")
        assert base + 2 < reference < crop.value("temp_ceiling"), crop.key


def test_soil_is_colder_at_the_least_than_at_the_best() -> None:
    for crop in CROPS:
        least, best, most = (crop.value(f"soil_temp_sow_{end}") for end in ("min", "opt", "max"))
        assert least < best <= most, crop.key


def test_every_picking_rate_is_by_weight_by_ground_or_by_bunch() -> None:
    catalogue = load_catalogue()
    units = {
        catalogue.labour[crop.fact("pick_task")].per_unit
        for crop in CROPS
        if crop.fact("pick_task")
    }
    assert units == {"kg", "m2", "bunch"}
    assert all(crop.fact("pick_task") for crop in CROPS if crop.fact("plan_ready") == "yes")


def test_a_figure_taken_from_another_form_says_so_and_is_from_memory() -> None:
    stood_in = {
        place: note for place, note in figure_notes().items() if note.startswith("stand-in: taken")
    }
    assert ("maize_grain", "seeds_per_gram") in stood_in
    for crop, figure in stood_in:
        assert load_catalogue().crops[crop].figures[figure].basis == "memory"


def test_every_name_of_a_figure_and_its_unit_is_in_the_documentation(
    documentation: str,
) -> None:
    for name, unit in FIGURES.items():
        assert f"| `{name}` | {unit} |" in documentation
