"""Stress at the worst fibre: axial force, bending both ways, twist and shear together, after von Mises."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.elements import Elements
from bentwork.carry.recovery import Inside
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube, Way

__all__ = ["Fibres", "curved_bar_factor", "fibres_of", "section_fibres", "worst_fibre"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Fibres:
    """What turns section forces into stress; each an array that goes with the places.

    Args:
        area: mm2.
        about_wide: modulus for the moment about the width (bending in the height), mm3.
        about_high: modulus for the moment about the height, mm3.
        shear_wide: largest shear stress along the width over force, 1/mm2.
        shear_high: the same along the height.
        twist: modulus of the worst place, the middle of the wide side, mm3.
        twist_narrow: modulus at the middle of the narrow side, mm3.
        twist_corner: 1 where a corner (or the whole outline) is twisted as hard as the worst place, 0 where not at all.
        round: 1 for a round outline, 0 for one with corners.
        bent: how many times the stress of straight bar the inside of the bend takes from the same bending moment.
    """

    area: Floats
    about_wide: Floats
    about_high: Floats
    shear_wide: Floats
    shear_high: Floats
    twist: Floats
    twist_narrow: Floats
    twist_corner: Floats
    round: Floats
    bent: Floats


@lru_cache(maxsize=4096)
def section_fibres(section: Section) -> tuple[float, ...]:
    """Return the numbers of ``Fibres`` but the last for straight bar of this section.

    Round bar and tube: J over the outside radius; shear 4/3 V/A and 2 V/A. Solid rectangle: Roark's series for twist,
    nothing in the corners, shear 1.5 V/A. Square tube: Bredt's formula in all of the wall, shear 1.5 times the mean of
    the two walls along it, on the safe side.
    """
    area = section.area
    easy, hard = section.bending("easy").section_modulus, section.bending("hard").section_modulus
    if isinstance(section, Round | Tube):
        peak = (4.0 / 3.0 if isinstance(section, Round) else 2.0) / area
        twist = section.torsion_constant / (section.diameter / 2.0)
        return area, easy, hard, peak, peak, twist, twist, 1.0, 1.0
    if isinstance(section, SquareTube):
        wall = section.wall
        wide, high = section.width - wall, section.height - wall
        corner = max(0.0, section.corner_radius - wall / 2.0)
        twist = 2.0 * (wide * high - (4.0 - math.pi) * corner**2) * wall
        return area, easy, hard, 0.75 / (section.width * wall), 0.75 / (section.height * wall), twist, twist, 1.0, 0.0
    return _solid_rectangle(section, area, easy, hard)


def _solid_rectangle(section: Square | Flat, area: float, easy: float, hard: float) -> tuple[float, ...]:
    long, short = max(section.width, section.height), min(section.width, section.height)
    q = short / long
    series = 1.0 + 0.6095 * q + 0.8865 * q**2 - 1.8023 * q**3 + 0.91 * q**4  # Roark, torsion of a rectangle (memory)
    wide_side = long * short**2 / (3.0 * series)
    # The narrow side is twisted less hard: Timoshenko's eta falls from 1 at a square to 0.743 at a thin strip.
    narrow_side = wide_side / (0.743 + 0.257 * q)
    twist, narrow = (wide_side, narrow_side) if section.width >= section.height else (narrow_side, wide_side)
    return area, easy, hard, 1.5 / area, 1.5 / area, twist, narrow, 0.0, 0.0


_CREASE = 1e3
"""Where the inside of a bend is a crease (which is told where pieces are checked): as good as nothing is left."""


def curved_bar_factor(section: Section, radius: float, way: Way = "easy") -> float:
    """Return inside stress of a curved bar in bending over that of a straight one (Winkler and Bach).

    The neutral radius is area over the integral of dA/r. Tube that flattens takes 0.9/h^(2/3) times (ASME B31,
    appendix D,
    in its plane, from memory) where that is more.

    Args:
        section: of the bar.
        radius: of the bend, to the centreline, mm.
        way: ``easy`` when it is bent in its height, ``hard`` in its width.
    """
    half = section.depth(way) / 2.0
    if radius <= half * 1.0001:
        return _CREASE
    inner = radius - half

    def disc(c: float) -> float:
        return 2.0 * math.pi * (radius - math.sqrt(radius**2 - c**2))

    def block(breadth: float, c: float) -> float:
        return breadth * math.log((radius + c) / (radius - c))

    flat = 1.0
    if isinstance(section, Round):
        over = disc(half)
    elif isinstance(section, Tube):
        over = disc(half) - disc(section.bore / 2.0)
        mean = (section.diameter - section.wall) / 2.0
        flat = 0.9 / (section.wall * radius / mean**2) ** (2.0 / 3.0)
    elif isinstance(section, SquareTube):
        over = block(section.breadth(way), half) - block(section.breadth(way) - 2.0 * section.wall, half - section.wall)
        area = section.breadth(way) * 2.0 * half - (section.breadth(way) - 2.0 * section.wall) * 2.0 * (
            half - section.wall
        )
        over *= section.area / area  # rounded corners left out of both
    else:
        over = block(section.breadth(way), half)
    neutral = section.area / over
    stress = (neutral - inner) / (section.area * (radius - neutral) * inner)
    return max(1.0, flat, stress * section.bending(way).section_modulus)


def fibres_of(bars: Sequence[Bar], elements: Elements, inside: Inside) -> Fibres:
    """Return the fibres at every place where stress is looked for."""
    by_bar = np.array([section_fibres(bar.section) for bar in bars])
    bent = np.ones(len(elements))
    known: dict[tuple[int, float], float] = {}
    for number in np.flatnonzero(elements.curvature > 0.0):
        key = (int(elements.bar[number]), float(elements.curvature[number]))
        if key not in known:
            bar = bars[key[0]]
            known[key] = max(curved_bar_factor(bar.section, 1.0 / key[1], way) for way in _ways(bar))
        bent[number] = known[key]
    rows = by_bar[elements.bar[inside.element]]
    columns = [rows[:, k, None] for k in range(rows.shape[1])]
    columns.append(bent[inside.element][:, None])
    return Fibres(*columns)


def _ways(bar: Bar) -> tuple[Way, ...]:
    """Which ways a bar can have been bent: all bends of a round one, the way of the first of any other."""
    return ("easy",) if isinstance(bar.section, Round | Tube) else (bar.way,)


def worst_fibre(forces: Floats, fibres: Fibres) -> Floats:
    """Return the von Mises stress of the worst fibre, MPa.

    Looked at are the fibre (or corner) that bends most, and the middles of both sides, where shear and twist are
    largest.

    Args:
        forces: (..., S, 6, L) section forces: axial, shear along width and height, twist, moments about width and
            height.
        fibres: of the S places.
    """
    axial = np.abs(forces[..., 0, :]) / fibres.area
    wide, high = np.abs(forces[..., 4, :]) * fibres.bent, np.abs(forces[..., 5, :]) * fibres.bent
    around = fibres.round > 0.0
    bend_wide, bend_high = wide / fibres.about_wide, high / fibres.about_high
    bend = np.where(around, np.hypot(bend_wide, bend_high), bend_wide + bend_high)
    twist = np.abs(forces[..., 3, :])
    shear_wide, shear_high = (
        np.abs(forces[..., 1, :]) * fibres.shear_wide,
        np.abs(forces[..., 2, :]) * fibres.shear_high,
    )
    shear = np.hypot(shear_wide, shear_high)
    outer = (axial + bend) ** 2 + 3.0 * (fibres.twist_corner * twist / fibres.twist) ** 2
    top = (axial + np.where(around, 0.0, bend_wide)) ** 2
    top += 3.0 * (twist / fibres.twist + np.where(around, shear, shear_wide)) ** 2
    side = (axial + np.where(around, 0.0, bend_high)) ** 2
    side += 3.0 * (twist / fibres.twist_narrow + np.where(around, shear, shear_high)) ** 2
    found: Floats = np.sqrt(np.maximum(np.maximum(outer, top), side))
    return found
