"""The command line: a holding folder in, a season out; single answers to single questions.

Exit codes: 0 done; 2 bad input, with every problem on stderr, one a line; 1 anything else.
"""

import functools
import json
import os
import shutil
import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Annotated, Any, Literal, NoReturn

import typer

from perennate.terms import BadInput, Problem, text
from perennate.words import say, word

Effort = Literal["quick", "usual", "thorough"]
ProgressCall = Callable[[str, float], None]

BAD_INPUT = 2
FAILED = 1

app = typer.Typer(
    name="perennate",
    help="A season's plantings, jobs and needs from a holding worked by hand.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)

Folder = Annotated[Path, typer.Argument(help="A holding folder, or a holding's .xlsx workbook.")]
NewFolder = Annotated[Path, typer.Argument(help="A folder that is new or empty.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON and nothing else.")]
Debug = Annotated[bool, typer.Option("--debug", help="Show where a fault arose.")]


def _guarded(command: Callable[..., None]) -> Callable[..., None]:
    """Turns what a command raises into its exit code and its lines on stderr."""

    @functools.wraps(command)
    def guarded(*args: Any, **kwargs: Any) -> None:
        try:
            command(*args, **kwargs)
            sys.stdout.flush()
        except BadInput as bad:
            for problem in bad.problems:
                _complain(" ".join(str(problem).split()))
            raise typer.Exit(BAD_INPUT) from None
        except KeyboardInterrupt:
            _complain(word("cli.interrupted"))
            raise typer.Exit(FAILED) from None
        except BrokenPipeError:
            # whoever read our output has gone; the interpreter must not flush to it again
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            raise typer.Exit(FAILED) from None
        except (typer.Exit, typer.Abort):
            raise
        except Exception as fault:
            if kwargs.get("debug"):
                traceback.print_exc()
            told = " ".join(str(fault).split()) or type(fault).__name__
            if not isinstance(fault, OSError):
                told = f"{type(fault).__name__}: {told}. {word('cli.failed_more')}"
            _complain(say(text("cli.failed", fault=told)))
            raise typer.Exit(FAILED) from None

    return guarded


def _complain(line: str) -> None:
    typer.echo(line, err=True)


def _refuse(file: str, found: str, expected: str) -> NoReturn:
    raise BadInput([Problem(file, None, None, found, expected)])


def _print_json(data: Any) -> None:
    shown = json.dumps(data, ensure_ascii=False, indent=1)
    _print_bytes((shown + "\n").encode("utf-8"))


def _print_bytes(data: bytes) -> None:
    """Bytes as they are, whatever the terminal's own encoding."""
    sys.stdout.flush()
    sys.stdout.buffer.write(data)
    sys.stdout.buffer.flush()


def _print_section(heading: str, lines: Sequence[str]) -> None:
    # fetched here, since --help need not wait for it
    from rich.console import Console

    console = Console(highlight=False, markup=False, emoji=False, soft_wrap=True)
    console.print(heading, style="bold")
    for line in lines:
        console.print(f"  {line}")
    console.print()


@contextmanager
def _progress() -> Iterator[ProgressCall]:
    """A bar on a terminal, nothing where stderr goes elsewhere."""
    if not sys.stderr.isatty():
        yield lambda stage, share: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description:<24}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=1.0)
        yield lambda stage, share: bar.update(task, description=stage, completed=share)


