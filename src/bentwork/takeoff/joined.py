"""Several bars fused into one solid: the members, each by itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass
from itertools import chain
from typing import NamedTuple

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.space import cross, dot, norm, sub
from bentwork.stock.section import Flat
from bentwork.takeoff.bar import Bar, End, WayBent
from bentwork.takeoff.bars import STANDS_OUT, Doubt, rests_of
from bentwork.takeoff.covered_ends import exactly, hold_together, runs_beside, uncovered
from bentwork.takeoff.ends import Rest, cut_to_length
from bentwork.takeoff.holes import holes_of
from bentwork.takeoff.mitres import mitred
from bentwork.takeoff.no_bars import no_bar
from bentwork.takeoff.outline import Outline, round_outline
from bentwork.takeoff.rectangular import LongEdges
from bentwork.takeoff.rods import Rod, bores
from bentwork.takeoff.round import round_chains
from bentwork.takeoff.runs import centreline_of
from bentwork.takeoff.shape import Face, Floats, Shape
from bentwork.takeoff.unbend import unbent

__all__ = ["Joined", "joined_bars"]

LEAST, MOST = 0.9, 1.7
"""Members overlap where they are joined: their volumes add up to more than the solid, but not to much more."""
MOSTLY = 0.5
"""Members that are at least this share of a solid are told of, if there is something else in it."""
MOST_MEMBERS = 200


@dataclass(frozen=True, slots=True)
class Joined:
    """The members of a solid.

    Args:
        bars: the members.
        and_more: there is something else in the solid: weld seams, gussets.
    """

    bars: tuple[Bar, ...]
    and_more: bool = False


class _Line(NamedTuple):
    """A middle with its section, which way it is bent, and the numbers of the faces along it."""

    middle: Centreline
    outline: Outline
    way: WayBent | None
    own: set[int]


class _Member(NamedTuple):
    """A bar with the numbers of the faces that it ends with, and of all that touch it and lie in it."""

    bar: Bar
    closed_by: Set[int]
    touched: Set[int]


def joined_bars(
    shape: Shape, faces: Sequence[Face], round_ones: Sequence[Rod], along: LongEdges, volume: float
) -> Joined | Doubt | None:
    """Return the members of a solid that is several bars in one; None, or why not, when it is not that."""
    lines: list[_Line] = []
    first: list[_Member] = []
    sides: set[int] = set()
    for line in chain(_round_lines(faces, round_ones), _rectangular_lines(along)):
        if line.own <= sides and sides:
            continue
        member = _member(shape, faces, line)
        if no_bar(member.bar) is not None:
            continue
        lines.append(line)
        first.append(member)
        sides |= line.own
        if len(lines) > MOST_MEMBERS:
            return None
    members = []
    for k, line in enumerate(lines):
        # None goes on into the face that another one ends with.
        foreign = set().union(*(member.closed_by for member in (*first[:k], *first[k + 1 :])))
        member = first[k] if foreign.isdisjoint(first[k].touched) else _member(shape, faces, line, foreign)
        members.append((member.bar, line.outline))
    if len(members) < 2 or _turned_part(members) or _one_plate(faces, lines):
        return None
    total = sum(outline.area * bar.length for bar, outline in members)
    if not MOSTLY * volume <= total <= MOST * volume:
        return None
    others = _outside([Rest(rest.face, _with_middles(shape, rest)) for rest in rests_of(shape, faces, sides)], members)
    if not others and total >= LEAST * volume:
        return Joined(_ended(faces, lines, members))
    if _turned_part(members, least=-1.0) or any(runs_beside(rest, members) for rest in others):
        return None
    if others:
        members = uncovered(members)
        if hold_together(members):
            return Joined(_ended(faces, lines, members), and_more=True)
    more = "something else in one solid: a plate, a gusset, a weld seam. Draw that as a solid of its own."
    return Doubt(f"{len(members)} bars and {more}", 1.5)


def _one_plate(faces: Sequence[Face], lines: Sequence[_Line]) -> bool:
    """Tell whether all members are flats that lie between the same two faces: a plate with openings, or a comb."""
    if not all(isinstance(line.outline.section, Flat) and not line.middle.table.bends for line in lines):
        return False
    shared = set.intersection(*(line.own for line in lines))
    wide = [face for face in faces if face.part_of in shared and face.kind == "plane"]
    thin = lines[0].middle.start.inward
    return sum(abs(dot(face.axis, thin)) > 0.99 for face in wide) >= 2


def _ended(faces: Sequence[Face], lines: Sequence[_Line], members: Sequence[tuple[Bar, Outline]]) -> tuple[Bar, ...]:
    """Return the members with their ends as they meet one another."""
    bars = list(mitred(members))
    rims: list[set[int]] = []
    for k, (bar, line) in enumerate(zip(bars, lines, strict=True)):
        if line.outline.is_round and any(end.cut == "joined" for end in bar.ends):
            rims = rims or [_rim(faces, line.own) for line in lines]
            met = [n for n, rim in enumerate(rims) if n != k and not rim.isdisjoint(rims[k])]
            those = set().union(*(lines[n].own for n in met))
            beside = [face for face in faces if face.part_of in those and not rims[k].isdisjoint(face.edges)]
            bars[k] = exactly(bar, line.outline, [members[n] for n in met], beside)
    return tuple(bars)


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


def _with_middles(shape: Shape, rest: Rest) -> Floats:
    """Return samples of a face, also in the middle of straight edges: the corners of a seam lie on the bars."""
    edges = shape.read_edges()
    own = np.zeros(edges.count, dtype=bool)
    own[list(rest.face.edges)] = True
    return np.concatenate((rest.points, edges.ends[own[edges.line_numbers]].mean(axis=1)))


def _outside(rests: Sequence[Rest], members: Sequence[tuple[Bar, Outline]]) -> list[Rest]:
    """Return the faces that have a sample which lies neither in nor on any member."""
    if not rests:
        return []
    left = np.concatenate([rest.points for rest in rests])
    whose = np.arange(len(rests)).repeat([len(rest.points) for rest in rests])
    for bar, outline in members:
        if len(left) == 0:
            return []
        flat = unbent(bar.line, left)
        over = np.maximum(-flat[:, 0], flat[:, 0] - bar.length)
        out = (outline.beyond(flat) > STANDS_OUT) | (over > STANDS_OUT)
        left, whose = left[out], whose[out]
    return [rests[k] for k in sorted(set(whose.tolist()))]


def _round_lines(faces: Sequence[Face], round_ones: Sequence[Rod]) -> Iterator[_Line]:
    for parts, closed, rod, own in round_chains(round_ones):
        line = centreline_of(parts, closed)
        if line is None or line.table.length < 0.5 * rod.radius:
            continue
        hollow = bores(faces, parts, rod.radius)
        outline = round_outline(rod.radius, max(hollow, default=0.0))
        yield _Line(line, outline, None, own | set().union(*hollow.values()))


def _rectangular_lines(along: LongEdges) -> Iterator[_Line]:
    for line, outline, way in along.lines(in_haste=False):
        if line.table.bends and 2.0 * line.table.length < outline.largest:
            continue  # the rounded corners of another: a bent plate
        yield _Line(line, outline, way, along.sides(line, outline))


def _rim(faces: Sequence[Face], own: set[int]) -> set[int]:
    """Return the edges of some of the faces."""
    return set(chain.from_iterable(face.edges for face in faces if face.part_of in own))


def _member(shape: Shape, faces: Sequence[Face], line: _Line, foreign: Set[int] = frozenset()) -> _Member:
    """Return a member cut to length by the faces that touch it and lie inside it, but for those of another."""
    middle, outline, way, own = line
    touching = _rim(faces, own)
    not_its = own | foreign
    beside = [face for face in faces if face.part_of not in not_its and not touching.isdisjoint(face.edges)]
    rests = [Rest(face, points) for face, points in zip(beside, shape.samples(beside), strict=True) if len(points)]
    cut = cut_to_length(middle, rests, outline, STANDS_OUT)
    if cut is None:
        return _Member(Bar(middle, outline.section, way), frozenset(), frozenset())
    a, b = (End("joined") if end.cut == "shaped" else end for end in cut.ends)
    bar = Bar(cut.line, outline.section, way, (a, b), holes_of(cut.line, cut.rests, outline.half))
    closed_by, touched = set(), set()
    for rest, flat in zip(cut.rests, cut.flats, strict=True):
        touched.add(rest.face.part_of)
        for end, at in ((a, 0.0), (b, bar.length)) if rest.face.kind == "plane" else ():
            cut_there = end.cut in ("square", "mitred")
            if cut_there and float(np.abs(flat[:, 0] - at).max()) < end.beyond + STANDS_OUT:
                closed_by.add(rest.face.part_of)
    return _Member(bar, frozenset(closed_by), frozenset(touched))
