"""The frame while it turns on a slow machine: drawn plainer, its dimensions in the picture, and as before at rest."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

from PIL import Image, ImageChops, ImageStat
from playwright.sync_api import Page

from tests.browser.conftest import Running, Screen

LATE = """() => {
  const next = window.requestAnimationFrame.bind(window);
  window.requestAnimationFrame = (go) => next(() => setTimeout(() => go(performance.now()), 40));
}"""
"""Every picture comes late, however fast the machine."""

TO_AND_FRO = """() => {
  const canvas = document.querySelector('canvas');
  const press = (key) => canvas.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
  window.turning = setInterval(() => { press('ArrowRight'); press('ArrowLeft'); }, 10);
}"""
"""Turn, and back before it is drawn: a movement that is always seen from the same place."""

HOW = "() => document.querySelector('canvas').dataset.cost?.split(' ')[3]"
TAGS = """() => [...document.querySelectorAll('.tag[style*="visible"]')].map((one) => {
  const { x, y, width, height } = one.getBoundingClientRect();
  return [x, y, x + width, y + height];
})"""


def seen(page: Page) -> Image.Image:
    """The page as it looks now."""
    return Image.open(io.BytesIO(page.screenshot())).convert("RGB")


def test_dimensions_look_the_same_drawn_in_the_picture(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server, "/job/crate-shelf/shape").page
    page.wait_for_function("() => document.querySelectorAll('.tag').length > 5")
    page.evaluate("() => document.fonts.ready.then(() => true)")
    page.evaluate(LATE)
    page.evaluate(TO_AND_FRO)
    page.wait_for_function(f"() => ({HOW})() === 'coarse'")
    assert page.evaluate("() => getComputedStyle(document.querySelector('.tags')).opacity") == "0"
    turning = seen(page)
    page.evaluate("() => clearInterval(window.turning)")
    page.wait_for_function(f"() => ({HOW})() === 'fine'")
    assert page.evaluate("() => getComputedStyle(document.querySelector('.tags')).opacity") == "1"
    still = seen(page)
    boxes: list[Any] = page.evaluate(TAGS)
    assert len(boxes) > 5
    for box in boxes:
        was, now = turning.crop(box), still.crop(box)
        apart = max(ImageStat.Stat(ImageChops.difference(was, now)).mean)
        assert apart < 6.0, f"{box}: the two differ by {apart:.1f} of 255"
        assert ImageStat.Stat(was.convert("L")).stddev[0] > 20.0, f"{box}: nothing is written there"
