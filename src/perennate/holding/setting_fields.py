"""The settings of holding.toml as the columns of a table are known: kind, unit, range, meaning."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from typing import Any, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from perennate.holding.model import Holding
from perennate.holding.schema import Field, FieldType
from perennate.holding.settings import PersonPart, Settings, settings_of

SECTIONS = (
    "site",
    "remembered",
    "plan",
    "people",
    "food",
    "nursery",
    "limits",
    "habits",
    "reading",
)
"""The sections that a person sets, in the order in which they are asked for."""

MONTH_DAYS = ("remembered.last_frost", "remembered.first_frost", "plan.year_start")
"""The settings that are a day of every year."""

_UNITS = {
    "_deg": "°",
    "_m": "m",
    "_m_s": "m/s",
    "_c": "degC",
    "_m2": "m2",
    "_kg": "kg",
    "_years": "years",
    "_l": "l",
    "_per_week": "h",
    "_mm_per_year": "mm",
}
_TAKEN = ("m", "m2", "degC", "l", "kg", "m/s")
"""The units in whose place another may be written."""
_MEANS: Mapping[str, str] = {
    "site.name": "What the holding is called.",
    "site.latitude_deg": "Degrees north of the equator; south of it with a minus.",
    "site.longitude_deg": "Degrees east of Greenwich; west of it with a minus. May stay empty.",
    "site.elevation_m": "Height above the sea.",
    "site.wind_m_s": "Mean wind 2 m above the ground in the growing season; may stay empty.",
    "site.coast": "Whether the sea or a large lake lies near enough to keep nights mild.",
    "remembered.last_frost": "Last frost of the cold season in most years, such as 10 May.",
    "remembered.first_frost": "First frost of the cold season in most years, such as 5 Oct.",
    "remembered.coldest_night_c": "Coldest night of most years.",
    "remembered.hottest_day_c": "Hottest day of most years.",
    "remembered.wet_months": "Months with much rain by number, 6 is June, semicolons between.",
    "remembered.no_frost": "Whether frost is not known here at all.",
    "plan.as_of": "The day to plan from; empty: the day on which a plan is asked for.",
    "plan.weeks": "How many weeks to plan.",
    "plan.year_start": "First day of your year: where summer falls over new year, 1 July.",
    "people.name": "What they are called; may stay empty.",
    "people.sex": "For what a body of that kind needs.",
    "people.age_years": "Age in years.",
    "people.weight_kg": "Weight.",
    "people.activity": (
        "1.4 sits most of the day, 1.6 moves about, 1.8 works with the body. Empty: 1.6."
    ),
    "food.eats": "Crops that you eat, semicolons between; empty: any that can be eaten.",
    "food.processes": (
        "Crops that are only safe after work (soaking, long boiling) that you do: semicolons"
        " between."
    ),
    "nursery.bench_m2": "Bench where you raise plants; 0 when all is sown in the beds.",
    "nursery.warm_m2": "How much of the bench is kept warm.",
    "nursery.min_night_c": "Coldest night on the bench.",
    "nursery.container": "What plants are raised in, by the catalogue's key.",
    "limits.hours_per_week": "Hours of work that there are in a week; empty: no limit.",
    "limits.compost_l": "Compost at hand; empty: no limit.",
    "limits.water_l": (
        "All water that the beds may get from any source over the plan's span; empty: no limit."
    ),
    "habits.least_piece_m": "The shortest piece of bed worth a sowing.",
    "habits.most_kinds_at_once": "No more kinds growing at one time than this.",
    "habits.surety": "How sure the number of plants shall be: 0.9 is nine years in ten.",
    "habits.least_ground": "Whether to use as little ground as will do.",
    "habits.rotation_by": "Whether rests are kept by the whole bed or by its halves.",
    "habits.compost_mm_per_year": "Compost laid on a bed in a year, in millimetres of depth.",
    "habits.watering": (
        "full: no harvest is lost to drought; sparing: only young plants and sensitive stages;"
        " none: rain only, but for settling in."
    ),
    "habits.watering_every_days": "The least days between two waterings of a bed.",
    "reading.units": "Which units quantities are shown in.",
    "reading.decimal": "The decimal sign that you write; empty: told from the number.",
    "reading.dates": "What 3/4/2027 means; empty: it is asked.",
}


@cache
def setting_fields(section: str) -> tuple[Field, ...]:
    """The settings of a section as fields named "section.setting"; KeyError for no section."""
    kind = PersonPart if section == "people" else Settings.model_fields[section].annotation
    assert isinstance(kind, type)
    assert issubclass(kind, BaseModel)
    described = kind.model_json_schema()
    needed = described.get("required", ())
    return tuple(
        _field(section, name, part, name in needed, _bounds(kind.model_fields[name]))
        for name, part in described["properties"].items()
    )


def _bounds(info: FieldInfo) -> tuple[float | None, float | None]:
    """The least and the greatest value that the setting's type allows."""
    told = [*info.metadata]
    for inner in (info.annotation, *get_args(info.annotation)):
        for part in getattr(inner, "__metadata__", ()):
            told += part.metadata if isinstance(part, FieldInfo) else [part]
    found: dict[str, float] = {}
    for one in told:
        for name in ("ge", "gt", "le", "lt"):
            if getattr(one, name, None) is not None:
                found[name[0]] = getattr(one, name)
    return found.get("g"), found.get("l")


