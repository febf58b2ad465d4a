"""Chains of straights and arcs as bars: cut to length, and weighed against the volume of the solid."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from bentwork.piece.centreline import Centreline
from bentwork.space import along, cross, dot, norm, sub
from bentwork.stock.section import Flat, SquareTube, Tube
from bentwork.takeoff.bar import Bar, WayBent
from bentwork.takeoff.cut_away import cut_away
from bentwork.takeoff.ends import Cut, cut_to_length
from bentwork.takeoff.holes import holes_of
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.rests import Rest, with_middle
from bentwork.takeoff.shape import Face, Shape

__all__ = ["MOST_VOLUME", "SPLINE_VOLUME", "UNTWISTED", "Doubt", "Swept", "Tried", "Untried", "rests_of", "try_bar"]

EXACT_VOLUME = 1e-3
"""Area times length may differ from the volume by this share where every face has a formula."""
UNTWISTED = 3.0
"""A section that turns less about the bar, end to end, is not twisted, degrees."""
SPLINE_VOLUME = 6e-3
"""The same where faces are approximations."""
TAKEN_AWAY = 0.4
"""Share of a bar that holes, copes and flats may take away."""
SIDES = 0.75
"""A bar has its sides along this share of its length; the rest may be cut, turned down or rounded."""
TURNED = 0.3
"""The same of a round bar that is turned down elsewhere; the head of a screw is a smaller share of it."""
TURNED_WAY = 1e-3
"""What is turned down runs about the bar's middle, to within this, rad."""
TURNED_AWAY = 0.15
"""Share of a bar that may be turned down on more of its length: a part that loses more is made on a lathe."""
PRESSED = 0.35
"""Share by which a drawn flattened end may change the volume: pressing metal does not, drawing it may."""
MOST_VOLUME = 1.0 + PRESSED + 0.01
"""Of a bar's area times length: a solid that has more is more than the bar."""
STANDS_OUT = 0.02
"""Metal may stand out beyond the section by this much, mm: what files round to, and approximations are good for."""

ALONG = 1e-6
"""A face whose normal differs from square to the bar by less, or whose axis from along it, runs along the bar."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why a chain is no bar: in words, and how much of the solid it would have been."""

    reason: str
    share: float


@dataclass(frozen=True, slots=True)
class Tried:
    """A bar with the volume that it accounts for, mm3."""

    bar: Bar
    volume: float
    cut: Cut


class Untried(NamedTuple):
    """A chain that is too small to be all of a solid; what tries it all the same, for the reason alone."""

    trying: Callable[[], Tried | Doubt]


@dataclass(frozen=True, slots=True)
class Swept:
    """A rectangular section along a free curve, with how far it turns about the curve on the way, degrees."""

    bar: Bar
    twist: float


def rests_of(shape: Shape, faces: Sequence[Face], sides: set[int]) -> list[Rest]:
    """Return the faces that are neither sides nor bore, each once."""
    found: dict[int, Face] = {}
    for face in faces:
        if face.part_of not in sides:
            found.setdefault(face.part_of, face)
    rests = list(found.values())
    return [Rest(face, with_middle(face, points)) for face, points in zip(rests, shape.samples(rests), strict=True)]


