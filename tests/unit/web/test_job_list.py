"""The list of jobs: pictures, copies, what is put away and brought back; new jobs and the example."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from bentwork.files.job_file import parse_job
from bentwork.piece.shapes import SHAPES
from bentwork.workshop.store import open_workshop
from tests.desk import EXAMPLE, at_desk


def test_a_picture_holds_every_bar_inside_its_field(tmp_path: Path) -> None:
    picture = at_desk(tmp_path).client.get("/api/jobs/crate-shelf/picture").json()
    wide, high = picture["width"], picture["height"]
    # the loop, three crossbars, a left and a right stay are round: each is a black line with a white one in it
    assert sum(stroke["ink"] == "black" and stroke["weight"] > 0.5 for stroke in picture["strokes"]) >= 6
    for stroke in picture["strokes"]:
        numbers = [float(number) for number in re.findall(r"-?[\d.]+(?:e-?\d+)?", stroke["d"])]
        assert all(-0.01 <= x <= wide + 0.01 for x in numbers[::2])
        assert all(-0.01 <= y <= high + 0.01 for y in numbers[1::2])


def test_a_job_without_pieces_has_an_empty_picture(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"bare": "format = 1\n"})
    assert desk.client.get("/api/jobs/bare/picture").json()["strokes"] == []


def test_a_card_counts_what_the_job_itself_finds(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"crate-shelf": EXAMPLE, "wrong": "format = 1\n[piece.a]\n"})
    levels = [finding["level"] for finding in desk.job()["findings"]]
    card = desk.client.get("/api/jobs/crate-shelf/card").json()
    assert card == {"stops": levels.count("stop"), "watches": levels.count("watch")}
    assert desk.client.get("/api/jobs/wrong/card").json() == {"stops": None, "watches": None}


def test_a_copy_keeps_the_comments_and_says_that_it_is_one(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    name = desk.client.post("/api/jobs/crate-shelf/copy").json()["name"]
    assert name == "crate-shelf-2"
    title = 'name = "Crate shelf for a hand cart'
    assert desk.desk.place.job(name).read_text() == EXAMPLE.replace(f'{title}"', f'{title}, copy"')
    assert desk.desk.place.job("crate-shelf").read_text() == EXAMPLE


def test_what_is_put_away_is_not_lost(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    seen = desk.job()["sum"]
    assert desk.client.delete("/api/jobs/crate-shelf", params={"sum": "older"}).status_code == 409
    first = desk.client.delete("/api/jobs/crate-shelf", params={"sum": seen}).json()
    assert desk.client.get("/api/jobs").json() == []
    desk.client.post("/api/example")
    second = desk.client.delete("/api/jobs/crate-shelf", params={"sum": desk.job()["sum"]}).json()
    assert first["kept"] != second["kept"]
    names = [desk.client.post(f"/api/removed/{one['kept']}/back").json()["name"] for one in (first, second)]
    assert names == ["crate-shelf", "crate-shelf-2"]
    assert all(desk.desk.place.job(name).read_text() == EXAMPLE for name in names)
    assert desk.client.post(f"/api/removed/{first['kept']}/back").status_code == 422


@pytest.mark.parametrize("kept", ["..%2Fcrate-shelf", ".removed", "%2e%2e%2fother", "a%5Cb"])
def test_nothing_leads_out_of_the_folder(tmp_path: Path, kept: str) -> None:
    desk = at_desk(tmp_path)
    assert desk.client.post(f"/api/removed/{kept}/back").status_code in (404, 405, 422)
    assert [path.name for path in desk.desk.place.jobs.iterdir()] == ["crate-shelf.toml"]


def test_the_example_is_one_press_away_and_brings_its_test_bends_once(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {})
    for _ in range(2):
        assert desk.client.post("/api/example").json() == {"name": "crate-shelf"}
    assert desk.job()["text"] == EXAMPLE
    with open_workshop(desk.desk.place.workshop) as workshop:
        count = len(workshop.test_bends.all())
    assert count > 0
    assert desk.job()["pieces"][0]["springback_from"]["source"] == "test bends"
    desk.desk.place.job("crate-shelf").write_text(EXAMPLE + "# mine\n")
    desk.client.post("/api/example")
    assert desk.job()["text"] == EXAMPLE + "# mine\n"


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("units", ["mm", "in"])
def test_every_shape_has_a_picture_and_becomes_a_job(tmp_path: Path, shape: str, units: str) -> None:
    desk = at_desk(tmp_path, {})
    wish: dict[str, Any] = {"shape": shape, "units": units, "bender": "plate-roller"}
    assert desk.client.post("/api/new-job/preview", json=wish).json()["picture"]["strokes"]
    name = desk.client.post("/api/jobs", json={**wish, "name": f"My {shape}, the first"}).json()["name"]
    job = parse_job(desk.desk.place.job(name).read_bytes(), name)
    assert (job.name, job.ruler.units) == (f"My {shape}, the first", units)
    assert job.benders["lever"].hook is not None


def test_a_preview_follows_its_numbers(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {})
    wish = {"shape": "u", "dimensions": {"width": "300", "height": "200"}, "radius": "50"}
    told = desk.client.post("/api/new-job/preview", json=wish).json()["pieces"]
    # by hand: 300 + 2 * 200 - 4 * 50 setback + 2 quarter circles of 50, and 15 spare on each end
    assert told == ["u: 687.1 mm of bar, 2 bends"]


def test_a_wish_that_cannot_be_is_told_field_by_field(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {})
    wish = {"shape": "loop", "dimensions": {"width": "wide", "depth": "-1"}, "material": "gold", "diameter": "0"}
    answer = desk.client.post("/api/jobs", json=wish)
    assert {fault["key"] for fault in answer.json()["errors"]} >= {"name", "width", "depth", "diameter"}
    assert not any("--" in fault["says"] for fault in answer.json()["errors"]), "nothing is said of a terminal"
    answer = desk.client.post("/api/jobs", json={"shape": "loop", "material": "gold", "name": "X"})
    assert [fault["key"] for fault in answer.json()["errors"]] == ["material"]
    assert desk.client.get("/api/jobs").json() == []


def test_names_become_files_and_stay_titles(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {})
    title = 'Deck <b>"2"</b> / ../x'
    name = desk.client.post("/api/jobs", json={"shape": "u", "name": title}).json()["name"]
    assert re.fullmatch(r"[\w.-]+", name)
    assert desk.job(name)["title"] == title


def test_the_library_says_what_sections_need(tmp_path: Path) -> None:
    told = at_desk(tmp_path, {}).client.get("/api/library").json()
    sizes = {section["kind"]: section["sizes"] for section in told["sections"]}
    assert sizes["tube"] == ["diameter", "wall"]
    assert sizes["flat"] == ["width", "height"]
    assert {"6082-T6", "S235"} <= {material["name"] for material in told["materials"]}
