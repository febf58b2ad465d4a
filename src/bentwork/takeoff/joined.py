"""Several bars fused into one solid: the members, each by itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain
from typing import TypeAlias

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.space import cross, norm, sub
from bentwork.takeoff.bar import Bar, End, WayBent
from bentwork.takeoff.bars import STANDS_OUT, Doubt, rests_of
from bentwork.takeoff.ends import Rest, cut_to_length
from bentwork.takeoff.holes import holes_of
from bentwork.takeoff.mitres import mitred
from bentwork.takeoff.no_bars import no_bar
from bentwork.takeoff.outline import Outline, round_outline
from bentwork.takeoff.rectangular import LongEdges
from bentwork.takeoff.rods import Rod, bores
from bentwork.takeoff.round import round_chains
from bentwork.takeoff.runs import centreline_of
from bentwork.takeoff.shape import Face, Shape
from bentwork.takeoff.unbend import unbent

__all__ = ["joined_bars"]

LEAST, MOST = 0.9, 1.7
"""Members overlap where they are joined: their volumes add up to more than the solid, but not to much more."""
MOSTLY = 0.5
"""Members that are at least this share of a solid are told of, if there is something else in it."""
MOST_MEMBERS = 200

_Line: TypeAlias = tuple[Centreline, Outline, WayBent | None, set[int]]
"""A middle with its section, which way it is bent, and the numbers of the faces along it."""


def joined_bars(
    shape: Shape, faces: Sequence[Face], round_ones: Sequence[Rod], along: LongEdges, volume: float
) -> tuple[Bar, ...] | Doubt:
    """Return the members of a solid that is several bars in one; nothing, or why not, when it is not that alone."""
    members: list[tuple[Bar, Outline]] = []
    sides: set[int] = set()
    for line, outline, way, own in chain(_round_lines(faces, round_ones), _rectangular_lines(along)):
        if own <= sides and sides:
            continue
        bar = _member(shape, faces, line, outline, own)
        if way is not None:
            bar = replace(bar, way=way)
        if no_bar(bar) is not None:
            continue
        members.append((bar, outline))
        sides |= own
        if len(members) > MOST_MEMBERS:
            return ()
    if len(members) < 2 or _turned_part(members):
        return ()
    total = sum(outline.area * bar.length for bar, outline in members)
    if not MOSTLY * volume <= total <= MOST * volume:
        return ()
    others = [rest for rest in rests_of(shape, faces, sides) if len(rest.points) and not _inside(rest, members)]
    if others or total < LEAST * volume:
        if _turned_part(members, least=-1.0):
            return ()
        more = "something else in one solid: a plate, a gusset, a weld seam. Draw that as a solid of its own."
        return Doubt(f"{len(members)} bars and {more}", 1.5)
    return mitred(members)


def _turned_part(members: Sequence[tuple[Bar, Outline]], least: float = 0.01) -> bool:
    """Tell whether two members whose sizes differ by more than this, mm, have one axis: a shaft with a shoulder."""
    straight = [(bar.line.start, outline) for bar, outline in members if not bar.line.table.bends]
    for k, (one, first) in enumerate(straight):
        for two, second in straight[:k]:
            gap = sub(two.origin, one.origin)
            aside = norm(cross(gap, one.tangent))
            parallel = norm(cross(one.tangent, two.tangent)) < 1e-4
            if parallel and aside < 0.01 and abs(first.largest - second.largest) > least:
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


def _round_lines(faces: Sequence[Face], round_ones: Sequence[Rod]) -> Iterator[_Line]:
    for parts, closed, rod, own in round_chains(round_ones):
        line = centreline_of(parts, closed)
        if line is None or line.table.length < 0.5 * rod.radius:
            continue
        hollow = bores(faces, parts, rod.radius)
        outline = round_outline(rod.radius, max(hollow, default=0.0))
        yield line, outline, None, own | set().union(*hollow.values())


def _rectangular_lines(along: LongEdges) -> Iterator[_Line]:
    for line, outline, way in along.lines(in_haste=False):
        yield line, outline, way, along.sides(line, outline)


def _member(shape: Shape, faces: Sequence[Face], line: Centreline, outline: Outline, own: set[int]) -> Bar:
    """Return a member cut to length by the faces that touch it and lie inside it."""
    touching = set(chain.from_iterable(face.edges for face in faces if face.part_of in own))
    beside = (face for face in faces if face.part_of not in own and not touching.isdisjoint(face.edges))
    rests = [Rest(face, points) for face in beside if len(points := shape.samples(face))]
    cut = cut_to_length(line, rests, outline, STANDS_OUT)
    if cut is None:
        return Bar(line, outline.section)
    a, b = (End("joined") if end.cut == "shaped" else end for end in cut.ends)
    return Bar(cut.line, outline.section, None, (a, b), holes_of(cut.line, cut.rests, outline.half))
