"""Keys that come at once: what is typed as a screen opens is taken from the first digit on."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import expect

from tests.browser.conftest import Running, Screen

AT_ONCE = """async ([name, keys]) => {
  [...document.querySelectorAll('button')].find((one) => one.textContent.trim() === name).click();
  for (let k = 0; k < 20; k += 1) await Promise.resolve();  // drawn, but never painted: no frame comes between
  for (const key of keys) document.activeElement.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
}"""
"""Press a button and type in one and the same task of the page, faster than any hand."""


def test_digits_typed_before_the_keys_are_painted_all_count(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server, "/bench/crate-shelf/loop", 390, 844).page
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("button", name="Bent. What did you get?")).to_be_visible()
    page.evaluate(AT_ONCE, ["Bent. What did you get?", "90.5"])
    expect(page.get_by_role("status", name="Angle")).to_have_text("90.5degreesdrawn 90°, let go")
