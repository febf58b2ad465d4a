"""The cards that are set into the inside of a bend: which ones a piece needs, and their outlines. mm and degrees."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from bentwork.sheets.drawing import Point
from bentwork.sheets.subject import Subject

__all__ = ["Card", "Gauge", "card_for", "gauges_for", "listed"]

LEG = 80.0
"""How long a card touches each leg of the bend, where the straights allow it."""

BLOCK_FROM = 165.0
"""From this bend angle on the legs run side by side: what can be gauged is the room between them."""

_LEAST_LEG = 15.0
_RELIEF = 3.0  # a card begins this far beyond the tangent point: a bend never begins quite where it was meant to
_SAME_ANGLE, _SAME_RADIUS = 0.05, 0.05
_THINNEST = 3.0  # half the width of a card that still holds its shape, mm; less only where the bend has less room
_THINNEST_SHARE, _RELIEF_SHARE = 0.5, 0.3


@dataclass(frozen=True, slots=True)
class Gauge:
    """One card.

    Args:
        purpose: ``pull``: for the bend while it is held; ``left``: for the bend let go.
        angle: bend angle it is for, how far the bar turns from straight.
        inside: radius of the inside of the bend; 0 where the card is set on straight-edges.
        leg: how far it touches each leg.
        bends: numbers of the bends it is for.
    """

    purpose: Literal["pull", "left"]
    angle: float
    inside: float
    leg: float
    bends: tuple[int, ...]

    @property
    def is_block(self) -> bool:
        """Tell whether it is a block between legs that run side by side."""
        return self.angle > BLOCK_FROM

    def width_at(self, along: float) -> float:
        """Return the room between the insides of the legs, this far along the bar from the tangent points."""
        half = math.radians(self.angle) / 2.0
        return 2.0 * (self.inside * math.sin(half) + along * math.cos(half))


@dataclass(frozen=True, slots=True)
class Card:
    """Outline of a card, its middle line at x = 0, the bend upwards, y down from the middle of the bend.

    Args:
        gauge: what it is for.
        near: right end of the relieved tip; the left one is its mirror image.
        far: right end of the leg.
        foot: half width of the card below the legs.
        bottom: y of its lower edge.
    """

    gauge: Gauge
    near: Point
    far: Point
    foot: float
    bottom: float

    @property
    def points(self) -> tuple[Point, ...]:
        """Corners of the outline, from the left of the tip, clockwise on paper."""
        right = [self.near, self.far]
        if abs(self.foot - self.far[0]) > 1e-9:
            right.append((self.foot, self.far[1]))
        if self.bottom > self.far[1]:
            right.append((self.foot, self.bottom))
        left = [(-x, y) for x, y in reversed(right)]
        return (left[-1], *right, *left[:-1])

    @property
    def half_width(self) -> float:
        """Half of the greatest width."""
        return max(self.near[0], self.far[0])

    def room_at(self, y: float) -> float:
        """Return half of the width that is there at a height; 0 outside the card."""
        if not self.near[1] <= y <= self.bottom:
            return 0.0
        if y >= self.far[1]:
            return self.foot
        part = (y - self.near[1]) / (self.far[1] - self.near[1])
        return self.near[0] + part * (self.far[0] - self.near[0])

    def longer(self, bottom: float) -> Card:
        """Return the same card with its lower edge here."""
        return replace(self, bottom=bottom)


def card_for(gauge: Gauge) -> Card:
    """Return the smallest card for a gauge: it clears the arc of the bend and touches both legs.

    Legs that come together are touched only as far as there is room for a card between them.
    """
    half = math.radians(gauge.angle) / 2.0
    s, c = math.sin(half), math.cos(half)
    relief = _RELIEF if gauge.inside > 0.0 else 0.0
    if gauge.angle > 180.0 + 1e-9:
        wide = gauge.inside * s  # half the room between the legs where the bend ends
        most = (wide - min(_THINNEST, _THINNEST_SHARE * wide)) / -c
        relief = min(relief, _RELIEF_SHARE * most)
        gauge = replace(gauge, leg=min(gauge.leg, most - relief))
    near, far = (
        (gauge.inside * s + along * c, -gauge.inside * c + along * s) for along in (relief, relief + gauge.leg)
    )
    # Legs that come together must not be met by the part of the card that sticks out between them.
    foot = far[0] if gauge.angle <= 180.0 + 1e-9 else min(far[0], max(1.0, far[0] - 4.0 - 40.0 * abs(c / s)))
    return Card(gauge, near, far, foot, far[1])


def gauges_for(subject: Subject) -> tuple[Gauge, ...]:
    """Return the gauges of a piece: for every bend one to pull to, and one to be left where that differs.

    Bends whose angles agree within 0.05 degrees and radii within 0.05 mm share a gauge.
    """
    table = subject.line.table
    depth = subject.stock.section.depth(subject.way)
    pulls = {step.bend: step.bend_to for step in subject.steps}
    wanted: list[Gauge] = []
    for number, bend in enumerate(table.bends, 1):
        inside = max(0.0, bend.radius - depth / 2.0)
        between = [table.straights[i] for i in (number - 1, number) if 0 < i < len(table.bends)]
        leg = min([LEG, *(max(_LEAST_LEG, straight - _RELIEF - 1.0) for straight in between)])
        pull = pulls.get(number, bend.angle if subject.what is None else subject.what.bend_to(bend.angle))
        left = Gauge("left", bend.angle, inside, leg, (number,))
        if abs(pull - bend.angle) > _SAME_ANGLE:
            wanted.append(Gauge("pull", pull, inside, leg, (number,)))
        wanted.append(left)
    return _shared(wanted)


def _shared(wanted: Iterable[Gauge]) -> tuple[Gauge, ...]:
    kept: list[Gauge] = []
    for gauge in wanted:
        for index, other in enumerate(kept):
            if (
                other.purpose == gauge.purpose
                and abs(other.angle - gauge.angle) <= _SAME_ANGLE
                and abs(other.inside - gauge.inside) <= _SAME_RADIUS
            ):
                kept[index] = replace(other, bends=other.bends + gauge.bends, leg=min(other.leg, gauge.leg))
                break
        else:
            kept.append(gauge)
    return tuple(kept)


def listed(numbers: Sequence[int]) -> str:
    """Write numbers of bends: ``bend 2``, ``bends 1, 3``, ``bends 1–4, 7``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    words = []
    for run in runs:
        words += [f"{run[0]}–{run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    return ("bend " if len(numbers) == 1 else "bends ") + ", ".join(words)
