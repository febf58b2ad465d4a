"""Bars as triangles: closed, as big as Pappus says, on the true surface, the section where it belongs."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from bentwork.models.bar_mesh import CHORD_ERROR, bar_mesh, is_ring
from bentwork.models.carried import carried, room_inside
from bentwork.models.mesh import Mesh
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.stock.section import Flat, Round, Section, Square, Tube, Way
from tests.bent_bodies import PIECES, SECTIONS

CASES: list[tuple[str, Section, Way]] = [
    *(("turned", section, "easy") for section in SECTIONS),
    *((name, section, "easy") for name in PIECES for section in (SECTIONS[0], SECTIONS[4], SECTIONS[7])),
    *(("turned", section, "hard") for section in SECTIONS),
]


@pytest.mark.parametrize(("name", "section", "way"), CASES, ids=str)
def test_closed_and_as_big_as_area_times_length(name: str, section: Section, way: Way) -> None:
    line = PIECES[name]
    volume = section.area * line.table.length
    coarse, fine = bar_mesh(line, section, way), bar_mesh(line, section, way, CHORD_ERROR / 3)
    assert (coarse.open_edges, fine.open_edges) == (0, 0)
    # No triangle is further from the true surface than the error; a finer one comes nearer in proportion.
    assert abs(coarse.volume - volume) <= CHORD_ERROR * coarse.surface
    assert abs(fine.volume - volume) <= CHORD_ERROR / 3 * fine.surface
    assert fine.volume == pytest.approx(volume, rel=2.5e-3)


def test_straight_bars_are_exact() -> None:
    assert bar_mesh(Centreline(BendTable((100.0,))), Square(12, 12)).volume == pytest.approx(14400, rel=1e-12)
    assert bar_mesh(Centreline(BendTable((100.0,))), Flat(30, 4)).surface == pytest.approx(240 + 6800, rel=1e-12)


@pytest.mark.parametrize("name", PIECES)
def test_no_triangle_is_further_from_the_true_surface_than_is_said(name: str) -> None:
    line, radius = PIECES[name], 12.5
    middle = line.sample(1e-4) if line.table.bends else np.array([line.start.origin, line.end.origin])
    mesh = bar_mesh(line, Tube(25, 2))
    corners = mesh.corners
    corners = corners[:: max(1, len(corners) // 1000)]
    places = np.concatenate((corners.mean(axis=1), *((corners[:, k] + corners[:, k - 1]) / 2 for k in range(3))))
    away = _distances(places, middle)
    skin = away[away > radius - 0.3]  # leaves out the inside and the end faces
    assert len(skin) > 100
    # On the inside of a bend triangles lie outside the metal, elsewhere within. It is not finer than it needs to be.
    assert CHORD_ERROR / 10 < abs(radius - skin).max() <= CHORD_ERROR


def _distances(places: NDArray[np.float64], path: NDArray[np.float64]) -> NDArray[np.float64]:
    """Distance of every place to a path of straight pieces, by brute force."""
    a, d = path[:-1], np.diff(path, axis=0)
    found = np.full(len(places), np.inf)
    for start in range(0, len(places), 500):
        some = places[start : start + 500, None]
        t = np.clip(((some - a) * d).sum(-1) / (d * d).sum(-1), 0, 1)
        found[start : start + 500] = np.sqrt(((some - a - t[..., None] * d) ** 2).sum(-1).min(axis=1))
    return found


def test_the_section_keeps_its_place_on_the_bar() -> None:
    """Flat bar: up from x to y (the easy way), then rotated by 90 to z (the hard way); corners counted by hand."""
    line = Centreline(BendTable((100.0, 100.0, 100.0), (Bend(50, 90), Bend(50, 90, 90))))
    mesh = bar_mesh(line, Flat(30, 4))
    # Along x to (100,0,0), round to (150,50,0), along y to (150,150,0), round to (150,200,50), up to z = 150.
    end = {tuple(p) for p in mesh.points.round(6)[abs(mesh.points[:, 2] - 150) < 1e-6].tolist()}
    # The width of 30 was along z, and goes round into y; the thickness of 4 was along y, and went round into x.
    assert end == {(x, y, 150.0) for x in (148.0, 152.0) for y in (185.0, 215.0)}
    start = {tuple(p) for p in mesh.points.round(6)[abs(mesh.points[:, 0]) < 1e-6].tolist()}
    assert start == {(0.0, y, z) for y in (-2.0, 2.0) for z in (-15.0, 15.0)}


def test_the_hard_way_lays_the_width_in_the_bend() -> None:
    line = Centreline(BendTable((100.0, 100.0), (Bend(50, 90),)))
    points = bar_mesh(line, Flat(30, 4), "hard").points
    assert points.min(axis=0)[1] == pytest.approx(-15)
    assert points.max(axis=0)[2] == pytest.approx(2)
    assert dict(room_inside(line, Flat(30, 4), "hard")) == pytest.approx({1: 35})
    assert dict(room_inside(line, Flat(30, 4), "easy")) == pytest.approx({1: 48})


def test_room_inside_of_a_square_bar_that_is_bent_over_its_corner() -> None:
    line = Centreline(BendTable((50.0, 50.0, 50.0), (Bend(50, 90), Bend(7, 90, 45))))
    left = dict(room_inside(line, Square(10, 10)))
    assert left[1] == pytest.approx(45)
    assert left[2] == pytest.approx(7 - 5 * math.sqrt(2))


def test_a_ring_is_a_ring_unless_its_section_comes_back_turned() -> None:
    askew = Corners(((0, 0, 0), (400, 0, 0), (300, 300, 120), (0, 300, 0)), (50.0,) * 4, True).centreline()
    assert is_ring(askew, Round(12))
    assert not is_ring(askew, Square(12, 12))
    assert not is_ring(PIECES["turned"], Round(12))
    assert all(is_ring(PIECES["upturned"], section) for section in SECTIONS)
    ring, two_ends = bar_mesh(PIECES["loop"], Square(12, 12)), bar_mesh(askew, Square(12, 12))
    # Euler: a ring has as many corners and faces as edges, a bar with two ends two more.
    assert [len(m.points) - len(m.triangles) // 2 for m in (ring, two_ends)] == [0, 2]


def test_stretches_leave_out_what_has_no_length() -> None:
    assert [stretch.run.bend for stretch in carried(PIECES["turned"])] == [0, 1, 0, 2, 3, 0]
    with pytest.raises(ValueError, match="no body"):
        bar_mesh(Centreline(BendTable((0.0,))), Round(12))


def test_an_open_and_an_overlapping_mesh_are_seen() -> None:
    mesh = bar_mesh(PIECES["straight"], Square(12, 12))
    assert Mesh(mesh.points, mesh.triangles[1:]).open_edges > 0
    assert Mesh(mesh.points, np.concatenate((mesh.triangles, mesh.triangles[:1]))).open_edges > 0
    assert Mesh(mesh.points, mesh.triangles[:, ::-1]).volume == pytest.approx(-mesh.volume)
    assert mesh.moved((1000.0, 5.0, -7.0)).volume == pytest.approx(mesh.volume)


def test_round_faces_are_smooth_and_ends_are_sharp() -> None:
    shaded = bar_mesh(PIECES["straight"], Round(12)).shaded()
    assert np.linalg.norm(shaded.normals, axis=1) == pytest.approx(1.0)
    ends = abs(shaded.normals[:, 0]) > 0.5
    assert abs(shaded.normals[ends][:, 0]) == pytest.approx(1.0)
    # On the skin the normal points straight away from the middle of the bar.
    skin = shaded.points[~ends][:, 1:] / 6.0
    assert np.einsum("ij,ij->i", skin, shaded.normals[~ends][:, 1:]) == pytest.approx(1.0, abs=1e-9)
    box = bar_mesh(PIECES["straight"], Square(12, 12)).shaded()
    assert len(box.points) == 24
