"""Every setting of a holding is known as a field: what it means, what it may hold, what it is."""

import pytest

from perennate.holding import EXAMPLES, example_folder, read_holding, with_settings
from perennate.holding.assumed import SETTINGS
from perennate.holding.setting_fields import (
    MONTH_DAYS,
    SECTIONS,
    person_field,
    setting_called,
    setting_cells,
    setting_fields,
    setting_unit,
)


def _found(name: str) -> str | None:
    return name


def _suggest(name: str) -> tuple[str, ...]:
    return ()


@pytest.mark.parametrize("section", SECTIONS)
def test_a_section_has_its_settings_each_with_a_meaning(section: str) -> None:
    fields = setting_fields(section)
    assert tuple(field.name for field in fields) == tuple(
        f"{section}.{name}" for name in SETTINGS[section]
    )
    assert all(field.description for field in fields)


def test_every_section_but_the_names_of_files_is_asked_for() -> None:
    assert set(SETTINGS) - set(SECTIONS) == {"weather"}


def test_ranges_and_needs_are_those_that_the_reader_holds_to() -> None:
    latitude, weeks, age = (
        next(field for field in setting_fields(name.partition(".")[0]) if field.name == name)
        for name in ("site.latitude_deg", "plan.weeks", "people.age_years")
    )
    assert (latitude.low, latitude.high, latitude.required) == (-90, 90, True)
    assert (weeks.type, weeks.low, weeks.high, weeks.required) == ("integer", 1, 520, False)
    assert (age.type, age.low, age.high, age.required) == ("number", 0, 120, True)


def test_names_are_opened_and_units_told() -> None:
    assert setting_called("site.elevation_m") == "elevation"
    assert setting_called("habits.compost_mm_per_year") == "compost mm per year"
    assert (setting_unit("people.2.weight_kg"), setting_unit("site.name")) == ("kg", "")
    assert person_field(setting_fields("people")[1], 3).name == "people.3.sex"


@pytest.mark.parametrize("example", EXAMPLES)
def test_what_stands_in_the_fields_reads_back_to_the_same_holding(example: str) -> None:
    holding = read_holding(example_folder(example), _found, _suggest)
    cells = setting_cells(holding)
    booleans = {"yes": True, "no": False}
    changes = {name: booleans.get(value, value) for name, value in cells.items()}
    assert with_settings(holding, changes, _found, _suggest) == holding
    assert all(len(cells[name]) == 5 for name in MONTH_DAYS if name in cells)
