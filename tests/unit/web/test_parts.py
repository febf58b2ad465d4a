"""Small parts over the wire, and putting crossbars and tabs in from the page."""

from __future__ import annotations

from pathlib import Path

from tests.desk import EXAMPLE, NO_SHOP, at_desk


def test_the_crossbars_of_the_example(tmp_path: Path) -> None:
    told = at_desk(tmp_path).client.get("/api/jobs/crate-shelf/parts").json()
    (bars,) = told["crossbars"]
    assert bars["name"] == "crossbar"
    assert bars["facts"].startswith("make 3 · round 12 mm · cut 288")
    assert [end["card"] for end in bars["ends"]] == [None, None]
    assert told["rows"][0]["where"] == "loop, side 1 and loop, side 5"
    assert told["findings"] == []
    sides = told["sides"]
    assert {side["piece"] for side in sides} == {"loop", "crossbar", "stay", "bracket"}
    pair = [sides[number] for number in told["usual"]]
    assert [(side["piece"], side["number"]) for side in pair] == [("loop", 1), ("loop", 5)]


def test_coped_crossbars_put_in_from_the_page(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"crate-shelf": NO_SHOP})
    before = desk.job()
    rung = {"stock": "rod", "between": [["loop", 3], ["loop", 7]], "count": 1, "ends": "coped"}
    blocks = {"path": ["shop"], "value": {"blocks": [10, "20 mm"]}}
    tab = {"piece": "loop", "at": [200, 0, -30], "axis": [0, 1, 0], "stock": "strap", "thread": "M6"}
    changes = [{"path": ["crossbar", "rung"], "value": rung}, {"path": ["tab", "ear"], "value": tab}, blocks]
    answer = desk.client.post("/api/jobs/crate-shelf/changes", json={"sum": before["sum"], "changes": changes})
    assert answer.status_code == 200, answer.text
    assert "rung" in {piece["name"] for piece in answer.json()["pieces"]}
    assert "rung" in {body["piece"] for body in answer.json()["scene"]}
    told = desk.client.get("/api/jobs/crate-shelf/parts").json()
    card = next(one for one in told["crossbars"] if one["name"] == "rung")["ends"][0]["card"]
    assert card["outline"][0][0] == 0.0
    assert max(x for x, _ in card["outline"]) > 37.6  # pi times 12
    assert card["dashed"] == []  # solid
    (ear,) = told["tabs"]
    assert ear["card"]["holes_mm"] == [6.0, 5.0]
    assert "thread-too-short" in {one["code"] for one in told["findings"]}


def test_a_wrong_job_is_told(tmp_path: Path) -> None:
    text = EXAMPLE + '\n[crossbar.rung]\nstock = "rod"\nbetween = [["loop", 1], ["lop", 5]]\ncount = 2\n'
    answer = at_desk(tmp_path, {"crate-shelf": text}).client.get("/api/jobs/crate-shelf/parts")
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["key"] == "crossbar.rung.between[2][1]"
