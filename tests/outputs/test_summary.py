"""The season in a few plain lines."""

from dataclasses import replace

import pytest

import made_plan
from perennate.outputs.summary import summary

pytestmark = pytest.mark.usefixtures("made_words")
PLAN = made_plan.made_plan()


def test_it_tells_aims_jobs_needs_and_findings_in_plain_words() -> None:
    season, aims, plantings, soon, to_get, findings = summary(PLAN, made_plan.NAMES)
    assert season.heading == "Hof Überlengries, 2 Mar 2026 to 28 Feb 2027"
    assert "Covers 3% of the household's energy and 4% of its protein." in season.lines
    assert aims.lines[0] == ("Möhren (food, Carrot): 96% of 10 kg; expected 9.61 kg (4.2 to 16.8)")
    assert soon.lines[0] == (
        "9 Mar  Sow Tomato '@Abendrot', 14 seeds for Žleb; bench (2 Mar to 19 Mar; 25 min)"
    )
    assert plantings.lines[0].split() == (
        ["Bed", "Crop", "Sow", "In", "bed", "from", "Bed", "free", "m", "Plants", "kg"]
    )
    assert plantings.lines[1] == (
        "Žleb   Tomato '@Abendrot'       9 Mar   25 May       5 Oct        2.5      10    17"
    )
    assert to_get.lines == (
        "6 L of -potting mix by 9 Mar",
        "0.5 g seed of Carrot 'Rotkäppchen' by 6 Apr",
    )
    assert findings.lines[0] == (
        "grave: Frost may take Tomato: 8% of years. Move it to 1 Jun 2026."
    )


def test_a_long_list_is_cut_and_counted() -> None:
    many = replace(PLAN, findings=PLAN.findings * 10)
    assert summary(many)[-1].lines[-1] == "... and 10 more in plan.xlsx."


def test_many_plantings_are_cut_at_fifteen_and_what_stands_comes_last() -> None:
    lines = summary(PLAN, made_plan.NAMES)[2].lines
    assert lines[-1].startswith("=Ecke")
    many = summary(replace(PLAN, plantings=PLAN.plantings * 4), made_plan.NAMES)[2].lines
    assert len(many) == 1 + 15 + 1
    assert many[-1] == "... and 9 more in plan.xlsx."


def test_an_unmet_aim_stands_with_its_reasons_among_the_aims_alone() -> None:
    unmet = replace(PLAN.findings[0], rule="aim.unmet")
    sections = summary(replace(PLAN, findings=(unmet, PLAN.findings[2])), made_plan.NAMES)
    assert "  held back: Ground is short by 31.5 m²." in sections[1].lines
    assert len(sections[-1].lines) == 1


def test_weeks_without_a_job_name_the_first_job_and_its_day() -> None:
    later = replace(PLAN, jobs=tuple(job for job in PLAN.jobs if job.key == "j-sow-carrot"))
    assert summary(later, made_plan.NAMES)[3].lines == (
        "No job has its best day in these weeks.",
        "The first is 6 Apr  Sow Carrot 'Rotkäppchen', 420 seeds; Süd 1"
        " (30 Mar to 16 Apr; 25 min).",
    )


def test_a_plan_with_nothing_in_it_says_so() -> None:
    bare = replace(PLAN, aims=(), plantings=(), jobs=(), needs=(), findings=())
    assert [section.lines for section in summary(bare)[1:]] == [
        ("The holding names no aim.",),
        ("Nothing is planted.",),
        ("No job has its best day in these weeks.",),
        ("Nothing has to be got.",),
        ("The checks found nothing.",),
    ]
