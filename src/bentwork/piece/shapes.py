"""Shapes that people make often, as starting points with a few dimensions.

All dimensions run to the middle of the bar, from corner point to corner point, unless they say otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from bentwork.space import Vec

__all__ = ["SHAPES", "Dimension", "Shape", "Sketch"]


@dataclass(frozen=True, slots=True)
class Dimension:
    """One dimension of a shape.

    Args:
        name: what it is called.
        says: what it measures.
        mm: value to start from, mm, degrees or a number.
        inches: the same for makers who work in inches, still in mm.
        kind: what sort of number it is.
        least: smallest value that makes sense.
    """

    name: str
    says: str
    mm: float
    inches: float
    kind: Literal["length", "angle", "number"] = "length"
    least: float = 1.0


@dataclass(frozen=True, slots=True)
class Sketch:
    """One piece of a starting shape.

    Args:
        name: of the piece.
        says: one line for the job file.
        points: corner points, mm; empty for a bend table.
        closed: the last point is joined to the first.
        straights: of a bend table, mm.
        bends: of a bend table: (radius mm, angle, rotation).
        start, along, towards: where a bend table stands.
        at: shifts of the copies; empty for one.
    """

    name: str
    says: str
    points: tuple[Vec, ...] = ()
    closed: bool = False
    straights: tuple[float, ...] = ()
    bends: tuple[tuple[float, float, float], ...] = ()
    start: Vec = (0.0, 0.0, 0.0)
    along: Vec = (1.0, 0.0, 0.0)
    towards: Vec = (0.0, 1.0, 0.0)
    at: tuple[Vec, ...] = ()


@dataclass(frozen=True, slots=True)
class Shape:
    """A starting shape.

    Args:
        name: what it is asked for by.
        says: what it is good for.
        dimensions: that it takes.
        build: dimensions by name and depth of the bar (mm) to the pieces.
        own_radius: the shape sets the radius of its bend itself.
    """

    name: str
    says: str
    dimensions: tuple[Dimension, ...]
    build: Callable[[Mapping[str, float], float], tuple[Sketch, ...]]
    own_radius: bool = False


def _length(name: str, says: str, mm: float, inches: float, least: float = 1.0) -> Dimension:
    return Dimension(name, says, mm, inches * 25.4, "length", least)


def _loop(d: Mapping[str, float], bar: float) -> tuple[Sketch, ...]:
    w, y, u = d["width"], d["depth"], d["upturn"]
    if u == 0.0:
        return (Sketch("loop", "A flat loop with four corners.", ((0, 0, 0), (w, 0, 0), (w, y, 0), (0, y, 0)), True),)
    out, up = u * math.cos(math.radians(d["angle"])), u * math.sin(math.radians(d["angle"]))
    points = (
        (0.0, 0.0, 0.0),
        (w, 0.0, 0.0),
        (w + out, 0.0, up),
        (w + out, y, up),
        (w, y, 0.0),
        (0.0, y, 0.0),
        (-out, y, up),
        (-out, 0.0, up),
    )
    return (Sketch("loop", "A loop whose two ends turn up.", _clean(points), True),)


def _hoop(d: Mapping[str, float], bar: float) -> tuple[Sketch, ...]:
    radius = d["width"] / 2.0
    leg = d["height"] - radius
    return (
        Sketch(
            "hoop",
            "Two legs and a half circle between them.",
            straights=(leg, leg),
            bends=((radius, 180.0, 0.0),),
            along=(0.0, 0.0, 1.0),
            towards=(1.0, 0.0, 0.0),
        ),
    )


def _u(d: Mapping[str, float], bar: float) -> tuple[Sketch, ...]:
    w, h = d["width"], d["height"]
    return (Sketch("u", "Two legs and a base.", _clean(((0, 0, h), (0, 0, 0), (w, 0, 0), (w, 0, h)))),)


def _offset_leg(d: Mapping[str, float], bar: float) -> tuple[Sketch, ...]:
    run = d["rise"] / math.tan(math.radians(d["angle"]))
    end = (d["length"] - run) / 2.0
    points = ((0, 0, 0), (end, 0, 0), (end + run, 0, d["rise"]), (d["length"], 0, d["rise"]))
    return (Sketch("leg", "A leg that steps over: two equal bends, one each way.", _clean(points)),)


def _arched_rail(d: Mapping[str, float], bar: float) -> tuple[Sketch, ...]:
    """Equal short straights with equal small bends between them: an arch that a die much smaller than it can bend.

    The straights are chords of one circle. The two bends at the feet turn the other way.
    """
    foot, rise, count = d["foot"], d["rise"], round(d["bends"]) + 1
    span = d["length"] - 2.0 * foot
    turn = _arch_turn(rise / span, count) if span > 0.0 else 0.0
    slopes = [turn * ((count - 1) / 2.0 - k) for k in range(count)]
    chord = span / math.fsum(map(math.cos, slopes))
    points = [(0.0, 0.0, 0.0), (foot, 0.0, 0.0)]
    for slope in slopes:
        x, _, z = points[-1]
        points.append((x + chord * math.cos(slope), 0.0, z + chord * math.sin(slope)))
    points[-1] = (d["length"] - foot, 0.0, 0.0)
    return (Sketch("rail", "An arch on two feet, in equal small bends.", _clean((*points, (d["length"], 0.0, 0.0)))),)


def _arch_turn(share: float, count: int) -> float:
    """Return how far an arch of so many chords turns from one to the next, rad, to rise by this share of its span."""

    def risen(turn: float) -> float:
        slopes = [turn * ((count - 1) / 2.0 - k) for k in range(count)]
        up = math.fsum(math.sin(slope) for slope in slopes if slope > 0.0)
        return up / math.fsum(map(math.cos, slopes))

    low, high = 0.0, 2.0 * math.pi / count * (1.0 - 1e-9)  # from flat to all but a full round
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if risen(middle) < share else (low, middle)
    return low


def _ladder(d: Mapping[str, float], bar: float) -> tuple[Sketch, ...]:
    w, y, n = d["width"], d["depth"], round(d["crossbars"])
    first = w / (n + 1)
    loop = Sketch(
        "loop", "The two rails and both ends, in one.", _clean(((0, 0, 0), (w, 0, 0), (w, y, 0), (0, y, 0))), True
    )
    rung = Sketch(
        "crossbar",
        "A crossbar, butted between the rails.",
        _clean(((first, bar / 2, 0), (first, y - bar / 2, 0))),
        at=_clean(tuple((first * i, 0.0, 0.0) for i in range(n))),
    )
    return (loop, rung)


def _clean(points: tuple[tuple[float, float, float], ...]) -> tuple[Vec, ...]:
    """Round coordinates to a micrometre: they are going to be read by people."""
    return tuple((round(x, 3) + 0.0, round(y, 3) + 0.0, round(z, 3) + 0.0) for x, y, z in points)


_WIDTH = "corner to corner, along x"
_ANGLE = "how far the bar turns at each bend, degrees"

SHAPES: Mapping[str, Shape] = {
    shape.name: shape
    for shape in (
        Shape(
            "loop",
            "closed rectangle: a shelf, a rim, a deck; with upturned ends when upturn is given",
            (
                _length("width", _WIDTH + "; between the upturns", 400, 16),
                _length("depth", "corner to corner, along y", 300, 12),
                _length("upturn", "length of the upturned ends along their slope; 0 for none", 0, 0, 0.0),
                Dimension("angle", "how far the ends turn up, degrees", 90, 90, "angle"),
            ),
            _loop,
        ),
        Shape(
            "hoop",
            "half circle on two legs: a tunnel, an awning, a guard",
            (
                _length("width", "leg to leg, middle to middle", 600, 24),
                _length("height", "foot to crown, middle of the bar", 500, 20),
            ),
            _hoop,
            own_radius=True,
        ),
        Shape(
            "u",
            "two legs and a base: a handle, a cradle, a foot",
            (_length("width", "leg to leg, along x", 300, 12), _length("height", "length of the legs", 200, 8)),
            _u,
        ),
        Shape(
            "offset-leg",
            "a leg that steps over something: a stay, a bracket, a prop",
            (
                _length("length", "end to end, along x", 500, 20),
                _length("rise", "how far it steps over", 80, 3),
                Dimension("angle", _ANGLE, 45, 45, "angle"),
            ),
            _offset_leg,
        ),
        Shape(
            "arched-rail",
            "an arch on two feet, in equal small bends that any die makes: a rail, a roof bow, a guard",
            (
                _length("length", "foot to foot, along x", 600, 24),
                _length("rise", "from the feet to the corner points at the top of the arch", 90, 3.5),
                _length("foot", "length of each foot", 80, 3),
                Dimension(
                    "bends", "how many along the arch, besides one at each foot; more is rounder", 5, 5, "number"
                ),
            ),
            _arched_rail,
        ),
        Shape(
            "ladder",
            "closed loop with crossbars: a deck, a carrier, a grating",
            (
                _length("width", _WIDTH, 500, 20),
                _length("depth", "corner to corner, along y", 300, 12),
                Dimension("crossbars", "how many, evenly spaced", 3, 3, "number"),
            ),
            _ladder,
        ),
    )
}
