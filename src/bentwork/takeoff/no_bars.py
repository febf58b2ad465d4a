"""What has the faces of a bar and is none: plates, washers, bushes, pins."""

from __future__ import annotations

from bentwork.stock.section import Flat, Round, SquareTube, Tube
from bentwork.takeoff.bar import Bar

__all__ = ["no_bar"]

ROUND_LENGTH = 2.0
"""A straight round bar is at least this many times as long as thick; shorter is a pin, a spacer, a washer."""
FLAT_LENGTH = 4.0
"""A straight flat bar is at least this many times as long as wide; shorter is a plate."""
WIDEST_FLAT = 150.0
"""Widest flat bar, mm: EN 10058 (hot-rolled flat bars for general purposes) lists 10 to 150 mm; from memory."""
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
    return None
