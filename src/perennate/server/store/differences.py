"""What differs between two holdings, row by row, as the log of changes keeps it.

Rows of tables with keys are known by them. Rows of tables without keys are known by what they
hold, so that such a row, when it is changed, goes and another comes.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from perennate.holding.model import Holding
from perennate.holding.schema import TABLES, table_schema
from perennate.server.store import models
from perennate.server.store.rows import Values, as_now, settings_kept, tables_of, weather_of
from perennate.terms import BadInput, Problem

SETTINGS = "settings"
ASSUMED = "assumed"
ORDER = "order"
PLAN = "plan"
WEATHER = "weather"


@dataclass(frozen=True, slots=True)
class RowChange:
    """A row before and after; None where there is none.

    `table` is a table of the holding with the row's key and values, or one of these: SETTINGS
    with the setting's name; ASSUMED with the name of what is assumed; ORDER with the name of a
    table and the order of its keys; PLAN with the number of the plan that stands; WEATHER with
    the name of a file and the digest of its content.
    """

    table: str
    key: str
    before: Any
    after: Any

    @classmethod
    def kept(cls, table: str, key: str, before: Any, after: Any) -> "RowChange":
        """A change as the log keeps it, perhaps from before a table had all its columns."""
        return cls(table, key, as_now(table, before), as_now(table, after))

    def opposite(self) -> "RowChange":
        return RowChange(self.table, self.key, self.after, self.before)


def differences(before: Holding | None, after: Holding) -> Iterable[RowChange]:
    """Every change of settings and rows that makes the one holding the other.

    BadInput when two rows of a table of the holding after have one key.
    """
    _refuse_twins(after)
    was = settings_kept(before) if before is not None else {}
    said = settings_kept(after)
    yield from _of_rows(ASSUMED, _assumed(was), _assumed(said))
    old, new = _flat(was), _flat(said)
    for name in {**old, **new}:
        if old.get(name) != new.get(name):
            yield RowChange(SETTINGS, name, old.get(name), new.get(name))
    tables = tables_of(before) if before is not None else {}
    for table, rows in tables_of(after).items():
        yield from _of_rows(table, tables.get(table, {}), rows)


def _refuse_twins(holding: Holding) -> None:
    problems = []
    for table in TABLES:
        if table_schema(table).keyed:
            counts = Counter(row.key for row in getattr(holding, table))
            twins = [key for key, count in counts.items() if count > 1]
            expected = "a key of its own for each row"
            problems += [Problem(table, None, "key", f'"{key}" twice', expected) for key in twins]
    if problems:
        raise BadInput(problems)


def weather_differences(
    store: models.Holding, holding: Holding, weather: Mapping[str, bytes] | None
) -> Iterable[RowChange]:
    """What changes of the weather files when the holding names those that it names.

    Content that is new is saved on the way. BadInput when a file is named whose content neither
    is given nor kept.
    """
    old = weather_of(store)
    digests = dict(old) if weather is None else {}
    for name, content in (weather or {}).items():
        digests[name] = sha256(content).hexdigest()
        models.Blob.objects.get_or_create(digest=digests[name], defaults={"content": content})
    missing = [name for name in holding.weather_files if name not in digests]
    if missing:
        expected = "a weather file that is given with the holding"
        raise BadInput(
            [Problem("holding", None, "weather.files", f'"{one}"', expected) for one in missing]
        )
    kept, named = (
        {name: {"blob": one[name]} for name in names}
        for names, one in ((old, old), (holding.weather_files, digests))
    )
    yield from _of_rows(WEATHER, kept, named)


def _of_rows(table: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterable[RowChange]:
    yield from (RowChange(table, key, old[key], None) for key in old if key not in new)
    yield from (
        RowChange(table, key, old.get(key), row) for key, row in new.items() if old.get(key) != row
    )
    # rows that come are put at the end
    falls = [*(key for key in old if key in new), *(key for key in new if key not in old)]
    if falls != list(new):
        yield RowChange(ORDER, table, falls, list(new))


def _assumed(settings: Values) -> dict[str, Values]:
    return {name: {} for name in settings.get(ASSUMED, {}).get("what", ())}


def _flat(settings: Values) -> Values:
    """Settings by their full names, such as "site.name"; what is no section stays whole."""
    flat: Values = {}
    for section, said in settings.items():
        if section == ASSUMED:
            continue
        if isinstance(said, dict):
            flat |= {f"{section}.{name}": value for name, value in said.items()}
        else:
            flat[section] = said
    return flat
