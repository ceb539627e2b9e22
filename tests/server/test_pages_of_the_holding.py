"""The sheets of a holding that stand beside its plan: stock, plants, sums, plans, settings."""

import io
import zipfile
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

import made_plan
from perennate.holding.model import Aim, Holding, Lot, LotMove, Person, Record
from perennate.reckoner.registry import RECKONERS
from perennate.server.store import models
from perennate.server.store.carry import Carried, take_in
from perennate.server.store.door import apply, keep_plan, undo
from perennate.server.store.reading import standing
from perennate.server.store.rows import PlanInputs, holding_of, plan_row
from perennate.terms import text

pytestmark = pytest.mark.django_db
AT = "/at/hof"
QUERIES = 12
NORMALS = b"month,tmin_c,tmax_c,rain_mm\n" + b"".join(
    b"%d,%d,%d,60\n" % (month, low, low + 10)
    for month, low in enumerate((-4, -3, 0, 4, 8, 11, 13, 13, 9, 5, 0, -3), 1)
)

PAGES = (
    "stock/",
    "write/",
    "plants/",
    "plants/carrot/",
    "reckon/",
    "reckon/sow-window/?crop=carrot",
    "plans/",
    "plans/1/",
    "plans/1/against/1/",
    "holding/",
    "holding/settings/",
)


def page(client: Client, address: str) -> str:
    answer = client.get(f"{AT}/{address}")
    assert answer.status_code == 200, answer.status_code
    return str(answer.content.decode())


def now(store: models.Holding) -> Holding:
    store.refresh_from_db()
    return holding_of(store)


def change_to(store: models.Holding, after: Holding) -> None:
    apply(store.pk, text("change.settings"), now(store), after)


def last_change(store: models.Holding) -> models.Change:
    found = store.changes.first()
    assert found is not None
    return found


def second_plan(store: models.Holding) -> models.Plan:
    """Another plan kept beside the one that stands: without its last planting."""
    plan = made_plan.made_plan()
    other = replace(plan, plantings=plan.plantings[:-1])
    inputs = PlanInputs({}, {}, {}, plan.as_of.isoformat(), 0, "usual", None, "1")
    return keep_plan(
        store.pk, lambda one, number: plan_row(one, number, other, inputs, made_plan.NAMES)
    )


@pytest.mark.usefixtures("made")
@pytest.mark.parametrize("address", PAGES)
def test_a_page_asks_little_of_the_store(client: Client, address: str) -> None:
    page(client, address)
    with CaptureQueriesContext(connection) as asked:
        page(client, address)
    assert len(asked) <= QUERIES


# what is in stock


def with_lot(store: models.Holding, **said: Any) -> Lot:
    lot = Lot("carrot 24", "carrot", "Rotkäppchen", "seed", 10.0, "g", 2024, 0.8)
    lot = replace(lot, **said)
    moves = (LotMove(lot.key, date(2026, 3, 10), -2500, "mg", "sown"),)
    change_to(store, replace(now(store), lots=(lot,), lot_moves=moves))
    return lot


def test_a_lot_shows_what_is_left_how_old_it_is_and_how_it_came_up(
    client: Client, made: models.Holding
) -> None:
    with_lot(made, tested=date(2026, 1, 5))
    shown = page(client, "stock/")
    assert "7.5 g" in shown
    assert "7500 mg left" in shown
    assert '<td class="n">2024</td><td class="n">2</td>' in shown
    assert "80%" in shown
    assert "5 Jan 2026" in shown


def test_a_lot_of_unknown_amount_is_not_called_empty(client: Client, made: models.Holding) -> None:
    lot = Lot("old", "carrot", "", "seed", None, "g", None, None)
    change_to(made, replace(now(made), lots=(lot,)))
    shown = page(client, "stock/")
    assert "not known" in shown
    assert "not tested" in shown


# writing down


def test_a_record_needs_no_more_than_what_it_was(client: Client, made: models.Holding) -> None:
    answer = client.post(f"{AT}/write/", {"kind": "weeded", "day": "2026-03-30"})
    assert answer.status_code == 302
    (record,) = now(made).records
    assert (record.kind, record.day, record.amount) == ("weeded", date(2026, 3, 30), None)


def test_the_form_opens_on_the_place_crop_and_worker_last_used(
    client: Client, made: models.Holding
) -> None:
    said = Record("r", date(2026, 3, 20), "sown", "carrot", "Žleb", 3.0, "g", 20.0, "Ola")
    change_to(made, replace(now(made), records=(said,)))
    shown = page(client, "write/")
    for value in ("Žleb", "carrot", "Ola", "2026-03-30"):
        assert f'value="{value}"' in shown


