"""The volume that the take-off adds up face by face, against the CAD kernel's integral over the same solid."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Shape

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import HOME
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.takeoff import kernel_faces, spline_fluxes
from bentwork.takeoff.kernel import bodies, open_model
from bentwork.takeoff.kernel_faces import shape_of
from bentwork.takeoff.kernel_whole import written
from bentwork.takeoff.shape import Edge
from bentwork.takeoff.volume import volume_of
from tests.takeoff_models import cases, solids
from tests.takeoff_models.curves import curve_cases, one_curve
from tests.takeoff_models.files import write_step
from tests.takeoff_models.frames import impossible_cases, mitred_cases
from tests.takeoff_models.sweeps import sweep_cases, swept

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
    turned = solids.as_splines(shape).Reversed()
    assert shape_of(turned).read_volume() == pytest.approx(-integral(shape, 1e-9), rel=1e-6)


BENT = Centreline(BendTable((100.0, 80.0, 120.0), (Bend(60.0, 70.0), Bend(50.0, 50.0, 90.0))), cases.PLACE)
SECTIONS = (Round(12.0), Tube(25.0, 2.0), Square(12.0, 12.0), SquareTube(30.0, 20.0, 2.0, 4.0), Flat(25.0, 5.0))


@pytest.mark.parametrize("section", SECTIONS, ids=lambda one: one.kind)
def test_bars_of_splines_weigh_what_area_times_length_says(section: Section, tmp_path: Path) -> None:
    """Pappus: a section carried along the line through its centroid has the volume area times length."""
    is_round = isinstance(section, Round | Tube)
    shape = solids.swept(BENT, section) if is_round else solids.built(BENT, section)
    made = [("bar", solids.as_splines(shape))]
    if not is_round:
        made.append(("one spline a side", swept(one_curve(BENT), section, BENT.start.inward)))
    for body in bodies(open_model(write_step(tmp_path / "bars.step", made))[0]):
        own = written(body.shape, splines=True)
        assert own is not None
        volume = volume_of(own.faces, own.edges, own.splines)
        assert volume == pytest.approx(section.area * BENT.table.length, rel=3e-6), body.name


def test_what_is_cut_out_of_spline_faces_is_missing_in_the_volume() -> None:
    """A hole right through takes as much off one side of a face as off the other: its edges tell of it all the same."""
    line = Centreline(BendTable((200.0,)), cases.PLACE)
    pose = line.pose(70.0)
    for section in SECTIONS:
        shape = solids.swept(line, section) if isinstance(section, Round | Tube) else solids.built(line, section)
        drilled = solids.without(shape, solids.drill(pose, pose.inward, 4.0))
        assert integral(drilled, 1e-9) < integral(shape, 1e-9) - 10.0
        made = solids.as_splines(drilled)
        assert shape_of(made).read_volume() == pytest.approx(integral(drilled, 1e-9), rel=1e-4), section


def test_more_spline_faces_than_are_quickly_reckoned_with_are_left_to_the_kernel(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    shape = solids.as_splines(solids.swept(BENT, Round(12.0)))
    monkeypatch.setattr(spline_fluxes, "MOST_NODES", 100)
    own = written(shape, splines=True)
    assert own is not None and volume_of(own.faces, own.edges, own.splines) is None
    assert shape_of(shape).read_volume() == pytest.approx(integral(shape, 1e-7), rel=1e-4)


@pytest.mark.parametrize("build", FREE)
def test_the_error_asked_of_the_kernel_is_kept_where_faces_are_free(build: Cases) -> None:
    for name, shape, _ in build():
        assert shape_of(shape).read_volume() == pytest.approx(integral(shape, 1e-7), rel=1e-4), name
