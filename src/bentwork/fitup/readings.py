"""What a maker measures on a bar: what each reading should be for given unknowns, and how far the gauge may be out."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from bentwork.fitup.chain import Walk, walk
from bentwork.fitup.lying import rock
from bentwork.fitup.made import ANGLE, DIRECTION, KINDS, PLACE, RADIUS, STRETCH, Bar, Floats
from bentwork.fitup.spots import NO_CORNER, Spot, corners_and_ends, points_of

__all__ = ["USUAL_SD", "Kind", "Reading", "expected", "made_only"]

Kind = Literal["angle", "rotation", "position", "leg", "across", "gap", "sideways", "upwards", "rock", "height"]

USUAL_SD: dict[Kind, float] = {
    "angle": 0.5,
    "rotation": 0.7,
    "position": 0.5,
    "leg": 0.7,
    "across": 0.7,
    "gap": 0.5,
    "sideways": 0.5,
    "upwards": 0.5,
    "rock": 0.3,
    "height": 0.7,
}
"""One standard deviation of a reading, degrees or mm: finder, two finders or a level, tape, tape along a leg or across
between corners, tape or feeler at the seam, feeler under a foot, tape and square from a table. Common practice, no
source."""

_STEP = 1e-4


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading. Angles in degrees, lengths in mm.

    Args:
        kind: ``angle`` and ``rotation`` (turn from the bend before) of a bend; ``position`` of a bend, the place that
            is lined up, from end A along the bar; ``leg``, along a straight between the points where middle lines
            meet, or to an end; ``across``, straight from one spot to another; at the seam of a closed piece ``gap``
            along the bar (below 0 where the ends overlap), ``sideways`` towards where bend 1 turns to and ``upwards``
            along its axis, of end B seen from end A; ``rock``, how high a corner stands off a flat table; ``height``
            of a spot above the table that three others stand on, below 0 on its other side as drawn.
        value: as read.
        number: of the bend, from 1; of the straight, from 1, for a leg; 0 otherwise.
        spots: the two of ``across``; the three feet and the spot of ``height``.
        sd: one standard deviation of the gauge; None for ``USUAL_SD``.

    Raises:
        ValueError: it is not whole.
    """

    kind: Kind
    value: float
    number: int = 0
    spots: tuple[Spot, ...] = ()
    sd: float | None = None

    def __post_init__(self) -> None:
        if self.kind not in get_args(Kind):
            raise ValueError(f"a reading is one of {', '.join(get_args(Kind))}, not {self.kind}")
        if not math.isfinite(self.value):
            raise ValueError(f"a reading is a number, not {self.value}")
        if self.sd is not None and not (math.isfinite(self.sd) and self.sd > 0.0):
            raise ValueError(f"a gauge is out by more than 0, not {self.sd}")
        wanted = {"across": 2, "height": 4}.get(self.kind, 0)
        if len(self.spots) != wanted:
            raise ValueError(f"a reading of {self.kind} has {wanted} spots, not {len(self.spots)}")
        if self.kind in ("angle", "rotation", "position", "leg") and self.number < 1:
            raise ValueError(f"{self.kind} of which bend or straight? They are counted from 1")
        if self.kind == "rotation" and self.number < 2:
            raise ValueError("the first bend is turned from nothing; rotations begin with bend 2")

    @property
    def spread(self) -> float:
        """One standard deviation of the gauge."""
        return USUAL_SD[self.kind] if self.sd is None else self.sd


def made_only(values: Floats, made: tuple[bool, ...]) -> list[int]:
    """Return the bends, from 0, that a bar has so far."""
    return [k for k in range(values.shape[1]) if made[k]]


def expected(reading: Reading, bar: Bar, values: Floats, made: tuple[bool, ...]) -> tuple[float, Floats]:
    """Return what a reading should be, and its slopes over the unknowns, shape (5, n).

    Args:
        reading: what is read; its value is of no account.
        bar: as drawn.
        values: unknowns, shape (5, n).
        made: which bends are made: the bar is straight where the others will be.

    Raises:
        ValueError: it is of a bend that is not made, or of something the bar has not.
    """
    slopes = np.zeros((len(KINDS), bar.bends))
    k = reading.number - 1
    if reading.kind in ("angle", "rotation", "position"):
        wants = [k - 1, k] if reading.kind == "rotation" else [k]
        _check_made(reading, wants, made)
        if reading.kind == "rotation":
            slopes[DIRECTION, k - 1 : k + 1] = -1.0, 1.0
            turn = float(values[DIRECTION, k] - values[DIRECTION, k - 1])
            # Read in (-180, 180], but one turn more or less is no error.
            return turn + 360.0 * round((reading.value - turn) / 360.0), slopes
        kind = ANGLE if reading.kind == "angle" else PLACE
        slopes[kind, k] = 1.0
        return float(values[kind, k]), slopes
    have = made_only(values, made)
    if reading.kind == "leg":
        return _leg(reading, bar, values, have, slopes)
    if reading.kind == "rock":
        return _rock(bar, values, have, slopes)
    if reading.kind == "across":
        return _across(reading.spots, bar, values, have, slopes)
    if reading.kind == "height":
        return _height(reading.spots, bar, values, have, slopes)
    if len(have) < bar.bends:
        raise ValueError("the ends of a piece come together when all its bends are made")
    return _seam(reading, bar, values, slopes)