def test_same_again_repeats_a_record_today(client: Client, made: models.Holding) -> None:
    said = Record("r", date(2026, 3, 20), "harvested", "leek", "Žleb", 1.5, "kg", 10.0, "Ola")
    change_to(made, replace(now(made), records=(said,)))
    client.post(f"{AT}/write/", {"again": "r"})
    again = now(made).records[-1]
    assert replace(again, key="r", day=said.day) == said
    assert again.day == date(2026, 3, 30)


def test_what_was_written_down_can_be_taken_back(client: Client, made: models.Holding) -> None:
    client.post(f"{AT}/write/", {"kind": "frost", "day": "2026-03-30", "place": "holding"})
    undo(last_change(made).pk)
    assert now(made).records == ()


def test_a_record_that_does_not_fit_is_said_at_its_fields_and_nothing_is_lost(
    client: Client, made: models.Holding
) -> None:
    typed = {"kind": "harvested", "day": "30.2.2026", "crop": "karott", "amount": "much"}
    answer = client.post(f"{AT}/write/", typed | {"note": "by the gate"})
    shown = answer.content.decode()
    assert answer.status_code == 422
    assert shown.count('aria-invalid="true"') == 3
    for value in ("30.2.2026", "karott", "much", "by the gate"):
        assert f'value="{value}"' in shown
    assert now(made).records == ()


# plants


@pytest.mark.usefixtures("made")
@pytest.mark.parametrize("asked", ["carot", "DAUCUS", "Möhre carrot", "karrot"])
def test_a_plant_is_found_by_a_name_much_like_its_own(client: Client, asked: str) -> None:
    shown = page(client, f"plants/?q={asked}")
    assert ("Carrot</a>" in shown) == (asked != "Möhre carrot")


@pytest.mark.usefixtures("made")
def test_ours_are_the_plants_that_are_grown_held_or_planned(client: Client) -> None:
    shown = page(client, "plants/?only=ours")
    assert "Carrot</a>" in shown
    assert "Okra</a>" not in shown


@pytest.mark.usefixtures("made")
def test_a_plant_shows_cautions_first_then_every_figure_with_its_source(client: Client) -> None:
    shown = page(client, "plants/potato/")
    assert shown.index("Cautions") < shown.index("In the plan") < shown.index("Figures")
    assert '<tr class="memory"' in shown
    assert "Widely agreed practice of the trade" in shown


def test_a_figure_of_ones_own_replaces_the_catalogues(client: Client, made: models.Holding) -> None:
    form = page(client, "plants/carrot/")
    address = "rows/own_values/add/?crop=carrot&amp;figure=yield&amp;unit=kg/m2"
    assert address in form
    typed = {"crop": "carrot", "figure": "yield", "value": "3.3", "unit": "kg/m2"}
    answer = client.post(f"{AT}/rows/own_values/add/", typed)
    assert answer.status_code == 302, answer.content.decode()
    shown = page(client, "plants/carrot/")
    assert "3.3 kg/m²" in shown
    assert "own records" in shown
    assert "Change yours" in shown


@pytest.mark.usefixtures("made")
def test_a_plant_that_there_is_not_is_not_here(client: Client) -> None:
    assert client.get(f"{AT}/plants/nosuch/").status_code == 404


# sums


@pytest.mark.usefixtures("made")
@pytest.mark.parametrize("name", sorted(RECKONERS))
def test_every_reckoner_has_a_page_with_a_field_for_each_input(client: Client, name: str) -> None:
    shown = page(client, f"reckon/{name}/")
    for item in RECKONERS[name].inputs:
        assert f'id="f-{item.name}" name="{item.name}"' in shown


@pytest.mark.usefixtures("made")
def test_a_sum_is_filled_from_the_holding_and_the_bed_chosen(client: Client) -> None:
    shown = page(client, "reckon/plants-in-bed/?crop=carrot&bed=%3DEcke")
    assert 'name="length" value="2.5 m"' in shown
    assert 'name="width" value="0.9 m"' in shown
    assert "as your holding says" in shown


def test_a_sum_about_soil_takes_that_of_the_bed_where_it_knows_it(
    client: Client, made: models.Holding
) -> None:
    before = now(made)
    clay = replace(before, beds=tuple(replace(bed, soil="clay") for bed in before.beds))
    change_to(made, clay)
    shown = page(client, "reckon/drip-layout/")
    assert "<option selected>clay</option>" in shown


@pytest.mark.usefixtures("made")
def test_a_choice_that_nobody_made_is_not_made_by_the_page(client: Client) -> None:
    assert '<option value=""></option><option>sand</option>' in page(
        client, "reckon/drip-run/?depth=10"
    )


