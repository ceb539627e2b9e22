"""Between the store's rows and what the floors below speak of: a Holding, and a Plan.

This is the one place that turns rows into a Holding and a Plan, and those into rows. A row is
handed about as its plain values by column: what JSON can hold, days as ISO text.
"""

import json
import zlib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import MISSING, asdict, dataclass, fields, replace
from datetime import date
from functools import cache
from hashlib import sha256
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder

from perennate.catalogue.reader import load_catalogue
from perennate.holding import model as of_holding
from perennate.holding.reader import MADE_OF, read_tables
from perennate.holding.schema import TABLES, table_schema
from perennate.holding.settings import settings_of
from perennate.outputs.plan_json import plan_from_json, plan_to_json
from perennate.planning.plan import Plan
from perennate.season_files import CropNames
from perennate.server.store import models
from perennate.terms import Estimate, Text

Values = dict[str, Any]

MODELS: Mapping[str, type[models.HoldingRow]] = {
    "beds": models.Bed,
    "water_sources": models.WaterSource,
    "aims": models.Aim,
    "lots": models.Lot,
    "lot_moves": models.LotMove,
    "trees": models.Tree,
    "limbs": models.Limb,
    "plantings": models.Planting,
    "records": models.Record,
    "own_values": models.OwnValue,
    "weather": models.WeatherFile,
}
_ESTIMATE = ("value", "low", "high", "unit", "source", "basis")


def plain(value: Any) -> Any:
    """A value as JSON holds it: days as ISO text, tuples as lists, all the way down."""
    return json.loads(json.dumps(value, cls=DjangoJSONEncoder))


def columns(table: str) -> tuple[str, ...]:
    """The columns of a table's rows in the store, besides key and position."""
    if table == "weather":
        return ("blob",)
    return tuple(name for name in table_schema(table).names if name != "key")


def values_of(row: models.HoldingRow, table: str) -> Values:
    """A row of the store as plain values."""
    names = ("position", *columns(table))
    return {name: plain(getattr(row, name)) for name in names}


def fields_of(table: str, values: Values) -> Values:
    """Plain values as the model's fields take them."""
    takers = {field.name: field for field in MODELS[table]._meta.fields}
    return {name: takers[name].to_python(value) for name, value in values.items()}


def as_now(table: str, values: Values | None) -> Values | None:
    """A row that was kept, perhaps before its table had all its columns, with those of today."""
    if values is None or table not in MADE_OF:
        return values
    return {**_defaults(MADE_OF[table]), **values}


def settings_as_now(settings: Values) -> Values:
    """Settings that were kept, perhaps before there were all of them, with those of today."""
    parts = {
        "site": {"coast": False},
        "nursery": asdict(of_holding.Nursery()),
        "limits": asdict(of_holding.Limits()),
        "habits": asdict(of_holding.Habits()),
    }
    said = dict(settings)
    for section, part in parts.items():
        if section in said:
            known = {name: value for name, value in part.items() if value is not None}
            said[section] = {**known, **said[section]}
    return said


@cache
def _defaults(kind: Any) -> Values:
    return plain({one.name: one.default for one in fields(kind) if one.default is not MISSING})  # type: ignore[no-any-return]


def tables_of(holding: of_holding.Holding) -> dict[str, dict[str, Values]]:
    """Every row of the holding as plain values, by table and key, in the grower's order.

    A row of a table without keys goes under what it holds, shortened to a digest.
    """
    return {name: _labelled(name, getattr(holding, name)) for name in TABLES}


def _labelled(table: str, rows: Iterable[Any]) -> dict[str, Values]:
    names = columns(table)
    if table_schema(table).keyed:
        return {one.key: plain({name: getattr(one, name) for name in names}) for one in rows}
    held: list[Values] = []
    for one in rows:
        if isinstance(one, of_holding.OwnValue):
            said = {"crop": one.crop, "figure": one.figure}
            said |= {name: getattr(one.estimate, name) for name in _ESTIMATE}
        else:
            said = {name: getattr(one, name) for name in names}
        held.append(plain(said))
    return dict(zip(numbered(held), held, strict=True))


