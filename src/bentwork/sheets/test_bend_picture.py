"""What to measure of a test bend: the scrap with its mark before, both legs after, and which length is which."""

from __future__ import annotations

import math

from bentwork.sheets.dimension_lines import across, arrowhead, upright
from bentwork.sheets.drawing import BOLD, FINE, THIN, Dash, Drawing, Item, Label, Point, Stroke

__all__ = ["test_bend_picture"]

_WIDE, _HIGH = 134.0, 113.0
_BAR = 7.0  # depth of the bar in the picture, mm
_SIZE = 11.0  # points
_LEFT, _LENGTH, _MARK = 8.0, 118.0, 52.0
_HELD, _FREE, _RADIUS = 62.0, 48.0, 10.0  # legs to where their outsides meet; of the inside of the corner
_ANGLE_AT = 15.0
_PULLED = 12.0  # further than left, degrees: more than a bar springs back, to be seen


def test_bend_picture(to_middle: bool = False) -> Drawing:
    """Return the picture, not to scale.

    Args:
        to_middle: legs are measured to where their middles meet, not their outsides.
    """
    return Drawing(_WIDE, _HIGH, (*_before(), *Drawing(0, 0, _after(to_middle)).moved(_LEFT, 50.0)))


def _before() -> tuple[Item, ...]:
    top = 12.0
    right, mark = _LEFT + _LENGTH, _LEFT + _MARK
    bar = Stroke(((_LEFT, top), (right, top), (right, top + _BAR), (_LEFT, top + _BAR)), BOLD, closed=True)
    line = Stroke(((mark, top - 2.0), (mark, top + _BAR + 2.0)), 1.2, cap="butt")
    return (
        Label((_LEFT, 1.0), "before", _SIZE, ("left", "top"), bold=True),
        bar,
        line,
        Label((mark, top - 3.0), "your mark", _SIZE, ("centre", "bottom")),
        Label((_LEFT + 1.5, top + _BAR / 2.0), "held end", _SIZE, ("left", "middle")),
        *across(_LEFT, mark, top + _BAR, top + _BAR + 8.0, "mark", _SIZE),
        *across(_LEFT, right, top + _BAR + 8.0, top + _BAR + 17.0, "bar", _SIZE),
    )


def _after(to_middle: bool) -> tuple[Item, ...]:
    """Draw the bent scrap, a right angle: the held leg lies along the bottom, the free leg stands at its right."""
    inset = _BAR / 2.0 if to_middle else 0.0
    corner: Point = (_HELD - inset, _FREE - inset)
    bend = (_HELD - _RADIUS - _BAR, _FREE - _RADIUS - _BAR)  # middle of the arc
    outside, inside = (_arc(bend, radius, 90.0, 0.0) for radius in (_RADIUS + _BAR, _RADIUS))
    edge = ((0.0, _FREE), *outside, (_HELD, 0.0), (_HELD - _BAR, 0.0), *reversed(inside), (0.0, _FREE - _BAR))
    words = ("to where their", "middles meet" if to_middle else "outsides meet")
    return (
        Label((0.0, 0.0), "after", _SIZE, ("left", "top"), bold=True),
        *_pulled(),
        Stroke(edge, BOLD, fill="white", closed=True),
        *_meeting(corner, to_middle),
        Label((1.5, _FREE - _BAR / 2.0), "held end", _SIZE, ("left", "middle")),
        *across(0.0, corner[0], _FREE, _FREE + 9.0, "held leg", _SIZE),
        *upright(0.0, corner[1], _HELD, _HELD + 26.0, "free leg", _SIZE),
        *(Label((_HELD + 3.0, _FREE + 4.0 + 5.0 * k), line, _SIZE, ("left", "middle")) for k, line in enumerate(words)),
    )


def _meeting(corner: Point, to_middle: bool) -> tuple[Item, ...]:
    """Draw the two lines that meet in the corner point, and how far the bar is turned from straight."""
    x, y = corner
    back = (0.0, 0.0) if to_middle else (x - _RADIUS - _BAR - 3.0, y - _RADIUS - _BAR - 3.0)
    dash: Dash = "chain" if to_middle else "dash"
    turn = _arc(corner, _ANGLE_AT, 0.0, -90.0)
    return (
        Stroke(((back[0], y), (x + _ANGLE_AT + 4.0, y)), FINE, dash=dash),
        Stroke(((x, back[1]), (x, y)), FINE, dash=dash),
        Stroke(tuple(turn), THIN),
        arrowhead(turn[-1], (-1.0, 0.0)),
        Label((x + 0.62 * _ANGLE_AT, y - 0.35 * _ANGLE_AT), "left", _SIZE, halo=True),
        Stroke(((x - 1.4, y), (x + 1.4, y)), BOLD),
        Stroke(((x, y - 1.4), (x, y + 1.4)), BOLD),
    )


def _pulled() -> tuple[Item, ...]:
    """Draw where the free leg is while the lever is held."""
    turn = math.radians(_PULLED)
    foot = (_HELD - _BAR, _FREE - 26.0)
    tip = (foot[0] - 30.0 * math.sin(turn), foot[1] - 30.0 * math.cos(turn))
    return (
        Stroke((foot, tip), THIN, dash="dash"),
        Label((tip[0] - 1.5, tip[1] + 3.0), "pulled", _SIZE, ("right", "middle")),
    )


def _arc(centre: Point, radius: float, first: float, last: float) -> tuple[Point, ...]:
    """Return points of an arc; degrees, clockwise on paper, 0 to the right."""
    turns = [math.radians(first + (last - first) * k / 16.0) for k in range(17)]
    return tuple((centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn)) for turn in turns)
