"""Typing: what is refused is said beside its field for as long as it is so; commas, undo, radii, take-off."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import FilePayload, Page, expect

from tests.browser.conftest import Running, Screen


def standing(server: Running) -> str:
    return (server.jobs / "crate-shelf.toml").read_text(encoding="utf-8")


def put(page: Page, label: str, value: str) -> None:
    page.get_by_label(label).first.fill(value)
    page.get_by_label(label).first.press("Enter")


def test_a_message_goes_when_its_field_is_mended_and_not_before(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server, "/job/crate-shelf/shape").page
    page.get_by_role("button", name="Stock", exact=True).click()
    rod = page.get_by_role("region", name="Stock rod")
    status = page.get_by_role("status").filter(has_text="saved")
    rod.get_by_label("Diameter").fill("far")
    rod.get_by_label("Diameter").press("Enter")
    expect(status).to_have_text("saved; 1 field is not")
    rod.get_by_label("Price of a bar").fill("dear")
    rod.get_by_label("Price of a bar").press("Enter")
    expect(status).to_have_text("saved; 2 fields are not")
    rod.get_by_label("Price of a bar").fill("15,5")
    rod.get_by_label("Price of a bar").press("Enter")
    expect(status).to_have_text("saved; 1 field is not")
    expect(rod.get_by_label("Price of a bar")).to_have_attribute("aria-invalid", "false")
    expect(rod.get_by_label("Diameter")).to_have_attribute("aria-invalid", "true")
    expect(rod.get_by_label("Price of a bar")).to_have_value("15.5")
    assert "price = 15.5" in standing(server)
    page.get_by_role("button", name="Bring back what was there").click()
    expect(status).to_have_text("saved")
    expect(page.get_by_role("alert")).to_have_count(0)


def test_undo_in_a_field_that_was_sent_goes_back_in_the_file(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server, "/job/crate-shelf/shape").page
    field = page.get_by_label("Point 2, x")
    put(page, "Point 2, x", "404")
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    field.press("Control+z")
    expect(field).to_have_value("400")
    expect(page.get_by_role("button", name="Redo")).to_be_enabled()
    assert "[400, 0, 0]," in standing(server)
    field.press("Control+y")
    expect(field).to_have_value("404")


def test_a_radius_that_is_left_empty_leaves_nothing_behind(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server, "/job/crate-shelf/shape").page
    before = standing(server)
    put(page, "Radius at point 2", "60")
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    put(page, "Radius at point 2", "")
    expect(page.get_by_label("Radius at point 1")).to_have_value("")
    assert standing(server) == before


def test_a_file_that_comes_back_settles_what_was_said_of_it(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server, "/job/later/shape").page
    expect(page.get_by_role("alert")).to_contain_text("later.toml: found no such file")
    (server.jobs / "later.toml").write_text(standing(server), encoding="utf-8")
    expect(page.get_by_role("heading", name="Crate shelf for a hand cart")).to_be_visible()
    expect(page.get_by_role("alert")).to_have_count(0)


def test_take_off_follows_a_radius_that_is_typed_later_and_asks_for_the_material(
    server: Running, screen: Callable[..., Screen]
) -> None:
    page = screen(server).page
    page.get_by_role("button", name="Take off a model").click()
    table = FilePayload(name="frame.csv", mimeType="text/csv", buffer=b"0,0,0\n300,0,0\n300,200,0\n")
    page.get_by_label("Choose a file").set_input_files(table)
    shown = page.get_by_role("region", name="Take-off")
    expect(shown.get_by_text("the centreline radius of this corner")).to_be_visible()  # sharp ones cannot be bent
    page.get_by_label("Radius of sharp corners").fill("40")
    expect(shown.get_by_role("heading", name="frame.csv")).to_be_visible()
    expect(page.get_by_label("Radius of sharp corners")).to_have_attribute("aria-invalid", "false")
    make = page.get_by_role("button", name="Make a job of 1 solid")
    expect(make).to_be_disabled()
    page.get_by_label("Material: a model does not tell it").select_option("6082-T6")
    make.click()
    page.wait_for_url("**/job/frame/**")
    assert "radius = 40" in (server.jobs / "frame.toml").read_text(encoding="utf-8")


def test_a_new_job_begins_where_one_reads_on(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server).page
    page.get_by_role("button", name="New job").click()
    expect(page.get_by_role("heading", name="New job")).to_be_focused()
    page.get_by_label("Units").select_option("in")
    expect(page.get_by_label("Depth")).to_have_attribute("placeholder", "12")
    page.get_by_label("Width").fill("2")
    expect(page.get_by_text("4 in or more")).to_be_visible()
    page.get_by_label("Width").fill("")
    page.get_by_label("Name of the job").fill("../x")
    expect(page.get_by_text("the file: x.toml")).to_be_visible()


def test_a_new_job_that_is_refused_shows_the_field_to_mend(server: Running, screen: Callable[..., Screen]) -> None:
    """On a phone the fields are far above the button: nothing would be seen to happen."""
    page = screen(server, width=390, height=800).page
    page.get_by_role("button", name="New job").click()
    page.get_by_label("Width").fill("two feet")
    page.get_by_label("Name of the job").fill("shelf")
    page.get_by_role("button", name="Make this job").click()
    expect(page.get_by_label("Width")).to_be_focused()
    expect(page.get_by_label("Width")).to_be_in_viewport()
    assert not (server.jobs / "shelf.toml").exists()


def test_undo_keeps_the_focus_when_there_is_no_more_to_undo(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server, "/job/crate-shelf/shape").page
    page.get_by_label("Point 2, x").fill("410")
    page.get_by_label("Point 2, x").press("Enter")
    undo = page.get_by_role("button", name="Undo")
    expect(undo).to_be_enabled()
    undo.focus()
    page.keyboard.press("Enter")
    expect(undo).to_be_disabled()
    expect(undo).to_be_focused()
    page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="Redo")).to_be_focused()


def test_on_a_phone_nothing_scrolls_but_the_section(server: Running, screen: Callable[..., Screen]) -> None:
    """What is there for a screen reader alone, far down in a section, must not make the page longer."""
    page = screen(server, "/job/crate-shelf/shape", 390, 800).page
    expect(page.get_by_label("Point 8, x")).to_be_attached()
    assert page.evaluate("document.querySelector('section.panel').scrollHeight") > 1000
    assert page.evaluate("document.scrollingElement.scrollHeight") == 800
