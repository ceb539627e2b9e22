"""A week of somebody who presses what is there, in two tabs, and comes back by old addresses."""

from dataclasses import replace
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

import made_plan
from perennate.holding import workbook_bytes
from perennate.holding.model import Bed, Holding, Person
from perennate.server.store import models
from perennate.server.store.carry import Carried, take_in
from perennate.server.store.door import apply
from perennate.server.store.rows import holding_of
from perennate.terms import text

pytestmark = pytest.mark.django_db
AT = "/at/hof"
LOT = {"crop": "carrot", "kind": "seed"}
SETTINGS = f"{AT}/holding/settings/"


def now(store: models.Holding) -> Holding:
    store.refresh_from_db()
    return holding_of(store)


def change_to(store: models.Holding, after: Holding) -> None:
    apply(store.pk, text("change.settings"), now(store), after)


def tab(client: Client) -> dict[str, str]:
    """The settings form opened in a tab, as the browser would send it back."""
    shown = client.get(SETTINGS).context
    typed = {one.field.name: one.value for part in shown["parts"] for one in part.entries}
    return {**typed, "was": shown["was"]}


# two tabs


def test_two_tabs_that_change_different_settings_both_keep_their_change(
    client: Client, made: models.Holding
) -> None:
    first, second = tab(client), tab(client)
    client.post(SETTINGS, first | {"site.elevation_m": "700"})
    assert client.post(SETTINGS, second | {"plan.weeks": "40"}).status_code == 302
    assert (now(made).site.elevation_m, now(made).weeks) == (700, 40)


def test_a_setting_changed_in_two_tabs_is_shown_before_it_is_written_over(
    client: Client, made: models.Holding
) -> None:
    first, second = tab(client), tab(client)
    client.post(SETTINGS, first | {"site.elevation_m": "700", "plan.weeks": "40"})
    answer = client.post(SETTINGS, second | {"site.elevation_m": "720"})
    assert answer.status_code == 422
    assert "changed elsewhere in the meantime, to 700" in answer.content.decode()
    assert now(made).site.elevation_m == 700
    again = {
        one.field.name: one.value for part in answer.context["parts"] for one in part.entries
    } | {"was": answer.context["was"]}
    assert again["site.elevation_m"] == "720"
    assert client.post(SETTINGS, again).status_code == 302
    assert (now(made).site.elevation_m, now(made).weeks) == (720, 40)


def test_people_changed_in_two_tabs_are_not_mixed_up(client: Client, made: models.Holding) -> None:
    ola, bendo = Person("Ola", "female", 41, 64, 1.7), Person("Bendo", "male", 7, 24, 1.6)
    change_to(made, replace(now(made), people=(ola, bendo)))
    first, second = tab(client), tab(client)
    client.post(SETTINGS, {**first, "gone": "1"})
    answer = client.post(SETTINGS, second | {"people.1.age_years": "42"})
    assert answer.status_code == 422
    assert "who eats here was changed elsewhere" in answer.content.decode()
    assert now(made).people == (bendo,)
    assert client.post(SETTINGS, second | {"plan.weeks": "40"}).status_code == 302
    assert now(made).people == (bendo,)


def test_a_row_saved_again_after_a_clash_leaves_what_the_other_tab_changed(
    client: Client, made: models.Holding
) -> None:
    key = now(made).beds[0].key
    address = f"{AT}/rows/beds/row/{key}/"
    opened = {one.field.name: one.value for one in client.get(address).context["entries"]}
    was = client.get(address).context["was"]
    client.post(address, {**opened, "was": was, "length_m": "5", "light": "shade"})
    answer = client.post(address, {**opened, "was": was, "length_m": "4"})
    assert answer.status_code == 422
    shown = {one.field.name: one.value for one in answer.context["entries"]}
    client.post(address, {**shown, "was": answer.context["was"]})
    bed: Bed = now(made).beds[0]
    assert (bed.length_m, bed.light) == (4, "shade")


# what is there no longer


def dropped(client: Client, store: models.Holding) -> str:
    carrot = next(one for one in made_plan.made_plan().plantings if one.crop == "carrot")
    client.post(f"{AT}/plantings/act/{carrot.key}/", {"act": "drop"})
    return f"{AT}/plantings/of/{carrot.key}/"


def test_a_planting_that_was_dropped_says_so_and_can_be_brought_back(
    client: Client, made: models.Holding
) -> None:
    address = dropped(client, made)
    answer = client.get(address)
    assert answer.status_code == 404
    assert "dropped" in answer.content.decode()
    number = answer.context["gone"].number
    client.post(f"{AT}/changes/{number}/undo/", {"back": address})
    assert client.get(address).status_code == 200


