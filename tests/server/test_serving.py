"""The server started on this machine: its port, its secret, who is let in, how it ends."""

import os
import re
import signal
import socket
import sqlite3
import stat
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
from pathlib import Path

import pytest

from perennate.server import serving
from perennate.server.serving import kept_port, make_sure_is_free

FIRST_PAGE_S = 4.0
"""Processor seconds from the command to the first page: what a machine with nothing else to do
takes."""


def perennate(*words: str) -> "subprocess.Popen[str]":
    command = [sys.executable, "-m", "perennate.cli", *words]
    # compiled modules are kept, as they are where nothing forbids it
    kept = {**os.environ, "PYTHONDONTWRITEBYTECODE": ""}
    return subprocess.Popen(
        command, env=kept, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )


def get(address: str, **headers: str) -> tuple[int, str, dict[str, str]]:
    request = urllib.request.Request(address, headers=headers)
    try:
        with urllib.request.urlopen(request, timeout=60) as answer:
            return answer.status, answer.read().decode(), dict(answer.headers)
    except urllib.error.HTTPError as error:
        with error:
            return error.code, error.read().decode(), dict(error.headers)


def test_the_port_is_chosen_once_and_kept(tmp_path):
    port = kept_port(tmp_path)
    assert kept_port(tmp_path) == port == int((tmp_path / "port").read_text())
    (tmp_path / "port").write_text("8843\n")
    assert kept_port(tmp_path) == 8843


def test_a_kept_port_that_cannot_be_read_is_chosen_anew(tmp_path):
    (tmp_path / "port").write_text("no port\n")
    assert kept_port(tmp_path) == int((tmp_path / "port").read_text())


def test_a_kept_port_that_is_taken_is_said_and_not_replaced(tmp_path):
    with socket.socket() as other:
        other.bind((serving.THIS_MACHINE, 0))
        other.listen()
        port = other.getsockname()[1]
        (tmp_path / "port").write_text(f"{port}\n")
        with pytest.raises(OSError, match=f"port {port}, which this store keeps"):
            kept_port(tmp_path)
        with pytest.raises(OSError, match=f"port {port} is taken"):
            make_sure_is_free(serving.THIS_MACHINE, port)
    assert kept_port(tmp_path) == port


def test_the_secret_is_the_owners_alone_and_stays(tmp_path):
    file = tmp_path / "secret"
    serving._keep_secret(file)
    kept = file.read_text()
    assert len(kept) == 64
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    serving._keep_secret(file)
    assert file.read_text() == kept
    assert list(tmp_path.iterdir()) == [file]


def test_served_to_this_machine_alone_with_what_keeps_others_out(nook_store, file_store, served):
    place = served(file_store)
    port = int(place.rpartition(":")[2])
    status, page, headers = get(f"{place}/at/nook/")
    assert status == 200

    # one who is on another machine finds nobody at the port
    with socket.socket() as tried:
        tried.bind(("127.0.0.2", port))

    # a page of another name that leads here is not answered
    assert get(f"{place}/at/nook/", Host="elsewhere.example")[0] == 400

    # a form of another page is not taken
    bare = urllib.request.Request(f"{place}/at/nook/plan/", data=b"effort=quick")
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(bare, timeout=60)
    assert refused.value.code == 403
    refused.value.close()

    policy = headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert not re.search(r"unsafe|https?:|\*|data:", policy)
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert not re.search(r"<script(?![^>]*\bsrc=)|<style|\sstyle=|\son\w+=", page)

    # what a page asks for beside itself is told by its content and kept
    fixed = re.findall(r'(?:href|src)="(/static/[^"]+)"', page)
    assert len(fixed) >= 4
    for address in fixed:
        assert re.search(r"\?v=[0-9a-f]{12}$", address)
        status, _, told = get(place + address)
        assert status == 200
        assert int(re.search(r"max-age=(\d+)", told["Cache-Control"])[1]) > 30 * 24 * 3600
    assert get(f"{place}/static/perennate/no-such.css")[0] == 404


