"""What the 1:1 papers have in common: head, check bars in both directions, hatching, rings, crosses and arrows."""

from __future__ import annotations

import math
from collections.abc import Iterable

from bentwork.sheets.drawing import BOLD, FINE, HEAVY, THIN, Ink, Item, Label, Point, Stroke
from bentwork.sheets.lettering import cap_height, fitted, legible, paragraph, text_width
from bentwork.sheets.placing import Box
from bentwork.sheets.subject import Subject
from bentwork.units import INCH, Ruler

__all__ = [
    "CHECK",
    "HEAD_HEIGHT",
    "MARGIN",
    "arrow",
    "bar_words",
    "check_bars_across",
    "check_bars_down",
    "cross",
    "hatch",
    "head",
    "instructions",
    "number_ring",
    "outline",
    "ring",
]

MARGIN = 7.0
"""Kept free round every page: most printers leave 4 to 6 mm blank (common practice, no source)."""

HEAD_HEIGHT = 13.0

CHECK = 100.0
"""Length of the check bar in mm; its twin on papers in inches is 4 in long."""

_GAP = 5.0  # between the check bars in mm and in inches
_TICK = 3.0


def head(subject: Subject, sheet: str, page: tuple[int, int], box: tuple[float, float, float]) -> tuple[Item, ...]:
    """Return the head of a page, fit to be read in a photo: piece, job, version, date, page.

    Args:
        subject: what the paper is about.
        sheet: what the paper is.
        page: number of the page, and how many there are.
        box: left, top and right of the head, mm; it is ``HEAD_HEIGHT`` high.
    """
    left, top, right = box
    items: list[Item] = []
    if subject.hand is not None:
        size = HEAD_HEIGHT - 2.0
        weight = THIN if subject.as_drawn else HEAVY + THIN
        inset = weight / 2.0
        frame = Box(left + inset, top + inset, left + size - inset, top + size - inset)
        middle = (left + size / 2.0, top + size / 2.0)
        items += [outline(frame, weight), Label(middle, subject.hand[0].upper(), 22.0, bold=True)]
        left += size + 3.0
    counted = f"{sheet} · page {page[0]} of {page[1]}"
    items.append(Label((right, top), counted, 12.0, ("right", "top"), True))
    made = f" · make {subject.count}" if subject.count > 1 else ""
    hand = "" if subject.hand is None else " · as drawn" if subject.as_drawn else " · OPPOSITE HAND"
    title, size = fitted(
        legible(subject.title) + hand + made, 18.0, right - left - text_width(counted, 12.0, True) - 5.0, True, 12.0
    )
    items.append(Label((left, top), title, size, ("left", "top"), True))
    facts = " · ".join(
        legible(fact)
        for fact in (f"version {subject.version}" if subject.version else "", subject.date)
        if legible(fact)
    )
    items.append(Label((right, top + 7.0), facts, 12.0, ("right", "top"), True))
    job, size = fitted(legible(subject.job), 12.0, right - left - text_width(facts, 12.0, True) - 5.0)
    items.append(Label((left, top + 7.0), job, size, ("left", "top")))
    return tuple(items)


def bar_words(ruler: Ruler) -> str:
    """Return what is written beside a check bar."""
    if ruler.units == "in":
        return "must measure 100 mm and 4 in — print at actual size, not fit to page"
    return "must measure 100 mm — print at actual size, not fit to page"


def check_bars_across(left: float, bottom: float, ruler: Ruler) -> tuple[Item, ...]:
    """Return the check bar that lies along x, its words above it; 4 in below 100 mm on papers in inches."""
    lines = _bars(ruler)
    top = bottom - _GAP * (len(lines) - 1)
    items: list[Item] = [Label((left, top - _TICK - 1.0), bar_words(ruler), 8.5, ("left", "bottom"), True)]
    for number, (name, length, step) in enumerate(lines):
        y = top + _GAP * number
        items.append(Stroke(((left, y), (left + length, y)), THIN, cap="butt"))
        items += [
            Stroke(((left + at, y), (left + at, y - reach)), THIN, cap="butt") for at, reach in _ticks(length, step)
        ]
        items.append(Label((left + length + 1.5, y), name, 8.5, ("left", "bottom"), True))
    return tuple(items)


def check_bars_down(right: float, top: float, ruler: Ruler) -> tuple[Item, ...]:
    """Return the check bar that lies along y, its words to the left of it, read from the right of the page."""
    lines = _bars(ruler)
    left = right - _GAP * (len(lines) - 1)
    items: list[Item] = [Label((left - _TICK - 1.0, top), bar_words(ruler), 8.5, ("right", "top"), True, angle=-90.0)]
    for number, (name, length, step) in enumerate(lines):
        x = left + _GAP * number
        items.append(Stroke(((x, top), (x, top + length)), THIN, cap="butt"))
        items += [
            Stroke(((x, top + at), (x - reach, top + at)), THIN, cap="butt") for at, reach in _ticks(length, step)
        ]
        items.append(Label((x, top - 1.5), name, 8.5, ("right", "bottom"), True, angle=-90.0))
    return tuple(items)


