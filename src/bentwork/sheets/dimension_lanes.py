"""Many dimensions round one picture: each goes to the nearest lane where neither line nor letter covers anything.

Lengths in mm on paper, y down.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal, TypeVar

from bentwork.sheets.dimension_lines import arrowhead
from bentwork.sheets.drawing import FINE, Item, Label, Point, Stroke
from bentwork.sheets.lettering import cap_height, text_width
from bentwork.sheets.placing import Box, box_of

__all__ = ["LETTER", "Dimension", "Lanes", "Side"]

T = TypeVar("T")
Side = Literal["above", "below", "left", "right"]

LETTER = 13.0
"""Points; a letter is found from an arm's length."""

_HEAD = 2.2  # mm, of an arrow
_FIRST = 5.5  # mm from the picture to the nearest lane
_NEAR, _LONGEST = 40.0, 160.0  # mm; so far lanes are looked for, with and without regard for lines that come later
_OFF = 2.6  # mm that dimension lines keep off the picture
_APART = 2.6  # mm between dimension lines side by side
_EVERY = 1.0  # mm from one lane that is tried to the next


@dataclass(frozen=True, slots=True)
class Dimension:
    """One dimension as it was drawn.

    Args:
        letter: that stands on it.
        start: one end of what is measured, on paper.
        end: the other.
        broken: the picture between is cut short, so that it is not to scale.
    """

    letter: str
    start: Point
    end: Point
    broken: bool = False