def test_an_interrupt_ends_server_and_planner_and_a_second_start_goes_on(
    nook_store, file_store, served
):
    port = str(free_port())
    words = ("serve", "--store", str(file_store), "--port", port)
    server = perennate(*words)
    assert f"http://localhost:{port}/" in server.stdout.readline()
    assert get(f"http://localhost:{port}/at/nook/")[0] == 200
    ask_for_plan(f"http://localhost:{port}", "nook")
    process = planner_of(file_store)
    server.send_signal(signal.SIGINT)
    said, wrong = server.communicate(timeout=60)
    assert (server.returncode, wrong) == (0, "")
    assert "Stopped" in said
    assert not Path(f"/proc/{process}").exists()

    server = perennate(*words)
    assert f"http://localhost:{port}/" in server.stdout.readline()
    assert planner_of(file_store, other_than=process) != process
    server.send_signal(signal.SIGTERM)
    server.communicate(timeout=60)
    assert server.returncode == 0


def test_a_second_server_on_the_same_port_says_that_it_is_taken(nook_store, file_store, served):
    place = served(file_store)
    port = place.rpartition(":")[2]
    second = perennate("serve", "--store", str(file_store), "--port", port)
    said, wrong = second.communicate(timeout=60)
    assert (second.returncode, said) == (1, "")
    assert f"port {port} is taken" in wrong
    assert len(wrong.splitlines()) == 1
    assert get(f"{place}/at/nook/")[0] == 200


def test_from_the_command_to_the_first_page(nook_store, file_store):
    spent = [first_page_s(file_store) for _ in range(2)]
    assert min(spent) < FIRST_PAGE_S, spent


def first_page_s(folder: Path) -> float:
    """Processor seconds of a server from its start until it has answered once."""
    port = free_port()
    server = perennate("serve", "--store", str(folder), "--port", str(port))
    server.stdout.readline()
    assert get(f"http://localhost:{port}/at/nook/")[0] == 200
    spent = Path(f"/proc/{server.pid}/stat").read_text().rpartition(")")[2].split()
    server.send_signal(signal.SIGINT)
    server.communicate(timeout=60)
    return sum(map(int, spent[11:13])) / os.sysconf("SC_CLK_TCK")


def test_two_that_make_the_same_store_at_once_both_find_it_made(tmp_path):
    words = ("export", "nobody", str(tmp_path / "out"), "--store", str(tmp_path / "store"))
    for both in [[perennate(*words), perennate(*words)] for _ in range(2)]:
        for one in both:
            _, wrong = one.communicate(timeout=60)
            assert (one.returncode, len(wrong.splitlines())) == (2, 1), wrong
            assert "nobody" in wrong


def free_port() -> int:
    with socket.socket() as tried:
        tried.bind((serving.THIS_MACHINE, 0))
        return int(tried.getsockname()[1])


def ask_for_plan(place: str, slug: str) -> None:
    """Send the form that asks for a plan, as a browser does."""
    opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
    with opener.open(f"{place}/at/{slug}/", timeout=60) as page:
        token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page.read().decode())[1]
    data = urllib.parse.urlencode({"csrfmiddlewaretoken": token, "effort": "thorough"}).encode()
    with opener.open(f"{place}/at/{slug}/plan/", data, timeout=60) as answer:
        assert answer.status == 200


def planner_of(folder: Path, other_than: int = 0) -> int:
    """The process of the run that is under way, as soon as it is known."""
    end = time.monotonic() + 60
    query = "SELECT process FROM store_planrun WHERE state = 'running'"
    while time.monotonic() < end:
        with sqlite3.connect(folder / "perennate.sqlite3", timeout=20) as opened:
            found = opened.execute(query).fetchone()
        opened.close()
        if found and found[0] != other_than:
            return int(found[0])
        time.sleep(0.05)
    raise AssertionError("no planner runs")
