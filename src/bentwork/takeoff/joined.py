"""Several bars fused into one solid: the members, each by itself."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass
from itertools import accumulate, chain, islice
from typing import NamedTuple

import numpy as np

from bentwork.space import cross, dot, norm, sub
from bentwork.stock.section import Flat, SquareTube, Tube
from bentwork.takeoff.against_bars import Member, stand_out
from bentwork.takeoff.around import Around
from bentwork.takeoff.bar import Bar, End
from bentwork.takeoff.bars import STANDS_OUT, Doubt, rests_of
from bentwork.takeoff.covered_ends import exactly, runs_beside, stands_by_itself, touching, uncovered
from bentwork.takeoff.ends import cut_to_length
from bentwork.takeoff.holes import holes_of
from bentwork.takeoff.long_edges import alike
from bentwork.takeoff.mitres import mitred
from bentwork.takeoff.no_bars import no_bar
from bentwork.takeoff.outline import Outline, round_outline
from bentwork.takeoff.rectangular import LongEdges
from bentwork.takeoff.rests import Rest, Seen
from bentwork.takeoff.round import RoundChains
from bentwork.takeoff.shape import Face, Floats, Shape
from bentwork.takeoff.through import Line, put_together, taken_apart
from bentwork.takeoff.unbend import unbent

__all__ = ["Joined", "joined_bars"]

LEAST, MOST = 0.9, 1.7
"""Members overlap where they are joined: their volumes add up to more than the solid, but not to much more."""
MOSTLY = 0.5
"""Members that are at least this share of a solid are told of, if there is something else in it."""
MOST_MEMBERS = 200
MOST_LINES = 600
"""Of more in one solid none are put together: every end would be held against every other."""
CORNER = 0.3
"""Share of its radius by which the middle of a rounded corner lies within both sides: 1 - cos 45 degrees."""
SIDEWAYS = 0.999
"""A plane is parallel to a side of a bar: cosine of the angle between them."""
IN_BORE = 0.05
"""What lies further in a bore than its wall is not on that, mm."""
LEG_WITHIN = 0.1
"""The middle of a leg lies nearer to that of its bar, mm."""
LINES_AT_ONCE = 64
"""Lines whose ends are looked at together."""


@dataclass(frozen=True, slots=True)
class Joined:
    """The members of a solid.

    Args:
        bars: the members.
        and_more: there is something else in the solid: weld seams, gussets.
    """

    bars: tuple[Bar, ...]
    and_more: bool = False


class _Member(NamedTuple):
    """A bar with the numbers of the faces that it ends with, and of all that touch it and lie in it."""

    bar: Bar
    closed_by: Set[int]
    touched: Set[int]


def joined_bars(
    shape: Shape, faces: Sequence[Face], chains: RoundChains, along: LongEdges, volume: float
) -> Joined | Doubt | None:
    """Return the members of a solid that is several bars in one; None, or why not, when it is not that."""
    around = Around(shape, faces)
    lines: list[Line] = []
    first: list[_Member] = []
    sides: set[int] = set()
    curved = {face.part_of for face in faces if face.kind != "plane"}
    for line, rests in _with_rests(around, _lines(chains, along)):
        # The wall of a tube looks like a flat bent to a ring, and its end like that one's edge.
        told = (line.middle.table.closed and line.own & curved) or line.own
        if told <= sides and sides:
            continue
        whole = next((k for k, other in enumerate(lines) if _is_leg(line, other)), None)
        if whole is not None:
            lines[whole] = lines[whole]._replace(own=lines[whole].own | line.own)
            sides |= line.own
            continue
        # Legs of a wide flat are seen before its bends are.
        legs = [k for k, other in enumerate(lines) if _is_leg(other, line)]
        if legs:
            line = line._replace(own=line.own.union(*(lines[k].own for k in legs)))
            rests = around.rests(line.own)
        member = _member(line, rests)
        if no_bar(member.bar) is not None:
            continue
        lines = [other for k, other in enumerate(lines) if k not in legs]
        first = [other for k, other in enumerate(first) if k not in legs]
        lines.append(line)
        first.append(member)
        sides |= line.own
        if len(lines) > MOST_MEMBERS:
            many = f"what may be more than {MOST_MEMBERS} bars in one solid, too many to tell."
            return Doubt(f"{many} Save them, or a part of the frame, as solids of their own.", 1.5)
    members = []
    ends = Counter(chain.from_iterable(member.closed_by for member in first))
    for line, member in zip(lines, first, strict=True):
        # None goes on into the face that another one ends with.
        foreign = {number for number in member.touched if ends[number] > (number in member.closed_by)}
        found = _member(line, around.rests(line.own, foreign)) if foreign else member
        members.append((found.bar, line.outline))
    bent = any(bar.line.table.bends for bar, _ in members)
    if not (bent or len(members) > 1) or _turned_part(members) or _one_plate(faces, lines):
        return None
    total = sum(outline.area * bar.length for bar, outline in members)
    # One alone overlaps none; what is cut out of it is a tenth at most.
    if not MOSTLY * volume <= total <= (MOST if len(members) > 1 else 1.0 / LEAST) * volume:
        return None
    others = _outside(shape, rests_of(shape, faces, sides), members)
    if bent and _in_one_another(lines):
        return Doubt("a bar whose sides are split so that it looks like two that lie in one another", 1.5)
    walled = any(_walled(shape, faces, line) for line in lines)
    if not others and total >= LEAST * volume and not walled:
        return Joined(_ended(around, lines, members)) if len(members) > 1 else None
    if _turned_part(members, least=-1.0):
        return None
    if walled or runs_beside(others, members):
        alone = "Two that lie along one another are not told apart: draw each as a solid of its own."
        says = f"{len(members)} bars, and something else along one of them: another bar, a rib. {alone}"
        return Doubt(says, 0.6) if len(members) > 1 else None
    if others:
        members = uncovered(members)
        held = touching(members)
        apart = [k for k, touches in enumerate(held) if not touches]
        if (bent or any(held)) and all(stands_by_itself(*members[k], around.rests(lines[k].own)) for k in apart):
            return Joined(_ended(around, lines, members), and_more=True)
    several = "one bar" if len(members) == 1 else f"{len(members)} bars"
    more = "something else in one solid: a plate, a gusset, a weld seam. Draw that as a solid of its own."
    return Doubt(f"{several} and {more}", 1.5)


def _is_leg(one: Line, other: Line) -> bool:
    """Tell whether a straight bar is a part of a bent one: of one section, and its middle lies in the other's."""
    if not other.middle.table.bends or one.middle.table.bends or not alike(one.outline, other.outline):
        return False
    flat = unbent(other.middle, np.array((one.middle.start.origin, one.middle.end.origin)))
    apart = abs(float(flat[1, 0] - flat[0, 0]))
    if other.middle.table.closed:
        apart = min(apart, other.middle.table.length - apart)  # the seam may be in the leg
    near = bool((np.hypot(flat[:, 1], flat[:, 2]) < LEG_WITHIN).all())
    return near and abs(apart - one.middle.table.length) < LEG_WITHIN


