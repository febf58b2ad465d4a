"""Files that are no job at all: not there, not text, not TOML, too big. Each is told in plain words, and soon."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from bentwork.errors import Fault, InputError
from bentwork.files.job_file import read_job
from tests.unit.files.job_texts import CRATE_SHELF, SMALL, faults, only_fault, swapped


def unread(path: Path) -> Fault:
    with pytest.raises(InputError) as error:
        read_job(path)
    (fault,) = error.value.faults
    return fault


def test_a_file_is_read(tmp_path: Path) -> None:
    path = tmp_path / "Crate.toml"
    path.write_text(SMALL, encoding="utf-8")
    assert read_job(path).name == "Crate"


def test_a_missing_file_has_near_ones(tmp_path: Path) -> None:
    (tmp_path / "crate-shelf.toml").touch()
    (tmp_path / "crate-shelf.txt").touch()
    assert unread(tmp_path / "crate-shef.toml").do == "Did you mean crate-shelf.toml?"
    assert unread(tmp_path / "crate-shelf").do == "Did you mean crate-shelf.toml?"
    assert unread(tmp_path / "xyz.toml").do == "In its folder there is crate-shelf.toml."
    assert "no folder" in unread(tmp_path / "no" / "crate.toml").do
    (tmp_path / "crate-shelf.toml").unlink()
    assert unread(tmp_path / "crate-shelf.toml").do == "There is no .toml file in its folder."


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    (tmp_path / "rack.toml").touch()
    fault = unread(tmp_path)
    assert fault.found == "a folder"
    assert fault.do == "In its folder there is rack.toml."


def test_a_file_that_may_not_be_read(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert unread(tmp_path / "job.toml").found == "a file that you may not read"


def test_names_that_no_file_can_have(tmp_path: Path) -> None:
    assert "cannot be read" in unread(Path("job\0.toml")).found
    assert "cannot be read" in unread(tmp_path / ("x" * 300 + ".toml")).found
    (tmp_path / "file").touch()
    assert "cannot be read" in unread(tmp_path / "file" / "job.toml").found


def test_an_endless_file_ends() -> None:
    assert "5 MB" in unread(Path("/dev/zero")).found


@pytest.mark.parametrize(
    ("raw", "found"),
    [
        (b"", "nothing: it is empty"),
        (b"\xef\xbb\xbf", "nothing: it is empty"),
        (b" \r\n\n", "nothing: it is empty"),
        (b"\x7fELF\x02\x01\x01\0\0\0\0\0\0\0", "a zero byte: this is no text"),
        (b"format = 1\n\0", "a zero byte: this is no text"),
        (SMALL.encode("utf-16"), "text in UTF-16"),
        (SMALL.encode("utf-16-le"), "text in UTF-16"),
        (SMALL.encode("utf-16-be"), "text in UTF-16"),
        (SMALL.encode() + b"#" * 5_000_000, "more than 5 MB"),
    ],
)
def test_what_is_no_text(raw: bytes, found: str) -> None:
    assert only_fault(raw).found == found


def test_another_encoding_is_told_with_its_place() -> None:
    raw = 'format = 1\nname = "Gestell für Kisten"\n'.encode("latin-1")
    fault = only_fault(raw)
    assert (fault.line, fault.where) == (2, "byte 29")
    assert fault.found == 'the byte FC, which is not UTF-8, after "name = "Gestell f"'
    assert "UTF-8" in fault.do


@pytest.mark.parametrize(
    ("text", "line", "wanted"),
    [
        ('format = 1\nname = "Rack\n', 2, "text closed by the quote it began with"),
        ("format = 1\nname = Rack\n", 2, "a value"),
        ("format = 1\nname 3\n", 2, "key = value"),
        ("format = 1\n[stock.rod\n", 2, "a table name closed by its bracket, such as [stock.rod]"),
        ("format = 1\n[piece.a]\npoints = [[0, 0, 0], [1, 2, 3]\ncount = 2\n", 4, "a list closed by ]"),
        ("format = 1\n[piece.a]\npoints = [[0, 0, 0]\n\n\n", 3, "a list closed by ]"),
        ("format = 1\n[bender.a]\ndie = { thickness = 3\n", 3, "a table in braces closed by }"),
        ("format = 1\nname = 'a'\nname = 'b'\n", 3, "every key once in its table"),
        ("format = 1\n[stock.a]\n[stock.b]\n[stock.a]\n", 4, "every table once"),
        ("format = 1\n[stock.a]\nx.y = 1\n[stock.a.x]\n", 4, "every table once"),
        ("format = 1\nx = { a = 1, a = 2 }\n", 2, "every key once in its table"),
        ("format = 1\nx = { a = 1 }\n[x.b]\n", 3, "every table once"),
        ("format = 1\nx = { a = 1 }\nx.b = 2\n", 3, "a table that is written in one place"),
        ("format = 1\n[a.b.c]\nx = 1\n[a]\nb.c.d = 2\n", 5, "a table that is written in one place"),
        ("format = 1\nx = 1\n[x.y]\n", 3, "every key once in its table"),
        ("format = 1\ngröße = 3\n", 2, "key = value"),
        ("format = 1\nx = 2026-02-30\n", 2, "a day that exists"),
        ("format = 1\nx = 'a\x01b'\n", 2, "printable text"),
        ('format = 1\nx = "a\\qb"\n', 2, "text in which \\ is doubled"),
        ('format = 1\nx = """a\n', 2, "text closed by the quote it began with"),
        ("format = 1\r\nx = [1,\r\ny\r\n", 3, "a value"),
    ],
)
def test_what_is_no_toml(text: str, line: int, wanted: str) -> None:
    fault = only_fault(text)
    assert (fault.line, fault.wanted) == (line, wanted)
    assert fault.where.startswith("column ")


