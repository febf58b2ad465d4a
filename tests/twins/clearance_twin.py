"""The slow plain twin of the clearance kernels: the bar as points, the motion as instants, every part where it is then.

Built from the drawing of the bender alone, in its owner's frame, right-hand benders as they stand. The bar is one chain
from end A to end B whose curvature is known at every station; it is laid on the tool where it is held.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.bend_table import BendTable
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting

Points = NDArray[np.float64]
Distance = Callable[[Points], Points]
STEP = 3.0  # mm between points of the bar


def bar(
    table: BendTable,
    trim: float,
    bender: Bender,
    bend: int,
    held: str,
    made: set[int],
    angle: float,
    pull: float,
    opening: bool,
) -> tuple[Points, Points]:
    """Points of the bar in the frame of the die's axis (held side still), and how far it has turned up to each.

    In radians; points on the arc that is being made are marked by a turning of nan.
    """
    radius = bender.radius
    turn, most = math.radians(angle), math.radians(pull)
    wrapped = radius * (most if opening else turn)
    curve = turn / wrapped if wrapped > 0.0 else 0.0
    lengths = [s + (trim if i in (0, len(table.bends)) else 0.0) for i, s in enumerate(table.straights)]
    pushed = bender.kind in ("ram", "vee")
    share = 0.5 if pushed else (0.0 if held == "A" else 1.0)  # of the straight bar that is left, what lies before
    runs: list[list[float]] = []  # length, curvature, direction of the plane
    direction = 0.0
    for j, one in enumerate(table.bends):
        direction += math.radians(one.rotation)
        if j == bend:
            left = one.arc - wrapped
            runs.append([lengths[j] + share * left, 0.0, direction])
            here = len(runs)
            runs.append([wrapped, curve, direction])
            lengths[j + 1] += (1.0 - share) * left
            own_direction = direction
        else:
            runs.append([lengths[j], 0.0, direction])
            runs.append([one.arc, 1.0 / one.radius if j in made else 0.0, direction])
    runs.append([lengths[-1], 0.0, direction])
    place = np.zeros(3)
    frame = np.eye(3)  # columns: along, and two across that do not twist
    points, turned = [], []
    total = 0.0
    origin = base = None
    for number, (length, curvature, plane) in enumerate(runs):
        count = max(1, math.ceil(length / STEP))
        axis_local = np.array([0.0, -math.sin(plane), math.cos(plane)])
        for i in range(count + 1):
            s = length * i / count
            in_the_middle = pushed and number == here and s >= length / 2
            at_the_start = not pushed and number == here + (held == "B") and i == 0
            if origin is None and (in_the_middle or at_the_start):
                s_mark = length / 2 if pushed else 0.0
                p, f = _along(place, frame, axis_local, curvature, s_mark)
                origin, base = p, f
            p, f = _along(place, frame, axis_local, curvature, s)
            points.append(p)
            turned.append(math.nan if number == here else total + curvature * s)
        place, frame = _along(place, frame, axis_local, curvature, length)
        total += curvature * length
    assert origin is not None and base is not None
    inward = base[:, 1] * math.cos(own_direction) + base[:, 2] * math.sin(own_direction)
    along = base[:, 0]
    side = 1.0 if bender.hand == "left" else -1.0
    ahead = 1.0 if held == "A" else -1.0
    x, y = np.array([ahead, 0.0, 0.0]), np.array([0.0, side, 0.0])
    from_ = np.stack([along, inward, np.cross(along, inward)])
    to = np.stack([x, y, np.cross(x, y)])
    where = np.array([0.0, -side * radius, 0.0])
    return (np.array(points) - origin) @ from_.T @ to + where, np.array(turned)


def _along(place: Points, frame: Points, axis: Points, curvature: float, s: float) -> tuple[Points, Points]:
    if curvature == 0.0:
        return place + s * frame[:, 0], frame
    theta = curvature * s
    world = frame @ axis
    k = np.array([[0, -world[2], world[1]], [world[2], 0, -world[0]], [-world[1], world[0], 0]])
    turn = np.eye(3) + math.sin(theta) * k + (1 - math.cos(theta)) * (k @ k)
    inward = np.cross(world, frame[:, 0])
    moved = math.sin(theta) / curvature * frame[:, 0] + (1 - math.cos(theta)) / curvature * inward
    return place + moved, turn @ frame


def solids(bender: Bender, mounting: Mounting | None, depth: float) -> Iterator[tuple[str, str, Distance]]:
    """Name, what it moves with (``die``, ``arm``, ``room``), and the distance of points from its surface."""
    side = 1.0 if bender.hand == "left" else -1.0
    skin = bender.radius + depth / 2
    if bender.die:
        yield (
            "die",
            "die",
            _cylinder(
                (0, 0, -bender.die.thickness / 2),
                (0, 0, bender.die.thickness / 2),
                bender.radius - depth / 2 + bender.die.groove_depth,
            ),
        )
    if bender.hook and bender.kind in ("wrap", "draw"):
        h = bender.hook
        yield (
            "hook",
            "die",
            _box(
                (-h.starts_behind - h.length, -h.starts_behind),
                sorted((-side * skin, -side * (skin + h.width))),
                (-h.height / 2, h.height / 2),
            ),
        )
    if bender.follower:
        f = bender.follower
        for sign in (1.0, -1.0) if bender.kind in ("ram", "vee") else (1.0,):
            if f.kind == "roller":
                at, y = sign * f.ahead, -side * (skin + (f.radius or 0))
                yield "follower", "arm", _cylinder((at, y, -f.height / 2), (at, y, f.height / 2), f.radius or 0)
            else:
                x = (sign * f.ahead - (f.length or 0) / 2, sign * f.ahead + (f.length or 0) / 2)
                yield (
                    "follower",
                    "arm",
                    _box(x, sorted((-side * skin, -side * (skin + (f.width or 0)))), (-f.height / 2, f.height / 2)),
                )
    if bender.arm and bender.kind in ("wrap", "draw"):
        a = bender.arm
        towards = np.array([0.0, -1.0])
        if bender.kind == "wrap" and bender.follower:
            f = bender.follower
            towards = np.array([f.ahead, -(skin + (f.radius or (f.width or 0) / 2))])
            towards /= np.linalg.norm(towards)
        towards[1] *= side
        low = a.gap if a.side == "above" else -a.gap - a.thickness
        turn = np.array([[towards[0], towards[1], 0], [-towards[1], towards[0], 0], [0, 0, 1.0]])
        box = _box((0, a.length), (-a.width / 2, a.width / 2), (low, low + a.thickness))
        yield "arm", "arm" if bender.kind == "wrap" else "die", lambda p: box(p @ turn.T)
    if bender.plate:
        b = bender.plate
        yield "plate", "room", _box(b.x, b.y, (-b.gap_below_bar - b.thickness, -b.gap_below_bar))
    if mounting is None:
        return
    if mounting.vise:
        v = mounting.vise
        yield "vise", "room", _box(v.x, v.y, (v.bottom, v.top))
    if mounting.bench:
        t = mounting.bench
        yield "bench", "room", _box(t.x, t.y, (t.top - t.thickness, t.top))
    if mounting.floor is not None:
        floor = mounting.floor
        yield "floor", "room", lambda p: np.maximum(p[:, 2] - floor, 0.0)
    for body in mounting.bodies:
        if body.x and body.y and body.z:
            yield body.name, "room", _box(body.x, body.y, body.z)
        elif body.start and body.end and body.radius:
            round_body = _cylinder if body.shape == "cylinder" else _capsule
            yield body.name, "room", round_body(body.start, body.end, body.radius)


def _box(x: Sequence[float], y: Sequence[float], z: Sequence[float]) -> Distance:
    low, high = np.array([x[0], y[0], z[0]]), np.array([x[1], y[1], z[1]])
    return lambda p: np.sqrt((np.maximum(np.maximum(low - p, p - high), 0.0) ** 2).sum(axis=1))


def _cylinder(start: Sequence[float], end: Sequence[float], radius: float) -> Distance:
    a, b = np.array(start, float), np.array(end, float)
    u = (b - a) / np.linalg.norm(b - a)

    def to(p: Points) -> Points:
        s = (p - a) @ u
        out = np.linalg.norm(p - a - np.outer(s, u), axis=1) - radius
        over = np.maximum(-s, s - np.linalg.norm(b - a))
        found: Points = np.hypot(np.maximum(out, 0.0), np.maximum(over, 0.0))
        return found

    return to


def _capsule(start: Sequence[float], end: Sequence[float], radius: float) -> Distance:
    a, b = np.array(start, float), np.array(end, float)
    v = b - a

    def to(p: Points) -> Points:
        s = np.clip((p - a) @ v / (v @ v), 0.0, 1.0)
        found: Points = np.maximum(np.linalg.norm(p - a - np.outer(s, v), axis=1) - radius, 0.0)
        return found

    return to


def instants(bender: Bender, pull: float, wanted: float, count: int) -> Iterator[tuple[float, bool]]:
    """Angles at which to look, on the way up and springing back."""
    for i in range(count + 1):
        yield pull * i / count, False
    for i in range(4):
        yield wanted + (pull - wanted) * i / 3, True


def turned(points: Points, angle: float, bender: Bender) -> Points:
    """Turn points about the die's axis the way the arm goes."""
    theta = math.radians(angle) * (1.0 if bender.hand == "left" else -1.0)
    c, s = math.cos(theta), math.sin(theta)
    found: Points = points @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1.0]])
    return found


