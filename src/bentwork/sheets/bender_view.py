"""One view of a bender on paper while it is drawn: its parts, arm and dimensions. Lengths in mm on paper, y down."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from bentwork.sheets.bender_measures import Outwards, Straight, View
from bentwork.sheets.bender_parts import ArmLine, BarAt, Part, arm_line
from bentwork.sheets.dimension_lanes import Lanes, Side
from bentwork.sheets.drawing import BOLD, THIN, Item, Label, Point, Stroke
from bentwork.sheets.placing import Box, box_of
from bentwork.tooling.bender import Bender
from bentwork.tooling.sizes import KeyPath

__all__ = ["STUB", "BenderView", "DrawnArm", "Frame"]

STUB = 7.0
"""How far, mm on paper, bar and arm go on beyond what they carry."""

_BREAK, _TAIL = 2.5, 11.0  # gap where an arm is cut short, and what is drawn of its end


@dataclass(frozen=True, slots=True)
class Frame:
    """From the bender's frame to paper, the axis at (0, 0): its scale, and -1 where it is mirrored."""

    scale: float
    sign: float

    def at(self, point: Point) -> Point:
        """Return a point on paper."""
        return (self.sign * point[0] * self.scale, -point[1] * self.scale)

    def angle(self, angle: float) -> float:
        """Return an angle on paper, degrees, clockwise from the right."""
        return angle if self.sign > 0.0 else 180.0 - angle

    def side(self, side: Side) -> Side:
        """Return a side on paper."""
        turned: dict[Side, Side] = {"left": "right", "right": "left"}
        return side if self.sign > 0.0 else turned.get(side, side)


@dataclass(frozen=True, slots=True)
class DrawnArm:
    """The arm from above on paper: how much of it is shown, whether it is cut short, and its two dimensions."""

    line: ArmLine
    half: float
    stub: float
    shown: float
    cut: bool
    aside: float
    sheet: Frame

    @classmethod
    def of(cls, bender: Bender, bar: BarAt, sheet: Frame) -> DrawnArm:
        """Return the arm of a bender that has one."""
        assert bender.arm is not None
        line, scale = arm_line(bender, bar.depth), sheet.scale
        stub = line.past * scale + STUB
        cut = bender.arm.length * scale > stub + _BREAK + _TAIL
        shown = stub + _BREAK + _TAIL if cut else bender.arm.length * scale
        half = bender.arm.width * scale / 2.0
        aside = 0.5 * half if bender.kind == "draw" else 0.0  # there the tangent point is in line with the arm's middle
        return cls(line, half, min(stub, shown), shown, cut, aside, sheet)

    def at(self, along: float, across: float = 0.0) -> Point:
        """Return a point on paper, from mm on paper along and across the arm."""
        return self.sheet.at(self.line.at(along / self.sheet.scale, across / self.sheet.scale))

    @property
    def across(self) -> tuple[Point, Point]:
        """The ends of its width, near where it is cut short."""
        along = max(self.stub - 2.5, 0.5 * self.stub)
        return self.at(along, -self.half), self.at(along, self.half)

    @property
    def beside(self) -> tuple[float, ...]:
        """Where the letter of its width may stand, as shares of the width: beyond either end."""
        wide = 2.0 * self.half
        return tuple(share for away in (5.0, 7.0, 10.0, 14.0) for share in (1.0 + away / wide, -away / wide))

    @property
    def whole(self) -> tuple[Point, Point]:
        """The ends of its length as shown."""
        return self.at(0.0, self.aside), self.at(self.shown, self.aside)

    @property
    def spots(self) -> tuple[float, ...]:
        """Where the letter of its length may stand, as shares of what is shown."""
        tail = (self.shown - _TAIL * 0.5) / self.shown
        return (tail, tail - 0.03, tail + 0.03, 0.93, 0.85, 0.7, 0.5, 0.3, 0.2)

    def strokes(self) -> tuple[Stroke, ...]:
        """Return its outline, in two parts where it is cut short."""
        h = self.half
        if not self.cut:
            corners = ((0.0, -h), (self.shown, -h), (self.shown, h), (0.0, h))
            return (Stroke(tuple(self.at(*corner) for corner in corners), BOLD, closed=True),)
        near = [(self.stub, h), *self._zigzag(self.stub)[::-1], (self.stub, -h)]
        after = self.stub + _BREAK
        far = [(after, -h), *self._zigzag(after), (after, h)]
        return (
            Stroke(tuple(self.at(*p) for p in [(0.0, -h), (0.0, h), *near]), BOLD, closed=True),
            Stroke(tuple(self.at(*p) for p in [*far, (self.shown, h), (self.shown, -h)]), BOLD, closed=True),
        )

    def _zigzag(self, along: float) -> list[tuple[float, float]]:
        """Points of a broken end, from one edge to the other."""
        return [
            (along, -0.25 * self.half),
            (along + 1.5, -0.1 * self.half),
            (along - 1.5, 0.1 * self.half),
            (along, 0.25 * self.half),
        ]

    def boxes(self) -> list[Box]:
        """Boxes that cover what is seen of it beyond the follower's middle."""
        found, along = [], max(0.0, 0.75 * self.stub)
        while along < self.shown:
            corners = [self.at(a, b) for a in (along, min(along + 2.0, self.shown)) for b in (-self.half, self.half)]
            found.append(_around(corners))
            along += 2.0
        return found


