"""Days of a common year, 1 to 365, and back; a year is a ring."""

from datetime import date, timedelta

DAYS = 365
_COMMON_YEAR = 2023


def day_of(month_day: tuple[int, int]) -> int:
    """1 January is 1; 29 February is read as 28 February."""
    month, day = month_day
    return date(_COMMON_YEAR, month, 28 if (month, day) == (2, 29) else day).timetuple().tm_yday


def shown(day: float) -> str:
    """Month and day, "04-30", of the day that a number falls on, round the year."""
    whole = (round(day) - 1) % DAYS
    return (date(_COMMON_YEAR, 1, 1) + timedelta(days=whole)).strftime("%m-%d")


def days_from(first: float, last: float) -> float:
    """Days forward from one day to another, 0 to below 365."""
    return (last - first) % DAYS
