"""A row put in or taken out, a setting changed: the rest of the holding follows or stays."""

from dataclasses import replace

import pytest
from catalogue_names import find, portion, suggest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from made_holdings import holdings

from perennate.holding import (
    read_row,
    read_tables,
    rows_naming,
    settings_of,
    table_rows,
    with_row,
    with_settings,
    without_row,
)
from perennate.holding.model import Bed, Lot, LotMove, Person
from perennate.holding.schema import TABLES
from perennate.terms import BadInput


@pytest.fixture
def nook(small, read):
    return read(small())


def changed(holding, **settings):
    names = {name.replace("__", "."): value for name, value in settings.items()}
    return with_settings(holding, names, find, suggest)


def wrong(holding, **settings):
    with pytest.raises(BadInput) as bad:
        changed(holding, **settings)
    assert {(one.file, one.row) for one in bad.value.problems} == {("holding", None)}
    return [one.column for one in bad.value.problems]


def test_a_row_goes_to_the_end_of_its_table_or_where_the_old_one_stands(nook):
    bed = Bed("C", 3.0, 1.0)
    assert [one.key for one in with_row(nook, bed).beds] == ["A", "B", "C"]
    wider = replace(nook.beds[0], width_m=1.5)
    assert with_row(nook, wider, nook.beds[0]).beds == (wider, nook.beds[1])
    with pytest.raises(ValueError, match="not in"):
        with_row(nook, wider, bed)


def test_a_bed_called_otherwise_is_called_so_by_what_stands_in_it(nook):
    seen = replace(nook, assumed=("beds.A.soil", "beds.B.soil"))
    renamed = with_row(seen, replace(seen.beds[0], key="by the door"), seen.beds[0])
    assert renamed.plantings[0].bed == renamed.records[0].place == "by the door"
    assert renamed.assumed == ("beds.by the door.soil", "beds.B.soil")
    assert rows_naming(renamed, "beds", "A") == ()


def test_a_lot_called_otherwise_is_called_so_by_its_moves_and_descendants(nook):
    child = Lot("C2", "carrot", "", "seed", None, "g", None, None, parents=("C1", "C1"))
    twice = replace(nook, lots=(*nook.lots, child), lot_moves=nook.lot_moves * 2)
    renamed = with_row(twice, replace(twice.lots[0], key="long"), twice.lots[0])
    assert [lot.parents for lot in renamed.lots] == [(), ("long", "long")]
    assert [move.lot for move in renamed.lot_moves] == ["long", "long"]


def test_a_place_that_two_rows_are_called_by_stays_when_one_is_renamed(nook):
    both = replace(nook, lots=(*nook.lots, replace(nook.lots[0], key="A")))
    assert rows_naming(both, "lots", "A") == ()
    assert with_row(both, replace(both.lots[1], key="C9"), both.lots[1]).records == nook.records
    assert without_row(both, both.lots[1]) == nook


@given(st.data(), holdings())
@settings(max_examples=40, deadline=None)
def test_a_key_changed_anywhere_leaves_a_whole_holding(data, holding):
    keyed = [name for name in TABLES if name not in ("lot_moves", "own_values")]
    rows = [row for name in keyed for row in getattr(holding, name)]
    row = data.draw(st.sampled_from(rows))
    renamed = with_row(holding, replace(row, key="a name of its own"), row)
    # a lot that says it is its own parent keeps saying so under the old name
    assume(not any(row.key in lot.parents for lot in holding.lots if lot.key == row.key))
    said, tables = settings_of(renamed), table_rows(renamed)
    assert read_tables(said, tables, find, suggest, portion) == renamed
    back = with_row(renamed, row, replace(row, key="a name of its own"))
    assert back == holding