@pytest.mark.usefixtures("made")
def test_a_sum_shows_what_was_given_each_step_the_answer_and_its_sources(client: Client) -> None:
    shown = page(client, "reckon/plants-in-bed/?ask=1&length=6&width=1.2&spacing=30&layout=square")
    places = [shown.index(part) for part in ("Given", "Working", "Answer", "Where it comes from")]
    assert places == sorted(places)
    assert '<span class="answer">80 plants' in shown
    assert "Plane geometry" in shown


@pytest.mark.usefixtures("made")
def test_a_sum_with_bad_figures_says_so_at_each(client: Client) -> None:
    answer = client.get(f"{AT}/reckon/degree-days/?ask=1&tmin=cold&tmax=")
    shown = answer.content.decode()
    assert answer.status_code == 422
    assert shown.count('aria-invalid="true"') == 2
    assert 'value="cold"' in shown


def test_a_sum_that_rests_on_an_own_figure_names_its_records(
    client: Client, made: models.Holding
) -> None:
    typed = {"crop": "carrot", "figure": "spacing_close", "value": "5", "unit": "cm"}
    client.post(f"{AT}/rows/own_values/add/", typed | {"source": "our trial of 2025"})
    shown = page(client, "reckon/plants-in-bed/?crop=carrot&length=6&width=1")
    assert "<li>our trial of 2025</li>" in shown


# plans


def test_going_back_to_a_plan_lets_it_stand_and_can_be_taken_back(
    client: Client, made: models.Holding
) -> None:
    other = second_plan(made)
    answer = client.post(f"{AT}/plans/{other.number}/back/")
    made.refresh_from_db()
    assert made.plan == other
    assert f"change={last_change(made).number}" in answer.headers["Location"]
    undo(last_change(made).pk)
    made.refresh_from_db()
    assert made.plan is not None
    assert made.plan.number == 1


def test_going_back_to_the_plan_that_stands_changes_nothing(
    client: Client, made: models.Holding
) -> None:
    before = made.changes.count()
    client.post(f"{AT}/plans/1/back/")
    assert made.changes.count() == before


def test_two_plans_are_compared_by_what_differs(client: Client, made: models.Holding) -> None:
    other = second_plan(made)
    gone = made_plan.made_plan().plantings[-1]
    shown = page(client, f"plans/{other.number}/against/1/")
    assert "No longer planted" in shown
    assert f"in {gone.bed}" in shown


@pytest.mark.usefixtures("made")
def test_the_plan_that_stands_is_given_as_files(client: Client) -> None:
    answer = client.get(f"{AT}/plans/files/jobs.ics")
    assert answer.content.startswith(b"BEGIN:VCALENDAR")
    assert 'filename="hof-jobs.ics"' in answer.headers["Content-Disposition"]
    assert client.get(f"{AT}/plans/files/secret").status_code == 404


# the holding


def settings_typed(client: Client) -> dict[str, str]:
    """The settings form as a browser would send it back, untouched."""
    answer = client.get(f"{AT}/holding/settings/")
    return {one.field.name: one.value for part in answer.context["parts"] for one in part.entries}


def test_settings_sent_untouched_change_nothing(client: Client, made: models.Holding) -> None:
    before = now(made), made.changes.count()
    answer = client.post(f"{AT}/holding/settings/", settings_typed(client))
    assert answer.status_code == 302, answer.content.decode()
    assert (now(made), made.changes.count()) == before


def test_a_setting_may_be_written_with_a_unit_or_in_words(
    client: Client, made: models.Holding
) -> None:
    typed = settings_typed(client) | {
        "site.elevation_m": "1000 ft",
        "remembered.last_frost": "10 May",
        "habits.least_ground": "yes",
    }
    client.post(f"{AT}/holding/settings/", typed)
    holding = now(made)
    assert holding.site.elevation_m == pytest.approx(304.8)
    assert holding.site.remembered.last_frost == (5, 10)
    assert holding.habits.least_ground


def test_faults_of_settings_stand_at_their_fields_and_nothing_is_lost(
    client: Client, made: models.Holding
) -> None:
    before = now(made)
    typed = settings_typed(client) | {
        "site.latitude_deg": "99",
        "plan.weeks": "many",
        "people.1.sex": "female",
        "people.1.age_years": "old",
        "people.1.weight_kg": "62",
        "site.name": "Neuer Hof",
    }
    answer = client.post(f"{AT}/holding/settings/", typed)
    shown = answer.content.decode()
    assert answer.status_code == 422
    for name in ("site.latitude_deg", "plan.weeks", "people.1.age_years"):
        field = shown.split(f'id="f-{name}"')[1].split(">")[0]
        assert 'aria-invalid="true"' in field, name
    assert 'value="Neuer Hof"' in shown
    assert now(made) == before


