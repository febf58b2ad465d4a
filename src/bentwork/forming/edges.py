"""A part of the bender with a hole in it, in the path of the force: a pivot lug, a hook plate, a cast former.

Pulled by a pin in its hole, such a part tears through to the edge ahead of the pin, or breaks beside the hole. Cast
iron does not yield: the peak of stress beside the hole breaks it, so it is judged by the peak. Lengths in mm, forces
in N, stresses in MPa.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bentwork.amounts import Load
from bentwork.fastening.holding import LEAST_EDGE, USUAL_EDGE
from bentwork.findings import Finding

__all__ = ["Lug", "lug_findings"]

_SHEAR = 0.6  # shear over tensile strength, near 1/sqrt(3)
_WORKING = 2.0 / 3.0  # of what breaks or yields: above it, a watch


@dataclass(frozen=True, slots=True)
class Lug:
    """A plate with a hole, pulled by a pin.

    Args:
        name: what the maker calls it.
        width: across the pull, mm.
        thickness: mm.
        hole: diameter, mm.
        edge: from the middle of the hole to the edge ahead of the pin, mm.
        side: from the middle of the hole to the nearer side, mm; None: it is in the middle of the width.
        strength: tensile strength, MPa.
        proof_stress: MPa; None for cast iron and other metal that breaks without yielding.

    Raises:
        ValueError: a size or a strength makes no sense, or the hole does not lie in the plate.
    """

    name: str
    width: float
    thickness: float
    hole: float
    edge: float
    strength: float
    proof_stress: float | None = None
    side: float | None = None

    def __post_init__(self) -> None:
        sizes = (self.width, self.thickness, self.hole, self.edge, self.strength)
        if not all(math.isfinite(size) and size > 0.0 for size in sizes):
            raise ValueError(f"the sizes and the strength of {self.name} are above 0")
        if not (self.hole < self.width and self.edge > self.hole / 2.0 and self.nearest > self.hole / 2.0):
            raise ValueError(f"the hole in {self.name} does not lie in the plate")

    @property
    def nearest(self) -> float:
        """From the middle of the hole to the nearer side, mm."""
        return self.width / 2.0 if self.side is None else self.side

    @property
    def net_area(self) -> float:
        """Metal beside the hole, mm2; a hole that is off the middle counts as if both sides were the nearer one."""
        return (2.0 * self.nearest - self.hole) * self.thickness

    @property
    def peak_factor(self) -> float:
        """Greatest stress beside the hole over the mean: 2 + (1 - d/w)^3 (Heywood; Peterson's charts; from memory)."""
        return 2.0 + (1.0 - self.hole / (2.0 * self.nearest)) ** 3

    @property
    def breaks_at(self) -> float:
        """Force at which the metal beside the hole yields, or breaks where it cannot yield, N."""
        if self.proof_stress is None:
            return self.strength * self.net_area / self.peak_factor
        return self.proof_stress * self.net_area

    @property
    def tears_at(self) -> float:
        """Force at which the pin tears through to the edge along two shear planes, N."""
        return 2.0 * (self.edge - self.hole / 2.0) * self.thickness * _SHEAR * self.strength


def lug_findings(lug: Lug, force: float) -> tuple[Finding, ...]:
    """Return what is wrong with a part that carries a force through its hole: edges, and what is left beside the hole.

    Args:
        lug: the part.
        force: through the pin, N.
    """
    found = []
    nearest = min(lug.edge, lug.nearest)
    if nearest < LEAST_EDGE * lug.hole or lug.edge < USUAL_EDGE * lug.hole:
        close = nearest < LEAST_EDGE * lug.hole
        brittle = close and lug.proof_stress is None
        found.append(
            Finding(
                "stop" if brittle else "watch",
                "hole-near-edge",
                f"The hole in {lug.name} is close to an edge.",
                f"Its middle is {{edge}} from the edge ahead of the pin and {{side}} from the side: "
                f"{lug.edge / lug.hole:.1f} and {lug.nearest / lug.hole:.1f} hole diameters. No edge should be nearer "
                f"than {LEAST_EDGE}, and {USUAL_EDGE:g} are usual ahead of the pin.",
                "Make the part longer or wider there, or use a smaller pin of better steel.",
                lengths={"edge": lug.edge, "side": lug.nearest},
            )
        )
    ways = (("tears through to the edge", lug.tears_at), (_beside(lug), lug.breaks_at))
    how, holds = min(ways, key=lambda way: way[1])
    if force > _WORKING * holds:
        found.append(
            Finding(
                "stop" if force > holds else "watch",
                "part-too-weak",
                f"{lug.name[:1].upper()}{lug.name[1:]} {'is too weak' if force > holds else 'has little to spare'}.",
                f"The pin pulls with {{force}}; at {{holds}} it {how}.",
                "Make it thicker or wider at the hole, of steel plate instead of a casting, or bend a lighter bar.",
                loads={"force": Load("force", force), "holds": Load("force", holds)},
            )
        )
    return tuple(found)


def _beside(lug: Lug) -> str:
    return "breaks beside the hole, without warning" if lug.proof_stress is None else "yields beside the hole"
