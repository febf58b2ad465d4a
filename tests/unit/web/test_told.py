"""What the page is told in words: new jobs, faults, masses and steps."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bentwork.web.on_the_page import on_the_page
from tests.desk import EXAMPLE, AtDesk, at_desk


def preview(desk: AtDesk, **more: object) -> dict[str, Any]:
    body = {"name": "x", "shape": "loop", "dimensions": {}, "units": "mm", "bender": "plate-roller", **more}
    found: dict[str, Any] = desk.client.post("/api/new-job/preview", json=body).json()
    return found


def test_inches_to_start_from_are_those_of_a_tape(tmp_path: Path) -> None:
    """12 in, not 11.999999999999998."""
    desk = at_desk(tmp_path)
    shapes = desk.client.get("/api/library").json()["shapes"]
    told = {f"{shape['name']} {one['name']}": one["inches"] for shape in shapes for one in shape["dimensions"]}
    assert told["loop depth"] == 12
    assert all(value == round(value, 4) for value in told.values())
    name = desk.client.post("/api/jobs", json={"name": "inches", "shape": "loop", "units": "in"}).json()["name"]
    assert "[16, 12, 0]" in desk.desk.place.job(name).read_text(encoding="utf-8")


def test_a_loop_that_is_too_narrow_says_which_field_and_how_wide_it_must_be(tmp_path: Path) -> None:
    """Two bends of 90 degrees and 48 mm take 48 mm each of the side between them: setback = R tan(angle / 2)."""
    desk = at_desk(tmp_path)
    (fault,) = preview(desk, dimensions={"width": "60"})["errors"]
    assert (fault["key"], fault["wanted"]) == ("width", "96 mm or more with bends of 48 mm")
    assert "pieces" in preview(desk, dimensions={"width": "96"})
    assert preview(desk, dimensions={"width": "95"})["errors"]
    (fault,) = preview(desk, dimensions={"width": "2"}, units="in")["errors"]
    assert fault["wanted"] == "4 in or more with bends of 2 in"


@pytest.mark.parametrize(
    ("wish", "key", "wanted"),
    [
        ({"diameter": "500"}, "diameter", "a bar of 37 mm or less, or larger dimensions: its bends take 2000 mm each"),
        ({"diameter": "500", "radius": "600"}, "diameter", "a bar of 125 mm or less"),
        ({"radius": "3000"}, "radius", "a radius of 150 mm or less with these dimensions"),
        ({"radius": "0.1"}, "radius", "a radius to the middle of the bar: more than half of it, 6 mm"),
        ({"dimensions": {"width": "300000"}}, "width", "a length of 10 m at most: bars are sold by 6 m"),
        ({"name": "!!! ???"}, "name", "a name with a letter or a figure: the file is called after it"),
    ],
)
def test_what_is_too_large_is_told_once_at_its_field(
    tmp_path: Path, wish: dict[str, object], key: str, wanted: str
) -> None:
    """The loop to start from is 300 mm deep: two bends of 90 degrees leave 300 / 2 for each, R tan(90 / 2) = R."""
    (fault,) = preview(at_desk(tmp_path), **wish)["errors"]
    assert fault["key"] == key
    assert fault["wanted"].startswith(wanted)


def test_a_name_is_told_as_the_file_will_be_called(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    assert preview(desk, name="../x")["file"] == "x.toml"
    assert preview(desk, name="Crate shelf")["file"] != "crate-shelf.toml"  # that is there already
    made = desk.client.post("/api/jobs", json={"name": "../x", "shape": "loop"}).json()
    assert made == {"name": "x"}


def test_a_mass_is_told_in_the_units_of_the_job(tmp_path: Path) -> None:
    told = EXAMPLE.replace('units = "mm"', 'units = "mm"  # millimetres')
    desk = at_desk(tmp_path, {"crate-shelf": told})
    desk.client.post("/api/jobs", json={"name": "inches", "shape": "loop", "units": "in"})
    assert desk.job()["readouts"][0]["mass"].endswith(" kg")
    assert desk.job("inches")["readouts"][0]["mass"].endswith(" lb")


def test_a_fault_names_the_place_as_a_maker_would(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    change = {"path": ["piece", "loop", "points", 1], "value": [1, 0, 0]}
    body = {"sum": desk.job()["sum"], "changes": [change]}
    (fault, *_) = desk.client.post("/api/jobs/crate-shelf/changes", json=body).json()["errors"]
    assert fault["key"] == "piece.loop.points[2]"
    assert fault["says"].startswith("Loop, corner point 2: found [1, 0, 0]; wanted")


@pytest.mark.parametrize("value", ["1,500", "1.000,5", "14,5"])
def test_a_comma_in_a_number_is_taken_or_asked_about(tmp_path: Path, value: str) -> None:
    desk = at_desk(tmp_path)
    body = {"sum": desk.job()["sum"], "changes": [{"path": ["stock", "rod", "price"], "value": value}]}
    (fault,) = desk.client.post("/api/jobs/crate-shelf/changes", json=body).json()["errors"]
    hints = {"1,500": "Write 1.500, or 1500", "1.000,5": "", "14,5": "Write 14.5, without quotes."}
    assert fault["do"].startswith(hints[value])
    length = {"path": ["piece", "loop", "trim"], "value": "12,5"}
    assert desk.client.post("/api/jobs/crate-shelf/changes", json={**body, "changes": [length]}).status_code == 200


def test_a_step_says_one_way_to_turn_the_bar_and_what_is_seen_then(tmp_path: Path) -> None:
    told = at_desk(tmp_path).client.get("/api/jobs/crate-shelf/motion", params={"piece": "loop"}).json()
    for step in told["steps"]:
        assert "of the line" not in step["line"]  # which way round the bar a mark lies is told where marks are made
        assert step["line"].startswith("line faces ")


def test_what_is_too_long_is_told_in_words_at_its_field(tmp_path: Path) -> None:
    (fault,) = preview(at_desk(tmp_path), name="x" * 130)["errors"]
    assert (fault["key"], fault["wanted"]) == ("name", "at most 120 characters")
    assert fault["says"] == "Name: found 130 characters; wanted at most 120 characters."


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ("Enter it among the test bends (bentwork testbend).", "Enter it among the test bends."),
        ("Right? Say so (bentwork testbend --sure). Else strike it.", "Right? Say so. Else strike it."),
        ("It has its pieces as models: bentwork export JOB --only step.", "It has its pieces as models."),
        ("Bend it once more (or twice).", "Bend it once more (or twice)."),
    ],
)
def test_advice_on_the_page_names_no_command(said: str, shown: str) -> None:
    assert on_the_page(said) == shown


def test_no_finding_on_the_page_names_a_command(tmp_path: Path) -> None:
    told = at_desk(tmp_path).job()["findings"]
    assert any("test bend" in one["do"] for one in told)
    assert not [one["do"] for one in told if "bentwork" in one["do"]]
