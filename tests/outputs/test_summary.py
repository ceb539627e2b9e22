"""The season in a few plain lines."""

from dataclasses import replace

import pytest

import made_plan
from perennate.outputs.summary import summary

pytestmark = pytest.mark.usefixtures("made_words")
PLAN = made_plan.made_plan()


def test_it_tells_aims_jobs_needs_and_findings_in_plain_words() -> None:
    season, aims, soon, to_get, findings = summary(PLAN, made_plan.NAMES)
    assert season.heading == "Hof Überlengries, 2 Mar 2026 to 28 Feb 2027"
    assert "Covers 3% of the household's energy and 4% of its protein." in season.lines
    assert aims.lines[0] == ("Möhren (food, Carrot): 96% of 10 kg; expected 9.61 kg (4.2 to 16.8)")
    assert soon.lines[0] == (
        "9 Mar  Sow Tomato '@Abendrot', 14 seeds; bench (2 Mar to 19 Mar; 25 min)"
    )
    assert to_get.lines == (
        "6 L -potting mix by 9 Mar",
        "0.5 g seed of Carrot 'Rotkäppchen' by 6 Apr",
    )
    assert findings.lines[0] == (
        "grave: Frost may take Tomato: 8% of years. Move it to 2026-06-01."
    )


def test_a_long_list_is_cut_and_counted() -> None:
    many = replace(PLAN, findings=PLAN.findings * 10)
    assert summary(many)[-1].lines[-1] == "... and 10 more in plan.xlsx."


def test_a_plan_with_nothing_in_it_says_so() -> None:
    bare = replace(PLAN, aims=(), jobs=(), needs=(), findings=())
    assert [section.lines for section in summary(bare)[1:]] == [
        ("The holding names no aim.",),
        ("No job has its best day in these weeks.",),
        ("Nothing has to be got.",),
        ("The checks found nothing.",),
    ]
