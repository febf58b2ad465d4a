"""The bender and its surroundings as bodies: boxes, cylinders and capsules that move as they do on the real thing.

Sizes are measured from the centreline of the bar: a gap of 14 mm to the arm or the plate is from the middle of the bar.
A right-hand bender is the mirror image of a left-hand one in the plane y = 0, and so is what stands round it; here all
is brought into left-hand form. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance import distances as column
from bentwork.space import Vec, cross, norm, sub, unit
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Body, Mounting

__all__ = ["Solid", "bodies_of", "die_radius", "rows_of", "solid_of"]

Part = Literal["tool", "room"]
_FAR = 1e5  # mm; a floor reaches this far, and this deep


@dataclass(frozen=True, slots=True)
class Solid:
    """One body, in the frame of its station.

    Args:
        name: what the maker calls it.
        shape: of it.
        half: half sizes of a box; radius, radius, half length along its own z of a cylinder or capsule.
        middle: of it.
        turn: three unit vectors, its own axes, in the frame of the station.
        station: 0 moves with the die, 1 with the arm (wrap) or stays in the room while the die turns or pushes.
        by_design: the straight run beside the die touches it by design.
        let_go: it is taken away before the bar is lifted off: follower and arm.
        room: it belongs to the mounting, not to the bender.

    Raises:
        ValueError: a size is not a finite number above 0.
    """

    name: str
    shape: Literal["box", "cylinder", "capsule"]
    half: Vec
    middle: Vec
    turn: tuple[Vec, Vec, Vec] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    station: int = 0
    by_design: bool = False
    let_go: bool = False
    room: bool = False

    def __post_init__(self) -> None:
        if not all(math.isfinite(size) and size > 0.0 for size in self.half):
            raise ValueError(f"{self.name} needs sizes above 0 mm, not {', '.join(f'{2 * h:g}' for h in self.half)}")
        if not all(math.isfinite(value) for value in self.middle):
            raise ValueError(f"{self.name} must stand somewhere")

    def reach(self, axis: int) -> float:
        """Return how far it reaches from its middle along an axis of the station."""
        if self.shape == "box":
            return sum(half * abs(own[axis]) for half, own in zip(self.half, self.turn, strict=True))
        along = self.turn[2][axis]
        across = math.sqrt(max(0.0, 1.0 - along * along)) if self.shape == "cylinder" else 1.0
        return self.half[2] * abs(along) + self.half[0] * across

    @property
    def heights(self) -> tuple[float, float]:
        """Lowest and highest z."""
        return self.middle[2] - self.reach(2), self.middle[2] + self.reach(2)

    @property
    def around(self) -> float:
        """Radius of the ball about its middle that holds it."""
        if self.shape == "capsule":
            return self.half[2] + self.half[0]
        return math.hypot(self.half[0], self.half[2]) if self.shape == "cylinder" else norm(self.half)

    def row(self, mounting: int, flipped: bool) -> list[float]:
        """Return it as the kernels read it; ``flipped`` as the held side sees it: turned by half a turn about y."""
        sign = -1.0 if flipped else 1.0
        x, y, z = self.middle
        axes = [(sign * a, b, sign * c) for a, b, c in self.turn]
        low, high = self.heights
        if flipped:
            low, high = -high, -low
        shape = ("box", "cylinder", "capsule").index(self.shape)
        plain = axes == [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)] or self._own_image(axes)
        turn = [value for axis in axes for value in axis]
        flags = [self.station, self.by_design, plain, self.let_go, mounting, self.around]
        middle = (sign * x, y, sign * z)
        box = [middle[i] + side * self.reach(i) for side in (-1.0, 1.0) for i in range(3)]
        return [shape, *self.half, *middle, *turn, low, high, *map(float, flags), *box, *_from_axis(box)]

    def _own_image(self, axes: Sequence[Vec]) -> bool:
        """Whether the turn leaves the body as it is: half turns of a box, and an upright cylinder."""
        if self.shape == "box":
            return all(abs(axes[i][i]) == 1.0 for i in range(3))
        return abs(axes[2][2]) == 1.0


def _from_axis(box: Sequence[float]) -> tuple[float, float]:
    """Return the nearest and the furthest that an upright box (low x, y, z, high x, y, z) comes to the z axis."""
    near = math.hypot(max(0.0, box[0], -box[3]), max(0.0, box[1], -box[4]))
    return near, math.hypot(max(abs(box[0]), abs(box[3])), max(abs(box[1]), abs(box[4])))


def _rows(solids: Sequence[tuple[Solid, int]], flipped: bool) -> NDArray[np.float64]:
    """Return bodies (n, columns) with the number of their mounting, -1 for the bender's own parts."""
    table = [solid.row(mounting, flipped) for solid, mounting in solids]
    return np.array(table, dtype=np.float64).reshape(len(table), column.COLUMNS)


