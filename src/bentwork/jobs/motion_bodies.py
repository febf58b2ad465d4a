"""What is seen of bender and surroundings: the bodies that clearance measures, and what it has no sizes of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bentwork.clearance.bodies import Solid, die_radius
from bentwork.clearance.workpiece import Workpiece
from bentwork.space import Vec, scale
from bentwork.tooling.bender import Bender

__all__ = ["SeenBody", "bodies_seen"]

Moves = Literal["room", "die", "arm"]


@dataclass(frozen=True, slots=True)
class SeenBody:
    """A body to be drawn, in the frame of what it moves with.

    Args:
        name: what the maker calls it.
        shape: of it.
        half: half sizes of a box; radius, radius, half length of a cylinder or capsule (without its ends).
        middle: of it.
        axes: its own x, y and z.
        moves: with the die, with the arm, or not at all.
        away: it is taken away while the bar is put on and lifted off.
        sketched: the job gives no sizes of it; it is drawn so that there is something to see, and never measured.
    """

    name: str
    shape: Literal["box", "cylinder", "capsule"]
    half: Vec
    middle: Vec
    axes: tuple[Vec, Vec, Vec]
    moves: Moves
    away: bool
    sketched: bool = False


def bodies_seen(bender: Bender, piece: Workpiece, solids: Sequence[Solid], sign: float) -> tuple[SeenBody, ...]:
    """Return what is to be drawn round a bar.

    Args:
        bender: that bends it.
        piece: the bar.
        solids: bodies that are measured, in left-hand form.
        sign: -1 for a right-hand bender.
    """
    told = [_seen(bender, solid, sketched=False) for solid in solids]
    told += [_seen(bender, solid, sketched=True) for solid in _sketched(bender, piece)]
    return tuple(_of_hand(one, sign) for one in told)


def _seen(bender: Bender, solid: Solid, *, sketched: bool) -> SeenBody:
    room = 0 if bender.kind == "wrap" else 1
    fixed: Moves = "die" if not solid.room and solid.name != "plate" and solid.station == 0 else "room"
    moves: Moves = fixed if solid.station == room else "arm" if bender.kind == "wrap" else "die"
    return SeenBody(solid.name, solid.shape, solid.half, solid.middle, solid.turn, moves, solid.let_go, sketched)


def _of_hand(one: SeenBody, sign: float) -> SeenBody:
    if sign > 0.0:
        return one
    x, y, z = one.middle
    a, b, c = ((v[0], -v[1], v[2]) for v in one.axes)
    axes = (a, scale(b, -1.0), c)  # a mirror image of a right-handed frame is left-handed; the bodies are symmetric
    return SeenBody(one.name, one.shape, one.half, (x, -y, z), axes, one.moves, one.away, one.sketched)


def _sketched(bender: Bender, piece: Workpiece) -> list[Solid]:
    """A die without sizes, and punch and shoulders of a V-block."""
    skin, high = bender.radius + piece.depth / 2.0, max(piece.breadth, piece.depth)
    found = []
    if bender.kind == "vee" and bender.block:
        around, x = max(bender.block.shoulder_radius, 1.0), bender.block.opening / 2.0
        for side in (-1.0, 1.0):
            shoulder = (side * x, -skin - around, 0.0)
            found.append(Solid("block", "cylinder", (around, around, 0.6 * high), shoulder, station=1))
            half = (1.5 * around, 0.5 * bender.block.opening, 0.6 * high)
            middle = (side * (x + 1.5 * around), -skin - around - half[1], 0.0)
            found.append(Solid("block", "box", half, middle, station=1))
    if bender.die is None:
        radius = max(die_radius(bender, piece.depth), 1.0)
        name = "punch" if bender.kind == "vee" else "former" if bender.kind == "ram" else "die"
        found.append(Solid(name, "cylinder", (radius, radius, 0.6 * high), (0.0, 0.0, 0.0)))
        if bender.kind == "vee":
            stem = 3.0 * max(radius, piece.depth)
            found.append(Solid(name, "box", (radius, stem / 2.0, 0.6 * high), (0.0, stem / 2.0, 0.0)))
    if bender.kind == "ram" and not (bender.rollers or bender.follower):
        found += [
            Solid(
                "roller",
                "cylinder",
                (skin / 3.0, skin / 3.0, 0.6 * high),
                (side * skin, -skin * 4.0 / 3.0, 0.0),
                station=1,
            )
            for side in (-1.0, 1.0)
        ]
    return found
