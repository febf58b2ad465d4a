"""Pieces that are the same, and pieces that are mirror images, whichever end they were drawn from."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from bentwork.piece.bend import half_turn
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, add, cross, distance, dot, norm, rotate, scale, sub, unit
from bentwork.stock.section import Round, Section, Tube
from bentwork.takeoff.bar import Bar, Hole, Solid, off_middle

__all__ = [
    "in_their_places",
    "mirror_between",
    "mirrored_bar",
    "one_way",
    "reversed_bar",
    "same_bar",
    "same_section",
    "shift_between",
    "with_twins",
]

LENGTH = 0.02
"""Lengths that differ by less are one, mm: what two read from a file may be off by."""
ANGLE = 0.02
"""The same for angles, degrees."""
VOLUME = 1e-3
"""Volumes that differ by a larger share are of bars that are cut into differently: that is told, and not measured."""


def reversed_bar(bar: Bar) -> Bar:
    """Return the same bar read from B to A."""
    line = bar.line
    last = line.runs[-1].start
    end = line.end
    # Travelled the other way the bar bends about the axis turned round; its inside stays where it is. What a hundred
    # bends have left of their directions' length 1 would grow over the next hundred.
    start = Pose(end.origin, unit(scale(end.tangent, -1.0)), unit(scale(last.axis, -1.0)))
    turned = Centreline(line.table.reversed(), start)
    holes = tuple(sorted((_seen_from_b(hole, line.table) for hole in bar.holes), key=lambda hole: hole.at))
    turn = line.table.directions[-1] if line.table.bends else 0.0
    a, b = (end.turned(-1.0, turn) for end in bar.ends)
    cut_into = tuple((bar.length - high, bar.length - low) for low, high in reversed(bar.cut_into))
    return replace(bar, line=turned, ends=(b, a), holes=holes, cut_into=cut_into)


def _seen_from_b(hole: Hole, table: BendTable) -> Hole:
    last = table.directions[-1] if table.bends else 0.0
    angle = last - hole.round
    angle = angle % 180.0 if hole.through else half_turn(angle)
    angle = 0.0 if hole.through and abs(angle - 180.0) < 1e-9 else angle
    (inward, across), turn = hole.aside, math.radians(last)
    # What stands at an angle stands at that of the last bend less it; on the straightened bar.
    aside = (
        inward * math.cos(turn) + across * math.sin(turn),
        inward * math.sin(turn) - across * math.cos(turn),
    )
    return replace(hole, at=table.length - hole.at, round=angle, off_middle=off_middle(aside, angle))


def one_way(bar: Bar) -> Bar:
    """Return the bar from the end that sorts first, so that equal bars are read from the same end."""
    other = reversed_bar(bar)
    return other if _order(other) < _order(bar) else bar


def _order(bar: Bar) -> tuple[object, ...]:
    table = bar.line.table
    return (
        tuple(round(straight, 2) for straight in table.straights),
        tuple((round(b.radius, 2), round(b.angle, 2), round(b.rotation, 2)) for b in table.bends),
        tuple((round(hole.at, 2), round(hole.round, 2), round(hole.off_middle, 2)) for hole in bar.holes),
        bar.line.start.origin,
    )


def with_twins(solids: Iterable[Solid]) -> tuple[Solid, ...]:
    """Return solids with those named that are the same piece as an earlier one, or its mirror image."""
    found: list[Solid] = []
    firsts: dict[tuple[object, ...], list[Solid]] = {}
    for solid in solids:
        told = solid
        bar = solid.one_bar
        if bar is not None:
            table = bar.line.table
            known = firsts.setdefault((type(bar.section), len(table.bends), table.closed, len(bar.holes)), [])
            near = [
                one for one in known if abs(one.bars[0].length - bar.length) <= 5 * LENGTH and _as_heavy(one, solid)
            ]
            same = next((one for one in near if same_bar(one.bars[0], bar)), None)
            image = mirrored_bar(bar) if near and same is None else None
            twin = next((one for one in near if image and same_bar(one.bars[0], image)), None)
            if same is not None:
                told = replace(solid, same_as=same.index, mirror_of=same.mirror_of)
            elif twin is not None:
                told = replace(solid, mirror_of=twin.index)
                known.append(told)
            else:
                known.append(told)
        found.append(told)
    return tuple(found)


def _as_heavy(one: Solid, other: Solid) -> bool:
    """Tell whether two solids have as much metal, as far as it is known."""
    if one.volume is None or other.volume is None:
        return True
    return abs(one.volume - other.volume) <= VOLUME * other.volume


def in_their_places(solids: Sequence[Solid]) -> tuple[Solid, ...]:
    """Return solids of which those alone are the same as an earlier one that stand as it does, a shift apart.

    What is turned is told by itself then, and so are mirror images but for a single pair in a plane square to x, y or
    z: a job cannot say where these stand as copies.
    """
    known = {solid.index: solid for solid in solids}
    of_one = Counter(index for solid in solids for index in (solid.same_as, solid.mirror_of) if index is not None)
    found = []
    for solid in solids:
        bar, first = solid.one_bar, known.get(solid.same_as or solid.mirror_of or 0)
        if bar is not None and first is not None and first.one_bar is not None:
            if solid.same_as is not None:
                stands = shift_between(first.one_bar, bar) is not None
            else:
                alone = of_one[first.index] == 1 and of_one[solid.index] == 0
                stands = alone and mirror_between(first.one_bar, bar) is not None
            if not stands:
                solid = replace(solid, same_as=None, mirror_of=None)
        found.append(solid)
    return tuple(found)


def shift_between(one: Bar, other: Bar) -> Vec | None:
    """Return how far a bar that is the same stands from another, mm; None where it is turned or drawn otherwise.

    Whichever way a straight bar is drawn makes no difference.
    """
    ways = (other,) if other.line.table.bends else (other, reversed_bar(other))
    for way in ways:
        by = sub(way.line.start.origin, one.line.start.origin)
        pairs = [(a.start, b.start) for a, b in zip(one.line.runs, way.line.runs, strict=True)]
        pairs.append((one.line.end, way.line.end))
        if all(distance(add(a.origin, by), b.origin) <= LENGTH for a, b in pairs) and _lie_alike(one, way):
            return by
    return None


def mirror_between(one: Bar, other: Bar) -> tuple[int, float] | None:
    """Return coordinate (0, 1, 2) and place, mm, of the plane that mirrors a bar into another; None where none does."""
    for axis in (1, 0, 2):
        for way in (other, reversed_bar(other)):
            at = (one.line.start.origin[axis] + way.line.start.origin[axis]) / 2.0
            by = shift_between(mirrored_bar(one, axis, at), way)
            if by is not None and norm(by) <= LENGTH:
                return axis, at
    return None


def _lie_alike(one: Bar, other: Bar) -> bool:
    """Whether section, cuts and holes of two straight bars lie alike; those of bent ones follow their bends."""
    if one.line.table.bends or one.section is None:
        return True
    slack = math.radians(5 * ANGLE)
    looks = [_looks(bar) for bar in (one, other)]
    if len(looks[0]) != len(looks[1]):
        return False
    for (a, either), (b, _) in zip(*looks, strict=True):
        if norm(cross(a, b)) > slack or (dot(a, b) < 0.0 and not either):
            return False
    if isinstance(one.section, Round | Tube):
        return True
    return norm(cross(one.line.start.axis, other.line.start.axis)) <= math.radians(ANGLE)


def _looks(bar: Bar) -> list[tuple[Vec, bool]]:
    """Which ways the cuts and holes of a straight bar look, and whether the opposite way is the same."""
    start = bar.line.start
    turns = [(end.round, end.cut == "flattened") for end in bar.ends if end.round is not None]
    turns += [(hole.round, hole.through) for hole in bar.holes]
    return [(rotate(start.inward, start.tangent, turn), either) for turn, either in turns]


def mirrored_bar(bar: Bar, axis: int = 1, at: float = 0.0) -> Bar:
    """Return the mirror image of a bar, in the plane where coordinate ``axis`` (0, 1, 2) equals ``at`` mm."""
    a, b = (end.turned(-1.0) for end in bar.ends)
    return replace(bar, line=bar.line.mirrored(axis, at), holes=tuple(map(_mirrored_hole, bar.holes)), ends=(a, b))


def _mirrored_hole(hole: Hole) -> Hole:
    angle = (-hole.round) % 180.0 if hole.through else half_turn(-hole.round)
    inward, across = hole.aside
    return replace(hole, round=angle, off_middle=off_middle((inward, -across), angle))


def same_bar(a: Bar, b: Bar) -> bool:
    """Tell whether two bars are the same piece, whichever end they were drawn from."""
    if not same_section(a.section, b.section) or a.way != b.way:
        return False
    if a.line.table.closed and not (a.holes or b.holes or a.cut_into or b.cut_into):
        return _same_ring(a.line.table, b.line.table) or _same_ring(a.line.table, b.line.table.reversed())
    return any(_same_table(a, one) for one in (b, reversed_bar(b)))


def same_section(a: Section | None, b: Section | None) -> bool:
    """Tell whether two sections are the same, to a fiftieth of a millimetre."""
    if a is None or b is None:
        return a is b
    names = ("diameter", "width", "height", "wall", "corner_radius")
    return type(a) is type(b) and all(abs(getattr(a, name, 0.0) - getattr(b, name, 0.0)) <= LENGTH for name in names)


def _turned(a: float, b: float, whole: float = 360.0) -> float:
    return abs((a - b + whole / 2.0) % whole - whole / 2.0)


def _same_table(a: Bar, b: Bar) -> bool:
    one, two = a.line.table, b.line.table
    if len(one.bends) != len(two.bends) or len(a.holes) != len(b.holes):
        return False
    straights = all(abs(x - y) <= LENGTH for x, y in zip(one.straights, two.straights, strict=True))
    bends = all(
        abs(x.radius - y.radius) <= LENGTH
        and abs(x.angle - y.angle) <= ANGLE
        and _turned(x.rotation, y.rotation) <= ANGLE
        for x, y in zip(one.bends, two.bends, strict=True)
    )
    holes = all(
        abs(x.at - y.at) <= LENGTH
        and abs(x.diameter - y.diameter) <= LENGTH
        and abs(x.slot - y.slot) <= LENGTH
        and (not x.slot or abs(x.lean - y.lean) <= 5 * ANGLE)
        and x.through == y.through
        and bool(x.sunk) == bool(y.sunk)
        and abs(x.slant - y.slant) <= 5 * ANGLE
        and (not one.bends or _turned(x.round, y.round, 180.0 if x.through else 360.0) <= 5 * ANGLE)
        and (math.dist(x.aside, y.aside) if one.bends else abs(abs(x.off_middle) - abs(y.off_middle))) <= LENGTH
        for x, y in zip(a.holes, b.holes, strict=True)
    )
    cuts = all(x.cut == y.cut and abs(x.angle - y.angle) <= ANGLE for x, y in zip(a.ends, b.ends, strict=True))
    cuts = cuts and len(a.cut_into) == len(b.cut_into)
    cuts = cuts and all(math.dist(x, y) <= 5 * LENGTH for x, y in zip(a.cut_into, b.cut_into, strict=False))
    return straights and bends and holes and cuts and _ends_look_alike(a, b)


def _ends_look_alike(a: Bar, b: Bar) -> bool:
    """Whether the cuts and flats of both ends lie alike round the bar: of a straight one against each other."""
    turns = []
    for x, y in zip(a.ends, b.ends, strict=True):
        if x.round is not None and y.round is not None:
            turns.append((x.round - y.round, 180.0 if x.cut == "flattened" else 360.0))
    if not a.line.table.bends:
        if len(turns) < 2:
            return True
        (one, whole), (other, half) = turns
        turns = [(one - other, min(whole, half))]
    return all(_turned(turn, 0.0, whole) <= 5 * ANGLE for turn, whole in turns)


def _same_ring(one: BendTable, two: BendTable) -> bool:
    """Compare closed pieces wherever their seams are; the turn across a seam follows from all the others."""
    count = len(one.bends)
    return any(_same_from(one, two, shift) for shift in range(count))


def _same_from(one: BendTable, two: BendTable, shift: int) -> bool:
    count = len(one.bends)

    def before(table: BendTable, k: int) -> float:
        return table.straights[k] if k else table.straights[0] + table.straights[-1]

    numbers: Sequence[int] = range(count)
    for k in numbers:
        n = (k + shift) % count
        x, y = one.bends[k], two.bends[n]
        if abs(x.radius - y.radius) > LENGTH or abs(x.angle - y.angle) > ANGLE:
            return False
        if abs(before(one, k) - before(two, n)) > LENGTH:
            return False
        if k and n and _turned(x.rotation, y.rotation) > ANGLE:
            return False
    return True