def pushed(bender: Bender, depth: float, angle: float) -> float:
    """How far the former has pushed: the leg's skin stays on the roller."""
    f = bender.follower
    if f is None:
        return 0.0
    across = f.radius if f.kind == "roller" and f.radius else 0.0
    half, q = math.radians(angle) / 2, bender.radius + depth / 2 + across
    return (f.ahead * math.sin(half) - q) / math.cos(half) + q


def gaps(
    table: BendTable,
    trim: float,
    thick: float,
    depth: float,
    bender: Bender,
    mounting: Mounting | None,
    bend: int,
    held: str,
    made: set[int],
    pull: float,
    count: int = 60,
) -> dict[str, float]:
    """Smallest sampled gap to every body and to the bar itself (``bar``); at or above the true one."""
    found: dict[str, float] = {}
    wanted = table.bends[bend].angle
    side = 1.0 if bender.hand == "left" else -1.0
    for angle, opening in instants(bender, pull, wanted, count):
        points, turning = bar(table, trim, bender, bend, held, made, angle, pull, opening)
        own = np.isnan(turning)
        first, last = np.flatnonzero(own)[[0, -1]]
        here = turning[first - 1]
        beside = ~own & (np.abs(turning - here) < 1e-12)  # the straight runs next to the arc being made
        beside[:first] &= turning[:first] == here
        after = turning[last + 1]
        beside |= ~own & (np.arange(len(own)) > last) & (np.abs(turning - after) < 1e-12)
        for name, moves, to in solids(bender, mounting, depth):
            if opening and name in ("follower", "arm"):
                continue
            where = points
            if moves in {"wrap": ("arm",), "draw": ("arm", "room")}.get(bender.kind, ()):
                where = turned(points, -angle, bender)
            if bender.kind in ("ram", "vee") and moves in ("arm", "room"):
                where = points - np.array([0, side * pushed(bender, depth, pull if opening else angle), 0])
            keep = ~own & ~beside if name in ("die", "hook", "follower", "arm", "plate") else ~own
            if keep.any():
                found[name] = min(found.get(name, math.inf), float(to(where[keep]).min()) - thick)
        bent = math.radians(angle)
        a, b = np.flatnonzero(~own & (np.arange(len(own)) < first)), np.flatnonzero(~own & (np.arange(len(own)) > last))
        between = (here - turning[a])[:, None] + bent + (turning[b] - after)[None, :]
        apart = np.linalg.norm(points[a][:, None, :] - points[b][None, :, :], axis=2)
        apart[between < math.pi - 1e-9] = math.inf
        found["bar"] = min(found.get("bar", math.inf), float(apart.min()) - 2 * thick)
    return found
