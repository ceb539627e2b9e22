"""season.pdf: pages, words, tags, paper, and the same bytes each time."""

import io
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from pypdf import PdfReader

import made_plan
from perennate.outputs.sheet import season_pdf
from perennate.outputs.sheet_data import sheet_data
from perennate.weather.climate import Climate

pytestmark = pytest.mark.usefixtures("made_words")
PLAN = made_plan.made_plan()
HOLDING = made_plan.made_holding()


def pages(data: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(data)).pages]


@pytest.fixture(scope="module")
def pdf() -> bytes:
    with made_plan.words_known():
        return season_pdf(PLAN, HOLDING, made_plan.NAMES)


def test_the_first_page_tells_aims_findings_and_the_next_weeks(pdf: bytes) -> None:
    first = pages(pdf)[0]
    assert "96% of 10 kg; expected 9.61 kg (4.2 to 16.8)" in first
    assert "Ground is short by 31.5 m²." in first
    assert first.index("grave") < first.index("mind") < first.index("note")
    assert "Sow Tomato '@Abendrot', 14 seeds" in first
    assert "Sow Carrot" not in first


def test_every_page_carries_the_title_block(pdf: bytes) -> None:
    told = pages(pdf)
    for number, page in enumerate(told, start=1):
        assert "Hof Überlengries" in page
        assert "2 Mar 2026 to 28 Feb 2027" in page
        assert "2 Mar 2026 / 1.1" in page
        assert f"{number} / {len(told)}" in page
    assert "1:40" in told[1]


def test_names_in_other_scripts_are_drawn(pdf: bytes) -> None:
    whole = " ".join(pages(pdf))
    for name in ("Rotkäppchen", "Süd 1", "Žleb", "=Ecke", "+Kreuz"):
        assert name in whole


def test_every_job_has_its_tick_line_with_a_code(pdf: bytes) -> None:
    data = sheet_data(PLAN, HOLDING, made_plan.NAMES, None)
    codes = [job["code"] for week in data["weeks"] for job in week["jobs"]]
    assert len(codes) == len(PLAN.jobs)
    whole = " ".join(pages(pdf))
    assert all(code in whole for code in codes)


def test_only_what_is_to_get_is_listed(pdf: bytes) -> None:
    last = pages(pdf)[-1]
    assert "0.5 g" in last
    assert "-potting mix" in last
    assert "100 L" not in last


def test_pictures_are_tagged_with_a_sentence(pdf: bytes) -> None:
    catalog = PdfReader(io.BytesIO(pdf)).trailer["/Root"]
    assert catalog["/MarkInfo"]["/Marked"]
    assert catalog["/Lang"] == "en"
    told = []

    def walk(node: object) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for one in node:
                walk(one)
        elif isinstance(node, dict):
            if "/Alt" in node:
                told.append(str(node["/Alt"]))
            if "/K" in node:
                walk(node["/K"])

    walk(catalog["/StructTreeRoot"])
    assert any(one.startswith("The ground drawn to scale as it stands on 25 May.") for one in told)
    assert any("Žleb: Tomato" in one for one in told)


def test_it_declares_the_standard_for_reading_aloud(pdf: bytes) -> None:
    metadata = PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/Metadata"].get_data()
    assert b"pdfuaid:part" in metadata


def test_a_letter_that_no_font_holds_does_not_stop_the_sheet() -> None:
    odd = replace(PLAN.plantings[0], variety="\U000e0fff\uf8ff")
    told = pages(season_pdf(replace(PLAN, plantings=(odd,)), HOLDING))
    assert "Hof Überlengries" in told[0]


def test_the_same_plan_gives_the_same_bytes(pdf: bytes) -> None:
    assert season_pdf(PLAN, HOLDING, made_plan.NAMES) == pdf
    assert str(PdfReader(io.BytesIO(pdf)).metadata["/CreationDate"]).startswith("D:20260302")


