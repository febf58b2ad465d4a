"""Tube whose wall is so thin that it dents before its metal yields."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bentwork.carry.structure import Structure
from bentwork.findings import Finding
from bentwork.stock.material import Material
from bentwork.stock.section import SquareTube, Tube

__all__ = ["slenderest_wall", "thin_findings"]


def slenderest_wall(section: Tube | SquareTube, material: Material) -> float:
    """Return how many times its wall a tube may be wide (round: its diameter, square: between the corners).

    Up to there the outermost fibre yields first (class 3). Steel 90 e^2 and 42 e, e^2 = 235/f_y E/210000 (EN 1993-1-1,
    Table 5.2; stainless 37 e, EN 1993-1-4); aluminium with welds (18 e/3)^2 and 18 e, e^2 = 250/f_o, of tempers that
    are not T6 15 for 18 (EN 1999-1-1, Table 6.2: classes A and B). All from memory.
    """
    proof, modulus = material.proof_stress.value, material.elastic_modulus.value
    round_ = isinstance(section, Tube)
    if material.group == "aluminium":
        flat = (18.0 if "-T6" in material.name else 15.0) * math.sqrt(250.0 / proof)
        return (flat / 3.0) ** 2 if round_ else flat
    square = 235.0 / proof * modulus / 210000.0
    return 90.0 * square if round_ else (37.0 if material.group == "stainless" else 42.0) * math.sqrt(square)


def thin_findings(structure: Structure) -> Iterator[Finding]:
    """Say of which bars the wall is too thin for what is reckoned; one finding a section and metal."""
    thin: dict[tuple[Tube | SquareTube, Material], list[str]] = {}
    for bar in structure.bars:
        if isinstance(bar.section, Tube | SquareTube) and _wide(bar.section) > slenderest_wall(
            bar.section, bar.material
        ):
            thin.setdefault((bar.section, bar.material), []).append(bar.of)
    for (section, material), names in thin.items():
        pieces = list(dict.fromkeys(names))
        most = slenderest_wall(section, material)
        yield Finding(
            "watch",
            "wall-dents",
            f"{' and '.join(pieces)}: a wall of {{wall}} may dent before the metal gives.",
            f"It is {_wide(section):.0f} times as wide as its wall, and {most:.0f} times is the most for which "
            f"{material.name} bears what is reckoned here; straps, clamps and knocks dent it sooner.",
            "Take a thicker wall: {wanted} at least.",
            piece=pieces[0] if len(pieces) == 1 else None,
            lengths={"wall": section.wall, "wanted": _across(section) / most},
        )


def _across(section: Tube | SquareTube) -> float:
    if isinstance(section, Tube):
        return section.diameter
    return max(section.width, section.height) - 2.0 * max(section.wall, section.corner_radius)


def _wide(section: Tube | SquareTube) -> float:
    return _across(section) / section.wall
