"""Whatever a job file can say can be typed on the page: every key has a field, and what is typed comes and goes."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import get_args

import pytest
from playwright.sync_api import Locator, Page, expect
from pydantic import BaseModel

from bentwork.door.example import LARGE, example_bytes
from bentwork.files import (
    job_model,
    job_model_bender,
    job_model_carry,
    job_model_finish,
    job_model_holes,
    job_model_measured,
    job_model_parts,
    job_model_shop,
)
from tests.browser.conftest import Running, Screen

ODDS = """format = 1
name = "Odds and ends: what the large example has none of"
units = "in"
fraction = 32

[stock.bar]
section = "square-tube"
width = 1
height = 1
wall = "1/16"
corner_radius = "3/32"
material = "S235"

[stock.conduit]
section = "tube"
diameter = "1/2"
wall = "1/16"
material = "E235"

[bender.ram]
kind = "ram"
radius = 4
rollers = { span = 10, radius = "3/4" }
follower = { kind = "shoe", length = 2, width = 1, height = 1, ahead = 5 }
die = { thickness = 2, groove_depth = "1/4" }
rated = { section = "square-tube", width = 1, height = 1, wall = "1/8", corner_radius = "1/4", material = "S235" }

[mounting.bench]
bender = "ram"
vise = { x = [-2, 2], y = [5, 9], top = -3, bottom = -8 }
bodies = [{ name = "post", shape = "cylinder", from = [0, 20, -10], to = [0, 20, 10], radius = 2 }]

[piece.rail]
stock = "conduit"
bender = "ram"
takeoff = { file = "rail.csv", solid = 1, radius = 4 }
end_a = { flattened = 1.5, hole = "1/4", end = "1/2", round = 90 }
end_b = { cut = 45, round = 180 }
holes = [{ along = 6, diameter = "1/8", round = 90, walls = "one" }]

[piece.post]
stock = "bar"
points = [[0, 0, 0], [0, 0, 20]]

[load]
use = "house"

[payload]
mass = 10
centre = [10, 0, 30]
at = [[5, 0, 20], [8, 0, 20]]

[fixing.wall]
piece = "rail"
at = [0, 0, 20]
held = [10000, 10000, 10000, 0, 0, 0]

[measured]
points = [
    { name = "port cleat", near = [20, 10, 5] },
    { name = "starboard cleat", near = [20, -10, 5] },
    { name = "stern", at = [0, 0, 0] },
]
readings = [{ kind = "distance", of = ["stern", "port cleat"], reads = 23 }]
pairs = [["port cleat", "starboard cleat"]]

[stay.brace]
stock = "conduit"
piece = "rail"
from = [5, 0, 20]
to = [20, 10, 5]
mirror_in = { axis = "y", at = 0 }
"""
RAIL = "x,y,z\n0,0,20\n30,0,20\n30,20,20\n"

NAMED: dict[str, type[BaseModel]] = {
    "stock": job_model.StockTable,
    "bender": job_model_bender.BenderTable,
    "mounting": job_model_bender.MountingTable,
    "piece": job_model.PieceTable,
    "fixing": job_model_carry.FixingTable,
    "joint": job_model_carry.JointTable,
    "crossbar": job_model_parts.CrossbarTable,
    "tab": job_model_parts.TabTable,
    "paint": job_model_shop.PaintTable,
    "stay": job_model_measured.StayTable,
    "keepout": job_model_measured.KeepOutTable,
    "opening": job_model_measured.OpeningTable,
}
SINGLE: dict[str, type[BaseModel]] = {
    "load": job_model_carry.LoadTable,
    "payload": job_model_carry.PayloadTable,
    "tolerance": job_model.ToleranceTable,
    "shop": job_model_shop.ShopTable,
    "finish": job_model_finish.FinishTable,
    "measured": job_model_measured.MeasuredTable,
}
METAL = (
    "group source sure bound elastic_modulus proof_stress proof_stress_maximum tensile_strength elongation density "
    "poisson welded_proof_stress welded_strength description temper form bend_note weld_note"
).split()
NO_FIELD = {
    "format": "it has one value",
    "units": "another one changes the meaning of every number of the file, and no number: typed under File",
}


def tables_in(annotation: object) -> list[type[BaseModel]]:
    """The tables that a key can hold."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [found for one in get_args(annotation) for found in tables_in(one)]


