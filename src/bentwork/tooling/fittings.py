"""What a bender's owner may say besides its shape: rollers, V-block, what it is sold for, parts with holes. mm, MPa."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bentwork.stock.material import Material
from bentwork.stock.section import Section

__all__ = ["Block", "Carries", "Part", "Rated", "Rollers"]

Carries = Literal["follower", "hook", "pivot", "die"]
"""Which of the tool's forces goes through a part."""


@dataclass(frozen=True, slots=True)
class Rollers:
    """The two rollers of a ram bender: between their middles, and their radius where the bar touches."""

    span: float
    radius: float


@dataclass(frozen=True, slots=True)
class Block:
    """A V-block: its opening at the shoulders, the punch's radius, and the radius of the shoulders."""

    opening: float
    punch_radius: float = 0.0
    shoulder_radius: float = 0.0


@dataclass(frozen=True, slots=True)
class Rated:
    """The heaviest bar that the tool is sold for."""

    section: Section
    material: Material


@dataclass(frozen=True, slots=True)
class Part:
    """A part with a hole in it that carries one of the tool's forces: a lug, a hook plate, a cast former.

    Args:
        name: what the maker calls it.
        carries: which force goes through its hole.
        width: across the pull.
        thickness: along the pin.
        hole: diameter.
        edge: from the middle of the hole to the edge ahead of the pin.
        strength: tensile strength, MPa.
        proof_stress: MPa; None for cast iron, which breaks without yielding.
        side: from the middle of the hole to the nearer side; None where it is in the middle of the width.
    """

    name: str
    carries: Carries
    width: float
    thickness: float
    hole: float
    edge: float
    strength: float
    proof_stress: float | None = None
    side: float | None = None
