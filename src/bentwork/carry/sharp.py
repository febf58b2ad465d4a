"""Square tube that is drawn with sharp corners: the real one is rounded, and bears less."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bentwork.carry.structure import Structure
from bentwork.findings import Finding
from bentwork.stock.section import SquareTube
from bentwork.stock.shape import Way

__all__ = ["ROUNDED", "sharp_findings"]

ROUNDED = 2.0
"""Outside radius of the corners of cold formed tube up to 6 mm thick, times the wall, with which EN 10219-2 reckons its
own table of sections (from memory)."""
_WAYS: tuple[Way, ...] = ("easy", "hard")


def sharp_findings(structure: Structure) -> Iterator[Finding]:
    """Say by how much a steel tube with corners sharper than its wall is reckoned too strong; one finding a tube.

    Aluminium is pressed through a die and may really be sharp.
    """
    sharp: dict[SquareTube, list[str]] = {}
    for bar in structure.bars:
        tube = bar.section
        steel = bar.material.group in ("steel", "stainless")
        if steel and isinstance(tube, SquareTube) and tube.corner_radius < tube.wall:
            sharp.setdefault(tube, []).append(bar.of)
    for tube, names in sharp.items():
        radius = min(ROUNDED * tube.wall, min(tube.width, tube.height) / 2.0)
        rounded = replace(tube, corner_radius=radius)
        less = max(1.0 - rounded.bending(way).section_modulus / tube.bending(way).section_modulus for way in _WAYS)
        several = len(set(names)) > 1
        yield Finding(
            "watch",
            "corners-sharp",
            f"{' and '.join(dict.fromkeys(names))}: square tube with sharp corners.",
            f"Steel tube is rounded; with {{radius}} outside, twice the wall, {'each' if several else 'it'} bears "
            f"{less:.0%} less in bending than is reckoned here.",
            "Measure a corner with a radius gauge or on graph paper and write it down as corner_radius.",
            piece=None if several else names[0],
            lengths={"radius": radius},
        )
