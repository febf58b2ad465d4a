"""A server of its own, as a maker starts it, and Debian's Chromium to look at it."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from tests.desk import EXAMPLE

expect.set_options(timeout=30_000)  # a slow machine is no failure
FLAGS = (
    "--no-sandbox --use-gl=angle --use-angle=swiftshader --enable-unsafe-swiftshader --disable-quic --no-first-run "
    "--disable-background-networking --disable-component-update --disable-sync"
).split()


@dataclass
class Running:
    """A server that runs.

    Args:
        process: the command.
        enter: the address that lets a browser in.
        jobs: its folder.
        workshop: its workshop's folder.
    """

    process: subprocess.Popen[str]
    enter: str
    jobs: Path
    workshop: Path

    @property
    def address(self) -> str:
        """Where the page is."""
        return self.enter.split("/enter")[0]

    @property
    def port(self) -> int:
        """Of the page."""
        return int(self.address.rsplit(":", 1)[1])

    def stop(self, how: signal.Signals = signal.SIGINT) -> int:
        """End it, and return its exit status."""
        self.process.send_signal(how)
        try:
            return self.process.wait(60)
        finally:
            self.process.kill()


def start(folder: Path, *more: str) -> Running:
    """Start ``bentwork open`` on a folder."""
    jobs, workshop = folder / "jobs", folder / "workshop"
    jobs.mkdir(parents=True, exist_ok=True)
    words = ["open", str(jobs), "--no-browser", "--port", "0", "--workshop", str(workshop), *more]
    process = subprocess.Popen(
        [sys.executable, "-m", "bentwork", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )
    assert process.stdout is not None
    for line in process.stdout:
        found = re.search(r"http://\S+", line)
        if found:
            return Running(process, found[0], jobs, workshop)
    raise AssertionError(f"the server did not start: exit status {process.wait()}")


@pytest.fixture
def starting(tmp_path: Path) -> Iterator[Callable[..., Running]]:
    """Return a function that starts servers; they are ended afterwards."""
    running: list[Running] = []

    def begin(*more: str) -> Running:
        running.append(start(tmp_path, *more))
        return running[-1]

    yield begin
    for one in running:
        one.process.kill()
        one.process.wait()
        if one.process.stdout:
            one.process.stdout.close()


@pytest.fixture
def server(starting: Callable[..., Running], tmp_path: Path) -> Running:
    """A server with the example job in its folder."""
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / "crate-shelf.toml").write_text(EXAMPLE, encoding="utf-8")
    return starting()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Debian's Chromium."""
    where = shutil.which("chromium")
    if where is None:
        if os.environ.get("CI"):
            pytest.fail("Chromium is not installed; .ci/run installs it")
        pytest.skip("Chromium is not installed: sudo apt-get install chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=where, args=FLAGS)
        yield browser
        browser.close()


@dataclass
class Screen:
    """A page that is let in, with everything that went wrong on it.

    Args:
        page: to drive.
        faults: what the page said to its console as errors.
        expected: words of those that the browser must say; whenever it says them, early or late.
    """

    page: Page
    faults: list[str]
    expected: list[str] = field(default_factory=lambda: ["409", "422"])

    def unexpected(self) -> list[str]:
        return [fault for fault in self.faults if not any(word in fault for word in self.expected)]


@pytest.fixture
def screen(chromium: Browser) -> Iterator[Callable[..., Screen]]:
    """Return a function that opens a page of a server; it must have said no errors in the end."""
    made: list[tuple[BrowserContext, Screen]] = []

    def show(
        server: Running,
        path: str = "/",
        width: int = 1280,
        height: int = 800,
        *,
        light: bool = False,
        axe: bool = False,
    ) -> Screen:
        context = chromium.new_context(
            viewport={"width": width, "height": height},
            has_touch=width < 900,
            color_scheme="light" if light else "dark",
            reduced_motion="reduce",
            bypass_csp=axe,
        )
        context.set_default_timeout(30_000)
        page = context.new_page()
        faults: list[str] = []
        page.on("console", lambda told: faults.append(told.text) if told.type == "error" else None)
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.goto(server.enter)
        page.goto(server.address + path)
        made.append((context, Screen(page, faults)))
        return made[-1][1]

    yield show
    for context, _ in made:
        context.close()
    assert [fault for _, shown in made for fault in shown.unexpected()] == []
