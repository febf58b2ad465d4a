"""The bends about one axis, from the circles that go round it: which of them go together, and the corners they make."""

from __future__ import annotations

import math
from collections.abc import Callable, Set
from itertools import chain
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.space import Vec, along, cross, dot, scale, unit
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.outline import Outline, rectangle_from
from bentwork.takeoff.runs import ASKEW, MEETS, Arc
from bentwork.takeoff.shape import Floats

__all__ = ["SAME_WAY", "Axis", "Bend", "by_axis"]

SAME_WAY = 1e-4
"""Directions that differ by less are one, rad."""

LEVEL = 0.1
"""A section that is turned to its bend by less is bent the easy or the hard way, degrees."""
ROUND = math.pi - 1e-3
"""A bend without an inside radius turns by less, rad: its legs would lie on one another."""
MOST_ROWS = 40
"""Edges about one axis at so many places along it are held against one another."""
FAR_OFF = 100.0
"""Directions are told apart by where they lead in this, mm."""

Ints = NDArray[np.intp]


class Bend(NamedTuple):
    """A bend with what it was seen by.

    Args:
        arc: of the middle.
        corners: from the axis and along it, about the middle, (n, 2).
        outline: that they make.
        circles: places among the solid's arcs of the edges along the bend; nothing where there is more about its axis.
    """

    arc: Arc
    corners: Floats
    outline: Outline
    circles: Ints


def by_axis(edges: Edges) -> tuple[list[Axis], list[Axis]]:
    """Return circles by their axes: those that bends are likely about, and the others."""
    circles = edges.arcs
    sweeps = circles[:, 14] - circles[:, 13]
    if len(circles) < 4 and (sweeps > ROUND).all():
        return [], []
    signs = _fronts(circles[:, 3:6])
    ways = circles[:, 3:6] * signs[:, None]
    centres = circles[:, :3]
    heights = np.einsum("ij,ij->i", centres, ways)
    feet = centres - heights[:, None] * ways
    radii = circles[:, 12]
    begins = edges.points.take(np.where(signs > 0.0, edges.starts[:-1], edges.starts[1:] - 1), axis=0)
    # The feet of skew directions drift apart with the distance from the origin: both are asked for.
    far = 2 * MEETS + SAME_WAY * 0.01 * np.abs(centres).max(axis=1)
    leaders = _leaders(feet - feet[0], ways, far)
    order = leaders.argsort(kind="stable")
    starts = _begun(leaders[order])
    counts = np.append(starts[1:], len(order)) - starts
    tall, wide = heights[order], radii[order]
    low, high = np.minimum.reduceat(wide, starts), np.maximum.reduceat(wide, starts)
    least, most = np.minimum.reduceat(tall, starts), np.maximum.reduceat(tall, starts)
    bent = (most - least <= low + high) & (low < high)
    table = np.column_stack((begins, sweeps, radii, heights))
    # Of a bend without an inside radius the inside is an edge on the axis, at least as long as the bar is thick.
    sharp = ((high - low < MEETS) & (most - least > low - MEETS)).nonzero()[0]
    if len(sharp):
        sharp = sharp[np.maximum.reduceat(sweeps[order], starts)[sharp] < ROUND]
    firsts = order[starts[sharp]]
    inside = _on_axes(firsts, feet[firsts], ways[firsts], edges.ends) if len(sharp) else {}
    found: tuple[list[Axis], list[Axis]] = ([], [])
    rows = zip(*(row.tolist() for row in (starts, counts, bent, least, most, high)), strict=True)
    for start, count, is_bent, *span, widest in rows:
        own = order[start : start + count]
        on_axis = inside.get(int(own[0]), ())
        if count + len(on_axis) >= 4:
            found[not is_bent].append(Axis(ways[own[0]], feet[own[0]], table, own, (span[0], span[1]), widest, on_axis))
    return found


