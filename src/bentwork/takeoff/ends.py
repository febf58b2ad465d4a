"""How a bar ends, and where it is drilled: what is left of its faces when its sides are taken away."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, along, cross, dot, norm, rotate, scale
from bentwork.stock.section import Flat
from bentwork.takeoff.bar import End
from bentwork.takeoff.copes import cope_reach
from bentwork.takeoff.outline import Outline
from bentwork.takeoff.rests import Rest, Seen, seen_from
from bentwork.takeoff.shape import Face, Floats

__all__ = ["SAMPLING", "Cut", "cut_to_length", "frame_at", "lengthened", "looking"]

SQUARE_WITHIN = 0.005
"""A cut that leans by less is square, degrees: half of what a take-off promises."""
SQUARE_TO = 1e-3
"""And so is one by which the bar is longer by less on one side than in its middle, mm: that is what files round to."""
LEANS = 0.05
"""A cut looks along the bar by so much at least, and two that differ by more are two, as a cosine and a sine."""
POINTED = 0.2
"""A second slope that takes up a larger share of the section, the way it takes less, is no chamfer of the first."""
SQUARE_TIP = math.cos(math.radians(1.0))
"""An end pressed flat is sawn off square, to within a degree."""
AT_TIP = 0.5
"""How thick an end is is seen within so many times half the bar's size of its tip."""
AS_THICK = 0.05
"""Round bar whose radius differs by less is the same one, mm."""
SAMPLING = 0.02
"""Share of the bar's half size by which samples of a cut may miss its farthest point."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A centreline cut to the length of its bar.

    Args:
        line: its ends where the metal ends, or in the middle of a mitre.
        ends: end A and end B.
        used: numbers of the faces that belong to the ends.
        outside: how far metal stands out beyond the section anywhere but at flattened ends, mm.
        rests: faces that belong to the bar, beside its sides.
        flats: where the samples of each of these lie on the straightened bar, (n, 3).
        spans: where along the bar each of these begins and ends, mm.
    """

    line: Centreline
    ends: tuple[End, End]
    used: frozenset[int]
    outside: float
    rests: tuple[Rest, ...]
    flats: tuple[Floats, ...]
    spans: tuple[tuple[float, float], ...]


def lengthened(line: Centreline, at_a: float, at_b: float) -> Centreline | None:
    """Return a centreline with this much more straight at its ends; None when an end would go into a bend."""
    straights = list(line.table.straights)
    straights[0] += at_a
    straights[-1] += at_b
    for k in (0, -1):
        if -2e-3 < straights[k] < 1e-6 and line.table.bends:
            straights[k] = 0.0
        if straights[k] < 0.0:
            return None
    start = line.start
    origin = along(start.origin, start.tangent, -at_a)
    table = BendTable(tuple(straights), line.table.bends, line.table.closed)
    return Centreline(table, Pose(origin, start.tangent, start.axis))


def cut_to_length(
    line: Centreline, rests: Sequence[Rest] | Seen, outline: Outline, within: float = math.inf
) -> Cut | None:
    """Find where a bar ends and how.

    Args:
        line: as far as its sides reach.
        rests: faces that are no sides and no bore, or these as they are seen from the bar.
        outline: of its section.
        within: faces that stand out beyond the section by as much are no part of the bar, mm.

    Returns:
        None when its ends make no sense.
    """
    length = line.table.length
    at_a: list[_Reach] = []
    at_b: list[_Reach] = []
    own: list[Rest] = []
    flats: list[Floats] = []
    spans: list[tuple[float, float]] = []
    outside = 0.0
    seen = rests if isinstance(rests, Seen) else seen_from(line, rests, outline)
    for rest, at, low, high, out in zip(seen.rests, seen.starts, seen.lows, seen.highs, seen.outs, strict=True):
        if out >= within:
            continue
        own.append(rest)
        outside = max(outside, out)
        flat = seen.flat[at : at + len(rest.points)]
        flats.append(flat)
        spans.append((low, high))
        if -low > high - length:
            at_a.append(_Reach(rest.face, flat, -1.0, -high, -low, out))
        else:
            at_b.append(_Reach(rest.face, flat, 1.0, low - length, high - length, out))
    if line.table.closed:
        return Cut(line, (End("seam"), End("seam")), frozenset(), outside, tuple(own), tuple(flats), tuple(spans))
    a = _end(line.start.origin, scale(line.start.tangent, -1.0), at_a, outline)
    b = _end(line.end.origin, line.end.tangent, at_b, outline)
    cut = lengthened(line, a.shift, b.shift)
    if cut is None:
        return None
    ends = _looking(a, line, 0), _looking(b, line, 1)
    seen.flat[:, 0] += a.shift  # and with it all that is part of it
    moved = tuple((low + a.shift, high + a.shift) for low, high in spans)
    return Cut(cut, ends, a.used | b.used, max(a.outside, b.outside), tuple(own), tuple(flats), moved)