def keys_of(model: type[BaseModel], at: str) -> Iterator[str]:
    """Every key of a table and of the tables in it, such as ``bender.*.parts[].width``."""
    for name, field in model.model_fields.items():
        key = f"{at}.{field.alias or name}"
        tables = tables_in(field.annotation)
        several = "tuple[" in str(field.annotation)
        for table in tables:
            yield from keys_of(table, f"{key}[]" if several else key)
        if not tables:
            yield key


def all_keys() -> set[str]:
    """Every key that a job file can have."""
    found = {key for sort, model in NAMED.items() for key in keys_of(model, f"{sort}.*")}
    found |= {key for sort, model in SINGLE.items() for key in keys_of(model, sort)}
    found |= set(keys_of(job_model_holes.HoleTable, "piece.*.holes[]"))
    found |= {f"material.*.{key}" for key in METAL}
    tables = {*NAMED, *SINGLE, "material"}
    unknown = {key for key in job_model.JobTable.model_fields if key not in tables}
    assert unknown == {"format", "name", "units", "fraction"}  # a new sort of table goes into one of the lists above
    return (found | unknown) - set(NO_FIELD)


NAME = re.compile(r'^("[^"]*"|[^.\[]+)')


def pattern(place: str) -> str:
    """A place of a field, its names and numbers left open."""
    place = re.sub(r"\[\d+\]", "[]", place)
    sort, dot, rest = place.partition(".")
    if not dot or sort not in {*NAMED, "material"}:
        return place
    return f"{sort}.*{NAME.sub('', rest)}"


def covers(place: str, key: str) -> bool:
    """Whether a field is that of a key, of a part of its value, or of a table written as one value."""
    return place == key or place.startswith((f"{key}.", f"{key}[")) or key.startswith((f"{place}.", f"{place}["))


def unfold(page: Page) -> None:
    page.evaluate("document.querySelectorAll('.panel details').forEach((fold) => { fold.open = true; })")


def places_on(page: Page) -> set[str]:
    unfold(page)
    page.wait_for_timeout(300)
    unfold(page)
    told = page.evaluate("[...document.querySelectorAll('.panel [data-at]')].map((one) => one.dataset.at)")
    return {pattern(one) for one in told}


def walk(page: Page, server: Running, job: str) -> set[str]:
    """Places of all fields of a job, section by section."""
    found: set[str] = set()
    for section in ("measure", "parts", "buy", "weld", "carry", "shape"):
        page.goto(f"{server.address}/job/{job}/{section}")
        expect(page.locator(".panel [data-at]").first).to_be_attached()
        found |= places_on(page)
    pieces = page.get_by_role("group", name="Pieces", exact=True).get_by_role("button")
    for number in range(pieces.count()):
        pieces.nth(number).click()
        found |= places_on(page)
    for part in ("Stock", "Benders", "Mountings"):
        page.get_by_role("button", name=part, exact=True).click()
        expect(page.locator(".panel [data-at]").first).to_be_attached()
        if part == "Benders":
            expect(page.locator(".bender-drawn").first).to_be_attached()  # sizes come with the drawing
        found |= places_on(page)
    return found


@pytest.fixture
def racks(starting: Callable[..., Running], tmp_path: Path) -> Running:
    """A server with the large example, and with what that has none of."""
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / f"{LARGE}.toml").write_bytes(example_bytes(LARGE))
    (tmp_path / "jobs" / "odds.toml").write_text(ODDS, encoding="utf-8")
    (tmp_path / "jobs" / "rail.csv").write_text(RAIL, encoding="utf-8")
    return starting()


def test_every_key_of_the_job_file_has_a_field(racks: Running, screen: Callable[..., Screen]) -> None:
    page = screen(racks).page
    places = walk(page, racks, LARGE) | walk(page, racks, "odds")
    missing = sorted(key for key in all_keys() if not any(covers(place, key) for place in places))
    assert missing == []


def standing(server: Running) -> str:
    return (server.jobs / f"{LARGE}.toml").read_text(encoding="utf-8")