def test_an_act_on_a_planting_dropped_in_another_tab_is_answered_plainly(
    client: Client, made: models.Holding
) -> None:
    address = dropped(client, made)
    before = now(made)
    answer = client.post(address.replace("/of/", "/act/"), {"act": "fix"})
    assert answer.status_code == 404
    assert "not in the plan as it stands" in answer.content.decode()
    assert now(made) == before


@pytest.mark.usefixtures("made")
def test_a_planting_that_never_was_is_not_here(client: Client) -> None:
    assert client.get(f"{AT}/plantings/of/nothing/").status_code == 404


@pytest.mark.usefixtures("made")
@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "9999-12-27"])
@pytest.mark.parametrize("page", ["", "ground/", "year/", "to-get/", "look-out/", "aims/"])
def test_weeks_beyond_all_calendars_are_no_choice(client: Client, page: str, day: str) -> None:
    answer = client.get(f"{AT}/{page}", {"from": day})
    assert answer.status_code == 200
    assert day not in answer.content.decode()


def test_a_workbook_that_names_weather_files_says_what_to_do(client: Client) -> None:
    holding = replace(made_plan.made_holding(), weather_files=("weather-hill.csv",))
    sent = SimpleUploadedFile("hof.xlsx", workbook_bytes(holding))
    answer: Any = client.post("/take-in/", {"file": sent})
    assert answer.status_code == 422
    shown = answer.content.decode()
    assert "weather-hill.csv" in shown
    assert "a workbook brings none: send the .zip of this holding" in shown
    assert not models.Holding.objects.exists()


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01"])
@pytest.mark.parametrize("column", ["sown", "ground_from", "ground_to"])
def test_a_day_at_the_end_of_the_calendar_is_refused_at_its_field(
    client: Client, made: models.Holding, column: str, day: str
) -> None:
    cells = {"crop": "carrot", "bed": "Süd 1", "hand": "wished", column: day}
    for address in (f"{AT}/rows/plantings/add/", f"{AT}/plantings/add/"):
        answer = client.post(address, cells)
        assert answer.status_code == 422
        assert "expected a day in the years 1600 to 2400" in answer.content.decode()
    assert not now(made).plantings


@pytest.mark.parametrize("name", ["nursery", "Store", "holding"])
def test_a_bed_may_not_be_called_what_is_a_place_already(
    client: Client, made: models.Holding, name: str
) -> None:
    before = now(made).beds
    answer = client.post(f"{AT}/rows/beds/add/", {"key": name, "length_m": "3", "width_m": "1"})
    assert answer.status_code == 422
    assert "are places already" in answer.content.decode()
    assert now(made).beds == before


def test_more_plants_than_any_holding_has_are_refused(client: Client, made: models.Holding) -> None:
    cells = {"crop": "carrot", "bed": "Süd 1", "hand": "wished", "plants": "9" * 20}
    answer = client.post(f"{AT}/rows/plantings/add/", cells)
    assert answer.status_code == 422
    assert not now(made).plantings


# what is said afterwards


def test_what_was_taken_back_is_named(client: Client, made: models.Holding) -> None:
    dropped(client, made)
    number = made.changes.first().number  # type: ignore[union-attr]
    answer = client.post(f"{AT}/changes/{number}/undo/", {"back": f"{AT}/"})
    for address in (answer.headers["Location"], f"{AT}/changes/"):
        shown = client.get(address).content.decode()
        assert "dropped" in shown.split(f"Change {number} taken back")[1][:400], address


def test_an_own_value_is_named_in_the_log(client: Client, made: models.Holding) -> None:
    cells = {"crop": "carrot", "figure": "yield", "value": "2,5", "unit": "kg/m2"}
    assert client.post(f"{AT}/rows/own_values/add/", cells).status_code == 302
    assert "carrot yield added" in client.get(f"{AT}/changes/").content.decode()


def test_a_file_that_says_what_is_here_already_names_no_other_change(
    client: Client, made: models.Holding
) -> None:
    data = client.get(f"{AT}/as.zip").content
    before = made.changes.count()
    answer = client.post(f"{AT}/holding/import/", {"file": SimpleUploadedFile("hof.zip", data)})
    assert answer.status_code == 302
    assert "change=" not in answer.headers["Location"]
    assert made.changes.count() == before


