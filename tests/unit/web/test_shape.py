"""Editing by typing: things changed, added, moved and taken out of a job file by way of the server."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.desk import EXAMPLE, AtDesk, at_desk

LOOP_POINT = "    [475, 0, 130],                 # both ends turn up by 60 degrees, to keep the crate from sliding\n"


def changed(desk: AtDesk, *changes: dict[str, Any]) -> dict[str, Any]:
    answer = desk.client.post(
        "/api/jobs/crate-shelf/changes", json={"sum": desk.job()["sum"], "changes": list(changes)}
    )
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def refused(desk: AtDesk, *changes: dict[str, Any]) -> list[dict[str, Any]]:
    before = desk.job()
    answer = desk.client.post("/api/jobs/crate-shelf/changes", json={"sum": before["sum"], "changes": list(changes)})
    assert answer.status_code == 422, answer.text
    assert desk.job()["text"] == before["text"]
    found: list[dict[str, Any]] = answer.json()["errors"]
    return found


def test_a_key_is_taken_out_and_every_comment_stays(tmp_path: Path) -> None:
    after = changed(at_desk(tmp_path), {"path": ["piece", "loop", "seam"], "how": "remove"})
    assert after["text"] == EXAMPLE.replace('seam = "auto"\n', "")


def test_a_point_is_put_in_moved_and_taken_out_again(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    path = ["piece", "loop", "points"]
    after = changed(desk, {"path": [*path, 2], "value": [440, 0, 20], "how": "insert"})
    assert after["text"] == EXAMPLE.replace(LOOP_POINT, "    [440, 0, 20],\n" + LOOP_POINT)
    assert after["pieces"][0]["bends"][0]["angle_deg"] != 60
    assert after["readouts"][0]["bends"] == 9
    after = changed(desk, {"path": [*path, 2], "how": "remove"})
    assert after["text"] == EXAMPLE
    two = [{"path": [*path, 2], "value": 3, "how": "move"}, {"path": [*path, 3], "value": 2, "how": "move"}]
    assert changed(desk, *two)["text"] == EXAMPLE


def test_a_whole_piece_goes_with_one_change_set_and_comes_back_with_its_text(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    table = {"stock": "rod", "points": [[0, 0, 0], [100, 0, 0]]}
    after = changed(
        desk,
        {"path": ["piece", "stay"], "how": "remove"},
        {"path": ["fixing", "left foot"], "how": "remove"},
        {"path": ["fixing", "right foot"], "how": "remove"},
        {"path": ["piece", "prop"], "value": table},
    )
    assert [piece["name"] for piece in after["pieces"]] == ["loop", "crossbar", "bracket", "prop"]
    answer = desk.client.put("/api/jobs/crate-shelf/text", json={"sum": after["sum"], "text": EXAMPLE})
    assert answer.json()["text"] == EXAMPLE


def test_faults_stand_at_the_names_by_which_the_page_knows_its_fields(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    told = refused(
        desk,
        {"path": ["piece", "loop", "points", 1, 0], "value": "far"},
        {"path": ["stock", "rod", "section"], "value": "tube"},
    )
    assert [fault["key"] for fault in told] == ["stock.rod.wall", "piece.loop.points[2][1]"]
    told = refused(desk, {"path": ["piece", "loop", "points", 3, 1], "value": 10})
    assert [fault["key"] for fault in told] == ["piece.loop.points[4]"]


@pytest.mark.parametrize(
    "change",
    [
        {"path": ["name"], "value": None},
        {"path": ["piece", "loop", "points", 0], "value": None, "how": "insert"},
        {"path": ["piece", "loop", "points", 0], "value": "x", "how": "move"},
        {"path": ["piece", "none"], "how": "remove"},
    ],
)
def test_changes_that_make_no_sense_are_faults(tmp_path: Path, change: dict[str, Any]) -> None:
    assert refused(at_desk(tmp_path), change)


def test_two_keys_of_a_table_that_is_not_there_both_stand(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    before = desk.job()
    assert "tolerance" not in before["data"]["piece"]["loop"]
    gap = {"path": ["piece", "loop", "tolerance", "gap"], "value": 1.5}
    offset = {"path": ["piece", "loop", "tolerance", "offset"], "value": 1.0}
    for one in (gap, offset):  # the second was thought of before the first was answered
        thought = {**one, "seen": before["sum"]}
        body = {"sum": desk.job()["sum"], "changes": [thought], "states": {before["sum"]: before["text"]}}
        answer = desk.client.post("/api/jobs/crate-shelf/changes", json=body)
        assert answer.status_code == 200, answer.text
    assert desk.job()["data"]["piece"]["loop"]["tolerance"] == {"gap": 1.5, "offset": 1.0}
    paint = {"path": ["paint", "primer", "coverage"], "value": 9}
    coats = {"path": ["paint", "primer", "coats"], "value": 2}
    after = changed(desk, paint, coats)
    assert after["data"]["paint"]["primer"] == {"coverage": 9, "coats": 2}
    assert after["text"].startswith(before["text"].split("[piece.loop]")[0])


def test_a_byte_order_mark_stays(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    path = desk.desk.place.job("crate-shelf")
    path.write_bytes(b"\xef\xbb\xbf" + EXAMPLE.encode())
    changed(desk, {"path": ["piece", "loop", "trim"], "value": 20})
    assert path.read_bytes() == b"\xef\xbb\xbf" + EXAMPLE.replace("trim = 15", "trim = 20", 1).encode()


def test_inches_are_taken_as_they_are_typed(tmp_path: Path) -> None:
    text = 'format = 1\nunits = "in"\n[stock.rod]\nsection = "round"\ndiameter = "1/2"\nmaterial = "S235"\n'
    text += '[piece.rail]\nstock = "rod"\npoints = [[0, 0, 0], [10, 0, 0]]\n'
    desk = at_desk(tmp_path, {"rail": text})
    for typed, cut in (("3 5/16", "3 5/16 in"), ("254 mm", "10 in"), (12, "12 in")):
        change = {"path": ["piece", "rail", "points", 1, 0], "value": typed}
        answer = desk.client.post("/api/jobs/rail/changes", json={"sum": desk.job("rail")["sum"], "changes": [change]})
        assert answer.json()["readouts"][0]["cut_length"] == cut
        assert answer.json()["data"]["piece"]["rail"]["points"][1][0] == typed


def test_the_points_of_a_closed_piece_are_those_after_its_seam(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    assert desk.job()["readouts"][0]["points"] == [2, 3, 4, 5, 6, 7, 8, 1]
    after = changed(desk, {"path": ["piece", "loop", "seam"], "value": 5})
    assert after["readouts"][0]["points"] == [6, 7, 8, 1, 2, 3, 4, 5]
    points, bends = after["readouts"][0]["points"], after["pieces"][0]["bends"]
    angles = {point: bend["angle_deg"] for point, bend in zip(points, bends, strict=True)}
    # from the coordinates by hand: corners 3, 4, 7 and 8 are square, the other four turn by atan(130 / 75)
    assert all(angles[point] == pytest.approx(90.0) for point in (3, 4, 7, 8))
    assert all(angles[point] == pytest.approx(60.018, abs=1e-3) for point in (1, 2, 5, 6))


def test_every_size_of_a_bender_has_its_words(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    told = desk.client.get("/api/jobs/crate-shelf/benders").json()
    lever, press = told["benders"]
    assert [part["name"] for part in lever["parts"]] == ["die", "hook", "follower", "arm", "plate", "needs"]
    assert all(part["given"] for part in lever["parts"])
    for part in lever["parts"]:
        written = told_keys(EXAMPLE, part["name"])
        assert {size["path"][1] for size in part["sizes"]} == written - {"kind", "side"}
        assert all(size["says"] and size["measure"] and size["letter"] for size in part["sizes"])
    assert {part["name"]: part["given"] for part in press["parts"]} == {"die": False, "block": True, "needs": False}
    picture = desk.client.get("/api/jobs/crate-shelf/benders/lever/picture").json()
    letters = {size["letter"] for part in lever["parts"] for size in part["sizes"]}
    assert letters <= {label["text"] for label in picture["labels"]}
    assert desk.client.get("/api/jobs/crate-shelf/benders/none/picture").status_code == 404


def told_keys(text: str, part: str) -> set[str]:
    """The keys of a part of the example's first bender, as they stand in its file."""
    line = next(line for line in text.splitlines() if line.startswith(f"{part} = "))
    return {
        word.split("=")[0].strip(" {") for word in line.split(" = ", 1)[1].replace("[", "").split(",") if "=" in word
    }