def _one_plate(faces: Sequence[Face], lines: Sequence[Line]) -> bool:
    """Tell whether all members are flats that lie between the same two faces: a plate with openings, or a comb."""
    if not all(isinstance(line.outline.section, Flat) and not line.middle.table.bends for line in lines):
        return False
    shared = set.intersection(*(line.own for line in lines))
    wide = [face for face in faces if face.part_of in shared and face.kind == "plane"]
    thin = lines[0].middle.start.inward
    return sum(abs(dot(face.axis, thin)) > 0.99 for face in wide) >= 2


def _ended(around: Around, lines: Sequence[Line], members: Sequence[Member]) -> tuple[Bar, ...]:
    """Return the members with their ends as they meet one another."""
    bars = list(mitred(members))
    own = rims = np.zeros((0, 0), dtype=bool)
    for k, (bar, line) in enumerate(zip(bars, lines, strict=True)):
        if line.outline.is_round and any(end.cut == "joined" for end in bar.ends):
            if len(own) == 0:
                own = around.own([line.own for line in lines])
                rims = around.rims(own)
            met = [n for n in (rims & rims[k]).any(axis=1).nonzero()[0].tolist() if n != k]
            beside = (around.touching(rims[k : k + 1])[0] & own[met].any(axis=0)).nonzero()[0]
            bars[k] = exactly(bar, line.outline, [members[n] for n in met], [around.faces[n] for n in beside.tolist()])
    return tuple(bars)