def test_holdings_of_one_name_are_told_apart(client: Client, made: models.Holding) -> None:
    data = client.get(f"{AT}/as.zip").content
    client.post("/take-in/", {"file": SimpleUploadedFile("hof.zip", data)})
    shown = client.get("/?all").content.decode()
    assert all(one.slug in shown for one in models.Holding.objects.all())
    assert models.Holding.objects.count() == 2


def test_what_needs_a_plan_says_so_and_leads_to_one(client: Client, db: None) -> None:
    take_in(Carried("Hof", made_plan.made_holding(), {}), "hof")
    answer = client.get(f"{AT}/plantings/add/")
    assert answer.status_code == 404
    shown = answer.content.decode()
    assert "No plan yet" in shown
    assert f'href="{AT}/"' in shown


@pytest.mark.parametrize("name", ["..", "../wall", "wall/../door", "."])
def test_a_key_that_no_address_can_hold_is_refused(
    client: Client, made: models.Holding, name: str
) -> None:
    for table, others in (("beds", {"length_m": "3", "width_m": "1"}), ("lots", LOT)):
        answer = client.post(f"{AT}/rows/{table}/add/", {"key": name, **others})
        assert answer.status_code == 422, table
        assert "does not stand by itself" in answer.content.decode()
    assert not now(made).lots


@pytest.mark.parametrize("bed", ["", "any bed"])
def test_a_crop_refused_where_it_was_fixed_goes(
    client: Client, made: models.Holding, bed: str
) -> None:
    carrot = next(one for one in made_plan.made_plan().plantings if one.crop == "carrot")
    address = f"{AT}/plantings/act/{carrot.key}/"
    client.post(address, {"act": "fix"})
    assert [row.hand for row in now(made).plantings] == ["fixed"]
    client.post(address, {"act": "refuse", "bed": bed or carrot.bed})
    assert [row.hand for row in now(made).plantings] == ["refused"]
    assert client.get(f"{AT}/plantings/of/{carrot.key}/").status_code == 404


def test_a_refusal_of_other_days_leaves_what_is_fixed(client: Client, made: models.Holding) -> None:
    carrot = next(one for one in made_plan.made_plan().plantings if one.crop == "carrot")
    address = f"{AT}/plantings/act/{carrot.key}/"
    client.post(address, {"act": "fix"})
    day = carrot.ground_to.isoformat()
    client.post(address, {"act": "refuse", "bed": carrot.bed, "ground_from": day})
    assert {row.hand for row in now(made).plantings} == {"fixed", "refused"}
    assert client.get(f"{AT}/plantings/of/{carrot.key}/").status_code == 200


def test_a_key_too_long_to_be_read_anywhere_is_refused(
    client: Client, made: models.Holding
) -> None:
    cells = {"key": "x" * 10_000, "length_m": "3", "width_m": "1"}
    answer = client.post(f"{AT}/rows/beds/add/", cells)
    assert answer.status_code == 422
    assert "found 10000 letters; expected a short name" in answer.content.decode()


@pytest.mark.parametrize(
    ("figure", "unit", "value"),
    [
        ("yield", "kg/m2", "0"),
        ("yield", "kg/m2", "-1"),
        ("yield", "kg/m2", "1000000000"),
        ("spacing_close", "cm", "0"),
        ("seeds_per_gram", "1/g", "0"),
        ("nursery_time", "week", "0"),
        ("germination_standard", "1", "85"),
        ("temp_base", "degC", "70"),
    ],
)
def test_an_own_value_that_no_plant_has_is_refused_at_its_field(
    client: Client, made: models.Holding, figure: str, unit: str, value: str
) -> None:
    cells = {"crop": "carrot", "figure": figure, "value": value, "unit": unit}
    answer = client.post(f"{AT}/rows/own_values/add/", cells)
    assert answer.status_code == 422
    (wrong,) = [one.wrong for one in answer.context["entries"] if one.field.name == "value"]
    assert "expected a value from" in wrong[0]
    assert not now(made).own_values


def test_where_us_units_are_written_a_point_is_the_decimal_sign(
    client: Client, made: models.Holding
) -> None:
    change_to(made, replace(now(made), units="us"))
    cells = {"key": "A", "length_m": "1.125 ft", "width_m": "1,5 ft"}
    assert client.post(f"{AT}/rows/beds/add/", cells).status_code == 302
    bed = now(made).beds[-1]
    assert bed.length_m == pytest.approx(1.125 * 0.3048)
    assert bed.width_m == pytest.approx(1.5 * 0.3048)
