"""Finding room for words on a crowded paper: each goes to the first spot where it covers nothing. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from bentwork.sheets.drawing import Drawing, Item, Label, Point
from bentwork.sheets.lettering import cap_height, text_width

__all__ = ["Box", "Room", "box_of", "spots_round", "words"]


_APART = 0.5  # mm between words


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on paper, y down."""

    left: float
    top: float
    right: float
    bottom: float

    def overlap(self, other: Box) -> float:
        """Return the area that both cover, mm2."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return across * down if across > 0.0 and down > 0.0 else 0.0

    def holds(self, other: Box) -> bool:
        """Tell whether the other lies inside."""
        return (
            self.left <= other.left
            and self.top <= other.top
            and self.right >= other.right
            and self.bottom >= other.bottom
        )

    def grown(self, by: float) -> Box:
        """Return the box with this much more on every side."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    @property
    def area(self) -> float:
        """Area, mm2."""
        return (self.right - self.left) * (self.bottom - self.top)


@dataclass(slots=True)
class Room:
    """Part of a page that is being filled.

    Args:
        bounds: nothing is put outside it if that can be helped.
        taken: what is covered already.
    """

    bounds: Box
    taken: list[Box] = field(default_factory=list)

    def block(self, box: Box) -> None:
        """Keep words out of this box."""
        self.taken.append(box)

    def put(self, tag: Drawing, spots: Iterable[Point], *, if_free: bool = False) -> tuple[Item, ...]:
        """Return the tag at the first spot (of its top left corner) where it is free, else where it covers least.

        Args:
            tag: what is put.
            spots: best first.
            if_free: rather nothing than something that covers other words.
        """
        return self.put_one([(tag, spots)], if_free=if_free)

    def put_one(self, choices: Iterable[tuple[Drawing, Iterable[Point]]], *, if_free: bool = False) -> tuple[Item, ...]:
        """Return the first of several tags that is free at one of its spots, else the one that covers least."""
        best: tuple[float, Drawing, Point, Box] | None = None
        for tag, spots in choices:
            for spot in spots:
                box = Box(spot[0], spot[1], spot[0] + tag.width, spot[1] + tag.height)
                cost = self._cost(box)
                if best is None or cost < best[0] - 1e-9:
                    best = (cost, tag, spot, box)
                if cost < 1e-9:
                    break
            if best is not None and best[0] < 1e-9:
                break
        if best is None or (if_free and best[0] >= 1e-9):
            return ()
        self.taken.append(best[3].grown(_APART))
        return best[1].moved(*best[2])

    def _cost(self, box: Box) -> float:
        covered = 0.0
        for other in self.taken:  # by far the most lie elsewhere: say so quickly
            if other.left < box.right and other.right > box.left and other.top < box.bottom and other.bottom > box.top:
                covered += box.overlap(other)
        return covered + 10.0 * (box.area - box.overlap(self.bounds))


def box_of(label: Label) -> Box:
    """Return the box that a label covers: as high as its capitals, as wide as it can be; turned with it."""
    width, height = text_width(label.text, label.size, label.bold), cap_height(label.size)
    theta = math.radians(label.angle)
    c, s = abs(math.cos(theta)), abs(math.sin(theta))
    width, height = width * c + height * s, width * s + height * c
    left = label.at[0] - {"left": 0.0, "centre": width / 2.0, "right": width}[label.anchor[0]]
    top = label.at[1] - {"top": 0.0, "middle": height / 2.0, "bottom": height}[label.anchor[1]]
    return Box(left, top, left + width, top + height)


def words(lines: Iterable[str], size: float, bold: bool = False, halo: bool = True) -> Drawing:
    """Return lines of type, one under the other from the left, as a tag."""
    lines = tuple(lines)
    step = cap_height(size) * 1.75
    labels = tuple(
        Label((0.0, step * number), line, size, ("left", "top"), bold, halo=halo) for number, line in enumerate(lines)
    )
    return Drawing(
        max(text_width(line, size, bold) for line in lines), step * (len(lines) - 1) + cap_height(size), labels
    )


def spots_round(at: Point, tag: Drawing, clear: float, towards: float = 0.0) -> list[Point]:
    """Return spots round a place for a tag, first on the side it is wanted on, then round, then farther away.

    Args:
        at: the place.
        tag: what is put there.
        clear: least distance from the place to the tag's nearest edge, mm.
        towards: wanted side, degrees, clockwise on paper.
    """
    spots = []
    for away in (0.0, 1.5, 3.0, 5.0, 8.0, 12.0, 17.0, 24.0):
        for step in (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6, 7, -7, 8):
            theta = math.radians(towards + 22.5 * step)
            c, s = math.cos(theta), math.sin(theta)
            # From the middle of the tag to its edge in this direction.
            half = min(
                tag.width / 2.0 / abs(c) if abs(c) > 1e-9 else math.inf,
                tag.height / 2.0 / abs(s) if abs(s) > 1e-9 else math.inf,
            )
            reach = clear + away + half
            spots.append((at[0] + reach * c - tag.width / 2.0, at[1] + reach * s - tag.height / 2.0))
    return spots
