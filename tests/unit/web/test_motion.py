"""The work at the bender by way of the server, and remedies that are tried."""

from __future__ import annotations

from pathlib import Path

from bentwork.files.job_file import parse_job
from bentwork.jobs.papers import subjects
from bentwork.jobs.work import work
from bentwork.sheets.step_rows import rows_of
from tests.desk import EXAMPLE, at_desk

HIGH_VISE = EXAMPLE.replace("top = -24, bottom = -150 }", "top = 40, bottom = -150 }")


def test_the_words_of_a_step_are_those_of_the_shop_sheet(tmp_path: Path) -> None:
    told = at_desk(tmp_path).client.get("/api/jobs/crate-shelf/motion", params={"piece": "loop"}).json()
    subject = subjects(work(parse_job(EXAMPLE.encode(), "crate-shelf.toml")), "")[0]
    rows = rows_of(subject)
    assert told["order"] == "plan"
    assert told["orders"] == ["plan", "drawn"]
    assert [step["mark"] for step in told["steps"]] == [row.mark for row in rows]
    assert [step["turn"] for step in told["steps"]] == [row.turn for row in rows]
    assert [step["pull"] for step in told["steps"]] == [row.pull for row in rows]
    step = told["steps"][0]
    assert {len(key["bar"]) for key in step["keys"]} == {len(step["keys"][0]["bar"])}
    assert step["closest"]["gap"].endswith(" mm")
    assert step["keys"][step["closest"]["key"]]["gap"] == step["closest"]["gap"]


def test_inches_are_told_in_inches(tmp_path: Path) -> None:
    text = EXAMPLE.replace('units = "mm"', 'units = "mm"\n').replace("required_clearance = 2\n", "")
    desk = at_desk(tmp_path, {"shelf": text})
    told = desk.client.get("/api/jobs/shelf/motion", params={"piece": "stay", "as_drawn": "false"}).json()
    assert told["as_drawn"] is False
    assert told["steps"][0]["hold"] == "hold end A"


def test_as_drawn_tells_what_is_hit(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    told = desk.client.get("/api/jobs/crate-shelf/motion", params={"piece": "loop", "order": "drawn"}).json()
    hits = {step["bend"]: [hit["body"] for hit in step["hits"]] for step in told["steps"] if step["hits"]}
    assert "plate" in hits[4]
    assert "runs into something" in told["summary"]


def test_what_is_not_there_is_said(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    for params in ({"piece": "crossbar"}, {"piece": "none"}, {"piece": "loop", "order": "blocked"}):
        assert desk.client.get("/api/jobs/crate-shelf/motion", params=params).status_code == 404


def test_a_remedy_that_is_tried_gives_an_order_and_keeps_every_comment(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"crate-shelf": HIGH_VISE})
    told = desk.client.get("/api/jobs/crate-shelf/motion", params={"piece": "loop"}).json()
    assert told["order"] == "blocked"
    assert all(step["blocked"] for step in told["steps"])
    numbers = [one["number"] for one in told["remedies"] if one["number"] is not None]
    assert numbers, told["remedies"]
    for number in numbers:
        sum_before = desk.job()["sum"]
        body = {"sum": sum_before, "piece": "loop", "number": number}
        answer = desk.client.post("/api/jobs/crate-shelf/remedy", json=body)
        assert answer.status_code == 200, answer.text
        after = answer.json()
        loop = next(piece for piece in after["pieces"] if piece["name"] == "loop")
        assert loop["steps"], told["remedies"][number]["says"]
        assert [line for line in after["text"].splitlines() if line.startswith("#")] == [
            line for line in HIGH_VISE.splitlines() if line.startswith("#")
        ]
        back = desk.client.put("/api/jobs/crate-shelf/text", json={"sum": after["sum"], "text": HIGH_VISE})
        assert back.status_code == 200


def test_a_remedy_is_not_written_over_a_newer_file(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"crate-shelf": HIGH_VISE})
    body = {"sum": "0" * 20, "piece": "loop", "number": 0}
    assert desk.client.post("/api/jobs/crate-shelf/remedy", json=body).status_code in (404, 409)
    assert desk.desk.place.job("crate-shelf").read_text() == HIGH_VISE
    missing = {"sum": desk.job()["sum"], "piece": "loop", "number": 99}
    assert desk.client.post("/api/jobs/crate-shelf/remedy", json=missing).status_code == 404
