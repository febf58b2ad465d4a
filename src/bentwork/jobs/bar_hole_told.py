"""Holes in round bar and tube in words, and what is the matter with them. Lengths are in the maker's units."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from bentwork.carry.holes import left_beside_hole
from bentwork.findings import Finding
from bentwork.jobs.bar_holes import BarHole
from bentwork.jobs.own_end_told import turned_words
from bentwork.piece.bend import half_turn
from bentwork.stock.section import Section
from bentwork.units import Ruler

__all__ = ["about_bar_holes", "bar_hole_words"]

_NEAR = 1.0  # of the bar's thickness: a hole so near to a bend draws out of round (common practice, no source)
_MATTERS = 0.8  # of the bending strength left: from here on it is told


def bar_hole_words(one: BarHole, section: Section, ruler: Ruler, line: str) -> str:
    """Return what is drilled where: ``6.5 mm through both walls, 45 mm from end A of the straight bar, ...``.

    Args:
        one: the hole.
        section: of its bar.
        ruler: how lengths are shown.
        line: along the piece that it is turned from, in words.
    """
    asked = one.asked
    how = "through one wall" if not asked.through else "through both walls" if hasattr(section, "wall") else "through"
    bolt = f" for {asked.thread.name}" if asked.thread is not None else ""
    after = "; drill it AFTER bending" if one.gap < _NEAR * section.depth() else ""
    turn = half_turn(asked.round)
    skin = ruler.length(math.radians(abs(turn)) * section.depth() / 2.0)
    return (
        f"{ruler.length(asked.diameter)}{bolt} {how}, {ruler.tape(one.on_bar)} {ruler.units} from end A of the "
        f"straight bar, {turned_words(turn, line, skin)}{after}"
    )


def about_bar_holes(holes: Sequence[BarHole], section: Section, piece: str) -> Iterator[Finding]:
    """Yield what there is to say of the holes of a piece.

    Args:
        holes: of it.
        section: of its bar.
        piece: its name.
    """
    for one in holes:
        if one.off:
            yield Finding(
                "stop",
                "hole-off-piece",
                f"Hole {one.number} of {piece} does not lie in the bar.",
                "Its middle is {along} from end A as it is drawn: beyond an end, or in what is cut off or pressed flat "
                "there.",
                "Move it in; the hole of a flattened end is told with that end.",
                piece=piece,
                lengths={"along": one.station},
                at=one.at,
            )
        elif one.bend:
            yield Finding(
                "watch",
                "hole-in-bend",
                f"Hole {one.number} of {piece} is in bend {one.bend}, or reaches into it.",
                "Drilled before bending it tears or is drawn long; drilled afterwards the drill runs off the round.",
                "Move it out of the bend; else punch its centre after bending and start with a small drill.",
                piece=piece,
                bend=one.bend,
                at=one.at,
            )
    deepest = max((one for one in holes if not one.off), key=lambda one: one.asked.diameter, default=None)
    if deepest is None:
        return
    left = min(left_beside_hole(section, deepest.asked.diameter)[1:])
    if left < _MATTERS:
        yield Finding(
            "note",
            "hole-weakens-bar",
            f"Beside hole {deepest.number} of {piece} {left:.0%} of the bar's strength in bending are left.",
            "That is its section without the strip that a drill of {hole} takes through both walls; what the frame "
            "carries is reckoned with the whole bar.",
            "Drill where the bar is bent little, and across the way that it is bent.",
            piece=piece,
            lengths={"hole": deepest.asked.diameter},
            at=deepest.at,
        )
