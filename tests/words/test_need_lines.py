"""What is to be got, in the words in which it is asked for."""

from dataclasses import replace
from datetime import date

import pytest

from perennate.planning.plan import Need
from perennate.terms import text
from perennate.words.lines import need_line

NAMES = {"tomato": "Tomato", "onion_bulb": "Onion", "flat_uk": "seed tray 38 x 24 cm"}
SEED = Need(
    "k", "seed", "tomato", "", date(2026, 4, 6), 31.0, "seeds", 0.0, 31.0, text("line.need")
)


@pytest.mark.parametrize(
    ("need", "told"),
    [
        (SEED, "31 seeds of Tomato by 6 Apr"),
        (replace(SEED, to_get=1.0), "1 seed of Tomato by 6 Apr"),
        (replace(SEED, unit="g", to_get=0.5), "0.5 g seed of Tomato by 6 Apr"),
        (
            replace(SEED, kind="sets", item="onion_bulb", unit="pieces", to_get=255.0),
            "255 sets of Onion by 6 Apr",
        ),
        (
            replace(SEED, kind="sets", unit="plants", to_get=12.0),
            "12 plants of Tomato by 6 Apr",
        ),
        (
            replace(SEED, kind="containers", item="flat_uk", unit="pieces", to_get=1.0),
            "1 x seed tray 38 x 24 cm by 6 Apr",
        ),
        (
            replace(SEED, kind="compost", item="compost", unit="l", to_get=70.0),
            "70 L of compost by 6 Apr",
        ),
        (
            replace(SEED, kind="bench", item="bench", unit="m2", to_get=0.5),
            "0.5 m² more bench by 6 Apr",
        ),
        (
            replace(SEED, kind="hours", item="hours", unit="h", to_get=2.5),
            "2.5 h of work over the limit in the week of 6 Apr",
        ),
    ],
)
def test_a_need_is_told_in_one_line(need: Need, told: str) -> None:
    assert need_line(need, "metric", NAMES) == told
