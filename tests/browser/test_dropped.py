"""A file let fall on the page is taken off wherever it falls, and never takes the browser away from the page."""

from __future__ import annotations

import tomllib
from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.browser.conftest import Running, Screen

LET_FALL = """([where, text]) => {
  const carried = new DataTransfer();
  carried.items.add(new File([text], 'rail.csv'));
  return ['dragover', 'drop'].map((kind) => {
    const event = new DragEvent(kind, { dataTransfer: carried, bubbles: true, cancelable: true });
    return !document.querySelector(where).dispatchEvent(event);
  });
}"""
"""Let a file fall on an element; returns whether the page took each event from the browser."""
RAIL = "x,y,z,radius\n0,0,0,\n300,0,0,60\n300,200,0,\n"


TURNED = RAIL + "\n0,0,500,\n300,0,500,60\n300,0,700,\n"
"""The same twice, the second turned about its first leg."""


def let_fall(page: Page, where: str, text: str = RAIL) -> None:
    assert page.evaluate(LET_FALL, [where, text]) == [True, True]


def test_beside_the_list_of_jobs(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server).page
    expect(page.get_by_role("button", name="New job")).to_be_visible()
    let_fall(page, "header")
    expect(page.get_by_role("heading", name="rail.csv: 1 solid")).to_be_visible()
    expect(page.get_by_text("Say what it is made of first.")).to_be_visible()
    page.get_by_role("button", name="Close").click()
    page.get_by_role("button", name="Take off a model").click()
    expect(page.get_by_role("button", name="Close")).to_be_visible()
    expect(page.get_by_role("heading", name="rail.csv: 1 solid")).to_be_hidden()  # it was taken, and is not again


def test_on_an_open_job_it_goes_into_that_job(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server, "/job/crate-shelf/findings").page
    expect(page.get_by_text("3 to watch")).to_be_visible()
    let_fall(page, ".stage")
    expect(page.get_by_role("heading", name="rail.csv: 1 solid")).to_be_visible()
    page.get_by_label("Material: a model does not tell it").select_option("S235")
    page.get_by_role("button", name="Put 1 solid into this job").click()
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    assert "[300, 200, 0]" in (server.jobs / "crate-shelf.toml").read_text(encoding="utf-8").replace(".0", "")


def test_equal_bars_that_are_turned_keep_their_places_if_asked_to(
    server: Running, screen: Callable[..., Screen]
) -> None:
    page = screen(server).page
    expect(page.get_by_role("button", name="New job")).to_be_visible()
    let_fall(page, "header", TURNED)
    expect(page.get_by_text("the same as 1")).to_be_visible()
    page.get_by_label("Name of the job").fill("turned rails")
    page.get_by_label("Material: a model does not tell it").select_option("S235")
    page.get_by_label("Equal bars that are turned are pieces of their own").check()
    page.get_by_role("button", name="Make a job of 2 solids").click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    made = tomllib.loads((server.jobs / "turned-rails.toml").read_text(encoding="utf-8"))
    assert [(piece.get("count", 1), piece["start"]) for piece in made["piece"].values()] == [
        (1, [300, 200, 0]),
        (1, [300, 0, 700]),
    ]
