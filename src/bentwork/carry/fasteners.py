"""Bolts, and threads and holes in tabs: what they hold. Threads and their tables: ``fastening``.

What is from memory says so.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bentwork.fastening import holding
from bentwork.fastening.holding import BOLT_CLASSES, BoltClass, edge_distances, pull_out
from bentwork.fastening.threads import METRIC
from bentwork.stock.material import Material

__all__ = [
    "BOLT_CLASSES",
    "COARSE_PITCH",
    "FASTENER_FACTOR",
    "Bolt",
    "BoltClass",
    "Giving",
    "bearing",
    "checks",
    "edge_distances",
    "engagement",
    "minor_diameter",
    "pull_out",
    "stress_area",
    "tapping_drill",
]

COARSE_PITCH = {size: METRIC[size].pitch for size in (3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0)}
"""Pitch of the coarse metric threads that are reckoned, mm (ISO 261)."""

FASTENER_FACTOR = 1.25
"""Partial factor of bolts and bearing: gamma_M2 of EN 1993-1-8 and EN 1999-1-1 (from memory)."""


@dataclass(frozen=True, slots=True)
class Bolt:
    """A bolt and what it sits in.

    Args:
        size: nominal diameter, mm: 3, 4, 5, 6, 8, 10 or 12, coarse thread.
        grade: a name in ``BOLT_CLASSES``.
        thickness: of the tab or bar it goes through or is tapped into, mm; None when that is not known.
        tapped: the thread is in the metal itself, as long as ``thickness``; otherwise there is a nut.
        end_distance: middle of the hole to the edge that the force pulls towards, mm.
        side_distance: middle of the hole to the edge beside it, mm.
        hole: diameter of a clearance hole, mm; None for the usual one, ISO 273, medium; 0 where it goes round a bar
            that is not flat, as a U-bolt does: then only flat bar has a hole, the usual one.
        welded: the metal round the hole has been softened by a weld.

    Raises:
        ValueError: no such size or class, or a distance is not above 0.
    """

    size: float
    grade: str = "8.8"
    thickness: float | None = None
    tapped: bool = False
    end_distance: float | None = None
    side_distance: float | None = None
    hole: float | None = None
    welded: bool = False

    def __post_init__(self) -> None:
        if self.size not in COARSE_PITCH:
            raise ValueError(f"no coarse thread M{self.size:g} is known; there are {', '.join(_names())}")
        if self.grade not in BOLT_CLASSES:
            raise ValueError(f"no class of bolts is called {self.grade}; there are {', '.join(BOLT_CLASSES)}")
        for name in ("thickness", "end_distance", "side_distance", "hole"):
            value = getattr(self, name)
            if value is not None and not (math.isfinite(value) and (value > 0.0 or (name == "hole" and value == 0.0))):
                raise ValueError(f"the {name.replace('_', ' ')} of a bolt is a size above 0 mm, not {value:g}")

    @property
    def hole_size(self) -> float:
        """Diameter of its hole, mm."""
        return self.hole or METRIC[self.size].clearance_hole

    @property
    def of(self) -> BoltClass:
        """Its class."""
        return BOLT_CLASSES[self.grade]


@dataclass(frozen=True, slots=True)
class Giving:
    """One way a bolt gives: what, its load and what it holds, N."""

    what: str
    load: float
    holds: float

    @property
    def use(self) -> float:
        """Load over what it holds."""
        return self.load / self.holds


def _names() -> list[str]:
    return [f"M{size:g}" for size in COARSE_PITCH]


def stress_area(size: float) -> float:
    """Return the stress area of a coarse thread, mm2."""
    return METRIC[size].stress_area


def minor_diameter(size: float) -> float:
    """Return the basic minor diameter of the inside thread, mm."""
    return METRIC[size].minor


def tapping_drill(size: float) -> float:
    """Return the drill to tap after, mm."""
    return METRIC[size].drill


def engagement(size: float, grade: str, strength: float) -> float:
    """Return the length of thread at which the bolt breaks before the thread strips, mm."""
    return holding.engagement(METRIC[size], grade, strength)


def bearing(bolt: Bolt, strength: float) -> float:
    """Return what the hole holds in bearing, N: k1 alpha_b f_u d t / gamma.

    EN 1999-1-1, 8.5.5, and EN 1993-1-8, Table 3.4 (from memory): k1 = min(2.8 e2/d0 - 1.7, 2.5), alpha_b = min(e1/(3
    d0), f_ub/f_u, 1); a distance that is not given counts as ample.

    Raises:
        ValueError: the thickness is not known.
    """
    if bolt.thickness is None:
        raise ValueError("bearing needs the thickness of the tab")
    hole = bolt.hole_size
    beside = 2.5 if bolt.side_distance is None else max(0.0, min(2.8 * bolt.side_distance / hole - 1.7, 2.5))
    ahead = 1.0 if bolt.end_distance is None else bolt.end_distance / (3.0 * hole)
    factor = min(ahead, bolt.of.strength / strength, 1.0)
    return beside * factor * strength * bolt.size * bolt.thickness / FASTENER_FACTOR


def checks(bolt: Bolt, tension: float, shear: float, metal: Material) -> tuple[Giving, ...]:
    """Return every way in which one bolt may give under its share of a force.

    Args:
        bolt: the bolt.
        tension: along it, N, 0 or more.
        shear: across it, N.
        metal: that its hole is in.
    """
    area, kind = stress_area(bolt.size), bolt.of
    strength = metal.tensile_strength.value
    if bolt.welded and metal.welded_strength is not None:
        strength = metal.welded_strength.value
    pulled = 0.9 * kind.strength * area / FASTENER_FACTOR
    cut = kind.shear_factor * kind.strength * area / FASTENER_FACTOR
    found = [
        Giving(f"M{bolt.size:g} pulled", tension, pulled),
        Giving(f"M{bolt.size:g} sheared", shear, cut),
        # Both at once: F_v/F_v,Rd + F_t/(1.4 F_t,Rd) <= 1 (EN 1993-1-8, Table 3.4, from memory).
        Giving(f"M{bolt.size:g} pulled and sheared", shear / cut + tension / (1.4 * pulled), 1.0),
    ]
    if bolt.thickness is not None:
        held = bearing(bolt, strength)
        if held > 0.0:
            found.append(Giving("hole in bearing", shear, held))
        if bolt.tapped:
            found.append(Giving("thread", tension, pull_out(bolt.size, bolt.thickness, strength) / FASTENER_FACTOR))
    return tuple(found)