def test_what_others_name_cannot_be_taken_out_and_what_nobody_names_can(nook):
    with pytest.raises(BadInput) as bad:
        without_row(nook, nook.beds[0])
    (problem,) = bad.value.problems
    assert (problem.file, problem.column) == ("beds", "key")
    assert problem.found == '"A", which is named in plantings (k), records (r)'
    bare = replace(nook, assumed=("beds.B.soil", "beds.A.soil"))
    assert without_row(bare, nook.beds[1]).assumed == ("beds.A.soil",)
    assert without_row(nook, nook.lot_moves[0]).lot_moves == ()
    with pytest.raises(ValueError, match="not in"):
        without_row(nook, LotMove("C1", nook.as_of, 1, "mg"))


def test_a_row_read_from_a_form_and_put_in_is_no_longer_assumed_where_it_was_changed(nook):
    guessed = replace(nook, assumed=("beds.A.length_m", "beds.A.width_m", "site.elevation_m"))
    bed = guessed.beds[0]
    form = {"length_m": "7", "width_m": "1.2"}
    longer = read_row("beds", form, guessed, find, suggest, instead_of=bed)
    assert with_row(guessed, longer, bed).assumed == ("beds.A.width_m", "site.elevation_m")


def test_settings_are_changed_as_a_form_writes_them(nook):
    told = changed(
        nook,
        site__elevation_m="1000 ft",
        site__latitude_deg="-33,9",
        plan__weeks="60",
        remembered__last_frost="05-15",
        remembered__wet_months=["6", 7],
        food__eats="Carrot; Solanum tuberosum;",
        nursery__bench_m2=2,
        reading__units="us",
    )
    assert (told.site.elevation_m, told.site.latitude_deg) == (304.8, -33.9)
    assert (told.weeks, told.units, told.eats) == (60, "us", ("carrot", "potato"))
    assert told.site.remembered.last_frost == (5, 15)
    assert told.site.remembered.wet_months == (6, 7)
    assert replace(told, **{name: getattr(nook, name) for name in ("site", "weeks", "units")}) == (
        replace(nook, eats=told.eats, nursery=told.nursery)
    )
    assert changed(told, remembered__last_frost="", plan__weeks=None).weeks == 52


def test_people_are_given_whole_or_one_thing_of_one_person(nook):
    ola = {"name": "Ola", "sex": "female", "age_years": "41", "weight_kg": "140 lb"}
    two = changed(nook, people=[ola, {**ola, "name": "Per", "sex": "male"}])
    assert two.people[0] == Person("Ola", "female", 41.0, 63.5029318, 1.6)
    older = changed(two, people__2__age_years="42")
    assert [person.age_years for person in older.people] == [41.0, 42.0]
    assert wrong(two, people__3__age_years="42") == ["people.3.age_years"]
    assert wrong(two, people__2__age_years="old", site__latitude_deg="95") == [
        "site.latitude_deg",
        "people.2.age_years",
    ]


def test_a_household_aim_keeps_its_people(nook):
    ola = {"sex": "female", "age_years": 41, "weight_kg": 64}
    fed = changed(nook, people=[ola])
    form = {"kind": "household", "amount": "20 %"}
    aim = read_row("aims", form, fed, find, suggest)
    assert wrong(with_row(fed, aim), people=[]) == ["people"]


def test_settings_that_there_are_not_are_said(nook):
    assert wrong(nook, site="x", people__x=2, plan__weeks=3) == ["site", "people.x"]
    assert wrong(nook, colour__x=1, plan__week=3) == ["plan.week", "colour"]
    assert wrong(nook, site__latitude_deg="") == ["site.latitude_deg"]
    assert wrong(nook, food__eats="carot") == ["food.eats"]
    assert wrong(nook, remembered__last_frost="31-12") == ["remembered.last_frost"]


def test_a_setting_that_is_set_is_no_longer_assumed(nook):
    guessed = replace(nook, assumed=("site.elevation_m", "site.name", "beds.A.soil"))
    assert changed(guessed, site__elevation_m=300).assumed == ("site.name", "beds.A.soil")
