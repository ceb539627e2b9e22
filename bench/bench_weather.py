"""How long reading ten years of daily weather takes, all checks counted, beside pandas.

pandas.read_csv is given the same bytes in the same process and only parses; it is told how many
lines to leave out and nothing else. The best of several runs, taken in turn, counts for each.
"""

import io
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pandas as pd

from perennate.weather import WeatherSeries, read_weather

sys.path.insert(0, str(Path(__file__).parent.parent / "tests" / "weather"))

import weather_bytes

RUNS = 40


def ratios() -> list[tuple[str, float, str]]:
    """Name, our seconds over pandas', and a sentence for each form of CSV."""
    weather = weather_bytes.invented()
    power = weather_bytes.power(weather)
    lines_before = power[: power.index(b"-END HEADER-")].count(b"\n") + 1
    cases: list[tuple[str, bytes, int]] = [
        ("weather.csv", weather_bytes.own(weather), 0),
        ("GHCN-Daily", weather_bytes.ghcn(weather), 0),
        ("NCEI daily summaries", weather_bytes.ncei(weather), 0),
        ("NASA POWER", power, lines_before),
        ("Open-Meteo", weather_bytes.open_meteo(weather), 3),
    ]
    return [_ratio(name, data, skipped) for name, data, skipped in cases]


def _ratio(name: str, data: bytes, skipped: int) -> tuple[str, float, str]:
    def ours() -> WeatherSeries:
        return read_weather(data, name, temperature_unit="degC", rain_unit="mm")

    def theirs() -> pd.DataFrame:
        return pd.read_csv(io.BytesIO(data), skiprows=skipped)

    if len(ours().days) != len(theirs()):
        raise AssertionError(f"{name}: not the same days")
    best = [float("inf"), float("inf")]
    for _ in range(RUNS):
        for which, read in enumerate((ours, theirs)):
            best[which] = min(best[which], _seconds(read))
    ratio = best[0] / best[1]
    statement = (
        f"ten years of {name}, read and checked: {1000 * best[0]:.1f} ms,"
        f" pandas.read_csv {1000 * best[1]:.1f} ms"
    )
    return f"weather, {name}", ratio, statement


def _seconds(read: Callable[[], object]) -> float:
    start = time.perf_counter()
    read()
    return time.perf_counter() - start


if __name__ == "__main__":
    for name, ratio, statement in ratios():
        print(f"{name}: {ratio:.2f} ({statement})")