def _bars(ruler: Ruler) -> tuple[tuple[str, float, float], ...]:
    """List the check bars: name, length, and the step of their ticks, mm."""
    metric = ("100 mm", CHECK, 10.0)
    return (metric, ("4 in", 4.0 * INCH, INCH / 2.0)) if ruler.units == "in" else (metric,)


def _ticks(length: float, step: float) -> Iterable[tuple[float, float]]:
    count = round(length / step)
    for number in range(count + 1):
        yield length * number / count, _TICK if number in (0, count) else _TICK / 3.0


def instructions(text: str, left: float, bottom: float, room: float, size: float = 9.5) -> tuple[Item, ...]:
    """Return plain words in as many lines as they take, the last of them standing on ``bottom``."""
    lines = paragraph(text, size, room)
    step = cap_height(size) * 1.8
    return tuple(
        Label((left, bottom - step * (len(lines) - 1 - number)), line, size, ("left", "bottom"))
        for number, line in enumerate(lines)
    )


def outline(box: Box, weight: float = THIN, dash: bool = False) -> Stroke:
    """Return the outline of a box."""
    corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
    return Stroke(corners, weight, closed=True, dash="dash" if dash else "full")


def hatch(box: Box, pitch: float, rising: bool = True, ink: Ink = "grey", weight: float = FINE) -> tuple[Stroke, ...]:
    """Return lines at 45 degrees that fill a box, ``pitch`` apart along x; ``rising`` to the right.

    They stand in one grid over the page, so that a hatch runs on from a box to its neighbour.
    """
    wide, high = box.right - box.left, box.bottom - box.top
    if wide <= 0.0 or high <= 0.0:
        return ()
    strokes = []
    first = math.ceil((box.left - high) / pitch)
    for number in range(first, math.floor(box.right / pitch) + 1):
        foot = number * pitch  # where the line meets the lower edge (rising) or the upper edge (falling)
        a, b = max(foot, box.left), min(foot + high, box.right)
        if b - a < 1e-6:
            continue
        ya, yb = a - foot, b - foot
        ends = ((a, box.bottom - ya), (b, box.bottom - yb)) if rising else ((a, box.top + ya), (b, box.top + yb))
        strokes.append(Stroke(ends, weight, ink, cap="butt"))
    return tuple(strokes)


def ring(centre: Point, radius: float, weight: float = THIN, white: bool = True) -> Stroke:
    """Return a circle, white inside unless told otherwise."""
    points = tuple(
        (centre[0] + radius * math.cos(math.tau * k / 48), centre[1] + radius * math.sin(math.tau * k / 48))
        for k in range(48)
    )
    return Stroke(points, weight, fill="white" if white else "none", closed=True)


def number_ring(centre: Point, number: int, size: float = 14.0, weight: float = BOLD) -> tuple[tuple[Item, ...], float]:
    """Return the number of a bend in a circle, and the radius of the circle, mm."""
    text = str(number)
    radius = math.hypot(text_width(text, size, True), cap_height(size)) / 2.0 + 0.6
    radius = max(radius, cap_height(size) * 0.95)
    return (ring(centre, radius, weight), Label(centre, text, size, bold=True)), radius


def cross(at: Point, reach: float, weight: float = THIN) -> tuple[Stroke, ...]:
    """Return an upright cross."""
    x, y = at
    return (
        Stroke(((x - reach, y), (x + reach, y)), weight, cap="butt"),
        Stroke(((x, y - reach), (x, y + reach)), weight, cap="butt"),
    )


def arrow(
    tip: Point, angle: float, length: float = 4.0, shaft: float = 0.0, weight: float = BOLD
) -> tuple[Stroke, ...]:
    """Return a filled arrow head with its tip here, pointing this way (degrees, clockwise on paper, 0 to the right).

    Args:
        tip: point of the arrow.
        angle: which way it points.
        length: of the head, mm.
        shaft: length of the line behind the head, mm; 0 for none.
        weight: of that line.
    """
    theta = math.radians(angle)
    c, s = math.cos(theta), math.sin(theta)

    def back(along: float, across: float) -> Point:
        return (tip[0] - along * c - across * s, tip[1] - along * s + across * c)

    point = Stroke((tip, back(length, length * 0.38), back(length, -length * 0.38)), 0.0, fill="black", closed=True)
    if shaft <= 0.0:
        return (point,)
    return (point, Stroke((back(length * 0.9, 0.0), back(length + shaft, 0.0)), weight, cap="butt"))
