"""Changes of rows written to the store, each after making sure that the row is as it was."""

from collections.abc import Sequence
from typing import Any

from perennate.holding.schema import table_schema
from perennate.server.store import models
from perennate.server.store.differences import ASSUMED, ORDER, PLAN, SETTINGS, WEATHER, RowChange
from perennate.server.store.rows import (
    MODELS,
    Values,
    fields_of,
    numbered,
    settings_as_now,
    values_of,
)


class OvertakenError(Exception):
    """What was to be changed is no longer as it was when the change was thought of."""

    def __init__(self, table: str, key: str) -> None:
        self.table, self.key = table, key
        super().__init__(f"{table}: {key}")


def write(store: models.Holding, changes: Sequence[RowChange]) -> list[RowChange]:
    """Write the changes; gives them as they are to be kept in the log: with the places in the
    grower's order that rows gave up or took. The holding's own row is altered, not yet saved.

    OvertakenError, with some of it written, when a row is not as the change says it was: the
    caller's transaction is to be rolled back.
    """
    written: list[RowChange] = []
    tables: dict[str, _Table] = {}
    store.settings = settings_as_now(store.settings)
    for change in changes:
        name = change.key if change.table == ORDER else change.table
        if name == SETTINGS:
            _set(store, change)
        elif name == ASSUMED:
            change = _assume(store, change)
        elif name == PLAN:
            _stand(store, change)
        else:
            if name not in tables:
                tables[name] = _Table(store, name)
            change = tables[name].write(change)
        written.append(change)
    for table in tables.values():
        table.save()
    return written


def _set(store: models.Holding, change: RowChange) -> None:
    section, _, name = change.key.partition(".")
    if not name:
        holder, name = store.settings, section
    else:
        holder = store.settings.setdefault(section, {})
    if holder.get(name) != change.before:
        raise OvertakenError(SETTINGS, change.key)
    if change.after is None:
        holder.pop(name, None)
    else:
        holder[name] = change.after
    if change.key == "site.name":
        store.name = change.after or store.name


def _assume(store: models.Holding, change: RowChange) -> RowChange:
    names: list[str] = store.settings.setdefault(ASSUMED, {}).setdefault("what", [])
    if change.table == ORDER:
        there = [name for name in names if name in change.before]
        if there != [name for name in change.before if name in names]:
            raise OvertakenError(ASSUMED, ORDER)
        slots = [place for place, name in enumerate(names) if name in change.after]
        for place, name in zip(slots, [one for one in change.after if one in names], strict=True):
            names[place] = name
    elif (change.before is not None) != (change.key in names):
        raise OvertakenError(ASSUMED, change.key)
    elif change.after is None:
        before = {"position": names.index(change.key)}
        names.remove(change.key)
        change = RowChange(ASSUMED, change.key, before, None)
    else:
        place = change.after.get("position", len(names))
        names.insert(place, change.key)
        change = RowChange(ASSUMED, change.key, None, {"position": place})
    if not names:
        del store.settings[ASSUMED]
    return change


def _stand(store: models.Holding, change: RowChange) -> None:
    if (store.plan and store.plan.number) != change.before:
        raise OvertakenError(PLAN, change.key)
    number = change.after
    store.plan = store.plans.get(number=number) if number is not None else None


class _Table:
    """The rows of one table of a holding in the grower's order, while changes are written."""

    def __init__(self, store: models.Holding, name: str) -> None:
        self._store, self._name, self._kind = store, name, MODELS[name]
        self._keyed = name == WEATHER or table_schema(name).keyed
        self._rows: list[Any] = list(self._kind.objects.filter(holding=store))  # type: ignore[attr-defined]
        self._created: list[Any] = []
        self._moved: dict[int, Any] = {}

    def write(self, change: RowChange) -> RowChange:
        if change.table == ORDER:
            self._order(change)
            return change
        row = self._find(change)
        now = values_of(row, self._name) if row is not None else None
        if _without_place(now) != _without_place(change.before):
            raise OvertakenError(self._name, change.key)
        if row is None:
            return self._create(change)
        if change.after is None:
            self._rows.remove(row)
            if row in self._created:
                self._created.remove(row)
            else:
                row.delete()
            return RowChange(self._name, change.key, now, None)
        for name, value in fields_of(self._name, change.after).items():
            setattr(row, name, value)
        row.save()
        return change

    def save(self) -> None:
        if self._created:
            self._kind.objects.bulk_create(self._created)  # type: ignore[attr-defined]
        moved = [row for row in self._moved.values() if row.pk is not None]
        if moved:
            self._kind.objects.bulk_update(moved, ["position"])  # type: ignore[attr-defined]

    def _find(self, change: RowChange) -> Any | None:
        if self._keyed:
            return next((row for row in self._rows if row.key == change.key), None)
        if change.before is None:
            return None
        wanted = _without_place(change.before)
        for row in reversed(self._rows):
            if _without_place(values_of(row, self._name)) == wanted:
                return row
        raise OvertakenError(self._name, change.key)

    def _create(self, change: RowChange) -> RowChange:
        place = change.after.get("position")
        if place is None:
            place = self._store.places
            self._store.places += 1
        after = {**change.after, "position": place}
        key = change.key
        if not self._keyed:
            taken = {row.key for row in self._rows}
            stem, count = key.partition(" ")[0], 1
            key = stem
            while key in taken:
                count += 1
                key = f"{stem} {count}"
        fields = fields_of(self._name, after)
        row = self._kind(holding=self._store, key=key, **fields)  # type: ignore[misc]
        self._created.append(row)
        self._rows.append(row)
        self._rows.sort(key=lambda one: one.position)
        return RowChange(self._name, change.key, None, after)

    def _labels(self) -> list[str]:
        if self._keyed:
            return [row.key for row in self._rows]
        return numbered(_without_place(values_of(row, self._name)) for row in self._rows)

    def _order(self, change: RowChange) -> None:
        labelled = dict(zip(self._labels(), self._rows, strict=True))
        there = [label for label in labelled if label in set(change.before)]
        if there != [label for label in change.before if label in labelled]:
            raise OvertakenError(self._name, ORDER)
        places = [labelled[label].position for label in there]
        wanted = [labelled[label] for label in change.after if label in labelled]
        for row, place in zip(wanted, places, strict=True):
            if row.position != place:
                row.position = place
                self._moved[id(row)] = row
        self._rows.sort(key=lambda one: one.position)


def _without_place(values: Values | None) -> Values:
    return {name: value for name, value in (values or {}).items() if name != "position"}
