"""A new user's whole way: the example, a change, a finding, the plan played, a phone paired, bends logged, a print."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Browser, Page, expect

from bentwork.workshop.store import open_workshop
from tests.browser.conftest import Running, Screen


def section(page: Page, name: str) -> None:
    page.get_by_role("navigation", name="Sections of the job").get_by_role("link", name=re.compile(f"^{name}")).click()


def test_from_the_example_to_a_printed_sheet(
    starting: Callable[..., Running], screen: Callable[..., Screen], chromium: Browser
) -> None:
    server = starting()
    page = screen(server).page
    page.get_by_role("button", name="Look at the example").click()
    expect(page.get_by_role("heading", name="Crate shelf for a hand cart")).to_be_visible()

    change_a_length(page, server)
    play_the_plan(page)
    log_three_bends_on_a_phone(page, server, chromium)
    print_the_sheet(page)


def change_a_length(page: Page, server: Running) -> None:
    """The deck grows by 3 m: the bar is too short, the finding says so and leads to the piece; undo brings it back."""
    file = server.jobs / "crate-shelf.toml"
    before = file.read_text(encoding="utf-8")
    field = page.get_by_label("Point 2, x")
    field.fill("3400")
    field.press("Enter")
    section(page, "Findings")
    finding = page.get_by_role("listitem").filter(has_text="too short for this piece")
    expect(finding.first).to_contain_text("Stop")
    finding.first.get_by_role("button", name="Show me").click()
    assert "[3400, 0, 0]" in file.read_text(encoding="utf-8")
    assert file.read_text(encoding="utf-8").count("#") == before.count("#")
    page.get_by_role("button", name="Undo").click()
    expect(finding).to_have_count(0)
    assert file.read_text(encoding="utf-8") == before


def play_the_plan(page: Page) -> None:
    section(page, "Steps")
    along = page.get_by_role("slider", name="Along the whole bending")
    expect(along).to_be_visible()
    began = along.input_value()
    page.get_by_role("button", name=re.compile("Play")).click()
    page.wait_for_function("([slider, was]) => slider.value !== was", arg=[along.element_handle(), began])
    page.get_by_role("button", name=re.compile("Pause")).click()
    page.get_by_label("As drawn").check()
    expect(page.get_by_text(re.compile("into the plate")).first).to_be_visible()
    page.get_by_label("As planned").check()


def log_three_bends_on_a_phone(page: Page, server: Running, chromium: Browser) -> None:
    page.get_by_role("button", name=re.compile("To the bench")).click()
    dialog = page.get_by_role("dialog", name="Take it to the bench")
    dialog.get_by_role("button", name="Turn sharing on").click()
    way_in = dialog.locator("code").inner_text()
    phone = chromium.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    try:
        bench = phone.new_page()
        bench.set_default_timeout(20_000)
        bench.goto(way_in)
        bench.get_by_role("link", name=re.compile("loop")).click()
        bench.get_by_role("button", name=re.compile("^Begin")).click()
        for _ in range(3):
            log_a_bend(bench)
        bench.goto(way_in)  # the word lets one device in, once
        expect(bench.get_by_text(re.compile("once|earlier|not", re.IGNORECASE)).first).to_be_visible()
    finally:
        phone.close()
    expect(dialog.get_by_text(re.compile("^(?!None yet).*since"))).to_be_visible()
    dialog.get_by_role("button", name="Stop sharing").click()
    dialog.get_by_role("button", name="Close").click()
    with open_workshop(server.workshop) as workshop:
        assert len(workshop.log.all()) == 3


def log_a_bend(bench: Page) -> None:
    step = bench.get_by_role("region", name=re.compile("^Step"))
    said = step.get_attribute("aria-label") or ""
    leaves = re.search(r"([\d.]+)°", step.get_by_text(re.compile("leaves|leave")).first.inner_text())
    assert leaves
    bench.get_by_role("button", name="Bent. What did you get?").click()
    for key in leaves[1]:
        bench.get_by_role("group", name="Keys").get_by_role("button", name="Point" if key == "." else key).click()
    bench.get_by_role("button", name="Keep").click()
    expect(bench.get_by_role("region", name=said)).to_have_count(0)


def print_the_sheet(page: Page) -> None:
    section(page, "Papers")
    with page.context.expect_page() as opened:
        page.get_by_role("link", name="Print").or_(page.get_by_role("button", name="Print")).first.click()
    address = opened.value.url
    answer = page.request.get(address)
    assert answer.status == 200
    assert answer.body().startswith(b"%PDF")
    opened.value.close()


def test_what_is_changed_in_an_editor_meanwhile_is_followed(
    server: Running, screen: Callable[..., Screen], tmp_path: Path
) -> None:
    page = screen(server, "/job/crate-shelf/shape").page
    expect(page.get_by_role("heading", name="Crate shelf for a hand cart")).to_be_visible()
    file = server.jobs / "crate-shelf.toml"
    file.write_text(file.read_text().replace("Crate shelf for a hand cart", "Box shelf for a hand cart"))
    expect(page.get_by_role("heading", name="Box shelf for a hand cart")).to_be_visible()
    expect(page.get_by_role("button", name="Undo")).to_be_disabled()  # it takes back one's own alone


def test_a_server_that_ends_is_told_and_what_was_typed_stays(server: Running, screen: Callable[..., Screen]) -> None:
    shown = screen(server, "/job/crate-shelf/shape")
    shown.expected.append("net::ERR_")  # the browser says itself that nobody answers, again and again
    field = shown.page.get_by_label("Point 2, x")
    expect(field).to_be_visible()
    server.stop()
    field.fill("410")
    field.press("Enter")
    expect(shown.page.get_by_text("does not answer").first).to_be_visible()
    expect(field).to_have_value("410")


def test_what_was_typed_into_the_file_does_not_go_over_what_an_editor_wrote_meanwhile(
    server: Running, screen: Callable[..., Screen]
) -> None:
    page = screen(server, "/job/crate-shelf/file").page
    text = page.get_by_label("crate-shelf.toml")
    expect(text).to_have_value(re.compile("trim = 15"))
    text.press("End")
    text.type("# mine")
    file = server.jobs / "crate-shelf.toml"
    file.write_text(file.read_text().replace("trim = 15", "trim = 20", 1).replace("Crate shelf", "Box shelf"))
    expect(page.get_by_role("heading", name="Box shelf for a hand cart")).to_be_visible()
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("Another program changed this file")).to_be_visible()
    assert "trim = 20" in file.read_text()
    page.get_by_role("button", name="Take the file as it is now").click()
    expect(text).to_have_value(re.compile("# mine"))  # what was typed is still there
    assert "trim = 20" in file.read_text()


def test_undo_may_be_pressed_as_fast_as_one_can(server: Running, screen: Callable[..., Screen]) -> None:
    page = screen(server, "/job/crate-shelf/shape").page
    file = server.jobs / "crate-shelf.toml"
    before = file.read_text()
    field = page.get_by_label("Point 2, x")
    for length in (401, 402, 403, 404):
        field.fill(str(length))
        field.press("Enter")
        expect(page.get_by_role("status").filter(has_text="saved")).to_be_visible()
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    page.locator("h1").first.click()
    for _ in range(4):
        page.keyboard.press("Control+z")
    expect(page.get_by_role("button", name="Undo")).to_be_disabled()
    assert file.read_text() == before
