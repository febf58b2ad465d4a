"""The examples on the page, a job out of a model, and holes that are put into a job file."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from httpx2 import Response

from bentwork.door.example import EXAMPLES, LARGE, Example, example_bytes
from tests.desk import AtDesk, at_desk

RAIL = """format = 1

[stock.conduit]
section = "tube"
diameter = 12
wall = 1
material = "E235"

[bender.lever]
kind = "wrap"
radius = 40

[piece.rail]
stock = "conduit"
bender = "lever"
takeoff = { file = "rail.csv", solid = 1, radius = 40 }
"""
HOLES = ["piece", "cradle", "holes"]


@pytest.mark.parametrize("which", EXAMPLES)
def test_every_example_is_written_once_and_opens(tmp_path: Path, which: Example) -> None:
    desk = at_desk(tmp_path, {})
    for _ in range(2):
        answer = desk.client.post("/api/example", params={"which": which})
        assert answer.json() == {"name": which}
    assert desk.desk.place.job(which).read_bytes() == example_bytes(which)
    assert not [one for one in desk.job(which)["findings"] if one["level"] == "stop"]


def test_without_a_name_it_is_the_small_one_and_no_other_is_made_up(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {})
    assert desk.client.post("/api/example").json() == {"name": "crate-shelf"}
    assert desk.client.post("/api/example", params={"which": "../x"}).status_code == 422


def test_a_job_out_of_a_model_opens_and_follows_the_model(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"rail": RAIL})
    model = tmp_path / "jobs" / "rail.csv"
    model.write_text("x,y,z\n0,0,0\n300,0,0\n300,200,0\n")
    first = desk.job("rail")["pieces"][0]["centreline_length_mm"]
    # 500 mm of sides, less what a corner of 40 mm saves: 2 setbacks less the quarter of the circle
    assert first == pytest.approx(500.0 - 80.0 + 40.0 * 1.5707963, abs=1e-3)
    model.write_text("x,y,z\n0,0,0\n400,0,0\n400,200,0\n")
    assert desk.job("rail")["pieces"][0]["centreline_length_mm"] == pytest.approx(first + 100.0, abs=1e-3)


def test_a_model_outside_the_folder_is_no_matter_of_the_page(tmp_path: Path) -> None:
    away = tmp_path / "away.csv"
    away.write_text("x,y,z\n0,0,0\n300,0,0\n300,200,0\n")
    desk = at_desk(tmp_path, {"rail": RAIL.replace("rail.csv", str(away))})
    answer = desk.client.get("/api/jobs/rail")
    assert answer.status_code == 422
    assert [one["key"] for one in answer.json()["errors"]] == ["piece.rail.takeoff.file"]


def changed(desk: AtDesk, *changes: dict[str, Any]) -> Response:
    seen = desk.job(LARGE)["sum"]
    return desk.client.post(f"/api/jobs/{LARGE}/changes", json={"sum": seen, "changes": list(changes)})


def test_holes_come_and_go_and_every_comment_stays(tmp_path: Path) -> None:
    text = example_bytes(LARGE).decode()
    desk = at_desk(tmp_path, {LARGE: text})
    added = changed(desk, {"path": [*HOLES, 5], "how": "insert", "value": {"along": 52, "diameter": "M6"}})
    assert added.status_code == 200, added.text
    after = added.json()["text"]
    holes = tomllib.loads(after)["piece"]["cradle"]["holes"]
    assert holes[5] == {"along": 52, "diameter": "M6"}
    assert [line for line in text.splitlines() if line not in after.splitlines()] == []
    refused = changed(desk, {"path": [*HOLES, 5, "diameter"], "value": "M7"})
    assert refused.status_code == 422
    (fault,) = refused.json()["errors"]
    assert fault["key"] == "piece.cradle.holes[6].diameter"
    assert '"M7"' in fault["found"]
    gone = changed(desk, {"path": [*HOLES, 5], "how": "remove"})
    assert gone.json()["text"] == text
