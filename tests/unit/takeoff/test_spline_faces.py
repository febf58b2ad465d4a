"""Faces that are splines, read in one go and reckoned here, against the kernel asked for points one by one."""

from __future__ import annotations

from collections.abc import Iterator
from struct import pack

import numpy as np
import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Shape

from bentwork.takeoff.kernel import bodies, open_model
from bentwork.takeoff.kernel_faces import asked, shape_of
from bentwork.takeoff.kernel_form import surface_of
from bentwork.takeoff.kernel_whole import written
from bentwork.takeoff.shape import Edge, Shape
from bentwork.takeoff.spline_faces import normals_of
from bentwork.takeoff.volume import volume_of
from tests.takeoff_models.cases import rectangular_cases, round_cases, spline_cases
from tests.takeoff_models.curves import curve_cases
from tests.takeoff_models.files import write_step


def drawn() -> Iterator[tuple[str, TopoDS_Shape]]:
    for name, shape, *_ in (*spline_cases(), *curve_cases()):
        yield name, shape
    for name, shape, *_ in (*list(round_cases())[:4], *list(rectangular_cases())[:4]):
        yield f"{name}, all splines", BRepBuilderAPI_NurbsConvert(shape, True).Shape()


DRAWN = dict(drawn())


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory) -> dict[str, TopoDS_Shape]:
    """The same solids out of a file."""
    path = write_step(tmp_path_factory.mktemp("splines") / "all.step", DRAWN.items())
    return {body.name: body.shape for body in bodies(open_model(path)[0])}


@pytest.mark.parametrize("name", DRAWN)
def test_faces_edges_and_volume_are_as_the_kernel_tells_them_one_by_one(
    name: str, read: dict[str, TopoDS_Shape]
) -> None:
    solid = read[name]
    assert written(solid) is None
    whole = written(solid, splines=True)
    assert whole is not None
    mine, told = shape_of(solid), asked(solid)
    assert mine.closed == told.closed
    if volume_of(whole.faces, whole.edges, whole.splines) is None:  # what is cut out of splines is the kernel's
        assert mine.read_volume() == pytest.approx(told.read_volume(), rel=1e-12)
    else:
        props = GProp_GProps()
        BRepGProp.VolumeProperties_s(solid, props, 1e-9)
        assert mine.read_volume() == pytest.approx(props.Mass(), rel=3e-5)  # the kernel's integral is no better
    for one, other in zip(mine.faces, told.faces, strict=True):
        assert (one.kind, one.edges, one.part_of) == (other.kind, other.edges, other.part_of)
        assert (one.patch is None) == (other.patch is None)
        if one.patch is None or other.patch is None:
            continue
        assert (one.patch.u_knots, one.patch.v_knots) == (other.patch.u_knots, other.patch.v_knots)
        assert one.patch.points == pytest.approx(other.patch.points, abs=1e-9)
        assert one.patch.normals == pytest.approx(other.patch.normals, abs=1e-9)
        for along_u in (True, False):
            dense, theirs = one.patch.finer(along_u, 7), other.patch.finer(along_u, 7)
            assert dense[0] == pytest.approx(theirs[0], abs=1e-9)
            assert dense[1] == pytest.approx(theirs[1], abs=1e-9)
    edges = edges_of(mine), edges_of(told)
    assert len(edges[0]) == len(edges[1])
    for (number, edge), (their_number, theirs_edge) in zip(*edges, strict=True):
        assert (number, edge.kind, edge.knots) == (their_number, theirs_edge.kind, theirs_edge.knots)
        assert edge.points == pytest.approx(theirs_edge.points, abs=1e-9)
        assert (edge.finer is None) == (theirs_edge.finer is None)
        if edge.finer is not None and theirs_edge.finer is not None:
            assert np.hstack(edge.finer(40)) == pytest.approx(np.hstack(theirs_edge.finer(40)), abs=1e-9)


def edges_of(shape: Shape) -> list[tuple[int, Edge]]:
    return sorted(shape.read_edges().each(), key=lambda pair: pair[0])


def surface(times: list[int]) -> bytes:
    """A square of four poles without weights as the kernel writes it, trimmed, its knots counted so often."""
    made = pack("<Bdddd", 10, 0.0, 1.0, 0.0, 1.0) + pack(
        "<B????hhiiii", 9, False, False, False, False, 1, 1, 2, 2, 2, 2
    )
    made += np.array([(0.0, 0.0, 0.0), (0.0, 2.0, 0.0), (3.0, 0.0, 0.0), (3.0, 2.0, 0.0)]).tobytes()
    return made + b"".join(pack("<di", at, count) for at, count in zip((0.0, 1.0, 0.0, 1.0), times, strict=True))


def test_a_surface_that_does_not_end_at_its_poles_is_left_to_the_kernel() -> None:
    read = surface_of(surface([2, 2, 2, 2]))
    assert read is not None
    assert read.degrees == (1, 1)
    assert read.poles[1, 1].tolist() == [3.0, 2.0, 0.0]
    assert read.flat[0] == [0.0, 0.0, 1.0, 1.0]
    assert surface_of(surface([2, 0, 2, 2])) is None


def test_where_a_face_touches_its_axis_its_normal_is_halfway_between_those_beside_it() -> None:
    around = np.linspace(0.0, np.pi, 5)
    du = np.zeros((1, 5, 3, 3))
    du[0, ..., 0], du[0, ..., 1] = -np.sin(around)[:, None], np.cos(around)[:, None]
    du[0, :, 1] = 0.0
    dv = np.zeros((1, 5, 3, 3))
    dv[..., 2] = 1.0
    (normals,) = normals_of(du, dv, np.array([True]))
    assert normals[:, 1] == pytest.approx(normals[:, 0])
    assert normals[:, 0] == pytest.approx(-np.cross(du[0, :, 0], dv[0, :, 0]))
