"""Take-off by way of the server: a file is sent, read, shown, and becomes a job or goes into one."""

from __future__ import annotations

import tempfile
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bentwork.files.job_file import parse_job
from bentwork.takeoff.reader import Progress
from bentwork.web import take_offs
from tests.desk import EXAMPLE, AtDesk, at_desk

FRAME = "x,y,z,radius\n0,0,0,\n300,0,0,40\n300,200,0,40\n0,200,0,\n\n0,0,50,\n250,0,50,\n"


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> AtDesk:
    folder = tmp_path / "sent"
    folder.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(folder))
    return at_desk(tmp_path)


def sent(desk: AtDesk, name: str, data: bytes, **asked: str) -> str:
    answer = desk.client.post("/api/takeoff", params={"file": name, **asked}, content=data)
    assert answer.status_code == 200, answer.text
    return str(answer.json()["id"])


def read(desk: AtDesk, name: str, units: str = "mm") -> dict[str, Any]:
    for _ in range(2000):
        told: dict[str, Any] = desk.client.get(f"/api/takeoff/{name}", params={"units": units}).json()
        if told["state"] != "reading":
            return told
        time.sleep(0.05)
    raise AssertionError("it is never read")


def test_a_table_is_shown_with_an_outline_of_every_piece(desk: AtDesk, tmp_path: Path) -> None:
    told = read(desk, sent(desk, "frame.csv", FRAME.encode()))
    assert (told["state"], told["file"], told["share"]) == ("done", "frame.csv", 1.0)
    first, second = (solid["bars"][0] for solid in told["solids"])
    # by hand: 300 + 200 + 300 - 4 * 40 setback + 2 quarter circles of 40
    assert (first["length"], first["bends"], second["length"], second["bends"]) == ("765.7 mm", 2, "250 mm", 0)
    assert first["picture"]["strokes"] and second["picture"]["strokes"]
    for _ in range(1500):
        if not list((tmp_path / "sent").iterdir()):
            break
        time.sleep(0.02)
    assert list((tmp_path / "sent").iterdir()) == []


def test_what_is_chosen_becomes_a_job(desk: AtDesk) -> None:
    name = sent(desk, "frame.csv", FRAME.encode())
    assert read(desk, name)["state"] == "done"
    answer = desk.client.post(f"/api/takeoff/{name}/job", json={"take": [1], "name": "Tray", "material": "S355"})
    job = parse_job(desk.desk.place.job(answer.json()["name"]).read_bytes(), "x")
    assert job.name == "Tray"
    assert [len(piece.shape.table.bends) for piece in job.pieces] == [2]  # type: ignore[union-attr]
    for wrong, key in (
        ({"take": [], "name": "Tray"}, "take"),
        ({"take": [1], "name": " "}, "name"),
    ):
        answer = desk.client.post(f"/api/takeoff/{name}/job", json=wrong)
        assert answer.status_code == 422
        assert [fault["key"] for fault in answer.json()["errors"]] == [key]


def test_what_is_chosen_goes_into_the_open_job(desk: AtDesk) -> None:
    name = sent(desk, "frame.csv", FRAME.encode())
    assert read(desk, name)["state"] == "done"
    before = desk.job()
    ask = {"take": [1, 2], "job": "crate-shelf", "sum": before["sum"], "material": "6082-T6"}
    after = desk.client.post(f"/api/takeoff/{name}/into", json=ask).json()
    assert after["text"].startswith(EXAMPLE)
    pieces = after["data"]["piece"]
    assert len(pieces) == len(before["data"]["piece"]) + 2
    assert list(after["data"]["stock"]) == ["rod", "strap"], "the bar that is there already serves"
    assert len(after["data"]["bender"]) == 3, "a die of 40 was not there"
    assert desk.client.post(f"/api/takeoff/{name}/into", json=ask).status_code == 409


def test_alike_pieces_are_counted_among_those_that_are_chosen(desk: AtDesk) -> None:
    again = "0,0,90,\n300,0,90,40\n300,200,90,40\n0,200,90,\n"
    name = sent(desk, "twice.csv", f"{FRAME}\n{again}".encode())
    told = read(desk, name)
    assert [solid["same_as"] for solid in told["solids"]] == [None, None, 1]
    made = desk.client.post(f"/api/takeoff/{name}/job", json={"take": [1, 3], "name": "Both"}).json()["name"]
    assert [piece.count for piece in parse_job(desk.desk.place.job(made).read_bytes(), "x").pieces] == [2]
    made = desk.client.post(f"/api/takeoff/{name}/job", json={"take": [3], "name": "One"}).json()["name"]
    assert [piece.count for piece in parse_job(desk.desk.place.job(made).read_bytes(), "x").pieces] == [1]


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("a.pdf", b"%PDF-1.7", "a PDF document"),
        ("a.step", b"ISO-10303-21;\nHEADER;", "without its end"),
        ("../../etc/x.csv", b"x,y\n1", "wanted x, y, z"),
        ("a.csv", b"", "a.csv: found an empty file"),
    ],
)
def test_a_file_that_cannot_be_read_is_told(desk: AtDesk, name: str, data: bytes, says: str) -> None:
    told = read(desk, sent(desk, name, data))
    assert told["state"] == "refused"
    assert says in told["errors"][0]["says"]
    assert "/" not in told["file"]


def test_a_radius_that_is_none_is_told_before_anything_is_read(desk: AtDesk, tmp_path: Path) -> None:
    for radius in ("x", "-3"):
        answer = desk.client.post("/api/takeoff", params={"file": "a.csv", "radius": radius}, content=FRAME.encode())
        assert [fault["key"] for fault in answer.json()["errors"]] == ["radius"]
    assert list((tmp_path / "sent").iterdir()) == []


def test_reading_can_be_watched_and_stopped(desk: AtDesk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ended = threading.Event()

    def slowly(path: Path, *, progress: Callable[[Progress], None], **_: object) -> None:
        try:
            for done in range(2000):
                progress(Progress("solids", done, 2000, 0.01 * done))
                time.sleep(0.01)
        finally:
            ended.set()

    monkeypatch.setattr(take_offs, "take_off", slowly)
    name = sent(desk, "big.step", b"anything")
    told = {}
    for _ in range(1500):
        told = desk.client.get(f"/api/takeoff/{name}").json()
        if told["done"] > 2:
            break
        time.sleep(0.02)
    assert told["state"] == "reading"
    assert told["share"] == told["done"] / 2000
    desk.client.delete(f"/api/takeoff/{name}")
    assert ended.wait(30.0)
    assert desk.client.get(f"/api/takeoff/{name}").status_code == 404
    for _ in range(1500):
        if not list((tmp_path / "sent").iterdir()):
            break
        time.sleep(0.02)
    assert list((tmp_path / "sent").iterdir()) == []


def test_what_is_too_large_is_refused(desk: AtDesk) -> None:
    headers = {"content-length": "200000001"}
    answer = desk.client.post("/api/takeoff", params={"file": "a.step"}, content=b"", headers=headers)
    assert answer.status_code == 413
