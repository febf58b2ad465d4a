"""Holes and slots taken out of a body of triangles."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from manifold3d import Manifold, Mesh64, OpType

from bentwork.models.cuts import Bore
from bentwork.models.mesh import Mesh
from bentwork.piece.centreline import chords_for
from bentwork.space import Vec, add, perpendicular, scale

__all__ = ["drilled"]

_LEAST_CHORDS = 16  # round a hole: as few as still look round


def drilled(mesh: Mesh, bores: Sequence[Bore], chord_error: float) -> Mesh:
    """Return a closed body without what is drilled out of it, closed likewise.

    Args:
        mesh: the body.
        bores: that are taken out of it.
        chord_error: how far a triangle may lie from the true hole, mm.

    Raises:
        ValueError: the body is not closed.
    """
    if not bores:
        return mesh
    count, name = len(mesh.triangles), Manifold.reserve_ids(1)
    body = Manifold(
        Mesh64(
            mesh.points,
            mesh.triangles.astype(np.uint64),
            run_index=np.array([0, 3 * count], dtype=np.uint64),
            run_original_id=np.array([name], dtype=np.uint32),
            face_id=np.arange(count, dtype=np.uint64),
        )
    )
    if mesh.open_edges or body.is_empty():
        raise ValueError("a body that is drilled must be closed")
    left = Manifold.batch_boolean([body, *(_plug(bore, chord_error) for bore in bores)], OpType.Subtract).to_mesh64()
    # Which triangles are left of the body's own, and of which: all others are the walls of the holes.
    whose = np.repeat(left.run_original_id, np.diff(left.run_index) // 3) == name
    inside = np.ones(len(left.tri_verts), dtype=bool)
    if mesh.inside is None:
        inside[whose] = False
    else:
        inside[whose] = mesh.inside[np.array(left.face_id)[whose]]
    return Mesh(left.vert_properties[:, :3].copy(), left.tri_verts.astype(np.int64), inside)


def _plug(bore: Bore, chord_error: float) -> Manifold:
    """What a drill takes out, or a cutter that runs along a slot."""
    radius = bore.diameter / 2.0
    chords = max(_LEAST_CHORDS, chords_for(radius, 2.0 * math.pi, chord_error))
    rod = Manifold.cylinder(2.0 * bore.reach, radius, circular_segments=chords, center=True)
    aside = perpendicular(bore.axis)
    turned = np.column_stack((aside, np.cross(bore.axis, aside), bore.axis))

    def at(place: Vec) -> Manifold:
        return rod.transform(np.column_stack((turned, place)))

    if not any(bore.slot):
        return at(bore.middle)
    return Manifold.batch_hull([at(add(bore.middle, scale(bore.slot, way))) for way in (-1.0, 1.0)])