def _fronts(ways: Floats) -> Floats:
    """Return 1 for directions whose first coordinate that is not 0 is positive, else -1: an axis has no front, (n,)."""
    lead = np.where(np.abs(ways[:, 0]) > 1e-6, ways[:, 0], np.where(np.abs(ways[:, 1]) > 1e-6, ways[:, 1], ways[:, 2]))
    return np.sign(lead)


def _on_axes(numbers: Ints, feet: Floats, ways: Floats, ends: Floats) -> dict[int, tuple[float, ...]]:
    """Return where edges that lie on axes end along these, by the numbers of the axes.

    Args:
        numbers: of the axes, (n,).
        feet: of them, (n, 3).
        ways: along them, unit, (n, 3).
        ends: of straight edges, (m, 2, 3).
    """
    chords = ends[:, 1] - ends[:, 0]
    chords /= np.maximum(1e-12, np.sqrt(np.einsum("ij,ij->i", chords, chords)))[:, None]
    chords *= _fronts(chords)[:, None]
    places = np.einsum("mij,mj->mi", ends, chords)
    beside = ends[:, 0] - places[:, :1] * chords
    far = 2 * MEETS + SAME_WAY * 0.01 * np.abs(ends).max(initial=0.0)
    feet, ways = np.concatenate((feet, beside)), np.concatenate((ways, chords))
    leaders = _leaders(feet - feet[0], ways, np.full(len(feet), far))[len(numbers) :]
    on_axis = leaders < len(numbers)
    return dict(zip(numbers[leaders[on_axis]].tolist(), map(tuple, places[on_axis].tolist()), strict=True))


def _leaders(feet: Floats, ways: Floats, far: Floats) -> Ints:
    """Return of every circle the first one that has its axis, (n,).

    Args:
        feet: of the axes, (n, 3).
        ways: along them, unit, (n, 3).
        far: how near to the foot of each those of others are, mm, (n,).
    """
    # Seen from askew, those of one axis lie close together, and hardly ever others among them.
    seen = (feet + FAR_OFF * ways) @ np.array(ASKEW)
    order = seen.argsort()
    row = seen.take(order)
    begun = np.ones(len(order), dtype=bool)
    begun[1:] = row[1:] - row[:-1] > float(far.max()) + FAR_OFF * SAME_WAY
    leaders = np.empty(len(feet), dtype=np.intp)
    leaders[order] = np.minimum.reduceat(order, begun.nonzero()[0]).take(begun.cumsum() - 1)

    def alike(some: Ints | slice, leader: Ints) -> NDArray[np.bool_]:
        apart = feet[some] - feet.take(leader, axis=0)
        found: NDArray[np.bool_] = np.einsum("ij,ij->i", apart, apart) < far.take(leader) ** 2
        found &= np.einsum("ij,ij->i", ways[some], ways.take(leader, axis=0)) > 1.0 - SAME_WAY**2 / 2.0
        return found

    for mixed in set(leaders[~alike(slice(None), leaders)].tolist()):
        left = (leaders == mixed).nonzero()[0]
        while len(left):
            own = alike(left, left[:1].repeat(len(left)))
            own[0] = True
            leaders[left[own]] = left[0]
            left = left[~own]
    return leaders


def _begun(row: Ints) -> Ints:
    """Return where each number of an ordered row comes first."""
    return np.concatenate(((0,), (row[1:] != row[:-1]).nonzero()[0] + 1))


