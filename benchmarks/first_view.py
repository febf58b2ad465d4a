"""How soon the list of jobs stands with its pictures, in a browser that runs, from the moment the address is printed.

Chromium tells it by its own clock, from the navigation to the first picture of the screen that has the job on it.
Beside it stands a page of one line, from a server that does nothing else: what the browser itself takes.
"""

from __future__ import annotations

import os
import shutil
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))
from benchmarks.page import Door
from benchmarks.page_turning import FLAGS
from tests.desk import EXAMPLE

ROUNDS = 11
LINE = b'<!doctype html><title>One line</title><div class="job-card"><svg class="picture"></svg></div>'

WATCH = """
const watch = new MutationObserver(() => {
  if (!document.querySelector('.job-card svg.picture')) return;
  watch.disconnect();
  requestAnimationFrame(() => setTimeout(() => {
    const [{ responseStart }] = performance.getEntriesByType('navigation');
    window.stood = [responseStart, performance.now()];
  }));
});
watch.observe(document, { childList: true, subtree: true });
"""


class OneLine(BaseHTTPRequestHandler):
    """Answers whatever is asked with one line."""

    def do_GET(self) -> None:
        """Answer."""
        self.send_response(200)
        self.send_header("content-type", "text/html")
        self.end_headers()
        self.wfile.write(LINE)

    def log_message(self, *_: object) -> None:
        """Say nothing."""


@contextmanager
def one_line() -> Iterator[str]:
    """Serve the page of one line; gives its address."""
    with ThreadingHTTPServer(("127.0.0.1", 0), OneLine) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


def stands(browser: Browser, address: str) -> tuple[float, float]:
    """From the navigation to the first byte of the document, and to the picture on the screen, ms."""
    page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    page.add_init_script(WATCH)
    page.goto(address, wait_until="commit")
    while not (told := page.evaluate("window.stood")):  # the page's own rules allow no script of ours that waits
        page.wait_for_timeout(50)
    page.context.close()
    return told[0], told[1]


def main() -> None:
    """Print the table of docs/performance.md."""
    where = shutil.which("chromium")
    if where is None:
        print("Not measured: there is no Chromium here.")
        return
    up, ours, bare = [], [], []
    with tempfile.TemporaryDirectory() as told, sync_playwright() as playwright, one_line() as line:
        folder = Path(told)
        (folder / "crate-shelf.toml").write_text(EXAMPLE, "utf-8")
        browser = playwright.chromium.launch(executable_path=where, args=FLAGS)
        for _ in range(ROUNDS):
            began = time.perf_counter()
            with Door(folder) as door:
                up.append(1000.0 * (time.perf_counter() - began))
                ours.append(stands(browser, door.enter))
            bare.append(stands(browser, line))
        browser.close()
    print("| ms, a server and a session of its own each time | median | most |")
    print("| --- | --- | --- |")
    rows = {
        "from the command to the address": up,
        "from there to the first byte of the page": [one for one, _ in ours],
        "to the list of jobs with its picture, on the screen": [one for _, one in ours],
        "a page of one line, on the screen": [one for _, one in bare],
    }
    for what, found in rows.items():
        print(f"| {what} | {statistics.median(found):.0f} | {max(found):.0f} |")
    print(f"\nLoad {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores.")


if __name__ == "__main__":
    main()
