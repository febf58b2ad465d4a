"""What has the faces of a bar and is none: plates, washers, bushes, pins, bars that run through themselves."""

from __future__ import annotations

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.stock.section import Flat, Round, SquareTube, Tube
from bentwork.takeoff.bar import Bar
from bentwork.takeoff.shape import Floats

__all__ = ["WIDEST_FLAT", "no_bar"]

ROUND_LENGTH = 2.0
"""A straight round bar is at least this many times as long as thick; shorter is a pin, a spacer, a washer."""
FLAT_LENGTH = 4.0
"""A straight flat bar is at least this many times as long as wide; shorter is a plate."""
WIDEST_FLAT = 150.0
"""Widest flat bar, mm: EN 10058 (hot-rolled flat bars for general purposes) lists 10 to 150 mm; from memory."""
THROUGH = 0.98
"""Parts of a bar whose middles are nearer than this many thicknesses run through one another; at 1 they touch."""
SLEEVE = 2.0
"""A strip rolled to a ring has a radius of at least this many times its width; what is longer is cut from tube."""
RING = 3.0
"""A ring's radius is at least this many times what it is thick towards its middle; tighter is a washer or a bush."""


def no_bar(bar: Bar) -> str | None:
    """Return why something that has the faces of a bar is none; None for a bar."""
    section, table = bar.section, bar.line.table
    if section is None:
        return None
    if isinstance(section, Round | Tube):
        width = section.diameter
        thin = width
    else:
        width, thin = max(section.width, section.height), min(section.width, section.height)
    length = table.length
    if not table.bends:
        if isinstance(section, Flat):
            if section.width > WIDEST_FLAT or length < FLAT_LENGTH * section.width:
                sizes = sorted((length, section.width, section.height), reverse=True)
                return "a plate or block, " + " × ".join(f"{size:.4g}" for size in sizes) + " mm: no flat bar"
        elif length < ROUND_LENGTH * width:
            what = "washer, bush or spacer" if isinstance(section, Tube | SquareTube) else "pin or block"
            return f"a {what}: {length:.4g} mm long and {width:.4g} mm thick is too short for a bar"
        return None
    if length < 1.2 * width:
        return f"wider ({width:.4g} mm) than it is long ({length:.4g} mm): a bent plate"
    straights = sum(table.straights)
    if table.closed and straights < 1e-6:
        depth = thin if bar.way in (None, "easy") else width
        radius = table.bends[0].radius
        if radius < RING * depth:
            inner, outer = 2.0 * radius - depth, 2.0 * radius + depth
            return f"a washer, bush or nut: {outer:.4g} mm outside, {inner:.4g} mm inside"
        if bar.way == "easy" and radius < SLEEVE * width:
            told = f"{2.0 * radius + thin:.4g} mm outside, {2.0 * radius - thin:.4g} mm inside, {width:.4g} mm long"
            return f"a sleeve or bush, {told}: cut from tube, not bent"
    return _through_itself(bar.line, thin)


def _through_itself(line: Centreline, thin: float) -> str | None:
    """Return where a bar runs through itself; None where it does not.

    Balls as thick as the bar lie in its metal as far as half their thickness from its open ends, and round discs square
    to it up to these.
    """
    length, half = line.table.length, thin / 2.0
    if sum(bend.angle for bend in line.table.bends) <= 180.0:
        return None  # what turns less does not come back to itself
    begin, end = (0.0, length) if line.table.closed else (min(half, length / 2.0), max(length - half, length / 2.0))
    count = int(min(600.0, length / thin * 1.5)) + 2
    stations = np.linspace(begin, end, count)
    points = _points(line, stations)
    middle = points.mean(axis=0)
    points -= middle
    squares = np.einsum("ij,ij->i", points, points)
    apart = np.abs(stations[:, None] - stations)
    if line.table.closed:
        apart = np.minimum(apart, length - apart)
    step = (end - begin) / (count - 1)
    gaps = squares[:, None] + squares - 2.0 * points @ points.T
    gaps[apart < 3.0 * thin + step] = np.inf
    near = np.argwhere(gaps < (THROUGH * thin + step) ** 2)
    # What is nearest between samples lies at most half a step from one of them on each side.
    for a, b in near[near[:, 0] < near[:, 1]][:200]:
        fine = np.linspace(-0.5 * step, 0.5 * step, 25)
        one, two = (np.clip(stations[k] + fine, begin, end) for k in (a, b))
        gap = np.linalg.norm(_points(line, one)[:, None] - _points(line, two), axis=2)
        if float(gap.min()) < THROUGH * thin:
            i, j = np.unravel_index(int(gap.argmin()), gap.shape)
            return _where(one[i], two[j])
    if line.table.closed:
        return None
    for at, tangent in ((0.0, line.start.tangent), (length, line.end.tangent)):
        others = stations[np.abs(stations - at) > 3.0 * thin]
        for place in (at, abs(at - half / 2.0)) if len(others) else ():
            middle, way = np.array(line.pose(place).origin), np.array(tangent)
            nearest = others[_off_disc(_points(line, others), middle, way, half).argmin()]
            fine = np.clip(nearest + np.linspace(-step, step, 41), others[0], others[-1])
            off = _off_disc(_points(line, fine), middle, way, half)
            if float(off.min()) < THROUGH * half:
                return _where(at, float(fine[off.argmin()]))
    return None


def _off_disc(points: Floats, middle: Floats, way: Floats, radius: float) -> Floats:
    """Return how far points lie from a round disc across a way, (n,)."""
    rel = points - middle
    ahead = rel @ way
    aside = np.sqrt(np.maximum(np.einsum("ij,ij->i", rel, rel) - ahead * ahead, 0.0))
    off: Floats = np.hypot(ahead, np.maximum(aside - radius, 0.0))
    return off


def _where(one: float, other: float) -> str:
    return f"it runs through itself, {one:.4g} and {other:.4g} mm from its end: no bar can be bent so"


def _points(line: Centreline, stations: Floats) -> Floats:
    """Return the points at these distances from end A, (n, 3)."""
    row: list[float] = []
    for run in line.runs:
        pose = run.start
        row += (*pose.origin, *pose.tangent, *pose.inward, run.station, run.radius if run.bend else 0.0)
    table = np.array(row).reshape(-1, 11)
    own = table[table[:, 9].searchsorted(stations, "right") - 1]
    ahead, radius = stations - own[:, 9], own[:, 10]
    turn = ahead / np.where(radius > 0.0, radius, np.inf)
    ahead = np.where(radius > 0.0, radius * np.sin(turn), ahead)
    inward = radius * (1.0 - np.cos(turn))
    found: Floats = own[:, :3] + ahead[:, None] * own[:, 3:6] + inward[:, None] * own[:, 6:9]
    return found