def _field(
    section: str,
    name: str,
    described: Mapping[str, Any],
    required: bool,
    bounds: tuple[float | None, float | None],
) -> Field:
    kinds = [one for one in described.get("anyOf", [described]) if one.get("type") != "null"]
    part = kinds[0]
    is_list = part.get("type") == "array" and "prefixItems" not in part
    low, high = bounds
    return Field(
        name=f"{section}.{name}",
        type=_type_of(part),
        description=_MEANS[f"{section}.{name}"],
        required=required,
        choices=tuple(part.get("enum", ())),
        low=low,
        high=high,
        unit=setting_unit(name) if setting_unit(name) in _TAKEN else "",
        unit_column="",
        refers_to="",
        separator=";" if is_list else "",
    )


def _type_of(part: Mapping[str, Any]) -> FieldType:
    kind = part.get("type", "string")
    if kind == "string" and part.get("format") == "date":
        return "date"
    if kind in ("number", "integer", "boolean"):
        known: dict[str, FieldType] = {
            "number": "number",
            "integer": "integer",
            "boolean": "boolean",
        }
        return known[kind]
    return "string"


def person_field(field: Field, number: int) -> Field:
    """The field of one of the people: "people.age_years" becomes "people.2.age_years"."""
    section, _, name = field.name.partition(".")
    return replace(field, name=f"{section}.{number}.{name}")


def setting_cells(holding: Holding) -> dict[str, str]:
    """Every setting that is said, as a person writes it, by its name."""
    cells: dict[str, str] = {}
    for section, part in settings_of(holding).items():
        if section == "people":
            for number, person in enumerate(part, 1):
                for name, value in person.items():
                    cells[f"people.{number}.{name}"] = _written(value)
        elif section in SECTIONS:
            for name, value in part.items():
                cells[f"{section}.{name}"] = _written(value)
    return cells


def _written(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{value:.10g}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple | list):
        return "; ".join(_written(one) for one in value)
    return str(value)


def setting_called(name: str) -> str:
    """What a setting is called: "site.elevation_m" is "elevation"."""
    last, unit = name.rpartition(".")[2], _unit_ending(name)
    plain = last if unit.startswith(("_per", "_mm")) else last.removesuffix(unit)
    return plain.replace("_", " ")


def setting_unit(name: str) -> str:
    """The unit that a bare number of a setting is in; empty when it has none."""
    return _UNITS.get(_unit_ending(name), "")


def _unit_ending(name: str) -> str:
    return max((end for end in _UNITS if name.endswith(end)), key=len, default="")