def test_a_holding_in_us_units_prints_on_letter_in_feet() -> None:
    us = replace(PLAN, holding=replace(PLAN.holding, units="us"))
    data = season_pdf(us, replace(HOLDING, units="us"), made_plan.NAMES)
    first = PdfReader(io.BytesIO(data)).pages[0].mediabox
    assert (round(float(first.width)), round(float(first.height))) == (612, 792)
    assert "5 ft" in pages(data)[1]
    metric = PdfReader(io.BytesIO(season_pdf(PLAN, HOLDING))).pages[0].mediabox
    assert (round(float(metric.width)), round(float(metric.height))) == (595, 842)


def test_beds_without_a_place_are_drawn_as_rows() -> None:
    loose = tuple(replace(bed, x_m=None, y_m=None) for bed in HOLDING.beds)
    whole = pages(season_pdf(PLAN, replace(HOLDING, beds=loose), made_plan.NAMES))
    assert all(bed.key in whole[1] for bed in loose)


def test_an_empty_plan_still_prints() -> None:
    bare = replace(PLAN, aims=(), plantings=(), jobs=(), needs=(), findings=())
    told = pages(season_pdf(bare, replace(HOLDING, beds=())))
    assert "The checks found nothing." in told[0]
    assert "Nothing has to be got." in told[-1]


def test_a_rule_or_caution_shared_by_jobs_stands_once_below_them_and_is_pointed_to() -> None:
    planted = next(job for job in PLAN.jobs if job.kind == "plant out")
    again = replace(planted, key="again", best=planted.best + timedelta(days=1))
    data = sheet_data(replace(PLAN, jobs=(planted, again)), HOLDING, {}, None)
    (week,) = data["weeks"]
    assert week["notes"] == [
        "Go when the soil has 14 °C on three mornings.",
        "Lift with a straight back.",
    ]
    assert [job["notes"] for job in week["jobs"]] == ["1, 2", "1, 2"]


def test_many_aims_stand_short_on_the_first_page_and_in_full_on_their_own() -> None:
    aims = tuple(replace(PLAN.aims[0], aim=f"Ziel {number}") for number in range(40))
    told = pages(season_pdf(replace(PLAN, aims=aims), HOLDING, made_plan.NAMES))
    assert all(f"Ziel {number}" in told[0] for number in range(40))
    assert "Sow Tomato" in told[0]
    assert "Aims in full" in told[-1]
    assert "96% of 10 kg" in told[-1]


def test_frost_is_the_share_of_years_with_a_frost_in_the_week() -> None:
    tmin = np.full((4, 365), 5.0)
    tmin[0, 60] = -1.0  # 2 March of one year in four
    tmin[:, 364] = -3.0
    climate = Climate(47.7, 690.0, tmin + 9.0, tmin, tmin * 0.0, "recorded", 4)
    frost = sheet_data(PLAN, HOLDING, {}, climate)["year"]["frost"]
    assert frost[0] == 0.25
    assert frost[1] == 0.0
    assert frost[43] == 1.0  # the week of 28 December


def test_a_plan_that_crosses_a_leap_day_has_its_frost() -> None:
    leap = replace(PLAN, start=PLAN.start.replace(year=2028, month=2, day=28))
    tmin = np.full((1, 365), -1.0)
    climate = Climate(47.7, 690.0, tmin + 9.0, tmin, tmin * 0.0, "recorded", 1)
    assert set(sheet_data(leap, HOLDING, {}, climate)["year"]["frost"]) == {1.0}


def test_much_is_counted_and_not_crowded_onto_the_first_page() -> None:
    jobs = tuple(replace(PLAN.jobs[0], key=f"j{number}", planting="") for number in range(60))
    data = sheet_data(replace(PLAN, jobs=jobs, findings=PLAN.findings * 3), HOLDING, {}, None)
    assert (len(data["soon"]["jobs"]), data["soon_left"]) == (24, 36)
    assert (len(data["findings"]), data["findings_left"]) == (5, 4)
    assert [one["gravity"] for one in data["findings"]] == ["grave"] * 3 + ["mind"] * 2
