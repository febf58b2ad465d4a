"""How soon the page answers: first view, a change typed, against the same work by a command of its own."""

from __future__ import annotations

import gzip
import json
import os
import random
import re
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Sequence
from http.cookiejar import CookieJar
from itertools import pairwise
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))
from build_page import STATIC
from tests.desk import EXAMPLE

ROUNDS = 25
STAY = re.search(r"\[piece\.stay\].*?(?=\n\[piece|\Z)", EXAMPLE, re.DOTALL)


def many(pieces: int) -> str:
    """The example with more stays, each of its own length."""
    assert STAY
    told = [EXAMPLE]
    for number in range(pieces):
        stay = STAY[0].replace("[piece.stay]", f"[piece.stay-{number}]").replace("-330]", f"-{330 + number}]")
        told.append(re.sub(r"mirror.*\n|hand.*\n?", "", stay))
    return "\n".join(told)


CHANGES: tuple[tuple[str, tuple[str | int, ...], Callable[[int], float]], ...] = (
    ("a corner of the loop", ("piece", "loop", "points", 1, 0), lambda k: 400.5 + k / 8),
    ("a size of the bender", ("bender", "lever", "follower", "radius"), lambda k: 18.0 + k / 16),
    ("radius of the die", ("bender", "lever", "radius"), lambda k: 50.0 + k / 16),
    ("what stands round it", ("mounting", "vise", "vise", "top"), lambda k: -24.0 - k / 8),
    ("thickness of the rod", ("stock", "rod", "diameter"), lambda k: 12.0 - k / 100),
)
"""What is changed, where it stands, and the values that it takes one after the other."""


def edits(door: Door, path: Sequence[str | int], value: Callable[[int], float]) -> tuple[float, float, float]:
    """Median and most of a change, from the request to the whole answer, and the server's own processor time for one.

    All in ms. What the frame carries follows later; it is not asked for meanwhile.
    """
    now, took, own = door.get("/api/jobs/crate-shelf?at_once=true"), [], []
    for number in range(1, ROUNDS + 1):
        change = {"path": path, "value": value(number)}
        began, before = time.perf_counter(), door.processor()
        now = door.post("/api/jobs/crate-shelf/changes", {"sum": now["sum"], "changes": [change]})
        took.append(1000.0 * (time.perf_counter() - began))
        own.append(door.processor() - before)
    return statistics.median(took[3:]), max(took[3:]), statistics.fmean(own[3:])


def meanwhile(door: Door) -> tuple[float, float]:
    """Median and most, ms, of a change typed while it is reckoned what the frame carries, at any moment of it.

    Those are left out that came after it was told.
    """
    chance, path = random.Random(1), ("piece", "loop", "points", 1, 0)
    now, took = door.get("/api/jobs/crate-shelf?at_once=true"), []
    for number in range(ROUNDS):
        reckoned = threading.Thread(target=door.given_up, args=("/api/jobs/crate-shelf",))
        reckoned.start()
        time.sleep(chance.uniform(0.05, 2.0))
        at_it = reckoned.is_alive()
        change = {"path": path, "value": 390.5 - number / 8}
        began = time.perf_counter()
        now = door.post("/api/jobs/crate-shelf/changes", {"sum": now["sum"], "changes": [change]})
        if at_it:
            took.append(1000.0 * (time.perf_counter() - began))
        reckoned.join()
    return statistics.median(took), max(took)


def command(folder: Path) -> float:
    """Median of ``bentwork plan --json`` on the same file, a process each, ms."""
    words = [sys.executable, "-m", "bentwork", "plan", str(folder / "crate-shelf.toml"), "--json"]
    took = []
    for _ in range(3):
        began = time.perf_counter()
        subprocess.run(words, check=False, stdout=subprocess.DEVNULL)
        took.append(time.perf_counter() - began)
    return 1000.0 * statistics.median(took)


