"""What a maker measures on a bar: what each reading should be for given unknowns, and how far the gauge may be out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from bentwork.fitup.chain import Walk, across, walk
from bentwork.fitup.lying import rock, stands_on
from bentwork.fitup.made import ANGLE, DIRECTION, KINDS, PLACE, RADIUS, STRETCH, Bar, Floats
from bentwork.fitup.spots import NO_CORNER, Spot, corners_and_ends, points_of
from bentwork.units import Units

__all__ = ["USUAL_SD", "Kind", "Reading", "all_expected", "expected"]

Kind = Literal[
    "angle", "rotation", "position", "begins", "leg", "across", "gap", "sideways", "upwards", "rock", "height"
]

USUAL_SD: dict[Kind, float] = {
    "angle": 0.5,
    "rotation": 0.7,
    "position": 0.5,
    "begins": 0.5,
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
        kind: ``angle`` and ``rotation`` of a bend, its turn from the nearest bend before it that was made; ``position``
            of a bend, the place that is lined up, from end A along the bar; ``begins``, where a bend begins, likewise;
            ``leg``, along a straight between the points where middle lines meet, or to an end; ``across``, straight
            from one spot to another; at the seam of a closed piece ``gap`` along the bar (below 0 where the ends
            overlap), ``sideways`` towards where bend 1 turns to and ``upwards`` along its axis, of end B seen from end
            A; ``rock``, how high a corner stands off a flat table; ``height`` of a spot above the table that three
            others stand on, above 0 where the right-hand rule about the three looks to.
        value: as read.
        number: of the bend, from 1; of the straight, from 1, for a leg; 0 otherwise.
        spots: the two of ``across``; the three feet and the spot of ``height``.
        sd: one standard deviation of the gauge; None for ``USUAL_SD``.
        sure: it was questioned, and is right: it counts, however odd it is.
        more: by how much more the tape showed: to the outside of the bar, or from the end of the spare length.
        made: numbers of the bends that were made when it was read; None for those that are made now.
        mark: where a bend should begin by its mark, from end A, where that was to hand: it may be told as so much off.
        units: that the maker's tape has, and in which lengths are keyed in; they are mm here.

    Raises:
        ValueError: it is not whole.
    """

    kind: Kind
    value: float
    number: int = 0
    spots: tuple[Spot, ...] = ()
    sd: float | None = None
    sure: bool = False
    more: float = 0.0
    made: frozenset[int] | None = None
    mark: float | None = None
    units: Units = "mm"

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
        if self.kind in ("angle", "rotation", "position", "begins", "leg") and self.number < 1:
            raise ValueError(f"{self.kind} of which bend or straight? They are counted from 1")
        if self.kind == "rotation" and self.number < 2:
            raise ValueError("the first bend is turned from nothing; rotations begin with bend 2")

    @property
    def spread(self) -> float:
        """One standard deviation of the gauge."""
        return USUAL_SD[self.kind] if self.sd is None else self.sd


def expected(reading: Reading, bar: Bar, values: Floats, made: tuple[bool, ...]) -> tuple[float, Floats]:
    """Return what a reading should be, and its slopes over the unknowns, shape (5, n); see ``all_expected``."""
    found, slopes = all_expected((reading,), bar, values, made)
    return float(found[0]), np.asarray(slopes[0])


def all_expected(
    readings: Sequence[Reading], bar: Bar, values: Floats, made: tuple[bool, ...]
) -> tuple[Floats, Floats]:
    """Return what readings should be, shape (r,), and their slopes over the unknowns, shape (r, 5, n).

    Args:
        readings: what is read; their values are of no account.
        bar: as drawn.
        values: unknowns, shape (5, n).
        made: which bends are made: the bar is straight where the others will be.

    Raises:
        ValueError: one is of a bend that is not made, or of something the bar has not.
    """
    flags = [made if one.made is None else tuple(b + 1 in one.made for b in range(bar.bends)) for one in readings]
    lying: dict[tuple[bool, ...], _Lying] = {}
    found, slopes = np.zeros(len(readings)), np.zeros((len(readings), len(KINDS), bar.bends))
    for k, reading in enumerate(readings):
        if reading.kind in _ALONG:
            found[k] = _along(reading, bar, values, flags[k], slopes[k])
            continue
        if flags[k] not in lying:
            alike = [one for one, flag in zip(readings, flags, strict=True) if flag == flags[k]]
            have = tuple(b for b, one in enumerate(flags[k]) if one)
            lying[flags[k]] = _Lying.of(bar, values, have, alike)
        found[k] = _lying(reading, bar, values, lying[flags[k]], slopes[k])
    return found, slopes