@dataclass(slots=True)
class Lanes:
    """A picture that dimensions are put round.

    Args:
        solid: boxes that no dimension line and no letter may cover.
        soft: boxes that no letter may cover; lines may cross them.
        edges: boxes along the lines of the picture, that names keep off where they can.
        beyond_first: a letter that does not fit between its arrows goes right of them or below, else before them.
        coming: where, on each side, extension lines will run: letters keep off them while there is room.
    """

    solid: list[Box] = field(default_factory=list)
    soft: list[Box] = field(default_factory=list)
    edges: list[Box] = field(default_factory=list)
    beyond_first: bool = True
    coming: list[tuple[Side, tuple[float, float]]] = field(default_factory=list)
    lines: list[Box] = field(default_factory=list)
    reaches: list[Box] = field(default_factory=list)
    labels: list[Box] = field(default_factory=list)
    strokes: list[Item] = field(default_factory=list)
    letters: list[Label] = field(default_factory=list)
    drawn: list[Dimension] = field(default_factory=list)

    @property
    def items(self) -> tuple[Item, ...]:
        """Everything that was put, letters over lines."""
        return (*self.strokes, *self.letters)

    def measure(self, letter: str, ends: tuple[Point, Point], side: Side) -> None:
        """Put a dimension between two points, along the paper's edge, on this side of them."""
        across = side in ("above", "below")
        sign = 1.0 if side in ("below", "right") else -1.0
        turned = [(p[0], p[1]) if across else (p[1], p[0]) for p in ends]
        (a, from_a), (b, from_b) = sorted(turned)
        nearest = max(sign * from_a, sign * from_b) + _FIRST
        lanes = [sign * (nearest + number * _EVERY) for number in range(int(_LONGEST / _EVERY))]
        clear = [level for one in self.coming for level in one[1] if one[0] == side]
        near = lanes[: int(_NEAR / _EVERY)]
        tries = [(lane, clear, True) for lane in near] + [(lane, [], True) for lane in near]
        tries += [(lane, [], False) for lane in lanes]
        for number, (lane, levels, strict) in enumerate(tries):
            for place in self._places(letter, (a, b), lane, levels, across):
                if number == len(tries) - 1 or self._free(letter, place, (from_a, from_b), across, strict=strict):
                    self._put(letter, place, (from_a, from_b), across)
                    return

    def radius(self, letter: str, centre: Point, radii: tuple[float, float], angles: Iterable[float]) -> None:
        """Put a dimension that runs outwards from a centre, from one radius to another, at the first free angle.

        Args:
            letter: that stands on it.
            centre: on paper.
            radii: from and to, mm.
            angles: degrees, clockwise on paper from the right; best first.
        """
        angles = tuple(angles)
        short = radii[1] - radii[0] < _width(letter) + 2.0 * _HEAD + 2.0
        back = short and radii[0] <= 0.0
        tries = [*itertools.product((1.0,), (0.0, 2.0, 4.5, 8.0, 12.0), angles)]
        tries += [*itertools.product((-1.0,), (0.0, 2.0, 4.5), angles)] if back else []
        for last, (sign, away, angle) in _with_last(tries):
            c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))

            def at(r: float, c: float = c, s: float = s) -> Point:
                return (centre[0] + r * c, centre[1] + r * s)

            reach = radii[1] + 2.0 * _HEAD + 2.6 + away if sign > 0.0 else -(3.0 + away)
            label = self._letter(letter, at(reach) if short else at(radii[0] + (radii[1] - radii[0]) * 0.6))
            if not (last or self._legible(box_of(label), inside=not short or sign < 0.0)):
                continue
            start, outward = at(radii[0]), 1.0
            if short and sign > 0.0 and radii[0] > 0.0:
                start, outward = at(radii[0] - 2.0 * _HEAD), -1.0
            end = at(max(reach, radii[1]) if short else radii[1])
            start = at(reach) if sign < 0.0 else start
            self.strokes.append(Stroke((start, end), FINE))
            self.strokes.append(arrowhead(at(radii[1]), (outward * c, outward * s), min(_HEAD, radii[1] - radii[0])))
            if radii[0] > 0.0:
                self.strokes.append(arrowhead(at(radii[0]), (-outward * c, -outward * s), _HEAD))
            self._keep(label)
            self._line((start, end))
            self.drawn.append(Dimension(letter, at(radii[0]), at(radii[1])))
            return

    def along(self, letter: str, ends: tuple[Point, Point], spots: Sequence[float], *, broken: bool = False) -> None:
        """Put a slanting dimension between two points, its letter at one of these shares of the way; past 1 beyond."""
        (ax, ay), (bx, by) = ends
        length = math.hypot(bx - ax, by - ay)
        way = ((bx - ax) / length, (by - ay) / length)
        for last, share in _with_last(spots):
            label = self._letter(letter, (ax + (bx - ax) * share, ay + (by - ay) * share))
            if not (last or self._legible(box_of(label), inside=0.0 < share < 1.0)):
                continue
            inward = -1.0 if length < 3.0 * _HEAD else 1.0
            far = label.at
            self.strokes.append(Stroke((ends[0] if share >= 0.0 else far, ends[1] if share <= 1.0 else far), FINE))
            self.strokes.append(arrowhead(ends[0], (-inward * way[0], -inward * way[1]), _HEAD))
            self.strokes.append(arrowhead(ends[1], (inward * way[0], inward * way[1]), _HEAD))
            self._keep(label)
            self._line(ends)
            self.drawn.append(Dimension(letter, ends[0], ends[1], broken))
            return

    def name(self, words: str, box: Box, *, under: Sequence[Box], anyhow: bool, size: float = 9.0) -> None:
        """Write what a part is called into it where that covers no letter and no dimension, else leave it out.

        Args:
            words: what it is called.
            box: that the part covers.
            under: boxes of what lies over it.
            anyhow: rather over a line of the picture than not at all.
            size: of the type, points.
        """
        shares = (0.5, 0.3, 0.7, 0.15, 0.85, 0.06, 0.94)
        for edges, down, right in itertools.product((self.edges, ()) if anyhow else (self.edges,), shares, shares):
            at = (box.left + (box.right - box.left) * right, box.top + (box.bottom - box.top) * down)
            label = Label(at, words, size, halo=True)
            covered = box_of(label).grown(0.5)
            fits = box.left <= covered.left and covered.right <= box.right
            hidden = _covers(covered, under)
            if fits and not hidden and not _covers(covered, edges) and self._legible(covered, inside=True):
                self._keep(label)
                return

    def _places(
        self, letter: str, ends: tuple[float, float], lane: float, levels: Sequence[float], across: bool
    ) -> Iterator[tuple[float, ...]]:
        """List where the letter may go: (a, b, lane, place of the letter, 1 where the arrows stand outside)."""
        a, b = ends
        room = _width(letter) if across else cap_height(LETTER)
        places = []
        if b - a >= room + 2.0 * _HEAD + 2.4:
            places = [(a + (b - a) * share, 0.0) for share in (0.5, 0.35, 0.65, 0.22, 0.78)]
        for further in (0.0, 2.0, 4.0, 6.0):
            away = 2.0 * _HEAD + 0.8 + room / 2.0 + further
            places += [(at, 1.0) for at in ((b + away, a - away) if self.beyond_first else (a - away, b + away))]
        for at, outside in places:
            if all(abs(level - at) > room / 2.0 + 0.8 for level in levels):
                yield a, b, lane, at, outside

    def _free(
        self, letter: str, place: tuple[float, ...], reach: tuple[float, float], across: bool, *, strict: bool
    ) -> bool:
        """Tell whether a dimension covers nothing here; unless ``strict``, extension lines may run behind letters."""
        a, b, lane, at, outside = place
        line = _box((min(a, at) if outside else a, lane), (max(b, at) if outside else b, lane), across)
        if _covers(line.grown(_OFF), self.solid) or _covers(line.grown(0.4), self.labels):
            return False
        if _covers(line.grown(_APART), self.lines):
            return False
        reaches = [_box((a, reach[0]), (a, lane), across), _box((b, reach[1]), (b, lane), across)]
        if strict and any(_covers(one.grown(0.3), self.labels) for one in reaches):
            return False
        return self._legible(box_of(self._letter(letter, (at, lane) if across else (lane, at))))

    def _legible(self, box: Box, *, inside: bool = False) -> bool:
        """Tell whether words may stand here; ``inside`` a part of the tool they may cover it."""
        box = box.grown(0.75)
        if any(_covers(box, kept) for kept in (self.labels, self.lines, self.reaches)):
            return False
        return inside or not (_covers(box, self.solid) or _covers(box, self.soft))

    def _put(self, letter: str, place: tuple[float, ...], reach: tuple[float, float], across: bool) -> None:
        a, b, lane, at, outside = place

        def paper(u: float, v: float) -> Point:
            return (u, v) if across else (v, u)

        past = 1.4 if lane > max(reach) else -1.4
        for end, start in ((a, reach[0]), (b, reach[1])):
            gap = 1.0 if past > 0.0 else -1.0
            self.strokes.append(Stroke((paper(end, start + gap), paper(end, lane + past)), FINE))
            self.reaches.append(_box((end, start), (end, lane + past), across))
        low, high = (min(a - 2.0 * _HEAD, at), max(b + 2.0 * _HEAD, at)) if outside else (a, b)
        self.strokes.append(Stroke((paper(low, lane), paper(high, lane)), FINE))
        for end, way in ((a, -1.0), (b, 1.0)):
            way = -way if outside else way
            self.strokes.append(arrowhead(paper(end, lane), (way, 0.0) if across else (0.0, way), _HEAD))
        self.lines.append(_box((low, lane), (high, lane), across))
        self._keep(self._letter(letter, paper(at, lane)))
        self.drawn.append(Dimension(letter, paper(a, lane), paper(b, lane)))

    def _letter(self, letter: str, at: Point) -> Label:
        return Label(at, letter, LETTER, bold=True, halo=True)

    def _keep(self, label: Label) -> None:
        self.letters.append(label)
        self.labels.append(box_of(label).grown(0.5))

    def _line(self, ends: tuple[Point, Point]) -> None:
        """Keep letters off a slanting line: it is covered by small boxes."""
        (ax, ay), (bx, by) = ends
        count = max(1, round(math.hypot(bx - ax, by - ay) / 1.5))
        for k in range(count + 1):
            x, y = ax + (bx - ax) * k / count, ay + (by - ay) * k / count
            self.reaches.append(Box(x - 0.3, y - 0.3, x + 0.3, y + 0.3))


def _width(letter: str) -> float:
    return text_width(letter, LETTER, True) + 1.0


def _box(one: Point, other: Point, across: bool) -> Box:
    """Return the thin box of a line between two points given as (along, away)."""
    (a, b), (c, d) = (one, other) if across else ((one[1], one[0]), (other[1], other[0]))
    return Box(min(a, c) - 0.05, min(b, d) - 0.05, max(a, c) + 0.05, max(b, d) + 0.05)


def _covers(box: Box, others: Iterable[Box]) -> bool:
    """Tell whether a box lies over any of the others."""
    left, top, right, bottom = box.left, box.top, box.right, box.bottom
    return any(o.left < right and o.right > left and o.top < bottom and o.bottom > top for o in others)


def _with_last(choices: Iterable[T]) -> Iterator[tuple[bool, T]]:
    """Go through choices, telling which is the last."""
    chosen = list(choices)
    return ((number == len(chosen) - 1, one) for number, one in enumerate(chosen))
