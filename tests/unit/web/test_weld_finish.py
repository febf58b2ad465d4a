"""Welding, finish and brackets by way of the server."""

from __future__ import annotations

from pathlib import Path

from tests.brackets import bracket_job
from tests.desk import at_desk


def test_the_example(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    found = desk.client.get("/api/jobs/crate-shelf/weld-and-finish").json()
    assert [weld["number"] for weld in found["welds"]] == list(range(1, 10))
    assert found["sum"] == desk.job()["sum"]
    assert found["system"] == ""  # the job does not say
    assert {part["title"] for part in found["finish"]} >= {"Finish: paint", "Mask before the first coat"}
    assert [flat["name"] for flat in found["flats"]] == ["bracket"]
    assert found["flats"][0]["holes"] == []


def test_a_finish_is_written_into_the_file(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    change = {"path": ["finish"], "value": {"system": "powder"}}
    answer = desk.client.post("/api/jobs/crate-shelf/changes", json={"sum": desk.job()["sum"], "changes": [change]})
    assert answer.status_code == 200, answer.text
    found = desk.client.get("/api/jobs/crate-shelf/weld-and-finish").json()
    assert found["system"] == "powder"
    assert "metals-touch" in {finding["code"] for finding in desk.job()["findings"]}


def test_a_bracket_with_holes(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    folder = next(path.parent for path in tmp_path.rglob("crate-shelf.toml"))
    (folder / "oar.toml").write_text(bracket_job("{ along = 62, across = 4, diameter = 6 }"), encoding="utf-8")
    (flat,) = desk.client.get("/api/jobs/oar/weld-and-finish").json()["flats"]
    (hole,) = flat["holes"]
    assert hole["after"]
    xs, ys = zip(*hole["outline"], strict=True)
    assert (min(xs) + max(xs)) / 2.0 == 62.0
    assert (min(ys) + max(ys)) / 2.0 == 4.0