def test_a_missing_part_can_be_started_from_usual_sizes(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    press = desk.client.get("/api/jobs/crate-shelf/benders").json()["benders"][1]
    for part in press["parts"]:
        if not part["given"]:
            after = changed(desk, {"path": ["bender", "press", part["name"]], "value": part["start"]})
            assert after["data"]["bender"]["press"][part["name"]] == part["start"]


def test_a_bender_is_started_from_its_kind(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    ask = {"sum": desk.job()["sum"], "archetype": "ram", "name": "ram", "radius": "60", "size": "12"}
    after = desk.client.post("/api/jobs/crate-shelf/benders", json=ask).json()
    assert after["text"].startswith(EXAMPLE)
    assert after["data"]["bender"]["ram"]["kind"] == "ram"
    told = desk.client.post("/api/jobs/crate-shelf/benders", json={**ask, "sum": after["sum"], "radius": "x"})
    assert {fault["key"] for fault in told.json()["errors"]} == {"name", "radius"}
    assert desk.client.post("/api/jobs/crate-shelf/benders", json=ask).status_code == 422  # there is a ram already
    more = desk.client.post("/api/jobs/crate-shelf/benders", json={**ask, "name": "other ram"})  # from the older state
    assert more.json()["onto"] == after["text"]
    assert set(more.json()["data"]["bender"]) >= {"ram", "other ram"}
