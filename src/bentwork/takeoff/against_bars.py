"""Where points lie against several bars, and how far lines go before they are inside one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeAlias

import numpy as np

from bentwork.takeoff.bar import Bar
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.shape import Floats
from bentwork.takeoff.unbend import unbent

__all__ = ["Member", "first_met", "inside_of", "stand_out"]

Member: TypeAlias = tuple[Bar, Outline]
"""A bar and its section as drawn."""
MOST_PLACES = 400_000
"""Points held against straight bars at a time."""
LEVEL = 1e-12
"""A line that gains less on a side for each mm runs along it."""
SPLIT = 16
"""In so many parts a stretch is looked through at a time."""
FINE = 1e-4
"""To within this it is found where a line meets a bent bar, mm."""


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
    bar, outline = member
    flat = unbent(bar.line, points)
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
    lows, highs = np.full(len(starts), span[0]), np.full(len(starts), span[1])
    found = np.full(len(starts), np.inf)
    left, parts = np.arange(len(starts)), steps
    while len(left):
        shares = np.linspace(0.0, 1.0, parts + 1)
        reach = lows[left, None] + (highs - lows)[left, None] * shares
        points = (starts[left, None] + reach[..., None] * ahead).reshape(-1, 3)
        inside = (inside_of(member, points) <= slack).reshape(reach.shape)
        met = inside.any(axis=1)
        left, reach, first = left[met], reach[met], inside[met].argmax(axis=1)
        row = np.arange(len(left))
        found[left] = reach[row, first]
        # What is inside from the beginning is met there.
        lows[left], highs[left] = reach[row, np.maximum(0, first - 1)], found[left]
        left, parts = left[(first > 0) & (highs - lows > FINE)[left]], SPLIT
    return found
