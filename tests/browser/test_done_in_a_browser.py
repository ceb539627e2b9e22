"""What a person does: begin, take in, plan, stop, tick, move, take back."""

import re
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from playwright.sync_api import Page, expect

PLANNED_MS = 150_000
"""So long a small plan may take on a busy machine."""


def _count(store: Path, question: str) -> int:
    with closing(sqlite3.connect(store / "perennate.sqlite3")) as database:
        return int(database.execute(question).fetchone()[0])


def _begin(page: Page, address: str, position: str, last: str, first: str) -> None:
    """Answer every screen of the first ten minutes as someone in a hurry does."""
    page.goto(address)
    expect(page.locator("h1")).to_have_text("Where is it?")
    page.get_by_label("Position").fill(position)
    page.get_by_label("What is it called?").fill("Žofia's nook")
    page.get_by_role("button", name="Next").click()
    page.get_by_label("Last frost before the warm season").fill(last)
    page.get_by_label("First frost after it").fill(first)
    page.get_by_role("button", name="Next").click()
    page.get_by_label("How many alike").first.fill("2")
    page.get_by_label("How long, in metres").first.fill("4,5")
    page.get_by_label("How wide, in metres").first.fill("1.2")
    page.get_by_role("button", name="Next").click()
    page.get_by_label("What", exact=True).first.fill("garlic")
    page.get_by_label("In bed number").first.fill("1")
    page.get_by_role("button", name="Next").click()
    for crop in ("Carrot", "Potato", "Lettuce (leaf)"):
        page.get_by_label(crop, exact=True).check()
    page.get_by_label("Something else", exact=True).fill("beetroot")
    page.get_by_role("button", name="Next").click()
    page.get_by_role("button", name="Next").click()
    page.get_by_role("button", name="Next").click()
    expect(page.locator("h1")).to_have_text("Is this right?")


def test_the_first_ten_minutes_end_in_work_for_this_week(  # type: ignore[no-untyped-def]
    serve: Callable, tmp_path: Path, page: Page
) -> None:
    site = serve(tmp_path / "empty", "2026-04-13")
    page.set_viewport_size({"width": 360, "height": 780})
    page.goto(site.address)
    page.get_by_role("button", name="Next").click()
    expect(page.get_by_role("alert")).to_contain_text("Nothing is lost")
    _begin(page, site.address, "50°30'N 12°10'E", "10 May", "5 October")
    expect(page.locator("main")).to_contain_text("assumed")
    page.get_by_role("button", name="Make my first plan").click()
    expect(page.locator("#run")).to_contain_text("A plan is being made")
    lines = page.locator(".line")
    expect(lines.nth(2)).to_be_visible(timeout=PLANNED_MS)
    expect(page.locator(".title-block")).to_contain_text("13 Apr 2026")


def test_ten_minutes_in_a_southern_june_with_a_crop_standing(  # type: ignore[no-untyped-def]
    serve: Callable, tmp_path: Path, page: Page
) -> None:
    site = serve(tmp_path / "south", "2026-06-15")
    _begin(page, site.address, "-37,8 144,9", "15 September", "1 May")
    page.get_by_role("button", name="Make my first plan").click()
    expect(page.locator(".line").first).to_be_visible(timeout=PLANNED_MS)
    page.locator(".sheets a", has_text="Year").click()
    expect(page.locator("main")).to_contain_text("Garlic")


def test_a_file_is_taken_in_planned_stopped_and_planned_again(  # type: ignore[no-untyped-def]
    changing, serve: Callable, tmp_path: Path, page: Page
) -> None:
    page.goto(changing.at("/at/demo/holding/"))
    with page.expect_download() as waited:
        page.get_by_role("link", name="Holding as .zip").click()
    archive = tmp_path / "taken.zip"
    waited.value.save_as(archive)
    page.goto(changing.at("/?all"))
    page.locator("input[type=file]").set_input_files(archive)
    page.get_by_role("button", name="Take it in").click()
    page.wait_for_url("**/at/demo-2/" if "demo-2" in page.url else "**/at/anderlow**")
    page.get_by_label("look").select_option("quick")
    page.get_by_role("button", name="Make a plan").click()
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("#run")).to_contain_text("Planning was stopped")
    assert _count(changing.store, "select count(*) from store_plan") == 1
    page.get_by_label("look").select_option("quick")
    page.get_by_role("button", name="Make a plan").click()
    expect(page.locator(".line").first).to_be_visible(timeout=PLANNED_MS)
    assert _count(changing.store, "select count(*) from store_plan") == 2


