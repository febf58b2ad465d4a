"""What a thread in soft metal holds, how long it has to be, and how near to an edge a hole may stand.

What is from memory says so; the shear of a thread is the simplified idea of VDI 2230. Bolts of steel: proof stress and
strength read in a public table of ISO 898-1 (usefastener.com); edge distances in a public copy of EN 1993-1-8.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bentwork.fastening.threads import Thread

__all__ = ["BOLT_CLASSES", "LEAST_EDGE", "USUAL_EDGE", "BoltClass", "edge_distances", "engagement", "pull_out"]

LEAST_EDGE = 1.2
"""Least distance from the middle of a hole to any edge, in hole diameters.

EN 1993-1-8, Table 3.3 (read in a public copy: 1.2 d0 for end and edge), and EN 1999-1-1, Table 8.2 (from memory).
"""

USUAL_EDGE = 2.0
"""The usual one ahead of the force; the full bearing strength is counted from there. As above."""

_USUAL_SIDE = 1.5

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
    "8.8": BoltClass("8.8", 580.0, 800.0, 0.6, "ISO 898-1, up to M16 (seen); shear EN 1993-1-8 (from memory)"),
    "10.9": BoltClass("10.9", 830.0, 1040.0, 0.5, "ISO 898-1 (seen); shear EN 1993-1-8 (from memory)"),
    "A2-70": BoltClass("A2-70", 450.0, 700.0, 0.5, "ISO 3506-1; shear EN 1993-1-8 (from memory)"),
    "A4-70": BoltClass("A4-70", 450.0, 700.0, 0.5, "ISO 3506-1; shear EN 1993-1-8 (from memory)"),
}


def pull_out(diameter: float, engaged: float, strength: float) -> float:
    """Return the force at which a tapped thread strips, N: 0.6 Rm on 0.75 pi d Le (simplified VDI 2230).

    Args:
        diameter: of the thread, mm.
        engaged: length of full thread, mm.
        strength: Rm of the tapped metal, MPa; softened if it is near a weld.
    """
    return _SHEAR_OF_TENSILE * strength * _THREAD_SHARE * math.pi * diameter * engaged


def engagement(thread: Thread, grade: str, strength: float) -> float:
    """Return the length of thread at which the bolt breaks before the thread strips, mm.

    Args:
        thread: of the bolt.
        grade: a name in ``BOLT_CLASSES``.
        strength: Rm of the tapped metal, MPa.
    """
    return BOLT_CLASSES[grade].strength * thread.stress_area / pull_out(thread.diameter, 1.0, strength)


def edge_distances(hole: float) -> tuple[float, float, float]:
    """Return the least distance from the middle of a hole to an edge, and the usual ones ahead and beside, mm.

    1.2 d0 (``LEAST_EDGE``); 2 d0 ahead of the force and 1.5 d0 beside it are usual.
    """
    return LEAST_EDGE * hole, USUAL_EDGE * hole, _USUAL_SIDE * hole