_ALONG: tuple[Kind, ...] = ("angle", "rotation", "position", "begins", "leg")
"""What the unknowns of a bend or two tell, wherever the rest of the bar lies."""


def _along(reading: Reading, bar: Bar, values: Floats, made: tuple[bool, ...], slopes: Floats) -> float:
    """What a reading of a bend or a leg should be; its slopes are put into ``slopes``."""
    k = reading.number - 1
    if reading.kind in ("angle", "rotation", "position"):
        _check_made(reading, [k], made)
        if reading.kind == "rotation":
            before = next((b for b in range(k - 1, -1, -1) if made[b]), None)
            if before is None:
                raise ValueError(f"bend {reading.number} is turned from no other: none before it is made yet")
            slopes[DIRECTION, [before, k]] = -1.0, 1.0
            turn = float(values[DIRECTION, k] - values[DIRECTION, before])
            # Read in (-180, 180], but one turn more or less is no error.
            return turn + 360.0 * round((reading.value - turn) / 360.0)
        kind = ANGLE if reading.kind == "angle" else PLACE
        slopes[kind, k] = 1.0
        return float(values[kind, k])
    if reading.kind == "begins":
        _check_made(reading, [k], made)
        return _begins(bar, values, k, slopes)
    return _leg(reading, bar, values, tuple(b for b, one in enumerate(made) if one), slopes)


def _lying(reading: Reading, bar: Bar, values: Floats, lying: _Lying, slopes: Floats) -> float:
    """What a reading of places should be; its slopes are put into ``slopes``."""
    if reading.kind == "rock":
        return _rock(bar, values, lying, slopes)
    if reading.kind == "across":
        return _across(reading.spots, lying, slopes)
    if reading.kind == "height":
        return _height(reading.spots, lying, slopes)
    if len(lying.have) < bar.bends:
        raise ValueError("the ends of a piece come together when all its bends are made")
    return _seam(reading, bar, lying, slopes)


def _begins(bar: Bar, values: Floats, bend: int, slopes: Floats) -> float:
    """What is lined up, less the bar that the bend takes before it."""
    share = float(bar.shares[bend])
    angle, radius, stretch = (float(values[kind, bend]) for kind in (ANGLE, RADIUS, STRETCH))
    theta = math.radians(angle)
    slopes[PLACE, bend] = 1.0
    slopes[ANGLE, bend] = -share * radius * math.pi / 180.0
    slopes[RADIUS, bend] = -share * theta
    slopes[STRETCH, bend] = share
    return float(values[PLACE, bend]) - share * (radius * theta - stretch)


@dataclass(frozen=True, slots=True, eq=False)
class _Lying:
    """A bar with the bends that it has so far, from 0, and the spots that readings on it are about.

    Args:
        have: the bends.
        walks: along it.
        part: as drawn, those bends alone.
        spots: which of the points each spot is.
        points: mm, shape (s, 3).
        moves: their slopes, shape (s, 3, 5, len(have)).
    """

    have: tuple[int, ...]
    walks: Walk
    part: Bar
    spots: dict[Spot, int]
    points: Floats
    moves: Floats

    @classmethod
    def of(cls, bar: Bar, values: Floats, have: tuple[int, ...], readings: Sequence[Reading]) -> _Lying:
        chosen = list(have)
        part = Bar(bar.values[:, chosen], bar.length, tuple(bar.lined_up[b] for b in chosen))
        walks = walk(values[:, chosen][:, :, np.newaxis], part.shares)
        spots = list(dict.fromkeys(spot for one in readings for spot in one.spots))
        places = [_in(spot, chosen) for spot in spots]
        points, moves = points_of(places, walks, part, slopes=True)
        numbers = {spot: number for number, spot in enumerate(spots)}
        slopes = np.zeros((len(spots), 3, len(KINDS), len(have))) if moves is None else moves[..., 0]
        return cls(have, walks, part, numbers, points[..., 0], slopes)

    def at(self, spots: Sequence[Spot]) -> list[int]:
        return [self.spots[spot] for spot in spots]


