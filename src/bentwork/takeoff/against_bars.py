"""Where points lie against several bars, and how far lines go before they are inside one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.takeoff.bar import Bar
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.shape import Floats
from bentwork.takeoff.unbend import beside, nearest, unbent

__all__ = ["Member", "first_met", "inside_of", "stand_out"]

Member: TypeAlias = tuple[Bar, Outline]
"""A bar and its section as drawn."""
MOST_PLACES = 400_000
"""Points held against straight bars at a time."""
LEVEL = 1e-12
"""A line that gains less on a side for each mm runs along it."""
NOTHING, FINE = 1e-9, 1e-6
"""A place is found where a line is no further out of a bent bar, or between two places no further apart, mm."""
MOST_ROUNDS = 50


def stand_out(members: Sequence[Member], points: Floats) -> Iterator[tuple[Sequence[Member], Floats, Floats]]:
    """Yield where points, (n, 3), lie along bars, and how far they stand out beside these, mm.

    All straight bars are looked at together, or as many as there is room for.

    Yields:
        some of the bars; the stations; and how far out of the sections, (bars, n) each.
    """
    straight = [member for member in members if not member[0].line.table.bends]
    each = max(1, MOST_PLACES // max(1, len(points)))
    for some in (straight[k : k + each] for k in range(0, len(straight), each)):
        poses = [bar.line.start for bar, _ in some]
        frames = np.array([(pose.tangent, pose.inward, pose.axis) for pose in poses])
        flat = frames @ points.T - frames @ np.array([pose.origin for pose in poses])[..., None]
        half = np.array([(outline.inward, outline.across) for _, outline in some])[..., None]
        over = np.abs(flat[:, 1:]) - half
        out = np.maximum(over[:, 0], over[:, 1])
        for k in [k for k, (_, outline) in enumerate(some) if outline.is_round]:
            out[k] = some[k][1].beyond(flat[k].T)
        yield some, flat[:, 0], out
    for bar, outline in members:
        if bar.line.table.bends:
            flat = unbent(bar.line, points)
            yield [(bar, outline)], flat[None, :, 0], outline.beyond(flat)[None]


def inside_of(member: Member, points: Floats) -> Floats:
    """Return how far points, (n, 3), lie out of a bar, negative inside it, mm; (n,)."""
    return _out_of(member, unbent(member[0].line, points))


def _out_of(member: Member, flat: Floats) -> Floats:
    """Return the same of points as they lie on the straightened bar, (n, 3)."""
    bar, outline = member
    found: Floats = np.maximum(np.maximum(-flat[:, 0], flat[:, 0] - bar.length), outline.beyond(flat))
    return found


def first_met(
    member: Member, starts: Floats, ahead: Floats, span: tuple[float, float], slack: float, steps: int
) -> Floats:
    """Return how far lines that run one way go before they are inside a bar, mm; infinite for those that miss it.

    Args:
        member: the bar.
        starts: where the lines begin, (n, 3).
        ahead: the way they run, unit, (3,).
        span: from where to where it is looked for, mm from the starts.
        slack: lines meet a bar that they pass no further away, mm.
        steps: of a bent bar, in so many it is looked for, and then between them.
    """
    if member[0].line.table.bends:
        return _met_bent(member, starts, ahead, span, slack, steps)
    bar, outline = member
    pose = bar.line.start
    frame = np.array((pose.tangent, pose.inward, pose.axis))
    at, way = frame @ (starts - np.array(pose.origin)).T, (frame @ ahead)[:, None]
    sides = 1 if outline.is_round else 3
    low = np.array([[0.0], [-outline.inward], [-outline.across]])[:sides] - slack
    high = np.array([[bar.length], [outline.inward], [outline.across]])[:sides] + slack
    # Along a side it would take for ever to come to it, or to leave.
    pace = np.where(np.abs(way) < LEVEL, LEVEL, way)[:sides]
    one, two = (low - at[:sides]) / pace, (high - at[:sides]) / pace
    enters = np.maximum(span[0], np.minimum(one, two).max(axis=0))
    leaves = np.minimum(span[1], np.maximum(one, two).min(axis=0))
    if outline.is_round:
        # From the line's nearest point to the axis it is as far forth as back.
        (across, up), (x, y), radius = at[1:], way[1:, 0], outline.inward + slack
        square = max(LEVEL, x * x + y * y)
        nearest = -(x * across + y * up) / square
        room = radius * radius - (across + nearest * x) ** 2 - (up + nearest * y) ** 2
        half = np.sqrt(np.maximum(0.0, room) / square)
        enters, leaves = np.maximum(enters, nearest - half), np.minimum(leaves, nearest + half)
        leaves[room < 0.0] = -np.inf
    return np.where(enters <= leaves, enters, np.inf)


def _met_bent(
    member: Member, starts: Floats, ahead: Floats, span: tuple[float, float], slack: float, steps: int
) -> Floats:
    bar = member[0]
    reaches = np.linspace(*span, steps + 1)
    points = (starts[:, None] + reaches[:, None] * ahead).reshape(-1, 3)
    near = nearest(bar.line, points)
    out = (_out_of(member, near.flat) - slack).reshape(len(starts), -1)
    inside = out <= 0.0
    first = inside.argmax(axis=1)
    found = np.where(inside.any(axis=1), reaches[first], np.inf)
    # What is inside from the beginning is met there.
    left = (first > 0).nonzero()[0]
    if len(left) == 0:
        return found
    last = first[left]
    numbers = set(near.runs.reshape(out.shape)[left[:, None], np.column_stack((last - 1, last))].ravel().tolist())
    one = numbers.pop()

    def off(reach: Floats) -> Floats:
        some = starts[left] + reach[:, None] * ahead
        flat = nearest(bar.line, some).flat if numbers else beside(bar.line, one, some).flat
        return _out_of(member, flat) - slack

    found[left] = _crossings(off, reaches[last - 1], reaches[last], out[left, last - 1], out[left, last])
    return found


def _crossings(off: Callable[[Floats], Floats], low: Floats, high: Floats, above: Floats, below: Floats) -> Floats:
    """Return where functions, looked at all at once, go from above nothing to it or below.

    By false position, what stays put halved (the Illinois rule): Dowell and Jarratt, BIT 11 (1971) 168.

    Args:
        off: gives all of them, each at a place of its own, (n,).
        low: where they are above, (n,).
        high: where they are not, (n,).
        above: what they are at the low places, (n,).
        below: and at the high ones, (n,).
    """
    before: NDArray[np.bool_] | None = None
    for _ in range(MOST_ROUNDS):
        at = high - below * (high - low) / (below - above)
        now = off(at)
        if bool(((np.abs(now) < NOTHING) | (high - low < FINE)).all()):
            return at
        inside = now <= 0.0
        if before is not None:
            again = inside == before
            above, below = np.where(again & inside, above / 2.0, above), np.where(again & ~inside, below / 2.0, below)
        before = inside
        high, below = np.where(inside, at, high), np.where(inside, now, below)
        low, above = np.where(inside, low, at), np.where(inside, above, now)
    return high
