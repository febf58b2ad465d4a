"""What matters of a piece, as numbers that should be 0: how its ends meet, and how far its spots lie from the drawing.

Angles come as sines in degrees: to a thousandth the angle itself below 4 degrees, and their slopes are exact.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from bentwork.fitup.aligned import Aligned
from bentwork.fitup.chain import Walk, across, walk
from bentwork.fitup.made import Bar, Floats
from bentwork.fitup.spots import Spot, corners_and_ends, points_of
from bentwork.fitup.tolerance import Tolerance
from bentwork.fitup.walking import swung

__all__ = ["Group", "Matters", "what_matters"]

_SEAM_ROWS = 6
_NO_MATTER = 1e6  # what is of no account still has a scale


@dataclass(frozen=True, slots=True)
class Group:
    """Numbers that are judged together, by the length of their vector.

    Args:
        name: ``gap``, ``offset``, ``twist``, ``turn about the bar``, or the name of a spot.
        rows: which of the numbers.
        tolerance: mm or degrees.
    """

    name: str
    rows: tuple[int, ...]
    tolerance: float


@dataclass(frozen=True, eq=False)
class Matters:
    """What matters of a piece.

    Args:
        nominal: the piece as drawn.
        closed: whether its ends meet.
        tolerance: how far it may be out.
        spots: places that must lie where they are drawn.
        aligned: how the piece is laid on the drawing; None where no spot matters.
        groups: how the numbers are judged.
        scribed: line and tangent at end B as drawn, shape (2, 3).
    """

    nominal: Bar
    closed: bool
    tolerance: Tolerance
    spots: tuple[Spot, ...]
    aligned: Aligned | None
    groups: tuple[Group, ...]
    scribed: Floats
    scales: Floats = field(init=False)
    """Tolerance of each number, shape (k,)."""
    members: Floats = field(init=False)
    """Which numbers each group has, shape (g, k), each over the square of its tolerance."""

    def __post_init__(self) -> None:
        count = max((max(group.rows) for group in self.groups), default=-1) + 1
        scales, members = np.ones(count), np.zeros((len(self.groups), count))
        for number, group in enumerate(self.groups):
            scales[list(group.rows)] = min(group.tolerance, _NO_MATTER)
            members[number, list(group.rows)] = 1.0 / group.tolerance**2
        object.__setattr__(self, "scales", scales)
        object.__setattr__(self, "members", members)

    def of(self, values: Floats, *, longer: float | Floats = 0.0) -> Floats:
        """Return by how much bars are out, shape (k, m).

        Args:
            values: unknowns of the bars, shape (5, n, m).
            longer: by how much end B is left longer than drawn, mm; for all bars, or for each, shape (m,).
        """
        return self._rows(walk(values, self.nominal.shares), longer, slopes=False)[0]

    def with_slopes(self, values: Floats, *, longer: float | Floats = 0.0) -> tuple[Floats, Floats, Floats]:
        """Return by how much bars are out, the slopes of that over the unknowns, and over the length left at end B.

        Returns:
            shapes (k, m), (k, 5, n, m), (k, m).
        """
        return self._rows(walk(values, self.nominal.shares), longer, slopes=True)

    def worst(self, out: Floats) -> Floats:
        """Return the largest share of a tolerance that is used up, shape (m,); above 1 a bar is not good."""
        return np.asarray(np.sqrt(self.used(out).max(axis=0, initial=0.0)))

    def used(self, out: Floats) -> Floats:
        """Return how much each group uses up of its tolerance, squared, shape (g, m)."""
        return np.asarray(self.members @ (out * out))

    def _rows(self, walks: Walk, longer: float | Floats, *, slopes: bool) -> tuple[Floats, Floats, Floats]:
        bar, size = self.nominal, walks.values.shape[2]
        out: list[Floats] = []
        by: list[Floats] = []
        by_end: list[Floats] = []
        if self.closed:
            end = walks.station(bar.length + longer, slopes=slopes, past=bar.bends)
            line, tangent = self.scribed[0][:, np.newaxis], self.scribed[1][:, np.newaxis]
            beside = across(line, tangent)
            tips = end.tangent
            # Turned from the line as drawn towards its side; both lie across the bar.
            turned = np.sum(end.line * beside, axis=0)
            out.append(np.stack((-end.point[0], *end.point[1:], *np.degrees(tips[1:]), np.degrees(turned))))
            if end.moves is not None and end.turns is not None:
                tip_by, line_by = (swung(end.turns, np.ascontiguousarray(arm)) for arm in (tips, end.line))
                turned_by = np.tensordot(beside[:, 0], line_by, axes=1)
                by.append(np.stack((-end.moves[0], *end.moves[1:], *tip_by[1:], turned_by)))
                along = np.zeros((_SEAM_ROWS, size))
                along[:3] = tips * np.array([-1.0, 1.0, 1.0])[:, np.newaxis]
                by_end.append(along)
        if self.aligned is not None:
            points, moves = points_of(self.spots, walks, bar, slopes=slopes)
            datum = self.aligned.datum
            there = None if datum is None else datum.place(walks, bar, slopes=slopes)
            laid, laid_by = self.aligned.laid(points, moves, there)
            out.append(laid)
            if laid_by is not None:
                by.append(laid_by)
                by_end.append(np.zeros(laid.shape))
        if not out:
            return np.zeros((0, size)), np.zeros((0, *walks.values.shape)), np.zeros((0, size))
        if not slopes:
            return np.concatenate(out), np.zeros(0), np.zeros(0)
        return np.concatenate(out), np.concatenate(by), np.concatenate(by_end)


def what_matters(
    nominal: Bar,
    *,
    closed: bool = False,
    tolerance: Tolerance | None = None,
    spots: Sequence[Spot] | None = None,
    datum: Spot | None = None,
    round_bar: bool = True,
) -> Matters:
    """Return what matters of a piece.

    Args:
        nominal: the piece as drawn.
        closed: whether its ends meet.
        tolerance: how far it may be out; None for common practice.
        spots: places that must lie where they are drawn; None for corners and ends.
        datum: place that the others are measured from; None: the piece is laid on the drawing where it fits best, as a
            maker does.
        round_bar: whether a turn of the ends about the bar is of no account.
    """
    tolerance = Tolerance() if tolerance is None else tolerance
    chosen = corners_and_ends(nominal, closed=closed) if spots is None else tuple(spots)
    walks = walk(nominal.values[:, :, np.newaxis], nominal.shares)
    groups: list[Group] = []
    if closed:
        groups += [Group("gap", (0,), tolerance.gap), Group("offset", (1, 2), tolerance.offset)]
        groups += [Group("twist", (3, 4), tolerance.twist)]
        groups += [Group("turn about the bar", (5,), math.inf if round_bar else tolerance.twist)]
    first = _SEAM_ROWS if closed else 0
    for k, spot in enumerate(chosen):
        groups.append(Group(spot.name, tuple(range(first + 3 * k, first + 3 * k + 3)), tolerance.position))
    aligned = None
    if chosen:
        points, _ = points_of(chosen, walks, nominal)
        aligned = Aligned.on(points[..., 0], nominal, walks, datum)
    end = walks.station(nominal.length, past=nominal.bends)
    scribed = np.stack((end.line[:, 0], end.tangent[:, 0]))
    return Matters(nominal, closed, tolerance, chosen, aligned, tuple(groups), scribed)
