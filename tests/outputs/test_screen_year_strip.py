"""The year strip: weeks to choose, day length, frost, in every hemisphere."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import made_plan
from made_pictures import NORTH, SOUTH, TROPICS, path_points, sound, span_href, within
from perennate.outputs.screen.year_strip import YearStrip, jobs_in_weeks, year_strip
from perennate.weather.climate import Climate

START = date(2026, 2, 16)


def strip(
    weeks: int = 60,
    today: date = date(2026, 4, 8),
    latitude_deg: float = 47.7,
    climate: Climate | None = NORTH,
    chosen: tuple[date, date] | None = None,
    start: date = START,
) -> YearStrip:
    jobs = {start + timedelta(days=49): 5, start + timedelta(days=56): 10}
    return year_strip(start, weeks, today, latitude_deg, climate, jobs, span_href, chosen)


@settings(deadline=None)
@given(
    st.dates(date(2023, 1, 1), date(2028, 12, 31)),
    st.integers(20, 156),
    st.floats(-90, 90),
    st.sampled_from([NORTH, SOUTH, TROPICS, None]),
    st.integers(-400, 1200),
)
def test_every_week_is_a_link_within_the_picture(
    start: date, weeks: int, latitude_deg: float, climate: Climate | None, today: int
) -> None:
    drawn = strip(weeks, start + timedelta(days=today), latitude_deg, climate, start=start)
    cells = [cell for row in drawn.rows for cell in row.weeks]
    assert [cell.href for cell in cells] == [
        span_href(first, first + timedelta(days=6))
        for first in (start + timedelta(days=7 * number) for number in range(weeks))
    ]
    assert sound(drawn)
    for row in drawn.rows:
        boxes = [*row.weeks, *row.months]
        boxes += [box for cell in row.weeks for box in (cell.frost, cell.jobs)]
        assert all(within(box, row.right, row.end, row.left, row.top) for box in boxes)
        drawn_points = path_points(row.curve) + path_points(row.frost)
        assert all(row.left - 0.1 <= x <= row.right + 0.1 for x, _ in drawn_points)
        assert all(row.sky - 0.1 <= y <= row.days + 0.1 for _, y in drawn_points)
        assert row.end <= drawn.height
    curves = [point for curve in drawn.hand_curves for point in path_points(curve)]
    assert len(curves) == weeks
    assert all(0 <= x <= drawn.hand_width and 0 <= y <= drawn.hand_height for x, y in curves)
    hand = [*drawn.hand_months, *drawn.hand_weeks]
    assert all(within(box, drawn.hand_width, drawn.hand_height) for box in hand)


@settings(deadline=None)
@given(st.integers(20, 156))
def test_targets_for_a_hand_are_44_pixels_or_more(weeks: int) -> None:
    drawn = strip(weeks)
    assert all(min(one.w, one.h) >= 44 for one in (*drawn.hand_months, *drawn.hand_weeks))


def test_a_week_is_named_with_its_jobs_and_its_frost() -> None:
    (row,) = strip(today=date(2026, 4, 8)).rows
    assert row.weeks[7].name == "Week of 6 Apr, 5 jobs, frost in 67% of years, today"
    assert row.weeks[18].name == "Week of 22 Jun, 0 jobs"
    assert row.weeks[8].jobs.h == 2 * row.weeks[7].jobs.h > 0


def test_days_are_longest_in_june_in_the_north_and_in_december_in_the_south() -> None:
    def longest(latitude_deg: float) -> date:
        (row,) = strip(latitude_deg=latitude_deg).rows
        points = path_points(row.curve)
        week = min(range(len(points)), key=lambda number: points[number][1])
        return START + timedelta(days=7 * week)

    assert date(2026, 6, 8) <= longest(47.7) <= date(2026, 6, 22)
    assert date(2026, 12, 7) <= longest(-43.5) <= date(2026, 12, 21)


def test_in_polar_day_the_line_runs_along_the_top_of_the_sky() -> None:
    drawn = strip(latitude_deg=80.0)
    (row,) = drawn.rows
    assert (drawn.longest, drawn.shortest) == ("24 h", "0 h")
    ys = [y for _, y in path_points(row.curve)]
    assert min(ys) == row.sky + 2
    assert max(ys) == row.days - 2


def test_frost_is_drawn_where_it_is_and_said_where_it_is_not() -> None:
    (north,), (warm,), (unknown,) = (strip(climate=c).rows for c in (NORTH, TROPICS, None))
    assert north.frost
    assert not warm.frost
    assert not unknown.frost
    assert "no frost in any year" in strip(climate=TROPICS).says
    assert "frost not known" in strip(climate=None).says
    assert "Years with frost" not in strip(climate=None).table.head


def test_more_than_66_weeks_stand_in_rows_of_the_same_length() -> None:
    assert [len(row.weeks) for row in strip(156).rows] == [52, 52, 52]
    assert len(strip(66).rows) == 1


def test_the_span_chosen_is_marked_and_its_month_opened_for_the_hand() -> None:
    drawn = strip(chosen=(date(2026, 5, 1), date(2026, 5, 10)))
    (row,) = drawn.rows
    assert [cell.label for cell in row.weeks if cell.chosen] == ["27", "4"]
    assert [cell.label for cell in drawn.hand_weeks] == ["6 Apr", "13 Apr", "20 Apr", "27 Apr"]
    assert not any(month.chosen for month in row.months)
    edge = strip(chosen=(date(2026, 4, 12), date(2026, 4, 13))).rows[0]
    assert [cell.label for cell in edge.weeks if cell.chosen] == ["6", "13"]
    may = strip(chosen=(date(2026, 5, 4), date(2026, 5, 31)))
    assert [month.label for month in may.rows[0].months if month.chosen] == ["May"]


def test_without_a_choice_the_hand_sees_the_month_of_today_or_the_first() -> None:
    assert strip(today=date(2026, 6, 3)).hand_weeks[0].label == "1 Jun"
    assert strip(today=date(2020, 1, 1)).hand_weeks[0].label == "16 Feb"


def test_today_stands_at_its_day_and_not_outside_the_season() -> None:
    (row,) = strip(today=START).rows
    assert row.today == row.left
    assert strip(today=START - timedelta(days=1)).rows[0].today is None
    assert strip(today=START + timedelta(days=420)).rows[0].today is None


def test_a_year_is_named_once_where_it_begins() -> None:
    (row,) = strip().rows
    assert [(m.label, m.year) for m in row.months if m.year] == [("Mar", "2026"), ("Jan", "2027")]


def test_jobs_are_counted_in_the_week_of_their_best_day() -> None:
    counts = jobs_in_weeks(made_plan.made_plan())
    assert counts[date(2026, 4, 6)] == 2
    assert sum(counts.values()) == len(made_plan.made_jobs())


def test_the_table_has_a_row_a_week() -> None:
    table = strip().table
    assert len(table.rows) == 60
    assert table.rows[7][0] == "6 Apr 2026"
    assert float(table.rows[7][1]) == pytest.approx(13.2, abs=0.2)
    assert table.rows[7][2:] == ("67%", "5")
