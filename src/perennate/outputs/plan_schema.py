"""The JSON Schema of a plan, made from the plan's own dataclasses.

    python -m perennate.outputs.plan_schema > src/perennate/outputs/plan.schema.json

writes it anew after a change of the dataclasses; a test holds the two together.
"""

import json
import sys
from importlib.resources import files
from typing import Any

from pydantic import TypeAdapter

from perennate.planning.plan import VERSION, Plan

DIALECT = "https://json-schema.org/draft/2020-12/schema"

_TEXT: dict[str, Any] = {
    "type": "object",
    "description": "A sentence: its code, its parameters and the words as shown when written.",
    "properties": {
        "code": {"type": "string"},
        "params": {
            "type": "object",
            "additionalProperties": {
                "anyOf": [
                    {"type": "string"},
                    {"type": "number"},
                    {
                        "type": "object",
                        "properties": {"date": {"type": "string", "format": "date"}},
                        "required": ["date"],
                        "additionalProperties": False,
                    },
                ]
            },
        },
        "text": {"type": "string"},
    },
    "required": ["code", "params", "text"],
    "additionalProperties": False,
}


def plan_schema() -> dict[str, Any]:
    """The schema (draft 2020-12) of what `plan_to_json` writes."""
    schema = TypeAdapter(Plan).json_schema(mode="serialization")
    definitions = schema.pop("$defs")
    definitions["Text"] = _TEXT
    top = _closed(schema)
    return {
        "$schema": DIALECT,
        "title": f"Perennate plan, version {VERSION}",
        **{key: value for key, value in top.items() if key != "title"},
        "$defs": {name: _closed(definitions[name]) for name in sorted(definitions)},
    }


def schema_bytes() -> bytes:
    """The schema as it stands in plan.schema.json."""
    return (json.dumps(plan_schema(), indent=1, ensure_ascii=False) + "\n").encode("utf-8")


def shipped_schema() -> dict[str, Any]:
    """The schema that ships with the package."""
    raw = files("perennate.outputs").joinpath("plan.schema.json").read_bytes()
    shipped: dict[str, Any] = json.loads(raw)
    return shipped


def _closed(schema: dict[str, Any]) -> dict[str, Any]:
    """Every field is written always, and none but those; titles of fields say nothing new."""
    if "properties" not in schema:
        return schema
    properties = {
        name: {key: value for key, value in described.items() if key != "title"}
        for name, described in schema["properties"].items()
    }
    return {
        **schema,
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


if __name__ == "__main__":
    sys.stdout.buffer.write(schema_bytes())