def shown(page: Page, server: Running, section: str) -> Locator:
    page.goto(f"{server.address}/job/{LARGE}/{section}")
    expect(page.locator(".panel [data-at]").first).to_be_attached()
    unfold(page)
    return page.locator(".panel")


def became(server: Running, page: Page, wanted: Callable[[str], bool]) -> str:
    """Wait until the file says something, and return it."""
    for _ in range(300):
        if wanted(standing(server)):
            return standing(server)
        page.wait_for_timeout(100)
    raise AssertionError(standing(server))


def test_a_hole_is_added_refused_changed_and_taken_out(racks: Running, screen: Callable[..., Screen]) -> None:
    page = screen(racks).page
    before = standing(racks)
    shown(page, racks, "shape")
    page.get_by_role("group", name="Pieces", exact=True).get_by_role("button", name="cradle").click()
    unfold(page)
    page.get_by_role("button", name="Add a hole").click()
    hole = page.get_by_role("region", name="Hole 6")
    along = hole.get_by_label("From end A")
    along.fill("far")
    along.press("Enter")
    expect(along).to_have_attribute("aria-invalid", "true")
    expect(hole.get_by_text("wanted a length of 0 or more")).to_be_visible()
    along.fill("52")
    along.press("Enter")
    became(racks, page, lambda text: "along = 52" in text)
    hole.get_by_label("It is").select_option("slot")
    hole.get_by_label("Length of the slot").fill("16")
    hole.get_by_label("Length of the slot").press("Enter")
    after = became(racks, page, lambda text: "slot = 16" in text)
    assert after.count("#") == before.count("#")  # every comment stays
    hole.get_by_role("button", name="Remove hole 6").click()
    became(racks, page, lambda text: text == before)


CHANGES = (
    ("shape", "The whole job", "Gap between closed ends", "1.8", "gap = 1.8"),
    ("parts", "Crossbars rung", "Out of the middle of the straights", "0, 0, 2", "off = [0, 0, 2]"),
    ("parts", "Tabs upper foot", "Middle of its hole 2, z", "96", "[96, -188, 96]"),
    ("parts", "Tabs foot", "The bolt points along", "0 1 0", "axis = [0, 1, 0]"),
    ("measure", "Stay left stay, as asked for", "Its slot reaches in", "0.9", "sure = 0.9"),
    ("measure", "Keep-out hands at the handle", "x from", "-270", "x = [-270, -120]"),
    ("measure", "", "A point is wanted sure to", "3", "good = 3"),
    ("buy", "", "Spares of hoop", "2", "hoop = 2"),
    ("buy", "", "Price of a kilogram of filler", "11", "filler_price = 11"),
    ("buy", "Paint primer", "Coats", "2", "coats = 2"),
    ("weld", "", "Colour", "slate", 'colour = "slate"'),
    ("carry", "", "Should last", "200", "km = 200"),
)


def test_what_is_typed_stands_in_the_file_and_undo_brings_back_what_stood(
    racks: Running, screen: Callable[..., Screen]
) -> None:
    page = screen(racks).page
    before = standing(racks)
    for section, region, label, value, says in CHANGES:
        panel = shown(page, racks, section)
        within = panel.get_by_role("region", name=region, exact=True) if region and section != "shape" else panel
        field = within.get_by_label(label).first
        field.fill(value)
        field.press("Enter")
        after = became(racks, page, lambda text, says=says: says in text)  # type: ignore[misc]
        assert after.count("#") == before.count("#"), label
        page.get_by_role("button", name="Undo").click()
        became(racks, page, lambda text: text == before)


def test_a_refused_direction_is_told_at_its_field(racks: Running, screen: Callable[..., Screen]) -> None:
    page = screen(racks).page
    before = standing(racks)
    tab = shown(page, racks, "parts").get_by_role("region", name="Tabs foot", exact=True)
    runs = tab.get_by_label("From the bar it runs along")
    runs.fill("1, up, 0")
    runs.press("Enter")
    expect(tab.get_by_text("wanted a number").first).to_be_visible()
    runs.press("Escape")
    expect(runs).to_have_value("1, 0, 0")
    assert standing(racks) == before
