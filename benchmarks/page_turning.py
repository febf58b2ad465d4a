"""How smoothly the page turns a frame of 50 pieces, drawn without a graphics card; and how soon a typed change is seen.

SwiftShader draws triangles with the processor: several times as slow as the weakest graphics card. Nothing else should
run meanwhile: it takes all cores.
"""

from __future__ import annotations

import os
import shutil
import statistics
import sys
import tempfile
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))
from benchmarks.page import Door, many

PIECES = 50
SIZES = ((1280, 720, 1), (1280, 800, 1), (390, 500, 1), (390, 500, 2))
"""Width and height, CSS px, and points of the screen for one of them."""

FLAGS = (
    "--no-sandbox --use-gl=angle --use-angle=swiftshader --enable-unsafe-swiftshader --disable-quic --no-first-run"
).split()
THERE = "() => Number(document.querySelector('canvas')?.dataset.cost?.split(' ')[2]) > 1000"

TURN = """(seconds) => new Promise((done) => {
  const canvas = document.querySelector('canvas');
  const gaps = [], costs = [];
  const began = performance.now();
  let before = began;
  const watch = new MutationObserver(() => costs.push(canvas.dataset.cost.split(' ')));
  watch.observe(canvas, { attributeFilter: ['data-cost'] });
  const go = () => {
    const now = performance.now();
    gaps.push(now - before);
    before = now;
    canvas.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true, cancelable: true }));
    if (now - began < 1000 * seconds) return requestAnimationFrame(go);
    watch.disconnect();
    done({ seconds: (now - began) / 1000, gaps, costs });
  };
  requestAnimationFrame(go);
})"""

BARE = """(seconds) => new Promise((done) => {
  const canvas = document.querySelector('canvas');
  canvas.width = innerWidth * devicePixelRatio;
  canvas.height = innerHeight * devicePixelRatio;
  const pen = canvas.getContext('webgl2', { alpha: false, antialias: false });
  const gaps = [];
  const began = performance.now();
  let before = began;
  const go = () => {
    const now = performance.now();
    gaps.push(now - before);
    before = now;
    pen.clearColor(gaps.length % 2, 0.2, 0.3, 1);
    pen.clear(pen.COLOR_BUFFER_BIT);
    if (now - began < 1000 * seconds) return requestAnimationFrame(go);
    done({ seconds: (now - began) / 1000, gaps });
  };
  requestAnimationFrame(go);
})"""

TYPE = """([label, value]) => new Promise((done) => {
  const input = [...document.querySelectorAll('input')].find(
    (one) => (one.getAttribute('aria-label') ?? one.labels?.[0]?.textContent) === label);
  const seen = { told: null, picture: null };
  input.focus();
  input.value = value;
  input.dispatchEvent(new InputEvent('input', { bubbles: true }));
  setTimeout(() => {
    const began = performance.now();
    const ends = (what) => () => { seen[what] = performance.now() - began; };
    const told = new MutationObserver(() => { seen.told ??= performance.now() - began; });
    const drawn = new MutationObserver(ends('picture'));
    told.observe(document.querySelector('.side'), { subtree: true, childList: true, characterData: true });
    drawn.observe(document.querySelector('canvas'), { attributeFilter: ['data-cost'] });
    input.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true }));
    setTimeout(() => { told.disconnect(); drawn.disconnect(); done(seen); }, 400);
  }, 200);
})"""


def turned(browser: Browser, door: Door, size: tuple[int, int, int]) -> dict[str, float | str]:
    """Turn the frame by key at every picture of the screen, for five seconds after five to get used to."""
    page = opened(browser, door, size)
    page.evaluate(TURN, 5)
    told: dict[str, Any] = page.evaluate(TURN, 5)
    page.context.close()
    gaps, costs = sorted(told["gaps"][1:]), told["costs"]
    return {
        "a second": len(costs) / told["seconds"],
        "median": statistics.median(gaps),
        "most": gaps[int(0.95 * len(gaps))],
        "own": statistics.median(float(cost[0]) for cost in costs),
        "calls": costs[-1][1],
        "triangles": costs[-1][2],
        "how": costs[-1][3],
    }


def bare(browser: Browser, size: tuple[int, int, int]) -> float:
    """Median from picture to picture, ms, of a page that holds nothing but a canvas that is cleared: the peer."""
    width, height, points = size
    page = browser.new_context(viewport={"width": width, "height": height}, device_scale_factor=points).new_page()
    page.set_content("<body style='margin: 0'><canvas style='display: block; height: 100vh; width: 100%'></canvas>")
    page.wait_for_timeout(500)
    told: dict[str, Any] = page.evaluate(BARE, 3)
    page.context.close()
    return float(statistics.median(told["gaps"][1:]))


def typed(browser: Browser, door: Door) -> tuple[float, float]:
    """Medians from Enter to the findings, and to the new picture, ms; typed once everything is worked out."""
    door.let_in()
    page = opened(browser, door, (1280, 720, 1))
    found = []
    for k in range(9):
        door.get("/api/jobs/crate-shelf")  # what the frame carries after the change before is worked out
        page.wait_for_timeout(2000)
        found.append(page.evaluate(TYPE, ["Point 2, x", str(401 + k / 4)]))
    page.context.close()
    told, drawn = ([one[what] for one in found if one[what] is not None] for what in ("told", "picture"))
    return statistics.median(told), statistics.median(drawn)


def opened(browser: Browser, door: Door, size: tuple[int, int, int]) -> Page:
    """Open the job, and wait until it is drawn."""
    width, height, points = size
    page = browser.new_context(viewport={"width": width, "height": height}, device_scale_factor=points).new_page()
    page.set_default_timeout(60_000)
    page.goto(door.enter)
    page.goto(door.base + "/job/crate-shelf/shape")
    page.wait_for_function(THERE)
    page.wait_for_timeout(3000)
    return page


def main() -> None:
    """Print the table of docs/performance.md."""
    where = shutil.which("chromium")
    if where is None:
        print("Not measured: there is no Chromium here.")
        return
    head = "page, CSS px | points | a second | median, ms | 95 in 100, ms | bare, ms | script, ms | triangles | how"
    print(f"| {head} |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- | --- |")
    with tempfile.TemporaryDirectory() as told, sync_playwright() as playwright:
        folder = Path(told)
        (folder / "crate-shelf.toml").write_text(many(PIECES - 4), "utf-8")
        with Door(folder) as door:
            browser = playwright.chromium.launch(executable_path=where, args=FLAGS)
            for size in SIZES:
                one = turned(browser, door, size)
                peer = bare(browser, size)
                print(
                    f"| {size[0]} x {size[1]} | {size[2]} | {one['a second']:.0f} | {one['median']:.1f} | "
                    f"{one['most']:.1f} | {peer:.1f} | {one['own']:.1f} | {one['triangles']} | {one['how']} |"
                )
            findings, picture = typed(browser, door)
            browser.close()
    print(f"\nFrom Enter to the findings {findings:.0f} ms, to the picture {picture:.0f} ms.")
    print(f"Load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores.")


if __name__ == "__main__":
    main()
