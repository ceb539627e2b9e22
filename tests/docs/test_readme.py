"""The README is run as it stands: its files are written, its commands are called, in its order.

Blocks are told apart by a note on the line before their fence: `runnable` (commands),
`file: PATH` (the whole of a table), `settings: PATH` (lines of a holding.toml to fill in).
"""

import re
import shlex
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest
from typer.testing import CliRunner

from perennate.cli import app

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text("utf-8")
PAGES = sorted([ROOT / "README.md", *(ROOT / "docs").rglob("*.md")])
BLOCK = re.compile(r"^<!-- (runnable|(?:file|settings): \S+) -->\n```\w+\n(.*?)^```$", re.M | re.S)
LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")


@dataclass(frozen=True)
class Block:
    kind: str
    path: str
    lines: tuple[str, ...]


def blocks():
    for note, body in BLOCK.findall(README):
        kind, _, path = note.partition(": ")
        yield Block(kind, path, tuple(body.splitlines()))


def take_the_hash_away(file, lines):
    """Each setting is found once in the file, as a note or not, and is given the value told."""
    written = file.read_text("utf-8")
    for line in lines:
        name = line.split(" = ")[0]
        written, found = re.subn(rf"^(# )?{name} = .*$", line, written, flags=re.M)
        assert found == 1, f"{name} stands {found} times in {file.name}"
    file.write_text(written, "utf-8")


STORED = ("import", "export")
"""Commands that open a store: each in a process of its own, as these tests have a store already."""
SERVED = {"serve"}
"""Shown, but not run here, since it goes on until it is stopped."""


@dataclass(frozen=True)
class Ran:
    exit_code: int
    output: str


def call(command):
    program, *words = shlex.split(command)
    assert program == "perennate", command
    if words[0] in STORED:
        run = [sys.executable, "-m", "perennate.cli", *words]
        done = subprocess.run(run, capture_output=True, text=True)
        return Ran(done.returncode, done.stdout + done.stderr)
    return CliRunner().invoke(app, words)


@pytest.fixture(scope="module")
def walk(tmp_path_factory):
    """What each command printed, by command, and the folder in which all of it was done."""
    folder = tmp_path_factory.mktemp("newcomer")
    told = {}
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        for block in blocks():
            if block.kind == "file":
                Path(block.path).write_text("\n".join(block.lines) + "\n", "utf-8")
            elif block.kind == "settings":
                take_the_hash_away(Path(block.path), block.lines)
            else:
                for command in block.lines:
                    told[command] = call(command)
    return folder, told


def test_every_runnable_command_works(walk):
    _, told = walk
    failed = {command: run.output for command, run in told.items() if run.exit_code != 0}
    assert not failed
    assert all(run.output.strip() for run in told.values())


def test_every_command_of_the_program_is_shown_and_run(walk):
    _, told = walk
    shown = {shlex.split(command)[1] for command in told}
    assert all(f"perennate {one} " in README for one in SERVED)
    known = {command.name or command.callback.__name__ for command in app.registered_commands}
    assert shown | SERVED == known


def test_the_newcomer_ends_with_both_seasons(walk):
    folder, _ = walk
    for season in ("season", "season-2"):
        names = {file.name for file in (folder / season).iterdir()}
        assert names == {"plan.json", "jobs.ics", "todo.ics", "plan.xlsx", "season.pdf"}


@pytest.mark.parametrize("command", ["check", "plan"])
def test_what_is_pasted_has_the_form_of_what_is_printed(walk, command):
    """Figures may move with the catalogue; headings and the three beds may not."""
    _, told = walk
    run = next(run for line, run in told.items() if line.startswith(f"perennate {command} my-"))
    pasted = README.split(f"<!-- output: {command} -->\n```text\n")[1].split("```")[0]
    kept = [line for line in pasted.splitlines() if line and not line.startswith(("  ", "..."))]
    assert kept
    printed = [form(line) for line in run.output.splitlines()]
    assert [line for line in kept if form(line) not in printed] == []


def form(line):
    """A line without its figures."""
    return re.sub(r"[\d.]+", "#", line)


def test_no_marked_block_is_missed():
    notes = re.findall(r"^<!-- (?:runnable|file|settings)\b", README, re.M)
    assert len(notes) == len(list(blocks())) > 0


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_relative_link_leads_to_a_file(page):
    prose = re.sub(r"^```.*?^```$", "", page.read_text("utf-8"), flags=re.M | re.S)
    for link in LINK.findall(re.sub(r"`[^`\n]*`", "", prose)):
        if re.match(r"[a-z]+:", link):
            continue
        path, _, heading = link.partition("#")
        target = (page.parent / path).resolve() if path else page
        assert target.exists(), f"{page.name} links to {link}"
        if heading:
            assert heading in headings(target), f"{page.name} links to {link}"


def headings(page):
    titles = re.findall(r"^#+ (.+)$", page.read_text("utf-8"), re.M)
    return {re.sub(r"[^\w -]", "", title.lower()).replace(" ", "-") for title in titles}


def test_every_page_is_reached_from_the_readme():
    reached, left = set(), [ROOT / "README.md"]
    while left:
        page = left.pop()
        reached.add(page)
        links = (link.partition("#")[0] for link in LINK.findall(page.read_text("utf-8")))
        found = {(page.parent / link).resolve() for link in links if link.endswith(".md")}
        left += sorted(found - reached)
    assert set(PAGES) <= reached


def test_every_decision_is_in_their_list():
    folder = ROOT / "docs" / "decisions"
    linked = set(LINK.findall((folder / "README.md").read_text("utf-8")))
    pages = {page.name for page in folder.glob("[0-9]*.md")}
    assert pages
    assert linked == pages


def test_decisions_are_numbered_in_one_run():
    pages = sorted((ROOT / "docs" / "decisions").glob("[0-9]*.md"))
    assert [page.name[:3] for page in pages] == [f"{k:03}" for k in range(1, len(pages) + 1)]
    for page in pages:
        assert page.read_text("utf-8").startswith(f"# {page.name[:3]} ")
