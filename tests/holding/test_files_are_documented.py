"""docs/files.md names every table, column, choice and setting, with what the schemas say."""

from pathlib import Path

import pytest

from perennate.holding.schema import SCHEMAS, table_schema
from perennate.holding.settings import Settings

PAGE = (Path(__file__).parents[2] / "docs" / "files.md").read_text("utf-8")


@pytest.mark.parametrize("name", SCHEMAS)
def test_every_column_is_explained_in_its_table(name):
    section = PAGE.split(f"### {name}\n")[1].split("### ")[0]
    assert table_schema(name).description in section
    for field in table_schema(name).fields:
        (line,) = [line for line in section.splitlines() if line.startswith(f"| `{field.name}` |")]
        assert field.description in line
        assert ("needed" in line.rsplit("|", 2)[1]) == field.required
        assert all(f"`{choice}`" in line for choice in field.choices)


@pytest.mark.parametrize("part", Settings.model_fields)
def test_every_setting_is_named_in_its_part(part):
    (line,) = [
        line for line in PAGE.splitlines() if line.startswith((f"| `[{part}]", f"| `[[{part}"))
    ]
    annotation = Settings.model_fields[part].annotation
    model = getattr(annotation, "__args__", (annotation,))[0]
    for name in model.model_fields:
        assert f"`{name}`" in line