def _check_made(reading: Reading, wants: list[int], made: tuple[bool, ...]) -> None:
    for bend in wants:
        if bend >= len(made):
            raise ValueError(f"there is no bend {bend + 1}: the piece has {len(made)}")
        if not made[bend]:
            raise ValueError(f"bend {bend + 1} is not made yet: {reading.kind} of bend {reading.number} cannot be read")


def _leg(reading: Reading, bar: Bar, values: Floats, have: tuple[int, ...], slopes: Floats) -> float:
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
    return total


def _in(spot: Spot, have: list[int]) -> Spot:
    if spot.corner is None:
        return spot
    if spot.corner - 1 not in have:
        raise ValueError(f"{spot.name} is not bent yet")
    return Spot(spot.name, corner=have.index(spot.corner - 1) + 1)


def _across(spots: tuple[Spot, ...], lying: _Lying, slopes: Floats) -> float:
    first, second = lying.at(spots)
    apart = lying.points[second] - lying.points[first]
    size = float(np.linalg.norm(apart))
    if size > 0.0:
        slopes[:, list(lying.have)] = np.tensordot(apart / size, lying.moves[second] - lying.moves[first], axes=1)
    return size


def _height(spots: tuple[Spot, ...], lying: _Lying, slopes: Floats) -> float:
    """Height over three feet; the table's side is that on which the right-hand rule about the feet looks up."""
    places = lying.at(spots)
    return _over(lying.points[places], lying.moves[places], list(lying.have), slopes)


def _over(points: Floats, moves: Floats, have: list[int], slopes: Floats) -> float:
    """Height of the last of four points, shape (4, 3), over the plane of the others; ``moves`` are their slopes."""
    a, b, c, there = points
    edge, other, up = b - a, c - a, there - a
    normal = across(edge, other)
    area = float(np.linalg.norm(normal))
    if area < 1e-9:
        raise ValueError("three feet in a line carry nothing")
    height = float(normal @ up) / area
    # Height times area is the triple product; both change with every point.
    flat = normal / area
    by_area = across(other, flat), across(flat, edge)
    by_product = across(other, up), across(up, edge), normal
    by_b = (by_product[0] - height * by_area[0]) / area
    by_c = (by_product[1] - height * by_area[1]) / area
    by_there = by_product[2] / area
    each = np.array((-(by_b + by_c + by_there), by_b, by_c, by_there))
    slopes[:, have] = np.tensordot(each, moves, axes=2)
    return height


def _seam(reading: Reading, bar: Bar, lying: _Lying, slopes: Floats) -> float:
    end = lying.walks.station(bar.length, past=bar.bends, slopes=True)
    row, sign = {"gap": (0, -1.0), "sideways": (1, 1.0), "upwards": (2, 1.0)}[reading.kind]
    if end.moves is not None:
        slopes += sign * end.moves[row, ..., 0]
    return sign * float(end.point[row, 0])


def _rock(bar: Bar, values: Floats, lying: _Lying, slopes: Floats) -> float:
    """Rock: the height of what stands highest over the feet; where nothing does, slopes by differences."""
    have, part = list(lying.have), lying.part
    spots = corners_and_ends(part)
    points, moves = points_of(spots, lying.walks, part, slopes=True)
    four = stands_on(points[..., 0])
    if four is not None and moves is not None:
        return _over(points[list(four), :, 0], moves[list(four), ..., 0], have, slopes)
    steps = np.concatenate([np.zeros((1, 5 * len(have))), _STEP * np.eye(5 * len(have))])
    many = values[:, have].reshape(-1, 1) + steps.T
    walks = walk(many.reshape(5, len(have), -1), part.shares)
    found = rock(points_of(spots, walks, part)[0])
    slopes[:, have] = ((found[1:] - found[0]) / _STEP).reshape(5, len(have))
    return float(found[0])