class BenderView:
    """One view while it is drawn, the axis at (0, 0)."""

    def __init__(self, sheet: Frame, beyond_first: bool) -> None:
        self.sheet, self.lanes = sheet, Lanes(beyond_first=beyond_first)
        self.parts: list[Item] = []
        self.named: list[tuple[str, Box, int]] = []  # and how many solid boxes were there when it came

    def add(self, parts: Iterable[Part]) -> None:
        """Add parts over those that are there."""
        for part in parts:
            points = tuple(self.sheet.at(point) for point in part.points)
            self.parts.append(
                Stroke(
                    points,
                    part.weight,
                    "none" if part.weight == 0.0 else "black",
                    part.fill,
                    part.dash,
                    part.closed,
                    "butt",
                )
            )
            if part.weight >= THIN:
                self.lanes.edges += _along(points, closed=part.closed)
            if part.solid:
                self.lanes.solid += _strips(points)
            elif part.name == "bar":
                self.lanes.soft.append(_around(points))
            if part.name:
                self.named.append((part.name, _around(points), len(self.lanes.solid)))

    def add_arm(self, arm: DrawnArm) -> None:
        """Add the arm over everything; dimension lines may cross it."""
        self.parts += arm.strokes()
        self.lanes.soft += arm.boxes()
        for stroke in arm.strokes():
            self.lanes.edges += _along(stroke.points, closed=True)
        far = [arm.at(along, across) for along in (0.75 * arm.stub, arm.shown) for across in (-arm.half, arm.half)]
        self.named.append(("arm", _around(far), 0))

    def put(
        self, measures: Iterable[Straight | Outwards], letters: Mapping[KeyPath, str], which: View, order: int
    ) -> None:
        """Put the sizes of this view: first those round a middle, then the others in order of their length."""
        kept = [measure for measure in measures if measure.view == which]
        for measure in kept:
            if isinstance(measure, Outwards):
                radii = (measure.radii[0] * self.sheet.scale, measure.radii[1] * self.sheet.scale)
                angles = tuple(self.sheet.angle(angle) for angle in measure.angles)
                self.lanes.radius(letters[measure.path], self.sheet.at(measure.centre), radii, angles)
        straights = [measure for measure in kept if isinstance(measure, Straight)]
        for measure in straights:
            side = self.sheet.side(measure.side)
            ends = tuple(self.sheet.at(end)[0 if side in ("above", "below") else 1] for end in measure.ends)
            self.lanes.coming.append((side, (ends[0], ends[1])))
        for measure in sorted(straights, key=lambda one: order * math.dist(*one.ends)):
            between = (self.sheet.at(measure.ends[0]), self.sheet.at(measure.ends[1]))
            self.lanes.measure(letters[measure.path], between, self.sheet.side(measure.side))
        seen = set()
        for name, box, count in self.named:
            if name not in seen:
                seen.add(name)
                self.lanes.name(name, box, under=self.lanes.solid[count:], anyhow=which == "above")

    @property
    def items(self) -> tuple[Item, ...]:
        """Everything in it, letters last."""
        return (*self.parts, *self.lanes.items)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of all that has been put so far, mm on paper."""
        box = self.around
        return box.right - box.left, box.bottom - box.top

    @property
    def around(self) -> Box:
        """The box that holds everything."""
        points = [p for item in self.items if isinstance(item, Stroke) for p in item.points]
        boxes = [box_of(item) for item in self.items if isinstance(item, Label)]
        corners = [(b.left, b.top) for b in boxes] + [(b.right, b.bottom) for b in boxes]
        return _around([*points, *corners]).grown(0.6)


def _around(points: Sequence[Point]) -> Box:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def _along(points: Sequence[Point], *, closed: bool) -> list[Box]:
    """Cover the lines of an outline with small boxes."""
    found = []
    for (ax, ay), (bx, by) in itertools.pairwise([*points, points[0]] if closed else points):
        count = max(1, math.ceil(math.dist((ax, ay), (bx, by)) / 2.0))
        corners = [(ax + (bx - ax) * k / count, ay + (by - ay) * k / count) for k in range(count + 1)]
        found += [_around(pair) for pair in itertools.pairwise(corners)]
    return found


def _strips(points: Sequence[Point]) -> list[Box]:
    """Cover a convex outline with boxes: rectangles with one, round things with a dozen."""
    box = _around(points)
    if len(points) < 40:
        return [box]
    step, found = (box.bottom - box.top) / 12.0, []
    for number in range(12):
        top, bottom = box.top + step * number, box.top + step * (number + 1)
        xs = [x for x, y in points if top - 1e-9 <= y <= bottom + 1e-9]
        if xs:
            found.append(Box(min(xs), top, max(xs), bottom))
    return found
