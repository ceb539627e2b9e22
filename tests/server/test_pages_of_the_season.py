"""The pages of the season: ground, year, what to get, what to look out for, aims, plantings."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from html import unescape
from typing import Any, get_args, get_type_hints
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest
from django.test import Client
from django.urls import reverse

import made_plan
from perennate.catalogue.reader import load_catalogue
from perennate.planning.plan import Need
from perennate.server.pages.links import planting_href
from perennate.server.pages.sheet import open_sheet
from perennate.server.store import models
from perennate.server.store.carry import Carried, take_in
from perennate.server.store.reading import standing
from perennate.words import templates

pytestmark = pytest.mark.django_db

HOF = "/at/hof/"
CARROT = f"{HOF}plantings/of/p-carrot/"
CARROT_ACT = f"{HOF}plantings/act/p-carrot/"
PAGES = ("ground/", "year/", "to-get/", "look-out/", "aims/", "aims/Haushalt/")


@pytest.fixture
def made(db: None, made_words: None) -> models.Holding:
    """The made holding with its made plan, but for crops that the catalogue does not know."""
    crops = load_catalogue().crops
    plan = made_plan.made_plan()
    kept = tuple(one for one in plan.plantings if one.crop in crops)
    holding = made_plan.made_holding()
    carried = Carried(holding.site.name, holding, {})
    late = replace(plan.needs[0], key="late", by=date(2026, 5, 18), to_get=3.0)
    return take_in(carried, "hof", replace(plan, plantings=kept, needs=(*plan.needs, late)))


@pytest.fixture(autouse=True)
def on_the_sixth_of_april(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PERENNATE_TODAY", "2026-04-06")


def page(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200, address
    return answer.content.decode()


def main_of(html: str) -> str:
    """The part of a page that is its own, without what stands about every page."""
    return html[html.index("<main") : html.index("</main>")]


def words_of(html: str) -> str:
    """What a page says, in one line."""
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", html)).split())


def links(html: str) -> list[str]:
    return [unescape(one) for one in re.findall(r'href="([^"]*)"', html)]


def plantings_linked(html: str) -> set[str]:
    found = (re.search(r"/plantings/of/([^/]+)/", one) for one in links(html))
    return {one[1] for one in found if one}


def banner(client: Client, answer: Any) -> str:
    """What the page after an act says was changed."""
    assert answer.status_code == 302, words_of(answer.content.decode())
    html = page(client, answer["Location"])
    return words_of(html[html.index('class="changed"') :][:4000])


# the ground


def test_the_ground_shows_what_stands_on_the_day_asked_for(made: Any, client: Client) -> None:
    may = main_of(page(client, f"{HOF}ground/?day=2026-05-01"))
    september = main_of(page(client, f"{HOF}ground/?day=2026-09-01"))
    assert "p-carrot" in plantings_linked(may)
    assert "p-carrot" not in plantings_linked(september)


def test_the_ground_is_shown_on_the_first_of_the_days_chosen(made: Any, client: Client) -> None:
    html = main_of(page(client, f"{HOF}ground/?from=2026-07-06&to=2026-07-12"))
    assert "6 Jul 2026" in words_of(html)


def test_a_day_that_is_no_day_is_today(made: Any, client: Client) -> None:
    html = main_of(page(client, f"{HOF}ground/?day=2026-02-31"))
    assert "6 Apr 2026, today" in words_of(html)


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31"])
def test_the_ends_of_the_calendar_are_days_as_well(made: Any, client: Client, day: str) -> None:
    assert "A week on" in page(client, f"{HOF}ground/?day={day}")


def test_a_week_back_and_a_week_on_keep_the_bed(made: Any, client: Client) -> None:
    found = links(main_of(page(client, f"{HOF}ground/?bed=S%C3%BCd+1&day=2026-05-01")))
    assert "?bed=S%C3%BCd+1&day=2026-04-24" in found
    assert "?bed=S%C3%BCd+1&day=2026-05-08" in found


def test_a_bed_chosen_is_shown_alone(made: Any, client: Client) -> None:
    html = main_of(page(client, f"{HOF}ground/?bed=S%C3%BCd+1&day=2026-05-01"))
    assert "p-carrot" in plantings_linked(html)
    assert "p-bean" not in plantings_linked(html)


def test_every_planting_on_the_ground_leads_to_its_page(made: Any, client: Client) -> None:
    html = main_of(page(client, f"{HOF}ground/?day=2026-06-15"))
    found = {one for one in links(html) if "/plantings/of/" in one}
    assert len({one.split("?")[0] for one in found}) >= 2
    for one in found:
        page(client, one)


# the year


def test_the_year_shows_only_what_stands_in_the_weeks_chosen(made: Any, client: Client) -> None:
    whole = main_of(page(client, f"{HOF}year/"))
    march = main_of(page(client, f"{HOF}year/?from=2026-03-02&to=2026-03-15"))
    assert "p-carrot" in plantings_linked(whole)
    assert "p-carrot" not in plantings_linked(march)


def test_the_year_shows_only_the_bed_chosen(made: Any, client: Client) -> None:
    html = main_of(page(client, f"{HOF}year/?bed=S%C3%BCd+2"))
    assert plantings_linked(html) == {"p-bean"}


# what to get


def needs_of(store: models.Holding) -> list[Need]:
    plan = standing(store).plan
    assert plan is not None
    return sorted(plan.needs, key=lambda one: one.by)


def test_what_is_due_in_the_weeks_chosen_stands_between_before_and_later(
    made: models.Holding, client: Client
) -> None:
    wanted = [need for need in needs_of(made) if need.to_get > 0]
    days = sorted({need.by for need in wanted})
    day = days[len(days) // 2]
    html = main_of(page(client, f"{HOF}to-get/?from={day}&to={day}"))
    parts = re.split(r"<h2>", html)[1:]
    assert [part.split("<")[0] for part in parts] == ["Due by now", "Due in these weeks", "Later"]
    keys = [set(re.findall(r'id="need-([^"]*)"', part.split("</section>")[0])) for part in parts]
    assert keys[0] == {need.key for need in wanted if need.by < day}
    assert keys[1] == {need.key for need in wanted if need.by == day}
    assert keys[2] == {need.key for need in wanted if need.by > day}


def test_what_there_is_enough_of_is_told_apart(made: models.Holding, client: Client) -> None:
    html = main_of(page(client, f"{HOF}to-get/"))
    rest = html[html.index("There is enough of the rest") :]
    enough = {need.key for need in needs_of(made) if need.to_get <= 0}
    assert set(re.findall(r'id="need-([^"]*)"', rest)) == enough


def test_a_need_is_reckoned_through_when_that_is_asked(
    made: models.Holding, client: Client
) -> None:
    need = needs_of(made)[0]
    plain = main_of(page(client, f"{HOF}to-get/"))
    asked = main_of(page(client, f"{HOF}to-get/?why={need.key}"))
    assert 'class="working"' not in plain
    assert "there already" in words_of(asked[asked.index('class="working"') :])


# what to look out for


def test_findings_lead_to_what_they_are_about(made: Any, client: Client) -> None:
    html = main_of(page(client, f"{HOF}look-out/"))
    assert any("/plantings/of/" in one or "/aims/" in one for one in links(html))
    for one in links(html):
        page(client, one)


def test_every_rule_of_the_checks_has_a_name(made: Any) -> None:
    rules = {
        code.removeprefix("check.").removesuffix(".remedy")
        for code in templates()
        if code.startswith("check.") and code.endswith(".remedy")
    }
    assert "frost.risk" in rules
    assert {rule for rule in rules if f"page.rule.{rule}" not in templates()} == set()


def test_every_kind_of_need_has_a_name() -> None:
    kinds = get_args(get_type_hints(Need)["kind"])
    assert [kind for kind in kinds if f"page.need.{kind}" not in templates()] == []


def test_findings_are_narrowed_to_the_bed_chosen(made: Any, client: Client) -> None:
    whole = main_of(page(client, f"{HOF}look-out/"))
    corner = main_of(page(client, f"{HOF}look-out/?bed=%3DEcke"))
    assert whole.count('class="finding ') > corner.count('class="finding ')


def test_at_most_five_findings_are_told_first_and_the_rest_by_rule(
    made: Any, client: Client
) -> None:
    plan = standing(made).plan
    assert plan is not None
    one = plan.findings[0]
    object.__setattr__(plan, "findings", (one,) * 7)
    html = main_of(page(client, f"{HOF}look-out/"))
    first = html[: html.index("<details")] if "<details" in html else html
    assert first.count('class="finding ') <= 5


# aims


def test_an_aim_says_how_far_it_is_met_and_what_is_expected(made: Any, client: Client) -> None:
    said = words_of(main_of(page(client, f"{HOF}aims/")))
    assert "41% of" in said
    assert "expected" in said


def test_the_household_says_what_is_not_covered(made: Any, client: Client) -> None:
    assert "Vitamin B12 is not covered" in words_of(page(client, f"{HOF}aims/"))


def test_the_working_tells_the_gap_and_what_more_ground_would_bring(
    made: Any, client: Client
) -> None:
    said = words_of(main_of(page(client, f"{HOF}aims/")))
    assert "The working" in said
    assert "One more square metre" in said


def test_the_weeks_are_drawn_only_when_that_is_asked(made: Any, client: Client) -> None:
    assert "drawn-chart" not in page(client, f"{HOF}aims/")
    asked = page(client, f"{HOF}aims/?chart=weeks")
    assert "drawn-chart" in asked
    assert "drawn-table" in asked[asked.index("drawn-chart") :]


def test_an_aim_that_is_not_there_is_not_found(made: Any, client: Client) -> None:
    assert client.get(f"{HOF}aims/nothing/").status_code == 404


# a planting


def test_a_planting_tells_where_it_stands_and_when(made: Any, client: Client) -> None:
    said = words_of(main_of(page(client, CARROT)))
    assert "Süd 1 , from 0 m on, 2 m long, 1.2 m wide" in said
    assert "6 Apr 2026 until 24 Aug 2026" in said
    assert "9.61 kg (4.2 to 16.8)" in said


def test_a_planting_that_is_not_in_the_plan_is_not_found(made: Any, client: Client) -> None:
    assert client.get(f"{HOF}plantings/of/nothing/").status_code == 404


def test_to_look_at_an_act_leads_to_the_planting(made: Any, client: Client) -> None:
    answer = client.get(CARROT_ACT)
    assert (answer.status_code, answer["Location"]) == (302, CARROT)


def test_an_act_that_is_only_tried_changes_nothing(made: Any, client: Client) -> None:
    before = models.Change.objects.count()
    answer = client.post(CARROT_ACT, {"act": "move", "start_m": "3", "try": "yes"})
    assert answer.status_code == 200
    said = words_of(answer.content.decode())
    assert "Nothing is saved yet" in said
    assert "moves from Süd 1, 0 m along, to Süd 1, 3 m along" in said
    assert models.Change.objects.count() == before


def test_a_planting_is_moved_and_the_page_says_so(made: Any, client: Client) -> None:
    answer = client.post(CARROT_ACT, {"act": "move", "bed": "Süd 3", "start_m": "3,5 m"})
    said = banner(client, answer)
    assert "moves from Süd 1, 0 m along, to Süd 3, 3.5 m along" in said
    assert "Take it back" in said


def test_a_planting_moved_to_a_shorter_bed_is_placed_where_it_fits(
    made: Any, client: Client
) -> None:
    client.post(CARROT_ACT, {"act": "move", "start_m": "3.5"})
    client.post(CARROT_ACT, {"act": "move", "bed": "=Ecke", "start_m": "3.5"})
    assert "=Ecke , from 0.5 m on, 2 m long" in words_of(main_of(page(client, CARROT)))


def test_a_move_is_taken_back(made: Any, client: Client) -> None:
    client.post(CARROT_ACT, {"act": "move", "bed": "Süd 3"})
    number = models.Change.objects.count()
    client.post(f"{HOF}changes/{number}/undo/", {"back": CARROT})
    assert "Süd 1 , from 0 m on" in words_of(main_of(page(client, CARROT)))


def test_a_move_beyond_the_bed_is_refused_at_its_field(made: Any, client: Client) -> None:
    before = models.Change.objects.count()
    answer = client.post(CARROT_ACT, {"act": "move", "start_m": "5"})
    assert answer.status_code == 422
    html = answer.content.decode()
    assert "which is 6 m long" in words_of(html)
    assert 'value="5"' in html
    assert models.Change.objects.count() == before


def test_a_place_that_is_no_number_is_told_at_its_field(made: Any, client: Client) -> None:
    answer = client.post(CARROT_ACT, {"act": "split", "start_m": "half"})
    assert answer.status_code == 422
    html = answer.content.decode()
    field = html[html.index('id="split-start_m"') :][:600]
    assert 'aria-invalid="true"' in field
    assert "half" in field


def test_an_act_that_is_not_known_is_not_found(made: Any, client: Client) -> None:
    assert client.post(CARROT_ACT, {"act": "eat"}).status_code == 404


def test_a_planting_fixed_is_fixed_from_then_on(made: Any, client: Client) -> None:
    assert "is fixed" in banner(client, client.post(CARROT_ACT, {"act": "fix"}))
    assert "how sure fixed" in words_of(main_of(page(client, CARROT)))


def test_a_planting_wished_for_can_be_left_to_the_planner_again(made: Any, client: Client) -> None:
    client.post(CARROT_ACT, {"act": "wish"})
    assert "how sure wished" in words_of(main_of(page(client, CARROT)))
    client.post(CARROT_ACT, {"act": "let_go"})
    assert "how sure planned" in words_of(main_of(page(client, CARROT)))


def test_a_planting_is_made_longer_in_feet(made: Any, client: Client) -> None:
    client.post(CARROT_ACT, {"act": "resize", "length_m": "10 ft"})
    assert "3.05 m long" in words_of(main_of(page(client, CARROT)))


def test_in_feet_a_length_left_as_it_was_shown_is_the_same_length(
    db: None, made_words: None, client: Client
) -> None:
    holding, plan = made_plan.made_holding(), made_plan.made_plan()
    whole = replace(plan.plantings[0], length_m=6.0)
    other = replace(plan, plantings=(whole,), holding=replace(plan.holding, units="us"))
    take_in(Carried("Hof", replace(holding, units="us"), {}), "hof", other)
    shown = re.search(r'id="resize-length_m" name="length_m" value="([^"]*)"', page(client, CARROT))
    assert shown
    assert shown[1] == "19.69 ft"  # 6 m, and the bed is not a hair longer
    answer = client.post(CARROT_ACT, {"act": "resize", "length_m": shown[1]})
    assert answer.status_code == 302


def test_a_planting_split_stands_in_two_pieces(made: Any, client: Client) -> None:
    client.post(CARROT_ACT, {"act": "split", "start_m": "1.5"})
    assert "from 0 m on, 1.5 m long" in words_of(main_of(page(client, CARROT)))
    ground = main_of(page(client, f"{HOF}ground/?bed=S%C3%BCd+1&day=2026-05-01"))
    assert len(plantings_linked(ground)) == 2


def test_a_planting_dropped_leads_to_the_ground_where_it_was(made: Any, client: Client) -> None:
    answer = client.post(CARROT_ACT, {"act": "drop"})
    assert answer["Location"].startswith(f"{HOF}ground/?bed=S%C3%BCd+1&day=2026-04-06")
    assert "p-carrot" not in plantings_linked(main_of(page(client, answer["Location"])))
    assert client.get(CARROT).status_code == 404


def test_a_crop_refused_in_a_bed_is_gone_from_it(made: Any, client: Client) -> None:
    answer = client.post(CARROT_ACT, {"act": "refuse", "bed": "Süd 1"})
    assert "is gone" in banner(client, answer)
    row = standing(models.Holding.objects.get()).holding.plantings[-1]
    assert (row.hand, row.crop, row.bed) == ("refused", "carrot", "Süd 1")


# a planting of one's own


def test_a_planting_is_added_and_stands_on_the_ground(made: Any, client: Client) -> None:
    given = {"crop": "carrot", "bed": "Süd 3", "sown": "2026-05-04", "length_m": "2"}
    answer = client.post(f"{HOF}plantings/add/", {**given, "hand": "fixed"})
    assert "added" in banner(client, answer)
    said = words_of(main_of(page(client, f"{HOF}ground/?bed=S%C3%BCd+3&day=2026-05-05")))
    assert "Carrot" in said


def test_a_planting_to_be_added_can_be_tried_first(made: Any, client: Client) -> None:
    before = models.Change.objects.count()
    given = {"crop": "Carrot", "bed": "Süd 3", "sown": "2026-05-04", "hand": "fixed", "try": "yes"}
    answer = client.post(f"{HOF}plantings/add/", given)
    assert "is added" in words_of(answer.content.decode())
    assert models.Change.objects.count() == before


def test_a_planting_without_a_known_crop_is_told_at_its_field(made: Any, client: Client) -> None:
    given = {"crop": "moonwort", "bed": "Süd 3", "sown": "2026-05-04", "hand": "fixed"}
    answer = client.post(f"{HOF}plantings/add/", given)
    assert answer.status_code == 422
    html = answer.content.decode()
    field = html[html.index('id="add-crop"') :][:500]
    assert "moonwort" in field
    assert 'aria-invalid="true"' in field


def test_the_address_fills_the_form_of_a_planting(made: Any, client: Client) -> None:
    html = page(client, f"{HOF}plantings/add/?crop=carrot&bed=S%C3%BCd+2")
    assert 'value="carrot"' in html
    assert '<option value="Süd 2" selected>' in html


# what stands about every page


@pytest.mark.parametrize("name", PAGES)
def test_a_page_asks_the_store_little(
    made: Any, client: Client, django_assert_max_num_queries: Callable[..., Any], name: str
) -> None:
    page(client, HOF + name)
    with django_assert_max_num_queries(12):
        page(client, HOF + name)


@pytest.mark.parametrize("name", ["plantings/add/", "plantings/of/p-carrot/", "plans/1/", ""])
def test_a_page_of_one_thing_asks_the_store_little(
    made: Any, client: Client, django_assert_max_num_queries: Callable[..., Any], name: str
) -> None:
    page(client, HOF + name)
    with django_assert_max_num_queries(12):
        page(client, HOF + name)


@pytest.mark.parametrize("name", PAGES)
def test_every_page_can_be_narrowed_by_strip_and_plan(made: Any, client: Client, name: str) -> None:
    html = page(client, f"{HOF}{name}?from=2026-05-04&to=2026-05-10&bed=S%C3%BCd+1")
    found = links(html[: html.index("<main")])
    assert "?bed=S%C3%BCd+1&from=2026-05-11&to=2026-05-17" in found
    assert "?from=2026-05-04&to=2026-05-10&bed=S%C3%BCd+2" in found


def test_a_bed_of_any_name_is_kept_by_the_strip(db: None, made_words: None, client: Client) -> None:
    holding, key = made_plan.made_holding(), 'a" href="?b=<i>&c'
    odd = replace(holding, beds=(replace(holding.beds[0], key=key), *holding.beds[1:]))
    take_in(Carried("Hof", odd, {}), "hof", made_plan.made_plan())
    html = page(client, f"{HOF}ground/?" + urlencode({"bed": key}))
    strip = html[html.index("drawn-strip") : html.index("drawn-plan")]
    weeks = [parse_qs(urlsplit(one).query) for one in links(strip)]
    assert weeks
    assert all(week["bed"] == [key] and "from" in week for week in weeks)


def test_the_strip_of_another_day_is_drawn_anew(
    made: Any, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def strip() -> str:
        html = page(client, f"{HOF}ground/?day=2026-05-01")
        return html[html.index("drawn-strip") : html.index("<main")]

    before = strip()
    monkeypatch.setenv("PERENNATE_TODAY", "2026-05-11")
    assert strip() != before


@pytest.mark.parametrize("key", ["a/b", "what?", "Žleb & Söhne", "50%", "a#b", '+1 "two"'])
def test_addresses_given_out_by_the_hundred_are_those_of_the_pages(
    made: Any, rf: Any, key: str
) -> None:
    sheet = open_sheet(rf.get(HOF), "hof")
    assert planting_href(sheet)(key) == reverse("planting", args=("hof", key))


def test_without_a_plan_every_page_says_so(made: Any, client: Client) -> None:
    models.Holding.objects.update(plan=None)
    for name in ("ground/", "year/", "to-get/", "look-out/", "aims/"):
        assert "There is no plan yet" in words_of(main_of(page(client, HOF + name)))
