"""The commands as a grower types them."""

import json
import subprocess
import sys
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from typer.testing import CliRunner, Result

import made_plan
from perennate.catalogue.reader import load_catalogue
from perennate.cli import app
from perennate.holding import example_folder, write_holding
from perennate.outputs.plan_json import plan_from_json, plan_to_json
from perennate.season_files import common_names

pytestmark = pytest.mark.usefixtures("made_words")
FILES = ["jobs.ics", "plan.json", "plan.xlsx", "season.pdf", "todo.ics"]


def perennate(*typed: object) -> Result:
    return CliRunner().invoke(app, [str(one) for one in typed])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "hof"
    write_holding(made_plan.made_holding(), place)
    return place


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    """What the planner is asked; it answers with the made plan."""
    calls: list[dict[str, Any]] = []

    def make_plan(holding: Any, catalogue: Any, climate: Any, as_of: date, **more: Any) -> Any:
        calls.append({"holding": holding, "climate": climate, "as_of": as_of, **more})
        more["progress"]("demand", 0.5)
        return made_plan.made_plan()

    stand_in = SimpleNamespace(make_plan=make_plan)
    monkeypatch.setitem(sys.modules, "perennate.planning.season", stand_in)
    return calls


def failing(monkeypatch: pytest.MonkeyPatch, fault: BaseException) -> None:
    def make_plan(*given: Any, **more: Any) -> Any:
        raise fault

    stand_in = SimpleNamespace(make_plan=make_plan)
    monkeypatch.setitem(sys.modules, "perennate.planning.season", stand_in)


def test_plan_writes_every_file_and_tells_the_season(
    folder: Path, tmp_path: Path, asked: list[dict[str, Any]]
) -> None:
    told = perennate("plan", folder, "--out", tmp_path / "out")
    assert (told.exit_code, told.stderr) == (0, "")
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == FILES
    assert "Aims and how far they are met" in told.stdout
    assert "grave: Frost may take Tomato: 8% of years." in told.stdout
    written = plan_from_json((tmp_path / "out" / "plan.json").read_bytes())
    assert written.holding.name == "Hof Überlengries"
    assert asked[0]["holding"].site.name == "Hof Überlengries"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["hof", "out"]


def test_json_prints_the_content_of_plan_json_and_nothing_else(
    folder: Path, tmp_path: Path, asked: list[dict[str, Any]]
) -> None:
    told = perennate("plan", folder, "--out", tmp_path / "out", "--json")
    assert told.stdout_bytes == (tmp_path / "out" / "plan.json").read_bytes()
    alone = perennate("plan", folder, "--json")
    assert alone.stdout_bytes == told.stdout_bytes
    assert told.stdout_bytes == plan_to_json(made_plan.made_plan(), common_names(load_catalogue()))


def test_the_day_comes_from_the_command_else_from_the_holding(
    folder: Path, asked: list[dict[str, Any]]
) -> None:
    perennate("plan", folder, "--json")
    perennate("plan", folder, "--json", "--as-of", "2028-02-29")
    assert [call["as_of"] for call in asked] == [made_plan.START, date(2028, 2, 29)]


def test_seed_effort_and_previous_plan_reach_the_planner(
    folder: Path, tmp_path: Path, asked: list[dict[str, Any]]
) -> None:
    perennate("plan", folder, "--out", tmp_path / "one")
    more = ("--seed", 9, "--effort", "quick", "--previous", tmp_path / "one" / "plan.json")
    told = perennate("plan", folder, "--out", tmp_path / "two", *more)
    assert told.exit_code == 0
    assert (asked[1]["seed"], asked[1]["effort"]) == (9, "quick")
    assert asked[0]["previous"] is None
    assert asked[1]["previous"].jobs == made_plan.made_plan().jobs


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--as-of", "1.3.2026"), "--as-of: found '1.3.2026'; expected a date"),
        (("--previous", "nowhere.json"), "nowhere.json: found No such file"),
    ],
)
def test_what_cannot_be_read_on_the_command_line_is_bad_input(
    folder: Path, asked: list[dict[str, Any]], more: tuple[str, ...], said: str
) -> None:
    told = perennate("plan", folder, "--json", *more)
    assert (told.exit_code, told.stdout) == (2, "")
    assert said in told.stderr
    assert not asked


