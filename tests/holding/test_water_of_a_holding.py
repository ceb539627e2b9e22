"""Sources of water, what was found in them, and what a bed says of its ground and its mulch."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from catalogue_names import find, portion, suggest

from perennate.holding import read_row, row_cells, rows_naming, with_row, without_row
from perennate.holding.cells import Reading
from perennate.holding.model import Bed, Record, WaterSource
from perennate.terms import BadInput

US = Reading(us=True)


@pytest.fixture
def nook(small, read):
    sources = "key,kind,tank_l,level_l\ntap,mains,,\nshed,roof,1000,400\n"
    beds = "key,length_m,width_m,source\nA,6,1.2,tap\nB,4.5,1.2,\n"
    return read(small({"water_sources.csv": sources, "beds.csv": beds}))


def row(holding, table, reading=None, instead_of=None, **cells):
    asked = (holding, find, suggest, portion)
    return read_row(table, cells, *asked, instead_of=instead_of, reading=reading)


def said_of(holding, table, **cells):
    """Column, found and expected of the one problem with these cells."""
    with pytest.raises(BadInput) as bad:
        row(holding, table, **cells)
    (problem,) = bad.value.problems
    return problem.column, problem.found, problem.expected


def source(holding, **cells):
    return row(holding, "water_sources", **{"key": "new", "kind": "well", **cells})


def source_refused(holding, **cells):
    return said_of(holding, "water_sources", **{"key": "new", "kind": "well", **cells})


def bed_refused(holding, **cells):
    return said_of(holding, "beds", **{"key": "C", "length_m": "5", "width_m": "1", **cells})


def test_a_source_of_which_only_the_kind_is_told_is_unknown_in_everything_else(nook):
    assert nook.water_sources[0] == WaterSource("tap", "mains")
    assert nook.water_sources[1] == WaterSource("shed", "roof", tank_l=1000.0, level_l=400.0)
    assert nook.water_sources[0].germs == "untested"
    assert nook.water_sources[0].ec_ds_m is None


def test_a_bed_of_which_nothing_is_told_has_open_bare_ground_and_any_source(nook):
    assert nook.beds[1] == Bed("B", 4.5, 1.2)
    assert (nook.beds[1].mulch, nook.beds[1].cover, nook.beds[1].source) == ("none", "open", "")
    assert nook.beds[0].source == "tap"


def test_flows_pressures_and_tanks_are_read_in_the_units_that_people_have(nook):
    us = replace(nook, units="us")
    made = source(us, flow_l_min="3 gpm", pressure_bar="30 psi", tank_l="200 gal", level_l="50 gal")
    assert made.flow_l_min == pytest.approx(3 * 3.785411784)
    assert made.pressure_bar == pytest.approx(30 * 0.0689475729, rel=1e-9)
    assert (made.tank_l, made.level_l) == (200 * 3.785411784, 50 * 3.785411784)
    metric = source(nook, flow_l_min="0,9 m3/h", pressure_bar="250 kPa", tank_l="1,5 m³")
    assert (metric.flow_l_min, metric.pressure_bar, metric.tank_l) == (15.0, 2.5, 1500.0)


def test_a_gallon_is_not_taken_for_any_gallon(nook):
    column, found, expected = source_refused(nook, flow_l_min="3 gpm")
    assert (column, found) == ("flow_l_min", '"3 gpm"')
    assert "us gal/min" in expected


def test_us_holdings_read_their_water_in_gallons_and_inches(nook):
    us = replace(nook, units="us")
    made = source(us, flow_l_min="3 gpm", pressure_bar="30 psi", tank_l="200 gal")
    cells = row_cells(made, US)
    assert cells["flow_l_min"] == "3 gal/min"
    assert (cells["pressure_bar"], cells["tank_l"]) == ("30 psi", "200 gal")
    bed = row(us, "beds", key="C", length_m="10 ft", width_m="4 ft", mulch="straw", mulch_cm="2 in")
    assert (bed.mulch_cm, row_cells(bed, US)["mulch_cm"]) == (5.08, "2 in")


@pytest.mark.parametrize(
    ("cells", "column", "question"),
    [
        ({"ph": "70"}, "ph", "7.0?"),
        ({"ec_ds_m": "450"}, "ec_ds_m", "450 uS/cm = 0.45 dS/m?"),
        ({"sodium_mg_l": "-12"}, "sodium_mg_l", "12 without the minus?"),
        ({"tank_l": "0"}, "tank_l", "leave it empty when there is no tank"),
        ({"tank_l": "1000", "level_l": "1200"}, "level_l", "at most the 1000 l"),
        ({"level_l": "1200"}, "tank_l", "the size of the tank"),
        ({"roof_m2": "40"}, "roof_m2", "the kind roof: rain from the roof?"),
        ({"ec_ds_m": "0.4", "sodium_mg_l": "460"}, "sodium_mg_l", "in another unit?"),
    ],
)
def test_a_source_that_cannot_be_is_questioned_with_the_likely_mistake(
    nook, cells, column, question
):
    where, _, expected = source_refused(nook, **cells)
    assert where == column
    assert question in expected


@pytest.mark.parametrize(
    ("cells", "column", "question"),
    [
        ({"clay": "60", "sand": "60"}, "clay", "60 % clay and 40 % sand"),
        ({"mulch_cm": "5"}, "mulch_cm", "straw?"),
        ({"mulch": "none", "mulch_cm": "5"}, "mulch_cm", "nothing where no mulch lies"),
        ({"loosened_cm": "40", "pan_cm": "25"}, "pan_cm", "nothing where the hard layer was"),
        ({"organic_matter": "-3"}, "organic_matter", "3 without the minus?"),
        ({"source": "tab"}, "source", "did you mean tap"),
        ({"ece_ds_m": "1900"}, "ece_ds_m", "1900 uS/cm = 1.9 dS/m?"),
        ({"ece_on": "2025-04-01"}, "ece_ds_m", "what was measured on that day"),
    ],
)
def test_a_bed_that_cannot_be_is_questioned_with_the_likely_mistake(nook, cells, column, question):
    where, _, expected = bed_refused(nook, **cells)
    assert where == column
    assert question in expected


def test_both_parts_of_a_soil_are_named_when_they_are_more_than_the_whole(nook):
    assert bed_refused(nook, clay="60", sand="60")[1] == "60 % clay and 60 % sand"
    assert row(nook, "beds", key="C", length_m="5", width_m="1", clay="40", sand="60").clay == 40


def test_sodium_that_the_conductivity_allows_is_taken(nook):
    # almost all of the salt is sodium: 4 me/l of it in water of 0.4 dS/m
    assert source(nook, ec_ds_m="0.4", sodium_mg_l="92").sodium_mg_l == 92
    assert source(nook, sodium_mg_l="460").ec_ds_m is None


def test_an_analysis_cannot_be_of_a_day_that_has_not_come(nook):
    later = max(date.today(), nook.as_of) + timedelta(days=400)
    column, found, expected = source_refused(nook, tested=later.isoformat())
    assert (column, found) == ("tested", f'"{later}"')
    assert "a slip in the year?" in expected
    ground = {"key": "C", "length_m": "5", "width_m": "1", "ece_ds_m": "2"}
    assert said_of(nook, "beds", **ground, ece_on=later.isoformat())[0] == "ece_on"


def test_a_folder_with_an_analysis_of_a_day_to_come_is_refused_at_its_row(small, read):
    text = "key,kind,tested\ntap,mains,2025-05-01\nwell,well,2399-05-01\n"
    with pytest.raises(BadInput) as bad:
        read(small({"water_sources.csv": text}))
    (problem,) = bad.value.problems
    assert (problem.file, problem.row, problem.column) == ("water_sources.csv", 3, "tested")


def test_an_analysis_of_the_day_that_is_planned_from_is_taken(nook):
    ahead = date.today() + timedelta(days=300)
    assert source(replace(nook, as_of=ahead), tested=ahead.isoformat()).tested == ahead


def test_all_that_is_wrong_with_water_is_said_in_one_go(small, read):
    folder = small(
        {
            "water_sources.csv": "key,kind,ph,tank_l\ntap,mains,70,\nshed,roof,,0\n",
            "beds.csv": (
                "key,length_m,width_m,source,sand,clay\nA,6,1.2,tap,60,60\nB,4.5,1.2,well,,\n"
            ),
        }
    )
    with pytest.raises(BadInput) as bad:
        read(folder)
    places = [(one.file, one.row, one.column) for one in bad.value.problems]
    assert places == [
        ("water_sources.csv", 2, "ph"),
        ("water_sources.csv", 3, "tank_l"),
        ("beds.csv", 2, "clay"),
        ("beds.csv", 3, "source"),
    ]


def test_a_source_that_a_bed_names_stays_and_its_new_key_goes_into_the_bed(nook):
    tap = nook.water_sources[0]
    assert [one.key for _, _, one in rows_naming(nook, "water_sources", "tap")] == ["A"]
    with pytest.raises(BadInput, match="which is named in beds"):
        without_row(nook, tap)
    renamed = with_row(nook, replace(tap, key="house tap"), instead_of=tap)
    assert renamed.beds[0].source == "house tap"


def test_rain_is_recorded_in_millimetres_and_water_in_litres_or_millimetres(nook):
    rain = row(nook, "records", key="r1", day="2026-02-10", kind="rain", amount="12,5")
    assert rain == Record("r1", date(2026, 2, 10), "rain", "", "", 12.5, "mm", None)
    inches = row(nook, "records", US, key="r2", day="2026-02-10", kind="rain", amount="0.5 in")
    assert (inches.amount, inches.unit) == (12.7, "mm")
    shown = row_cells(inches, US)
    assert (shown["amount"], shown["unit"]) == ("0.5", "in")
    given = {"day": "2026-02-11", "kind": "watered", "place": "A"}
    in_mm = row(nook, "records", key="w1", **given, amount="8", unit="mm")
    in_l = row(nook, "records", key="w2", **given, amount="60 l")
    assert (in_mm.amount, in_mm.unit, in_l.amount, in_l.unit) == (8.0, "mm", 60.0, "l")


def test_rain_is_not_recorded_in_buckets(nook):
    day = {"key": "wet", "day": "2026-02-10", "kind": "rain"}
    assert said_of(nook, "records", **day, amount="3", unit="buckets")[2] == "a unit: mm"


def test_a_source_can_be_the_place_of_a_record(nook):
    seen = row(nook, "records", key="s", day="2026-02-10", kind="seen", place="shed")
    assert seen.place == "shed"


@pytest.mark.parametrize(
    ("column", "typed", "kept"),
    [
        ("ec_ds_m", "450 uS/cm", 0.45),
        ("ec_ds_m", "450 µS/cm", 0.45),
        ("ec_ds_m", "1,2 dS/m", 1.2),
        ("ec_ds_m", "0.8 mmhos/cm", 0.8),
        ("ec_ds_m", "1.200", 1.2),
        ("sodium_mg_l", "7 meq/l", 7 * 22.990),
        ("sodium_mg_l", "161 ppm", 161.0),
        ("calcium_mg_l", "2,5 mmol/l", 2.5 * 40.078),
        ("calcium_mg_l", "200 mg/l CaCO3", 200 / 50.0435 * 20.039),
        ("bicarbonate_mg_l", "12 grains/gal", 12 * 17.118),
        ("nitrate_n_mg_l", "44 mg/l NO3", 44 * 14.007 / 62.004),
        ("boron_mg_l", "500 ug/l", 0.5),
        ("tds_mg_l", "1.250 mg/l", 1.25),
    ],
)
def test_a_figure_is_taken_in_the_unit_of_the_report(nook, column, typed, kept):
    reading = Reading(decimal=".") if typed.startswith("1.250") else None
    made = row(nook, "water_sources", reading, key="new", kind="well", **{column: typed})
    assert getattr(made, column) == pytest.approx(kept, rel=1e-4)


@pytest.mark.parametrize(
    ("column", "typed", "known"),
    [
        ("ec_ds_m", "450 ppm", "uS/cm"),
        ("sodium_mg_l", "3 dS/m", "meq/l"),
        ("boron_mg_l", "3 meq/l", "ppm"),
        ("chloride_mg_l", "some", "meq/l"),
        ("ph", "7 mg/l", "a number without a unit"),
    ],
)
def test_a_unit_that_does_not_measure_this_is_refused_with_those_that_do(
    nook, column, typed, known
):
    where, found, expected = source_refused(nook, **{column: typed})
    assert (where, found) == (column, f'"{typed}"')
    assert known in expected


def test_the_unit_of_a_whole_column_may_stand_in_its_heading(small, read):
    text = "key,kind,Sodium (meq/l),EC (uS/cm),chloride_ppm\nwell,well,2,450,70\n"
    (found,) = read(small({"water_sources.csv": text})).water_sources
    assert (found.ec_ds_m, found.chloride_mg_l) == (0.45, 70.0)
    assert found.sodium_mg_l == pytest.approx(2 * 22.990)


def test_more_dissolved_than_the_conductivity_allows_is_questioned_for_every_ion(nook):
    for ion in ("calcium_mg_l", "chloride_mg_l", "bicarbonate_mg_l", "tds_mg_l"):
        where, _, expected = source_refused(nook, ec_ds_m="0.3", **{ion: "900"})
        assert where == ion
        assert "in another unit?" in expected
