"""How far a piece may be out and still be good."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["Tolerance"]


@dataclass(frozen=True, slots=True)
class Tolerance:
    """What a piece may be out by. The defaults are common practice, no source: welded one-off frames of 6 to 25 mm bar.

    Args:
        gap: between the ends of a closed piece, along the bar, mm; a weld fills a gap of about a sixth of the bar.
        offset: of one end to the side of the other, mm.
        twist: between the directions of the two ends, degrees; of sections that are not round also about the bar.
        position: of a corner, an end or a fixing from where it is drawn, mm.

    Raises:
        ValueError: one is not above 0.
    """

    gap: float = 2.0
    offset: float = 2.0
    twist: float = 2.0
    position: float = 3.0

    def __post_init__(self) -> None:
        for name in ("gap", "offset", "twist", "position"):
            value = getattr(self, name)
            if not (math.isfinite(value) and value > 0.0):
                raise ValueError(f"the tolerance of {name} is a number above 0, not {value}")
