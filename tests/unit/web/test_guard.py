"""Attacks on the server: what another page, another name, another machine or a wrong request can try."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from bentwork.web import guard
from bentwork.web.access import Access
from tests.desk import ADDRESS, EXAMPLE, PORT, at_desk, client_of

CHANGE = {"sum": "x", "changes": [{"path": ["name"], "value": "X"}]}


@pytest.fixture
def inside(tmp_path: Path) -> TestClient:
    return at_desk(tmp_path).client


@pytest.mark.parametrize("path", ["/", "/job/crate-shelf", "/api/jobs", "/api/jobs/crate-shelf", "/assets/x.js"])
def test_without_a_session_nothing_is_told(tmp_path: Path, path: str) -> None:
    answer = client_of(at_desk(tmp_path).desk, None).get(path)
    assert answer.status_code == 401
    assert "crate" not in answer.text.lower()


@pytest.mark.parametrize(
    "host", ["evil.example", f"evil.example:{PORT}", "127.0.0.1", "127.0.0.1:80", f"127.0.0.1.evil.example:{PORT}", ""]
)
def test_a_name_that_was_bent_to_point_here_gets_nothing(inside: TestClient, host: str) -> None:
    assert inside.get("/api/jobs", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("origin", ["http://evil.example", "null", f"https://127.0.0.1:{PORT}", "http://127.0.0.1:1"])
@pytest.mark.parametrize("method", ["GET", "POST", "PUT", "DELETE", "OPTIONS"])
def test_another_page_gets_nothing_and_changes_nothing(tmp_path: Path, origin: str, method: str) -> None:
    desk = at_desk(tmp_path)
    answer = desk.client.request(method, "/api/jobs/crate-shelf/changes", json=CHANGE, headers={"origin": origin})
    assert answer.status_code == 403
    assert "access-control-allow-origin" not in answer.headers
    assert desk.desk.place.job("crate-shelf").read_text() == EXAMPLE


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_what_the_browser_says_of_the_asking_page_counts(inside: TestClient, site: str) -> None:
    assert inside.get("/api/jobs", headers={"sec-fetch-site": site}).status_code == 403
    assert inside.get("/", headers={"sec-fetch-site": site, "sec-fetch-mode": "navigate"}).status_code == 403


def test_its_own_page_is_answered(inside: TestClient) -> None:
    headers = {"origin": ADDRESS, "sec-fetch-site": "same-origin"}
    assert inside.get("/api/jobs", headers=headers).status_code == 200


@pytest.mark.parametrize(
    "name",
    ["..%2f..%2fetc%2fpasswd", "%2e%2e", "..", "a%2fb", "a%5cb", "%00", ".hidden", "con", "x" * 200, "a%0ab", "%20a"],
)
@pytest.mark.parametrize("rest", ["", "/sum"])
def test_no_name_leads_out_of_the_folder(inside: TestClient, name: str, rest: str) -> None:
    answer = inside.get(f"/api/jobs/{name}{rest}")
    assert answer.status_code in (404, 422)
    assert "root:" not in answer.text
    assert inside.put(f"/api/jobs/{name}/text", json={"sum": "", "text": EXAMPLE}).status_code in (404, 405, 422)


@pytest.mark.parametrize(
    "path", ["/assets/..%2f..%2fapp.py", "/assets/%2e%2e/app.py", "/fonts/OFL.txt", "/fonts/..%2fx.ttf"]
)
def test_no_file_but_the_page_s_own_is_handed_out(inside: TestClient, path: str) -> None:
    assert inside.get(path).status_code == 404


def test_a_link_in_the_folder_leads_to_no_other_name(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    (tmp_path / "secret.txt").write_text("the key of the shed")
    (desk.desk.place.jobs / "notes.txt").write_text("not a job")
    assert [row["name"] for row in desk.client.get("/api/jobs").json()] == ["crate-shelf"]
    assert desk.client.get("/api/jobs/notes.txt").status_code == 422


def test_a_body_that_is_too_large_is_not_read(inside: TestClient) -> None:
    big = {"content-length": str(guard.MOST_BYTES + 1), "content-type": "application/json"}
    assert inside.post("/api/jobs/crate-shelf/changes", content=b"{}", headers=big).status_code == 413
    for wrong in ("-1", "1e3", "x", "+5"):
        answer = inside.post("/api/jobs/crate-shelf/changes", content=b"{}", headers={"content-length": wrong})
        assert answer.status_code == 413


def test_a_body_that_does_not_say_how_large_it_is_is_counted(
    inside: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(guard, "MOST_BYTES", 1000)
    parts = (b"x" * 300 for _ in range(100))
    assert inside.put("/api/jobs/crate-shelf/text", content=parts).status_code == 413


@pytest.mark.parametrize(
    "content", [b"", b"[", b"\xff\xfe", b"[" * 100_000, b'{"sum": NaN}', b'{"sum": 1, "text": []}']
)
def test_nonsense_is_refused_in_our_own_shape(inside: TestClient, content: bytes) -> None:
    answer = inside.put("/api/jobs/crate-shelf/text", content=content, headers={"content-type": "application/json"})
    assert answer.status_code in (400, 422)  # 400: brackets so deep that they are not even read
    assert answer.json()["errors"][0]["says"]
    assert "Traceback" not in answer.text


def test_every_answer_carries_the_headers(inside: TestClient) -> None:
    for path in ("/", "/api/jobs", "/nothing", "/api/nothing", "/api/jobs/none"):
        headers = inside.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "http" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert "access-control-allow-origin" not in headers
    assert inside.get("/api/jobs").headers["cache-control"] == "no-store"


def test_the_word_lets_in_and_a_wrong_one_does_not(tmp_path: Path) -> None:
    desk = at_desk(tmp_path).desk
    stranger = client_of(desk, None)
    for word in ("", "x", desk.access.word[:-1], desk.access.word + "x", "ä"):
        assert stranger.get("/enter", params={"word": word}).status_code == 401
    let_in = stranger.get("/enter", params={"word": desk.access.word})
    assert let_in.status_code == 303
    assert let_in.headers["location"] == "/"
    cookie = let_in.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert stranger.get("/api/jobs").status_code == 200


@pytest.mark.parametrize(
    "to", ["//evil.example", "http://evil.example", "/\\evil.example", "javascript:alert(1)", "/a\nb"]
)
def test_the_way_in_leads_nowhere_else(tmp_path: Path, to: str) -> None:
    desk = at_desk(tmp_path).desk
    answer = client_of(desk, None).get("/enter", params={"word": desk.access.word, "to": to})
    assert answer.headers["location"] == "/"


def test_a_phone_sees_the_bench_only(tmp_path: Path) -> None:
    phone = client_of(at_desk(tmp_path).desk, "bench")
    for path in ("/api/jobs", "/api/jobs/crate-shelf", "/", "/job/crate-shelf", "/api/meshes/x", "/bench/../api/jobs"):
        assert phone.get(path).status_code == 403, path
    assert phone.put("/api/jobs/crate-shelf/text", json={"sum": "", "text": ""}).status_code == 403


def test_names_are_handed_on_as_text_never_as_markup(tmp_path: Path) -> None:
    bad = "<img src=x onerror=alert(1)>"
    titled = EXAMPLE.replace("Crate shelf for a hand cart", bad)
    named = EXAMPLE.replace("[piece.loop]", f'[piece."{bad}"]')
    desk = at_desk(tmp_path, {"titled": titled, "named": named})
    for path, status in (("/api/jobs/titled", 200), ("/api/jobs/named", 422), ("/api/jobs", 200)):
        answer = desk.client.get(path)
        assert answer.status_code == status
        assert answer.headers["content-type"] == "application/json"
    assert desk.job("titled")["title"] == bad


def test_sessions_and_words_cannot_be_guessed() -> None:
    some = [Access(PORT) for _ in range(50)]
    assert len({one.word for one in some}) == 50
    assert all(len(one.word) >= 32 for one in some)
    assert all(len(one.new_session("desk")) >= 40 for one in some)


def test_other_methods_and_sockets_get_nothing(inside: TestClient) -> None:
    assert inside.delete("/api/jobs").status_code == 405
    assert inside.request("TRACE", "/api/jobs").status_code == 405
    assert inside.request("OPTIONS", "/api/jobs").status_code == 405
