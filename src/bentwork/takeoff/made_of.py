"""A curve as the straights and arcs that it is made of, told apart by how far each goes along it, then fitted."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import partial
from typing import NamedTuple

import numpy as np

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, along, cross, dot, perpendicular, sub, unit
from bentwork.takeoff.arcs_fitted import fitted
from bentwork.takeoff.formal_fits import ARCS_ON_END, Circle, circle_through, off_circle
from bentwork.takeoff.runs import centreline_of, part_of_run
from bentwork.takeoff.shape import Floats
from bentwork.takeoff.unbend import Beside, beside, nearest, runs_of

__all__ = ["ARC_MISSES", "deviation", "furthest", "straights_and_arcs"]

MADE_OF = 8e-3
"""A curve that is nearer than this to straights and arcs is made of them, mm."""
LINE_MISSES, ARC_MISSES = 2.0, 3.0
"""A line misses a smooth curve by so high a power of how far it goes along it, an arc too."""
FIRST_STEP = 4
"""Points that a line or an arc is first tried for."""
MOST_LONGER = 4.0
"""It is not guessed to go further than so many times as far as was tried."""
CREEPS = 16
"""It creeps if it goes further by less than this part of how far it has come."""
LEAST_TURN = math.radians(0.3)
"""What is seen to turn by less is no bend, rad."""
BESIDE = 5.0
"""A bend that samples do not tell from the straights beside it is shorter than twice this, mm."""
MOST_HIDDEN = math.radians(6.0)
"""And turns by less: of one that turns further they do."""
NO_BEND = 0.1
"""What turns by less is no bend, degrees."""
BETTER = 0.5
"""A radius is another where points lie nearer by this factor then."""


def straights_and_arcs(
    points: Floats, closed: bool, within: float = MADE_OF, least: float = 0.0
) -> tuple[Centreline, float] | None:
    """Return the straights and arcs that a curve is made of, with its largest deviation; None when it is not.

    Args:
        points: (n, 3) in order.
        closed: the last is the first again.
        within: how near it is to them, mm.
        least: share of it that is straight.
    """
    parts: list[tuple[int, int, bool]] = []
    first, step = 0, FIRST_STEP
    last = len(points) - 1
    while first < last:
        ahead, left = points[first:], last - first
        bent = furthest(0, left, partial(_off_own_circle, ahead), ARC_MISSES, step, within=within / 2.0)
        step = max(FIRST_STEP, bent)
        # It is a line if that goes nearly as far as an arc does: a sample or two may be either's.
        good = max(0, bent - 2)
        is_line = good == 0 or _off_chord(ahead, good) < within / 2.0
        reach = furthest(good, left, partial(_off_chord, ahead), LINE_MISSES, within=within / 2.0) if is_line else bent
        if reach == 0:
            return None
        parts.append((first, first + reach, is_line))
        first += reach
        if len(parts) > 60 or _winds(parts):
            return None
    if least and _straight(points, parts) < least:
        return None
    stretches = _told_apart(points, parts, within)
    found = _best_fit(points, stretches, closed)
    if found is not None:
        # Between a short straight and a bend a few samples may look like one that hardly turns at all.
        none = [bend.angle < NO_BEND for bend in found.bends]
        if any(none):
            circles = iter(none)
            plain = [one if one.circle is None or not next(circles) else one.straight() for one in stretches]
            found = _best_fit(points, plain, closed) or found
    return (found.line, found.off) if found is not None and found.off < within * 2.0 else None


class _Fit(NamedTuple):
    """A bend table that was fitted: its bends in the order of the points, it laid down, and how far these lie off."""

    bends: tuple[Bend, ...]
    line: Centreline
    off: float


def _best_fit(points: Floats, stretches: Sequence[_Stretch], closed: bool) -> _Fit | None:
    rough = _rough(points, stretches)
    if rough is None:
        return None
    turns = [one.turn for one in stretches if one.circle is not None]
    hidden = [k for k, turn in enumerate(turns) if turn is not None]
    held = hidden if len(hidden) < len(turns) else []
    fit = fitted(rough, points, held=held)
    best = _laid(fit, points, closed)
    if held:
        # The radius of a slight bend is that of the others unless the points say much more of it than they scatter.
        other = _laid(fitted(fit, points), points, closed)
        if other is not None and (best is None or other.off < BETTER * best.off):
            best = other
    return best


def _straight(points: Floats, parts: Sequence[tuple[int, int, bool]]) -> float:
    """Return how much of a curve is straight, as a share."""
    lines = sum(_length(points, first, last) for first, last, is_line in parts if is_line)
    return lines / _length(points, 0, len(points) - 1)


def _laid(fit: Centreline, points: Floats, closed: bool) -> _Fit | None:
    """Return a table that was fitted, closed where it is to be; None where it is none then."""
    line = centreline_of([part_of_run(run) for run in fit.runs if run.length > 0.0], closed)
    return None if line is None else _Fit(fit.table.bends, line, deviation(line, points))


def _winds(parts: Sequence[tuple[int, int, bool]]) -> bool:
    """Tell whether arc follows upon arc, more than any bar has."""
    return len(parts) > ARCS_ON_END and not any(is_line for *_, is_line in parts[-ARCS_ON_END - 1 :])


def furthest(
    good: int,
    last: int,
    miss: Callable[[int], float],
    power: float,
    step: int = FIRST_STEP,
    *,
    within: float,
) -> int:
    """Return the furthest place to which something goes from the first one and misses by less than it may.

    What it misses by grows with a power of how far it goes, and from that the next place is guessed.

    Args:
        good: place that it is known to come to, the first one is 0.
        last: place beyond which it does not go.
        miss: by how much it misses when it goes to a place, mm.
        power: of how far it goes.
        step: how much further than is known it is tried first.
        within: by how much it may miss, mm.
    """
    bad, trial, least = last + 1, min(last, good + step), 1
    while bad - good > 1:
        off, wide, before = miss(trial), bad - good, good
        good, bad = (trial, bad) if off < within else (good, trial)
        guess = int(trial * min(MOST_LONGER, (within / max(off, 1e-12)) ** (1.0 / power)))
        if bad > last:
            # Points that scatter by nearly as much as they may let it creep.
            least = max(4, 2 * least) if CREEPS * (good - before) < good else least
            guess = max(guess, good + least)
        elif bad - good > wide // 2 + 1:
            guess = (good + bad) // 2  # that is no law here: another part begins
        trial = min(max(guess, good + 1), bad - 1)
    return good


def _off_chord(points: Floats, last: int) -> float:
    """Return how far points up to a last one lie from the line to it at most, mm."""
    rel = points[: last + 1] - points[0]
    chord = rel[-1]
    square = float(chord @ chord)
    if square < 1e-18:
        return math.inf
    rel -= ((rel @ chord) / square)[:, None] * chord
    return math.sqrt(float(np.einsum("ij,ij->i", rel, rel).max()))


def _off_own_circle(points: Floats, last: int) -> float:
    """Return how far points up to a last one lie from the circle nearest to them at most, mm."""
    if last < 3:
        return 0.0
    points = points[: last + 1]
    circle = circle_through(points)
    return math.inf if circle is None or circle[2] > 2e4 else float(off_circle(points, circle).max())


class _Stretch(NamedTuple):
    """A straight or an arc from one sample to another.

    Args:
        first: number of the first sample.
        last: and of the last.
        circle: of an arc.
        turn: of an arc so slight that no sample tells it from the straights beside it, rad.
    """

    first: int
    last: int
    circle: Circle | None = None
    turn: float | None = None

    def straight(self) -> _Stretch:
        """Return it as a straight."""
        return _Stretch(self.first, self.last)


def _told_apart(points: Floats, parts: Sequence[tuple[int, int, bool]], within: float) -> list[_Stretch]:
    """Return straights, and arcs with their circles, out of what was found from one sample to the next."""
    found: list[_Stretch] = []
    for first, last, is_line in parts:
        circle = None if is_line else circle_through(points[first : last + 1])
        if circle is not None and _length(points, first, last) < LEAST_TURN * circle[2]:
            circle = None  # samples where a straight and an arc meet belong to neither
        if found and (found[-1].circle is None) == (circle is None):
            before = found[-1].first
            if circle is None:
                found += _went_on(points, found.pop(), last, within)
                continue
            whole = circle_through(points[before : last + 1])
            if whole is None or float(off_circle(points[before : last + 1], whole).max()) < within:
                found[-1] = _Stretch(before, last, whole)
                continue
        found.append(_Stretch(first, last, circle))
    return found


def _went_on(points: Floats, straight: _Stretch, last: int, within: float) -> list[_Stretch]:
    """Return a straight that goes on to a further sample; with a slight bend where it does not go on straight."""
    first, middle, _, _ = straight
    whole = [_Stretch(first, last)]
    if _off_chord(points[first:], last - first) < within:
        return whole
    # Samples near to the bend may be of it.
    gone = np.concatenate(((0.0,), np.cumsum(np.linalg.norm(np.diff(points[first : last + 1], axis=0), axis=1))))
    at = gone[middle - first]
    one, two = first + int(gone.searchsorted(at - BESIDE)), first + int(gone.searchsorted(at + BESIDE))
    if one <= first + 1 or two >= last - 1:
        return whole
    p, r = points[first], points[two]
    d, e = ((b - a) / np.linalg.norm(b - a) for a, b in ((p, points[one]), (r, points[last])))
    normal = np.cross(d, e)
    size = float(np.linalg.norm(normal))
    turn = math.atan2(size, float(d @ e))
    if not LEAST_TURN < turn < MOST_HIDDEN:
        return whole
    normal /= size
    corner = p + d * float(np.cross(r - p, e) @ normal) / size
    # As large as can be: samples say little of its radius.
    radius = BESIDE / turn
    inward = np.cross(normal, d + e)
    circle = (corner + inward * (radius / float(np.linalg.norm(inward))), normal, radius)
    return [_Stretch(first, middle), _Stretch(middle, middle, circle, turn), _Stretch(middle, last)]


def _rough(points: Floats, parts: Sequence[_Stretch]) -> Centreline | None:
    """Return a bend table out of parts that meet about smoothly; None for more than bends make."""
    straights, bends = [0.0], list[Bend]()
    axis: Vec | None = None
    # A bend of which samples say little has most likely the radius of the others.
    radii = sorted(circle[2] for _, _, circle, turn in parts if circle is not None and turn is None)
    for first, last, circle, turn in parts:
        if circle is None:
            straights[-1] += _length(points, first, last)
            continue
        centre, normal, radius = circle
        radius = min(radius, radii[len(radii) // 2]) if turn is not None and radii else radius
        x = _aside(points[first] - centre, normal)
        rel = points[last] - centre
        angle = turn or math.atan2(float(np.cross(x, rel) @ normal), float(x @ rel)) % (2.0 * math.pi)
        own, way = _vec(normal), _vec(np.cross(normal, x))
        rotation = 0.0 if axis is None else math.atan2(dot(cross(axis, own), way), dot(axis, own))
        if angle > 2.0 * math.pi - LEAST_TURN:
            return None
        bends.append(Bend(radius, math.degrees(angle), math.degrees(rotation)))
        straights.append(0.0)
        axis = own
    first, last, circle, _ = parts[0]
    if circle is None:
        way = unit(sub(_vec(points[last]), _vec(points[first])))
    else:
        way = _vec(np.cross(circle[1], _aside(points[first] - circle[0], circle[1])))
    turned = next((one.circle[1] for one in parts if one.circle is not None), None)
    axis = perpendicular(way) if turned is None else _vec(turned)
    axis = unit(along(axis, way, -dot(axis, way)))
    return Centreline(BendTable(tuple(straights), tuple(bends)), Pose(_vec(points[0]), way, axis))


def _length(points: Floats, first: int, last: int) -> float:
    return float(np.linalg.norm(np.diff(points[first : last + 1], axis=0), axis=1).sum())


def deviation(line: Centreline, points: Floats) -> float:
    """Return how far points lie from a centreline at most, mm; beyond its ends counts."""
    off, over = _distances(line, nearest(line, points))
    # The ends run on, and may pass what another part is as near to: beyond them each part is asked.
    beyond = (over > 0.0).nonzero()[0]
    if len(beyond):
        each = [_distances(line, beside(line, number, points[beyond]))[0] for number in runs_of(line)]
        off[beyond] = np.minimum.reduce(each)
    return float(off.max())


def _distances(line: Centreline, seen: Beside) -> tuple[Floats, Floats]:
    """Return how far points lie from a centreline that ends where it ends, and how far beyond its ends, mm."""
    over = np.maximum(0.0, np.maximum(-seen.flat[:, 0], seen.flat[:, 0] - line.table.length))
    return np.sqrt(seen.squares + over * over), over


def _aside(v: Floats, normal: Floats) -> Floats:
    flat = v - (v @ normal) * normal
    return np.array(flat / float(np.linalg.norm(flat)))


def _vec(a: Floats) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))