def test_people_come_and_go_by_their_blocks(client: Client, made: models.Holding) -> None:
    people = (Person("Ola", "female", 41, 64, 1.7), Person("Bendo", "male", 7, 24, 1.6))
    change_to(made, replace(now(made), people=people))
    typed: dict[str, Any] = settings_typed(client) | {
        "people.3.sex": "male",
        "people.3.age_years": "70",
        "people.3.weight_kg": "150 lb",
    }
    client.post(f"{AT}/holding/settings/", typed | {"gone": ["1"]})
    bendo, new = now(made).people
    assert bendo == people[1]
    assert (new.sex, new.age_years, new.activity) == ("male", 70, 1.6)
    assert new.weight_kg == pytest.approx(68.04, abs=0.01)


def test_what_is_left_alone_stays_assumed_and_what_is_changed_does_not(
    client: Client, made: models.Holding
) -> None:
    marked = ("site.elevation_m", "plan.year_start")
    change_to(made, replace(now(made), assumed=marked))
    client.post(f"{AT}/holding/settings/", settings_typed(client) | {"plan.year_start": "1 July"})
    assert now(made).assumed == ("site.elevation_m",)


def test_a_guess_is_confirmed_by_one_button(client: Client, made: models.Holding) -> None:
    marked = ("site.elevation_m", "beds.Žleb.soil", "beds.Süd 1.soil")
    change_to(made, replace(now(made), assumed=marked))
    shown = page(client, "holding/")
    assert "3 guesses" in shown
    client.post(f"{AT}/holding/confirm/", {"name": ["beds.Žleb.soil", "beds.Süd 1.soil"]})
    assert now(made).assumed == ("site.elevation_m",)
    undo(last_change(made).pk)
    assert now(made).assumed == marked


def test_a_weather_file_is_read_when_it_is_added_and_can_be_removed(
    client: Client, made: models.Holding
) -> None:
    sent = SimpleUploadedFile("Normals.csv", NORMALS)
    answer = client.post(f"{AT}/holding/weather/", {"file": sent})
    assert answer.status_code == 302, answer.content.decode()
    made.refresh_from_db()
    assert now(made).weather_files == ("normals.csv",)
    assert standing(made).season.climate.basis == "normals"
    client.post(f"{AT}/holding/weather/", {"act": "remove", "name": "normals.csv"})
    assert now(made).weather_files == ()


def test_a_file_that_is_no_weather_is_refused_with_the_reason(
    client: Client, made: models.Holding
) -> None:
    before = made.changes.count()
    sent = SimpleUploadedFile("../../notes.txt", b"nothing,of,the,kind\n1,2,3,4\n")
    answer = client.post(f"{AT}/holding/weather/", {"file": sent})
    assert answer.status_code == 422
    assert b"Nothing was changed" in answer.content
    assert (made.changes.count(), now(made).weather_files) == (before, ())


def test_a_holding_given_out_and_taken_in_over_itself_is_the_same(
    client: Client, made: models.Holding
) -> None:
    before = now(made)
    data = client.get(f"{AT}/as.zip").content
    assert zipfile.ZipFile(io.BytesIO(data)).testzip() is None
    answer = client.post(f"{AT}/holding/import/", {"file": SimpleUploadedFile("h.zip", data)})
    assert answer.status_code == 302, answer.content.decode()
    assert now(made) == before


def test_a_workbook_taken_in_over_a_holding_leaves_its_weather_and_can_be_taken_back(
    client: Client, made: models.Holding
) -> None:
    client.post(f"{AT}/holding/weather/", {"file": SimpleUploadedFile("normals.csv", NORMALS)})
    data = client.get(f"{AT}/as.xlsx").content
    aim = Aim("Lauch", "food", "leek", "", 3.0, "kg", "season", None, None)
    change_to(made, replace(now(made), aims=(aim,)))
    client.post(f"{AT}/holding/import/", {"file": SimpleUploadedFile("h.xlsx", data)})
    assert (now(made).aims, now(made).weather_files) == ((), ("normals.csv",))
    undo(last_change(made).pk)
    assert now(made).aims == (aim,)


def test_a_file_that_is_no_holding_is_refused_and_nothing_changes(
    client: Client, made: models.Holding
) -> None:
    before = now(made)
    for name, data in (("h.zip", b"PK"), ("h.txt", b"x"), ("h.xlsx", b"not a workbook")):
        answer = client.post(f"{AT}/holding/import/", {"file": SimpleUploadedFile(name, data)})
        assert answer.status_code == 422
    assert client.post(f"{AT}/holding/import/").status_code == 422
    assert now(made) == before


def test_a_holding_without_a_plan_has_all_its_sheets(client: Client) -> None:
    holding = made_plan.made_holding()
    take_in(Carried(holding.site.name, holding, {}), "hof")
    for address in PAGES:
        if not address.startswith("plans/1"):
            page(client, address)
    assert client.get(f"{AT}/plans/files/plan.json").status_code == 404
