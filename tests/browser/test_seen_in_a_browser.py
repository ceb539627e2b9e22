"""What a person sees and can reach: widths, keyboard, print, and the rules of access."""

import importlib.util
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

PAGES = (
    "",
    "ground/",
    "year/",
    "water/",
    "water/?bed=S1",
    "to-get/",
    "look-out/",
    "aims/",
    "stock/",
    "write/",
    "plants/",
    "plants/carrot/",
    "reckon/",
    "reckon/seed-to-sow/?crop=leek&plants=100",
    "plans/",
    "holding/",
    "holding/settings/",
    "changes/",
    "rows/beds/",
    "rows/aims/add/",
    "rows/beds/row/S1/",
)


def _axe() -> str:
    spec = importlib.util.find_spec("axe_core_python")
    assert spec is not None
    assert spec.origin is not None
    return (Path(spec.origin).parent / "axe.min.js").read_text("utf-8")


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious(path: str, scheme: str, shown, browser: Browser) -> None:  # type: ignore[no-untyped-def]
    """axe-core's rules for WCAG 2.2 A and AA (Deque, axe-core's rule descriptions)."""
    context = browser.new_context(
        viewport={"width": 1440, "height": 1000}, color_scheme=scheme, bypass_csp=True
    )
    page = context.new_page()
    page.goto(shown.at(f"/at/demo/{path}"))
    page.evaluate(_axe())
    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
    found = page.evaluate("tags => axe.run(document, {runOnly: {type: 'tag', values: tags}})", tags)
    context.close()
    serious = [
        (one["id"], one["impact"], [node["html"][:120] for node in one["nodes"][:3]])
        for one in found["violations"]
        if one["impact"] in ("serious", "critical")
    ]
    assert serious == []
    assert len(found["passes"]) > 10, "the rules were run"


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("width", [360, 768, 1440])
def test_nothing_hangs_over_the_edge(path: str, width: int, shown, page: Page) -> None:  # type: ignore[no-untyped-def]
    page.set_viewport_size({"width": width, "height": 780})
    answer = page.goto(shown.at(f"/at/demo/{path}"))
    assert answer is not None
    assert answer.status == 200
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate(
        """() => [...document.querySelectorAll('main button, main .button, .thumb a, .sheets a')]
        .filter(one => one.offsetParent !== null)
        .map(one => [one.textContent.trim(), one.getBoundingClientRect()])
        .filter(([text, box]) => box.height < 43.5 || box.width < 43.5)
        .map(([text, box]) => `${text}: ${box.width} x ${box.height}`)"""
    )
    assert small == [], "targets are 44 px or more"


def test_every_page_is_reached_by_keyboard_alone(shown, page: Page) -> None:  # type: ignore[no-untyped-def]
    page.goto(shown.at("/at/demo/"))
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "To the sheet"
    page.keyboard.press("Enter")
    assert page.url.endswith("#main")
    page.goto(shown.at("/at/demo/"))
    for _ in range(30):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent") == "Year":
            break
    page.keyboard.press("Enter")
    page.wait_for_url("**/year/**")
    assert page.inner_text("h1") == "The year by bed"
    outlined = page.evaluate(
        """() => { document.querySelector('.sheets a').focus();
        const style = getComputedStyle(document.activeElement); return style.outlineStyle; }"""
    )
    assert outlined != "none"


def test_the_strip_narrows_the_page_and_the_address_holds_it(shown, page: Page) -> None:  # type: ignore[no-untyped-def]
    page.goto(shown.at("/at/demo/"))
    week = page.get_by_role("link", name="Week of 4 May").first
    week.focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**from=2026-05-04**")
    page.goto(page.url + "&bed=M1")
    page.locator(".sheets a", has_text="Year").click()
    page.wait_for_url("**/year/**")
    assert "from=2026-05-04" in page.url
    assert "bed=M1" in page.url


def test_a_page_prints_as_a_sheet(shown, page: Page) -> None:  # type: ignore[no-untyped-def]
    page.goto(shown.at("/at/demo/"))
    page.emulate_media(media="print")
    for hidden in (".sheets", ".thumb", ".tick"):
        assert not page.locator(hidden).first.is_visible()
    assert page.locator(".title-block").is_visible()
    assert page.locator(".foot").inner_text().startswith("Anderlow Croft")
    for paper in ("A4", "Letter"):
        assert page.pdf(format=paper).startswith(b"%PDF")
    colours = page.evaluate(
        """() => [...document.querySelectorAll('main *')].map(one => getComputedStyle(one).color)
        .map(one => one.match(/\\d+/g).slice(0, 3))
        .filter(([red, green, blue]) => red !== green || green !== blue)"""
    )
    assert colours == [], "black and white"


def test_pages_ask_nothing_of_other_machines(shown, page: Page) -> None:  # type: ignore[no-untyped-def]
    asked: list[str] = []
    page.on("request", lambda one: asked.append(one.url))
    for path in PAGES:
        page.goto(shown.at(f"/at/demo/{path}"))
    assert asked
    assert [url for url in asked if not url.startswith(shown.address)] == []
