"""The bar as the order search sees it: lengths, bends, how far each is pulled, and how thick the bar is taken to be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.motion import SETTINGS
from bentwork.piece.bend_table import BendTable
from bentwork.stock.section import Section, Way
from bentwork.tooling.bender import Bender

__all__ = ["End", "Workpiece", "supports_of", "workpiece"]

End = Literal["A", "B"]
_STRIPS = 4  # a flat bar is held in at most so many round rows side by side


@dataclass(frozen=True, slots=True)
class Workpiece:
    """A piece on its way through one bender. Lengths in mm, angles in radians; brought into left-hand form.

    Args:
        straights: n + 1 lengths, trim on both ends included.
        arcs: length of bar in each bend.
        radii: centreline radius of each bend.
        angles: bend angle wanted of each.
        pulls: angle that each is pulled to, not less than the angle wanted.
        directions: where round the bar each bend turns to, right-hand rule about A to B, from the first.
        depth: of the bar in the plane of the bend.
        breadth: of the bar across it.
        rows: offsets across the plane of the bend of the round rows that hold the bar.
        thick: radius of these rows.
        closed: its ends meet by design.

    Raises:
        ValueError: the counts do not match or a pull is not finite.
    """

    straights: tuple[float, ...]
    arcs: tuple[float, ...]
    radii: tuple[float, ...]
    angles: tuple[float, ...]
    pulls: tuple[float, ...]
    directions: tuple[float, ...]
    depth: float
    breadth: float
    rows: tuple[float, ...]
    thick: float
    closed: bool = False

    def __post_init__(self) -> None:
        counts = {len(self.straights) - 1, len(self.arcs), len(self.radii), len(self.angles)}
        if counts | {len(self.pulls), len(self.directions)} != {len(self.arcs)}:
            raise ValueError("every bend needs a pull, and there is one straight more than bends")
        if not all(math.isfinite(pull) and pull >= angle for pull, angle in zip(self.pulls, self.angles, strict=True)):
            raise ValueError("a bend is pulled to an angle that is not below the one wanted")

    @property
    def bends(self) -> int:
        """How many bends the piece has."""
        return len(self.arcs)

    def side(self, bend: int, end: End) -> tuple[float, NDArray[np.float64]]:
        """Return the straight beside a bend (numbered from 0) towards an end, and the bends beyond it (m, 5)."""
        here = self.directions[bend]
        if end == "A":
            others, first, after = range(bend - 1, -1, -1), self.straights[bend], 0
        else:
            others, first, after = range(bend + 1, self.bends), self.straights[bend + 1], 1
        sign = -1.0 if end == "A" else 1.0
        table = [
            (self.arcs[j], self.radii[j], self.angles[j], sign * (self.directions[j] - here), self.straights[j + after])
            for j in others
        ]
        return first, np.array(table, dtype=np.float64).reshape(len(table), 5)

    def settings(self, bend: int, bender: Bender) -> NDArray[np.float64]:
        """Return what the motion of this bend depends on, see ``motion.SETTINGS``."""
        found = np.zeros(SETTINGS)
        support, across = supports_of(bender)
        reach = bender.radius + self.depth / 2.0 + across
        found[:] = (bender.radius, self.arcs[bend], self.pulls[bend], self.angles[bend], support, reach)
        return found


def supports_of(bender: Bender) -> tuple[float, float]:
    """Return where a former's rollers or a block's shoulders stand, from its middle, and their radius; 0, 0 for none.

    Rollers and block are taken where they are given; else the follower stands for them.
    """
    if bender.kind == "ram" and bender.rollers:
        return bender.rollers.span / 2.0, bender.rollers.radius
    if bender.kind == "vee" and bender.block:
        return bender.block.opening / 2.0, bender.block.shoulder_radius
    if bender.kind in ("ram", "vee") and bender.follower:
        return bender.follower.ahead, bender.follower.radius or 0.0
    return 0.0, 0.0


def workpiece(
    table: BendTable, pulls: Sequence[float], section: Section, way: Way, trim: float, bender: Bender
) -> Workpiece:
    """Return a piece as it is worked on a bender.

    Args:
        table: the piece.
        pulls: angle that each bend is pulled to, degrees; one below the bend's angle counts as that angle.
        section: of the bar.
        way: which way it is bent.
        trim: spare length on each end, mm.
        bender: it is bent on.

    Raises:
        ValueError: there is not one pull for each bend.
    """
    straights = list(table.straights)
    straights[0] += trim
    straights[-1] += trim
    sign = -1.0 if bender.hand == "right" else 1.0
    depth, breadth = section.depth(way), section.breadth(way)
    flat = all(abs(math.sin(math.radians(total))) < 1e-9 for total in accumulate(b.rotation for b in table.bends))
    rows, thick = _rows(depth, breadth, section.kind in ("round", "tube"), flat)
    return Workpiece(
        straights=tuple(straights),
        arcs=tuple(bend.arc for bend in table.bends),
        radii=tuple(bend.radius for bend in table.bends),
        angles=tuple(math.radians(bend.angle) for bend in table.bends),
        pulls=tuple(math.radians(max(p, bend.angle)) for p, bend in zip(pulls, table.bends, strict=True)),
        directions=tuple(sign * math.radians(total) for total in accumulate(bend.rotation for bend in table.bends)),
        depth=depth,
        breadth=breadth,
        rows=rows,
        thick=thick,
        closed=table.closed,
    )


def _rows(depth: float, breadth: float, is_round: bool, flat: bool) -> tuple[tuple[float, ...], float]:
    """Return offsets and radius of round rows that hold a section: one for round, more across a flat bar.

    A row of breadth b/k and depth d is held by half its diagonal. A bar that is deeper than broad keeps one row, and so
    does a piece that is not flat: rows lie side by side across the one plane of all bends.
    """
    if is_round:
        return (0.0,), depth / 2.0
    count = min(_STRIPS, max(1, round(breadth / depth))) if flat else 1
    strip = breadth / count
    offsets = tuple(strip * (i + 0.5) - breadth / 2.0 for i in range(count))
    return offsets, math.hypot(strip, depth) / 2.0
