"""Square, rectangular and flat bar, solid and hollow, out of the edges of a solid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import TypeAlias

import numpy as np

from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, along, cross, distance, dot, unit
from bentwork.stock.section import Flat, SquareTube
from bentwork.takeoff.bar import WayBent
from bentwork.takeoff.bars import MOST_VOLUME, Doubt, Tried, Untried, rests_of, try_bar
from bentwork.takeoff.bends_about import Axis, Bend, by_axis
from bentwork.takeoff.crowns import with_crowns
from bentwork.takeoff.edges import Edges
from bentwork.takeoff.formal import formal_edges
from bentwork.takeoff.long_edges import Strip, alike, bent_strip, by_section
from bentwork.takeoff.outline import ALIKE, Outline, chamfered
from bentwork.takeoff.rods import tube_radius
from bentwork.takeoff.rounded_corners import not_at_corners
from bentwork.takeoff.runs import MEETS, Arc, Straight, centreline_of, chained, trued
from bentwork.takeoff.shape import Face, Floats, Shape
from bentwork.takeoff.sides import Borders, Ints, Points, bent_sides, borders_of, ends_of, points_of, straight_sides
from bentwork.takeoff.straight_edges import straight_strips, unseen
from bentwork.takeoff.unbend import unbent

__all__ = ["LongEdges", "across_a_corner", "rectangular_bars", "why_none"]


def rectangular_bars(
    shape: Shape, faces: Sequence[Face], along: LongEdges, volume: float
) -> Iterator[Tried | Doubt | Untried]:
    """Try every chain of long edges as the one bar of a solid, but for those that are too small to be all of it."""
    for line, outline, way in along.lines(in_haste=True):
        if outline.area * line.table.length < 0.3 * volume:
            continue
        trying = partial(_tried, shape, faces, along, (line, outline, way), volume)
        yield Untried(trying) if along.too_small(line, outline, volume) else trying()


def why_none(along: LongEdges, untried: Sequence[Untried]) -> Iterator[Doubt]:
    """Try what was too small to be all of the solid, for the reason alone."""
    yield from map(across_a_corner, along.askew)
    for one in untried:
        found = one.trying()
        if isinstance(found, Doubt):
            yield found


def across_a_corner(askew: float) -> Doubt:
    """Return why a bend is none that turns a section so many degrees from flat."""
    way = "bends go the easy way or the hard way, and between them the bar is not twisted"
    return Doubt(f"a bend across a corner of its section, {askew:.3g}° from flat: {way}", 1.8)


def _tried(shape: Shape, faces: Sequence[Face], along: LongEdges, one: _Line, volume: float) -> Tried | Doubt:
    line, outline, way = one
    sides, broken = along.sides(line, outline), chamfered(outline)
    round_at = max(outline.corners) if broken is None else 0.0
    if round_at and not any(f.part_of in sides and abs(tube_radius(f) - round_at) < ALIKE for f in faces):
        return Doubt("so much is cut off at its corners that its section is another", 0.0)
    rests = rests_of(shape, faces, sides)
    splined = any(face.kind == "free" for face in shape.faces)
    outlines = [outline, broken] if broken else [outline]
    return try_bar(line, outlines, rests, volume, splined=splined, way=way)


PARALLEL = 1.0 - 1e-8
"""Normals and axes run the same way when the cosine between them is above this."""
_Line: TypeAlias = tuple[Centreline, Outline, WayBent | None]
"""A centreline with its section, and which way it is bent."""


@dataclass(frozen=True)
class LongEdges:
    """The edges of a solid as what runs along bars; the straight ones are looked at once, whoever asks.

    Args:
        shape: the solid.
        faces: of it, those without formula taken apart.
    """

    shape: Shape
    faces: Sequence[Face]
    # With each line, so that no other takes its place in memory.
    _sides: dict[int, tuple[Centreline, set[int]]] = field(default_factory=dict, init=False, repr=False)
    _flat: dict[int, tuple[Centreline, Floats]] = field(default_factory=dict, init=False, repr=False)
    _known: dict[tuple[int, ...], list[_Line]] = field(default_factory=dict, init=False, repr=False)
    _broken: dict[int, Centreline] = field(default_factory=dict, init=False, repr=False)
    _seen_by: dict[int, tuple[Centreline, Ints]] = field(default_factory=dict, init=False, repr=False)

    @cached_property
    def formal(self) -> Edges:
        """The edges, what is without formula cut into lines and circles."""
        return formal_edges(self.shape.read_edges(), self.shape.faces)

    @cached_property
    def _drawn(self) -> tuple[Edges, list[Face]]:
        return with_crowns(self.formal, self.faces)

    @property
    def edges(self) -> Edges:
        """Lines and circles, what is without formula cut into them, crowns among them."""
        return self._drawn[0]

    @cached_property
    def _axes(self) -> tuple[list[Axis], list[Axis]]:
        return by_axis(self.edges)

    @property
    def askew(self) -> list[float]:
        """How far sections are turned to the bends across their corners, degrees."""
        found = (axis.across_a_corner() for axis in self._axes[0])
        return [turned for turned in found if turned is not None]

    @cached_property
    def _smooth(self) -> Set[int]:
        """Places among arcs of edges between two faces of one side: planes, or cylinders about one axis."""
        beside: dict[int, list[Face]] = {}
        for face in self.faces:
            for number in face.edges:
                beside.setdefault(number, []).append(face)
        flat = {number for number, (one, *more) in beside.items() if more and all(_go_on(one, two) for two in more)}
        return {k for k, number in enumerate(self.edges.circle_numbers.tolist()) if number in flat}

    @cached_property
    def _likely(self) -> list[Bend]:
        return [bend for axis in self._axes[0] for bend in axis.bends(lambda: self._smooth)]

    @cached_property
    def _others(self) -> list[Bend]:
        axes = not_at_corners(self._axes[1], self.straight)
        return [bend for axis in axes for bend in axis.bends(lambda: self._smooth)]

    @cached_property
    def straight(self) -> list[tuple[Centreline, Outline]]:
        """Straight bars, the longest first."""
        found = []
        for strip in straight_strips(self.edges, [*self.faces, *self._drawn[1]]):
            one = strip.parts[0]
            assert isinstance(one, Straight) and strip.thick is not None
            tangent = one.tangents[0]
            axis = unit(cross(tangent, strip.thick))
            line = Centreline(BendTable((one.length,)), Pose(one.a, tangent, axis))
            found.append((line, strip.outline))
            if strip.broken:
                self._broken[id(line)] = line
        return found

    def is_broken(self, line: Centreline) -> bool:
        """Tell whether none of a straight bar's edges is seen somewhere along it."""
        return id(line) in self._broken

    def unseen(self, pose: Pose, outline: Outline, length: float) -> list[tuple[float, float]]:
        """Return from where to where straight on from a place no edge of a bar is seen, mm.

        Args:
            pose: the place.
            outline: of its section.
            length: how far it is looked for, mm.
        """
        # What is seen inside a tube may be shorter than it is wide: it was not taken for a bar's.
        frame = np.array((pose.tangent, pose.inward, pose.axis))
        flat = (self.edges.ends - np.array(pose.origin)) @ frame.T
        out = np.abs(outline.beyond(flat.reshape(-1, 3))).reshape(-1, 2).max(axis=1)
        level = np.abs(flat[:, 0, 1:] - flat[:, 1, 1:]).max(axis=1)
        return unseen(flat[(out < ALIKE) & (level < ALIKE), :, 0].tolist(), length)

    @cached_property
    def _points(self) -> Points:
        return points_of(self.shape.read_edges())

    @cached_property
    def _borders(self) -> Borders:
        return borders_of(self.faces, self.shape.read_edges().count)

    def sides(self, line: Centreline, outline: Outline) -> set[int]:
        """Return the numbers of the faces along a bar; asked again for the same one it is not looked for again."""
        known = self._sides.get(id(line))
        if known is None:
            found = self._plain_sides(line)
            if found is None and line.table.bends:
                found = bent_sides(self._points, self._unbent(line), self._borders, self.faces, line, outline)
            elif found is None:
                (found,) = straight_sides(self._points, self._borders, [(line, outline)])
            known = self._sides[id(line)] = line, found
        return known[1]

    def _plain_sides(self, line: Centreline) -> set[int] | None:
        """Return the faces with two of the edges that a bar was seen by; None unless its ends alone are left then."""
        _, edges = self._seen_by.get(id(line), (line, None))
        if edges is None or self.edges is not self.shape.read_edges():
            return None
        found = self._borders.with_two(edges)
        return found if len(self.shape.faces) - len(found) <= ends_of(line) else None

    def _unbent(self, line: Centreline) -> Floats:
        """Return points of all edges as they lie on a straightened bar, (n, 3)."""
        known = self._flat.get(id(line))
        if known is None:
            known = self._flat[id(line)] = line, unbent(line, self._points.points)
        return known[1]

    def too_small(self, line: Centreline, outline: Outline, volume: float) -> bool:
        """Tell whether a bar cannot be all of the solid.

        It would be less even if it went from end to end of it, or more stands out beside it than any end is wide.
        """
        points = self._points.points
        if len(points) == 0 or self._plain_sides(line) is not None:
            return False
        if line.table.bends:
            return bool(np.abs(self._unbent(line)[:, 1:]).max() > 2.0 * outline.largest)
        pose = line.start
        along = points @ np.array(pose.tangent)
        longest = float(along.max() - along.min()) + 2.0 * outline.largest  # ends may be domed
        if volume > MOST_VOLUME * outline.area * longest:
            return True
        aside = (points - np.array(pose.origin)) @ np.array((pose.inward, pose.axis)).T
        return bool(np.abs(aside).max() > 2.0 * outline.largest)  # pressed flat it is half as wide again

    def lines(self, *, in_haste: bool) -> Iterator[_Line]:
        """Return centrelines with their sections, the longest first; straight ones after all that are bent.

        Rounded corners and ends look like short bends of thin flat, wide as the bar is long: they are looked at last.

        Args:
            in_haste: a line may come twice, the first time perhaps only in part; straight ones come before rounded
                corners only where no bend is likelier.
        """
        likely = self._likely
        if in_haste:
            yield from self._bent(likely)
            if not likely:
                yield from self._straight_lines()
            # A section may have bends of both sorts: what was likely is asked for again together with the rest. Most
            # bars have been found before that.
            if self._others:
                yield from self._bent([*likely, *self._others])
            if likely:
                yield from self._straight_lines()
            return
        others = self._others
        mates = [one for one in others if any(alike(one.outline, other.outline) for other in likely)]
        yield from self._bent([*likely, *mates])
        yield from self._straight_lines()
        done = {id(one) for one in mates}
        yield from self._bent([one for one in others if id(one) not in done])

    def _straight_lines(self) -> Iterator[_Line]:
        for line, outline in self.straight:
            yield line, outline, None

    def look_at_sides(self) -> None:
        """Look for the sides of all straight bars, at once: in a frame they are asked for one after the other."""
        new = [bar for bar in self.straight if id(bar[0]) not in self._sides]
        found = straight_sides(self._points, self._borders, new)
        self._sides.update((id(line), (line, sides)) for (line, _), sides in zip(new, found, strict=True))

    def _bent(self, bends: Sequence[Bend]) -> Iterator[_Line]:
        for group in by_section(bends):
            key = tuple(map(id, group))
            if key not in self._known:
                self._known[key] = list(self._chains(bent_strip(group, self.edges)))
            yield from self._known[key]

    def _chains(self, strip: Strip) -> Iterator[_Line]:
        chains = chained(strip.parts)
        for chain, closed in sorted(chains, key=lambda pair: -sum(part.length for part in pair[0])):
            arcs = [part for part in chain if isinstance(part, Arc)]
            if not arcs or (len(arcs) == len(chain) and arcs[0].radius < strip.bends[0][1].inward + MEETS):
                continue  # without straights, what has its axis in its inside is a sector
            line = centreline_of(trued(chain, closed), closed)
            if line is not None:
                if len(chains) == 1:
                    self._seen_by[id(line)] = line, strip.edges
                yield (line, *_seen(line, strip))


def _go_on(one: Face, two: Face) -> bool:
    """Tell whether two faces that share an edge are pieces of one side."""
    if one.kind != two.kind or one.kind not in ("plane", "cylinder"):
        return False
    same = abs(dot(one.axis, two.axis)) > PARALLEL and abs(one.radius - two.radius) < MEETS
    return same and one.outward == two.outward


def _seen(line: Centreline, strip: Strip) -> tuple[Outline, WayBent | None]:
    """Return the outline as the first bend of a centreline sees it, and which way its bends are made."""
    bends = []
    for run in line.runs:
        if run.bend:
            centre = along(run.start.origin, run.start.inward, run.radius)
            bends.append(min(strip.bends, key=lambda bend: distance(bend[0].centre, centre)))
    (arc, first), section = bends[0], strip.outline.section
    if dot(arc.axis, line.start.axis) < 0.0:
        first = first.upside_down()
    if not isinstance(section, Flat | SquareTube) or abs(section.width - section.height) < 0.01:
        return first, None
    ways = {one.inward < one.across for _, one in bends}
    return first, "both" if len(ways) > 1 else "easy" if True in ways else "hard"