def _check_made(reading: Reading, wants: list[int], made: tuple[bool, ...]) -> None:
    for bend in wants:
        if bend >= len(made):
            raise ValueError(f"there is no bend {bend + 1}: the piece has {len(made)}")
        if not made[bend]:
            raise ValueError(f"bend {bend + 1} is not made yet: {reading.kind} of bend {reading.number} cannot be read")


def _leg(reading: Reading, bar: Bar, values: Floats, have: list[int], slopes: Floats) -> tuple[float, Floats]:
    """A straight, with the setbacks of the bends beside it."""
    if reading.number > len(have) + 1:
        raise ValueError(f"there is no leg {reading.number}: the bar has {len(have)} bends so far")
    total, shares = 0.0, bar.shares
    end = bar.length
    for side, place in ((-1.0, reading.number - 2), (1.0, reading.number - 1)):
        if not 0 <= place < len(have):
            total += 0.0 if side < 0.0 else end
            continue
        b = have[place]
        angle, radius, stretch = (float(values[kind, b]) for kind in (ANGLE, RADIUS, STRETCH))
        if bar.values[ANGLE, b] >= NO_CORNER:
            raise ValueError(f"bend {b + 1} is a return: a leg beside it ends nowhere. Measure across instead")
        theta, half = math.radians(angle), math.tan(math.radians(angle) / 2.0)
        used = radius * theta - stretch
        # Behind a bend the straight begins at its end, before one it ends at its start.
        share = float(shares[b]) if side > 0.0 else 1.0 - float(shares[b])
        total += side * float(values[PLACE, b]) - share * used + radius * half
        slopes[PLACE, b] += side
        slopes[ANGLE, b] += math.pi / 180.0 * radius * (0.5 * (1.0 + half * half) - share)
        slopes[RADIUS, b] += half - share * theta
        slopes[STRETCH, b] += share
    return total, slopes


def _walked(bar: Bar, values: Floats, have: list[int]) -> tuple[Walk, Bar]:
    part = Bar(bar.values[:, have], bar.length, tuple(bar.lined_up[b] for b in have))
    return walk(values[:, have][:, :, np.newaxis], part.shares), part


def _in(spot: Spot, have: list[int]) -> Spot:
    if spot.corner is None:
        return spot
    if spot.corner - 1 not in have:
        raise ValueError(f"{spot.name} is not bent yet")
    return Spot(spot.name, corner=have.index(spot.corner - 1) + 1)


def _across(spots: tuple[Spot, ...], bar: Bar, values: Floats, have: list[int], slopes: Floats) -> tuple[float, Floats]:
    walks, part = _walked(bar, values, have)
    points, moves = points_of([_in(spot, have) for spot in spots], walks, part, slopes=True)
    apart = points[1, :, 0] - points[0, :, 0]
    size = float(np.linalg.norm(apart))
    if moves is not None and size > 0.0:
        slopes[:, have] = np.einsum("k,kab->ab", apart / size, (moves[1] - moves[0])[..., 0])
    return size, slopes


def _height(spots: tuple[Spot, ...], bar: Bar, values: Floats, have: list[int], slopes: Floats) -> tuple[float, Floats]:
    """Height over three feet; the table's side is that on which the right-hand rule about the feet looks up."""
    walks, part = _walked(bar, values, have)
    points, moves = points_of([_in(spot, have) for spot in spots], walks, part, slopes=True)
    a, b, c, there = points[..., 0]
    edge, other, up = b - a, c - a, there - a
    normal = np.cross(edge, other)
    area = float(np.linalg.norm(normal))
    if area < 1e-9:
        raise ValueError("three feet in a line carry nothing")
    height = float(normal @ up) / area
    if moves is not None:
        # Height times area is the triple product; both change with every point.
        flat = normal / area
        by_area = np.cross(other, flat), np.cross(flat, edge)
        by_product = np.cross(other, up), np.cross(up, edge), normal
        by_b = (by_product[0] - height * by_area[0]) / area
        by_c = (by_product[1] - height * by_area[1]) / area
        by_there = by_product[2] / area
        each = (-(by_b + by_c + by_there), by_b, by_c, by_there)
        slopes[:, have] = sum(np.einsum("k,kab->ab", by, moves[k, ..., 0]) for k, by in enumerate(each))
    return height, slopes


def _seam(reading: Reading, bar: Bar, values: Floats, slopes: Floats) -> tuple[float, Floats]:
    walks = walk(values[:, :, np.newaxis], bar.shares)
    end = walks.station(bar.length, past=bar.bends, slopes=True)
    row, sign = {"gap": (0, -1.0), "sideways": (1, 1.0), "upwards": (2, 1.0)}[reading.kind]
    if end.moves is not None:
        slopes += sign * end.moves[row, ..., 0]
    return sign * float(end.point[row, 0]), slopes


def _rock(bar: Bar, values: Floats, have: list[int], slopes: Floats) -> tuple[float, Floats]:
    """Rock, with slopes by differences: it has corners of its own where another foot lifts."""
    _, part = _walked(bar, values, have)
    spots = corners_and_ends(part)
    steps = np.concatenate([np.zeros((1, 5 * len(have))), _STEP * np.eye(5 * len(have))])
    many = values[:, have].reshape(-1, 1) + steps.T
    walks = walk(many.reshape(5, len(have), -1), part.shares)
    found = rock(points_of(spots, walks, part)[0])
    slopes[:, have] = ((found[1:] - found[0]) / _STEP).reshape(5, len(have))
    return float(found[0]), slopes
