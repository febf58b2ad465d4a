"""A piece as it lies on its bar: where each bend sits, how far it turns and which way round, for one bar or for many.

The unknowns of a bend belong to the bar and to nothing else: an error in one leaves the marks of all others where they
are. That is why they are not those of the bend table: a bend that is turned about the bar alters two rotations, and one
that is moved alters two straights.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.bend import Bend, half_turn
from bentwork.piece.bend_table import BendTable

__all__ = ["ANGLE", "DIRECTION", "KINDS", "PLACE", "RADIUS", "STRETCH", "Bar", "Floats", "LinedUp", "on_the_bar"]

Floats: TypeAlias = NDArray[np.float64]

KINDS = ("angle", "direction", "place", "radius", "stretch")
ANGLE, DIRECTION, PLACE, RADIUS, STRETCH = range(5)

LinedUp = Literal["start", "centre", "end"]
"""What of a bend stays where it is marked when its angle comes out wrong: a die begins a bend at its start seen from
the held end, a former pushes in its middle."""

_SHARE: dict[LinedUp, float] = {"start": 0.0, "centre": 0.5, "end": 1.0}


@dataclass(frozen=True, eq=False)
class Bar:
    """A bent bar.

    Args:
        values: shape (5, n), the rows in the order of ``KINDS``: angle left, degrees; direction, where round the
            straight bar the bend turns to, degrees; place on the straight bar of what is lined up, mm from end A;
            centreline radius, mm; stretch, by how much the bar gets longer in the bend, mm.
        length: of the straight bar between the ends of the piece, trim not included, mm.
        lined_up: for each bend, what of it its place is.

    Raises:
        ValueError: the shapes do not go together.
    """

    values: Floats
    length: float
    lined_up: tuple[LinedUp, ...]

    def __post_init__(self) -> None:
        if self.values.ndim != 2 or self.values.shape[0] != len(KINDS):
            raise ValueError(f"a bar has {len(KINDS)} numbers for each bend, not an array of shape {self.values.shape}")
        if len(self.lined_up) != self.values.shape[1]:
            raise ValueError(f"{self.values.shape[1]} bends, but {len(self.lined_up)} are said to be lined up")

    @property
    def bends(self) -> int:
        """How many bends there are."""
        return int(self.values.shape[1])

    @cached_property
    def shares(self) -> Floats:
        """How far into each bend its place lies, shape (n,): 0 at its start, 1 at its end."""
        return np.array([_SHARE[what] for what in self.lined_up])

    @property
    def used(self) -> Floats:
        """Straight bar that each bend takes, mm, shape (n,)."""
        return np.asarray(self.values[RADIUS] * np.radians(self.values[ANGLE]) - self.values[STRETCH])

    @property
    def starts(self) -> Floats:
        """Where each bend starts on the straight bar, mm from end A, shape (n,)."""
        return np.asarray(self.values[PLACE] - self.shares * self.used)

    @cached_property
    def straights(self) -> Floats:
        """Straights before, between and after the bends, mm, shape (n + 1,); below 0 where bends overlap."""
        starts = self.starts
        return np.asarray(np.append(starts, self.length) - np.append(0.0, starts + self.used))

    @property
    def rotations(self) -> Floats:
        """Turn of each bend's plane from the bend before, degrees in (-180, 180], shape (n,); of the first 0."""
        turns = np.diff(self.values[DIRECTION], prepend=self.values[DIRECTION][:1])
        return np.array([half_turn(float(turn)) for turn in turns])

    def with_values(self, values: Floats) -> Bar:
        """Return the same bar with its bends otherwise."""
        return Bar(values, self.length, self.lined_up)

    def table(self, *, closed: bool = False) -> BendTable:
        """Return the bend table of it; the ends are where they are.

        Raises:
            ValueError: bends overlap, or an angle is none.
        """
        bends = tuple(
            Bend(float(radius), float(angle), float(rotation))
            for radius, angle, rotation in zip(self.values[RADIUS], self.values[ANGLE], self.rotations, strict=True)
        )
        straights = tuple(float(s) if s < 0.0 or s > 1e-9 else 0.0 for s in self.straights)
        return BendTable(straights, bends, closed)


def on_the_bar(table: BendTable, lined_up: LinedUp | Sequence[LinedUp] = "start") -> Bar:
    """Return a piece as drawn, as it lies on its bar.

    Args:
        table: the piece.
        lined_up: what of each bend is set to the tool; one word for all of them, or one for each.

    Raises:
        ValueError: not as many words as bends.
    """
    words = (lined_up,) * len(table.bends) if isinstance(lined_up, str) else tuple(lined_up)
    values = np.zeros((len(KINDS), len(table.bends)))
    total = 0.0
    for k, (bend, (start, end)) in enumerate(zip(table.bends, table.spans, strict=True)):
        total += bend.rotation
        share = _SHARE[words[k]] if k < len(words) else 0.0
        values[:, k] = bend.angle, total, start + share * (end - start), bend.radius, 0.0
    return Bar(values, math.fsum(table.straights) + math.fsum(bend.arc for bend in table.bends), words)
