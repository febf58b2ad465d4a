"""Bars whose end comes back to touch the bar itself: nothing is joined there, and that is told."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bentwork.carry.bar import Bar, pose_at
from bentwork.carry.structure import Structure
from bentwork.carry.touching import TOUCHES_WITHIN
from bentwork.findings import Finding
from bentwork.space import distance

__all__ = ["itself_findings"]

_BACK = 180.0
"""Degrees that a bar is bent by in all before it can come back to itself."""


def itself_findings(structure: Structure) -> Iterator[Finding]:
    """Say of every piece that its end touches the piece itself, as in a P or an eye; a closed one is joined anyhow."""
    told: set[str] = set()
    for bar in structure.bars:
        turned = sum(abs(bend.angle) for bend in bar.line.table.bends)
        if bar.closed or bar.of in told or turned < _BACK:
            continue
        for end, name in ((0.0, "A"), (bar.length, "B")):
            station = _met(bar, end)
            if station is None:
                continue
            told.add(bar.of)
            yield Finding(
                "watch",
                "bar-meets-itself",
                f"End {name} of {bar.of} touches {bar.of} itself at {{at}}.",
                "Only two pieces are joined: it is reckoned as free there, and the metal as not softened by a weld.",
                "If it is welded there, draw it as two pieces that meet in a straight.",
                piece=bar.of,
                lengths={"at": pose_at(bar, station).origin},
                at=pose_at(bar, station).origin,
            )


def _met(bar: Bar, end: float) -> float | None:
    """Station of the bar's own nearest point that its end touches, mm; None where it touches none.

    What the bar needs to get there is far more than how far it is: the next few millimetres do not count.
    """
    depth = 2.0 * bar.half_depth
    place = pose_at(bar, end).origin
    steps = max(1, math.ceil(bar.length / bar.half_depth))
    stations = (bar.length * k / steps for k in range(steps + 1))
    apart, station = min(
        ((distance(place, pose_at(bar, at).origin), at) for at in stations if abs(at - end) > 3.0 * depth),
        default=(math.inf, 0.0),
    )
    return station if apart <= depth + TOUCHES_WITHIN and apart < 0.5 * abs(station - end) else None
