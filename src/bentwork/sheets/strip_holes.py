"""The holes on a marking strip: at their size where the strip goes round the bar, else across it at their middle."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import groupby

from bentwork.sheets.drawing import THIN, Dash, Item, Point, Stroke
from bentwork.sheets.placing import Box, Room, words
from bentwork.sheets.strip_bends import beside
from bentwork.sheets.strip_rows import Row, round_at
from bentwork.sheets.subject import DrilledHole, Subject

__all__ = ["hole_lines", "hole_tags"]

_CROSS = 2.5  # mm, from the middle of a hole: where its centre is punched
_STEPS = 72


def hole_lines(row: Row, subject: Subject, base: float | None, room: Room) -> tuple[Item, ...]:
    """Return the outlines and centres of all holes, or the lines across the strip at their middles.

    Args:
        row: of the strip.
        subject: what the strip is for.
        base: how far the line at 0 of a wrapped strip lies below its upper edge, mm; None for one along the bar.
        room: their places are kept free in it.
    """
    items: list[Item] = []
    for hole in subject.drilled:
        reach = max(_CROSS, hole.diameter / 2.0)
        if row.shows(hole.at - reach, hole.at + reach) is None:
            continue
        if base is None:
            if row.holds(hole.at):
                x = row.x(hole.at)
                items.append(Stroke(((x, row.top), (x, row.box.bottom)), THIN, dash="chain", cap="butt"))
                room.block(Box(x - THIN, row.top, x + THIN, row.box.bottom))
            continue
        x = row.x(hole.at)
        for turn in hole.turns:
            y = row.top + round_at(turn, row.height, base)
            items += _on_row(row, _rim(hole, row.height / (2.0 * math.pi)), (x, y), "dash" if hole.after else "full")
            for arm in (_ARM, [(0.0, along) for along, _ in _ARM]):
                items += _on_row(row, arm, (x, y), "full")
            room.block(Box(x - reach, max(row.top, y - reach), x + reach, min(row.box.bottom, y + reach)))
    return tuple(items)


def hole_tags(row: Row, subject: Subject, base: float | None, room: Room, below: float) -> tuple[Item, ...]:
    """Return the words of all holes: which it is, how large, and when it is drilled.

    Args:
        row: of the strip.
        subject: what the strip is for.
        base: as above.
        room: what is free.
        below: y of the lower edge of the scale, mm.
    """
    items: list[Item] = []
    for hole in subject.drilled:
        if not row.holds(hole.at):
            continue
        tag = words(
            (f"hole {hole.number}, {subject.ruler.length(hole.diameter)}", *(("AFTER",) if hole.after else ())), 9.0
        )
        spots = beside(row.x(hole.at), tag, below + 0.5, row.box.bottom - 0.5)
        if base is not None:
            y = row.top + round_at(hole.turns[0], row.height, base)
            away = max(_CROSS, hole.diameter / 2.0)
            x = row.x(hole.at)
            near = [(x + away + 0.8, y - tag.height / 2.0), (x - away - 0.8 - tag.width, y - tag.height / 2.0)]
            spots = [*near, *spots]
        items += room.put(tag, spots)
    return tuple(items)


def _rim(hole: DrilledHole, radius: float) -> list[Point]:
    """The rim of a hole in the skin of a round bar, laid flat, about its middle."""
    half, turns = hole.diameter / 2.0, [2.0 * math.pi * k / _STEPS for k in range(_STEPS + 1)]
    return [(half * math.cos(t), radius * math.asin(half / radius * math.sin(t))) for t in turns]


def _on_row(row: Row, line: Sequence[Point], middle: Point, dash: Dash) -> Iterator[Item]:
    """Yield a line of close points as far as it is on the row; over one long edge it comes in again at the other."""
    for over in (-row.height, 0.0, row.height):
        moved = ((x + middle[0], y + middle[1] + over) for x, y in line)
        for on, part in groupby(moved, lambda place: row.box.holds(Box(*place, *place))):
            if on and len(points := tuple(part)) > 1:
                yield Stroke(points, THIN, dash=dash, cap="butt")


_ARM = [(_CROSS * (k / 10.0 - 1.0), 0.0) for k in range(21)]