def test_a_file_that_is_no_holding_is_refused_with_its_reasons(  # type: ignore[no-untyped-def]
    changing, tmp_path: Path, page: Page
) -> None:
    nonsense = tmp_path / "bild.zip"
    nonsense.write_bytes(b"\x89PNG no archive at all")
    page.goto(changing.at("/?all"))
    page.locator("input[type=file]").set_input_files(nonsense)
    page.get_by_role("button", name="Take it in").click()
    expect(page.locator("h1")).to_have_text("Not taken in")
    assert _count(changing.store, "select count(*) from store_holding") == 1


def test_a_tick_is_kept_and_can_be_taken_back(changing, page: Page) -> None:  # type: ignore[no-untyped-def]
    page.goto(changing.at("/at/demo/"))
    ticks = "select count(*) from store_record where job <> ''"
    before = _count(changing.store, ticks)
    title = page.locator(".line strong").first.inner_text()
    page.get_by_role("button", name="Done").first.click()
    expect(page.get_by_role("status")).to_contain_text("done on 20 Apr 2026")
    assert _count(changing.store, ticks) > before
    page.reload()
    expect(page.locator(".group.done")).to_contain_text(title)
    page.get_by_role("button", name="Take it back").click()
    expect(page.get_by_role("status")).to_contain_text("taken back")
    assert _count(changing.store, ticks) == before


def test_moving_a_planting_says_what_it_clashes_with(changing, page: Page) -> None:  # type: ignore[no-untyped-def]
    page.goto(changing.at("/at/demo/year/?bed=S9"))
    page.locator("main a[href*='/plantings/of/']").first.click()
    page.wait_for_url("**/plantings/of/**")
    planting = page.url
    page.locator("summary", has_text="Move").click()
    move = page.locator("#act-move")
    move.get_by_label("bed", exact=False).first.select_option("S8")
    move.get_by_role("button", name="See what it would change").click()
    tried = page.locator("#act-move .tried")
    expect(tried).to_contain_text("Nothing is saved yet")
    rows = "select count(*) from store_planting where hand = 'fixed'"
    before = _count(changing.store, rows)
    page.locator("#act-move button.first").click()
    expect(page.get_by_role("status")).to_contain_text("S8")
    assert _count(changing.store, rows) == before + 1
    assert page.url.split("?")[0] == planting.split("?")[0]
    page.goto(changing.at("/at/demo/look-out/?bed=S8"))
    expect(page.locator(".findings").first).to_contain_text(re.compile("overfull|more than|S8"))
    page.goto(changing.at("/at/demo/changes/"))
    page.get_by_role("button", name="Take it back").first.click()
    assert _count(changing.store, rows) == before


def test_a_wrong_cell_is_told_at_its_field_and_nothing_is_lost(changing, page: Page) -> None:  # type: ignore[no-untyped-def]
    page.goto(changing.at("/at/demo/rows/beds/row/S1/"))
    page.get_by_label("length").fill("minus a mile")
    page.get_by_label("note").fill("stony far end")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("input[aria-invalid=true]")).to_have_value("minus a mile")
    expect(page.get_by_label("note")).to_have_value("stony far end")
    page.get_by_label("length").fill("900 cm")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("status")).to_contain_text("S1 changed")
    assert _count(changing.store, "select count(*) from store_bed where note like 'stony%'") == 1


def test_two_who_change_the_same_bed_do_not_overwrite_one_another(  # type: ignore[no-untyped-def]
    changing, browser, page: Page
) -> None:
    other = browser.new_page()
    for one, note in ((page, "first"), (other, "second")):
        one.goto(changing.at("/at/demo/rows/beds/row/S1/"))
        one.get_by_label("note").fill(note)
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("status")).to_contain_text("S1 changed")
    other.get_by_role("button", name="Save").click()
    other.wait_for_load_state()
    notes = "select count(*) from store_bed where note in ('first', 'second')"
    assert _count(changing.store, notes) == 1
    other.close()