class _Reach(NamedTuple):
    """A face at an end.

    Args:
        face: it.
        flat: samples on the straightened bar, (n, 3).
        way: -1 where that runs inwards from the end, 1 where it runs outwards.
        low: how far outwards from the end the nearest of them lies, mm.
        high: and the farthest.
        out: how far they stand out beside the section, mm.
    """

    face: Face
    flat: Floats
    way: float
    low: float
    high: float
    out: float


@dataclass(frozen=True, slots=True)
class _Found:
    end: End
    shift: float
    used: frozenset[int]
    outside: float
    towards: Vec | None = None


def _looking(found: _Found, line: Centreline, side: int) -> End:
    """Return an end with where round the bar its longest point lies, or its flat looks."""
    if found.towards is None:
        return found.end
    tangent, inward = frame_at(line, side)
    return looking(found.end, tangent, inward, found.towards)


def frame_at(line: Centreline, side: int) -> tuple[Vec, Vec]:
    """Return the direction of travel at an end, and where the inside of the first bend has come to there."""
    pose = line.runs[-1 if side else 0].start
    tangent = line.end.tangent if side else pose.tangent
    directions = line.table.directions
    return tangent, rotate(cross(pose.axis, tangent), tangent, -directions[-1] if side and directions else 0.0)


def looking(end: End, tangent: Vec, inward: Vec, towards: Vec) -> End:
    """Return an end whose longest point or face looks there, in the frame of its end."""
    return end.facing(math.degrees(math.atan2(dot(cross(tangent, inward), towards), dot(inward, towards))))


def _end(
    origin: tuple[float, float, float],
    outward: tuple[float, float, float],
    rests: Sequence[_Reach],
    outline: Outline,
) -> _Found:
    """Return how one end is cut, and how much further than the sides it goes."""
    size = outline.largest / 2.0
    slack = SAMPLING * size + 0.01
    reach = 0.0
    for rest in rests:
        # Beyond the sides, or a hole in them further back.
        reach = max(reach, rest.high)
        if rest.face.kind == "sphere":
            reach = max(reach, _dome(rest.face, origin, outward, size))
    outside = flattened = 0.0
    beyond: list[Floats] = []
    for rest in rests:
        if rest.out > 0.01 and rest.high > slack:
            flattened = max(flattened, rest.out)
            beyond.append(rest.flat * (rest.way, 1.0, 1.0))
        else:
            outside = max(outside, rest.out)
    near = frozenset(rest.face.part_of for rest in rests if rest.high > -slack)
    if flattened:
        # A leg of flat bar beyond a tight bend has the sizes of a pressed end: what is flat already is not pressed.
        bent = any(_goes_on(rest, outline) for rest in rests) or _leans(
            [r for r in rests if r.high > reach - slack], outward
        )
        if not isinstance(outline.section, Flat) and not bent and _is_flattened(np.vstack(beyond), outline):
            faces = [rest for rest in rests if rest.face.kind == "plane" and abs(dot(rest.face.axis, outward)) < 1e-6]
            low = min((rest.low for rest in faces), default=reach)
            looks = faces[0].face.axis if faces else None
            return _Found(End("flattened", flat=reach - low), reach, near, outside, looks)
        return _Found(End("shaped"), reach, near, max(outside, flattened))
    best: tuple[_Reach, _Found] | None = None
    # The kernel may take sides that are cut at a slant for a little longer than they are.
    farthest = max((rest.high for rest in rests), default=reach)
    for far in dict.fromkeys((reach, farthest if farthest > -0.1 * size else reach)):
        for rest in rests:
            if rest.high < far - slack:
                continue
            found = _as_plane(rest.face, origin, outward, (rest.low, rest.high), far, outline)
            found = found or _as_cope(rest.face, origin, outward, far, outline)
            if found is not None and (best is None or rest.high > best[0].high):
                towards = _long_side(rest.face, outward) if found[0].cut == "mitred" else None
                best = (rest, _Found(*found, near, outside, towards))
        if best is not None:
            if best[1].end.cut == "mitred" and _is_pointed(best[0], rests, outward, outline):
                break
            return best[1]
    return _Found(End("shaped"), reach, near, outside)


