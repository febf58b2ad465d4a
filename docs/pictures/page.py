"""Takes the pictures of the page that the documents show: ``.venv/bin/python docs/pictures/page.py``, with Chromium."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))
from bentwork.door.example import LARGE, example_bytes  # noqa: E402 - found by the line above
from tests.browser.conftest import FLAGS, start  # noqa: E402 - found by the line above
from tests.desk import EXAMPLE  # noqa: E402

SHOTS = {
    "page-jobs": ("/", 1280, 800, False),
    "page-shape": ("/job/crate-shelf/shape", 1280, 800, False),
    "page-rack": ("/job/gear-rack/measure", 1280, 800, False),
    "page-steps": ("/job/crate-shelf/steps", 1280, 800, False),
    "page-carry": ("/job/crate-shelf/carry", 1280, 800, False),
    "page-steps-tablet": ("/job/crate-shelf/steps", 820, 1100, True),
    "page-findings-phone": ("/job/crate-shelf/findings", 390, 844, True),
    "page-test-bends": ("/job/crate-shelf/test-bends", 1280, 800, True),
    "page-buy": ("/job/crate-shelf/buy", 1280, 800, True),
    "page-weld": ("/job/crate-shelf/weld", 1280, 800, False),
    "page-parts-phone": ("/job/crate-shelf/parts", 390, 844, False),
    "page-papers": ("/job/crate-shelf/papers", 1280, 800, False),
}


def taken(page: Page, name: str) -> None:
    """Wait until nothing moves, and keep the picture with few colours."""
    page.wait_for_load_state("networkidle")
    page.wait_for_timeout(1500)
    if name == "page-carry":
        page.get_by_text("What gives first").wait_for()
        page.wait_for_timeout(1500)
    if name == "page-buy":
        page.get_by_text("Nothing cheaper is possible").first.wait_for()
    if name == "page-steps":
        along = page.get_by_role("slider")
        along.fill(str(round(0.47 * float(along.get_attribute("max") or 1))))
        page.wait_for_timeout(800)
    path = ROOT / "docs" / "pictures" / f"{name}.png"
    page.screenshot(path=path)
    with Image.open(path) as picture:
        picture.convert("RGB").quantize(128).save(path, optimize=True)


def main() -> None:
    """Start a server on the example, and take every picture."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        (Path(folder) / "jobs").mkdir()
        (Path(folder) / "jobs" / "crate-shelf.toml").write_text(EXAMPLE, encoding="utf-8")
        (Path(folder) / "jobs" / f"{LARGE}.toml").write_bytes(example_bytes(LARGE))
        server = start(Path(folder))
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS)
        for name, (path, width, height, light) in SHOTS.items():
            context = browser.new_context(
                viewport={"width": width, "height": height}, color_scheme="light" if light else "dark"
            )
            page = context.new_page()
            page.goto(server.enter)
            page.goto(server.address + path)
            taken(page, name)
            context.close()
        browser.close()
        server.stop()


if __name__ == "__main__":
    main()
