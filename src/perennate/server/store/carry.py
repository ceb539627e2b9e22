"""A holding carried between the store and a folder, an archive or a workbook."""

import os
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from django.db import transaction
from django.utils.text import slugify

from perennate.catalogue.reader import load_catalogue
from perennate.holding import (
    read_archive,
    read_workbook_bytes,
    workbook_bytes,
    write_archive,
    write_holding,
)
from perennate.holding.model import Holding
from perennate.planning.plan import Plan
from perennate.season_files import CropNames, read_season, season_of
from perennate.server.store import models
from perennate.server.store.door import apply, begin, free_slug, keep_plan, stand_on
from perennate.server.store.rows import (
    PlanInputs,
    holding_of,
    plan_row,
    settings_kept,
    tables_of,
    weather_of,
)
from perennate.terms import BadInput, Problem, text


@dataclass(frozen=True, slots=True)
class Carried:
    """A holding with the content of its weather files by name, as it came from outside."""

    name: str
    holding: Holding
    weather: Mapping[str, bytes]


def read_carried(path: Path) -> Carried:
    """The holding in a folder, a .zip or an .xlsx workbook with its weather files beside it.

    BadInput with every problem of the holding and its weather at once.
    """
    crops = CropNames(load_catalogue())
    ask = (crops.find, crops.suggest, crops.portion)
    kind = path.suffix.casefold()
    if path.is_file() and kind == ".zip":
        holding, weather = read_archive(path, *ask)
        season_of(holding, weather)
        return Carried(holding.site.name or path.stem, holding, weather)
    holding = read_season(path).holding
    folder = path.parent if path.is_file() else path
    weather = {name: (folder / name).read_bytes() for name in holding.weather_files}
    return Carried(holding.site.name or path.stem, holding, weather)


def read_uploaded(name: str, data: bytes, beside: Mapping[str, bytes] | None = None) -> Carried:
    """The holding in an uploaded archive or workbook; BadInput when it is neither or not sound.

    `beside`: weather files that are here already, of which a workbook tells the names alone.
    """
    crops = CropNames(load_catalogue())
    ask = (crops.find, crops.suggest, crops.portion)
    kind = Path(name).suffix.casefold()
    weather: dict[str, bytes] = {}
    if kind == ".xlsx":
        here = beside or {}
        try:
            holding = read_workbook_bytes(data, *ask, tuple(here))
        except BadInput as bad:
            raise BadInput([_told(one) for one in bad.problems]) from None
        weather = {one: here[one] for one in holding.weather_files}
    elif kind == ".zip":
        holding, weather = read_archive(data, *ask)
    else:
        found = f'"{name}"'
        raise BadInput([Problem(name, None, None, found, "a .zip of a holding or an .xlsx")])
    season_of(holding, weather)
    return Carried(holding.site.name or Path(name).stem, holding, weather)


def _told(problem: Problem) -> Problem:
    """A weather file that a workbook names without holding it: what to do about it."""
    if problem.column != "weather.files":
        return problem
    expected = "a weather file that is here, and a workbook brings none: send the .zip of this"
    expected += " holding, or empty this cell and add the weather file afterwards"
    return replace(problem, expected=expected)


def take_in(carried: Carried, slug: str = "", plan: Plan | None = None) -> models.Holding:
    """Put the holding into the store in one transaction: as a new one, or, where one of this slug
    (made from its name unless given) is there, as one change of it, which can be undone."""
    word = slug or slugify(carried.name, allow_unicode=True)[:60] or "holding"
    if word != slugify(word, allow_unicode=True) or len(word) > 80:
        expected = "up to 80 small letters, digits and hyphens"
        raise BadInput([Problem("import", None, "--as", f'"{word}"', expected)])
    what = text("change.imported", name=carried.name)
    with transaction.atomic():
        store = models.Holding.objects.filter(slug=word).first()
        if store is None:
            store = begin(carried.name, carried.holding, carried.weather, what, word)
        else:
            apply(store.pk, what, holding_of(store), carried.holding, weather=carried.weather)
        if plan is not None:
            _keep(store, carried, plan)
    store.refresh_from_db()
    return store


def take_in_new(carried: Carried) -> models.Holding:
    """Put the holding into the store beside what is there, under a slug of its own."""
    return take_in(carried, free_slug(carried.name))


def _keep(store: models.Holding, carried: Carried, plan: Plan) -> None:
    holding = carried.holding
    inputs = PlanInputs(
        settings=settings_kept(holding),
        tables=tables_of(holding),
        weather=weather_of(store),
        as_of=plan.as_of.isoformat(),
        seed=plan.seed,
        effort=plan.effort,
        previous=None,
        program=plan.version,
    )
    names = season_of(holding, carried.weather).names
    row = keep_plan(store.pk, lambda one, number: plan_row(one, number, plan, inputs, names))
    stand_on(store.pk, row, text("change.plan_imported", number=row.number))


def weather_content(store: models.Holding) -> dict[str, bytes]:
    """The weather files that the store keeps for the holding, by name."""
    digests = weather_of(store)
    blobs = models.Blob.objects.in_bulk(list(digests.values()))
    return {name: bytes(blobs[digest].content) for name, digest in digests.items()}


def archive_of(store: models.Holding) -> bytes:
    """The holding as a .zip of its folder, with its weather files."""
    return write_archive(holding_of(store), weather_content(store))


def workbook_of(store: models.Holding) -> bytes:
    """The holding as an .xlsx workbook; weather files are named in it, not held."""
    return workbook_bytes(holding_of(store))


def give_out(store: models.Holding, path: Path) -> None:
    """Write the holding to a folder, a .zip or an .xlsx, by the ending of the path.

    Beside a workbook go the weather files that it names; BadInput when others of these names are
    there. OSError when the path cannot be written.
    """
    kind = path.suffix.casefold()
    weather = weather_content(store)
    if kind == ".zip":
        _put(path, archive_of(store))
        return
    if kind == ".xlsx":
        others = [
            name for name, content in weather.items() if _is_other(path.parent / name, content)
        ]
        if others:
            expected = f"no other weather file of this name beside {path.name}"
            raise BadInput([Problem(one, None, None, "another one", expected) for one in others])
        for name, content in weather.items():
            _put(path.parent / name, content)
        _put(path, workbook_of(store))
        return
    with tempfile.TemporaryDirectory(prefix="weather-") as beside:
        for name, content in weather.items():
            _put(Path(beside) / name, content)
        write_holding(holding_of(store), path, weather_from=Path(beside))
    for name, content in weather.items():
        if _is_other(path / name, content):
            _put(path / name, content)


def _is_other(file: Path, content: bytes) -> bool:
    return file.exists() and file.read_bytes() != content


def _put(file: Path, content: bytes) -> None:
    """Write the file whole or not at all."""
    file.parent.mkdir(parents=True, exist_ok=True)
    handle, staged = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}-")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
        os.chmod(staged, 0o644)
        os.replace(staged, file)
    finally:
        Path(staged).unlink(missing_ok=True)