class Door:
    """The server in a process of its own, and a way in.

    Args:
        folder: with the job files.
    """

    def __init__(self, folder: Path) -> None:
        words = [sys.executable, "-m", "bentwork", "open", str(folder), "--no-browser", "--port", "0"]
        words += ["--workshop", str(folder / "workshop")]
        self.server = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        assert self.server.stdout
        self.enter = next(found[0] for line in self.server.stdout if (found := re.search(r"http://\S+", line)))
        self.base = self.enter.split("/enter")[0]
        self._ask = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))

    def __enter__(self) -> Door:
        return self

    def __exit__(self, *_: object) -> None:
        self.server.kill()
        self.server.wait()
        assert self.server.stdout
        self.server.stdout.close()

    def let_in(self) -> None:
        """Go in by the address."""
        self._ask.open(self.enter).read()

    def get(self, path: str) -> Any:  # noqa: ANN401 - what the server says
        """Return what the server answers."""
        return json.loads(self._ask.open(self.base + path).read())

    def given_up(self, path: str) -> None:
        """Ask for what may be given up, as soon as somebody asks for something newer."""
        try:
            self.get(path)
        except urllib.error.HTTPError as error:
            if error.code != 409:
                raise

    def post(self, path: str, body: object) -> Any:  # noqa: ANN401 - likewise
        """Return what the server answers to what it is sent."""
        head = {"content-type": "application/json", "origin": self.base}
        return json.loads(
            self._ask.open(urllib.request.Request(self.base + path, json.dumps(body).encode(), head)).read()
        )

    def processor(self) -> float:
        """Processor time of the server so far, ms, in steps of ten; 0 where the machine does not tell."""
        try:
            told = Path(f"/proc/{self.server.pid}/stat").read_text().rsplit(")", 1)[1].split()
        except OSError:
            return 0.0
        return 1000.0 * (int(told[11]) + int(told[12])) / os.sysconf("SC_CLK_TCK")


def first_view(folder: Path) -> tuple[float, float, float]:
    """From the command to an address, from there to the document and the list of jobs, and on to a job, ms."""
    at = [time.perf_counter()]
    with Door(folder) as door:
        at.append(time.perf_counter())
        door.let_in()
        for path in ("/api/jobs", "/api/jobs/crate-shelf?at_once=true"):
            door.get(path)
            at.append(time.perf_counter())
    up, listed, seen = (1000.0 * (after - before) for before, after in pairwise(at))
    return up, listed, seen


def main() -> None:
    """Print the tables of docs/performance.md."""
    print("| one value changed | pieces | median, ms | most, ms | processor, ms | a command of its own, ms | ratio |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    with tempfile.TemporaryDirectory() as told:
        for pieces in (4, 34, 50):
            folder = Path(told) / str(pieces)
            folder.mkdir()
            (folder / "crate-shelf.toml").write_text(many(pieces - 4), "utf-8")
            theirs = command(folder)
            with Door(folder) as door:
                door.let_in()
                for what, path, value in CHANGES:
                    median, most, own = edits(door, path, value)
                    told_as = [f"{one:.0f}" for one in (median, most, own, theirs, theirs / median)]
                    print(f"| {what} | {pieces} | {' | '.join(told_as)} |")
                waits = meanwhile(door) if pieces == 50 else None
            up, listed, seen = first_view(folder)
            print(f"{pieces} pieces: address after {up:.0f} ms, list {listed:.0f}, job {seen:.0f} ms.", file=sys.stderr)
    if waits:
        print(
            f"\n50 pieces, a corner typed while it is reckoned what they carry: {waits[0]:.0f} ms, most {waits[1]:.0f}."
        )
    weights = [len(gzip.compress(path.read_bytes())) for path in STATIC.rglob("*.*") if path.suffix in (".js", ".css")]
    print(f"\nScripts and styles weigh {sum(weights) / 1000:.0f} kB, compressed.")


if __name__ == "__main__":
    main()
