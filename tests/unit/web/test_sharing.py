"""Letting a phone in: only when told to, only with the right word, only once, and only to the bench."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
import segno
from starlette.testclient import TestClient

from bentwork.errors import InputError
from bentwork.web import sharing as sharing_module
from bentwork.web.access import Access
from bentwork.web.app import guarded
from bentwork.web.lan import is_local
from bentwork.web.sharing import MOST_TRIES, WORD_LASTS, Sharing
from tests.desk import PORT, AtDesk, at_desk

HOME = "192.168.7.20"
TO = "/bench/crate-shelf"


class Doors:
    """Doors that only remember what was asked of them."""

    def __init__(self) -> None:
        self.said: list[str] = []

    def open(self, address: str) -> int:
        self.said.append(f"open {address}")
        return 2368

    def close(self, address: str) -> None:
        self.said.append(f"close {address}")


@pytest.fixture(autouse=True)
def _at_home(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sharing_module, "addresses", lambda: [HOME, "10.0.0.4"])
    monkeypatch.setattr("bentwork.web.routes.sharing.addresses", lambda: [HOME, "10.0.0.4"])


def shared(folder: Path) -> tuple[AtDesk, str]:
    """A desk that shares, and the word that lets one device in."""
    desk = at_desk(folder)
    desk.desk.sharing.doors = Doors()
    answer = desk.client.post("/api/sharing/start", json={"address": HOME, "to": TO})
    assert answer.status_code == 200, answer.text
    return desk, re.fullmatch(rf"http://{HOME}:2368/pair\?word=([\w-]+)", answer.json()["pairing"]["address"])[1]  # type: ignore[index]


def phone_of(desk: AtDesk) -> TestClient:
    """A client that comes in by the door in the network."""
    return TestClient(
        guarded(desk.desk), base_url=f"http://{HOME}:2368", raise_server_exceptions=False, follow_redirects=False
    )


def test_the_word_lets_one_device_in_once_and_to_the_bench_alone(tmp_path: Path) -> None:
    desk, word = shared(tmp_path)
    phone = phone_of(desk)
    answer = phone.get(f"/pair?word={word}")
    assert (answer.status_code, answer.headers["location"]) == (303, TO)
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert phone.get("/api/bench/crate-shelf/bars").status_code == 200
    for path in ("/", "/api/jobs", "/api/sharing", "/job/crate-shelf"):
        assert phone.get(path).status_code == 403
    again = phone_of(desk).get(f"/pair?word={word}")
    assert again.status_code == 401
    assert "used up or too old" in again.text
    assert "set-cookie" not in again.headers


def test_without_a_session_the_door_in_the_network_tells_nothing(tmp_path: Path) -> None:
    desk, _ = shared(tmp_path)
    for path in ("/bench/crate-shelf", "/api/bench/crate-shelf/bars", "/assets/x.js", "/"):
        answer = phone_of(desk).get(path)
        assert answer.status_code == 401
        assert "scan a new code" in answer.text


def test_the_desk_is_not_let_in_from_the_network_not_even_with_its_own_word(tmp_path: Path) -> None:
    desk, _ = shared(tmp_path)
    phone, access = phone_of(desk), desk.desk.access
    assert phone.get(f"/enter?word={access.word}").status_code == 403
    phone.cookies.set(access.cookie, access.new_session("desk"))
    for path in ("/", "/api/jobs", "/api/bench/crate-shelf/bars"):
        assert phone.get(path).status_code == 403


def test_a_host_that_is_made_up_does_not_change_the_door(tmp_path: Path) -> None:
    desk, word = shared(tmp_path)
    for host in (f"127.0.0.1:{PORT}", f"localhost:{PORT}", "evil.example"):
        assert phone_of(desk).get(f"/pair?word={word}", headers={"host": host}).status_code == 421
    assert desk.client.get("/api/jobs", headers={"host": f"{HOME}:2368"}).status_code == 421
    assert phone_of(desk).get(f"/pair?word={word}").status_code == 303


def test_a_phone_keeps_to_the_origin_too(tmp_path: Path) -> None:
    desk, word = shared(tmp_path)
    phone = phone_of(desk)
    phone.get(f"/pair?word={word}")
    for origin in ("http://evil.example", f"http://127.0.0.1:{PORT}", "null"):
        answer = phone.post("/api/bench/crate-shelf/log", json={}, headers={"origin": origin})
        assert answer.status_code == 403


def test_wrong_words_are_counted_and_at_last_the_right_one_is_withdrawn(tmp_path: Path) -> None:
    desk, word = shared(tmp_path)
    for number in range(MOST_TRIES - 1):
        assert phone_of(desk).get(f"/pair?word={word[:-1]}{number}").status_code == 401
    assert desk.client.get("/api/sharing").json()["wrong_words"] == MOST_TRIES - 1
    assert desk.desk.sharing.pairing() is not None
    assert phone_of(desk).get("/pair?word=ünïcödé").status_code == 401
    assert phone_of(desk).get(f"/pair?word={word}").status_code == 401
    assert desk.client.get("/api/sharing").json()["pairing"] is None


def test_a_word_is_good_for_five_minutes_and_the_newest_alone() -> None:
    now = [100.0]
    sharing = Sharing(Access(PORT), lambda: now[0])
    sharing.doors = Doors()
    sharing.start(HOME)
    first, second = sharing.new_word(TO), sharing.new_word(TO)
    assert len(first.word) * 6 >= 128  # letters of base 64: far more than the 80 bits that cannot be guessed
    assert sharing.pair(first.word, "phone", "192.168.7.30") is None
    now[0] += WORD_LASTS
    assert sharing.pair(second.word, "phone", "192.168.7.30") is None
    third = sharing.new_word(TO)
    now[0] += WORD_LASTS - 0.1
    assert sharing.pair(third.word, "phone", "192.168.7.30") is not None


def test_stopping_closes_the_door_and_ends_every_session_of_a_phone(tmp_path: Path) -> None:
    desk, word = shared(tmp_path)
    phone = phone_of(desk)
    phone.get(f"/pair?word={word}")
    answer = desk.client.post("/api/sharing/stop")
    assert (answer.json()["on"], answer.json()["devices"]) == (False, [])
    assert desk.desk.sharing.doors.said == [f"open {HOME}", f"close {HOME}"]  # type: ignore[union-attr]
    assert phone.get("/api/bench/crate-shelf/bars").status_code == 421
    assert set(desk.desk.access.sessions.values()) == {"desk"}
    assert desk.client.get("/api/jobs").status_code == 200
    desk.client.post("/api/sharing/start", json={"address": HOME, "to": TO})
    assert phone.get("/api/bench/crate-shelf/bars").status_code == 401


def test_one_device_is_sent_away_and_the_others_stay(tmp_path: Path) -> None:
    desk, word = shared(tmp_path)
    first, second = phone_of(desk), phone_of(desk)
    first.get(f"/pair?word={word}", headers={"user-agent": "Mozilla/5.0 (Linux; Android 14) Mobile"})
    word = desk.client.post("/api/sharing/word", json={"to": TO}).json()["pairing"]["address"].split("=")[1]
    second.get(f"/pair?word={word}", headers={"user-agent": "<script>alert(1)</script>"})
    devices = desk.client.get("/api/sharing").json()["devices"]
    assert [device["says"] for device in devices] == ["Android", "computer"]
    desk.client.post(f"/api/sharing/devices/{devices[0]['number']}/send-away")
    assert first.get("/api/bench/crate-shelf/bars").status_code == 401
    assert second.get("/api/bench/crate-shelf/bars").status_code == 200


@pytest.mark.parametrize(
    "asked",
    [
        {"address": "0.0.0.0", "to": TO},
        {"address": "8.8.8.8", "to": TO},
        {"address": HOME, "to": "//evil.example"},
        {"address": HOME, "to": "/bench/../api/jobs?x"},
        {"address": HOME, "to": "/job/crate-shelf"},
        {"address": HOME},
    ],
)
def test_only_own_addresses_are_shared_and_only_the_bench_is_shown(tmp_path: Path, asked: dict[str, str]) -> None:
    desk = at_desk(tmp_path)
    desk.desk.sharing.doors = Doors()
    assert desk.client.post("/api/sharing/start", json=asked).status_code == 422
    assert not desk.client.get("/api/sharing").json()["on"]
    assert desk.desk.access.shared == set()


def test_no_word_is_given_out_while_nothing_is_shared(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    assert desk.client.post("/api/sharing/word", json={"to": TO}).status_code == 422
    with pytest.raises(InputError):
        desk.desk.sharing.new_word(TO)
    assert desk.client.get("/pair?word=").status_code == 401


def test_the_code_is_the_one_of_the_address(tmp_path: Path) -> None:
    """Drawn back into squares it is what segno makes of the address, in a quiet zone of 4 (ISO/IEC 18004)."""
    desk, _ = shared(tmp_path)
    told = desk.client.get("/api/sharing").json()["pairing"]
    drawn = np.zeros((told["size"], told["size"]), dtype=np.uint8)
    assert re.fullmatch(r"(M\d+ \d+h\d+v1h-\d+z)+", told["path"])
    for x, y, width in re.findall(r"M(\d+) (\d+)h(\d+)", told["path"]):
        drawn[int(y), int(x) : int(x) + int(width)] = 1
    matrix = np.array([list(row) for row in segno.make(told["address"], error="m", micro=False).matrix])
    assert (drawn[4:-4, 4:-4] == matrix).all()
    assert drawn.sum() == matrix.sum()


@pytest.mark.parametrize(
    ("address", "local"),
    [
        ("192.168.1.5", True),  # RFC 1918
        ("10.1.2.3", True),
        ("172.31.0.1", True),
        ("100.64.0.9", True),  # RFC 6598
        ("172.32.0.1", False),
        ("8.8.8.8", False),
        ("127.0.0.1", False),
        ("169.254.3.4", False),  # RFC 3927: nobody gave it an address
        ("0.0.0.0", False),
        ("home", False),
    ],
)
def test_which_addresses_are_of_a_private_network(address: str, local: bool) -> None:
    assert is_local(address) == local
