import pytest

from perennate.catalogue.reader import load_catalogue
from perennate.reckoner import as_json, run
from perennate.reckoner.references import citations
from perennate.terms import BadInput
from perennate.words import say

RUN = {"depth": "20", "emitter_flow": "1.6", "emitter_spacing": "30", "line_spacing": "40"}
LAYOUT = {"length": "10", "soil": "loam", "tap_flow": "15"}


def answers(name, given):
    return {answer.name: answer for answer in run(name, given)}


def sentences(given):
    return " ".join(
        say(told)
        for answer in run("drip-layout", given)
        for told in (*answer.working, *answer.cautions)
    )


def test_run_time_by_hand():
    # 1.6 l/h on 0.12 m2 are 13.33 mm/h; 20 mm at 90 % are 22.2 mm
    found = answers("drip-run", RUN | {"length": "10", "width": "1.2"})
    assert found["rate"].value == pytest.approx(13.33, abs=0.01)
    assert found["run time"].value == pytest.approx(100)
    assert found["water"].value == pytest.approx(266.7, abs=0.1)


def test_the_same_in_us_units():
    us = {
        "depth": "0.7874 in",
        "emitter_flow": "0.42268 gal/h",
        "emitter_spacing": "11.811 in",
        "line_spacing": "1 ft 3.748 in",
    }
    found = answers("drip-run", us)["run time"]
    assert found.value == pytest.approx(100, abs=0.1)
    shown = [say(told, units="us") for told in found.working]
    assert "0.423 gal/h" in shown[0]
    assert "in/h" in shown[0]


def test_a_decimal_comma_is_read():
    assert answers("drip-run", RUN | {"emitter_flow": "1,6"})["rate"].value == pytest.approx(
        13.33, abs=0.01
    )


def test_clay_is_run_in_turns():
    found = answers("drip-run", RUN | {"soil": "clay"})["turns"]
    assert found.low <= found.value <= found.high
    assert found.value > 1
    assert "min of rest" in " ".join(say(told) for told in found.working)
    assert answers("drip-run", RUN | {"soil": "sand"})["turns"].value == 1


def test_a_bed_on_loam_is_laid_with_three_lines():
    found = answers("drip-layout", LAYOUT)
    assert found["lines"].value == 3
    assert [found[f"line {i}, from the edge"].value for i in (1, 2, 3)] == pytest.approx(
        [0.2, 0.6, 1.0]
    )
    assert found["emitters in a line"].value == 33
    assert found["flow"].value == pytest.approx(198, rel=0.01)
    assert found["emission uniformity"].value == pytest.approx(93.6, abs=0.1)
    assert found["such beds at once"].value == 3
    assert found["longest even line"].value > 70


def test_the_parts_are_listed_from_the_tap():
    parts = [name for name in answers("drip-layout", LAYOUT) if name.startswith("to get")]
    assert parts == [
        "to get: backflow preventer",
        "to get: valve",
        "to get: filter",
        "to get: pressure reducer",
        "to get: supply pipe",
        "to get: line start",
        "to get: drip line",
        "to get: end cap",
        "to get: stake",
    ]


def test_backflow_is_left_to_the_local_code_and_a_licensed_installer():
    told = sentences(LAYOUT)
    assert "suck soil water back" in told
    assert "licensed installer" in told
    assert "local code" in told


def test_rows_move_the_lines():
    found = answers("drip-layout", LAYOUT | {"rows": "20; 40; 1 ft 8 in; 100"})
    assert found["lines"].value == 2
    assert found["line 2, from the edge"].value == pytest.approx(1.0)


def test_a_bed_too_big_for_the_tap_is_split_and_one_beyond_it_is_told_so():
    split = answers("drip-layout", LAYOUT | {"tap_flow": "3"})["zones"]
    assert split.value == 2
    none = answers("drip-layout", LAYOUT | {"tap_flow": "1"})["zones"]
    assert none.value == "none"
    assert "Not even one line" in " ".join(say(told) for told in none.working)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"tap_pressure": "500"}, "a reducer to 100 kPa is needed"),
        ({"tap_pressure": "20"}, "these lines want 30 kPa"),
        ({"tap_flow": "3"}, "run its lines in turns"),
        ({"soil": "clay", "length": "10"}, "run it in turns"),
        ({"length": "140", "tap_flow": "60", "supply_bore": "40"}, "is only"),
    ],
)
def test_each_warning_is_said(given, said):
    assert said in sentences(LAYOUT | given)


def test_us_units_go_in_and_come_out():
    us = {
        "length": "32 ft 9.7 in",
        "width": "47.24 in",
        "soil": "loam",
        "tap_flow": "3.963 gal/min",
        "tap_pressure": "43.5 psi",
        "supply_length": "32.8 ft",
        "supply_bore": "0.63 in",
    }
    metric = answers("drip-layout", LAYOUT)
    found = answers("drip-layout", us)
    assert found["flow"].value == pytest.approx(metric["flow"].value, rel=0.01)
    shown = " ".join(say(told, units="us") for told in found["flow"].working)
    assert "psi" in shown
    assert "gal/h" in shown


def test_every_source_has_its_citation():
    for name, given in (("drip-run", RUN | {"soil": "clay"}), ("drip-layout", LAYOUT)):
        for answer in run(name, given):
            assert citations(answer.sources, load_catalogue())


def test_it_goes_into_json():
    told = as_json(run("drip-layout", LAYOUT))
    assert told[0]["name"] == "lines"
    assert all(isinstance(item["working"], list) for item in told)


@pytest.mark.parametrize(
    ("name", "given", "columns"),
    [
        ("drip-run", {**RUN, "depth": "-1", "emitter_flow": "2 psi"}, ["depth", "emitter_flow"]),
        ("drip-run", {**RUN, "length": "4"}, ["width"]),
        ("drip-layout", {}, ["length", "soil", "tap_flow"]),
        ("drip-layout", {**LAYOUT, "rows": "20; 130"}, ["rows"]),
        ("drip-layout", {**LAYOUT, "rows": "left; right"}, ["rows"]),
        ("drip-layout", {**LAYOUT, "soil": "mud", "line": "hose"}, ["soil", "line"]),
        ("drip-layout", {**LAYOUT, "tap_pressure": "30", "rise": "8"}, ["tap_pressure"]),
    ],
)
def test_what_cannot_be_reckoned_is_named(name, given, columns):
    with pytest.raises(BadInput) as bad:
        run(name, given)
    assert [problem.column for problem in bad.value.problems] == columns
