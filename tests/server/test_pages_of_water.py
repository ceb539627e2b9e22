"""The page of water, and what other pages say of it."""

import re
from dataclasses import replace
from datetime import date, timedelta
from html import unescape
from itertools import pairwise
from typing import Any

import pytest
from django.test import Client

import made_plan
import made_water
from perennate.catalogue.reader import load_catalogue
from perennate.planning.plan import Plan
from perennate.server.store import models, reading
from perennate.server.store.carry import Carried, take_in
from perennate.terms import text

pytestmark = pytest.mark.django_db

WATER = "/at/hof/water/"
BEAN = "/at/hof/plantings/of/p-bean/"
BED = f"{WATER}?bed=S%C3%BCd+2"


@pytest.fixture(autouse=True)
def in_the_middle_of_june(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PERENNATE_TODAY", "2026-06-17")


@pytest.fixture(autouse=True)
def the_plan_as_it_was_made(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is shown is the made water, not what the planner would make of these beds."""
    monkeypatch.setattr("perennate.server.store.reading.with_hand", lambda made, *_: made)


def kept(plan: Plan) -> models.Holding:
    holding = made_water.watered_holding()
    return take_in(Carried(holding.site.name, holding, {}), "hof", plan)


def watered() -> Plan:
    """The made plan with its water, and two waterings this week among its jobs."""
    plan = made_water.watered_plan()
    crops = load_catalogue().crops
    plantings = tuple(one for one in plan.plantings if one.crop in crops)
    model = plan.jobs[0]
    jobs = tuple(
        replace(
            model,
            key=f"j-water-{bed}",
            kind="water",
            planting="",
            place=bed,
            earliest=date(2026, 6, 15),
            best=date(2026, 6, 15),
            latest=date(2026, 6, 21),
            quantity=litres,
            unit="l",
            why=text("made.job_for", aim="Haushalt", planting=bed),
        )
        for bed, litres in (("Süd 2", 62.0), ("Žleb", 40.0))
    )
    return replace(plan, plantings=plantings, jobs=(*plan.jobs, *jobs))


@pytest.fixture
def made(db: None, made_words: None) -> models.Holding:
    return kept(watered())


def page(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200, address
    html = answer.content.decode()
    return html[html.index("<main") : html.index("</main>")]


def words_of(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", html)).split())


def links(html: str) -> list[str]:
    return [unescape(one) for one in re.findall(r'href="([^"]*)"', html)]


def test_it_stands_among_the_sheets_and_says_what_the_season_takes(
    made: Any, client: Client
) -> None:
    html = client.get(WATER).content.decode()
    assert re.search(r'<a href="/at/hof/water/" aria-current="page">Water</a>', html)
    told = words_of(page(client, WATER))
    assert "Watering takes 3170 L over the plan" in told
    assert "On rain alone 23%" in told


def test_this_weeks_waterings_can_be_ticked_off(made: Any, client: Client) -> None:
    html = page(client, WATER)
    assert "Water, 102 L" in words_of(html), "a week's waterings are one line"
    assert 'value="j-water-Süd 2"' in html
    done = client.post("/at/hof/tick/", {"job": "j-water-Süd 2", "part": "no", "back": WATER})
    assert done.status_code == 302
    assert "Water, 102 L" not in words_of(page(client, WATER))
    assert "Water, 40 L" in words_of(page(client, WATER))


def test_every_bed_is_a_strip_that_leads_to_its_own_page(made: Any, client: Client) -> None:
    html = page(client, WATER)
    strips = set(re.findall(r'<a href="([^"]*)" class="bucket"', html))
    assert len(strips) == 5
    for one in strips:
        alone = page(client, unescape(one))
        assert "All beds" in words_of(alone)


def test_a_bed_chosen_has_its_own_water_alone(made: Any, client: Client) -> None:
    html = page(client, f"{WATER}?bed=S%C3%BCd+2")
    told = words_of(html)
    assert "Its crops and ground want" in told
    assert "Water, 62 L" in told
    assert "Water, 40 L" not in told
    assert "Dach" in told
    assert "Brunnen" not in told
    assert "p-bean" in html
    assert "p-carrot" not in html


def test_weeks_chosen_narrow_the_strips_and_what_falls_due(made: Any, client: Client) -> None:
    told = words_of(page(client, f"{WATER}?from=2026-12-07&to=2026-12-20"))
    assert "no bed wants watering" in told
    assert "In these weeks" in told


def test_a_bed_in_which_nothing_grows_and_a_place_without_water_say_so(
    db: None, made_words: None, client: Client
) -> None:
    plan = watered()
    assert plan.water is not None
    beds = tuple(one for one in plan.water.beds if one.bed != "Süd 3")
    kept(replace(plan, water=replace(plan.water, beds=beds)))
    assert "Nothing grows in Süd 3" in words_of(page(client, f"{WATER}?bed=S%C3%BCd+3"))
    assert "reckoned for beds" in words_of(page(client, f"{WATER}?bed=nursery"))


def test_a_well_without_analysis_is_unknown_and_never_safe(made: Any, client: Client) -> None:
    html = page(client, WATER)
    well = words_of(html[html.index("water_sources/row/Brunnen") :])
    assert "no analysis" in well
    assert "does not mean safe" in well


def test_tank_and_salt_are_drawn_and_told(made: Any, client: Client) -> None:
    html = page(client, WATER)
    assert 'id="tank-wide-1-title"' in html
    assert 'id="salt-1-title"' in html
    told = words_of(html)
    assert "Rain does not carry out what watering brings" in told
    assert "86% of what is asked" in told


def test_every_planting_with_water_has_a_row_that_leads_to_its_page(
    made: Any, client: Client
) -> None:
    html = page(client, WATER)
    table = html[html.index("water-plantings") :]
    found = [one for one in links(table) if "/plantings/of/" in one]
    assert len(found) == len(watered().plantings)
    for one in found:
        page(client, one)


def test_all_that_the_page_leads_to_is_there(made: Any, client: Client) -> None:
    for one in set(links(page(client, WATER))):
        if one.startswith("/"):
            assert client.get(one).status_code == 200, one


def test_a_plan_without_water_says_what_to_do(db: None, made_words: None, client: Client) -> None:
    kept(replace(watered(), water=None))
    told = words_of(page(client, WATER))
    assert "Plan again" in told
    assert "made before water was reckoned" in told
    assert "not reckoned in this plan" in words_of(page(client, BEAN))


def test_a_holding_without_a_plan_asks_for_one(db: None, client: Client) -> None:
    holding = made_plan.made_holding()
    take_in(Carried(holding.site.name, holding, {}), "hof", None)
    assert "There is no plan yet" in words_of(page(client, WATER))


def test_a_planting_tells_its_water_and_leads_to_its_beds(made: Any, client: Client) -> None:
    html = page(client, BEAN)
    assert "97% of the yield is left after drought" in words_of(html)
    assert any(one.startswith(f"{WATER}?bed=") for one in links(html))


def test_the_ground_tells_the_water_of_the_bed_chosen(made: Any, client: Client) -> None:
    told = words_of(page(client, "/at/hof/ground/?bed=S%C3%BCd+2&day=2026-06-17"))
    assert "Water in the week of 15 Jun 2026" in told


def test_the_page_asks_the_store_little(
    made: Any, client: Client, django_assert_max_num_queries: Any
) -> None:
    client.get(WATER)
    with django_assert_max_num_queries(8):
        client.get(WATER)


def test_it_needs_no_script_and_no_style_of_its_own(made: Any, client: Client) -> None:
    html = page(client, WATER)
    assert "<script" not in html
    assert " style=" not in html
    assert " onclick" not in html


def test_headings_go_down_one_step_at_a_time(made: Any, client: Client) -> None:
    for address in (WATER, f"{WATER}?bed=S%C3%BCd+2"):
        levels = [1, *(int(one) for one in re.findall(r"<h([1-6])", page(client, address)))]
        assert all(after - before <= 1 for before, after in pairwise(levels))


def test_us_units_are_shown_where_the_holding_has_them(
    db: None, made_words: None, client: Client
) -> None:
    plan = watered()
    holding = replace(made_water.watered_holding(), units="us")
    us = replace(plan, holding=replace(plan.holding, units="us"))
    take_in(Carried(holding.site.name, holding, {}), "hof", us)
    told = words_of(page(client, WATER))
    assert "US gal" in told
    assert " L " not in told
    assert not re.search(r"\d mm\b", told)


def test_weeks_past_the_plan_are_no_fault(made: Any, client: Client) -> None:
    far = date(2031, 1, 6)
    page(client, f"{WATER}?from={far}&to={far + timedelta(days=6)}")


def test_ways_of_watering_stand_beside_the_setting_that_chooses_one(
    made: Any, client: Client
) -> None:
    html = page(client, WATER)
    season = html[html.index('id="water-season"') :]
    season = season[: season.index("</section>")]
    assert "Watering sparingly would take 1270 L less and cost 8%" in words_of(season)
    assert "in full (this holding's) 3170 96 0%" in words_of(season)
    (to,) = (one for one in links(season) if one.startswith("/at/hof/holding/settings/"))
    settings = client.get(to.partition("#")[0]).content.decode()
    assert f'id="{to.partition("#")[2]}"' in settings


def test_all_drip_beds_are_told_in_zones_by_their_source(made: Any, client: Client) -> None:
    html = page(client, WATER)
    told = words_of(html[html.index('id="water-lines"') :])
    assert "What Dach can feed at once" in told
    assert "Süd 1, Süd 2" in told
    assert "What Leitung can feed at once" in told


def test_a_bed_on_drip_lines_has_them_drawn_with_parts_and_the_caution_beside(
    made: Any, client: Client
) -> None:
    html = page(client, f"{WATER}?bed=S%C3%BCd+3")
    part = html[html.index('id="water-lines"') :]
    part = part[: part.index("</section>")]
    assert 'id="drip-title"' in part
    assert "What drip lines would take" not in part
    told = words_of(part)
    assert "lines along the bed" in told
    assert "backflow preventer 1 piece" in told
    assert "local code" in told
    (to,) = (one for one in links(part) if "/reckon/drip-layout/" in one)
    assert "To get: backflow preventer" in words_of(page(client, to))


def test_a_bed_watered_otherwise_has_its_drip_lines_in_a_closed_fold(
    made: Any, client: Client
) -> None:
    html = page(client, f"{WATER}?bed=%C5%BDleb")
    part = html[html.index('id="water-lines"') :]
    assert part.index("<details><summary>What drip lines would take") < part.index("drip-title")


def test_what_would_hold_water_is_reckoned_when_it_is_asked_for(
    made: Any, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    real = reading.water_kept

    def counted(bed: str, *others: Any) -> Any:
        asked.append(bed)
        return real(bed, *others)

    monkeypatch.setattr("perennate.server.store.reading.water_kept", counted)
    html = page(client, BED)
    (to,) = {one for one in links(html) if "/water/kept/" in one}
    assert asked == []
    whole = words_of(page(client, to))
    piece = client.get(to, HTTP_HX_REQUEST="true").content.decode()
    assert asked == ["Süd 2"], "kept as long as the holding is the same"
    assert "<main" not in piece
    for told in (whole, words_of(piece)):
        assert "As it is the bed is given" in told
        assert "mulched, 5 cm deep" in told
        assert "under a shade net" in told


def test_what_would_hold_water_is_asked_of_a_bed_of_the_holding(made: Any, client: Client) -> None:
    assert client.get("/at/hof/water/kept/").status_code == 404
    assert client.get("/at/hof/water/kept/?bed=nursery").status_code == 404
    assert client.get("/at/hof/water/kept/?bed=nowhere").status_code == 404


def test_a_bed_without_plantings_has_nothing_to_hold_water_for(
    db: None, made_words: None, client: Client
) -> None:
    plan = watered()
    kept(replace(plan, plantings=tuple(one for one in plan.plantings if one.bed != "Süd 3")))
    told = words_of(page(client, "/at/hof/water/kept/?bed=S%C3%BCd+3"))
    assert "Nothing grows in Süd 3" in told


def test_a_beds_page_and_what_would_hold_water_ask_the_store_little(
    made: Any, client: Client, django_assert_max_num_queries: Any
) -> None:
    for address in (BED, "/at/hof/water/kept/?bed=S%C3%BCd+2"):
        client.get(address)
        with django_assert_max_num_queries(8):
            client.get(address)


def test_a_beds_page_shows_us_units_where_the_holding_has_them(
    db: None, made_words: None, client: Client
) -> None:
    plan = watered()
    holding = replace(made_water.watered_holding(), units="us")
    us = replace(plan, holding=replace(plan.holding, units="us"))
    take_in(Carried(holding.site.name, holding, {}), "hof", us)
    for address in (BED, "/at/hof/water/kept/?bed=S%C3%BCd+2"):
        told = words_of(page(client, address))
        assert "US gal" in told
        assert not re.search(r"\d (mm|cm|kPa|L|L/h)\b", told)
