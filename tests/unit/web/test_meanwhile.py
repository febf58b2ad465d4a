"""Two who change one job at once: nobody's value is written over unasked, and nobody is held up by the other."""

from __future__ import annotations

from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.desk import EXAMPLE, AtDesk, at_desk, client_of

TRIM = ["piece", "loop", "trim"]
POINTS = ["piece", "loop", "points"]


def sent(desk: AtDesk, seen: dict[str, Any], *changes: dict[str, Any]) -> Any:  # noqa: ANN401 - an answer of the test client
    """Send changes as they were thought of in an older state."""
    body = {"sum": seen["sum"], "states": {seen["sum"]: seen["text"]}, "changes": list(changes)}
    return desk.client.post("/api/jobs/crate-shelf/changes", json=body)


def written(desk: AtDesk, old: str, new: str) -> str:
    """Write the file as an editor would."""
    path = desk.desk.place.job("crate-shelf")
    text = path.read_text(encoding="utf-8")
    assert text.count(old) >= 1
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return path.read_text(encoding="utf-8")


def standing(desk: AtDesk) -> str:
    return desk.desk.place.job("crate-shelf").read_text(encoding="utf-8")


def test_a_value_that_another_one_changed_meanwhile_is_not_gone_over(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    seen = desk.job()
    theirs = written(desk, "trim = 15", "trim = 20")
    answer = sent(desk, seen, {"path": TRIM, "value": 25})
    assert answer.status_code == 409
    told = answer.json()
    assert told["stale"] == "place"
    (place,) = told["errors"]
    assert place["says"] == "loop, trim: 15 when you began, 20 by now."
    assert place["key"] == "piece.loop.trim"
    assert theirs.splitlines()[place["line"] - 1].startswith("trim = 20")
    assert standing(desk) == theirs
    # the maker says 'put mine': the same change, thought of in the state that is there
    assert sent(desk, desk.job(), {"path": TRIM, "value": 25}).status_code == 200
    assert standing(desk) == theirs.replace("trim = 20", "trim = 25")


def test_another_place_of_the_file_is_no_hindrance_and_stays(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    seen = desk.job()
    theirs = written(desk, "trim = 15", "trim = 20  # sawn by eye")
    answer = sent(desk, seen, {"path": [*POINTS, 1, 0], "value": 420})
    assert answer.status_code == 200
    assert answer.json()["onto"] == theirs
    assert standing(desk) == theirs.replace("[400, 0, 0],", "[420, 0, 0],", 1)


def test_another_coordinate_of_the_same_point_is_another_place(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    seen = desk.job()
    written(desk, "[400, 0, 0],", "[400, 5, 0],")
    assert sent(desk, seen, {"path": [*POINTS, 1, 0], "value": 420}).status_code == 200  # y of the same point
    assert "[420, 5, 0]" in standing(desk)


@pytest.mark.parametrize("how", ["row put in", "rows moved"])
def test_a_row_of_a_list_is_found_again_or_asked_about(tmp_path: Path, how: str) -> None:
    """y is 0 in both rows: the value alone would not show that the row is another one."""
    desk = at_desk(tmp_path)
    seen = desk.job()
    assert seen["data"]["piece"]["loop"]["points"][1][1] == seen["data"]["piece"]["loop"]["points"][2][1] == 0
    first, second = [
        line for line in EXAMPLE.splitlines(keepends=True) if "[400, 0, 0]," in line or "[475, 0, 130]" in line
    ]
    theirs = written(
        desk, first + second, "    [390, 0, 10],\n" + first + second if how == "row put in" else second + first
    )
    answer = sent(desk, seen, {"path": [*POINTS, 1, 1], "value": 7})
    assert answer.status_code == 409
    assert "loop, " in answer.json()["errors"][0]["says"]
    assert standing(desk) == theirs


def test_what_is_added_moved_and_taken_out_is_held_against_what_is_there(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    seen = desk.job()
    written(desk, "[400, 0, 0],", "[410, 0, 0],")
    far = {"path": [*POINTS, 5], "how": "insert", "value": [500, 200, 200]}
    near = {"path": [*POINTS, 1], "how": "insert", "value": [300, 0, 0]}
    gone = {"path": [*POINTS, 1], "how": "remove"}
    piece = {"path": ["piece", "loop"], "how": "remove"}
    table = {"path": ["stock", "tube"], "value": {"section": "round", "diameter": 8, "material": "S235"}}
    for change, status in ((near, 409), (gone, 409), (piece, 409), (table, 200)):
        assert sent(desk, seen, change).status_code == status, change
    assert sent(desk, seen, table).status_code == 409  # somebody added one of this name
    assert sent(desk, desk.job(), far).status_code in (200, 422)


def test_a_state_that_nobody_tells_is_refused_as_before(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    seen = desk.job()["sum"]
    written(desk, "trim = 15", "trim = 20")
    body = {"sum": seen, "changes": [{"path": ["name"], "value": "X"}]}
    answer = desk.client.post("/api/jobs/crate-shelf/changes", json=body)
    assert (answer.status_code, answer.json()["stale"]) == (409, "file")


def test_undo_leaves_what_another_one_wrote_elsewhere(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    before = desk.job()
    after = sent(desk, before, {"path": [*POINTS, 1, 0], "value": 420}).json()
    theirs = written(desk, "trim = 15", "trim = 20  # sawn by eye")
    body = {"sum": after["sum"], "seen": after["text"], "text": before["text"]}
    undone = desk.client.put("/api/jobs/crate-shelf/text", json=body)
    assert undone.status_code == 200, undone.text
    assert standing(desk) == theirs.replace("[420, 0, 0],", "[400, 0, 0],") != before["text"]
    assert undone.json()["onto"] == theirs


def test_undo_of_a_value_that_another_one_changed_is_asked_about(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    before = desk.job()
    after = sent(desk, before, {"path": TRIM, "value": 25}).json()
    theirs = written(written_elsewhere(desk), "trim = 25", "trim = 30")
    body = {"sum": after["sum"], "seen": after["text"], "text": before["text"]}
    refused = desk.client.put("/api/jobs/crate-shelf/text", json=body)
    assert refused.status_code == 409
    assert refused.json()["errors"][0]["says"] == "loop, trim: 25 when you began, 30 by now."
    assert standing(desk) == theirs
    insisting = {**body, "mine_counts": True}
    assert desk.client.put("/api/jobs/crate-shelf/text", json=insisting).status_code == 409  # not the one asked about
    mine = desk.client.put("/api/jobs/crate-shelf/text", json={**insisting, "sum": desk.job()["sum"]})
    assert mine.status_code == 200
    assert standing(desk) == theirs.replace("trim = 30", "trim = 15")


def written_elsewhere(desk: AtDesk) -> AtDesk:
    written(desk, "[400, 0, 0],", "[405, 0, 0],  # measured again")
    return desk


def test_values_on_one_line_are_told_apart(tmp_path: Path) -> None:
    line = 'format = 1\nname = "A"\n[stock.rod]\nsection = "round"\ndiameter = 12\nmaterial = "S235"\n'
    text = line + '[piece.bar]\nstock = "rod"\npoints = [[0, 0, 0], [400, 0, 0], [400, 300, 0]]\nradius = 40\n'
    desk = at_desk(tmp_path, {"crate-shelf": text})
    after = sent(desk, desk.job(), {"path": ["piece", "bar", "points", 1, 0], "value": 420}).json()
    written(desk, "[400, 300, 0]]", "[400, 350, 0]]")
    body = {"sum": after["sum"], "seen": after["text"], "text": text}
    assert desk.client.put("/api/jobs/crate-shelf/text", json=body).status_code == 200
    assert "points = [[0, 0, 0], [400, 0, 0], [400, 350, 0]]" in standing(desk)


def test_two_tabs_at_the_same_time_lose_neither_change(tmp_path: Path) -> None:
    """Each sends its own value, from the same state, as often as the server says that it was overtaken."""
    desk = at_desk(tmp_path)
    seen = desk.job()
    changes = [{"path": TRIM, "value": 22}, {"path": ["stock", "rod", "price"], "value": 15.5}]
    status: list[int] = []

    # Routes are put together when they are asked for first: on a server one after the other, here beside one another.
    clients = [client_of(desk.desk, "desk") for _ in changes]
    for client in clients:
        wrong = {"sum": seen["sum"], "changes": [{"path": ["nowhere"], "value": 1}]}
        assert client.post("/api/jobs/crate-shelf/changes", json=wrong).status_code == 422

    def tab(client: TestClient, change: dict[str, Any]) -> None:
        body = {"sum": seen["sum"], "states": {seen["sum"]: seen["text"]}, "changes": [change]}
        for _ in range(50):
            answer = client.post("/api/jobs/crate-shelf/changes", json=body)
            if answer.status_code != 409 or answer.json()["stale"] != "overtaken":
                break
        status.append(answer.status_code)

    tabs = [Thread(target=tab, args=(client, change)) for client, change in zip(clients, changes, strict=True)]
    for one in tabs:
        one.start()
    for one in tabs:
        one.join(120)
    assert status == [200, 200]
    assert standing(desk) == EXAMPLE.replace("trim = 15", "trim = 22", 1).replace("price = 14.50", "price = 15.5", 1)
