"""Several bars fused into one solid: the members, each by itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.space import cross, norm, sub
from bentwork.takeoff.bar import Bar, End
from bentwork.takeoff.bars import STANDS_OUT, points_of, rests_of
from bentwork.takeoff.ends import Rest, cut_to_length
from bentwork.takeoff.formal import formal_edges
from bentwork.takeoff.holes import holes_of
from bentwork.takeoff.mitres import mitred
from bentwork.takeoff.no_bars import no_bar
from bentwork.takeoff.outline import Outline, round_outline
from bentwork.takeoff.rectangular import long_sides, rectangular_lines
from bentwork.takeoff.rods import bores
from bentwork.takeoff.round import round_chains
from bentwork.takeoff.runs import centreline_of
from bentwork.takeoff.shape import Face, Shape
from bentwork.takeoff.unbend import unbent

__all__ = ["joined_bars"]

LEAST, MOST = 0.9, 1.7
"""Members overlap where they are joined: their volumes add up to more than the solid, but not to much more."""
MOST_MEMBERS = 200


def joined_bars(shape: Shape, faces: Sequence[Face], volume: float) -> tuple[Bar, ...]:
    """Return the members of a solid that is several bars in one; nothing when it is not that."""
    members: list[tuple[Bar, Outline]] = []
    sides: set[int] = set()
    for bar, outline, own in [*_round_members(shape, faces), *_rectangular_members(shape, faces)]:
        if own <= sides and sides:
            continue
        if no_bar(bar) is not None:
            continue
        members.append((bar, outline))
        sides |= own
        if len(members) > MOST_MEMBERS:
            return ()
    if len(members) < 2 or _turned_part(members):
        return ()
    total = sum(outline.area * bar.length for bar, outline in members)
    if not LEAST * volume <= total <= MOST * volume:
        return ()
    for rest in rests_of(shape, faces, sides):
        if len(rest.points) and not _inside(rest, members):
            return ()
    return mitred(members)


def _turned_part(members: Sequence[tuple[Bar, Outline]]) -> bool:
    """Tell whether two members of different size have one axis: a shaft with a shoulder, not two bars."""
    straight = [(bar.line.start, outline) for bar, outline in members if not bar.line.table.bends]
    for k, (one, first) in enumerate(straight):
        for two, second in straight[:k]:
            gap = sub(two.origin, one.origin)
            aside = norm(cross(gap, one.tangent))
            parallel = norm(cross(one.tangent, two.tangent)) < 1e-4
            if parallel and aside < 0.01 and abs(first.largest - second.largest) > 0.01:
                return True
    return False


def _inside(rest: Rest, members: Sequence[tuple[Bar, Outline]]) -> bool:
    """Tell whether every sample of a face lies in or on some member."""
    left = rest.points
    for bar, outline in members:
        flat = unbent(bar.line, left)
        over = np.maximum(-flat[:, 0], flat[:, 0] - bar.length)
        out = outline.beyond(flat)
        left = left[(out > STANDS_OUT) | (over > STANDS_OUT)]
        if len(left) == 0:
            return True
    return False


def _round_members(shape: Shape, faces: Sequence[Face]) -> Iterator[tuple[Bar, Outline, set[int]]]:
    for chain, closed, rod, own in round_chains(faces):
        line = centreline_of(chain, closed)
        if line is None or line.table.length < 0.5 * rod.radius:
            continue
        hollow = bores(faces, chain, rod.radius)
        outline = round_outline(rod.radius, max(hollow, default=0.0))
        own = own | set().union(*hollow.values())
        yield _member(shape, faces, line, outline, own)


def _rectangular_members(shape: Shape, faces: Sequence[Face]) -> Iterator[tuple[Bar, Outline, set[int]]]:
    edges = formal_edges(shape.read_edges())
    for line, outline, way in rectangular_lines(edges, faces, in_haste=False):
        own = long_sides(shape, faces, line, outline)
        bar, outline, own = _member(shape, faces, line, outline, own)
        yield replace(bar, way=way), outline, own


def _member(
    shape: Shape, faces: Sequence[Face], line: Centreline, outline: Outline, own: set[int]
) -> tuple[Bar, Outline, set[int]]:
    """Return a member cut to length by the faces that touch it and lie inside it."""
    touching = {number for face in faces if face.part_of in own for number in face.edges}
    rests = []
    for face in faces:
        if face.part_of in own or not touching & set(face.edges):
            continue
        points = points_of(shape, face)
        if len(points) and outline.outside(unbent(line, points)) < STANDS_OUT:
            rests.append(Rest(face, points))
    cut = cut_to_length(line, rests, outline)
    if cut is None:
        return Bar(line, outline.section), outline, own
    a, b = (End("joined") if end.cut == "shaped" else end for end in cut.ends)
    return Bar(cut.line, outline.section, None, (a, b), holes_of(cut.line, rests, outline.half)), outline, own