@lru_cache(maxsize=256)
def rows_of(bender: Bender, mounting: Mounting | None, depth: float) -> NDArray[np.float64]:
    """Return the rows of ``bodies_of`` as the held and the free side see them, (2, n, columns), of mounting -1.

    Read only; arguments and errors as for ``bodies_of``.
    """
    numbered = [(solid, -1) for solid in bodies_of(bender, mounting, depth)]
    table = np.stack([_rows(numbered, True), _rows(numbered, False)])
    table.flags.writeable = False
    return table


def die_radius(bender: Bender, depth: float) -> float:
    """Return the outside radius of the die: to the bottom of its groove, and the groove's depth."""
    return bender.radius - depth / 2.0 + (bender.die.groove_depth if bender.die else 0.0)


@lru_cache(maxsize=256)
def bodies_of(bender: Bender, mounting: Mounting | None, depth: float) -> tuple[Solid, ...]:
    """Return the bodies of a bender, or of what stands round it when a mounting is given.

    Args:
        bender: the bender; parts that are not given are not there.
        mounting: what stands round it; None for the parts of the bender itself.
        depth: of the bar in the plane of the bend, mm.

    Raises:
        ValueError: a size is not above 0, or the die is too small for the bar.
    """
    solids = _parts(bender, depth) if mounting is None else _room(bender, mounting)
    return tuple(_left(solid) for solid in solids) if bender.hand == "right" else tuple(solids)


def _parts(bender: Bender, depth: float) -> list[Solid]:
    pushes = bender.kind in ("ram", "vee")
    skin = bender.radius + depth / 2.0
    found = []
    if bender.die:
        radius = die_radius(bender, depth)
        found.append(Solid("die", "cylinder", (radius, radius, bender.die.thickness / 2), (0, 0, 0), by_design=True))
    if bender.hook and not pushes:
        hook = bender.hook
        half = (hook.length / 2, hook.width / 2, hook.height / 2)
        middle = (-hook.starts_behind - hook.length / 2, -skin - hook.width / 2, 0.0)
        found.append(Solid("hook", "box", half, middle, by_design=True))
    if bender.kind == "ram" and bender.rollers:
        across, x = bender.rollers.radius, bender.rollers.span / 2
        half = (across, across, (bender.die.thickness if bender.die else depth) / 2)
        for side in (1.0, -1.0):
            middle = (side * x, -skin - across, 0.0)
            found.append(Solid("roller", "cylinder", half, middle, station=1, by_design=True, let_go=True))
    elif bender.follower and not (bender.kind == "vee" and bender.block):
        follower = bender.follower
        if follower.kind == "roller":
            across = follower.radius or 0.0
            half, middle = (across, across, follower.height / 2), (follower.ahead, -skin - across, 0.0)
        else:
            width = follower.width or 0.0
            half = ((follower.length or 0.0) / 2, width / 2, follower.height / 2)
            middle = (follower.ahead, -skin - width / 2, 0.0)
        shape: Literal["cylinder", "box"] = "cylinder" if follower.kind == "roller" else "box"
        found.append(Solid("follower", shape, half, middle, station=1, by_design=True, let_go=True))
        if pushes:
            other = (-middle[0], middle[1], middle[2])
            found.append(Solid("follower", shape, half, other, station=1, by_design=True, let_go=True))
    if bender.arm and not pushes:
        found.append(_arm(bender, skin))
    if bender.plate:
        plate = bender.plate
        z = (-plate.gap_below_bar - plate.thickness, -plate.gap_below_bar)
        found.append(_box("plate", plate.x, plate.y, z, station=_room_station(bender), by_design=True))
    return found