def test_a_season_needs_a_folder_to_go_to(folder: Path, asked: list[dict[str, Any]]) -> None:
    told = perennate("plan", folder)
    assert told.exit_code == 2
    assert (
        told.stderr
        == "--out: found nothing; expected a folder for the season's files, as in --out out\n"
    )


def test_every_problem_of_a_folder_is_told_in_one_go_one_a_line(
    folder: Path, tmp_path: Path, asked: list[dict[str, Any]]
) -> None:
    beds = folder / "beds.csv"
    lines = beds.read_text("utf-8").splitlines()
    cells = lines[1].split(",")
    lines[1] = ",".join([cells[0], "long", *cells[2:]])
    lines[2] = lines[2].replace("full sun", "moonlight")
    beds.write_text("\n".join(lines) + "\n", "utf-8")
    (folder / "weather.csv").write_text("this is\nno weather\n", "utf-8")
    out = tmp_path / "out"
    told = perennate("plan", folder, "--out", out)
    assert told.exit_code == 2
    assert told.stdout == ""
    assert not out.exists()
    said = told.stderr.splitlines()
    assert any(line.startswith("beds.csv, row 2, column length_m: found") for line in said)
    assert any("moonlight" in line and "; expected " in line for line in said)
    assert any(line.startswith("weather.csv") for line in said)
    assert perennate("check", folder).stderr == told.stderr


