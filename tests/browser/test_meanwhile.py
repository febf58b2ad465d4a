"""Two windows and an editor on one job: what one is typing never goes over what another has written meanwhile."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.browser.conftest import Running, Screen


def standing(server: Running) -> str:
    return (server.jobs / "crate-shelf.toml").read_text(encoding="utf-8")


def written(server: Running, old: str, new: str) -> None:
    file = server.jobs / "crate-shelf.toml"
    text = standing(server)
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


def put(page: Page, label: str, value: str) -> None:
    page.get_by_label(label).first.fill(value)
    page.get_by_label(label).first.press("Enter")


def test_a_field_being_typed_in_does_not_go_over_what_an_editor_wrote(
    server: Running, screen: Callable[..., Screen]
) -> None:
    page = screen(server, "/job/crate-shelf/shape").page
    field = page.get_by_label("Point 2, x")
    field.press_sequentially("9")  # the maker is typing
    written(server, "[400, 0, 0],", "[410, 0, 0],")
    expect(page.get_by_role("status").filter(has_text="saved")).to_be_visible()
    page.wait_for_timeout(2500)  # the page has seen the editor's change by now
    field.fill("420")
    field.press("Enter")
    asked = page.get_by_role("alert")
    expect(asked).to_contain_text("loop, corner point 2, x: 400 when you began, 410 by now.")
    assert "[410, 0, 0]," in standing(server)
    asked.get_by_role("button", name="Keep theirs").click()
    expect(field).to_have_value("410")
    expect(asked).to_have_count(0)
    assert "[410, 0, 0]," in standing(server)


def test_two_windows_are_asked_where_they_meet_and_not_where_they_do_not(
    server: Running, screen: Callable[..., Screen]
) -> None:
    one = screen(server, "/job/crate-shelf/shape").page
    two = screen(server, "/job/crate-shelf/shape").page
    expect(two.get_by_label("Point 2, x")).to_have_value("400")
    one.get_by_label("Point 2, x").press_sequentially("1")
    two.get_by_label("Point 2, x").press_sequentially("1")
    put(one, "Point 2, x", "404")
    expect(two.get_by_label("Point 5, x")).to_have_value("400")
    expect(one.get_by_role("status").filter(has_text="saved")).to_be_visible()
    put(two, "Point 2, x", "408")
    asked = two.get_by_role("alert")
    expect(asked).to_contain_text("400 when you began, 404 by now")
    assert "[404, 0, 0]," in standing(server)
    asked.get_by_role("button", name="Put mine").click()
    expect(one.get_by_label("Point 2, x")).to_have_value("408")  # the other window follows
    # another place: nobody is asked, and undo takes back one's own alone
    two.get_by_label("Point 5, x").press_sequentially("1")
    put(one, "Point 2, x", "406")
    expect(one.get_by_role("status").filter(has_text="saved")).to_be_visible()
    put(two, "Point 5, x", "402")
    expect(one.get_by_label("Point 5, x")).to_have_value("402")
    assert "[406, 0, 0]," in standing(server)
    one.get_by_role("button", name="Undo").click()
    expect(one.get_by_label("Point 2, x")).to_have_value("408")
    expect(one.get_by_label("Point 5, x")).to_have_value("402")
    assert "[402, 300, 0]," in standing(server)


def test_undo_asks_where_another_one_has_changed_the_same_value(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server, "/job/crate-shelf/shape").page
    put(page, "Point 2, x", "404")
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    written(server, "[404, 0, 0],", "[407, 0, 0],")
    page.get_by_role("button", name="Undo").click()
    asked = page.get_by_role("alert")
    expect(asked).to_contain_text("corner point 2, x: 404 when you began, 407 by now")
    asked.get_by_role("button", name="Look").click()
    expect(page.get_by_label("crate-shelf.toml")).to_be_focused()
    asked.get_by_role("button", name="Put mine").click()
    expect(asked).to_have_count(0)
    expect(page.get_by_role("button", name="Redo")).to_be_enabled()
    assert "[400, 0, 0]," in standing(server)