@app.command()
@_guarded
def plan(
    folder: Folder,
    out: Annotated[Path | None, typer.Option(help="Folder for the season's files.")] = None,
    as_of: Annotated[str | None, typer.Option(help="The day the plan is made for.")] = None,
    previous: Annotated[Path | None, typer.Option(help="The plan before: its plan.json.")] = None,
    seed: Annotated[int, typer.Option(min=0, help="Seed of the random draws.")] = 0,
    effort: Annotated[Effort, typer.Option(help="How long to look for a better plan.")] = "usual",
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Plan the season of a holding and write plan.json, jobs.ics, plan.xlsx and season.pdf."""
    from perennate.season_files import (
        near_term,
        put_in_place,
        read_previous,
        read_season,
        season_outputs,
    )

    if out is None and not as_json:
        _refuse("--out", "nothing", word("cli.no_out"))
    day = _day("--as-of", as_of)
    season = read_season(folder, seed)
    before = read_previous(previous) if previous else None
    from perennate.planning.season import make_plan

    today = day or season.holding.as_of or date.today()
    with _progress() as progress:
        made = make_plan(
            season.holding,
            season.catalogue,
            season.climate,
            today,
            previous=before,
            seed=seed,
            effort=effort,
            progress=progress,
            near=near_term(season, today),
        )
        files = season_outputs(made, season) if out else {}
    if out:
        put_in_place(files, out)
    if as_json:
        from perennate.outputs.plan_json import plan_to_json

        _print_bytes(plan_to_json(made, season.names))
        return
    from perennate.outputs.summary import summary

    for section in summary(made, season.names):
        _print_section(section.heading, section.lines)
    typer.echo(say(text("cli.written", folder=str(out), files=", ".join(files))))


def _day(option: str, typed: str | None) -> date | None:
    if typed is None:
        return None
    try:
        return date.fromisoformat(typed)
    except ValueError:
        _refuse(option, repr(typed), word("cli.date"))


@app.command()
@_guarded
def check(folder: Folder, debug: Debug = False) -> None:
    """Read a holding and say everything that is wrong with it; change nothing."""
    from perennate.planning.lacks import lacks_of
    from perennate.season_files import read_season

    season = read_season(folder)
    holding, climate = season.holding, season.climate
    counted = text(
        "cli.checked",
        name=holding.site.name,
        beds=len(holding.beds),
        ground=sum(bed.area_m2 for bed in holding.beds),
        aims=len(holding.aims),
        lots=len(holding.lots),
        plantings=len(holding.plantings),
        people=len(holding.people),
    )
    typer.echo(say(counted, units=holding.units))
    basis = word(f"climate.{climate.basis}")
    typer.echo(say(text("cli.weather", basis=basis, years=climate.recorded_years)))
    for note in climate.notes:
        typer.echo(f"  {say(note, units=holding.units)}")
    lacks = lacks_of(holding, season.catalogue, climate)
    if lacks:
        typer.echo(word("cli.lacks"))
    for lack in lacks:
        typer.echo(f"  {say(lack, units=holding.units, names=season.names)}")


@app.command()
@_guarded
def new(folder: NewFolder, debug: Debug = False) -> None:
    """Make an empty holding folder: a commented holding.toml, tables and their schemas."""
    from perennate.holding import new_holding

    made = new_holding(folder)
    typer.echo(say(text("cli.made", folder=str(folder), files=", ".join(made))))
    typer.echo(say(text("cli.next", folder=str(folder))))


@app.command()
@_guarded
def example(
    name: Annotated[str, typer.Argument(help="Which example.")],
    folder: NewFolder,
    debug: Debug = False,
) -> None:
    """Copy an invented holding that ships with the package, to look at and to change."""
    from perennate.holding import EXAMPLES, example_folder

    if name not in EXAMPLES:
        _refuse("example", repr(name), say(text("cli.example", names=", ".join(EXAMPLES))))
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        _refuse(str(folder), "something there already", word("cli.empty_folder"))
    left_out = shutil.ignore_patterns("__pycache__", "*.py")
    shutil.copytree(example_folder(name), folder, dirs_exist_ok=True, ignore=left_out)
    typer.echo(say(text("cli.copied", name=name, folder=str(folder))))


@app.command()
@_guarded
def plant(
    name: Annotated[list[str] | None, typer.Argument(help="A crop by any of its names.")] = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Show a crop of the catalogue, every figure with its source; without a name, list them all."""
    from perennate.catalogue.names import find_crop, suggestions
    from perennate.catalogue.page import crop_page
    from perennate.catalogue.reader import load_catalogue
    from perennate.outputs.plant_page import (
        crops_data,
        crops_sections,
        plant_data,
        plant_sections,
    )
    from perennate.season_files import common_names

    typed = " ".join(name or ())
    catalogue = load_catalogue()
    if not typed:
        if as_json:
            _print_json(crops_data(catalogue))
            return
        for section in crops_sections(catalogue):
            _print_section(section.heading, section.lines)
        return
    crop = find_crop(catalogue, typed)
    if crop is None:
        meant = ", ".join(suggestions(catalogue, typed))
        near = say(text("cli.near", names=meant)) if meant else ""
        _refuse("plant", repr(typed), say(text("cli.crop", near=near)))
    page, names = crop_page(crop, catalogue), common_names(catalogue)
    if as_json:
        _print_json(plant_data(page, names))
        return
    for section in plant_sections(page, names):
        _print_section(section.heading, section.lines)


@app.command()
@_guarded
def reckon(
    name: Annotated[str | None, typer.Argument(help="Which question.")] = None,
    given: Annotated[list[str] | None, typer.Argument(help="Inputs as name=value.")] = None,
    listed: Annotated[bool, typer.Option("--list", help="Every question with its inputs.")] = False,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Answer a single question, such as how many plants a bed holds."""
    from perennate.outputs.reckoned import answer_sections, list_sections
    from perennate.reckoner import as_json as told
    from perennate.reckoner import list_json, run

    if listed or name is None:
        known = list_json()
        if as_json:
            _print_json(known)
            return
        for section in list_sections(known):
            _print_section(section.heading, section.lines)
        return
    pairs = dict(_pair(name, one) for one in given or ())
    answers = told(run(name, pairs))
    if as_json:
        _print_json(answers)
        return
    for section in answer_sections(answers if isinstance(answers, list) else [answers], name):
        _print_section(section.heading, section.lines)


StoreFolder = Annotated[Path, typer.Option("--store", help="Folder of the store.")]


@app.command()
@_guarded
def serve(
    store: StoreFolder = Path("var"),
    port: Annotated[int | None, typer.Option(min=1, max=65535, help="Instead of the kept one.")] = (
        None
    ),
    reachable_as: Annotated[
        list[str] | None,
        typer.Option(help="Let other machines in, under this name or address. There is no login."),
    ] = None,
    debug: Debug = False,
) -> None:
    """Show the holdings of a store in the browser, until stopped with Ctrl-C."""
    from perennate.server.serving import (
        THIS_MACHINE,
        kept_port,
        make_sure_is_free,
        open_store,
    )
    from perennate.server.serving import serve as run_server

    hosts = reachable_as or []
    open_store(store, hosts)
    host = "0.0.0.0" if hosts else THIS_MACHINE
    if port is not None:
        make_sure_is_free(host, port)
    chosen = port or kept_port(store, host)
    place = f"http://{hosts[0] if hosts else 'localhost'}:{chosen}/"

    def ready() -> None:
        typer.echo(say(text("cli.serving", place=place)))
        if hosts:
            typer.echo(word("cli.open_to_others"), err=True)
        sys.stdout.flush()

    run_server(host, chosen, ready)
    typer.echo(word("cli.served"))


@app.command(name="import")
@_guarded
def take_in(
    path: Annotated[Path, typer.Argument(help="Holding folder, .zip or .xlsx.")],
    store: StoreFolder = Path("var"),
    name: Annotated[str, typer.Option("--as", help="Its short name in the store.")] = "",
    plan_file: Annotated[
        Path | None, typer.Option("--plan", help="A plan.json of it, to stand from now on.")
    ] = None,
    debug: Debug = False,
) -> None:
    """Take a holding into a store; one that is there under the same name is changed to it."""
    from perennate.season_files import read_previous
    from perennate.server.serving import open_store

    open_store(store)
    from perennate.server.store.carry import read_carried
    from perennate.server.store.carry import take_in as into_store

    plan = read_previous(plan_file) if plan_file else None
    taken = into_store(read_carried(path), name, plan)
    typer.echo(say(text("cli.taken_in", name=taken.name, slug=taken.slug, store=str(store))))


@app.command(name="export")
@_guarded
def give_out(
    name: Annotated[str, typer.Argument(help="Short name of the holding in the store.")],
    path: Annotated[Path, typer.Argument(help="A folder, or a file ending in .zip or .xlsx.")],
    store: StoreFolder = Path("var"),
    debug: Debug = False,
) -> None:
    """Write a holding of a store to a folder, a .zip or an .xlsx workbook."""
    from perennate.server.serving import open_store

    open_store(store)
    from perennate.server.store.carry import give_out as write
    from perennate.server.store.models import Holding

    found = Holding.objects.filter(slug=name).first()
    if found is None:
        known = ", ".join(Holding.objects.values_list("slug", flat=True)) or "-"
        _refuse("export", repr(name), say(text("cli.stored", names=known)))
    write(found, path)
    typer.echo(say(text("cli.given_out", name=found.name, path=str(path))))


def _pair(name: str, typed: str) -> tuple[str, str]:
    key, sign, value = typed.partition("=")
    if not sign:
        _refuse(name, repr(typed), word("cli.pair"))
    return key.strip(), value


if __name__ == "__main__":
    app()