class Axis(NamedTuple):
    """Circles about one axis.

    Args:
        way: unit, (3,).
        foot: point of the axis that is nearest to the origin, (3,).
        circles: of all, where the arc begins, gone round by the right-hand rule, how far it goes, rad, its radius,
            and how far along the axis its centre is from the foot, mm; (n, 6).
        own: which of these go round the axis.
        span: how far along the axis the first and the last centre are from the foot, mm.
        widest: the largest radius, mm.
        inside: where along the axis an edge that lies on it begins and ends, mm; nothing where none does.
    """

    way: Floats
    foot: Floats
    circles: Floats
    own: Ints
    span: tuple[float, float]
    widest: float
    inside: tuple[float, ...] = ()

    def bends(self, smooth: Callable[[], Set[int]]) -> list[Bend]:
        """Return the bends about the axis.

        Args:
            smooth: gives places among the solid's arcs of edges within one side, where the model has this in pieces.
        """
        x, y, spans = self._spans()
        own = self.own if len(spans) == 1 else self.own[:0]
        found: list[Bend] = []
        for low, high, corners in spans:
            one = self._bend(x, y, low, high, corners)
            if one is None or len(corners) > _told_by(one[2]):
                # Bars may be bent about one axis above one another.
                parts = [self._bend(x, y, low, high, storey) for storey in _storeys(self._without(corners, smooth()))]
                if len(parts) > 1:
                    found += [Bend(*part, own[:0]) for part in parts if part is not None]
                    continue
            if one is not None:
                found.append(Bend(*one, own))
        return found

    def _without(self, corners: list[tuple[float, float]], smooth: Set[int]) -> list[tuple[float, float]]:
        """Return corners that are none within a side."""
        rows = zip(self.own.tolist(), self.circles[self.own, 4:].tolist(), strict=True)
        edges = [(0.0, z) for z in self.inside] + [(rho, z) for number, (rho, z) in rows if number not in smooth]
        return [(a, b) for a, b in corners if any(abs(a - rho) < MEETS and abs(b - z) < MEETS for rho, z in edges)]

    def across_a_corner(self) -> float | None:
        """Return how far a section that is bent about the axis is turned to it, degrees; None when none is askew."""
        for low, high, corners in self._spans()[2]:
            if high - low < 2.0 * math.pi - 1e-6 and len(corners) in (4, 8, 16):  # sharp or round corners, a bore
                turned = _turned(np.array(corners))
                if turned is not None:
                    return turned
        return None

    def _spans(self) -> tuple[Vec, Vec, list[tuple[float, float, list[tuple[float, float]]]]]:
        """Return where angles count from, a quarter turn on, and the circles that begin and end at the same angles."""
        table = self.circles[self.own]
        begins = (table[:, :3] - self.foot).tolist()
        way, first = _vec(self.way), begins[0]
        x = unit(along(first, way, -dot(first, way)))
        y = cross(way, x)
        lows = [math.atan2(dot(begin, y), dot(begin, x)) for begin in begins]
        rings: list[tuple[float, float, list[tuple[float, float]]]] = []
        for (sweep, rho, z), low in zip(table[:, 3:].tolist(), lows, strict=True):
            for known_rho, known_z, parts in rings:
                if abs(known_rho - rho) < MEETS and abs(known_z - z) < MEETS:
                    parts.append((low, low + sweep))
                    break
            else:
                rings.append((rho, z, [(low, low + sweep)]))
        spans: list[tuple[float, float, list[tuple[float, float]]]] = []
        for rho, z, parts in rings:
            slack = 4 * MEETS / rho + 1e-6
            for low, high in _together(parts, 4 * MEETS / rho):
                for known in spans:
                    turns = abs((low - known[0] + math.pi) % (2.0 * math.pi) - math.pi)
                    # What goes all the way round may begin at any of its pieces.
                    begins = turns < slack or min(high - low, known[1] - known[0]) > 2.0 * math.pi - slack
                    if begins and abs((high - low) - (known[1] - known[0])) < 2 * slack:
                        known[2].append((rho, z))
                        break
                else:
                    spans.append((low, high, [(rho, z)]))
        for _, _, corners in spans:
            corners += [(0.0, z) for z in self.inside]
        return x, y, spans

    def _bend(self, x: Vec, y: Vec, low: float, high: float, corners: list[tuple[float, float]]) -> _Bend | None:
        if len(corners) < 4:
            return None
        rhos, heights = zip(*corners, strict=True)
        radius, level = (max(rhos) + min(rhos)) / 2.0, (max(heights) + min(heights)) / 2.0
        # Towards the inside of the bend is towards the axis.
        about = [(radius - rho, z - level) for rho, z in corners]
        outline = rectangle_from(about)
        if outline is None or radius <= outline.inward * 0.999:
            return None
        out = along(scale(x, math.cos(low)), y, math.sin(low))
        way = _vec(self.way)
        centre = along(_vec(self.foot), way, level)
        return Arc(centre, way, out, radius, high - low), np.array(about), outline