def _is_pointed(mitre: _Reach, rests: Sequence[_Reach], outward: Vec, outline: Outline) -> bool:
    """Tell whether another slope as large as a mitre comes to the same tip: a picket, a wedge, a pyramid."""
    sizes = 2.0 * outline.inward, 2.0 * outline.across
    return any(
        rest.face.kind == "plane"
        and dot(rest.face.axis, outward) > LEANS
        and rest.high > mitre.high - SAMPLING * outline.largest
        and (np.ptp(rest.flat[:, 1:], axis=0) / sizes).min() > POINTED
        and norm(cross(rest.face.axis, mitre.face.axis)) > LEANS
        for rest in rests
    )


def _long_side(face: Face, outward: Vec) -> Vec:
    """Return the direction square to a bar in which the longest point of its slanting end lies."""
    aside = along(face.axis, outward, -dot(face.axis, outward))
    return scale(aside, -1.0)


def _as_plane(
    face: Face,
    origin: tuple[float, float, float],
    outward: tuple[float, float, float],
    span: tuple[float, float],
    reach: float,
    outline: Outline,
) -> tuple[End, float] | None:
    if face.kind != "plane":
        return None
    lean = dot(face.axis, outward)
    if lean < LEANS:
        return None
    offset = [face.origin[k] - origin[k] for k in range(3)]
    middle = sum(offset[k] * face.axis[k] for k in range(3)) / lean
    angle = math.degrees(math.acos(min(1.0, lean)))
    angle = math.degrees(math.asin(min(1.0, norm(cross(face.axis, outward))))) if angle < 1.0 else angle
    low, high = span
    if angle < SQUARE_WITHIN or outline.inward * math.tan(math.radians(angle)) < SQUARE_TO:
        return End("square"), middle
    if not low - 0.01 <= middle <= high + 0.01:
        return None
    beyond = outline.inward * math.tan(math.radians(angle)) if outline.is_round else max(0.0, reach - middle)
    return End("mitred", angle, beyond), middle


def _as_cope(
    face: Face,
    origin: tuple[float, float, float],
    outward: tuple[float, float, float],
    reach: float,
    outline: Outline,
) -> tuple[End, float] | None:
    if face.kind != "cylinder" or face.outward:
        return None
    lean = abs(dot(face.axis, outward))
    if lean > 0.95 or face.u[1] - face.u[0] > 1.1 * math.pi:
        return None
    if outline.is_round:
        exact = cope_reach(face, origin, outward, outline.inward)
        # Samples may miss the farthest point, and what goes further than the cope is something else.
        reach = exact if 0.0 <= exact - reach < SAMPLING * outline.inward else reach
    return End("coped", math.degrees(math.acos(min(1.0, lean))), 0.0, 2.0 * face.radius), reach


def _dome(face: Face, origin: tuple[float, float, float], outward: tuple[float, float, float], size: float) -> float:
    """Return how far a rounded end reaches; minus infinity for what is no end."""
    if not face.outward:
        return -math.inf
    offset = np.array(face.origin) - np.array(origin)
    along_bar = float(offset @ np.array(outward))
    aside = float(np.linalg.norm(offset - along_bar * np.array(outward)))
    return along_bar + face.radius if aside < 0.05 * size else -math.inf


def _goes_on(rest: _Reach, outline: Outline) -> bool:
    """Tell whether a face beside the bar is a ball on its end, or round bar as thick that goes on in a bend."""
    face = rest.face
    if rest.out <= 0.01 or not face.outward:
        return False
    if face.kind == "sphere":
        return True
    radius = face.radius if face.kind == "cylinder" else face.minor if face.kind == "torus" else math.inf
    return outline.is_round and abs(radius - outline.inward) < AS_THICK


def _leans(tips: Sequence[_Reach], outward: Vec) -> bool:
    """Tell whether what comes farthest is cut aslant to the bar, and nothing square: a leg behind a bend."""
    leans = [dot(rest.face.axis, outward) for rest in tips if rest.face.kind == "plane"]
    return max((lean for lean in leans if lean > LEANS), default=1.0) < SQUARE_TIP


def _is_flattened(flat: Floats, outline: Outline) -> bool:
    """Tell a pressed end from a head: thinner one way, and no wider the other than the metal that was there."""
    half = outline.largest / 2.0
    if np.ptp(flat[:, 0]) >= 12.0 * half:
        return False
    across = flat[:, 1:] - flat[:, 1:].mean(axis=0)
    _, vectors = np.linalg.eigh(across.T @ across)
    sizes = np.ptp(across @ vectors, axis=0)
    far = flat[flat[:, 0] > flat[:, 0].max() - AT_TIP * outline.half][:, 1:]
    tip = np.ptp((far - far.mean(axis=0)) @ vectors, axis=0) if len(far) > 1 else sizes
    round_half = math.pi / 2.0 * 2.0 * half * 1.06
    return bool(min(tip) < 1.5 * outline.half and max(sizes) <= round_half)
