"""The server as it runs: killed at any moment it loses no logged bend; nothing listens but what the maker opened."""

from __future__ import annotations

import json
import re
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from http.client import HTTPException
from http.cookiejar import CookieJar
from importlib.resources import files
from pathlib import Path

import pytest

from bentwork.web import sharing as sharing_module
from bentwork.web.access import Access
from bentwork.web.app import guarded
from bentwork.web.desk import Desk
from bentwork.web.place import Place
from bentwork.web.server import listening, serve
from bentwork.workshop.store import open_workshop

EXAMPLE = files("bentwork").joinpath("data", "crate-shelf.toml").read_bytes()
OTHER = "127.0.0.2"  # stands for the address in the network: every machine with IPv4 on Linux has all of 127.0.0.0/8

Opener = urllib.request.OpenerDirector


class Running:
    """A server in a process of its own, on folders that outlive it."""

    def __init__(self, folder: Path) -> None:
        command = [sys.executable, "-m", "bentwork", "open", str(folder / "jobs"), "--no-browser", "--port", "0"]
        self.process = subprocess.Popen(
            [*command, "--workshop", str(folder / "workshop")],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        assert self.process.stdout is not None
        said = ""
        while not (found := re.search(r"(http://127\.0\.0\.1:\d+)/enter\S+", said)):
            line = self.process.stdout.readline()
            assert line, self.process.communicate()[1]
            said += line
        self.address = found[1]
        self.opener = entered(found[0])

    def __del__(self) -> None:
        if self.process.poll() is None:  # a test that failed in between
            self.kill()

    def kill(self) -> None:
        self.process.send_signal(signal.SIGKILL)
        self.process.communicate(timeout=30)

    def log(self, number: int) -> None:
        entry = {"entry_id": f"e{number}", "version": "v", "piece": "loop", "bend": 1 + number % 8, "held": "B"}
        post(self.opener, f"{self.address}/api/bench/crate-shelf/log", entry | REST)


REST = {"pulled_deg": 98.7, "angle_deg": 89.5, "made_on": "2026-03-12"}


def entered(address: str) -> Opener:
    opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
    try:
        opener.open(address, timeout=120).read()
    except urllib.error.HTTPError as error:  # the page itself need not be built for this
        assert error.code == 503, error
    return opener


def post(opener: Opener, address: str, body: object) -> object:
    request = urllib.request.Request(address, json.dumps(body).encode(), {"content-type": "application/json"})
    with opener.open(request, timeout=120) as answer:
        return json.loads(answer.read())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / "crate-shelf.toml").write_bytes(EXAMPLE)
    return tmp_path


def test_a_server_killed_at_any_moment_loses_no_logged_bend_and_keeps_none_twice(folder: Path) -> None:
    """Entries are sent without a pause, as a phone does that has many waiting; what was not answered is sent again."""
    kept = 0  # entries 0 to kept - 1 were answered
    for spell in (0.9, 1.5, 0.4):
        server = Running(folder)
        server.log(kept)  # the one whose answer got lost; and the job is worked out before the clock runs
        kept += 1
        timer = threading.Timer(spell, server.kill)
        timer.start()
        try:
            while True:
                server.log(kept)
                kept += 1
        except (OSError, HTTPException):  # the line broke off, before the answer or within it
            timer.join()
        found = logged(folder)
        assert found[:kept] == [f"e{number}" for number in range(kept)]
        assert len(found) <= kept + 1  # the one that was on its way may have arrived
    assert kept > 4  # a slow machine logs few
    server = Running(folder)
    server.log(kept)
    server.kill()
    assert logged(folder) == [f"e{number}" for number in range(kept + 1)]


def logged(folder: Path) -> list[str]:
    with open_workshop(folder / "workshop") as workshop:
        return [one.entry_id for one in workshop.log.all()]


@pytest.fixture
def desk(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Desk, Opener]]:
    """A server in a thread, whose second door is at ``OTHER``."""
    monkeypatch.setattr(sharing_module, "addresses", lambda: [OTHER])
    door = listening(0)
    desk = Desk(Place(folder / "jobs", folder / "workshop"), Access(door.getsockname()[1]))
    ready = threading.Event()
    thread = threading.Thread(target=serve, args=(guarded(desk), [door], ready.set, desk.sharing), daemon=True)
    thread.start()
    assert ready.wait(30)
    yield desk, entered(f"http://127.0.0.1:{desk.access.port}/enter?word={desk.access.word}")
    desk.sharing.doors.should_exit = True  # type: ignore[union-attr]
    thread.join(30)
    assert not thread.is_alive()


def answers(address: str, port: int) -> bool:
    with socket.socket() as caller:
        caller.settimeout(2.0)
        return caller.connect_ex((address, port)) == 0


def test_nothing_listens_but_this_machines_own_door(desk: tuple[Desk, Opener]) -> None:
    port = desk[0].access.port
    assert answers("127.0.0.1", port)
    assert not answers(OTHER, port)
    assert not answers(OTHER, 2368)


def test_the_second_door_opens_and_closes_and_breaks_off_what_goes_on(desk: tuple[Desk, Opener]) -> None:
    inside, opener = desk
    own = f"http://127.0.0.1:{inside.access.port}"
    told = post(opener, f"{own}/api/sharing/start", {"address": OTHER, "to": "/bench/crate-shelf"})
    assert isinstance(told, dict)
    port, pairing = told["port"], told["pairing"]["address"]
    assert answers(OTHER, port)
    phone = entered(pairing)
    with phone.open(f"http://{OTHER}:{port}/api/bench/crate-shelf/bars", timeout=120) as answer:
        assert answer.status == 200
    with pytest.raises(urllib.error.HTTPError, match="403"):
        phone.open(f"http://{OTHER}:{port}/api/jobs", timeout=30)
    with pytest.raises(urllib.error.HTTPError, match="403"):
        phone.open(f"http://{OTHER}:{port}/enter?word={inside.access.word}", timeout=30)
    with socket.create_connection((OTHER, port), timeout=10) as open_line:
        open_line.sendall(
            b"GET /api/bench/crate-shelf/bars HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n\r\n" % inside.access.port
        )
        assert b" 421 " in open_line.recv(200)
        post(opener, f"{own}/api/sharing/stop", {})
        open_line.settimeout(30.0)
        while open_line.recv(4096):
            pass  # what was on its way; then the line is broken off
    deadline = time.monotonic() + 30.0
    while answers(OTHER, port) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert not answers(OTHER, port)
    with opener.open(f"{own}/api/jobs", timeout=30) as answer:
        assert answer.status == 200