def test_a_fault_is_one_line_and_its_trace_only_on_demand(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    failing(monkeypatch, RuntimeError("the solver\nfell over"))
    told = perennate("plan", folder, "--json")
    assert told.exit_code == 1
    assert told.stderr.splitlines() == [
        "Stopped by a fault: RuntimeError: the solver fell over. "
        "Run it again with --debug to see where."
    ]
    assert "Traceback" in perennate("plan", folder, "--json", "--debug").stderr


def test_a_place_that_cannot_be_written_is_said_in_one_line(
    folder: Path, tmp_path: Path, asked: list[dict[str, Any]]
) -> None:
    (tmp_path / "out").write_text("a file")
    told = perennate("plan", folder, "--out", tmp_path / "out")
    assert told.exit_code == 1
    assert len(told.stderr.splitlines()) == 1
    assert "is a file, not a folder" in told.stderr
    assert (tmp_path / "out").read_text() == "a file"


def test_check_counts_what_it_read_and_changes_nothing(folder: Path) -> None:
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    told = perennate("check", folder)
    assert told.exit_code == 0
    assert "Hof Überlengries: nothing wrong found. 5 beds (26.8 m²)" in told.stdout
    assert "Weather rests on the position alone" in told.stdout
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


def test_new_makes_a_folder_that_check_asks_to_fill_in(tmp_path: Path) -> None:
    place = tmp_path / "garten"
    assert perennate("new", place).exit_code == 0
    assert (place / "holding.toml").is_file()
    told = perennate("check", place)
    assert told.exit_code == 2
    assert "site.latitude_deg" in told.stderr
    assert perennate("new", place).exit_code == 2


def test_plant_shows_every_figure_with_its_source() -> None:
    told = perennate("plant", "carrot")
    assert told.exit_code == 0
    assert "Daucus carota" in told.stdout
    data = json.loads(perennate("plant", "Daucus carota", "--json").stdout)
    assert data["key"] == "carrot"
    for row in (*data["figures"], *data["facts"]):
        assert row["source"]
        assert row["citation"]
        assert row["basis"]
        assert row["label"] in told.stdout


def test_a_plant_that_is_not_known_is_bad_input_with_near_names() -> None:
    told = perennate("plant", "carott")
    assert (told.exit_code, told.stdout) == (2, "")
    assert "carrot" in told.stderr


def test_reckon_answers_in_words_and_as_json() -> None:
    typed = ("reckon", "plants-in-bed", "crop=carrot", "length=2", "width=1.2")
    told = perennate(*typed)
    assert told.exit_code == 0
    assert "Working" in told.stdout
    answers = json.loads(perennate(*typed, "--json").stdout)
    first = answers[0] if isinstance(answers, list) else answers
    assert {"answer", "low", "high", "unit", "working", "sources", "cautions"} <= set(first)


def test_reckon_lists_every_question_with_its_inputs() -> None:
    known = json.loads(perennate("reckon", "--list", "--json").stdout)
    names = {one["name"] for one in known}
    assert {"plants-in-bed", "sow-window", "keeping"} <= names
    told = perennate("reckon", "--list").stdout
    assert all(name in told for name in names)


@pytest.mark.parametrize(
    "typed", [("plants-in-bed", "carrot"), ("no-such", "a=1"), ("plants-in-bed", "crop=carrot")]
)
def test_reckon_refuses_what_it_cannot_read(typed: tuple[str, ...]) -> None:
    told = perennate("reckon", *typed)
    assert (told.exit_code, told.stdout) == (2, "")
    assert "expected" in told.stderr


def test_an_example_that_is_not_there_is_refused_with_those_that_are(tmp_path: Path) -> None:
    told = perennate("example", "moon", tmp_path / "x")
    assert told.exit_code == 2
    assert "demo" in told.stderr
    assert not (tmp_path / "x").exists()


def test_plant_without_a_name_lists_every_crop_and_whether_a_plan_can_take_it() -> None:
    told = perennate("plant")
    assert told.exit_code == 0
    line = next(line for line in told.stdout.splitlines() if line.split()[:1] == ["potato"])
    assert line.split() == ["potato", "Potato", "ready", "for", "a", "plan"]
    known = json.loads(perennate("plant", "--json").stdout)
    assert {one["key"] for one in known} == set(load_catalogue().crops)
    assert {one["ready"] for one in known} == {True, False}
    assert "perennate plant, with no name, lists them all" in perennate("plant", "xyz").stderr


def test_check_says_what_a_plan_will_lack_without_calling_it_wrong(tmp_path: Path) -> None:
    place = tmp_path / "garten"
    perennate("new", place)
    toml = place / "holding.toml"
    text = toml.read_text("utf-8")
    for name in ("latitude_deg", "elevation_m"):
        text = text.replace(f"# {name} = ", f"{name} = ")
    toml.write_text(text, "utf-8")
    told = perennate("check", place)
    assert told.exit_code == 0
    assert "beds: without a row in beds.csv" in told.stdout
    assert "aims: without a row in aims.csv" in told.stdout
    assert "fill in [remembered], last_frost first" in told.stdout

    with (place / "aims.csv").open("a", encoding="utf-8") as aims:
        aims.write("t,food,tomato,,20,kg,season,,,,\n")
    told = perennate("check", place)
    assert told.exit_code == 0
    assert "aims: without" not in told.stdout
    assert "a bench: Tomato" in told.stdout


def test_a_holding_that_says_enough_lacks_nothing() -> None:
    assert "lack" not in perennate("check", example_folder("demo")).stdout


def test_short_commands_do_not_wait_for_what_only_plans_need() -> None:
    script = (
        "import sys; from typer.testing import CliRunner; from perennate.cli import app;"
        "told = CliRunner().invoke(app, sys.argv[1:]); assert told.exit_code == 0, told.output;"
        "print(*sys.modules)"
    )
    slow = {"scipy.stats", "ortools", "pandas", "openpyxl", "typst", "icalendar", "polars"}
    for typed in (("--help",), ("plant", "carrot"), ("reckon", "--list")):
        ran = subprocess.run(
            (sys.executable, "-c", script, *typed), capture_output=True, text=True, check=True
        )
        assert not slow & set(ran.stdout.split()), typed
