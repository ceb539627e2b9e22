"""A plan as JSON and back: the same plan gives the same bytes on every machine.

Numbers are rounded when written, since processors differ in the last bits. A Text is written as
its code, its parameters and, for people, its sentence; only code and parameters are read back.
The form is described in docs/plan.md and by plan.schema.json beside this file.
"""

import json
import math
from collections.abc import Mapping
from dataclasses import Field, fields, is_dataclass
from datetime import date
from functools import cache
from typing import Any

from pydantic import TypeAdapter, ValidationError

from perennate.planning.plan import VERSION, Plan
from perennate.terms import BadInput, Estimate, Problem, Text
from perennate.terms.text import Value
from perennate.words import Units, say

_SHARES = frozenset(
    {"met", "frost_risk", "heat_risk", "energy_share", "protein_share", "gain", "gap"}
    | {"gap_before_placing", "gap_after_placing"}
)
_DECIMALS: Mapping[str, int] = {
    **dict.fromkeys(_SHARES, 4),
    **dict.fromkeys(("minutes", "kcal_per_m2", "elevation_m"), 1),
    "latitude_deg": 5,
}
_USUAL_DECIMALS = 3
_ENDS = ("value", "low", "high")
_SHARE_UNITS = frozenset({"share", "1", ""})


@cache
def _adapter() -> TypeAdapter[Plan]:
    return TypeAdapter(Plan)


def plan_to_json(plan: Plan, names: Mapping[str, str] | None = None) -> bytes:
    """The plan as UTF-8 JSON, keys in the order of the plan's own fields, ending in a newline.

    `names`: common names of crops by key, for the sentences only. Kilograms and metres have 3
    decimals, shares 4. ValueError when a number is not finite; KeyError when a code has no words.
    """
    data = _written(plan, "plan", plan.holding.units, names)
    shown = json.dumps(data, ensure_ascii=False, allow_nan=False, indent=1)
    return (shown + "\n").encode("utf-8")


def plan_from_json(data: bytes, file: str = "plan.json") -> Plan:
    """The plan that was written. BadInput with every problem found when it is not a plan."""
    try:
        raw = json.loads(data.decode("utf-8-sig"), parse_constant=_no_number)
    except UnicodeDecodeError as error:
        raise _refused(file, None, f"bytes that are not UTF-8 at {error.start}", "UTF-8") from None
    except json.JSONDecodeError as error:
        found = f"{error.msg} at line {error.lineno}"
        raise _refused(file, None, found, "a plan written as JSON") from None
    except _NotFiniteError as error:
        raise _refused(file, None, str(error), "finite numbers") from None
    except RecursionError:
        raise _refused(file, None, "JSON nested too deep", "a plan written as JSON") from None
    version = raw.get("version") if isinstance(raw, dict) else None
    if not isinstance(version, str) or version.split(".")[0] != VERSION.split(".")[0]:
        found = "no version" if version is None else f"version {version!r}"
        raise _refused(file, "version", found, f"a plan of version {VERSION}")
    try:
        return _adapter().validate_python(_read(raw))
    except ValidationError as error:
        raise BadInput(
            Problem(
                file,
                None,
                ".".join(str(step) for step in fault["loc"]),
                "nothing" if fault["type"] == "missing" else repr(fault["input"])[:60],
                fault["msg"],
            )
            for fault in error.errors(include_url=False)
        ) from None


class _NotFiniteError(Exception):
    """NaN or Infinity, which JSON does not know although readers often let it pass."""


def _no_number(name: str) -> float:
    raise _NotFiniteError(name)


def _refused(file: str, column: str | None, found: str, expected: str) -> BadInput:
    return BadInput([Problem(file, None, column, found, expected)])


def _written(value: Any, name: str, units: Units, names: Mapping[str, str] | None) -> Any:
    if isinstance(value, Text):
        kept = Text(value.code, tuple((key, _parameter(given)) for key, given in value.params))
        return {
            "code": kept.code,
            "params": {key: _marked(given) for key, given in kept.params},
            "text": say(kept, units=units, names=names),
        }
    if isinstance(value, Estimate):
        decimals = 4 if value.unit in _SHARE_UNITS else _DECIMALS.get(name, _USUAL_DECIMALS)
        numbers = {part: _rounded(getattr(value, part), decimals) for part in _ENDS}
        return {**numbers, "unit": value.unit, "source": value.source, "basis": value.basis}
    if is_dataclass(value):
        return {
            field.name: _written(_as_declared(value, field), field.name, units, names)
            for field in fields(value)
        }
    if isinstance(value, tuple):
        return [_written(item, name, units, names) for item in value]
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return _rounded(value, _DECIMALS.get(name, _USUAL_DECIMALS))
    return value


def _as_declared(value: Any, field: Field[Any]) -> Any:
    """A whole number where the plan declares a float is written as the float it stands for."""
    given = getattr(value, field.name)
    declared = field.type in (float, float | None)
    return float(given) if declared and isinstance(given, int) else given


def _rounded(value: float, decimals: int) -> float:
    if not math.isfinite(value):
        raise ValueError(f"a plan holds finite numbers only, not {value}")
    return round(float(value), decimals) + 0.0


def _parameter(value: Value) -> Value:
    """A parameter as it is kept: the sentence is put together from what can be read back."""
    if isinstance(value, float):
        return _rounded(float(f"{value:.4g}") if abs(value) < 1000 else round(value), 6)
    return value


def _marked(value: Value) -> Any:
    """Dates are marked, so that a name that looks like a date stays a name."""
    return {"date": value.isoformat()} if isinstance(value, date) else value


def _read(value: Any) -> Any:
    """JSON as the validator takes it: texts with their parameters as pairs, in order of name."""
    if isinstance(value, list):
        return [_read(item) for item in value]
    if not isinstance(value, dict):
        return value
    params = value.get("params")
    if "code" in value and isinstance(params, dict):
        pairs = [(key, _given(given)) for key, given in sorted(params.items())]
        return {"code": value["code"], "params": pairs}
    return {key: _read(item) for key, item in value.items()}


def _given(value: Any) -> Any:
    if isinstance(value, dict) and set(value) == {"date"}:
        try:
            return date.fromisoformat(value["date"])
        except (TypeError, ValueError):
            return value
    return value
