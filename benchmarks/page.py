"""How soon the page answers: first view, a change typed, against the same work by a command of its own."""

from __future__ import annotations

import gzip
import math
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from http.cookiejar import CookieJar
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from bentwork.door.compiled import keep_compiled

sys.path.insert(0, str(Path(__file__).parents[1]))
keep_compiled()
from build_page import STATIC  # noqa: E402 - compiled code is looked for when numba is imported
from tests.desk import EXAMPLE, AtDesk, at_desk  # noqa: E402

if TYPE_CHECKING:
    from playwright.sync_api import CDPSession, Playwright

Spent = dict[str, float]

ROUNDS = 25
PICTURES = 120
WATCH = """() => {
  window.costs = [];
  const canvas = document.querySelector('canvas');
  new MutationObserver(() => window.costs.push(canvas.dataset.cost.split(' ').map(Number)))
    .observe(canvas, { attributeFilter: ['data-cost'] });
}"""
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


def frames(folder: Path) -> dict[str, float] | None:
    """What one picture costs the page while a frame is turned by hand, without a graphics card; None without Chromium.

    Triangles are drawn in software here, which takes far longer than a graphics card does: so what is measured is the
    page's own part, and how much it asks for.
    """
    from playwright.sync_api import sync_playwright

    where = shutil.which("chromium")
    if where is None:
        return None
    words = [sys.executable, "-m", "bentwork", "open", str(folder), "--no-browser", "--port", "0"]
    with (
        subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as server,
        sync_playwright() as playwright,
    ):
        try:
            before, after, costs = _turned(server, playwright, where)
        finally:
            server.kill()
    own = sorted(cost[0] for cost in costs[3:])
    return {
        "pictures": len(costs),
        "own_ms": statistics.median(own),
        "own_most_ms": own[int(0.95 * len(own))],
        "script_ms": 1000.0 * (after["ScriptDuration"] - before["ScriptDuration"]) / len(costs),
        "calls": statistics.median(cost[1] for cost in costs),
        "triangles": statistics.median(cost[2] for cost in costs),
    }


def _turned(
    server: subprocess.Popen[str], playwright: Playwright, where: str
) -> tuple[Spent, Spent, list[list[float]]]:
    """Turn the frame with the mouse; what the browser counted before and after, and what each picture cost."""
    flags = ["--no-sandbox", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
    assert server.stdout
    enter = next(found[0] for line in server.stdout if (found := re.search(r"http://\S+", line)))
    browser = playwright.chromium.launch(executable_path=where, args=flags)
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    page.set_default_timeout(60_000)
    page.goto(enter)
    page.goto(enter.split("/enter")[0] + "/job/crate-shelf/shape")
    page.wait_for_function("() => Number(document.querySelector('canvas')?.dataset.cost?.split(' ')[1]) >= 50")
    page.evaluate(WATCH)
    session = page.context.new_cdp_session(page)
    session.send("Performance.enable")
    before = _spent(session)
    box = page.locator("canvas").first.bounding_box()
    assert box
    page.mouse.move(box["x"] + 200, box["y"] + 300)
    page.mouse.down()
    for number in range(PICTURES):
        page.mouse.move(box["x"] + 200 + 2 * number, box["y"] + 300 + 40 * math.sin(number / 9))
        page.evaluate("() => new Promise(requestAnimationFrame)")
    page.mouse.up()
    after, costs = _spent(session), page.evaluate("() => window.costs")
    browser.close()
    return before, after, costs


def _spent(session: CDPSession) -> Spent:
    """What the browser counts of the page's main thread, s."""
    return {one["name"]: one["value"] for one in session.send("Performance.getMetrics")["metrics"]}


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
        turned = frames(at_desk(Path(folder) / "turned", {"crate-shelf": many(46)}).desk.place.jobs)
    weights = [len(gzip.compress(path.read_bytes())) for path in STATIC.rglob("*.*") if path.suffix in (".js", ".css")]
    print(f"\nFrom the command to the address {up:.0f} ms, on to the list {listed:.0f}, on to a job {seen:.0f} ms.")
    print(f"Scripts and styles weigh {sum(weights) / 1000:.0f} kB, compressed.")
    if turned is None:
        print("What a picture costs was not measured: there is no Chromium here.")
        return
    print(
        f"50 pieces turned by hand, {turned['pictures']:.0f} pictures: the page's own part of one takes "
        f"{turned['own_ms']:.1f} ms (median; 95 in 100 within {turned['own_most_ms']:.1f} ms), all its script "
        f"{turned['script_ms']:.1f} ms; {turned['calls']:.0f} calls, "
        f"{turned['triangles'] / 1000:.0f} thousand triangles. A picture at 60 in a second has {1000.0 / 60.0:.1f} ms."
    )


if __name__ == "__main__":
    main()
