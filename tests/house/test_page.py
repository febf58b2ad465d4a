"""The page is built from its sources, its types from the server, and it stays light."""

from __future__ import annotations

import gzip
import subprocess
from pathlib import Path

import pytest

import build_page
from bentwork.web.openapi import description

PAGE = build_page.PAGE
MOST_WEIGHT = 400_000  # bytes over the wire, compressed
MOST_LINES = 300


def test_the_page_that_is_there_is_built_from_its_sources() -> None:
    assert build_page.is_fresh(), "python build_page.py builds it"


def test_the_description_of_the_server_is_the_one_that_types_are_made_from() -> None:
    told = (PAGE / "openapi.json").read_text(encoding="utf-8")
    assert told == description(), "python -m bentwork.web.openapi page/openapi.json, then npm run client in page/"


def test_the_types_are_made_from_the_description(tmp_path: Path) -> None:
    made = tmp_path / "api.gen.ts"
    build_page.fetch_packages()
    build_page.npm("exec", "--", "openapi-typescript", "openapi.json", "--output", str(made))
    assert made.read_text(encoding="utf-8") == (PAGE / "src" / "api.gen.ts").read_text(encoding="utf-8")


def test_the_page_is_light() -> None:
    files = [path for path in build_page.STATIC.rglob("*") if path.is_file() and path.suffix != ".txt"]
    fonts = (build_page.ROOT / "src/bentwork/data/fonts").glob("*.ttf")
    weight = sum(len(gzip.compress(path.read_bytes())) for path in (*files, *fonts))
    assert len(files) >= 3
    assert weight < MOST_WEIGHT


def test_nothing_stands_in_the_document_that_the_content_policy_forbids() -> None:
    document = (build_page.STATIC / "index.html").read_text(encoding="utf-8")
    for forbidden in ("<style", "style=", "onclick", "javascript:", "<script>", "http://", "https://"):
        assert forbidden not in document


def test_no_file_of_the_page_is_too_long() -> None:
    files = [path for path in (PAGE / "src").rglob("*.ts*") if path.name != "api.gen.ts"]
    assert len(files) > 10
    assert [path.name for path in files if len(path.read_text(encoding="utf-8").splitlines()) > MOST_LINES] == []


def test_a_change_of_the_sources_is_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "src").mkdir()
    (tmp_path / "node_modules").mkdir()
    (tmp_path / "src" / "main.ts").write_bytes(b"one\n")
    monkeypatch.setattr(build_page, "PAGE", tmp_path)
    before = build_page.sum_of_sources()
    (tmp_path / "node_modules" / "x.js").write_text("x")
    assert build_page.sum_of_sources() == before
    (tmp_path / "src" / "main.ts").write_bytes(b"one\r\n")
    assert build_page.sum_of_sources() == before
    (tmp_path / "src" / "main.ts").write_bytes(b"two\n")
    assert build_page.sum_of_sources() != before


def test_a_build_that_fails_leaves_the_page_that_was_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "static").mkdir()
    (tmp_path / "static" / "index.html").write_text("old")

    def fail(*words: str) -> None:
        raise subprocess.CalledProcessError(1, words)

    monkeypatch.setattr(build_page, "STATIC", tmp_path / "static")
    monkeypatch.setattr(build_page, "fetch_packages", lambda: None)
    monkeypatch.setattr(build_page, "npm", fail)
    with pytest.raises(subprocess.CalledProcessError):
        build_page.build()
    assert (tmp_path / "static" / "index.html").read_text() == "old"
