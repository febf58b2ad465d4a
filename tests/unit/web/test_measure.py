"""What the frame must fit by way of the server."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.desk import AtDesk, at_desk
from tests.unit.files.measured_texts import BOAT


def measured(desk: AtDesk, name: str) -> dict[str, Any]:
    answer = desk.client.get(f"/api/jobs/{name}/measured")
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def test_a_job_that_was_measured(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"boat": BOAT})
    found = measured(desk, "boat")
    assert found["any"]
    assert [point["name"] for point in found["points"]] == ["stern", "left lug", "right lug"]
    assert found["points"][0]["look"] == "given"
    assert found["points"][1]["look"] in ("good", "loose")
    assert [one["entry"] for one in found["readings"]] == [1, 2, 3, 4, 5, 6, 7, 7]
    assert found["picture"]["strokes"]
    assert {stay["name"] for stay in found["stays"]} == {"left brace", "right brace"}
    assert found["rooms"][0]["name"] == "lid"
    assert found["ways"][0]["fits"]
    assert found["lines_mm"]
    kinds = {one["kind"]: one for one in found["kinds"]}
    assert kinds["string"]["numbers"] == ["along", "off"]
    assert kinds["level"]["numbers"] == []
    codes = {one["code"] for one in found["findings"]}
    assert codes <= {one["code"] for one in desk.job("boat")["findings"]}


def test_a_reading_is_entered_and_counts(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"boat": BOAT})
    before = measured(desk, "boat")
    reading = {"kind": "distance", "of": ["left lug", "right lug"], "reads": 660}
    change = {"path": ["measured", "readings", 8], "value": reading, "how": "insert"}
    answer = desk.client.post("/api/jobs/boat/changes", json={"sum": before["sum"], "changes": [change]})
    assert answer.status_code == 200, answer.text
    after = measured(desk, "boat")
    assert len(after["readings"]) == len(before["readings"]) + 1
    assert after["spread"] != before["spread"]


def test_a_job_that_was_not(tmp_path: Path) -> None:
    found = measured(at_desk(tmp_path), "crate-shelf")
    assert not found["any"]
    assert found["points"] == []
    assert found["picture"] is None
    assert found["kinds"]