def _arm(bender: Bender, skin: float) -> Solid:
    """The lever: from the pivot out, over the follower; on a bender whose die turns it is fixed to the die."""
    arm = bender.arm
    assert arm is not None
    ahead, out = 0.0, 1.0
    if bender.follower and bender.kind == "wrap":
        ahead = bender.follower.ahead
        out = skin + (bender.follower.radius or (bender.follower.width or 0.0) / 2)
    reach = math.hypot(ahead, out)
    height = (arm.gap + arm.thickness / 2) * (1.0 if arm.side == "above" else -1.0)
    along, aside = (ahead / reach, -out / reach, 0.0), (out / reach, ahead / reach, 0.0)
    return Solid(
        "arm",
        "box",
        (arm.length / 2, arm.width / 2, arm.thickness / 2),
        (along[0] * arm.length / 2, along[1] * arm.length / 2, height),
        (along, aside, (0.0, 0.0, 1.0)),
        station=1 if bender.kind == "wrap" else 0,
        by_design=True,
        let_go=True,
    )


def _room_station(bender: Bender) -> int:
    """Stations: a fixed die stands in the room; a die that turns or a former that pushes moves against it."""
    return 0 if bender.kind == "wrap" else 1


def _room(bender: Bender, mounting: Mounting) -> list[Solid]:
    station = _room_station(bender)
    found = []
    if mounting.vise:
        vise = mounting.vise
        found.append(_box("vise", vise.x, vise.y, (vise.bottom, vise.top), station, room=True))
    if mounting.bench:
        bench = mounting.bench
        found.append(_box("bench", bench.x, bench.y, (bench.top - bench.thickness, bench.top), station, room=True))
    if mounting.floor is not None:
        floor = mounting.floor
        found.append(_box("floor", (-_FAR, _FAR), (-_FAR, _FAR), (floor - _FAR, floor), station, room=True))
    return found + [solid_of(body, station) for body in mounting.bodies]


def solid_of(body: Body, station: int = 0) -> Solid:
    """Return a body that stands in the way where the maker says it stands.

    Raises:
        ValueError: sizes or places that its shape needs are not given, or are none.
    """
    if body.shape == "box":
        if body.x is None or body.y is None or body.z is None:
            raise ValueError(f"{body.name} is a box and needs x, y and z")
        return _box(body.name, body.x, body.y, body.z, station, room=True)
    if body.start is None or body.end is None or body.radius is None:
        raise ValueError(f"{body.name} is a {body.shape} and needs both ends of its axis and a radius")
    axis = sub(body.end, body.start)
    if norm(axis) == 0.0:
        raise ValueError(f"the ends of {body.name} are one point")
    along = unit(axis)
    aside = unit(cross(along, (1.0, 0.0, 0.0) if abs(along[0]) < 0.9 else (0.0, 1.0, 0.0)))
    middle = tuple((a + b) / 2 for a, b in zip(body.start, body.end, strict=True))
    return Solid(
        body.name,
        body.shape,
        (body.radius, body.radius, norm(axis) / 2),
        (middle[0], middle[1], middle[2]),
        (aside, cross(along, aside), along),
        station,
        room=True,
    )


def _box(
    name: str,
    x: tuple[float, float],
    y: tuple[float, float],
    z: tuple[float, float],
    station: int,
    *,
    by_design: bool = False,
    room: bool = False,
) -> Solid:
    half = ((x[1] - x[0]) / 2, (y[1] - y[0]) / 2, (z[1] - z[0]) / 2)
    middle = ((x[1] + x[0]) / 2, (y[1] + y[0]) / 2, (z[1] + z[0]) / 2)
    return Solid(name, "box", half, middle, station=station, by_design=by_design, room=room)


def _left(solid: Solid) -> Solid:
    """Mirror a body of the room of a right-hand bender in y = 0; the bender's own parts are made in left-hand form."""
    if not solid.room and solid.name != "plate":
        return solid
    x, y, z = solid.middle
    axes = tuple((a[0], -a[1], a[2]) for a in solid.turn)
    return Solid(
        solid.name,
        solid.shape,
        solid.half,
        (x, -y, z),
        (axes[0], axes[1], axes[2]),
        solid.station,
        solid.by_design,
        solid.let_go,
        solid.room,
    )