def test_the_line_that_is_no_toml_is_shown_around_the_place() -> None:
    assert only_fault("format = 1\n  diameter = twelve # mm\n").found == "diameter = twelve # mm"
    long = only_fault("format = 1\nx = '" + "a" * 500 + "' y = 3\n").found
    assert "' y = 3" in long
    assert len(long) <= 60


def test_a_comma_in_a_number() -> None:
    fault = only_fault("format = 1\n[stock.rod]\ndiameter = 12,5\n")
    assert (fault.line, fault.do) == (3, "Decimals are written with a point: 12.5.")


def test_numbers_longer_than_toml_allows() -> None:
    for digits in ("9" * 19, "-" + "9" * 19, "0x" + "f" * 16, "1" * 5000):
        fault = only_fault(swapped("count = 1", f"count = {digits}"))
        assert (fault.line, fault.found) == (42, "a whole number of more than 18 digits")


@pytest.mark.parametrize(
    "nonsense",
    [
        "x = " + "[" * 4_999_990,
        "x = " + "{a=" * 1_600_000,
        "[" * 5_000_000,
        '"' * 5_000_000,
        "a" * 5_000_000,
        "." * 5_000_000,
        " \t\n" * 1_600_000 + "x",
        ".".join("a" * 2_000_000) + " = 1",
        "x = {" + ".".join("a" * 2_000_000) + " = 1}",
        "[" + ' . "a"' * 800_000 + "]",
        "1" * 5_000_000,
        "x = " + "1" * 4_999_990,
        "x = 0x" + "f" * 4_999_990,
        "x = [" + "1," * 2_400_000 + "]",
        "x = [" + "[]," * 1_600_000 + "]",
        "x = {" + "".join(f"a{n}=1," for n in range(500_000)) + "}",
        "".join(f"a{n} = 1\n" for n in range(400_000)),
        "[[a]]\n" * 800_000,
        'x = "' + "\\n" * 2_400_000 + '"',
        "\\" * 5_000_000,
        "é" * 2_500_000,
        "\x01" * 5_000_000,
        "\r" * 4_999_999 + "x",
    ],
    ids=lambda text: text[:12].replace("\n", " ").replace("\x01", "?").replace("\r", " "),
)
def test_five_megabytes_of_nonsense_are_told_soon(nonsense: str) -> None:
    raw = nonsense.encode()
    assert len(raw) > 1_000_000
    begun = time.process_time()
    assert only_fault_or_two(raw)
    assert time.process_time() - begun < 20.0, "it hangs"  # two seconds at most where nothing else runs


def only_fault_or_two(raw: bytes) -> bool:
    """Nonsense that is TOML lacks a format besides; anything else has one fault."""
    return len(faults(raw)) in (1, 2)


def test_all_zeros_and_all_ones() -> None:
    assert only_fault(b"\0" * 5_000_000).found == "a zero byte: this is no text"
    assert "UTF-8" in only_fault(b"\xff" * 5_000_000).wanted
    assert only_fault(CRATE_SHELF.encode()[:-1] + b"\x80").line == CRATE_SHELF.count("\n")
