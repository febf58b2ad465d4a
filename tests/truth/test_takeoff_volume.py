"""The volume that the take-off adds up face by face, against the CAD kernel's integral over the same solid."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import HOME
from bentwork.stock.section import Round
from bentwork.takeoff import kernel_faces
from bentwork.takeoff.kernel_faces import shape_of
from bentwork.takeoff.shape import Edge
from bentwork.takeoff.volume import volume_of
from tests.takeoff_models import cases, solids
from tests.takeoff_models.curves import curve_cases
from tests.takeoff_models.frames import impossible_cases, mitred_cases
from tests.takeoff_models.sweeps import sweep_cases

Cases = Callable[[], Iterator[cases.Case]]
EXACT: tuple[Cases, ...] = (cases.all_cases, mitred_cases, impossible_cases)
FREE: tuple[Cases, ...] = (cases.spline_cases, curve_cases, sweep_cases)


def integral(shape: TopoDS_Shape, eps: float) -> float:
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props, eps)
    return float(props.Mass())


def free_edges(shape: TopoDS_Shape) -> list[Edge]:
    """The edges that are neither lines nor circles."""
    return list(shape_of(shape).read_edges().others.values())


def test_formulas_agree_with_the_kernels_integral(monkeypatch: pytest.MonkeyPatch) -> None:
    answers: list[float | None] = []

    def noted(*solid: object) -> float | None:
        answers.append(volume_of(*solid))  # type: ignore[arg-type]
        return answers[-1]

    monkeypatch.setattr(kernel_faces, "volume_of", noted)
    by_formula = 0
    for build in EXACT:
        for name, shape, _ in build():
            answers.clear()
            volume = shape_of(shape).read_volume()
            if answers and answers[0] is not None:
                by_formula += 1
                # Where bodies cut one another the kernel's curves only come near to both, and are near ours to 1e-7.
                near = 1e-6 if any(len(edge.points) for edge in free_edges(shape)) else 1e-9
                assert volume == pytest.approx(integral(shape, 1e-9), rel=near), name
    # Holes, copes and mitres among them; balls and splines are the kernel's.
    assert by_formula > 110


def test_a_solid_drawn_inside_out_has_less_than_nothing() -> None:
    line = Centreline(BendTable((100.0, 80.0), (Bend(50.0, 70.0),)), HOME)
    shape = solids.swept(line, Round(12.0))
    assert shape_of(shape.Reversed()).read_volume() == pytest.approx(-integral(shape, 1e-9), rel=1e-9)


@pytest.mark.parametrize("build", FREE)
def test_the_error_asked_of_the_kernel_is_kept_where_faces_are_free(build: Cases) -> None:
    for name, shape, _ in build():
        assert shape_of(shape).read_volume() == pytest.approx(integral(shape, 1e-7), rel=1e-4), name
