"""Crowns: where a half round stands out farthest an edge runs along the bar, though none is drawn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from bentwork.space import Vec, along, cross, scale
from bentwork.takeoff.edges import Edges, sampled_arcs
from bentwork.takeoff.shape import Face

__all__ = ["with_crowns"]

HALF_ROUND = 2e-3
"""A face that goes round by half a turn to within this is a half round, rad."""


def with_crowns(edges: Edges, faces: Sequence[Face]) -> tuple[Edges, list[Face]]:
    """Return edges with the crowns of half rounds among them, and the faces that these lines run along.

    Args:
        edges: of a solid.
        faces: of it; those without formula have no crown.
    """
    lines: list[tuple[Vec, Vec]] = []
    arcs: list[tuple[float, ...]] = []
    crowned: list[Face] = []
    for face in faces:
        if face.kind == "cylinder" and face.outward and _half(face.u) and face.v[1] - face.v[0] > 2.0 * face.radius:
            middle = sum(face.u) / 2.0
            foot = along(face.origin, along(scale(face.x, math.cos(middle)), face.y, math.sin(middle)), face.radius)
            crowned.append(face._replace(edges=(*face.edges, edges.count + len(lines))))
            lines.append((along(foot, face.axis, face.v[0]), along(foot, face.axis, face.v[1])))
        elif face.kind == "torus" and face.outward and _half(face.v):
            up, out = (face.minor * turned(sum(face.v) / 2.0) for turned in (math.sin, math.cos))
            centre, axis = along(face.origin, face.axis, up), cross(face.x, face.y)
            arcs.append((*centre, *axis, *face.x, *face.y, face.radius + out, *face.u))
    if not lines and not arcs:
        return edges, []
    first, rows = edges.count + len(lines), np.array(arcs).reshape(-1, 15)
    points, starts = sampled_arcs(rows)
    more = replace(
        edges,
        count=first + len(arcs),
        line_numbers=np.append(edges.line_numbers, np.arange(edges.count, first)),
        ends=np.concatenate((edges.ends, np.array(lines).reshape(-1, 2, 3))),
        circle_numbers=np.append(edges.circle_numbers, np.arange(first, first + len(arcs))),
        arcs=np.concatenate((edges.arcs, rows)),
        points=np.concatenate((edges.points, points)),
        starts=np.append(edges.starts, edges.starts[-1] + starts[1:]),
    )
    return more, crowned


def _half(span: tuple[float, float]) -> bool:
    return abs(span[1] - span[0] - math.pi) < HALF_ROUND