def numbered(held: Iterable[Values]) -> list[str]:
    """A label of each row from what it holds; rows that hold the same are counted."""
    labels: list[str] = []
    counts: Counter[str] = Counter()
    for values in held:
        said = json.dumps(values, sort_keys=True, ensure_ascii=False)
        stem = sha256(said.encode("utf-8", "surrogatepass")).hexdigest()[:20]
        counts[stem] += 1
        labels.append(stem if counts[stem] == 1 else f"{stem} {counts[stem]}")
    return labels


def holding_of(store: models.Holding) -> of_holding.Holding:
    """The holding that the rows make up."""
    crops = CropNames(load_catalogue())
    bare = read_tables(store.settings, {}, crops.find, crops.suggest, crops.portion)
    rows: dict[str, Any] = {}
    for table in TABLES:
        kept = MODELS[table].objects.filter(holding=store)  # type: ignore[attr-defined]
        rows[table] = tuple(_made(table, row) for row in kept)
    # settings read without the rows know nothing of what is assumed of rows
    assumed = tuple(store.settings.get("assumed", {}).get("what", ()))
    weather_files = tuple(weather_of(store))
    return replace(bare, **rows, weather_files=weather_files, assumed=assumed)


def _made(table: str, row: Any) -> Any:
    if table == "own_values":
        estimate = Estimate(**{name: getattr(row, name) for name in _ESTIMATE})
        return of_holding.OwnValue(row.crop, row.figure, estimate)
    said = {name: getattr(row, name) for name in columns(table)}
    if table_schema(table).keyed:
        said["key"] = row.key
    return MADE_OF[table](
        **{name: tuple(one) if isinstance(one, list) else one for name, one in said.items()}
    )


def weather_of(store: models.Holding) -> dict[str, str]:
    """The digest of each weather file's content by the file's name."""
    kept = models.WeatherFile.objects.filter(holding=store)
    return {row.key: row.blob for row in kept}


def settings_kept(holding: of_holding.Holding) -> Values:
    """What the holding's settings say, but for weather files, which are rows."""
    said = plain(settings_of(holding))
    said.pop("weather", None)
    return dict(said)


def texts_kept(texts: Sequence[Text]) -> list[list[Any]]:
    """Texts as JSON: code and parameters; a day stays a day."""
    return [[one.code, {name: _marked(value) for name, value in one.params}] for one in texts]


def texts_of(kept: Iterable[Sequence[Any]]) -> tuple[Text, ...]:
    """The texts that were kept."""
    return tuple(
        Text(code, tuple(sorted((name, _unmarked(value)) for name, value in said.items())))
        for code, said in kept
    )


def _marked(value: Any) -> Any:
    return {"date": value.isoformat()} if isinstance(value, date) else value


def _unmarked(value: Any) -> Any:
    return date.fromisoformat(value["date"]) if isinstance(value, dict) else value


@dataclass(frozen=True, slots=True)
class PlanInputs:
    """What a plan was made from, beside the catalogue that the program ships."""

    settings: Values
    tables: dict[str, dict[str, Values]]
    weather: dict[str, str]
    as_of: str
    seed: int
    effort: str
    previous: int | None
    program: str


def plan_row(
    store: models.Holding,
    number: int,
    plan: Plan,
    inputs: PlanInputs,
    names: Mapping[str, str],
) -> models.Plan:
    """The plan as a row, not yet saved."""
    said = {name: getattr(inputs, name) for name in PlanInputs.__slots__}
    return models.Plan(
        holding=store,
        number=number,
        as_of=plan.as_of,
        version=plan.version,
        content=zlib.compress(plan_to_json(plan, names)),
        inputs=zlib.compress(json.dumps(said, ensure_ascii=False).encode("utf-8")),
    )


def plan_of(row: models.Plan) -> Plan:
    """The plan that the row keeps. BadInput when it is of another major version."""
    return plan_from_json(zlib.decompress(bytes(row.content)), f"plan {row.number}")


def inputs_of(row: models.Plan) -> PlanInputs:
    """What the row's plan was made from, with the columns of today."""
    inputs = PlanInputs(**json.loads(zlib.decompress(bytes(row.inputs))))
    kept = {name: inputs.tables.get(name, {}) for name in TABLES}
    tables = {
        name: {key: as_now(name, values) or {} for key, values in rows.items()}
        for name, rows in kept.items()
    }
    return replace(inputs, settings=settings_as_now(inputs.settings), tables=tables)
