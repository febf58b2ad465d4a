"""Flat bar laid out flat: how much less of it tight bends take than they are drawn, and where the marks go for that.

The line that keeps its length lies nearer to the inside of a tight bend than the middle, so that a drawing to the
middle counts too much bar (``forming.flat``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bentwork.bending.known import Known
from bentwork.forming.flat import FlatBend, k_factor
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.planning.marks import Mark, as_learnt
from bentwork.stock.material import Material
from bentwork.stock.section import Flat

__all__ = ["developed", "folds", "laid_out", "takes_less"]


def folds(bends: Sequence[Bend], flat: Flat, material: Material) -> tuple[FlatBend, ...]:
    """Return the bends of a piece of flat bar the easy way, with the neutral line of the handbook tables.

    Args:
        bends: with radii to the middle of the thickness.
        flat: the bar.
        material: of the bar.
    """
    k = k_factor(material)
    half = flat.height / 2.0
    return tuple(FlatBend(flat.height, max(0.0, bend.radius - half), bend.angle, k) for bend in bends)


def takes_less(bends: Sequence[Bend], flat: Flat, material: Material) -> tuple[float, ...]:
    """Return by how much less bar each bend takes than its middle is long, mm."""
    return tuple(fold.shortening for fold in folds(bends, flat, material))


def developed(marks: Sequence[Mark], less: Sequence[float]) -> tuple[tuple[Mark, ...], float]:
    """Return the marks on the flat where the bends take less bar than is drawn.

    Args:
        marks: as drawn.
        less: of each bend, mm.

    Returns:
        The marks, and how much more bar the bends take in all than is drawn, mm; less is below 0.
    """
    found: list[Mark] = []
    moved = 0.0
    for mark, short in zip(marks, less, strict=True):
        start = mark.start + moved
        moved -= short
        found.append(replace(mark, start=start, end=mark.end + moved, moved=moved))
    return tuple(found), moved


def laid_out(
    marks: Sequence[Mark], table: BendTable, flat: Flat, material: Material, what: Known | None
) -> tuple[tuple[Mark, ...], float]:
    """Return the marks where test bends have shown that they must go, else where the handbook's neutral line puts them.

    Args:
        marks: as drawn.
        table: the piece.
        flat: the bar, bent the easy way.
        material: of the bar.
        what: is known of the bar on its bender; None without one.

    Returns:
        The marks, and how much more bar the bends take in all than is drawn, mm; less is below 0.
    """
    if what is not None and all(what.shift(bend.angle) is not None for bend in table.bends):
        return as_learnt(marks, table, what)
    return developed(marks, takes_less(table.bends, flat, material))
