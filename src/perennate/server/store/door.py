"""The one door through which a holding is changed, and back through which a change is taken.

A change is given as the holding before and after it. What differs is written row by row, in one
transaction with its entry in the log; undo writes the opposite and is itself a change.
"""

from collections.abc import Callable, Mapping, Sequence

from django.db import transaction
from django.utils.text import slugify

from perennate.catalogue.reader import load_catalogue
from perennate.holding.model import Holding
from perennate.holding.reader import read_tables
from perennate.holding.settings import settings_of
from perennate.holding.writer import table_rows
from perennate.season_files import CropNames, own_catalogue
from perennate.server.store import models
from perennate.server.store.differences import (
    PLAN,
    RowChange,
    differences,
    weather_differences,
)
from perennate.server.store.rows import holding_of, texts_kept
from perennate.server.store.writing import OvertakenError, write
from perennate.terms import BadInput, Problem, Text, text

__all__ = ["OvertakenError", "apply", "begin", "free_slug", "keep_plan", "stand_on", "undo"]


def begin(
    name: str,
    holding: Holding,
    weather: Mapping[str, bytes],
    what: Text,
    slug: str = "",
) -> models.Holding:
    """Take a holding into the store that is not there yet; one change, so one transaction.

    BadInput when its slug is taken.
    """
    word = slug or free_slug(name)
    with transaction.atomic():
        if models.Holding.objects.filter(slug=word).exists():
            raise BadInput([Problem("store", None, None, f'a holding "{word}"', "another name")])
        store = models.Holding.objects.create(slug=word, name=name, settings={})
        apply(store.pk, what, None, holding, weather=weather)
        store.refresh_from_db()
    return store


def free_slug(name: str) -> str:
    """A short form of the name for addresses that no holding has yet."""
    stem = slugify(name, allow_unicode=True)[:60] or "holding"
    taken = set(models.Holding.objects.filter(slug__startswith=stem).values_list("slug", flat=True))
    word, count = stem, 1
    while word in taken:
        count += 1
        word = f"{stem}-{count}"
    return word


def apply(
    holding_id: int,
    what: Text,
    before: Holding | None,
    after: Holding,
    *,
    weather: Mapping[str, bytes] | None = None,
    said: Sequence[Text] = (),
) -> models.Change | None:
    """Change the holding from what it was before to what it is after; None when nothing differs.

    `weather` gives the weather files' content where they change; `said` is what the change does
    to the plan. Rows that others changed meanwhile are
    left as they are unless this change touches them: then OvertakenError is raised and nothing
    done. BadInput, with nothing done, when the holding would not be sound.
    """
    with transaction.atomic():
        store = models.Holding.objects.select_for_update().get(pk=holding_id)
        rows = list(differences(before, after))
        if weather is not None or before is None or before.weather_files != after.weather_files:
            rows += weather_differences(store, after, weather)
        return _pass(store, what, rows, said=said)


def undo(change_id: int) -> models.Change:
    """Take a change back; undoing an undo brings it again.

    OvertakenError when something that it changed was changed since, BadInput when the holding
    would not be sound without it.
    """
    with transaction.atomic():
        change = models.Change.objects.select_related("holding").get(pk=change_id)
        if models.Change.objects.filter(undoes=change).exists():
            raise OvertakenError("changes", str(change.number))
        rows = [RowChange.kept(*row).opposite() for row in reversed(change.rows)]
        what = text("change.undone", number=change.number)
        done = _pass(change.holding, what, rows, undoes=change)
        assert done is not None, "the opposite of a change always differs"
        return done


def keep_plan(holding_id: int, row_of: Callable[[models.Holding, int], models.Plan]) -> models.Plan:
    """Save a new plan under the next number; it does not stand until a change says so."""
    with transaction.atomic():
        store = models.Holding.objects.select_for_update().get(pk=holding_id)
        last = models.Plan.objects.filter(holding=store).first()
        row = row_of(store, last.number + 1 if last else 1)
        row.save()
        return row


def stand_on(
    holding_id: int, plan: models.Plan, what: Text, said: Sequence[Text] = ()
) -> models.Change | None:
    """Let this plan be the one that stands."""
    with transaction.atomic():
        store = models.Holding.objects.select_for_update().get(pk=holding_id)
        rows = [RowChange(PLAN, "", store.plan and store.plan.number, plan.number)]
        return _pass(store, what, rows, said=said)


def _pass(
    store: models.Holding,
    what: Text,
    rows: Sequence[RowChange],
    said: Sequence[Text] = (),
    undoes: models.Change | None = None,
) -> models.Change | None:
    """Write the rows and the log's entry; within a transaction of the caller's."""
    if not rows:
        return None
    written = write(store, rows)
    if any(row.table != PLAN for row in rows):
        _refuse_unsound(holding_of(store))
    store.edition += 1
    store.save()
    return models.Change.objects.create(
        holding=store,
        number=store.edition,
        what=texts_kept([what])[0],
        said=texts_kept(said),
        rows=[[row.table, row.key, row.before, row.after] for row in written],
        undoes=undoes,
    )


def _refuse_unsound(holding: Holding) -> None:
    """BadInput when the holding would not be read back from its own tables, or when one of its
    own values does not fit the catalogue."""
    crops = CropNames(load_catalogue())
    said, tables = settings_of(holding), table_rows(holding)
    said.pop("weather", None)
    read_tables(said, tables, crops.find, crops.suggest, crops.portion)
    own_catalogue(holding)
