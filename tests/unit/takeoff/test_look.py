"""The first look at a file: what is none of ours is told what it is."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from bentwork.errors import InputError
from bentwork.takeoff.look import look

WHOLE = b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=CARTESIAN_POINT('',(0.,0.,0.));\nENDSEC;\nEND-ISO-10303-21;\n"


def told(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        look(path)
    (fault,) = caught.value.faults
    assert fault.where and fault.found and fault.wanted
    return f"{fault.found} | {fault.do}"


def test_a_whole_file_passes_whatever_its_name(tmp_path: Path) -> None:
    for name in ("part.step", "part.STP", "part", "part.txt"):
        path = tmp_path / name
        path.write_bytes(WHOLE)
        assert look(path) == "step"


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "an empty file"),
        (b"  \n\r\n", "an empty file"),
        (b"%PDF-1.7 ...", "a PDF document"),
        (b"PK\x03\x04" + b"\0" * 100, "a zip archive"),
        (b"\x1f\x8b\x08", "a gzip archive"),
        (b"solid cart\nfacet", "an STL mesh"),
        (b"glTF\x02", "a glTF mesh"),
        (WHOLE[:-20], "a STEP file without its end"),
        (WHOLE[:60], "a STEP file without its end"),
        (b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n", "a header and no data"),
        (b"ISO-10303-21;\nHEADER;\nENDSEC;\nEND-ISO-10303-21;\n", "a header and no data"),
        (b"x, y, z\n1, 2, 3\n", "does not begin with ISO-10303-21"),
        (os.urandom(500).replace(b"MZ", b"mz"), "a file"),
    ],
)
def test_what_is_no_step_file_is_told(tmp_path: Path, data: bytes, says: str) -> None:
    path = tmp_path / "part.stp"
    path.write_bytes(data)
    assert says in told(path)


def test_a_huge_file_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "huge.step"
    with path.open("wb") as file:
        file.write(WHOLE)
        file.truncate(200_000_000)
    assert "a file of 200 MB" in told(path)


def test_what_is_no_file_is_told(tmp_path: Path) -> None:
    assert "no such file" in told(tmp_path / "missing.step")
    assert "a folder" in told(tmp_path)
    (tmp_path / "x.docx").write_bytes(b"some words")
    assert "ending .docx" in told(tmp_path / "x.docx")
    assert "cannot be read" in told(Path("a\0b.step"))


def test_drawings_and_tables_are_known_by_their_ending(tmp_path: Path) -> None:
    (tmp_path / "a.dxf").write_text("0\nSECTION\n")
    (tmp_path / "a.csv").write_text("0,0,0\n1,0,0\n")
    assert [look(tmp_path / "a.dxf"), look(tmp_path / "a.csv")] == ["dxf", "csv"]
