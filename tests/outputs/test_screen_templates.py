"""The templates: whole, reachable by name, free of styles and scripts, seen in light and dark."""

import re
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from django.template.loader import render_to_string
from django.test import override_settings

import made_plan
import made_water
import perennate.server
from made_pictures import HOLDING, NORTH, place_href, planting_href, span_href
from perennate.holding.model import Tree
from perennate.outputs.drawing import HATCHES
from perennate.outputs.screen.drip_sheet import drip_sheet
from perennate.outputs.screen.ground_sheet import ground_sheet
from perennate.outputs.screen.key_plan import key_plan
from perennate.outputs.screen.salt_sheet import salt_sheets
from perennate.outputs.screen.tank_sheet import tank_sheets
from perennate.outputs.screen.water_said import salt_key
from perennate.outputs.screen.water_sheet import water_sheet
from perennate.outputs.screen.year_sheet import year_sheet
from perennate.outputs.screen.year_strip import jobs_in_weeks, year_strip
from perennate.planning.water.drip_of_beds import drip_of

PLAN = made_plan.made_plan()
WITH_IDS = ("strip", "plan", "ground", "year", "water", "tank", "salt", "drip", "hatches")
"""One of each picture, as they may stand on one page."""
SERVER = Path(perennate.server.__file__).parent
CSS = (SERVER / "static/perennate/drawn.css").read_text(encoding="utf-8")


def evil(key: str) -> str:
    return f'?bed={key}&x="><script>'


def pictures(href: Any = place_href) -> dict[str, str]:
    names = made_plan.NAMES
    trees = (Tree("plum", "Prunus domestica", "", None),)
    today = PLAN.start + timedelta(days=30)
    strip = year_strip(
        PLAN.start, PLAN.weeks, today, 47.7, NORTH, jobs_in_weeks(PLAN), span_href, None
    )
    plan = key_plan(HOLDING.beds, trees, 4.0, href, "Süd 2")
    ground = ground_sheet(PLAN, HOLDING, date(2026, 7, 1), names, planting_href, href)
    large = ground_sheet(PLAN, HOLDING, date(2026, 7, 1), names, planting_href, href, "Süd 1")
    year = year_sheet(PLAN, HOLDING, names, planting_href, href)
    watered, fed = made_water.watered_plan(), made_water.watered_holding()
    water = water_sheet(watered, fed, href)
    bed = water_sheet(watered, fed, href, chosen="Süd 2")
    (tank,) = tank_sheets(watered, fed)
    salts = salt_sheets(watered, names, href, {"tomato": 2.5})
    fed_bed = replace(fed.beds[0], key="<script>Süd 1")
    (lines,) = drip_of([fed_bed], None)
    drip = drip_sheet(fed_bed, lines.layout, "metric")
    return {
        "strip": render_to_string("drawn/year_strip.svg", {"strip": strip}),
        "plan": render_to_string("drawn/key_plan.svg", {"plan": plan}),
        "places": render_to_string("drawn/key_places.html", {"plan": plan}),
        "ground": render_to_string("drawn/ground_sheet.svg", {"sheet": ground}),
        "large": render_to_string("drawn/ground_sheet.svg", {"sheet": large}),
        "year": render_to_string("drawn/year_sheet.svg", {"sheet": year}),
        "water": render_to_string("drawn/water_sheet.svg", {"sheet": water}),
        "bed": render_to_string("drawn/water_sheet.svg", {"sheet": bed}),
        "tank": render_to_string("drawn/tank.svg", {"tank": tank}),
        "salt": "".join(render_to_string("drawn/salt.svg", {"salt": one}) for one in salts),
        "drip": render_to_string("drawn/drip.svg", {"drip": drip}),
        "salt key": render_to_string("drawn/water_key.html", {"signs": salt_key()}),
        "table": render_to_string("drawn/table.html", {"table": ground.table}),
        "hatches": render_to_string("drawn/hatches.svg"),
    }