def _turned_part(members: Sequence[Member], least: float = 0.01) -> bool:
    """Tell whether two members whose sizes differ by more than this, mm, have one axis: a shaft with a shoulder."""
    straight = [(bar.line.start, outline) for bar, outline in members if not bar.line.table.bends]
    for k, (one, first) in enumerate(straight):
        for two, second in straight[:k]:
            if abs(first.largest - second.largest) > least and norm(cross(one.tangent, two.tangent)) < 1e-4:
                gap = sub(two.origin, one.origin)
                if norm(cross(gap, one.tangent)) < 0.01:
                    return True
    return False


def _outside(shape: Shape, rests: Sequence[Rest], members: Sequence[Member]) -> list[Floats]:
    """Return the faces that have a sample which lies neither in nor on any member, by their samples.

    There are also samples in the middle of straight edges: the corners of a seam lie on the bars.
    """
    edges = shape.read_edges()
    places = {number: k for k, number in enumerate(edges.line_numbers.tolist())}
    middles = edges.ends.mean(axis=1)
    parts: list[Floats] = []
    counts: list[int] = []
    for rest in rests:
        if len(rest.points):
            straight = [places[number] for number in rest.face.edges if number in places]
            parts += [rest.points, middles[straight]]
            counts.append(len(rest.points) + len(straight))
    if not parts:
        return []
    points = np.concatenate(parts)
    outside = np.ones(len(points), dtype=bool)
    for some, stations, out in stand_out(members, points):
        over = np.maximum(-stations, stations - np.array([[bar.length] for bar, _ in some]))
        # What stands in the bore of a tube is no part of it: the wall between two that lie side by side.
        bore = np.array([[-_wall(outline)] for _, outline in some])
        outside &= ((np.maximum(over, out) > STANDS_OUT) | (out < bore)).all(axis=0)
    starts = np.array([0, *accumulate(counts)])
    seen = np.logical_or.reduceat(outside, starts[:-1]).tolist()
    spans = zip(starts[:-1].tolist(), starts[1:].tolist(), seen, strict=True)
    return [points[begin:end] for begin, end, out_there in spans if out_there]


def _in_one_another(lines: Sequence[Line]) -> bool:
    """Tell whether straights of two bars of one section, of which one is bent, lie in one another: they are one bar."""
    runs = [
        (k, bool(line.middle.table.bends), run)
        for k, line in enumerate(lines)
        for run in line.middle.runs
        if not run.bend and run.length > line.outline.half
    ]
    for n, (k, bent, one) in enumerate(runs):
        for j, other_bent, two in runs[:n]:
            if k == j or not (bent or other_bent) or not alike(lines[k].outline, lines[j].outline):
                continue
            between, ahead = sub(two.start.origin, one.start.origin), one.start.tangent
            lean = dot(two.start.tangent, ahead)
            if abs(lean) < SIDEWAYS or norm(cross(between, ahead)) > LEG_WITHIN:
                continue
            begin = dot(between, ahead) + min(0.0, lean * two.length)
            if min(one.length, begin + two.length) - max(0.0, begin) > lines[k].outline.half:
                return True
    return False


