"""Distances from a stretch of straight centreline to another one, and to a body. Compiled; lengths in mm.

A body is a row of numbers, see the columns below; its own frame has its middle at the origin. Distances are to the
surface, 0 where the line goes through the body; the bar's own radius is taken off by the caller.
"""

# mypy: disable-error-code="no-any-return"
# To mypy the elements of an array have no type.

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bentwork.clearance.compiling import compiled

__all__ = ["COLUMNS", "between_lines", "level_gap", "to_body"]

Row = NDArray[np.float64]

SHAPE, HALF_X, HALF_Y, HALF_Z, AT_X, AT_Y, AT_Z = range(7)
TURNED = 7  # 7 to 15: rotation from the station's frame into the body's own, by rows
LOWEST, HIGHEST, STATION, BY_DESIGN, PLAIN, LETS_GO, MOUNTING, AROUND = range(16, 24)
BOX = 24  # 24 to 29: lowest x, y, z and highest x, y, z
NEAREST, FURTHEST = 30, 31
COLUMNS = 32
"""Shape (0 box, 1 cylinder, 2 capsule); half sizes (a cylinder's and a capsule's are radius, radius, half length along
its own z, a capsule's without its ends); middle; rotation; lowest and highest z; station (see ``motion``);
1 where contact with the run beside the die is by design; 1 where the rotation is none; 1 for what is taken away before
the bar is let go; number of the mounting or -1; radius of the ball around its middle that holds it; upright box that
holds it; the nearest and the furthest that this box comes to the axis of its station."""

_ROUND_OFF = 1e-3  # mm; to where the middle of a slanting line against a cylinder is sought


@compiled
def between_lines(
    px: float, py: float, pz: float, ux: float, uy: float, uz: float,
    qx: float, qy: float, qz: float, vx: float, vy: float, vz: float,
) -> float:  # fmt: skip
    """Return the distance between p + s u and q + t v, s and t from 0 to 1.

    The usual closest points of two segments: the minimum of a convex quadratic over a square, by its unclamped
    solution in s, the best t for it, and the best s for that t.
    """
    wx, wy, wz = px - qx, py - qy, pz - qz
    a = ux * ux + uy * uy + uz * uz
    e = vx * vx + vy * vy + vz * vz
    f = vx * wx + vy * wy + vz * wz
    c = ux * wx + uy * wy + uz * wz
    s = 0.0
    t = 0.0
    if a <= 1e-18:
        if e > 1e-18:
            t = min(1.0, max(0.0, f / e))
    elif e <= 1e-18:
        s = min(1.0, max(0.0, -c / a))
    else:
        b = ux * vx + uy * vy + uz * vz
        denominator = a * e - b * b
        if denominator > 1e-12 * a * e:
            s = min(1.0, max(0.0, (b * f - c * e) / denominator))
        t = (b * s + f) / e
        if t < 0.0:
            t = 0.0
            s = min(1.0, max(0.0, -c / a))
        elif t > 1.0:
            t = 1.0
            s = min(1.0, max(0.0, (b - c) / a))
    dx, dy, dz = wx + s * ux - t * vx, wy + s * uy - t * vy, wz + s * uz - t * vz
    return math.sqrt(dx * dx + dy * dy + dz * dz)


@compiled
def _beyond(value: float, half: float) -> float:
    """How far a coordinate lies outside -half..half, with its sign."""
    if value > half:
        return value - half
    if value < -half:
        return value + half
    return 0.0


@compiled
def _to_box(px: float, py: float, pz: float, ux: float, uy: float, uz: float, hx: float, hy: float, hz: float) -> float:
    """Distance from p + s u to a box: the squared distance is convex in s, and quadratic between six known places."""
    low, high = 0.0, 1.0
    for axis in range(3):
        p, u, h = (px, ux, hx) if axis == 0 else ((py, uy, hy) if axis == 1 else (pz, uz, hz))
        if u == 0.0:
            continue
        for side in (-1.0, 1.0):
            s = (side * h - p) / u
            if low < s < high:
                slope = _beyond(px + s * ux, hx) * ux + _beyond(py + s * uy, hy) * uy + _beyond(pz + s * uz, hz) * uz
                if slope > 0.0:
                    high = s
                elif slope < 0.0:
                    low = s
                else:
                    low = s
                    high = s
    first = _beyond(px + low * ux, hx) * ux + _beyond(py + low * uy, hy) * uy + _beyond(pz + low * uz, hz) * uz
    last = _beyond(px + high * ux, hx) * ux + _beyond(py + high * uy, hy) * uy + _beyond(pz + high * uz, hz) * uz
    if first >= 0.0:
        s = low
    elif last <= 0.0:
        s = high
    else:
        s = low + (high - low) * first / (first - last)
    dx, dy, dz = _beyond(px + s * ux, hx), _beyond(py + s * uy, hy), _beyond(pz + s * uz, hz)
    return math.sqrt(dx * dx + dy * dy + dz * dz)


