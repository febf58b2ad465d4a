"""Solids read from the text of a STEP file, against the same solids as the CAD kernel reads them."""

from __future__ import annotations

import random
import re
from pathlib import Path

import numpy as np
import pytest
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS_Shape

from bentwork.takeoff import kernel, volume
from bentwork.takeoff.face_table import faces_of
from bentwork.takeoff.kernel_faces import shape_of
from bentwork.takeoff.kernel_mend import mended
from bentwork.takeoff.kernel_whole import _Map
from bentwork.takeoff.shape import Face
from bentwork.takeoff.step_parts import solids_in
from bentwork.takeoff.step_solids import plain_solids
from bentwork.takeoff.step_statements import statements_of
from bentwork.takeoff.volume import volume_of, volumes_of
from bentwork.takeoff.written import Written
from tests.takeoff_models import cases
from tests.takeoff_models.files import write_step
from tests.takeoff_models.frames import mitred_cases
from tests.truth.test_takeoff_models import random_part


def plain(text: str) -> list[Written | None]:
    statements = statements_of(text.encode())
    assert statements is not None
    return list(plain_solids(statements, solids_in(statements).shells))


def some_of(*builders: str) -> list[tuple[str, TopoDS_Shape]]:
    return [(name, shape) for builder in builders for name, shape, *_ in getattr(cases, builder)()]


@pytest.fixture(scope="module")
def bars(tmp_path_factory: pytest.TempPathFactory) -> Path:
    chance = random.Random(7)
    made = [*some_of("end_cases", "hole_cases", "slot_cases"), *((f"r{k}", random_part(chance)[0]) for k in range(20))]
    return write_step(tmp_path_factory.mktemp("plain") / "bars.step", made)


