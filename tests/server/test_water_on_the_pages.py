"""Water on the pages of a holding: its sources, its beds' ground, and the first question of it."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from html import unescape
from typing import Any

import pytest
from django.test import Client
from test_first_minutes import ANSWERS, answer_all, begun, send

from perennate.holding.model import Holding, WaterSource
from perennate.holding.schema import table_schema
from perennate.server.store import models
from perennate.server.store.door import apply, undo
from perennate.server.store.rows import holding_of
from perennate.server.work import runs
from perennate.terms import text

pytestmark = pytest.mark.django_db
AT = "/at/hof"


def page(client: Client, address: str) -> str:
    answer = client.get(f"{AT}/{address}")
    assert answer.status_code == 200, answer.status_code
    return unescape(answer.content.decode())


def now(store: models.Holding) -> Holding:
    store.refresh_from_db()
    return holding_of(store)


def changed(store: models.Holding, **parts: Any) -> None:
    apply(store.pk, text("change.settings"), now(store), replace(now(store), **parts))


@pytest.fixture
def watered(made: models.Holding) -> models.Holding:
    """The made holding with a tap and a tank, its first bed mulched and fed by the tap."""
    first, *others = now(made).beds
    first = replace(first, mulch="straw", mulch_cm=5.0, source="tap", watering="drip")
    sources = (WaterSource("tap", "mains"), WaterSource("shed", "roof", tank_l=1000.0))
    changed(made, beds=(first, *others), water_sources=sources)
    return made


def test_a_source_is_added_with_its_figures_as_the_report_has_them(
    client: Client, made: models.Holding
) -> None:
    typed = {
        "key": "well",
        "kind": "well",
        "ph": "7,4",
        "pressure_bar": "250 kPa",
        "tank_l": "2 m3",
    }
    answer = client.post(f"{AT}/rows/water_sources/add/", {**typed, "tested": "2026-01-20"})
    assert answer.status_code == 302, answer.content.decode()
    (found,) = now(made).water_sources
    assert (found.ph, found.pressure_bar, found.tank_l) == (7.4, 2.5, 2000.0)
    assert (found.tested, found.ec_ds_m, found.germs) == (date(2026, 1, 20), None, "untested")
    listed = page(client, "rows/water_sources/")
    for shown in ("Water sources", "pH", "pressure", "well"):
        assert shown in listed
    assert "roof kind" not in listed


def test_what_cannot_be_in_water_is_asked_at_its_field_and_nothing_is_lost(
    client: Client, made: models.Holding
) -> None:
    typed = {"key": "well", "kind": "well", "ph": "70", "tank_l": "0 l", "note": "by the gate"}
    answer = client.post(f"{AT}/rows/water_sources/add/", typed)
    html = unescape(answer.content.decode())
    assert answer.status_code == 422
    assert "7.0?" in html
    assert 'value="by the gate"' in html
    assert html.count("<details open>") == 1
    again = client.post(f"{AT}/rows/water_sources/add/", {**typed, "ph": "7.0"})
    assert "leave it empty when there is no tank" in unescape(again.content.decode())
    assert now(made).water_sources == ()


@pytest.mark.usefixtures("watered")
def test_what_few_people_fill_is_folded_and_the_fold_tells_what_is_there(
    client: Client, watered: models.Holding
) -> None:
    first = now(watered).beds[0].key
    html = page(client, f"rows/beds/row/{first}/")
    assert "<summary>The ground in more detail</summary>" in html
    told = "Cover and water: mulch straw, mulch depth 5, source tap, watering drip"
    assert f"<summary>{told}</summary>" in html
    before, _, folded = html.partition('<form class="form"')[2].partition("<details")
    assert 'name="soil"' in before
    for field in table_schema("beds").fields:
        assert (f'name="{field.name}"' in folded) == bool(field.section)


@pytest.mark.usefixtures("watered")
def test_the_table_of_beds_has_a_column_only_for_what_somebody_told(client: Client) -> None:
    html = page(client, "rows/beds/")
    heads = html.partition("One row for each piece")[2].split("</thead>")[0]
    assert ">mulch<" in heads
    assert ">source<" in heads
    for unsaid in ("cover", "sheltered", "organic matter", "ECe"):
        assert f">{unsaid}<" not in heads


@pytest.mark.usefixtures("made")
def test_a_new_row_opens_on_what_is_so_where_nobody_said_anything(client: Client) -> None:
    bed = page(client, "rows/beds/add/")
    for chosen in ("unknown", "full sun", "none", "open"):
        assert f'<option value="{chosen}" selected>' in bed
    source = page(client, "rows/water_sources/add/")
    assert '<option value="unknown" selected>' in source
    assert '<option value="untested" selected>' in source


def test_a_bed_saved_untouched_is_the_same_bed(client: Client, watered: models.Holding) -> None:
    before = now(watered)
    html = client.get(f"{AT}/rows/beds/row/{before.beds[0].key}/").content.decode()
    was = unescape(html.split('name="was" value="')[1].split('"')[0])
    answer = client.post(f"{AT}/rows/beds/row/{before.beds[0].key}/", {"was": was, "note": ""})
    assert answer.status_code == 302
    assert now(watered) == before


def test_a_source_that_a_bed_names_is_not_taken_away(
    client: Client, watered: models.Holding
) -> None:
    answer = client.post(f"{AT}/rows/water_sources/row/tap/", {"act": "remove"})
    assert "which is named in beds" in unescape(answer.content.decode())
    assert len(now(watered).water_sources) == 2
    client.post(f"{AT}/rows/water_sources/row/shed/", {"act": "remove"})
    assert [one.key for one in now(watered).water_sources] == ["tap"]
    change = watered.changes.first()
    assert change is not None
    undo(change.pk)
    assert [one.key for one in now(watered).water_sources] == ["tap", "shed"]


def test_settings_of_wind_and_watering_are_kept_and_shown_in_both_kinds_of_units(
    client: Client, made: models.Holding
) -> None:
    typed = {"site.wind_m_s": "9 km/h", "site.coast": "yes", "habits.watering": "sparing"}
    answer = client.post(f"{AT}/holding/settings/", {**typed, "habits.watering_every_days": "3"})
    assert answer.status_code == 302, answer.content.decode()
    holding = now(made)
    assert (holding.site.wind_m_s, holding.site.coast) == (2.5, True)
    assert (holding.habits.watering, holding.habits.watering_every_days) == ("sparing", 3)
    assert "2.5 m/s" in page(client, "holding/")
    changed(made, units="us")
    assert "5.59 mph" in page(client, "holding/")


def test_rain_is_written_down_for_the_whole_holding(client: Client, made: models.Holding) -> None:
    typed = {"kind": "rain", "day": "2026-03-29", "amount": "12,5"}
    answer = client.post(f"{AT}/write/", typed)
    assert answer.status_code == 302, answer.content.decode()
    record = now(made).records[-1]
    assert (record.kind, record.amount, record.unit, record.place) == ("rain", 12.5, "mm", "")


# the first ten minutes


@pytest.fixture
def no_child(monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    """Plans are asked for, but no child is started for them."""
    monkeypatch.setattr(runs, "start", lambda run: None)
    return lambda: None


@pytest.mark.usefixtures("no_child")
def test_where_water_comes_from_is_asked_and_becomes_sources_of_unknown_water(
    client: Client,
) -> None:
    assert "Where does water come from?" in client.get("/begin/?at=place").content.decode()
    answer_all(client, place={"water": ["roof", "well"]})
    assert begun().water_sources == (WaterSource("well", "well"), WaterSource("roof", "roof"))


@pytest.mark.usefixtures("no_child")
def test_not_to_say_where_water_comes_from_is_an_answer(client: Client) -> None:
    answer_all(client)
    assert begun().water_sources == ()


def test_a_source_ticked_and_unticked_is_not_kept(client: Client) -> None:
    send(client, "place", **(ANSWERS["place"] | {"water": ["mains"]}))
    ticked = client.get("/begin/?at=place").content.decode()
    assert 'name="water" value="mains" checked' in ticked
    send(client, "place", **ANSWERS["place"])
    assert 'value="mains" checked' not in client.get("/begin/?at=place").content.decode()
