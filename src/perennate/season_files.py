"""From files to what is planned with, and from what was planned to files."""

import math
import os
import shutil
import signal
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING

from perennate.catalogue.model import Catalogue
from perennate.catalogue.names import find_crop, suggestions
from perennate.catalogue.own_values import with_own_values
from perennate.catalogue.reader import load_catalogue
from perennate.planning.plan import Plan
from perennate.terms import BadInput, Problem

if TYPE_CHECKING:
    from perennate.holding.model import Holding
    from perennate.weather import Climate, MonthlyNormals, WeatherSeries
    from perennate.weather.recent import NearTerm

# Readers and writers are fetched in the functions that need them: their libraries take longer to
# start than a short command takes to run.

_NORMALS = "normals.csv"


@dataclass(frozen=True, slots=True)
class SeasonInput:
    """A holding with the catalogue as the holding's own values change it, and its climate."""

    holding: "Holding"
    catalogue: Catalogue
    climate: "Climate"
    names: Mapping[str, str]
    series: "tuple[WeatherSeries, ...]" = ()
    """Common names of crops and names of containers by key."""


def read_season(path: Path, seed: int = 0) -> SeasonInput:
    """What is planned with, from a holding folder or workbook and the weather files beside it.

    Raises BadInput with every problem of the holding and of its weather files at once.
    """
    shipped = load_catalogue()
    problems: list[Problem] = []
    holding: Holding | None = None
    folder = path.parent if path.is_file() else path
    try:
        holding = _holding(path, shipped)
        weather_files = holding.weather_files
    except BadInput as bad:
        problems += bad.problems
        weather_files = tuple(sorted(file.name for file in folder.glob("weather*.csv")))
    series, normals = _weather(folder, weather_files, problems)
    catalogue = shipped
    if holding is not None:
        try:
            catalogue = own_catalogue(holding)
        except BadInput as bad:
            problems += bad.problems
    if problems or holding is None:
        raise BadInput(problems)
    climate = _climate(holding, series, normals, seed)
    return SeasonInput(holding, catalogue, climate, common_names(catalogue), tuple(series))


def season_of(holding: "Holding", weather: Mapping[str, bytes], seed: int = 0) -> SeasonInput:
    """What is planned with, from a holding at hand and the content of its weather files by name.

    Raises BadInput with every problem of own values and weather files at once.
    """
    problems: list[Problem] = []
    with tempfile.TemporaryDirectory(prefix="weather-") as folder:
        for name, content in weather.items():
            file = Path(folder) / name
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(content)
        series, normals = _weather(Path(folder), tuple(weather), problems)
    catalogue = load_catalogue()
    try:
        catalogue = own_catalogue(holding)
    except BadInput as bad:
        problems += bad.problems
    if problems:
        raise BadInput(problems)
    climate = _climate(holding, series, normals, seed)
    return SeasonInput(holding, catalogue, climate, common_names(catalogue), tuple(series))


OWN_BEYOND = 10.0
"""So many times less or more than any crop of the catalogue an own value may be."""


def own_catalogue(holding: "Holding") -> Catalogue:
    """The catalogue with the holding's own values; BadInput when one of them does not fit."""
    own = [(one.crop, one.figure, one.estimate) for one in holding.own_values]
    changed = with_own_values(load_catalogue(), own)
    problems = []
    for _, figure, estimate in own:
        low, high = _possible(figure)
        if not low <= estimate.value <= high:
            expected = f"a value from {low:.3g} to {high:.3g} {estimate.unit} for {figure}"
            found = f"{estimate.value:g}"
            problems.append(Problem("own_values.csv", None, "value", found, expected))
    if problems:
        raise BadInput(problems)
    return changed


@cache
def _possible(figure: str) -> tuple[float, float]:
    """The least and greatest that a figure may be, by what it is among the catalogue's crops."""
    crops = load_catalogue().crops.values()
    known = [crop.figures[figure] for crop in crops if figure in crop.figures]
    if not known:
        return -math.inf, math.inf
    least, most = min(one.value for one in known), max(one.value for one in known)
    if known[0].unit == "degC" or least < 0:
        return least - (most - least), most + (most - least)
    if known[0].unit == "1" and most <= 1:
        return min(least, 1 / OWN_BEYOND), 1.0
    return least / OWN_BEYOND, most * OWN_BEYOND


def _climate(
    holding: "Holding",
    series: "list[WeatherSeries]",
    normals: "MonthlyNormals | None",
    seed: int,
) -> "Climate":
    from perennate.weather import climate_from

    site = holding.site
    return climate_from(
        series,
        site.latitude_deg,
        site.elevation_m,
        longitude_deg=site.longitude_deg,
        remembered=site.remembered,
        normals=normals,
        seed=seed,
        wind_told=site.wind_m_s,
        coast=site.coast,
    )