@pytest.fixture(scope="module")
def hollow(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Frames and a loop of tube, each a solid with a void, and a bar with three of them."""
    bar = BRepPrimAPI_MakeBox(400.0, 30.0, 30.0).Shape()
    for x in (10.0, 100.0, 200.0):
        bar = BRepAlgoAPI_Cut(bar, BRepPrimAPI_MakeBox(gp_Pnt(x, 5.0, 5.0), 60.0, 20.0, 20.0).Shape()).Shape()
    made = [("three voids", bar), *((name, shape) for name, shape, *_ in mitred_cases())]
    return write_step(tmp_path_factory.mktemp("hollow") / "frames.step", made)


def test_solids_with_voids_are_read_as_the_kernel_reads_them(hollow: Path) -> None:
    text = hollow.read_text()
    assert text.count("BREP_WITH_VOIDS") > 5
    found = plain(text)
    assert len(found) == len(kernel_solids(hollow))
    for body, one in zip(kernel_solids(hollow), found, strict=True):
        assert one is not None, body.name
        known, props = shape_of(body.shape), GProp_GProps()
        BRepGProp.VolumeProperties_s(mended(body.shape), props, 1e-6)
        assert volume_of(one.faces, one.edges) == pytest.approx(float(props.Mass()), rel=2e-5), body.name
        mine, theirs = (sorted(map(facing, faces)) for faces in (faces_of(one.faces), known.faces))
        assert np.array(mine) == pytest.approx(np.array(theirs), abs=1e-6), body.name
    assert found[0] is not None
    assert found[0].shells == 4
    assert volume_of(found[0].faces, found[0].edges) == pytest.approx(400.0 * 30.0**2 - 3 * 60.0 * 20.0**2)


def test_volumes_reckoned_together_are_those_of_each_by_itself(
    bars: Path, hollow: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    solids = [(one.faces, one.edges) for path in (bars, hollow) for one in plain(path.read_text()) if one is not None]
    # Of one the edges do not bear out the formulas: what stands beside it is none the worse.
    faces, edges = solids[3]
    spoilt = faces._replace(rows=faces.rows * np.where(np.arange(19) == 12, 1.5, 1.0))
    some = [*solids[:3], (spoilt, edges), *solids[4:]]
    alone = [volume_of(*solid) for solid in some]
    assert [k for k, size in enumerate(alone) if size is None] == [3]
    assert volumes_of(some) == alone
    assert len(some) > 60
    monkeypatch.setattr(volume, "FACES_AT_ONCE", 100)
    assert volumes_of(some) == alone
    assert volumes_of([]) == []


def facing(face: Face) -> tuple[float, ...]:
    """What tells a face from others, and which side of it the metal is on."""
    return (*np.round((*face.origin, *face.axis, face.radius), 6).tolist(), float(face.outward))


def test_a_void_that_is_not_turned_inside_out_is_left_to_the_kernel(hollow: Path) -> None:
    right = hollow.read_text()
    wrong = re.sub(r"(ORIENTED_CLOSED_SHELL\([^;]*),\.F\.\)", r"\1,.T.)", right)
    assert wrong != right
    with_void = [one is not None and one.shells > 1 for one in plain(right)]
    assert [one is None for one in plain(wrong)] == with_void


def kernel_solids(path: Path) -> list[kernel.Body]:
    reader, _ = kernel.open_model(path)
    return [body for body in kernel.bodies(reader) if body.kind == "solid"]


def test_bars_are_read_as_the_kernel_reads_them(bars: Path) -> None:
    found = plain(bars.read_text())
    solids = kernel_solids(bars)
    assert len(solids) == len(found)
    told = 0
    for body, one in zip(solids, found, strict=True):
        if one is None:
            continue
        told += 1
        edges, known = _Map(), shape_of(body.shape)
        TopExp.MapShapes_s(body.shape, TopAbs_ShapeEnum.TopAbs_EDGE, edges)
        assert (one.edges.count, len(one.faces.kinds)) == (edges.Extent(), len(known.faces)), body.name
        assert one.right
        volume, props = volume_of(one.faces, one.edges), GProp_GProps()
        BRepGProp.VolumeProperties_s(mended(body.shape), props, 1e-6)
        assert volume == pytest.approx(float(props.Mass()), rel=2e-5), body.name
        for row, kind, face in zip(one.faces.rows, one.faces.kinds.tolist(), known.faces, strict=True):
            assert row[:6] == pytest.approx((*face.origin, *face.axis), abs=1e-9), body.name
            assert (row[18] > 0.0) == face.outward or kind == 1
            if kind != 1:
                assert row[17] - row[16] == pytest.approx(face.v[1] - face.v[0], abs=1e-4), body.name
                assert row[15] - row[14] == pytest.approx(face.u[1] - face.u[0], abs=1e-6), body.name
    assert told > 0.9 * len(found), "these are what it is for"


def test_edges_that_are_curves_run_as_the_kernel_says(bars: Path) -> None:
    found = plain(bars.read_text())
    reader, _ = kernel.open_model(bars)
    solids = [body for body in kernel.bodies(reader) if body.kind == "solid"]
    seen = 0
    for body, one in zip(solids, found, strict=True):
        known = shape_of(body.shape).read_edges().others
        for number, edge in one.edges.others.items() if one else ():
            other = known[number]
            assert edge.points[[0, -1]] == pytest.approx(other.points[[0, -1]], abs=1e-6), body.name
            if len(edge.points) != len(other.points):
                continue  # an eighth of a turn of an ellipse and a hair more
            assert np.abs(edge.points - other.points).max() < 1e-6, body.name
            assert edge.finer is not None
            assert other.finer is not None
            for mine, its in zip(edge.finer(60), other.finer(60), strict=True):
                assert np.abs(mine - its).max() < 1e-5, body.name
            seen += 1
    assert seen > 100


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        (r"SI_UNIT\(\.MILLI\.,\.METRE\.\)", "SI_UNIT(.SMALL.,.METRE.)"),
        (r"LENGTH_UNIT\(\)", "LENGTH_OF_SOMETHING()"),
        (r"SI_UNIT\(\$,\.RADIAN\.\)", "SI_UNIT($,.GRADE.)"),
        (r"ADVANCED_FACE\(([^;]*),\.T\.\);", r"ADVANCED_FACE(\1,$);"),
        (r"FACE_BOUND\(([^;]*),\.[TF]\.\);", r"FACE_BOUND(\1);"),
        (r"EDGE_CURVE\(([^;]*),\.T\.\);", r"EDGE_CURVE(\1,.F.);"),
        (r"DIRECTION\('',\([^;]*\)\);", "DIRECTION('',(0.,0.,0.));"),
        (r"DIRECTION\('',\([^;]*\)\);", "DIRECTION('',(0.,1.));"),
        (r"CARTESIAN_POINT\('',\([^;]*\)\);", "CARTESIAN_POINT('',(one,two,three));"),
        (r"AXIS2_PLACEMENT_3D\('',(#\d+),[^;]*\);", r"AXIS2_PLACEMENT_3D('',\1,$,$);"),
        (r"(CYLINDRICAL_SURFACE\('',#\d+,)[\d.]+\)", r"\g<1>77.)"),
        (r"(TOROIDAL_SURFACE\('',#\d+,)[\d.]+,([\d.]+)\)", r"\g<1>\2,\2)"),
        (r"= EDGE_LOOP", "= POLY_LOOP"),
        (r"= PLANE", "= OFFSET_SURFACE"),
        (r"= VERTEX_POINT", "= VERTEX"),
        (r"= ORIENTED_EDGE\('',\*,\*,", "= ORIENTED_EDGE('',#1,#1,"),
    ],
)
def test_what_is_not_plain_is_left_to_the_kernel(tmp_path: Path, wrong: str, right: str) -> None:
    text = write_step(tmp_path / "a.step", some_of("end_cases")[:1]).read_text()
    (bar,) = plain(text)
    assert bar is not None
    other = re.sub(wrong, right, text)
    assert other != text
    assert plain(other) == [None]


def test_blanks_and_breaks_of_lines_do_not_matter(tmp_path: Path) -> None:
    text = write_step(tmp_path / "a.step", [("bar", random_part(random.Random(3))[0])]).read_text()
    head, data = text.split("DATA;")
    (bar,), (other,), (packed,) = (
        plain(head + "DATA;" + some)
        for some in (
            data,
            data.replace(",", " ,\n ").replace(")", " )"),
            re.sub(r"\s+", "", data),
        )
    )
    assert bar is not None
    assert other is not None
    assert packed is not None
    assert np.array_equal(bar.faces.rows, other.faces.rows)
    assert np.array_equal(bar.faces.rows, packed.faces.rows)


@pytest.mark.parametrize("unit", ["INCH", "M", "CM"])
def test_other_units(tmp_path: Path, unit: str) -> None:
    made = some_of("end_cases")
    wanted, found = (plain(write_step(tmp_path / f"{k}.step", made, k).read_text()) for k in ("MM", unit))
    assert [one is None for one in found] == [one is None for one in wanted]
    for one, other in zip(found, wanted, strict=True):
        if one is not None and other is not None:
            assert volume_of(one.faces, one.edges) == pytest.approx(volume_of(other.faces, other.edges), rel=1e-7)
            assert one.faces.rows == pytest.approx(other.faces.rows, abs=1e-6)


def test_one_odd_solid_does_not_keep_the_others_from_being_read(tmp_path: Path) -> None:
    chance = random.Random(5)
    text = write_step(tmp_path / "a.step", [(f"bar {k}", random_part(chance)[0]) for k in range(4)]).read_text()
    starts = [match.start() for match in re.finditer("MANIFOLD_SOLID_BREP", text)]
    second = text[starts[1] : starts[2]].replace("= PLANE", "= OFFSET_SURFACE", 1)
    found = plain(text[: starts[1]] + second + text[starts[2] :])
    assert [one is None for one in found] == [False, True, False, False]