@compiled
def _to_cylinder(
    px: float, py: float, pz: float, ux: float, uy: float, uz: float, radius: float, half: float, enough: float
) -> float:
    """Distance from p + s u to an upright cylinder; a bound below it where that is at least ``enough``."""
    flat = ux * ux + uy * uy
    s = 0.0 if flat <= 1e-18 else min(1.0, max(0.0, -(px * ux + py * uy) / flat))
    aside = max(0.0, math.hypot(px + s * ux, py + s * uy) - radius)
    above = max(0.0, min(abs(pz), abs(pz + uz)) - half) if pz * (pz + uz) > 0.0 else 0.0
    bound = math.hypot(aside, above)
    if bound >= enough or abs(_beyond(pz + s * uz, half)) <= above:
        return bound  # far enough, or both gaps are smallest at the same place
    low, high = 0.0, 1.0
    length = math.sqrt(flat + uz * uz)
    while (high - low) * length > _ROUND_OFF:
        s = 0.5 * (low + high)
        x, y = px + s * ux, py + s * uy
        rho = math.hypot(x, y)
        out, over = max(0.0, rho - radius), _beyond(pz + s * uz, half)
        slope = (out * (x * ux + y * uy) / rho if out > 0.0 else 0.0) + over * uz
        if slope > 0.0:
            high = s
        elif slope < 0.0:
            low = s
        else:
            return math.hypot(out, over)
    s = 0.5 * (low + high)
    found = math.hypot(max(0.0, math.hypot(px + s * ux, py + s * uy) - radius), _beyond(pz + s * uz, half))
    return max(bound, found - 0.5 * (high - low) * length)


@compiled
def level_gap(pz: float, uz: float, lowest: float, highest: float) -> float:
    """Return the gap in height between a line and a body: the same all through a motion in the plane of the die."""
    bottom, top = min(pz, pz + uz), max(pz, pz + uz)
    return max(0.0, bottom - highest, lowest - top)


@compiled
def to_body(px: float, py: float, pz: float, ux: float, uy: float, uz: float, body: Row, enough: float) -> float:
    """Return the distance from p + s u to a body, both in the frame of its station.

    Where it is ``enough`` or more, a bound below it will do and may be returned instead.
    """
    x, y, z = px - body[AT_X], py - body[AT_Y], pz - body[AT_Z]
    s = ux * ux + uy * uy + uz * uz
    s = 0.0 if s <= 1e-18 else min(1.0, max(0.0, -(x * ux + y * uy + z * uz) / s))
    far = math.sqrt((x + s * ux) ** 2 + (y + s * uy) ** 2 + (z + s * uz) ** 2) - body[AROUND]
    if far >= enough:
        return far
    if body[SHAPE] == 0.0 and body[PLAIN] != 0.0:
        gx = max(0.0, max(min(x, x + ux), -max(x, x + ux)) - body[HALF_X])
        gy = max(0.0, max(min(y, y + uy), -max(y, y + uy)) - body[HALF_Y])
        gz = max(0.0, max(min(z, z + uz), -max(z, z + uz)) - body[HALF_Z])
        boxed = math.sqrt(gx * gx + gy * gy + gz * gz)
        if boxed >= enough:
            return boxed
    if body[PLAIN] == 0.0:
        x, y, z = (
            body[7] * x + body[8] * y + body[9] * z,
            body[10] * x + body[11] * y + body[12] * z,
            body[13] * x + body[14] * y + body[15] * z,
        )
        ux, uy, uz = (
            body[7] * ux + body[8] * uy + body[9] * uz,
            body[10] * ux + body[11] * uy + body[12] * uz,
            body[13] * ux + body[14] * uy + body[15] * uz,
        )
    if body[SHAPE] == 0.0:
        return _to_box(x, y, z, ux, uy, uz, body[HALF_X], body[HALF_Y], body[HALF_Z])
    if body[SHAPE] == 1.0:
        return _to_cylinder(x, y, z, ux, uy, uz, body[HALF_X], body[HALF_Z], enough)
    line = between_lines(x, y, z, ux, uy, uz, 0.0, 0.0, -body[HALF_Z], 0.0, 0.0, 2.0 * body[HALF_Z])
    return max(0.0, line - body[HALF_X])
