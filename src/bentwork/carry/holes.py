"""Holes for bolts in the bars themselves: how little of a bar is left beside one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.analysis import Analysed
from bentwork.carry.fasteners import Bolt
from bentwork.carry.limits import Limits
from bentwork.carry.stress import fibres_of, worst_fibre
from bentwork.findings import Finding
from bentwork.space import Vec
from bentwork.stock.section import Flat, Round, Section, SquareTube, Tube

__all__ = ["hole_findings", "left_beside_hole"]

Floats = NDArray[np.float64]
Shares = tuple[float, float, float]

_AT, _WEIGHT = np.polynomial.legendre.leggauss(24)
_NOTHING = 1e-3  # of the bar: as good as cut through


def left_beside_hole(section: Section, hole: float, along: str = "height", off: float = 0.0) -> Shares:
    """Return what a hole drilled right through leaves: of the area, and of bending along and across it.

    Plain geometry: the strip that the drill takes is left out. At least a thousandth is told.

    Args:
        section: of the bar.
        hole: its diameter, mm.
        along: which way it is drilled: the ``height`` or the ``width`` of the section.
        off: how far beside the middle of what is not round, mm.
    """
    if isinstance(section, Round | Tube):
        whole = _disc(section.diameter, section.diameter, getattr(section, "bore", 0.0))
        gone = _disc(section.diameter, hole, getattr(section, "bore", 0.0))
    else:
        wide, high = section.width, section.height
        if along == "width":
            wide, high = high, wide
        wall = section.wall if isinstance(section, SquareTube) else min(wide, high) / 2.0
        whole, _ = _block(wide, (-wide, wide), high, wall)
        gone, moment = _block(wide, (off - hole / 2.0, off + hole / 2.0), high, wall)
        # What is left bends about its own middle, away from the hole.
        left = max(_NOTHING * whole[0], whole[0] - gone[0])
        gone = gone[0], gone[1], gone[2] + moment**2 / left
    area, with_it, across = (max(_NOTHING, 1.0 - a / b) for a, b in zip(gone, whole, strict=True))
    return area, with_it, across


def _disc(diameter: float, hole: float, bore: float) -> Shares:
    """Area and second moments along and across of the strip as wide as the hole; of a ring where there is a bore."""
    found = np.zeros(3)
    for size, sign in ((diameter, 1.0), (bore, -1.0)):
        half = min(hole, size) / 2.0
        x = half * _AT
        chord = 2.0 * np.sqrt(np.maximum(size**2 / 4.0 - x**2, 0.0))
        found += sign * half * np.array([_WEIGHT @ chord, _WEIGHT @ chord**3 / 12.0, _WEIGHT @ (chord * x**2)])
    return float(found[0]), float(found[1]), float(found[2])


def _block(wide: float, strip: tuple[float, float], high: float, wall: float) -> tuple[Shares, float]:
    """The same of a strip of a rectangle, hollow where twice its wall is less than it is wide and high; its moment."""
    area = along = across = moment = 0.0
    for half, tall, sign in ((wide / 2.0, high, 1.0), (wide / 2.0 - wall, high - 2.0 * wall, -1.0)):
        low, top = max(-half, strip[0]), min(half, strip[1])
        if low < top and tall > 0.0:
            area += sign * (top - low) * tall
            along += sign * (top - low) * tall**3 / 12.0
            across += sign * (top**3 - low**3) * tall / 3.0
            moment += sign * (top**2 - low**2) * tall / 2.0
    return (area, along, across), moment


def hole_findings(analysed: Analysed, limits: Limits) -> Iterator[Finding]:
    """Say where a bolt, if it goes through a hole in its bar, would leave too little of the bar.

    A bolt may as well go round the bar, and its hole be in a tab that the job does not know; so the reckoning takes the
    bar for whole, and only what would matter is told.
    """
    structure = analysed.structure
    bolts: list[tuple[Bolt, Vec | None, int, float, str]] = []
    for joint in structure.joints:
        if joint.bolt is not None and joint.made != "welded":
            for number, station in zip(joint.touch.bars, joint.touch.stations, strict=True):
                words = f"the bolt of {joint.words(structure.bars)}"
                bolts.append((joint.bolt, joint.bolt_axis, number, station, words))
    for held in structure.fixings:
        if held.fixing.bolt is not None and held.tab is None:
            words = f"the bolt of fixing {held.fixing.name}"
            bolts.append((held.fixing.bolt, held.fixing.along, held.bar, held.station, words))
    for bolt, axis, number, station, words in bolts:
        worst = _used(analysed, limits, bolt, axis, number, station)
        if worst is None or worst[0] <= 1.0:
            continue
        use, left, case = worst
        bar = structure.bars[number]
        yield Finding(
            "watch",
            "bolt-hole-weakens",
            f"If {words} goes through a hole in {bar.name}, {use:.0%} of what is left there is used ({case}).",
            f"A hole of {{hole}} leaves {left:.0%} of its strength in bending; {bar.name} is reckoned without it.",
            "Let it go round the bar (a U-bolt: hole = 0) or through a tab, or make the bar bigger there.",
            piece=bar.of,
            lengths={"hole": bolt.hole_size},
            at=bar.line.pose(station).origin,
        )


def _used(
    analysed: Analysed, limits: Limits, bolt: Bolt, axis: Vec | None, number: int, station: float
) -> tuple[float, float, str] | None:
    """Largest share used beside the hole, what it leaves of bending along it, and the case; None for one end on."""
    structure, inside = analysed.structure, analysed.inside
    elements, bar = analysed.built.frame.elements, analysed.structure.bars[number]
    at = np.flatnonzero(
        (elements.bar[inside.element] == number) & (np.abs(inside.station - station) < 1e-6 + 1e-9 * bar.length)
    )
    if not len(at):
        return None
    if bolt.hole == 0.0 and not isinstance(bar.section, Flat):
        return None
    area, with_it, across = left_beside_hole(bar.section, bolt.hole_size)
    wide, high = with_it, with_it  # nobody says which way it is drilled: the worse for both
    if axis is not None:
        element = inside.element[at[0]]
        end = int(abs(elements.station[element, 1] - station) < abs(elements.station[element, 0] - station))
        along, to_wide, to_high = np.abs(elements.end_axes[element, end] @ np.array(axis)) / np.linalg.norm(axis)
        if along > 0.7:
            return None
        if to_high > 0.9:
            high = across
        elif to_wide > 0.9:
            area, high, wide = left_beside_hole(bar.section, bolt.hole_size, "width")
    elif isinstance(bar.section, Flat):
        high = across  # flat bar is drilled through its thickness
    whole = fibres_of(structure.bars, elements, replace(inside, element=inside.element[at]))
    net = replace(
        whole,
        area=whole.area * area,
        about_wide=whole.about_wide * wide,
        about_high=whole.about_high * high,
        shear_wide=whole.shear_wide / area,
        shear_high=whole.shear_high / area,
        twist=whole.twist * area,
        twist_narrow=whole.twist_narrow * area,
    )
    stress = worst_fibre(analysed.together(inside.forces[at]), net)
    before = np.maximum(limits.stress[at], 1e-12)
    use = limits.use[at] * stress / before
    case = analysed.cases[int(np.argmax(use.max(axis=0)))].name
    return float(use.max()), min(wide, high), case
