"""Faces and edges without formula, many at once: each is what it was drawn as, whatever stands beside it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.takeoff.edges import Edge, Floats, edges_in_tables
from bentwork.takeoff.formal import formal_edges, formal_faces
from bentwork.takeoff.formal_fits import ARCS_ON_END, Arc, circle_through, off_circle, runs_of
from bentwork.takeoff.shape import Face, Patch

# Across, up and out of a plane aslant in space, by the integers 2, 3, 6 whose squares sum up to 7 squared.
FRAME = np.array(((2.0, 3.0, 6.0), (3.0, -6.0, 2.0), (6.0, 2.0, -3.0))) / 7.0
PLACE = np.array((120.0, -340.0, 77.0))


def placed(points: Floats) -> Floats:
    found: Floats = points @ FRAME + PLACE
    return found


def arc(radius: float, sweep: float, count: int = 5) -> Floats:
    """Samples from (radius, 0, 0) on, (count, 3)."""
    angles = np.linspace(0.0, sweep, count)
    return radius * np.stack((np.cos(angles), np.sin(angles), np.zeros(count)), axis=1)


def chained(*parts: Floats) -> tuple[Floats, tuple[int, ...]]:
    """Parts moved to begin where the one before ends, and the places between them."""
    points, knots = parts[0], [0, len(parts[0]) - 1]
    for part in parts[1:]:
        points = np.concatenate((points, points[-1] + (part - part[0])[1:]))
        knots.append(len(points) - 1)
    return placed(points), tuple(knots)


def straight(length: float) -> Floats:
    return np.outer(np.linspace(0.0, length, 5), (0.0, 1.0, 0.0))


CURL = np.stack([np.linspace(0.0, 3.0, 5) ** power for power in (1, 2, 3)], axis=1)
OUT_AND_BACK = np.outer((0.0, 10.0, 20.0, 10.0, 0.0), (0.0, 1.0, 0.0))
ROWS = (
    chained(OUT_AND_BACK),
    chained(arc(50.0, 0.5)),
    chained(straight(80.0)),
    chained(CURL),
    chained(arc(50.0, 0.5), straight(30.0), arc(20.0, 1.0)),
    chained(straight(30.0), straight(20.0)),
    chained(straight(30.0), straight(-20.0)),
    chained(straight(30.0), CURL),
    chained(arc(30.0, 2.0 * math.pi, 17)),
    chained(*(arc(20.0 + 5.0 * k, 0.4) for k in range(ARCS_ON_END + 1))),
)


def told(row: tuple[Floats, tuple[int, ...]]) -> list[tuple[int, int, float, float]] | None:
    """First and last place, radius and sweep of each run, 0 of a line."""
    runs = runs_of([row])[0]
    if runs is None:
        return None
    return [(a, b, one.radius if one else 0.0, one.sweep if one else 0.0) for a, b, one in runs]


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        (0, None),
        (1, [(0, 4, 50.0, 0.5)]),
        (2, [(0, 4, 0.0, 0.0)]),
        (3, None),
        (4, [(0, 4, 50.0, 0.5), (4, 8, 0.0, 0.0), (8, 12, 20.0, 1.0)]),
        (5, [(0, 8, 0.0, 0.0)]),
        (6, [(0, 4, 0.0, 0.0), (4, 8, 0.0, 0.0)]),  # there and back again is no line
        (7, None),
        (8, [(0, 16, 30.0, 2.0 * math.pi)]),
        (9, None),
    ],
)
def test_a_row_is_the_lines_and_arcs_that_it_was_drawn_as(
    row: int, wanted: list[tuple[int, int, float, float]] | None
) -> None:
    found = told(ROWS[row])
    assert (found is None) == (wanted is None)
    for one, other in zip(found or (), wanted or (), strict=True):
        assert one == pytest.approx(other, rel=1e-9)


def test_what_a_row_is_hangs_on_no_other() -> None:
    together = runs_of(ROWS)
    for row, found in zip(ROWS, together, strict=True):
        alone = runs_of([row])[0]
        assert (found is None) == (alone is None)
        for (a, b, one), (c, d, other) in zip(found or (), alone or (), strict=True):
            assert (a, b, one is None) == (c, d, other is None)
            if isinstance(one, Arc) and isinstance(other, Arc):
                assert np.hstack(one) == pytest.approx(np.hstack(other), rel=1e-12, abs=1e-12)


def test_a_circle_is_found_with_its_middle_and_the_way_round_it() -> None:
    points = placed(arc(35.0, 1.2, 7))
    circle = circle_through(points)
    assert circle is not None
    centre, normal, radius = circle
    assert centre == pytest.approx(PLACE, abs=1e-9)
    assert normal == pytest.approx(np.cross(FRAME[0], FRAME[1]), abs=1e-9)
    assert radius == pytest.approx(35.0, abs=1e-9)
    # 3 mm further out and 4 above the plane is 5 from it.
    aside = points + 3.0 * (points - PLACE) / 35.0 + 4.0 * normal
    assert off_circle(aside, circle) == pytest.approx(np.full(7, 5.0), abs=1e-9)


def test_no_circle_goes_through_two_points_or_one_that_is_there_thrice() -> None:
    assert circle_through(placed(arc(35.0, 1.2, 2))) is None
    assert circle_through(np.zeros((3, 3)) + PLACE) is None


def face(points: Floats, normals: Floats, number: int, *, swapped: bool = False) -> Face:
    points, normals = placed(points), normals @ FRAME
    if swapped:
        points, normals = points.transpose(1, 0, 2), normals.transpose(1, 0, 2)
    ends = [(0, n - 1) for n in points.shape[:2]]
    patch = Patch(points, normals, ends[0], ends[1], lambda _along_rows, _samples: (points, normals))
    return Face("free", (0.0, 0.0, 0.0), (0.0, 0.0, 1.0), patch=patch, edges=(number,), part_of=number)


def pipe(big: float, rise: float = 0.0) -> tuple[Floats, Floats]:
    """A third of a pipe of radius 6 round an arc of 1 rad, that rises more and more; straight when big is 0."""
    round_it, on = (grid[..., None] for grid in np.meshgrid(np.linspace(0.0, 2.0, 5), np.linspace(0.0, 1.0, 5)))
    round_it, on = round_it.transpose(1, 0, 2), on.transpose(1, 0, 2)
    up = np.array((0.0, 0.0, 1.0))
    if big:
        out = np.concatenate((np.cos(on), np.sin(on), np.zeros_like(on)), axis=2)
        normals = np.cos(round_it) * out + np.sin(round_it) * up
        return big * out + 6.0 * normals + rise * on**2 * up, normals
    normals = np.concatenate((np.cos(round_it), np.sin(round_it), np.zeros_like(on)), axis=2)
    return 6.0 * normals + 70.0 * on * up, normals


def ball() -> tuple[Floats, Floats]:
    """Part of a ball of radius 9."""
    turn, lift = np.meshgrid(np.linspace(0.0, 2.0, 5), np.linspace(-0.5, 0.5, 5), indexing="ij")
    normals = np.stack((np.cos(turn) * np.cos(lift), np.sin(turn) * np.cos(lift), np.sin(lift)), axis=2)
    return 9.0 * normals, normals


def sheet(bow: float) -> tuple[Floats, Floats]:
    """A flat patch, or one that is arched by so much while its normals say that it is flat."""
    x, y = np.meshgrid(np.linspace(0.0, 40.0, 5), np.linspace(0.0, 30.0, 5), indexing="ij")
    return np.stack((x, y, bow * (x - 20.0) ** 2), axis=2), np.zeros((5, 5, 3)) + np.array((0.0, 0.0, 1.0))


def test_faces_of_one_grid_are_what_they_were_drawn_as_in_their_order() -> None:
    known = Face("cone", (1.0, 2.0, 3.0), (0.0, 0.0, 1.0), edges=(5,), part_of=5)
    inside = pipe(40.0)
    faces = [
        face(*pipe(0.0), 1),
        face(*sheet(0.0), 2),
        face(*pipe(40.0), 3, swapped=True),
        face(*pipe(40.0, 15.0), 4),
        known,
        face(*ball(), 6),
        face(*sheet(0.01), 7),
        face(inside[0], -inside[1], 8),
        face(*pipe(0.0), 9, swapped=True),
    ]
    found, spines = formal_faces(faces)
    kinds = [(one.kind, one.part_of, one.edges) for one in found]
    wanted = ["cylinder", "plane", "torus", None, "cone", "sphere", "free", "torus", "cylinder"]
    assert kinds == [(kind, k, (k,)) for k, kind in enumerate(wanted, 1) if kind]
    straight_one, plane, bent, same, sphere, free, hollow, _ = found
    assert same is known
    assert free is faces[6]
    assert straight_one.radius == pytest.approx(6.0)
    assert straight_one.v == pytest.approx((0.0, 70.0))
    assert straight_one.u == pytest.approx((0.0, 2.0))
    assert np.abs(np.array(straight_one.axis) @ FRAME[2]) == pytest.approx(1.0)
    assert plane.axis == pytest.approx(tuple(FRAME[2]))
    assert (bent.radius, bent.minor) == pytest.approx((40.0, 6.0))
    assert bent.origin == pytest.approx(tuple(PLACE))
    assert (bent.u[1], bent.v[1]) == pytest.approx((1.0, 2.0))
    assert (bent.outward, hollow.outward) == (True, False)
    assert sphere.radius == pytest.approx(9.0)
    assert sphere.origin == pytest.approx(tuple(PLACE))
    assert [(spine.part_of, spine.outward) for spine in spines] == [(4, True)]
    assert spines[0].radius == pytest.approx(6.0, abs=0.1)
    middles, ways = spines[0].read()
    assert (np.diff(middles, axis=0) * ways[:-1]).sum(axis=1).min() > 0.0


def test_a_face_that_is_a_plane_or_a_pipe_but_for_one_rule_is_none() -> None:
    # Flat, but its normals lean to and fro by 0.01.
    points, normals = sheet(0.0)
    rough = normals + 0.01 * np.array((1.0, -1.0, 1.0, -1.0, 1.0))[:, None, None] * np.array((1.0, 0.0, 0.0))
    # Each row of a pipe 0.02 mm further aside than the one before: little from row to row, 0.08 mm from the mean.
    rows, out = (np.concatenate((some, some[1:]), axis=0) for some in pipe(0.0))
    drifted = rows + 0.02 * np.arange(9.0)[:, None, None] * np.array((1.0, 0.0, 0.0))
    faces = [face(points, rough, 1), face(drifted, out, 2)]
    assert formal_faces(faces) == (faces, [])


def test_normals_that_lean_along_a_pipe_leave_its_middle_where_it_is() -> None:
    """A pipe that waves by a thousandth of a millimetre along it has such: 0.06 mm where they lean by 0.01."""
    rows, out = pipe(0.0)
    lean = 0.01 * np.cos(np.linspace(0.0, math.pi, 5))[:, None, None] * np.array((0.0, 0.0, 1.0))
    (found,), spines = formal_faces([face(rows, (out + lean) / math.hypot(1.0, 0.01), 1)])
    assert (found.kind, spines) == ("cylinder", [])
    assert found.radius == pytest.approx(6.0, abs=1e-3)
    assert np.abs(np.array(found.axis) @ FRAME[2]) == pytest.approx(1.0)


def test_edges_are_cut_into_lines_and_circles_and_the_others_are_left() -> None:
    own = {k: Edge("free", points, knots) for k, (points, knots) in enumerate(ROWS)}
    found = formal_edges(edges_in_tables(len(own), own.items()))
    assert found.line_numbers.tolist() == [2, 4, 5, 6, 6]
    assert found.circle_numbers.tolist() == [1, 4, 4, 8]
    assert found.arcs[:, 12] == pytest.approx([50.0, 50.0, 20.0, 30.0])
    assert found.arcs[:, 14] == pytest.approx([0.5, 0.5, 1.0, 2.0 * math.pi])
    assert np.diff(found.starts).tolist() == [5, 5, 5, 17]
    assert list(found.others) == [0, 3, 7, 9]


def test_where_two_cylinders_cross_is_no_line_and_no_circle() -> None:
    def cylinder(axis: tuple[float, float, float], number: int) -> Face:
        return Face("cylinder", (0.0, 0.0, 0.0), axis, radius=50.0, edges=(0, 1), part_of=number)

    own = [(0, Edge("free", *chained(arc(50.0, 0.5)))), (1, Edge("free", *chained(straight(80.0))))]
    edges = edges_in_tables(2, own)
    along, askew = cylinder((0.0, 0.0, 1.0), 0), cylinder((0.0, 0.6, 0.8), 1)
    assert sorted(edge.kind for _, edge in formal_edges(edges, [along, cylinder((0.0, 0.0, -1.0), 1)]).each()) == [
        "circle",
        "line",
    ]
    assert [edge.kind for _, edge in formal_edges(edges, [along, askew]).each()] == ["free", "free"]
