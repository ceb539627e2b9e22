"""Every measured ratio, each against a named alternative in the same run."""

import resource
import sys
import time

from bench_chill import ratios as chill_ratios
from bench_evapotranspiration import ratios as evapotranspiration_ratios
from bench_isolation import print_reports as isolation
from bench_pages import report as pages
from bench_soil_water import report as soil_water_report
from bench_weather import ratios
from made_problem import made_problem
from monolith import monolith
from perennate.holding import example_folder
from perennate.planning.allocate.search import EFFORTS, gap_of, search
from perennate.planning.season import make_plan
from perennate.season_files import read_season

MADE = (60, 80, 156)


def demo() -> None:
    """The demo holding: seconds, memory, gap."""
    read_season(example_folder("demo"))  # so that the libraries that it needs are loaded
    started = time.perf_counter()
    season = read_season(example_folder("demo"))
    assert season.holding.as_of is not None
    plan = make_plan(season.holding, season.catalogue, season.climate, season.holding.as_of)
    seconds = time.perf_counter() - started
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    report = plan.solver
    print(
        f"demo: read and planned in {seconds:.1f} s (aim: under 10), "
        f"peak {peak:.0f} MiB (under 1024); "
        f"gap {100 * report.gap:.2f} % (at most 2): before placing "
        f"{100 * report.gap_before_placing:.2f} %, after placing "
        f"{100 * report.gap_after_placing:.2f} %; {report.sowings} sowings, "
        f"{report.columns} columns, {report.rows} rows, {report.nonzeros} nonzeros"
    )


def made() -> None:
    """The made holding against the same problem as one programme with the same seconds."""
    beds, crops, weeks = MADE
    problem = made_problem(beds, crops, weeks)
    started = time.perf_counter()
    found = search(problem, EFFORTS["usual"])
    seconds = time.perf_counter() - started
    print(
        f"made holding, {beds} beds, {crops} crops, {weeks} weeks: {seconds:.1f} s; before placing "
        f"{100 * found.gap_before_placing:.2f} % (at most 1), after placing "
        f"{100 * found.gap_after_placing:.2f} %, after repair {100 * found.gap:.2f} % (at most "
        f"5); {len(found.pieces)} sowings, {found.relaxed.columns} columns, "
        f"{found.relaxed.rows} rows, {found.relaxed.nonzeros} nonzeros"
    )
    whole = monolith(problem, seconds)
    if whole.cost == float("inf"):
        outcome = "no solution"
    else:
        gap = gap_of(whole.cost, found.bound, problem)
        outcome = f"gap {100 * gap:.1f} %, {gap / max(found.gap, 1e-9):.1f} times ours"
    print(
        f"  the same as one programme ({whole.columns} columns, {whole.nonzeros} nonzeros) given "
        f"to HiGHS with {seconds:.0f} s: {outcome} ({whole.status})"
    )
    started = time.perf_counter()
    found = search(made_problem(beds, crops, 52), EFFORTS["usual"])
    print(
        f"made holding, one year: {time.perf_counter() - started:.1f} s, after repair "
        f"{100 * found.gap:.2f} %"
    )


def weather() -> None:
    """Reading ten years of daily weather, with all checks, against pandas.read_csv."""
    for name, ratio, statement in ratios():
        print(f"{name}: {ratio:.2f} of the time of pandas.read_csv ({statement})")


def chill() -> None:
    """Chill portions of hourly winters against xclim on the same hours."""
    for name, ratio, statement in chill_ratios():
        print(f"chill portions, {name}: {ratio:.1f} times as fast as xclim ({statement})")


def soil_water() -> None:
    """200 plantings over 1,000 years, against a plain loop over days and plantings."""
    name, ratio, statement = soil_water_report()
    print(f"{name}: {ratio:.0f} times as fast as a plain loop ({statement})")


def evapotranspiration() -> None:
    """Reference evapotranspiration of a million station-days against pyet and refet."""
    for name, ratio, least, statement in evapotranspiration_ratios():
        print(f"{name}: {ratio:.1f} times as fast (at least {least:.0f}; {statement})")


if __name__ == "__main__":
    wanted = sys.argv[1:] or [
        "weather",
        "chill",
        "evapotranspiration",
        "soil_water",
        "isolation",
        "demo",
        "made",
        "pages",
    ]
    for name in wanted:
        {
            "weather": weather,
            "chill": chill,
            "evapotranspiration": evapotranspiration,
            "soil_water": soil_water,
            "isolation": isolation,
            "demo": demo,
            "made": made,
            "pages": pages,
        }[name]()
