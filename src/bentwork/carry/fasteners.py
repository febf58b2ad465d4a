"""Bolts, and threads and holes in tabs: sizes, what they hold, what to drill.

Coarse metric threads of ISO 261. What is from memory says so; the shear of a thread is the simplified idea of VDI 2230.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

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

COARSE_PITCH = {3.0: 0.5, 4.0: 0.7, 5.0: 0.8, 6.0: 1.0, 8.0: 1.25, 10.0: 1.5, 12.0: 1.75}
"""Pitch of coarse metric threads, mm (ISO 261, from memory)."""

FASTENER_FACTOR = 1.25
"""Partial factor of bolts and bearing: gamma_M2 of EN 1993-1-8 and EN 1999-1-1 (from memory)."""

_DRILLS = {3.0: 2.5, 4.0: 3.3, 5.0: 4.2, 6.0: 5.0, 8.0: 6.8, 10.0: 8.5, 12.0: 10.2}  # ISO 2306; M3 and M12 from memory
_SHEAR_OF_TENSILE = 0.6  # von Mises: 1/sqrt(3), as the codes round it
_THREAD_SHARE = 0.75  # of pi d Le that shears: common practice


@dataclass(frozen=True, slots=True)
class BoltClass:
    """A class of bolts: proof stress and strength, MPa, and where they are from."""

    name: str
    proof: float
    strength: float
    shear_factor: float
    source: str


BOLT_CLASSES = {
    "8.8": BoltClass("8.8", 580.0, 800.0, 0.6, "ISO 898-1, up to M16; shear EN 1993-1-8 (from memory)"),
    "10.9": BoltClass("10.9", 830.0, 1040.0, 0.5, "ISO 898-1; shear EN 1993-1-8 (from memory)"),
    "A2-70": BoltClass("A2-70", 450.0, 700.0, 0.5, "ISO 3506-1; shear EN 1993-1-8 (from memory)"),
    "A4-70": BoltClass("A4-70", 450.0, 700.0, 0.5, "ISO 3506-1; shear EN 1993-1-8 (from memory)"),
}


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
        hole: diameter of a clearance hole, mm; None for half a millimetre more than the bolt.
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
            if value is not None and not (math.isfinite(value) and value > 0.0):
                raise ValueError(f"the {name.replace('_', ' ')} of a bolt is a size above 0 mm, not {value:g}")

    @property
    def hole_size(self) -> float:
        """Diameter of its hole, mm."""
        return self.hole if self.hole is not None else self.size + 0.5

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
    """Return the stress area of a coarse thread, mm2: pi/4 (d - 0.9382 P)^2 (ISO 898-1)."""
    return math.pi / 4.0 * (size - 0.9382 * COARSE_PITCH[size]) ** 2


def minor_diameter(size: float) -> float:
    """Return the basic minor diameter of the inside thread, mm: d - 1.0825 P (ISO 724)."""
    return size - 1.0825 * COARSE_PITCH[size]


def tapping_drill(size: float) -> float:
    """Return the drill to tap after, mm (ISO 2306: d - P, as drills are sold)."""
    return _DRILLS[size]


def pull_out(size: float, engaged: float, strength: float) -> float:
    """Return the force at which a tapped thread strips, N: 0.6 Rm on 0.75 pi d Le (simplified VDI 2230).

    Args:
        size: of the thread, mm.
        engaged: length of full thread, mm.
        strength: Rm of the tapped metal, MPa; softened if it is near a weld.
    """
    return _SHEAR_OF_TENSILE * strength * _THREAD_SHARE * math.pi * size * engaged


def engagement(size: float, grade: str, strength: float) -> float:
    """Return the length of thread at which the bolt breaks before the thread strips, mm."""
    return BOLT_CLASSES[grade].strength * stress_area(size) / pull_out(size, 1.0, strength)


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


def edge_distances(hole: float) -> tuple[float, float, float]:
    """Return the least distance from hole to edge, and the usual ones ahead of the force and beside it, mm.

    1.2 d0; 2 d0 and 1.5 d0 (EN 1999-1-1, Table 8.2, from memory).
    """
    return 1.2 * hole, 2.0 * hole, 1.5 * hole


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
