"""Solids read from what the CAD kernel wrote, against the same kernel asked for every face and edge by itself."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from OCP.TopoDS import TopoDS_Shape

from bentwork.takeoff.face_table import faces_of
from bentwork.takeoff.kernel import bodies, open_model
from bentwork.takeoff.kernel_faces import asked, shape_of
from bentwork.takeoff.kernel_mend import mended
from bentwork.takeoff.kernel_whole import written
from bentwork.takeoff.shape import Face, Shape
from bentwork.takeoff.volume import volume_of
from bentwork.takeoff.written import Written
from tests.takeoff_models import cases
from tests.takeoff_models.files import write_step
from tests.takeoff_models.frames import mitred_cases
from tests.truth.test_takeoff_models import random_part


def every_model() -> Iterator[tuple[str, TopoDS_Shape]]:
    for build in (cases.all_cases, mitred_cases):
        for name, shape, _ in build():
            yield name, shape
    rng = random.Random(23)
    for k in range(20):
        yield f"part {k}", random_part(rng)[0]


@pytest.fixture(scope="module")
def models(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[str, TopoDS_Shape]]:
    """Solids as they were made, and as they come out of a STEP file, mended as the kernel does."""
    made = list(every_model())
    reader, _ = open_model(write_step(tmp_path_factory.mktemp("written") / "all.step", made))
    read = zip(made, bodies(reader), strict=True)
    return made + [(f"{name} read", mended(body.shape) if body.known else body.shape) for (name, _), body in read]


def within(one: Face, two: Face, shape: Shape) -> bool:
    """Whether a face that a slanting cut or a hole ends reaches past its samples, and no further than the kernel says.

    The kernel puts a box round such faces that may be a quarter of a millimetre too long.
    """
    heights = (np.concatenate(shape.samples([two])) - np.array(two.origin)) @ np.array(two.axis)
    low, high = one.v
    least, most = float(heights.min()), float(heights.max())
    return two.v[0] - 1e-6 < low < least + 1e-9 and most - 1e-9 < high < two.v[1] + 1e-6


def numbers(face: Face) -> list[float]:
    places = (*face.origin, *face.axis, *face.x, *face.y)
    # Where an angle is counted from is each one's own affair: a turn more or less is the same place.
    angles = [face.u, face.v] if face.kind == "torus" else [face.u]
    begins = [way(first) for first, _ in angles for way in (math.cos, math.sin)]
    widths = [last - first for first, last in angles]
    return [*places, face.radius, face.minor, *begins, *widths, *(() if face.kind == "torus" else face.v)]


def near(face: Face) -> float:
    """How well its parameters can be told from its edges: the file rounds coordinates by their size."""
    return 1e-9 * max(1.0, math.dist((0.0, 0.0, 0.0), face.origin) / 1000.0)


def differences(found: Written, told: Shape) -> list[str]:
    wrong = []
    faces = faces_of(found.faces)
    if len(faces) != len(told.faces) or found.closed != told.closed:
        return ["other faces"]
    for one, two in zip(faces, told.faces, strict=True):
        if (one.kind, one.outward, one.edges, one.part_of) != (two.kind, two.outward, two.edges, two.part_of):
            wrong.append(f"face {one.part_of}: {one} for {two}")
        close = near(one)
        if one.kind == "cylinder" and set(one.edges) & set(found.edges.others):
            if one.v != pytest.approx(two.v, abs=close) and not within(one, two, told):
                wrong.append(f"face {one.part_of} reaches from {one.v[0]} to {one.v[1]}, not {two.v}")
            two, close = two._replace(v=one.v), 100.0 * close  # such edges lie on their faces less exactly
        if numbers(one) != pytest.approx(numbers(two), abs=close):
            wrong.append(f"face {one.part_of}: {numbers(one)} for {numbers(two)}")
    edges = zip(found.edges.each(), told.read_edges().each(), strict=True)
    for (number, this), (same, that) in edges:
        if (number, this.kind, this.points.shape) != (same, that.kind, that.points.shape):
            wrong.append(f"edge {number}: {this} for {that}")
        elif this.points.ravel().tolist() != pytest.approx(that.points.ravel().tolist(), abs=1e-9):
            wrong.append(f"edge {number} runs elsewhere")
        elif (*this.centre, *this.axis, this.radius, this.sweep) != pytest.approx(
            (*that.centre, *that.axis, that.radius, that.sweep), abs=1e-9
        ):
            wrong.append(f"edge {number} is another circle")
    return wrong


def test_what_is_written_is_what_is_asked(models: list[tuple[str, TopoDS_Shape]]) -> None:
    read, wrong = 0, {}
    for name, shape in models:
        found = written(shape)
        if found is not None:
            read += 1
            if some := differences(found, asked(shape)):
                wrong[name] = some
    assert wrong == {}
    assert read > 210


def test_what_is_right_in_a_file_is_what_mending_makes_of_it(tmp_path: Path) -> None:
    # Mending changes the order of faces and edges, and where round ones begin.
    made = list(every_model())
    reader, _ = open_model(write_step(tmp_path / "all.step", made))
    right = 0
    for (name, _), body in zip(made, bodies(reader), strict=True):
        if body.known is None:
            continue
        right += 1
        told = shape_of(mended(body.shape))
        mine, theirs = (sorted(some, key=order) for some in (faces_of(body.known.faces), told.faces))
        assert len(mine) == len(theirs), name
        for one, two in zip(mine, theirs, strict=True):
            assert (one.kind, one.outward) == (two.kind, two.outward), name
            assert numbers(one) == pytest.approx(numbers(two), abs=near(one)), name
        assert len(list(body.known.edges.each())) == len(list(told.read_edges().each())), name
        volume = volume_of(body.known.faces, body.known.edges)
        assert volume == pytest.approx(told.read_volume(), rel=1e-9), name
    assert right > 90


def order(face: Face) -> tuple[object, ...]:
    return face.kind, *(round(value, 6) for value in numbers(face))


def test_bars_out_of_a_file_are_read_at_once(models: list[tuple[str, TopoDS_Shape]]) -> None:
    # With holes, copes and mitres: their edges are splines and ellipses.
    plain = [(name, shape) for name, shape in models if name.endswith(" read") and "free" not in _kinds(shape)]
    assert len(plain) > 120
    assert sum(bool(asked(shape).read_edges().others) for _, shape in plain) > 20
    assert [name for name, shape in plain if written(shape) is None] == []


def test_ellipses_are_sampled_as_finely_as_is_asked_for(models: list[tuple[str, TopoDS_Shape]]) -> None:
    mitred = next(shape for name, shape in models if name == "tube mitred read")
    found = written(mitred)
    assert found is not None
    told = asked(mitred).read_edges().others
    assert len(told) == 4
    for number, edge in told.items():
        finer = found.edges.others[number].finer
        assert edge.finer is not None and finer is not None
        for mine, theirs in zip(finer(100), edge.finer(100), strict=True):
            assert mine == pytest.approx(theirs, abs=1e-9)


def _kinds(shape: TopoDS_Shape) -> set[str]:
    return {face.kind for face in asked(shape).faces}


def test_what_has_splines_is_asked() -> None:
    for name, shape, _ in cases.spline_cases():
        assert written(shape) is None, name
        assert shape_of(shape).faces, name
