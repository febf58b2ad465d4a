"""Equal tabs drilled together: how many at once, by the length of the flutes and by how true a drill runs."""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass

__all__ = ["Gang", "flute_length", "gang"]

# Jobber drills: up to this diameter, mm, the flutes are so long, mm. DIN 338, as ISO 235: from 2.12 on read in a public
# program's table of that standard; drills of 1, 3.2, 4.5, 6.5 to 12, 14 and 16 as dealers sell them have the same
# working lengths; 1.9 and below, but for 1, from memory.
_FLUTES = (
    (0.95, 11.0), (1.06, 12.0), (1.18, 14.0), (1.32, 16.0), (1.5, 18.0), (1.7, 20.0), (1.9, 22.0), (2.12, 24.0),
    (2.36, 27.0), (2.65, 30.0), (3.0, 33.0), (3.35, 36.0), (3.75, 39.0), (4.25, 43.0), (4.75, 47.0), (5.3, 52.0),
    (6.0, 57.0), (6.7, 63.0), (7.5, 69.0), (8.5, 75.0), (9.5, 81.0), (10.6, 87.0), (11.8, 94.0), (13.2, 101.0),
    (14.0, 108.0), (15.0, 114.0), (16.0, 120.0), (17.0, 125.0), (18.0, 130.0), (19.0, 135.0), (20.0, 140.0),
)  # fmt: skip

TRUE_DEPTH = 5.0
"""A twist drill is held to run true for so many diameters (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Gang:
    """Equal tabs clamped together under one drill.

    Args:
        count: how many tabs there are.
        together: how many go under the drill at once.
        drill: diameter, mm.
        flutes: length of its flutes, mm.
        thickness: of all that go together, mm.
        limit: what sets how many: the flutes, or how true the drill runs; empty where all go together.
    """

    count: int
    together: int
    drill: float
    flutes: float
    thickness: float
    limit: str

    @property
    def clampings(self) -> int:
        """How many times they are clamped."""
        return math.ceil(self.count / self.together)


def flute_length(diameter: float) -> float:
    """Return the length of the flutes of a jobber drill, mm; of the longest that is known for a larger one."""
    place = bisect_left(_FLUTES, (diameter - 1e-9,))
    return _FLUTES[min(place, len(_FLUTES) - 1)][1]


def gang(count: int, thickness: float, drill: float) -> Gang:
    """Return how equal tabs are drilled together.

    The flutes must reach one diameter beyond the stack, so that the point comes through and chips find a way out.

    Args:
        count: how many tabs.
        thickness: of one, mm.
        drill: diameter, mm.
    """
    flutes = flute_length(drill)
    by_flutes = max(1, math.floor((flutes - drill) / thickness + 1e-9))
    by_truth = max(1, math.floor(TRUE_DEPTH * drill / thickness + 1e-9))
    together = min(count, by_flutes, by_truth)
    limit = ""
    if together < count:
        limit = "flutes" if by_flutes <= by_truth else "true"
    return Gang(count, together, drill, flutes, together * thickness, limit)
