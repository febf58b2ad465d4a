"""How soon the page answers: first view, a change typed, against the same work by a command of its own."""

from __future__ import annotations

import gzip
import re
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from http.cookiejar import CookieJar
from itertools import pairwise
from pathlib import Path

from bentwork.door.compiled import keep_compiled

sys.path.insert(0, str(Path(__file__).parents[1]))
keep_compiled()
from build_page import STATIC  # noqa: E402 - compiled code is looked for when numba is imported
from tests.desk import EXAMPLE, AtDesk, at_desk  # noqa: E402

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


def edits(desk: AtDesk) -> float:
    """Median of a change of one coordinate, to the answer with everything worked out anew, ms."""
    now, took = desk.job(), []
    for number in range(ROUNDS):
        change = {"path": ["piece", "loop", "points", 1, 0], "value": 400.5 + number / 4}
        began = time.perf_counter()
        answer = desk.client.post("/api/jobs/crate-shelf/changes", json={"sum": now["sum"], "changes": [change]})
        took.append(time.perf_counter() - began)
        now = answer.json()
        assert answer.status_code == 200, now
    return 1000.0 * statistics.median(took[3:])


def command(desk: AtDesk) -> float:
    """Median of ``bentwork plan --json`` on the same file, a process each, ms."""
    words = [sys.executable, "-m", "bentwork", "plan", str(desk.desk.place.job("crate-shelf")), "--json"]
    took = []
    for _ in range(3):
        began = time.perf_counter()
        subprocess.run(words, check=False, stdout=subprocess.DEVNULL)
        took.append(time.perf_counter() - began)
    return 1000.0 * statistics.median(took)


def first_view(folder: Path) -> tuple[float, float, float]:
    """From the command to an address, from there to the document and the list of jobs, and on to a job, ms."""
    words = [sys.executable, "-m", "bentwork", "open", str(folder), "--no-browser", "--port", "0"]
    began = time.perf_counter()
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as server:
        assert server.stdout
        enter = next(found[0] for line in server.stdout if (found := re.search(r"http://\S+", line)))
        at = [began, time.perf_counter()]
        ask = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
        ask.open(enter).read()
        for path in ("/api/jobs", "/api/jobs/crate-shelf"):
            ask.open(enter.split("/enter")[0] + path).read()
            at.append(time.perf_counter())
        server.kill()
    up, listed, seen = (1000.0 * (after - before) for before, after in pairwise(at))
    return up, listed, seen


def main() -> None:
    """Print the table of docs/performance.md."""
    print("| one coordinate changed, medians | the page, ms | a command of its own, ms | ratio |")
    print("| --- | --- | --- | --- |")
    with tempfile.TemporaryDirectory() as folder:
        for name, text in (("the example, 4 pieces", EXAMPLE), ("34 pieces", many(30))):
            desk = at_desk(Path(folder) / name.split()[0], {"crate-shelf": text})
            ours, theirs = edits(desk), command(desk)
            print(f"| {name} | {ours:.0f} | {theirs:.0f} | {theirs / ours:.0f} |")
        up, listed, seen = first_view(desk.desk.place.jobs)
    weights = [len(gzip.compress(path.read_bytes())) for path in STATIC.rglob("*.*") if path.suffix in (".js", ".css")]
    print(f"\nFrom the command to the address {up:.0f} ms, on to the list {listed:.0f}, on to a job {seen:.0f} ms.")
    print(f"Scripts and styles weigh {sum(weights) / 1000:.0f} kB, compressed.")


if __name__ == "__main__":
    main()