def _walled(shape: Shape, faces: Sequence[Face], line: Line) -> bool:
    """Tell whether a side of a straight square tube stands in its bore: it is two tubes that lie side by side."""
    if line.middle.table.bends or not isinstance(line.outline.section, SquareTube):
        return False
    pose, deep = line.middle.start, _wall(line.outline)
    ways = ((pose.inward, line.outline.inward - deep), (pose.axis, line.outline.across - deep))
    within = [
        face
        for face in faces
        if face.kind == "plane"
        and face.part_of in line.own
        and any(
            abs(dot(face.axis, way)) > SIDEWAYS and abs(dot(sub(face.origin, pose.origin), way)) < room
            for way, room in ways
        )
    ]
    # The sides of a bar that goes through the tube may be among its own, too.
    spans = (np.ptp(points @ np.array(pose.tangent)) for points in shape.samples(within) if len(points))
    return any(span > 0.5 * line.middle.table.length for span in spans)


def _wall(outline: Outline) -> float:
    """Return how far under the sides of a bar its metal goes at most, mm."""
    if not isinstance(outline.section, Tube | SquareTube):
        return math.inf
    return outline.section.wall + CORNER * max(outline.bore, default=0.0) + IN_BORE


def _lines(chains: RoundChains, along: LongEdges) -> Iterator[Line]:
    """Return what may be bars, or parts of them; of a solid with very many each as it is seen."""
    found = chain(_round_lines(chains), _rectangular_lines(along))
    some = list(islice(found, MOST_LINES))
    return iter(put_together(taken_apart(some, along), along)) if len(some) < MOST_LINES else chain(some, found)


def _round_lines(chains: RoundChains) -> Iterator[Line]:
    for one in chains:
        line, radius = one.line, one.rod.radius
        if line is not None and line.table.length >= 0.5 * radius:
            yield Line(line, round_outline(radius, max(one.hollow, default=0.0)), None, one.own)


def _rectangular_lines(along: LongEdges) -> Iterator[Line]:
    along.look_at_sides()
    for line, outline, way in along.lines(in_haste=False):
        if line.table.bends and 2.0 * line.table.length < outline.largest:
            continue  # the rounded corners of another: a bent plate
        yield Line(line, outline, way, along.sides(line, outline))


def _with_rests(around: Around, lines: Iterator[Line]) -> Iterator[tuple[Line, Sequence[Rest] | Seen]]:
    """Yield lines with what touches their sides, of straight ones as it is seen from them: those of many at once."""
    while some := list(islice(lines, LINES_AT_ONCE)):
        straight = [line for line in some if not line.middle.table.bends]
        seen = iter(around.seen([(line.middle, line.outline, line.own) for line in straight], STANDS_OUT))
        for line in some:
            yield line, around.rests(line.own) if line.middle.table.bends else next(seen)


def _member(line: Line, rests: Sequence[Rest] | Seen) -> _Member:
    """Return a member cut to length by those of the faces that touch it that lie inside it."""
    middle, outline, way, _ = line
    cut = cut_to_length(middle, rests, outline, STANDS_OUT)
    if cut is None:
        return _Member(Bar(middle, outline.section, way), frozenset(), frozenset())
    a, b = (End("joined") if end.cut == "shaped" else end for end in cut.ends)
    bar = Bar(cut.line, outline.section, way, (a, b), holes_of(cut.line, cut.rests, outline.half))
    closed_by, touched = set(), set()
    for rest, (low, high) in zip(cut.rests, cut.spans, strict=True):
        touched.add(rest.face.part_of)
        for end, at in ((a, 0.0), (b, bar.length)) if rest.face.kind == "plane" else ():
            cut_there = end.cut in ("square", "mitred")
            if cut_there and max(high - at, at - low) < end.beyond + STANDS_OUT:
                closed_by.add(rest.face.part_of)
    return _Member(bar, frozenset(closed_by), frozenset(touched))
