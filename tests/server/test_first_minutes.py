"""Someone who begins, without account or file: from the first question to the first plan."""

from datetime import date
from hashlib import sha512
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client

from perennate.catalogue.reader import load_catalogue
from perennate.holding.model import Holding
from perennate.server.pages.first_answers import read_screen
from perennate.server.store import models
from perennate.server.store.rows import holding_of
from perennate.server.work import runs

pytestmark = pytest.mark.django_db

JUNE = "2026-06-10"

ANSWERS: dict[str, dict[str, Any]] = {
    "place": {"position": "47.1 N, 8.6 E", "height": "430 m", "name": "Ödhof", "units": "metric"},
    "frost": {"frost": "remembered", "last_frost": "mid May", "first_frost": "5 October"},
    "beds": {
        "bed_count": ["4", ""],
        "bed_length": ["6", ""],
        "bed_width": ["1,2", ""],
        "bed_light": ["full sun", ""],
    },
    "standing": {
        "stand_crop": ["potatoes", ""],
        "stand_bed": ["2", ""],
        "stand_since": ["April", ""],
    },
    "eats": {"eats": ["carrot", "kale"], "more": ["tomatoes; leek"]},
    "seeds": {"seed_crop": ["carrot"], "seed_variety": ["Sandry"], "seed_year": ["2024"]},
    "people": {"adults": "2", "children": "1", "bench": "window sill", "hours": "6"},
}


