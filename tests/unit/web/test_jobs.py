"""Reading and changing jobs by way of the server."""

from __future__ import annotations

from pathlib import Path

from bentwork.files.job_file import parse_job
from bentwork.files.plan_json import plan_document
from bentwork.jobs.carried import with_carried
from bentwork.jobs.work import work
from tests.desk import EXAMPLE, at_desk


def test_the_page_gets_what_the_command_line_prints(tmp_path: Path) -> None:
    told = at_desk(tmp_path).job()
    document = plan_document(with_carried(work(parse_job(EXAMPLE.encode(), "crate-shelf.toml"))))
    assert [finding["says"] for finding in told["findings"]] == [one["says"] for one in document["findings"]]
    for ours, theirs in zip(told["pieces"], document["pieces"], strict=True):
        assert ours["cut_length_mm"] == theirs["cut_length_mm"]
        assert [step["mark_mm"] for step in ours["steps"]] == [step["mark_mm"] for step in theirs["steps"]]
    assert told["text"] == EXAMPLE


def test_what_the_frame_does_not_carry_is_among_the_findings_with_its_place(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    before = desk.job()
    assert "carries" in [finding["code"] for finding in before["findings"]]
    change = {"path": ["payload", "mass"], "value": 60}
    answer = desk.client.post("/api/jobs/crate-shelf/changes", json={"sum": before["sum"], "changes": [change]})
    at_once = answer.json()
    assert not at_once["finished"]
    assert not {finding["code"] for finding in at_once["findings"]} & {"carries", "carries-too-little"}
    whole = desk.job()
    assert whole["finished"]
    assert whole["sum"] == at_once["sum"]
    first = whole["findings"][0]
    assert (first["level"], first["code"]) == ("stop", "carries-too-little")
    gives = desk.client.get("/api/jobs/crate-shelf/carry").json()["gives"][0]
    assert first["at_mm"] == gives["at_mm"], "where it gives first"
    assert desk.client.get("/api/jobs/crate-shelf/card").json()["stops"] == 1


def test_an_answer_that_is_known_or_needs_nothing_is_finished_at_once(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    before = desk.job()
    price = {"path": ["stock", "rod", "price"], "value": 15}
    answer = desk.client.post("/api/jobs/crate-shelf/changes", json={"sum": before["sum"], "changes": [price]}).json()
    assert answer["finished"], "a price changes nothing of what it carries"
    assert "carries" in [finding["code"] for finding in answer["findings"]]
    bare = at_desk(tmp_path / "bare", {"crate-shelf": EXAMPLE[: EXAMPLE.index("[load]")]})
    change = {"path": ["piece", "loop", "points", 1, 0], "value": 420}
    seen = bare.job()["sum"]
    assert bare.client.post("/api/jobs/crate-shelf/changes", json={"sum": seen, "changes": [change]}).json()["finished"]


def test_one_value_changes_and_every_comment_stays(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    before = desk.job()
    change = {"path": ["piece", "loop", "points", 1, 0], "value": 420}
    answer = desk.client.post("/api/jobs/crate-shelf/changes", json={"sum": before["sum"], "changes": [change]})
    assert answer.status_code == 200
    after = answer.json()
    assert after["text"] == EXAMPLE.replace("[400, 0, 0],\n    [475, 0,", "[420, 0, 0],\n    [475, 0,")
    assert desk.desk.place.job("crate-shelf").read_text() == after["text"]
    assert after["pieces"][0]["cut_length_mm"] != before["pieces"][0]["cut_length_mm"]


def test_a_change_that_cannot_be_is_refused_with_its_line_and_nothing_is_written(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    before = desk.job()
    changes = [
        {"path": ["stock", "rod", "diameter"], "value": -12},
        {"path": ["piece", "loop", "trim"], "value": "far"},
    ]
    answer = desk.client.post("/api/jobs/crate-shelf/changes", json={"sum": before["sum"], "changes": changes})
    assert answer.status_code == 422
    keys = {fault["key"]: fault["line"] for fault in answer.json()["errors"]}
    assert keys["stock.rod.diameter"] == EXAMPLE.split("diameter")[0].count("\n") + 1
    assert "piece.loop.trim" in keys
    assert desk.desk.place.job("crate-shelf").read_text() == EXAMPLE


def test_a_file_that_somebody_else_changed_is_not_written_over(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    seen = desk.job()["sum"]
    path = desk.desk.place.job("crate-shelf")
    path.write_text("# changed in an editor\n" + EXAMPLE)
    for answer in (
        desk.client.post(
            "/api/jobs/crate-shelf/changes", json={"sum": seen, "changes": [{"path": ["name"], "value": "X"}]}
        ),
        desk.client.put("/api/jobs/crate-shelf/text", json={"sum": seen, "text": EXAMPLE}),
    ):
        assert answer.status_code == 409
        assert "another program" in answer.json()["errors"][0]["says"]
    assert path.read_text().startswith("# changed in an editor")
    assert desk.client.get("/api/jobs/crate-shelf/sum").json() != seen


def test_the_list_tells_wrong_files_too(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"crate-shelf": EXAMPLE, "wrong": "format = 1\nunits = 'ell'\n", "no-toml": "]["})
    rows = {row["name"]: row for row in desk.client.get("/api/jobs").json()}
    assert rows["crate-shelf"]["faults"] == 0
    assert rows["crate-shelf"]["pieces"] == 4
    assert rows["wrong"]["faults"] > 0
    assert rows["no-toml"]["faults"] > 0


def test_meshes_are_those_of_the_bodies(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    scene = desk.job()["scene"]
    assert [body["name"] for body in scene] == ["loop", "crossbar", "stay right", "stay left", "bracket"]
    assert [len(body["copies"]) for body in scene] == [1, 3, 1, 1, 1]
    for body in scene:
        answer = desk.client.get(f"/api/meshes/{body['mesh']}")
        assert answer.status_code == 200
        assert "immutable" in answer.headers["cache-control"]
        fine = answer.json()
        coarse = fine["coarse"]  # while it moves; more than a plate has is only what is round
        assert 0 < len(coarse["triangles"]) <= len(fine["triangles"])
        assert len(coarse["points"]) == len(coarse["normals"])
        if body["name"] == "loop":
            assert len(coarse["triangles"]) < 0.7 * len(fine["triangles"])
    assert desk.client.get("/api/meshes/nothing").status_code == 404
