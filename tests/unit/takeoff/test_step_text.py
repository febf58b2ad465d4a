"""What stands in a STEP file beside what its readers know: comments, marks, solids of other kinds."""

from __future__ import annotations

from pathlib import Path

import pytest

from bentwork.takeoff.step_mirrored import mirrored_places
from bentwork.takeoff.step_text import tidied, tidy
from bentwork.takeoff.step_unread import unread_solids
from bentwork.takeoff.take import take_off
from tests.takeoff_models import cases, solids
from tests.takeoff_models.files import write_step


@pytest.fixture(scope="module")
def model(tmp_path_factory: pytest.TempPathFactory) -> Path:
    drawn = solids.swept(cases.line_of(cases.L), cases.ROD)
    plain = solids.cylinder((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), 6.0, 300.0)
    return write_step(tmp_path_factory.mktemp("text") / "two.step", [("hook /* or */ so", drawn), ("rod", plain)])


def changed(model: Path, tmp_path: Path, old: bytes, new: bytes, count: int = -1) -> Path:
    text = model.read_bytes()
    assert old in text
    path = tmp_path / "changed.step"
    path.write_bytes(text.replace(old, new, count))
    return path


def test_a_mark_and_comments_go_and_names_stay() -> None:
    assert tidy(b"\xef\xbb\xbfISO;/* a; #1 = */ #1=X('/* it''s */');") == b"ISO;  #1=X('/* it''s */');"


def test_a_file_without_them_is_read_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "a.step"
    path.write_bytes(b"ISO-10303-21;")
    assert tidied(path) == path


def test_a_file_with_a_mark_and_comments_everywhere_is_read_as_without(model: Path, tmp_path: Path) -> None:
    path = changed(model, tmp_path, b" = ", b" /* ; #7 = BLOCK(''); */ = ")
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    result = take_off(path)
    assert [solid.kind for solid in result.solids] == ["piece", "piece"]
    assert [solid.bars for solid in result.solids] == [solid.bars for solid in take_off(model).solids]
    assert result.solids[0].name == "hook /* or */ so"


@pytest.mark.parametrize(
    "kind", ["BLOCK", "SWEPT_DISK_SOLID", "EXTRUDED_AREA_SOLID", "CSG_SOLID", "TESSELLATED_SOLID", "OUR_SOLID_BREP"]
)
def test_a_solid_that_nobody_reads_is_told(model: Path, tmp_path: Path, kind: str) -> None:
    """Subtypes of solid_model in ISO 10303-42, from memory; and one that nobody knows."""
    path = changed(model, tmp_path, b"MANIFOLD_SOLID_BREP", kind.encode(), 1)
    result = take_off(path)
    assert {solid.kind for solid in result.solids[1:]} == {"other"}
    assert f"is a {kind}, which is not read" in (result.solids[-1].reason or "")


def test_a_solid_that_the_file_names_and_has_not_is_told(model: Path, tmp_path: Path) -> None:
    line = next(one for one in model.read_bytes().split(b"\n") if b"MANIFOLD_SOLID_BREP" in one)
    path = changed(model, tmp_path, line, b"")
    result = take_off(path)
    assert [solid.kind for solid in result.solids] == ["piece", "other"]
    assert "which the file does not have" in (result.solids[1].reason or "")


def test_of_whole_models_nothing_is_told(model: Path) -> None:
    assert unread_solids(model) == []


AXES = (
    b"#9001=DIRECTION('',(1.,0.,0.));#9002=DIRECTION('',(0.,1.,0.));#9003=DIRECTION('',(0.,0.,1.));"
    b"#9004 = DIRECTION ( '' , ( 0. , 0. , -1. ) );#9005=DIRECTION('',(0.,-1.));"
)


@pytest.mark.parametrize(
    ("axes", "wanted"),
    [
        (b"#9001,#9002,#9000,1.,#9003", 0),
        (b"#9001,#9002,#9000,1.,#9004", 1),
        (b"#9002,#9001,#9000,1.,#9003", 1),
        (b"#9002,#9001,#9000,$,$", 1),
        (b"$,$,#9000,1.,#9004", 0),
        (b"#9001,#9005,#9000,1.,#9004", 0),
        (b"", 0),
    ],
)
def test_places_that_mirror_are_told(model: Path, tmp_path: Path, axes: bytes, wanted: int) -> None:
    """ISO 10303-42, from memory: axes that are left-handed mirror; the third is z where it is left out."""
    operator = b"#9006=CARTESIAN_TRANSFORMATION_OPERATOR_3D('','',$," + axes + b");"
    path = changed(model, tmp_path, b"ENDSEC;\nEND-ISO", AXES + operator + b"\nENDSEC;\nEND-ISO", 1)
    assert mirrored_places(path) == wanted
    notes = " ".join(take_off(path).notes)
    assert (f"that mirror: {wanted}." in notes) == bool(wanted)