def days_at_hand(season: SeasonInput, as_of: date) -> "NearTerm":
    """The days about `as_of` by readings and a forecast, and by the climate where these end."""
    from perennate.weather.recent import update_with_readings

    return update_with_readings(season.climate, season.series, as_of)


def near_term(season: SeasonInput, as_of: date) -> "NearTerm | None":
    """What readings and a forecast say of the days about `as_of`; None where they say nothing."""
    near = days_at_hand(season, as_of)
    return near if any(kind != "climate" for kind in near.kind) else None


def common_names(catalogue: Catalogue) -> dict[str, str]:
    """The common name of each crop and the name of each container by its key."""
    containers = {key: container.name for key, container in catalogue.containers.items()}
    return {**containers, **{key: crop.common_name for key, crop in catalogue.crops.items()}}


@dataclass(frozen=True, slots=True)
class CropNames:
    """What the reader of a holding asks of the catalogue."""

    catalogue: Catalogue

    def find(self, name: str) -> str | None:
        """The key of a crop from any of its names."""
        crop = find_crop(self.catalogue, name)
        return crop.key if crop else None

    def suggest(self, name: str) -> tuple[str, ...]:
        """The names most like one that is not known."""
        return suggestions(self.catalogue, name)

    def portion(self, key: str) -> float | None:
        """Grams in a serving."""
        crop = self.catalogue.crops.get(key)
        figure = crop.figure("portion") if crop else None
        return figure.value if figure else None


def _holding(path: Path, catalogue: Catalogue) -> "Holding":
    from perennate.holding import read_holding, read_workbook

    crops = CropNames(catalogue)
    read = read_workbook if path.is_file() and path.suffix.casefold() == ".xlsx" else read_holding
    return read(path, crops.find, crops.suggest, crops.portion)


def _weather(
    folder: Path, names: tuple[str, ...], problems: list[Problem]
) -> "tuple[list[WeatherSeries], MonthlyNormals | None]":
    from perennate.weather import read_normals, read_weather

    series: list[WeatherSeries] = []
    normals: MonthlyNormals | None = None
    for name in names:
        try:
            if Path(name).name == _NORMALS:
                normals = read_normals(folder / name)
            else:
                series.append(read_weather(folder / name))
        except BadInput as bad:
            problems += bad.problems
        except OSError as error:
            found = error.strerror or str(error)
            problems.append(Problem(name, None, None, found, "a weather file that can be read"))
    return series, normals


def read_previous(path: Path) -> Plan:
    """The plan in a plan.json, or in the folder that holds one. BadInput when there is none."""
    from perennate.outputs.plan_json import plan_from_json

    file = path / "plan.json" if path.is_dir() else path
    try:
        data = file.read_bytes()
    except OSError as error:
        found = error.strerror or str(error)
        raise BadInput([Problem(str(path), None, None, found, "a plan.json")]) from None
    return plan_from_json(data, file.name)


OUTPUTS = ("plan.json", "jobs.ics", "todo.ics", "plan.xlsx", "season.pdf")
"""The names of the files of a season."""


def season_outputs(plan: Plan, season: SeasonInput) -> dict[str, bytes]:
    """Every file of a season by its name."""
    return {name: season_output(name, plan, season) for name in OUTPUTS}


def season_output(name: str, plan: Plan, season: SeasonInput) -> bytes:
    """One of the files of a season; KeyError when there is none of that name."""
    from perennate.outputs.calendar import jobs_ics, todo_ics
    from perennate.outputs.plan_json import plan_to_json
    from perennate.outputs.sheet import season_pdf
    from perennate.outputs.workbook import plan_xlsx

    if name == "season.pdf":
        return season_pdf(plan, season.holding, season.names, season.climate)
    made = {
        "plan.json": plan_to_json,
        "jobs.ics": jobs_ics,
        "todo.ics": todo_ics,
        "plan.xlsx": plan_xlsx,
    }
    return made[name](plan, season.names)


def put_in_place(files: Mapping[str, bytes], folder: Path) -> None:
    """Write the files into the folder, each whole or not at all.

    They are written beside the folder first; the moves themselves are not interrupted. Other
    files in the folder stay. OSError when the folder cannot be written.
    """
    folder.parent.mkdir(parents=True, exist_ok=True)
    if folder.exists() and not folder.is_dir():
        raise NotADirectoryError(f"{folder} is a file, not a folder")
    beside = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    try:
        for name, content in files.items():
            with (beside / name).open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        with _not_interrupted():
            folder.mkdir(exist_ok=True)
            for name in files:
                (beside / name).replace(folder / name)
    finally:
        shutil.rmtree(beside, ignore_errors=True)


@contextmanager
def _not_interrupted() -> Iterator[None]:
    """Holds an interrupt back until the end of the block (in the main thread)."""
    held: list[tuple[int, FrameType | None]] = []
    try:
        before = signal.signal(signal.SIGINT, lambda number, frame: held.append((number, frame)))
    except ValueError:  # not the main thread, which alone receives interrupts
        yield
        return
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
    if held and callable(before):
        before(*held[0])
