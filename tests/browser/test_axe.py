"""Every view by the rules of WCAG 2.2 A and AA, as axe checks them, in the workshop's light and outdoors."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

import build_page
from tests.browser.conftest import Running, Screen

AXE = build_page.PAGE / "node_modules" / "axe-core" / "axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
VIEWS = {
    "/": "Jobs",
    "/job/crate-shelf/shape": "Crate shelf for a hand cart",
    "/job/crate-shelf/steps": "Crate shelf for a hand cart",
    "/job/crate-shelf/carry": "Crate shelf for a hand cart",
    "/job/crate-shelf/findings": "Crate shelf for a hand cart",
    "/job/crate-shelf/test-bends": "Crate shelf for a hand cart",
    "/job/crate-shelf/papers": "Crate shelf for a hand cart",
    "/job/crate-shelf/file": "Crate shelf for a hand cart",
    "/bench/crate-shelf": "Crate shelf for a hand cart",
}


def violations(page: Page) -> list[str]:
    """What axe finds, as lines to read."""
    page.add_script_tag(path=AXE)
    found = page.evaluate("rules => axe.run(document, { runOnly: rules })", RULES)
    return [f"{one['id']}: {node['html'][:120]}" for one in found["violations"] for node in one["nodes"]]


@pytest.mark.parametrize(("width", "height", "light"), [(1280, 800, False), (390, 844, True)], ids=["desk", "phone"])
@pytest.mark.parametrize("path", VIEWS)
def test_a_view_can_be_used_by_everybody(
    server: Running, screen: Callable[..., Screen], path: str, width: int, height: int, light: bool
) -> None:
    page = screen(server, path, width, height, light=light, axe=True).page
    expect(page.get_by_role("heading", name=VIEWS[path]).first).to_be_visible()
    page.wait_for_load_state("networkidle")
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_axe_sees_what_is_wrong(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server, axe=True).page
    expect(page.get_by_role("heading", name="Jobs")).to_be_visible()
    page.evaluate("document.querySelector('main').insertAdjacentHTML('beforeend', '<img><button></button>')")
    assert {line.split(":")[0] for line in violations(page)} >= {"image-alt", "button-name"}
