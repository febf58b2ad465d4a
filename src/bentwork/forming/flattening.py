"""What a tube does besides bending: it flattens, wrinkles or kinks, and its outside wall gets thinner. Lengths in mm.

**Flattening.** Tension outside and compression inside both press the tube flat, with wall times stress times curvature.
Against that stands the wall's own plastic moment. A free ring gives way by plastic hinges at r^2/(R t) = 0.876, a free
flat flange between two webs at (b/2)^2/(R t) = 1 (plastic collapse of a ring under constant inward load on both halves,
and of a clamped strip; derived here). A groove that holds the sides carries it further: the trade's D/t of 15 to 20 at
three diameters without a mandrel is 1.09 to 1.50, that is 1.2 to 1.7 times the free limit. Free and in the groove the
flattening itself differs 15 to 35 times, so no single figure for it is given.

**Thinning.** If the wall alone pays for the stretch it is t/(1 + e) at the outside; if wall and circumference share it
evenly, as uniform metal in a tensile test does, t/sqrt(1 + e_mid). Measured walls mostly lie between.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bentwork.findings import Finding, Level
from bentwork.forming.prediction import outer_strain
from bentwork.stock.section import Section, SquareTube, Tube, Way

__all__ = ["FREE_LIMIT", "KINKS_ABOVE", "Wall", "crushing", "flattening_findings", "ovality", "wall_after"]

FREE_LIMIT = 1.0 / (math.pi - 2.0)
"""r^2/(R t) at which a free ring collapses: 0.876. See ``crushing``."""

KINKS_ABOVE = 2.5
"""Load over free limit from which no groove is trusted to hold a tube open. Common practice, no source: soft copper
tube of 28 x 0.9 mm, which hand benders just manage at four diameters, is at 2.1."""

_GROOVE_HOLDS = 1.7  # D/t = 20 at 3 diameters


@dataclass(frozen=True, slots=True)
class Wall:
    """A wall after bending, mm.

    Args:
        least: at the outside, if the wall pays for all of the stretch.
        likely: at the outside, if the circumference shares it.
        inside: at the inside, thickened in the same way as ``likely``.
    """

    least: float
    likely: float
    inside: float


def ovality(largest: float, smallest: float, diameter: float) -> float:
    """Return the ovality of a bent tube, a fraction: difference of its diameters over that before bending.

    ASME B31.1, 102.4.5 allows 0.08 for pipe bent to five diameters or more (seen).
    """
    return (largest - smallest) / diameter


def wall_after(section: Tube | SquareTube, way: Way, radius: float) -> Wall:
    """Return the wall of a tube after bending to a centreline radius, mm."""
    outer = outer_strain(section, way, radius)
    middle = outer - section.wall / (2.0 * radius)
    return Wall(
        section.wall / (1.0 + outer), section.wall / math.sqrt(1.0 + middle), section.wall / math.sqrt(1.0 - middle)
    )


def crushing(section: Tube | SquareTube, way: Way, radius: float) -> float:
    """Return how hard a bend presses a tube flat, over what it stands without a groove.

    The ring: with w the inward load per length of wall, constant on either half, statics puts the moments in the wall
    at top and side (pi/2 - 1) w r^2 apart. It collapses where both have become hinges: that is 2 s t^2/4, with
    w = s t/R. The flat flange, clamped by its webs: w b^2/16 = s t^2/4.
    """
    if isinstance(section, Tube):
        middle = (section.diameter - section.wall) / 2.0
        return middle**2 / (radius * section.wall) / FREE_LIMIT
    flange = section.breadth(way) - section.wall
    return (flange / 2.0) ** 2 / (radius * section.wall)


def flattening_findings(section: Section, way: Way, radius: float, bend: int | None = None) -> tuple[Finding, ...]:
    """Return what there is to say of a tube: flattening, and the wall that is left; nothing of solid bar."""
    if not isinstance(section, Tube | SquareTube):
        return ()
    load, depth = crushing(section, way, radius), section.depth(way)
    who, wall = "The tube" if bend is None else f"Bend {bend}", wall_after(section, way, radius)
    found = []
    if load > 1.0:
        level: Level = "stop" if load > KINKS_ABOVE else "watch"
        sides, bends = depth / section.wall, radius / depth
        says = "will kink or wrinkle without filling" if level == "stop" else "may flatten or wrinkle"
        groove = (
            "A close groove holds tube like this open."
            if load <= _GROOVE_HOLDS
            else "That is more than a close groove is known to hold without a mandrel: D/t of 15 to 20 at 3 diameters."
        )
        found.append(
            Finding(
                level,
                "tube-flattens",
                f"{who} {says}.",
                f"{sides:.0f} walls across, bent to {bends:.1f} times its depth: the bend presses it flat {load:.1f} "
                f"times as hard as it stands by itself. {groove}",
                "Use a die and follower whose grooves fit it closely, a thicker wall, or a radius of {free} or more, "
                "at which it stands by itself. Filling helps: dry sand, packed, one end free to vent.",
                bend=bend,
                lengths={"free": radius * load},
            )
        )
    found.append(
        Finding(
            "note",
            "wall-thins",
            f"{who} stretches its outside wall thinner.",
            "From {wall} it goes to between {least} and {likely}; the inside wall thickens to about {inside}.",
            "Count with the thinner where it carries, and keep the weld seam at the side of the bend.",
            bend=bend,
            lengths={"wall": section.wall, "least": wall.least, "likely": wall.likely, "inside": wall.inside},
        )
    )
    return tuple(found)