def _told_by(outline: Outline) -> int:
    """Return how many points tell the corners of a section."""
    return sum(4 + sum(size > 0.0 for size in some) for some in (outline.corners, outline.bore) if some)


def _storeys(corners: list[tuple[float, float]]) -> list[list[tuple[float, float]]]:
    """Return corners as those of several sections above one another along the axis; nothing where they are not.

    Args:
        corners: from the axis and along it, mm.
    """
    rows: list[list[tuple[float, float]]] = []
    for corner in sorted(corners, key=lambda corner: corner[1]):
        if rows and corner[1] - rows[-1][0][1] < MEETS:
            rows[-1].append(corner)
        else:
            rows.append([corner])
    if len(rows) > MOST_ROWS:
        return []
    # Of the rows up to each the fewest sections that they are.
    best: list[list[list[tuple[float, float]]] | None] = [[]]
    for end in range(1, len(rows) + 1):
        fewest = None
        for begin in range(end - 1):
            before = best[begin]
            own = list(chain.from_iterable(rows[begin:end]))
            if before is not None and (fewest is None or len(before) + 1 < len(fewest)) and _is_one(own):
                fewest = [*before, own]
        best.append(fewest)
    return best[-1] or []


def _is_one(corners: list[tuple[float, float]]) -> bool:
    """Tell whether these are the corners of one section, and no more than that."""
    rho, z = ((max(some) + min(some)) / 2.0 for some in zip(*corners, strict=True))
    outline = rectangle_from([(x - rho, y - z) for x, y in corners])
    return outline is not None and _told_by(outline) == len(corners)


def _turned(corners: Floats) -> float | None:
    """Return how far corners of a rectangle, (n, 2), are turned from level, degrees; None when they are level or none.

    Two of its corners lie along a side: every direction from one to another is tried. Seen across round corners it may
    look like a rectangle too, but a larger one.
    """
    found = []
    for dx, dy in (corners - corners[0])[1:].tolist():
        turn = math.atan2(dy, dx)
        c, s = math.cos(turn), math.sin(turn)
        level = corners @ np.array(((c, -s), (s, c)))
        outline = rectangle_from((level - (level.max(axis=0) + level.min(axis=0)) / 2.0).tolist())
        if outline is not None:
            found.append((outline.box, abs((math.degrees(turn) + 45.0) % 90.0 - 45.0)))
    askew = min(found, default=(0.0, 0.0))[1]
    return askew if askew > LEVEL else None


_Bend: TypeAlias = tuple[Arc, Floats, Outline]


def _together(spans: list[tuple[float, float]], gap: float) -> list[tuple[float, float]]:
    """Put angles together that touch; what goes all the way round begins where the first one does."""
    whole = 2.0 * math.pi
    if len(spans) == 1 and spans[0][1] - spans[0][0] <= whole - 1e-9:
        return spans
    if any(high - low > whole - 1e-9 for low, high in spans):
        return [(spans[0][0], spans[0][0] + whole)]
    best: list[tuple[float, float]] = []
    for begin in sorted(low for low, _ in spans):
        shifted = sorted(((low - begin + 1e-7) % whole - 1e-7 + begin, high - low) for low, high in spans)
        runs: list[list[float]] = []
        for low, width in shifted:
            if runs and low <= runs[-1][1] + gap:
                runs[-1][1] = max(runs[-1][1], low + width)
            else:
                runs.append([low, low + width])
        if not best or len(runs) < len(best):
            best = [(low, min(high, low + whole)) for low, high in runs]
    return best


def _vec(a: Floats) -> Vec:
    x, y, z = a.tolist()
    return (x, y, z)
