"""Compiles the search for cuts once, so that nobody waits for it."""

from __future__ import annotations

from bentwork.parts.cutting import BarOnSale, CuttingPlan, Length
from bentwork.parts.cutting_plan import cut_plan

__all__ = ["warm_up"]


def warm_up() -> CuttingPlan | None:
    """Plan a few cuts, which runs the search."""
    return cut_plan([Length("piece", 400.0, 3), Length("other", 300.0, 2)], [BarOnSale(1000.0, 1.0)])
