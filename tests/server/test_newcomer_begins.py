"""What stood in the way of someone who begins with no habit of computers."""

from typing import Any

import pytest
from django.test import Client

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _in_november(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PERENNATE_TODAY", "2026-11-25")


def eats(client: Client, *more: str, chosen: tuple[str, ...] = ()) -> Any:
    return client.post("/begin/?at=eats", {"act": "on", "eats": list(chosen), "more": list(more)})


def test_names_that_are_known_become_ticks_and_only_what_is_not_stays_to_be_mended(
    client: Client,
) -> None:
    page = eats(client, "carrots, beans, kale").content.decode()
    assert 'value="carrot" checked' in page
    assert 'value="kale" checked' in page
    assert 'name="more" value="beans"' in page
    assert page.count('class="wrong"') == 1


def test_a_name_that_could_be_several_is_settled_by_choosing_one(client: Client) -> None:
    assert eats(client, "carrots, beans").status_code == 422
    answer = eats(client, "beans", chosen=("carrot", "bean_snap_bush"))
    assert answer.status_code == 302
    assert answer.headers["Location"].endswith("at=seeds")


def test_a_name_with_a_comma_in_brackets_is_one_name(client: Client) -> None:
    """The list of suggestions offers such names."""
    assert eats(client, "Pea (garden, shelling), Carrot").status_code == 302
    assert 'value="carrot" checked' in client.get("/begin/?at=eats").content.decode()


def test_what_cannot_be_planned_yet_stays_chosen(client: Client) -> None:
    assert eats(client, "asparagus, carrots").status_code == 302
    page = client.get("/begin/?at=eats").content.decode()
    assert "Noted, but not planned yet" in page
    assert 'value="asparagus" checked' in page


def test_a_crop_that_is_not_known_may_be_left_out(client: Client) -> None:
    answer = client.post(
        "/begin/?at=standing",
        {"act": "on", "stand_crop": ["qqqq"], "stand_bed": [""], "stand_since": [""]},
    )
    assert "or nothing here: not every crop is known yet" in answer.content.decode()


def test_guessed_amounts_are_read_in_the_units_that_were_chosen(client: Client) -> None:
    for screen, typed in (
        ("place", {"position": "5 N", "units": "us"}),
        ("frost", {"frost": "none"}),
        ("beds", {"bed_count": ["2"], "bed_length": ["20"], "bed_width": ["4"]}),
        ("standing", {}),
        ("eats", {"eats": ["okra", "carrot"]}),
        ("seeds", {}),
        ("people", {"adults": "2"}),
    ):
        assert client.post(f"/begin/?at={screen}", typed).status_code == 302, screen
    page = client.get("/begin/?at=check").content.decode()
    assert " lb" in page
    assert " kg" not in page
