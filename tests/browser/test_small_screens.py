"""A phone in the hand and at the bench: what has how much of the screen, and that nothing lies over something else."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import Running, Screen

RAIL = """format = 1
name = "Rail of a boat locker"
units = "in"

[stock.rod]
section = "round"
diameter = "1/2"
material = "6082-T6"
bar_length = 120

[bender.lever]
kind = "wrap"
radius = 2
die = { thickness = 1, groove_depth = "1/4" }
hook = { starts_behind = "1/2", length = 1.2, width = "5/8", height = 1.2 }
follower = { kind = "roller", radius = 0.7, height = 1, ahead = 0.9 }
needs = { straight_held = 1.7, straight_free = 1.4, end_held = 2.4, end_free = 1.4 }

[mounting."vise by the wall"]
bender = "lever"
bodies = [ { name = "wall", shape = "box", x = [-16, -15], y = [-40, 40], z = [-12, 40] } ]

[mounting."long bench"]
bender = "lever"
bodies = [ { name = "cupboard", shape = "box", x = [-40, 40], y = [16, 17], z = [-12, 40] } ]

[piece.rail]
stock = "rod"
bender = "lever"
straights = [6, 24, 2]
bends = [[2, 90, 0], [2, 90, 90]]
count = 2
"""

OVER_ONE_ANOTHER = """(step) => {
  const rows = [...step.children].map((one) => [one.className, one.getBoundingClientRect(), one]);
  const ends = (part) => part.getBoundingClientRect().bottom;
  const deep = (one) => Math.max(ends(one), ...[...one.querySelectorAll('*')].map(ends));
  const found = [];
  rows.forEach(([name, , one], k) => {
    const next = rows[k + 1]?.[1].top ?? step.nextElementSibling.getBoundingClientRect().top;
    if (deep(one) > next + 1.5) found.push(`${name} reaches ${deep(one)}, the next begins at ${next}`);
  });
  return found;
}"""
"""Rows of a step, as tall as all that is in them, that reach into the next one."""


def high(place: Locator) -> float:
    box = place.bounding_box()
    assert box is not None
    return box["height"]


def rail(server: Running, page: Page) -> Page:
    (server.jobs / "rail.toml").write_text(RAIL, encoding="utf-8")
    page.goto(f"{server.address}/bench/rail/rail")
    page.get_by_role("button", name="Begin").click()
    return page


def keyed(page: Page, text: str) -> None:
    for key in text:
        page.get_by_role("group", name="Keys").get_by_role("button", name="Point" if key == "." else key).click()


def second_step(page: Page) -> Locator:
    """Log the first bend: the next has a place to set the bender up, and what moved its mark. No screen is fuller."""
    page.get_by_role("button", name="Bent. What did you get?").click()
    keyed(page, "90.4")
    page.get_by_role("button", name="Keep").click()
    step = page.get_by_role("region", name="Step 2 of 2: bend 1")
    expect(step).to_contain_text("Set the bender up on vise by the wall")
    expect(step).to_contain_text(re.compile("(earlier|later) than the sheet"))
    return step


@pytest.mark.parametrize(("wide", "tall"), [(360, 640), (390, 800)])
def test_a_long_mark_in_inches_leaves_room_for_the_rest_of_the_step(
    server: Running, screen: Callable[..., Screen], wide: int, tall: int
) -> None:
    page = rail(server, screen(server, "/", wide, tall).page)
    step = second_step(page)
    assert step.evaluate(OVER_ONE_ANOTHER) == []
    assert page.evaluate("document.querySelector('main').scrollHeight") <= tall


def test_on_its_side_no_caution_lies_under_the_keys(server: Running, screen: Callable[..., Screen]) -> None:
    page = rail(server, screen(server, "/", 740, 360).page)
    caution = second_step(page).get_by_text("Eye protection on").bounding_box()
    keys = page.get_by_role("navigation", name="Steps").bounding_box()
    assert caution
    assert keys
    assert caution["y"] + caution["height"] <= keys["y"]


def test_what_is_typed_after_a_question_arrives_and_enter_keeps_it(
    server: Running, screen: Callable[..., Screen]
) -> None:
    page = rail(server, screen(server, "/", 390, 800).page)
    page.get_by_role("button", name="Bent. What did you get?").click()
    asked = page.get_by_role("region", name="Bend 2: what did you get?")
    expect(asked).to_be_focused()
    page.keyboard.type("9")
    page.keyboard.press("Enter")
    question = page.get_by_role("region", name="Is that right?")
    expect(question).to_be_focused()
    question.get_by_role("button", name="Measure again").press("Enter")
    expect(asked).to_be_focused()
    page.keyboard.press("Escape")
    expect(asked).to_have_count(0)
    page.get_by_role("button", name="Bent. What did you get?").press("Enter")
    expect(asked).to_be_focused()
    page.keyboard.type("89.5")
    page.keyboard.press("Enter")
    expect(page.get_by_role("region", name="Step 2 of 2: bend 1")).to_be_visible()


def test_on_a_phone_the_section_has_the_larger_share_until_the_maker_says_otherwise(
    server: Running, screen: Callable[..., Screen]
) -> None:
    page = screen(server, "/job/crate-shelf/shape", 390, 800).page
    picture, section = page.locator(".stage"), page.get_by_role("region", name="Shape")
    expect(page.get_by_label("Point 2, x")).to_be_visible()
    assert high(section) > 400 > high(picture)
    page.get_by_role("button", name="Larger picture").click()
    assert high(picture) > high(section)
    page.get_by_role("button", name="Smaller picture").click()
    assert high(section) > 400


def test_on_its_side_picture_and_section_stand_beside_one_another(
    server: Running, screen: Callable[..., Screen]
) -> None:
    page = screen(server, "/job/crate-shelf/papers", 800, 390).page
    picture, section = page.locator(".stage").bounding_box(), page.locator(".panel").bounding_box()
    assert picture
    assert section
    assert picture["x"] + picture["width"] <= section["x"] + 1
    assert section["height"] > 240
    expect(page.get_by_role("link", name="Papers", exact=True)).to_be_in_viewport()


def test_a_new_job_keeps_its_sizes_when_the_units_change(
    server: Running, screen: Callable[..., Screen], tmp_path: Path
) -> None:
    page = screen(server, "/", 390, 800).page
    page.get_by_role("button", name="New job").click()
    page.get_by_label("Width").fill("300")
    page.get_by_role("textbox", name="Angle, °").fill("45")
    page.get_by_label("Units").select_option("in")
    expect(page.get_by_label("Width")).to_have_value("11.811")
    expect(page.get_by_role("textbox", name="Angle, °")).to_have_value("45")
    page.get_by_label("Units").select_option("mm")
    expect(page.get_by_label("Width")).to_have_value("300")
    page.get_by_label("Name of the job").fill("?!")
    page.get_by_role("button", name="Make this job").click()
    expect(page.get_by_text("a name with a letter or a figure")).to_be_visible()
    expect(page.get_by_label("Name of the job")).to_be_focused()


def test_one_wrong_of_several_in_a_field_is_told_under_that_field(
    server: Running, screen: Callable[..., Screen]
) -> None:
    page = screen(server, "/job/crate-shelf/buy", 390, 800).page
    offcuts = page.get_by_label("Offcuts in the workshop").first
    offcuts.fill("820, -3")
    offcuts.press("Enter")
    expect(offcuts).to_have_attribute("aria-invalid", "true")
    expect(offcuts).to_have_accessible_description(re.compile("wanted a length above 0, not -3"))
    page.get_by_text("Spare lengths, prices").click()
    spare = page.get_by_label("Spares of loop")
    spare.fill("two")
    spare.press("Enter")
    expect(spare).to_have_accessible_description("wanted how many spare lengths, from 0 to 100.")
