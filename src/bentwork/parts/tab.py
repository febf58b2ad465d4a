"""A tab: a flat piece with a hole that stands on a bar, square to its bolt; its blank, its end, its hole.

Frame of a tab: x runs from the bar to the middle of the hole and on, y across it, z along the bolt. The middle of the
hole is at x = 0, so that the bar lies at x below 0.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from bentwork.fastening.holding import edge_distances
from bentwork.parts.meeting import Limb
from bentwork.space import Vec, along, cross, dot, norm, sub, unit

__all__ = ["Plan", "Tab", "tab_on"]

_FLAT = math.sin(math.radians(1.0))  # a bar that lies so flat to the tab lies along its end
_LEAST_TURN = math.sin(math.radians(10.0))
_ACROSS = 24  # places across the width at which a shaped end is looked at


@dataclass(frozen=True, slots=True)
class Plan:
    """What is asked of a tab.

    Args:
        thickness: mm.
        width: mm; None for as wide as the hole wants it.
        hole: diameter of the finished hole or of the thread, mm.
        end: from the middle of the hole to the outer end, mm; None for what is usual.
        rounded: the outer end is round about the hole, else square.
    """

    thickness: float
    width: float | None
    hole: float
    end: float | None = None
    rounded: bool = True


@dataclass(frozen=True)
class Tab:
    """A tab on a bar, in its own frame.

    Args:
        thickness: mm.
        width: mm.
        hole: diameter of the hole or of the thread, mm.
        end: from the middle of the hole to the outer end, mm.
        rounded: the outer end is round about the hole.
        edge: the end on the bar: (x, y) from one edge of the tab to the other, mm, y from below 0 upwards.
        lean: how far that end is from square, degrees; 0 for an end that is hollowed.
        hollow: how deep that end is hollowed, mm; 0 for a straight one.
        beside: how far the middle of its thickness stands beside the middle line of the bar, mm.
        gap: between the bar and the face of the tab that stands off it most, at most, mm.
        foot: the place on the bar's middle line that it stands on, mm.
        ways: unit vectors of its frame in space: x, y, z.
    """

    thickness: float
    width: float
    hole: float
    end: float
    rounded: bool
    edge: tuple[tuple[float, float], ...]
    lean: float
    hollow: float
    beside: float
    gap: float
    foot: Vec
    ways: tuple[Vec, Vec, Vec]

    @cached_property
    def reach(self) -> float:
        """From the middle of the hole to the longest point of the end on the bar, mm."""
        return -min(x for x, _ in self.edge)

    @property
    def blank(self) -> tuple[float, float, float]:
        """Length, width and thickness of the bit of flat bar that it is cut from, mm."""
        return self.reach + self.end, self.width, self.thickness

    @property
    def edge_distance(self) -> float:
        """The least from the middle of the hole to an edge, mm: outer end, sides, and the end on the bar."""
        return min(self.end, self.width / 2.0, min(math.hypot(x, y) for x, y in self.edge))

    @property
    def arc(self) -> tuple[float, float] | None:
        """Middle (on x) and radius of the round of the outer end, mm; None for a square one."""
        return (self.end - self.width / 2.0, self.width / 2.0) if self.rounded else None

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """Outline from the outer end along one side, over the end on the bar, back along the other side, mm.

        A round outer end closes it by ``arc``, a square one by a straight line.
        """
        stop = self.end if self.arc is None else self.arc[0]
        half = self.width / 2.0
        return ((stop, -half), *self.edge, (stop, half))

    def same_as(self, other: Tab) -> bool:
        """Tell whether two tabs are cut from one pattern, to a hundredth of a millimetre; seen from either face."""
        sizes = [(one.thickness, one.width, one.hole, one.end) for one in (self, other)]
        if self.rounded != other.rounded or any(abs(a - b) > 0.01 for a, b in zip(*sizes, strict=True)):
            return False
        mirrored = tuple((x, -y) for x, y in reversed(other.edge))
        return any(_alike(self.edge, edge) for edge in (other.edge, mirrored))


def tab_on(bar: Limb, hole: Vec, axis: Vec, plan: Plan, runs: Vec | None = None) -> Tab | None:
    """Return a tab on a bar; None where the way it runs leads past the bar, or the hole lies inside it.

    Args:
        bar: the straight that it stands on.
        hole: the middle of the hole, in the middle of the thickness, mm.
        axis: direction of the bolt, any length.
        plan: what is asked.
        runs: the way the tab runs from bar to hole; None for square off the bar. Made square to the bolt.
    """
    bolt = unit(axis)
    away = sub(hole, bar.origin)
    off_bar = along(away, bar.along, -dot(away, bar.along))
    wanted = off_bar if runs is None else runs
    flat = along(wanted, bolt, -dot(wanted, bolt))
    if norm(flat) < 1e-6 * max(1.0, norm(wanted)):
        return None
    x = unit(flat)
    y = cross(bolt, x)
    width = plan.width or 2.0 * edge_distances(plan.hole)[2]
    end = plan.end or max(width / 2.0, edge_distances(plan.hole)[1])
    found = [_profile(bar, hole, (x, y, bolt), width, z) for z in (-plan.thickness / 2.0, 0.0, plan.thickness / 2.0)]
    if any(one is None for one in found):
        return None
    faces = [one for one in found if one is not None]
    # The longest of both faces and the middle, so that no gap is left where it is filed to sit.
    edge = tuple((min(face[k][0] for face in faces), faces[1][k][1]) for k in range(len(faces[1])))
    gap = max(max(face[k][0] for face in faces) - edge[k][0] for k in range(len(edge)))
    straight = abs(dot(bar.along, bolt)) < _FLAT
    middle = edge[len(edge) // 2][0]
    if straight:
        lean = math.degrees(math.atan2(edge[-1][0] - edge[0][0], width))
        hollow, edge = 0.0, (edge[0], edge[-1])
    else:
        lean, hollow = 0.0, max(x for x, _ in edge) - min(x for x, _ in edge)
    if middle > -plan.hole / 2.0:
        return None
    foot, beside = _foot(bar, hole, x, bolt)
    return Tab(plan.thickness, width, plan.hole, end, plan.rounded, edge, lean, hollow, beside, gap, foot, (x, y, bolt))


def _foot(bar: Limb, hole: Vec, x: Vec, bolt: Vec) -> tuple[Vec, float]:
    """Where the tab's middle line passes the bar's nearest, on the bar, and how far beside it along the bolt."""
    away = sub(hole, bar.origin)
    lean = dot(bar.along, x)
    square = max(1.0 - lean * lean, 1e-9)
    station = (dot(away, bar.along) - lean * dot(away, x)) / square
    foot = along(bar.origin, bar.along, station)
    return foot, dot(sub(hole, foot), bolt)


def _profile(
    bar: Limb, hole: Vec, ways: tuple[Vec, Vec, Vec], width: float, z: float
) -> tuple[tuple[float, float], ...] | None:
    """Where a plane of the tab meets the bar, (x, y) across its width; None where it leads past the bar."""
    x, y, bolt = ways
    turn = cross(bar.along, x)
    if norm(turn) < _LEAST_TURN:
        return None
    found = []
    for k in range(_ACROSS + 1):
        at = width * (k / _ACROSS - 0.5)
        start = along(along(hole, y, at), bolt, z)
        reach = _meets(bar, start, x)
        if reach is None:
            return None
        found.append((reach, at))
    return tuple(found)


def _meets(bar: Limb, start: Vec, x: Vec) -> float | None:
    """Where a line of the tab comes out of the bar, mm along x; level with its middle where it passes beside it."""
    away = sub(start, bar.origin)
    free = along(x, bar.along, -dot(x, bar.along))
    apart = along(away, bar.along, -dot(away, bar.along))
    if bar.is_round:
        a, b = dot(free, free), dot(free, apart)
        c = dot(apart, apart) - bar.half(free) ** 2
        inside = b * b - a * c
        return (-b + math.sqrt(max(0.0, inside))) / a
    normal, high = bar.face_towards(unit(free))
    facing = dot(free, normal)
    return (high - dot(apart, normal)) / facing if facing > _LEAST_TURN else None


def _alike(one: tuple[tuple[float, float], ...], other: tuple[tuple[float, float], ...]) -> bool:
    return len(one) == len(other) and all(
        abs(a - c) < 0.01 and abs(b - d) < 0.01 for (a, b), (c, d) in zip(one, other, strict=True)
    )