@pytest.fixture(autouse=True)
def _in_june(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PERENNATE_TODAY", JUNE)


@pytest.fixture
def no_child(monkeypatch: pytest.MonkeyPatch) -> None:
    """Plans are asked for, but no child is started for them."""
    monkeypatch.setattr(runs, "start", lambda run: None)


def send(client: Client, screen: str, act: str = "on", **typed: Any) -> Any:
    return client.post(f"/begin/?at={screen}", {"act": act, **typed})


def answer_all(client: Client, **instead: dict[str, Any]) -> Any:
    """Every screen sent in turn; gives the answer to the last one that was asked for."""
    for screen, typed in ANSWERS.items():
        answer = send(client, screen, **(typed | instead.get(screen, {})))
        assert answer.status_code == 302, answer.content.decode()
    return send(client, "check")


def begun() -> Holding:
    return holding_of(models.Holding.objects.get())


def where(answer: Any) -> str:
    """The screen that an answer leads to."""
    return str(parse_qs(urlsplit(answer.headers["Location"]).query)["at"][0])


def test_an_empty_store_leads_to_the_first_question(client: Client) -> None:
    assert client.get("/").headers["Location"] == "/begin/"
    assert b"Where is it?" in client.get("/begin/").content


@pytest.mark.usefixtures("no_child")
def test_a_few_answers_make_a_holding_with_beds_aims_and_what_stands(client: Client) -> None:
    answer_all(client)
    holding = begun()
    assert (holding.site.name, holding.site.latitude_deg, holding.site.elevation_m) == (
        "Ödhof",
        47.1,
        430,
    )
    assert [bed.key for bed in holding.beds] == ["b1", "b2", "b3", "b4"]
    assert {aim.crop for aim in holding.aims} == {"carrot", "kale", "tomato", "leek"}
    (standing,) = holding.plantings
    assert (standing.crop, standing.bed, standing.ground_from) == (
        "potato",
        "b2",
        date(2026, 4, 15),
    )
    assert holding.lots[0].variety == "Sandry"
    assert len(holding.people) == 3


@pytest.mark.usefixtures("no_child")
def test_a_plan_is_asked_for_at_once_and_this_week_is_shown(client: Client) -> None:
    answer = answer_all(client)
    run = models.PlanRun.objects.get()
    assert (run.state, run.as_of) == ("waiting", date(2026, 6, 10))
    assert answer.headers["Location"] == "/at/%C3%B6dhof/?from=2026-06-10&to=2026-06-16"
    page = client.get(answer.headers["Location"]).content.decode()
    assert "<progress" in page


@pytest.mark.usefixtures("no_child")
def test_what_was_guessed_stands_marked_on_the_last_screen_and_on_the_holding(
    client: Client,
) -> None:
    for screen, typed in ANSWERS.items():
        send(client, screen, **(typed | ({"height": ""} if screen == "place" else {})))
    summary = client.get("/begin/?at=check").content.decode()
    assert '<span class="assumed">200 m, assumed</span>' in summary
    answer = send(client, "check")
    assert "site.elevation_m" in begun().assumed
    slug = answer.headers["Location"].split("/")[2]
    page = client.get(f"/at/{slug}/holding/").content.decode()
    assert 'name="name" value="site.elevation_m"' in page


def test_going_back_loses_nothing(client: Client) -> None:
    send(client, "place", **ANSWERS["place"])
    answer = send(client, "frost", act="back", frost="none", coldest="not sure")
    assert where(answer) == "place"
    assert 'value="47.1 N, 8.6 E"' in client.get("/begin/?at=place").content.decode()
    frost = client.get("/begin/?at=frost").content.decode()
    assert 'value="none" checked' in frost
    assert 'value="not sure"' in frost


def test_nonsense_is_said_at_its_field_and_stays_to_be_mended(client: Client) -> None:
    answer = send(client, "place", position="behind the mill", height="very")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "“behind the mill” was found" in page
    assert "“very” was found; expected a number from -430 to 6000 m" in page
    assert 'value="behind the mill"' in page
    assert 'value="behind the mill"' in client.get("/begin/").content.decode()


def test_every_fault_of_a_screen_is_said_in_one_go(client: Client) -> None:
    send(client, "place", **ANSWERS["place"])
    answer = send(
        client,
        "beds",
        bed_count=["two", "1"],
        bed_length=["6", "900"],
        bed_width=["", "1"],
        bed_light=["", ""],
    )
    page = answer.content.decode()
    assert "“two” was found" in page
    assert "“900” was found; expected a number from 0.1 to 500 m" in page
    assert page.count('class="wrong"') == 3


def test_a_crop_misspelt_is_met_with_those_that_may_be_meant(client: Client) -> None:
    answer = send(client, "eats", more=["beans, kael"])
    page = answer.content.decode()
    assert answer.status_code == 422
    assert '<input type="checkbox" name="eats" value="bean_snap_bush">' in page
    assert '<input type="checkbox" name="eats" value="kale">' in page


@pytest.mark.parametrize("screen", ["standing", "seeds"])
def test_a_screen_of_rows_may_be_left_empty(client: Client, screen: str) -> None:
    assert send(client, screen).status_code == 302


def test_more_lines_keep_what_was_typed(client: Client) -> None:
    answer = send(client, "standing", act="more", stand_crop=["kale", "leek", "chard"])
    page = client.get(answer.headers["Location"]).content.decode()
    assert page.count('name="stand_crop"') == 6
    assert 'value="chard"' in page


@pytest.mark.usefixtures("no_child")
def test_in_us_units_a_bare_number_is_feet_and_fahrenheit(client: Client) -> None:
    answer_all(
        client,
        place={"units": "us", "height": "1400"},
        frost={"coldest": "14"},
        beds={"bed_length": ["20", ""], "bed_width": ["4 ft", ""]},
    )
    holding = begun()
    assert holding.units == "us"
    assert holding.beds[0].length_m == pytest.approx(6.096)
    assert holding.site.elevation_m == pytest.approx(426.72)
    assert holding.site.remembered.coldest_night_c == pytest.approx(-10.0)


@pytest.mark.usefixtures("no_child")
def test_south_of_the_equator_the_year_begins_in_july_and_that_is_marked(client: Client) -> None:
    answer_all(
        client,
        place={"position": "41.2 S, 174.8 E"},
        frost={"last_frost": "mid September", "first_frost": "end of May"},
    )
    holding = begun()
    assert holding.site.latitude_deg == -41.2
    assert holding.site.remembered.last_frost == (9, 15)
    assert holding.year_start == (7, 1)
    assert "plan.year_start" in holding.assumed


@pytest.mark.usefixtures("no_child")
def test_where_there_is_never_frost_months_of_rain_are_taken(client: Client) -> None:
    answer_all(
        client,
        place={"position": "5.3 N"},
        frost={"frost": "none", "last_frost": "", "first_frost": "", "wet": ["6", "7"]},
    )
    remembered = begun().site.remembered
    assert remembered.no_frost
    assert remembered.wet_months == (6, 7)


@pytest.mark.usefixtures("no_child")
def test_not_to_know_of_frost_is_an_answer(client: Client) -> None:
    answer_all(client, frost={"frost": "unknown"})
    remembered = begun().site.remembered
    assert (remembered.last_frost, remembered.first_frost, remembered.no_frost) == (
        None,
        None,
        False,
    )


def test_the_last_screen_sends_back_to_what_is_still_lacking(client: Client) -> None:
    send(client, "place", **ANSWERS["place"])
    assert where(client.get("/begin/?at=check")) == "frost"
    assert where(send(client, "check")) == "frost"
    assert not models.Holding.objects.exists()


def test_a_cookie_of_another_make_is_no_answer(client: Client) -> None:
    client.cookies["begun"] = "forged:words"
    assert client.get("/begin/").status_code == 200


def test_more_than_the_beginning_can_keep_is_refused_in_words(client: Client) -> None:
    names = [sha512(bytes([number])).hexdigest() for number in range(40)]
    answer = send(client, "seeds", seed_crop=names, seed_variety=names[::-1])
    assert answer.status_code == 422
    assert b"more than the beginning can keep" in answer.content


@pytest.mark.usefixtures("no_child")
def test_two_holdings_of_one_name_stand_beside_each_other(client: Client) -> None:
    answer_all(client)
    answer_all(client)
    assert list(models.Holding.objects.values_list("slug", flat=True)) == ["ödhof", "ödhof-2"]


@pytest.mark.parametrize(
    ("written", "found"),
    [
        ("10 May", (5, 10)),
        ("05-10", (5, 10)),
        ("mid May", (5, 15)),
        ("mid-May", (5, 15)),
        ("End of May", (5, 28)),
        ("May", (5, 15)),
    ],
)
def test_days_of_frost_may_be_said_roughly(written: str, found: tuple[int, int]) -> None:
    typed = {"frost": ["remembered"], "last_frost": [written]}
    told = read_screen("frost", typed, load_catalogue(), date(2026, 6, 10))
    assert told.said["last_frost"] == found


def test_a_day_that_reads_two_ways_is_not_guessed() -> None:
    typed = {"frost": ["remembered"], "last_frost": ["5/6"]}
    told = read_screen("frost", typed, load_catalogue(), date(2026, 6, 10))
    assert list(told.wrong) == ["last_frost"]


def test_every_screen_fits_its_labels_to_its_fields(client: Client) -> None:
    send(client, "place", **ANSWERS["place"])
    for screen in ANSWERS:
        page = client.get(f"/begin/?at={screen}")
        text = page.content.decode()
        assert text.count("<h1>") == 1
        for part in text.split("<input ")[1:]:
            field = part.split(">")[0]
            named = 'type="hidden"' in field or 'id="' in field or "radio" in field
            assert named or "checkbox" in field, field
