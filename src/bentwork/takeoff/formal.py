"""Faces and edges without formula that are planes, cylinders, lines or circles all the same: seen span by span.

A surface is part of a pipe of radius r when, along one family of its lines, the points move by r times what the
normals move: those lines are circles about the pipe's middle, which is the points less r times the normals.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.space import Vec, cross, norm, perpendicular, scale, sub
from bentwork.takeoff.edges import Edges, edges_in_tables
from bentwork.takeoff.formal_fits import Arc, Run, runs_of, stacked, taken
from bentwork.takeoff.shape import Edge, Face, Floats, Patch, crossed

__all__ = ["COMES_BACK", "FILLET", "Spine", "formal_edges", "formal_faces", "one_middle"]

NEAR = 5e-3
"""A surface that scatters by less about a plane or a point is one, mm: approximations are made to 1e-3 or so."""
OUT_OF_ROUND = 0.03
"""A surface whose middles scatter across it by less is part of a pipe, mm: sweeps round a bend are less exact."""
ASLANT = 0.5
"""And along it by less, mm."""
COMES_BACK = 0.02
"""Ends of middles that are nearer are one, mm."""
FILLET = 0.6 * math.pi
"""What rounds an edge shows no more of its round than this, rad."""
ASKEW = 1e-3
"""Cylinders whose axes lean from one another by more cross, as a sine."""
LEAN = 1e-3
"""Normals of a plane differ by less, rad."""
SPINE_SAMPLES = 480
"""Samples along a free pipe: what lies between two of them differs from both by far less than its arcs do."""


@dataclass(frozen=True, slots=True)
class Spine:
    """The middle of part of a pipe that is no straight and no arc.

    Args:
        radius: of the pipe, mm.
        outward: the metal is inside.
        ends: of the middle, (2, 3).
        read: gives points and unit tangents along it, (n, 3) each, as dense as arcs are fitted to.
        around: how much of the round it shows, rad.
        part_of: number of its face.
    """

    radius: float
    outward: bool
    ends: Floats
    read: Callable[[], tuple[Floats, Floats]]
    around: float
    part_of: int


def formal_faces(faces: Iterable[Face]) -> tuple[list[Face], list[Spine]]:
    """Return faces, those without formula replaced by what they are, and the middles of free pipes."""
    whole = list(faces)
    patches = {k: face.patch for k, face in enumerate(whole) if face.patch is not None}
    parts: dict[int, list[Face]] = {}
    spines: dict[int, Spine] = {}
    pipes: list[tuple[int, _Pipe, Sequence[int]]] = []
    alike = defaultdict[tuple[int, ...], list[int]](list)
    for k, patch in patches.items():
        alike[patch.points.shape].append(k)
    for those in alike.values():
        for k, seen in _seen(those, patches):
            if isinstance(seen, _Plane):
                parts[k] = [whole[k]._replace(kind="plane", origin=seen.origin, axis=seen.normal, patch=None)]
            elif seen.centre is not None:
                parts[k] = [_sphere(whole[k], seen, seen.centre)]
            else:
                pipes.append((k, seen, patches[k].u_knots if seen.swapped else patches[k].v_knots))
    for (k, pipe, knots), runs in zip(pipes, runs_of((pipe.middles, knots) for _, pipe, knots in pipes), strict=True):
        if runs is None:
            parts[k], spines[k] = [], _spine(whole[k], patches[k], pipe, knots)
        else:
            parts[k] = [_part_of_pipe(whole[k], pipe, run) for run in runs]
    for k in _fillets(spines):
        del parts[k], spines[k]
    return [part for k, face in enumerate(whole) for part in parts.get(k, [face])], [spines[k] for k in sorted(spines)]


def _fillets(spines: Mapping[int, Spine]) -> list[int]:
    """Return which parts of pipes round an edge or a shoulder: all about one middle show but little of its round."""
    found = []
    for k, one in spines.items():
        if one.around <= FILLET:
            beside = (two for two in spines.values() if two.outward == one.outward)
            same = (two.around for two in beside if one_middle(one.ends, two.ends))
            if sum(same) <= FILLET:
                found.append(k)
    return found


def one_middle(one: Floats, two: Floats) -> bool:
    """Tell whether middles have the same ends, whichever way they run, (2, 3) each."""
    return bool(min(np.abs(one - two).max(), np.abs(one - two[::-1]).max()) < COMES_BACK)


@dataclass(frozen=True, slots=True)
class _Plane:
    origin: Vec
    normal: Vec


@dataclass(frozen=True, slots=True)
class _Pipe:
    """Part of a pipe.

    Args:
        radius: mm; less than 0 where the metal is outside.
        middles: where its middle runs, (m, 3).
        tangents: unit, the way it runs there, (m, 3).
        around: how much of the round it shows, rad.
        centre: of a sphere: the middle does not run at all.
        swapped: the middle runs along the rows of the patch.
    """

    radius: float
    middles: Floats
    tangents: Floats
    around: float
    centre: Vec | None
    swapped: bool


def _seen(those: Sequence[int], patches: Mapping[int, Patch]) -> Iterator[tuple[int, _Plane | _Pipe]]:
    """Yield those patches of one shape that are a plane or part of a pipe."""
    points = stacked([patches[k].points for k in those])
    normals = stacked([patches[k].normals for k in those])
    found: list[_Plane | _Pipe | None] = list(_planes(points, normals))
    for swapped in (False, True):
        left = [k for k, one in enumerate(found) if one is None]
        if left:
            for k, pipe in zip(left, _pipes(taken(points, left), taken(normals, left), swapped), strict=True):
                found[k] = pipe
    for k, one in zip(those, found, strict=True):
        if one is not None:
            yield k, one


def _planes(points: Floats, normals: Floats) -> list[_Plane | None]:
    """Return the plane that each of k patches is, (k, n, m, 3) each."""
    means = normals.mean(axis=(1, 2))
    sizes = np.sqrt(np.einsum("ij,ij->i", means, means))
    found: list[_Plane | None] = [None] * len(points)
    own = (sizes > 0.999).nonzero()[0].tolist()
    if not own:
        return found
    points, normals = taken(points, own), taken(normals, own)
    ways = (means / np.maximum(sizes, 0.5)[:, None])[own]
    flat = np.einsum("fijk,fk->fij", points, ways)
    flat -= flat.mean(axis=(1, 2), keepdims=True)
    off = normals - ways[:, None, None]
    lean = np.einsum("fijk,fijk->fij", off, off)
    are = ((np.abs(flat).max(axis=(1, 2)) < NEAR) & (lean.max(axis=(1, 2)) < LEAN**2)).tolist()
    for k, is_plane, origin, way in zip(own, are, points[:, 0, 0], ways, strict=True):
        if is_plane:
            found[k] = _Plane(_vec(origin), _vec(way))
    return found


def _pipes(points: Floats, normals: Floats, swapped: bool = False) -> list[_Pipe | None]:
    """Return the part of a pipe that each of k patches is, (k, n, m, 3) each.

    The rows are taken for what goes round the pipe; when swapped, the columns.
    """
    if swapped:
        points, normals = points.transpose(0, 2, 1, 3), normals.transpose(0, 2, 1, 3)
    found: list[_Pipe | None] = [None] * len(points)
    dp, dn = points[:, 1:] - points[:, :-1], normals[:, 1:] - normals[:, :-1]
    squares = np.einsum("fijk,fijk->fij", dn, dn)
    turning = squares.sum(axis=(1, 2))
    radii = np.einsum("fijk,fijk->f", dp, dn) / np.maximum(turning, 1e-6)
    dp -= radii[:, None, None, None] * dn
    off = np.einsum("fijk,fijk->fij", dp, dp).max(axis=(1, 2))
    own = ((turning >= 1e-6) & (np.abs(radii) <= 2000.0) & (off <= ASLANT**2)).nonzero()[0].tolist()
    if not own:
        return found
    points, normals, squares, radii = (taken(some, own) for some in (points, normals, squares, radii))
    around = points - radii[:, None, None, None] * normals
    middles = around.mean(axis=1)
    around -= middles[:, None]
    rounds = 2.0 * np.arcsin(np.minimum(np.sqrt(squares) / 2.0, 1.0)).sum(axis=(1, 2)) / squares.shape[2]
    ways = crossed(normals[:, :-1], normals[:, 1:]).sum(axis=1)
    sizes = np.sqrt(np.einsum("fjk,fjk->fj", ways, ways))[:, :, None]
    ways /= np.where(sizes > 0.0, sizes, 1.0)
    back = np.einsum("fjk,fjk->f", middles[:, 1:] - middles[:, :-1], ways[:, :-1]) < 0.0
    ways[back] *= -1.0
    still = np.abs(middles - middles[:, :1]).max(axis=(1, 2)) < NEAR
    ahead = np.matmul(around.transpose(0, 2, 1, 3), ways[..., None])[..., 0].transpose(0, 2, 1)
    aside = np.einsum("fijk,fijk->fij", around, around) - ahead * ahead
    # Normals that lean along the pipe, as where it waves a little, move middles along it, which does no harm.
    are = (aside.max(axis=(1, 2)) <= OUT_OF_ROUND**2) & (np.abs(ahead).max(axis=(1, 2)) <= ASLANT)
    rows = zip(own, are.tolist(), radii.tolist(), rounds.tolist(), still.tolist(), strict=True)
    for i, (k, is_pipe, radius, turned, is_still) in enumerate(rows):
        if is_pipe:
            centre = _vec(middles[i].mean(axis=0)) if is_still else None
            found[k] = _Pipe(radius, middles[i], ways[i], turned, centre, swapped)
    return found


def _sphere(face: Face, pipe: _Pipe, centre: Vec) -> Face:
    return face._replace(kind="sphere", origin=centre, radius=abs(pipe.radius), outward=pipe.radius > 0.0, patch=None)


def _spine(face: Face, patch: Patch, pipe: _Pipe, knots: Sequence[int]) -> Spine:
    def read() -> tuple[Floats, Floats]:
        points, normals = patch.finer(pipe.swapped, max(6, SPINE_SAMPLES // (len(knots) - 1)))
        dense = _pipes(points[None], normals[None])[0] or pipe
        return dense.middles, dense.tangents

    return Spine(abs(pipe.radius), pipe.radius > 0.0, pipe.middles[[0, -1]], read, pipe.around, face.part_of)


def _part_of_pipe(face: Face, pipe: _Pipe, run: Run) -> Face:
    """Return the cylinder or the torus that a pipe is along part of its middle."""
    first, last, arc = run
    radius, outward = abs(pipe.radius), pipe.radius > 0.0
    if arc is not None:
        return face._replace(
            kind="torus",
            origin=arc.centre,
            axis=arc.axis,
            x=arc.x,
            y=arc.y,
            radius=arc.radius,
            minor=radius,
            outward=outward,
            u=(0.0, arc.sweep),
            v=(0.0, pipe.around),
            patch=None,
        )
    start = _vec(pipe.middles[first])
    way = sub(_vec(pipe.middles[last]), start)
    length = norm(way)
    axis = scale(way, 1.0 / length)
    x = perpendicular(axis)
    return face._replace(
        kind="cylinder",
        origin=start,
        axis=axis,
        x=x,
        y=cross(axis, x),
        radius=radius,
        outward=outward,
        u=(0.0, pipe.around),
        v=(0.0, length),
        patch=None,
    )


def formal_edges(edges: Edges, faces: Iterable[Face] = ()) -> Edges:
    """Return edges, those without formula cut into the lines and circles that they are.

    Args:
        edges: of a solid.
        faces: of it, none of them taken apart: a part has the edges of the whole.
    """
    crossings = _crossings(edges, faces) if edges.others else ()
    some = [
        (number, edge)
        for number, edge in edges.others.items()
        if len(edge.points) > 2 and edge.knots and number not in crossings
    ]
    found: list[tuple[int, Edge]] = []
    for (number, edge), runs in zip(some, runs_of((edge.points, edge.knots) for _, edge in some), strict=True):
        found += [(number, _part(edge.points[first : last + 1], arc)) for first, last, arc in runs or ()]
    if not found:
        return edges
    cut = {number for number, _ in found}
    return edges_in_tables(edges.count, [*(pair for pair in edges.each() if pair[0] not in cut), *found])


def _crossings(edges: Edges, faces: Iterable[Face]) -> set[int]:
    """Return the numbers of edges where two cylinders cross: no line and no circle lies on both."""
    found: set[int] = set()
    beside: dict[int, Vec] = {}
    for face in faces:
        if face.kind == "cylinder":
            for number in face.edges:
                if number in edges.others and norm(cross(face.axis, beside.setdefault(number, face.axis))) > ASKEW:
                    found.add(number)
    return found


def _part(points: Floats, arc: Arc | None) -> Edge:
    if arc is None:
        return Edge("line", points[[0, -1]])
    return Edge("circle", points, (), arc.centre, arc.axis, arc.radius, arc.sweep)


def _vec(a: Floats) -> Vec:
    x, y, z = a.tolist()
    return (x, y, z)