@pytest.fixture(scope="module")
def drawn() -> dict[str, str]:
    return pictures()


def tree(markup: str) -> ElementTree.Element:
    return ElementTree.fromstring(f"<div>{markup}</div>")


def test_every_picture_is_well_formed_and_has_nothing_that_a_strict_page_forbids(
    drawn: dict[str, str],
) -> None:
    for markup in drawn.values():
        for element in tree(markup).iter():
            assert element.tag not in {"style", "script"}
            assert not {name for name in element.attrib if name == "style" or name[:2] == "on"}


def test_every_picture_has_a_title_and_a_sentence_that_it_points_to(
    drawn: dict[str, str],
) -> None:
    for name in (
        "strip",
        "plan",
        "ground",
        "large",
        "year",
        "water",
        "bed",
        "tank",
        "salt",
        "drip",
    ):
        named = [svg for svg in tree(drawn[name]).iter("svg") if svg.get("role")]
        assert named
        for svg in named:
            ids = {element.get("id"): element for element in svg.iter() if element.get("id")}
            for pointer in ("aria-labelledby", "aria-describedby"):
                assert ids[svg.get(pointer)].text


def test_ids_are_used_once(drawn: dict[str, str]) -> None:
    page = "".join(drawn[name] for name in WITH_IDS)
    ids = [element.get("id") for element in tree(page).iter() if element.get("id")]
    assert len(ids) == len(set(ids))


def test_every_link_has_a_name(drawn: dict[str, str]) -> None:
    for markup in drawn.values():
        for link in tree(markup).iter("a"):
            assert link.get("href")
            assert link.get("aria-label") or "".join(link.itertext()).strip()


def test_every_hatch_that_is_used_is_drawn_and_has_a_colour(drawn: dict[str, str]) -> None:
    patterns = {one.get("id") for one in tree(drawn["hatches"]).iter("pattern")}
    used = set(re.findall(r"url\(#([a-z0-9-]+)\)", "".join(drawn.values()) + CSS))
    assert used <= patterns
    assert {f"hatch-{number}" for number in range(HATCHES)} <= patterns
    shapes = [
        re.sub(r'hatch-\d+"', "", ElementTree.tostring(one, encoding="unicode"))
        for one in tree(drawn["hatches"]).iter("pattern")
    ]
    assert len(set(shapes)) == len(shapes)


def test_what_is_named_by_people_and_addresses_are_escaped() -> None:
    for markup in pictures(evil).values():
        assert "<script" not in markup
        tree(markup)


def test_numbers_keep_their_point_in_a_language_with_a_comma() -> None:
    with override_settings(LANGUAGE_CODE="de", USE_I18N=True, USE_THOUSAND_SEPARATOR=True):
        for markup in pictures().values():
            for value in re.findall(r' (?:x|y|width|height|x1|cx|r)="([^"]*)"', markup):
                float(value)


def test_nothing_that_a_template_asks_for_is_missing(drawn: dict[str, str]) -> None:
    for markup in drawn.values():
        assert not re.search(r' (?:x|y|width|height|d|id|class|href|aria-label)=""', markup)
        assert 'url(#hatch-)"' not in markup


def luminance(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_hatches_stand_out_from_paper_in_light_and_in_dark() -> None:
    light, dark = CSS.split("@media (prefers-contrast: more)")[0].split("@media", 1)
    for sheet, paper in ((light, "#f8f6ef"), (dark, "#14181a")):
        assert paper in sheet
        hatches = re.findall(r"--hatch-\d+: (#[0-9a-f]{6})", sheet)
        assert len(hatches) == HATCHES
        assert all(contrast(hatch, paper) >= 3 for hatch in hatches)


def test_on_paper_every_hatch_is_black() -> None:
    printed = CSS.split("@media print")[1]
    assert len(re.findall(r"--hatch-\d+: #000", printed)) == HATCHES
