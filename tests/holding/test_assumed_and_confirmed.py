"""What was guessed for the grower is marked until they confirm or change it."""

from dataclasses import replace

import pytest
from catalogue_names import find, suggest

from perennate.holding import (
    assumed_cells,
    assumption,
    confirmed,
    read_tables,
    settings_of,
    standing_assumptions,
    table_rows,
    write_holding,
    write_workbook,
)
from perennate.holding.assumed import SETTINGS, parts_of_name
from perennate.holding.model import Bed
from perennate.holding.settings import Settings
from perennate.terms import BadInput, text
from perennate.words import templates

SAID = {"site": {"latitude_deg": 47.1, "elevation_m": 300}}


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        ("site.elevation_m", ("site", "", "elevation_m")),
        ("people.2.weight_kg", ("people", "2", "weight_kg")),
        ("beds.b3.soil", ("beds", "b3", "soil")),
        ("beds.by the. door.soil", ("beds", "by the. door", "soil")),
        ("aims.soil.amount", ("aims", "soil", "amount")),
        *((name, None) for name in ["", ".", "beds", "beds.b3", "beds..soil", "beds.b3.colour"]),
        *((name, None) for name in ["site.height", "site.x.name", "people.0.sex", "people.sex"]),
        *((name, None) for name in ["lot_moves.C1.change", "assumed.what", "people.١.sex"]),
    ],
)
def test_a_name_is_a_setting_or_a_cell_of_a_row_with_a_key(name, parts):
    assert parts_of_name(name) == parts


def test_every_setting_of_the_settings_may_be_assumed():
    known = {}
    for section, field in Settings.model_fields.items():
        model = getattr(field.annotation, "__args__", (field.annotation,))[0]
        known[section] = tuple(model.model_fields)
    known.pop("assumed")
    assert known == dict(SETTINGS)


def test_malformed_names_are_told_where_they_stand(small, read):
    toml = '[site]\nlatitude_deg = 1\nelevation_m = 2\n[assumed]\nwhat = ["beds.A", "site.name"]\n'
    with pytest.raises(BadInput) as bad:
        read(small({"holding.toml": toml}))
    (problem,) = bad.value.problems
    assert (problem.file, problem.row, problem.column) == ("holding.toml", 5, "assumed.what")
    assert problem.found == '"beds.A"'


def test_names_whose_row_is_gone_are_kept_out_in_silence(small, read, tmp_path):
    holding = read(small())
    names = ("beds.A.soil", "beds.Z.soil", "people.1.sex", "site.name", "beds.A.soil")
    guessed = replace(holding, assumed=names)
    assert standing_assumptions(guessed) == ("beds.A.soil", "site.name")
    write_holding(guessed, tmp_path / "out")
    assert "beds.Z" not in (tmp_path / "out" / "holding.toml").read_text()
    said = {**SAID, "assumed": {"what": list(names)}}
    assert read_tables(said, table_rows(replace(holding, aims=())), find, suggest).assumed == (
        "beds.A.soil",
        "site.name",
    )


def test_nothing_is_written_where_nothing_is_assumed(small, read):
    assert "assumed" not in settings_of(read(small()))


def test_one_and_many_come_back_from_a_workbook(small, read, tmp_path):
    for names in (("site.name",), ("site.name", "plantings.k.sown", "beds.A.x_m")):
        holding = replace(read(tmp_path / "nook" if (tmp_path / "nook").is_dir() else small()))
        guessed = replace(holding, assumed=names)
        write_workbook(guessed, tmp_path / "nook.xlsx")
        assert read(tmp_path / "nook.xlsx") == guessed


def test_confirming_takes_out_that_name_alone():
    holding = read_tables(SAID, {}, find, suggest)
    beds = (Bed("A", 1.0, 1.0), Bed("A.soil", 1.0, 1.0))
    names = ("beds.A.soil", "beds.A.light", "beds.A.soil.soil", "site.name")
    guessed = replace(holding, beds=beds, assumed=names)
    assert confirmed(guessed, "beds.A.soil").assumed == names[1:]
    assert confirmed(guessed, "beds.A") is guessed
    assert assumed_cells(guessed, "beds", "A") == {"soil", "light"}
    assert assumed_cells(guessed, "beds", "A.soil") == {"soil"}


def test_an_assumption_is_said_in_words_of_its_own_or_by_its_name():
    assert assumption("beds.b3.light") == text("assumed.beds.light", key="b3")
    assert assumption("site.elevation_m") == text("assumed.site.elevation_m", key="")
    assert assumption("habits.surety") == text("assumed.other", name="habits.surety")
    assert assumption("nonsense") == text("assumed.other", name="nonsense")


def test_all_words_for_assumptions_are_of_names_that_can_be_assumed():
    codes = [code for code in templates() if code.startswith("assumed.") and code[8:] != "other"]
    assert len(codes) > 20
    for code in codes:
        first, last = code.removeprefix("assumed.").split(".")
        whole = (
            f"{first}.{last}" if first in SETTINGS and first != "people" else f"{first}.1.{last}"
        )
        assert assumption(whole).code == code
