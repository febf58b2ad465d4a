"""A bar of the frame: a piece where it stands, with what it is made of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, add
from bentwork.stock.material import Material
from bentwork.stock.section import Section, Way, mass_per_metre

__all__ = ["Bar", "copies", "pose_at"]


@dataclass(frozen=True, slots=True)
class Bar:
    """One piece in its place.

    Args:
        name: what findings call it; different for every copy.
        line: its centreline in space, mm.
        section: its cross-section.
        material: what it is made of.
        way: which way its first bend is made: across the section's height (easy) or its width (hard).
        piece: name of the piece that it is a copy of; empty for its own name.
    """

    name: str
    line: Centreline
    section: Section
    material: Material
    way: Way = "easy"
    piece: str = ""

    @property
    def of(self) -> str:
        """Name of the piece that it is a copy of."""
        return self.piece or self.name

    @property
    def length(self) -> float:
        """Length of the centreline, mm."""
        return self.line.table.length

    @property
    def closed(self) -> bool:
        """Whether its two ends meet."""
        return self.line.table.closed

    @property
    def line_mass(self) -> float:
        """Mass of a millimetre, kg."""
        return mass_per_metre(self.section, self.material.density.value) / 1000.0

    @property
    def mass(self) -> float:
        """Mass, kg."""
        return self.line_mass * self.length

    @property
    def half_depth(self) -> float:
        """Half its larger size, mm: as far as its surface can be from its centreline, corners left out."""
        return max(self.section.depth("easy"), self.section.depth("hard")) / 2.0

    def made_of(self, section: Section, material: Material) -> Bar:
        """Return the same bar of another section and material."""
        return replace(self, section=section, material=material)


def copies(bar: Bar, shifts: Sequence[Vec]) -> tuple[Bar, ...]:
    """Return the bar once for each shift, mm; numbered from 1 when there are several."""
    found = []
    for number, shift in enumerate(shifts, 1):
        start = bar.line.start
        line = Centreline(bar.line.table, Pose(add(start.origin, shift), start.tangent, start.axis))
        name = bar.name if len(shifts) == 1 else f"{bar.name} {number}"
        found.append(replace(bar, name=name, line=line, piece=bar.of))
    return tuple(found)


def pose_at(bar: Bar, station: float) -> Pose:
    """Return the pose at a distance from end A, mm; of the nearer end for one beyond the ends."""
    return bar.line.pose(min(max(station, 0.0), bar.length))
