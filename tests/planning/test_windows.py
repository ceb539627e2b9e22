"""Windows of sowing from the frosts of a place."""

from dataclasses import dataclass

import pytest
import small
from hypothesis import given
from hypothesis import strategies as st

from perennate.planning.windows import YEAR, Span, sowing_spans
from perennate.weather.climate import FrostDates

CROPS = small.shipped().crops


@dataclass(frozen=True)
class Place:
    frost: FrostDates
    has_frost: bool = True


def place(spring: int, autumn: int) -> Place:
    free = (autumn - spring) % YEAR
    return Place(FrostDates(0.0, 1.0, {0.5: spring}, {0.5: autumn}, free))


@given(st.integers(0, 364), st.integers(0, 364), st.integers(0, 364))
def test_a_span_holds_its_days_round_the_new_year(first: int, length: int, day: int) -> None:
    span = Span(first, (first + length) % YEAR)
    inside = {(first + n) % YEAR for n in range(length + 1)}
    assert span.holds(day) == (day in inside)


def test_a_tender_crop_from_after_the_last_frost_to_in_time_for_the_first() -> None:
    crop = CROPS["bean_snap_bush"]
    spans = sowing_spans(crop, "direct", place(120, 290))
    assert spans is not None
    (span,) = spans
    after = crop.figures["direct_sow_after_last_frost"]
    last = crop.figures["last_direct_sow_before_first_frost"]
    assert span.first == 120 + round(7 * after.low)
    assert span.last == 290 - round(7 * last.value)


def test_a_crop_for_the_winter_has_a_window_in_autumn() -> None:
    crop = CROPS["garlic"]
    figure = crop.figures["overwinter_sow_before_first_frost"]
    spans = sowing_spans(crop, "set", place(120, 290))
    assert spans is not None
    assert Span(290 - round(7 * figure.high), 290 - round(7 * figure.low)) in spans


def test_without_frost_nothing_is_bounded_by_it() -> None:
    frostless = FrostDates(0.0, 0.0, {0.5: None}, {0.5: None}, YEAR)
    assert sowing_spans(CROPS["bean_snap_bush"], "direct", Place(frostless, False)) is None


@pytest.mark.parametrize("key", ["carrot", "tomato", "kale", "garlic", "pea_shelling"])
@pytest.mark.parametrize("by", [100, 182, 250])
def test_windows_move_with_the_frosts(key: str, by: int) -> None:
    for route in ("direct", "nursery", "set"):
        here = sowing_spans(CROPS[key], route, place(120, 290))
        there = sowing_spans(CROPS[key], route, place((120 + by) % YEAR, (290 + by) % YEAR))
        assert (here is None) == (there is None)
        assert [Span((s.first + by) % YEAR, (s.last + by) % YEAR) for s in here or ()] == (
            there or []
        )