def try_bar(
    line: Centreline,
    outlines: Sequence[Outline],
    rests: Sequence[Rest],
    volume: float,
    *,
    splined: bool,
    deviation: float = 0.0,
    way: WayBent | None = None,
) -> Tried | Doubt:
    """Return a chain as a bar if everything about the solid agrees with it.

    Args:
        line: as far as its sides reach.
        outlines: what its section may be; the one that the volume agrees with is taken.
        rests: faces that are neither sides nor bore.
        volume: of the solid, mm3.
        splined: whether some of its faces are approximations.
        deviation: of the solid from the centreline, mm.
        way: it is bent.
    """
    outline = outlines[0]
    share = min(1.0, outline.area * line.table.length / volume) if volume else 0.0
    cut = cut_to_length(line, rests, outline)
    if cut is None:
        return Doubt("its ends lie inside a bend", share)
    if cut.outside > STANDS_OUT + deviation:
        return Doubt(f"metal stands out {cut.outside:.2f} mm beyond a bar of {_words(outline)}", share)
    pressed = any(end.cut == "flattened" for end in cut.ends)
    turned_down = line.table.length < SIDES * cut.line.table.length and not pressed
    if turned_down:
        own, turned = _turned(line.table.length, cut, outline) if len(outlines) == 1 else (line.table.length, 0.0)
        if own < TURNED * cut.line.table.length or own + turned < SIDES * cut.line.table.length:
            return Doubt(f"only {own:.4g} mm of it is a bar of {_words(outline)}", share)
    other = Doubt(f"its section is not {_words(outline)}: a groove, a flat or a bore runs along all of it", share)
    if _runs_through(cut.line, rests):
        return other
    holes = holes_of(cut.line, rests, outline.half)
    worked = bool(holes) or len(rests) > 2 or any(end.cut not in ("square", "seam") for end in cut.ends)
    slack = SPLINE_VOLUME if splined or deviation > 0.005 else EXACT_VOLUME
    best: tuple[float, Outline] | None = None
    for one in outlines:
        missing = 1.0 - volume / one.volume(cut.line.table)
        least = -PRESSED if pressed else -slack
        most = PRESSED if pressed else TURNED_AWAY if turned_down else TAKEN_AWAY if worked else slack
        if least <= missing <= most and (best is None or abs(missing) < abs(best[0])):
            best = (missing, one)
    if best is None:
        off, nearest = min(
            ((abs(1.0 - volume / one.volume(cut.line.table)), one) for one in outlines), key=lambda pair: pair[0]
        )
        return Doubt(f"its volume differs by {100 * off:.2g} % from a bar of {_words(nearest)}", share)
    cuts = cut_away(cut, holes, best[1])
    length = cut.line.table.length
    if any(low < STANDS_OUT and high > length - STANDS_OUT for low, high in cuts):
        return other  # bores from both ends that meet
    bar = Bar(cut.line, best[1].section, way, cut.ends, holes, deviation, cuts)
    return Tried(bar, best[1].volume(bar.line.table), cut)


def _turned(own: float, cut: Cut, outline: Outline) -> tuple[float, float]:
    """Return how much of a round bar has its section, and how much is round about its middle elsewhere, mm.

    Grooves round a straight bar leave it in pieces, of which one was looked at; ends may be turned down, or threaded.

    Args:
        own: as far as that one reaches, mm.
        cut: the bar, cut to length.
        outline: of its section.
    """
    turned = 0.0
    for rest, (low, high) in zip(cut.rests, cut.spans, strict=True) if outline.is_round else ():
        face = rest.face
        pose = cut.line.pose(min(max((low + high) / 2.0, 0.0), cut.line.table.length))
        aside = sub(face.origin, pose.origin)
        off = norm(along(aside, pose.tangent, -dot(aside, pose.tangent)))
        askew = norm(cross(face.axis, pose.tangent)) > TURNED_WAY
        if face.kind not in ("cylinder", "cone", "torus") or off > STANDS_OUT or askew:
            continue
        seen = (high - low) * (face.u[1] - face.u[0]) / (2.0 * math.pi)
        if face.kind == "cylinder" and abs(face.radius - outline.inward) < STANDS_OUT:
            own += seen
        elif face.outward or face.kind == "torus":
            turned += seen
    return own, turned


def _runs_through(line: Centreline, rests: Sequence[Rest]) -> bool:
    """Tell whether a straight bar has a face from end to end that is neither side nor bore: a keyway, a second bore."""
    if line.table.bends:
        return False
    origin, ahead = np.array(line.start.origin), np.array(line.start.tangent)
    for rest in rests:
        lean = abs(dot(rest.face.axis, line.start.tangent))
        if (rest.face.kind == "plane" and lean < ALONG) or (rest.face.kind == "cylinder" and lean > 1.0 - ALONG):
            reach = (rest.points - origin) @ ahead
            if len(reach) and reach.min() < STANDS_OUT and reach.max() > line.table.length - STANDS_OUT:
                return True
    return False


def _words(outline: Outline) -> str:
    section = outline.section
    if isinstance(section, Tube):
        return f"{section.diameter:g} × {section.wall:g} mm round tube"
    if outline.is_round:
        return f"{outline.largest:g} mm round"
    if isinstance(section, Flat | SquareTube):
        return f"{section.width:g} × {section.height:g} mm"
    return f"{outline.largest:g} mm square"
