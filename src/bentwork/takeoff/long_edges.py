"""Straights and arcs of square, rectangular and flat bar, from the edges that run along it.

Edges that go round one axis through one angle are the corners of a bend; where they stand from the axis and along it
is the section.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from bentwork.space import Vec, distance, scale
from bentwork.takeoff.bends_about import Bend, Ints
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.runs import ASTRAY, MEETS, Arc, Part, Straight
from bentwork.takeoff.shape import Floats

__all__ = ["Strip", "alike", "bent_strip", "by_section"]

PARALLEL = 1e-6
"""Lines whose directions differ by less in the cosine run the same way."""
LEAN = 3e-3
"""Those lean from one another by less, rad."""
MOST_LINES = 600
"""Straight edges looked at in one solid: a bar of 200 bends with rounded corners, hollow, has more than most frames."""
NOTHING = np.zeros(0, dtype=np.intp)
MOST_PAIRS = 400_000
"""Corners of bends held against straight edges at a time."""


@dataclass(frozen=True, slots=True)
class Strip:
    """Straights and arcs with one section, not yet chained.

    Args:
        outline: of one of its bends; of a straight bar, ``inward`` lies along ``thick``.
        parts: straights and arcs.
        bends: every arc with the outline as it stands in that bend.
        edges: numbers of edges that run along them; there may be others.
        thick: of a straight bar, the direction that its smaller size runs in.
        broken: of a straight bar, none of its edges is seen somewhere along it.
    """

    outline: Outline
    parts: tuple[Part, ...]
    bends: tuple[tuple[Arc, Outline], ...] = ()
    edges: Ints = field(default_factory=lambda: NOTHING)
    thick: Vec | None = None
    broken: bool = False


@dataclass(frozen=True, slots=True)
class _Lines:
    """Straight edges put together where they run on.

    Args:
        origins: points of the lines, (n, 3).
        ways: along them, unit, (n, 3).
        lows: how far from the origins they begin, mm, (n,).
        highs: how far from there they end, mm, (n,).
        places: of each that is one edge its place among the solid's; -1 for others, (n,).
    """

    origins: Floats
    ways: Floats
    lows: Floats
    highs: Floats
    places: Ints


def by_section(bends: Sequence[Bend]) -> list[list[Bend]]:
    """Return bends by their sections, those with most metal in them first."""
    groups: list[list[Bend]] = []
    for one in bends:
        for group in groups:
            if alike(group[0].outline, one.outline):
                group.append(one)
                break
        else:
            groups.append([one])
    groups.sort(key=lambda group: -sum(bend.arc.length for bend in group) * group[0].outline.area)
    return groups


def bent_strip(bends: Sequence[Bend], edges: Edges) -> Strip:
    """Return bends of one section, and the straights between and beside them.

    Args:
        bends: all of the section.
        edges: of the solid.
    """
    frames = np.array(
        [
            frame
            for arc in (bend.arc for bend in bends)
            for frame in (
                (arc.a, arc.out, arc.axis, scale(arc.tangents[0], -1.0)),
                (arc.b, arc.last_out, arc.axis, arc.tangents[1]),
            )
        ]
    )
    reach = np.abs(np.concatenate([bend.corners for bend in bends])).max(axis=0) + 2 * MEETS
    lines = _lines(edges.ends, frames, reach)
    straights: list[Straight] = []
    all_found, met = _straights(bends, frames, reach, lines)
    for found in all_found:
        known = next(((k, back) for k, one in enumerate(straights) if (back := _same(found, one)) is not None), None)
        if known is None:
            straights.append(found)
        elif known[1]:
            # From one bend to the next: each knows best where itself ends.
            straights[known[0]] = Straight(straights[known[0]].a, found.a)
    seen = tuple((bend.arc, bend.outline) for bend in bends)
    places = lines.places[met]
    circles = edges.circle_numbers[np.concatenate([bend.circles for bend in bends])]
    own = np.concatenate((circles, edges.line_numbers[places[places >= 0]]))
    return Strip(bends[0].outline, (*(arc for arc, _ in seen), *straights), seen, own)


def alike(a: Outline, b: Outline) -> bool:
    """Tell whether two outlines are of one section."""
    return (
        type(a.section) is type(b.section)
        and abs(a.area - b.area) < 0.002 * a.area
        and (abs(a.largest - b.largest) < 0.02)
    )


def _same(one: Straight, two: Straight) -> bool | None:
    """Tell whether two straights are one, and then whether they run against one another; None where they are not."""
    # What a bend misses its direction by grows along the straight.
    near = 3 * MEETS + ASTRAY * one.length
    if distance(one.a, two.a) < near and distance(one.b, two.b) < near:
        return False
    return True if distance(one.a, two.b) < near and distance(one.b, two.a) < near else None


def _lines(ends: Floats, frames: Floats, reach: Floats) -> _Lines:
    """Return what straight edges run on in one line, of those that run straight on from an end of a bend.

    Args:
        ends: of the edges, (n, 2, 3).
        frames: where ends of bends are, out from their axes, along these, and straight on; (k, 4, 3).
        reach: how far from the middle the edges of the section run, out and along, mm, (2,).
    """
    nothing = _Lines(np.zeros((0, 3)), np.zeros((0, 3)), np.zeros(0), np.zeros(0), NOTHING)
    if len(ends) == 0:
        return nothing
    chords = ends[:, 1] - ends[:, 0]
    sizes = np.sqrt(np.einsum("ij,ij->i", chords, chords))
    ahead = frames[:, 3]
    fit = np.abs(ahead @ chords.T) > (1.0 - 2.0 * PARALLEL) * np.maximum(sizes, 1e-6)
    chosen = fit.any(axis=0).nonzero()[0]
    if len(chosen) == 0:
        return nothing
    # What leans a little comes from further aside.
    firsts = (ends[chosen, 0] - frames[:, None, 0]).transpose(0, 2, 1)
    lean = LEAN * np.abs(np.matmul(ahead[:, None], firsts)) + MEETS
    near = (np.abs(np.matmul(frames[:, 1:3], firsts)) < reach[:, None] + lean).all(axis=1)
    chosen = chosen[(near & fit[:, chosen]).any(axis=0)]
    if len(chosen) == 0:
        return nothing
    chosen = chosen[np.argsort(-sizes[chosen], kind="stable")][:MOST_LINES]
    ends, ways = ends[chosen], chords[chosen] / sizes[chosen, None]
    middle = ends[0, 0]
    points = ends - middle
    firsts, lasts = points[:, 0], points[:, 1]
    heights, squares = np.einsum("ij,ij->i", firsts, ways), np.einsum("ij,ij->i", firsts, firsts)
    # Of all lines how far beside each their first ends lie; and of those that are near, the last ones.
    at = ways @ firsts.T - heights[:, None]
    one, other = (squares[:, None] - 2.0 * firsts @ firsts.T + squares - at * at < MEETS**2).nonzero()
    rel = lasts[other] - firsts[one]
    end = np.einsum("ij,ij->i", rel, ways[one])
    near = (np.einsum("ij,ij->i", rel, rel) - end * end < MEETS**2) | (one == other)
    one, other, begin, end = one[near], other[near], at[one[near], other[near]], end[near]
    lone = np.bincount(one, minlength=len(ends)) + np.bincount(other, minlength=len(ends)) == 2
    apart = lone.nonzero()[0]
    some = (~lone[one]).nonzero()[0]
    if len(some) == 0:
        return _Lines(ends[:, 0], ways, np.zeros(len(ends)), sizes[chosen], chosen)
    lows, highs = np.minimum(begin, end), np.maximum(begin, end)
    spans: dict[int, list[tuple[int, tuple[float, float]]]] = {}
    for k, number, low, high in zip(*(row[some].tolist() for row in (one, other, lows, highs)), strict=True):
        spans.setdefault(k, []).append((number, (low, high)))
    rows: list[tuple[int, float, float]] = []
    gone: set[int] = set()
    for k, others in spans.items():
        if k not in gone:
            rows += [(k, *span) for span in _merged([span for number, span in others if number not in gone])]
            gone.update(number for number, _ in others)
    numbers = np.append(apart, [k for k, _, _ in rows])
    lows = np.append(np.zeros(len(apart)), [low for _, low, _ in rows])
    highs = np.append(sizes[chosen[apart]], [high for _, _, high in rows])
    places = np.append(chosen[apart], np.full(len(rows), -1))
    return _Lines(ends[numbers, 0], ways[numbers], lows, highs, places)


def _merged(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1] + MEETS:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found


def _straights(bends: Sequence[Bend], frames: Floats, reach: Floats, lines: _Lines) -> tuple[list[Straight], Ints]:
    """Return the straights that run on from both ends of bends, each as far as the farthest of its lines, and these.

    Args:
        bends: they.
        frames: where the ends of each are, out from its axis, along that, and straight on; (k, 4, 3).
        reach: how far from the middle the edges of the section run, out and along, mm, (2,).
        lines: straight edges.
    """
    found: list[Straight] = []
    those: list[Ints] = [NOTHING]
    if len(lines.lows) == 0:
        return found, NOTHING
    most = max(len(bend.corners) for bend in bends)
    table = np.full((len(bends), most, 2), np.inf)
    for row, bend in zip(table, bends, strict=True):
        row[: len(bend.corners)] = bend.corners
    radii = np.array([bend.arc.radius for bend in bends]).repeat(2)
    # Of a bend without an inside radius an edge across its end lies in line with one along the bar; and an edge along
    # the middle of a side, where that is in pieces, may run on through the side of the next bend.
    bounds = _to_the_next(frames)
    each = max(1, MOST_PAIRS // len(lines.lows))
    for first in range(0, len(frames), each):
        some = frames[first : first + each]
        same = some[:, 3] @ lines.ways.T
        end, line = (np.abs(same) > 1.0 - PARALLEL).nonzero()
        own, ways, way = some[end], lines.ways[line], same[end, line]
        rel = lines.origins[line] - own[:, 0]
        # Where lines pass the plane of the end, and how far that is along them.
        at = -np.einsum("ij,ij->i", rel, own[:, 3]) / way
        rel += at[:, None] * ways
        seen = np.einsum("ij,ikj->ik", rel, own[:, 1:3]) * (-1.0, 1.0)
        low, high = lines.lows[line], lines.highs[line]
        near = (at > low - 2 * MEETS) & (at < high + 2 * MEETS) & (np.abs(seen) < reach).all(axis=1)
        ahead = np.sign(way)[near, None] * ways[near]
        end, line, far = end[near], line[near], np.where(way > 0.0, high - at, at - low)[near]
        apart = table[(first + end) // 2] - seen[near, None]
        which, corner = (np.einsum("ijk,ijk->ij", apart, apart) < (2 * MEETS) ** 2).nonzero()
        met = np.zeros((len(some), most), dtype=bool)
        met[end[which], corner] = True
        those.append(line[which])
        reaches = np.zeros(len(some))
        np.maximum.at(reaches, end[which], far[which])
        reaches = np.minimum(reaches, bounds[first : first + each])
        # Its longest edge knows best where a straight runs to, if it is longer than the bend is round.
        longest = which[far[which].argsort()]
        longest = longest[far[longest] > radii[first + end[longest]]]
        directions = some[:, 3].copy()
        directions[end[longest]] = ahead[longest]
        to = some[:, 0] + reaches[:, None] * directions
        # Between two bends all edges are as long as one another; towards a cut end they need not be.
        held = (met.sum(axis=1) >= 2) & (reaches >= MEETS)
        for (ax, ay, az), (bx, by, bz) in zip(some[held, 0].tolist(), to[held].tolist(), strict=True):
            found.append(Straight((ax, ay, az), (bx, by, bz)))
    return found, np.concatenate(those)


def _to_the_next(ends: Floats) -> Floats:
    """Return how far it is from ends of bends straight on to another that looks back; infinite where there is none.

    Args:
        ends: where they are, out from their axes, along these, and straight on; (n, 4, 3).
    """
    ways = ends[:, 3]
    rel = ends[None, :, 0] - ends[:, None, 0]
    ahead = np.einsum("ijk,ik->ij", rel, ways)
    aside = np.einsum("ijk,ijk->ij", rel, rel) - ahead * ahead
    faces = (ways @ ways.T < PARALLEL - 1.0) & (aside < (2 * MEETS) ** 2) & (ahead > -MEETS)
    found: Floats = np.where(faces, np.maximum(ahead, 0.0), np.inf).min(axis=1)
    return found
