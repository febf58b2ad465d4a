"""A tab as the job asks for it."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.fastening.threads import Thread
from bentwork.parts.tab import Plan
from bentwork.space import Vec
from bentwork.stock.material import Material

__all__ = ["TabAsked"]


@dataclass(frozen=True, slots=True)
class TabAsked:
    """Tabs of one name: one for each place.

    Args:
        name: what the job calls them.
        piece: name of the piece or copy that they stand on; the nearest copy of a piece.
        holes: the middle of the hole of each, mm.
        axis: direction of the bolt.
        plan: sizes.
        material: what they are made of.
        thread: that is cut into it, or that goes through it; None for a plain hole.
        tapped: the thread is cut into the tab.
        grade: class of the bolt.
        runs: the way they run from the bar to the hole; None for square off the bar.
        welded: they are welded on, which softens some metals.
        fixings: names of the fixings that they are for, one for each hole; empty where they are asked for by place.
        stock: name of the flat bar that they are cut from; empty where their sizes are given.
    """

    name: str
    piece: str
    holes: tuple[Vec, ...]
    axis: Vec
    plan: Plan
    material: Material
    thread: Thread | None = None
    tapped: bool = False
    grade: str = "8.8"
    runs: Vec | None = None
    welded: bool = True
    fixings: tuple[str, ...] = ()
    stock: str = ""
