"""Holes drilled into bars in words, and what is the matter with them. Lengths are in the maker's units."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from bentwork.carry.holes import left_beside_hole
from bentwork.findings import Finding
from bentwork.jobs.bar_holes import BarHole
from bentwork.jobs.own_end_told import turned_words
from bentwork.piece.bend import half_turn
from bentwork.stock.section import Round, Section, Tube
from bentwork.units import Ruler

__all__ = ["about_bar_holes", "bar_hole_words"]

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
    after = "; drill it AFTER bending" if one.after else ""
    turn = half_turn(asked.round)
    if isinstance(section, Round | Tube):
        where = turned_words(turn, line, ruler.length(math.radians(abs(turn)) * section.depth() / 2.0))
    else:
        where = f"in from the side {turned_words(turn, line, None) if turn else f'with {line}'}"
        if asked.across:
            where += f", {ruler.length(abs(asked.across))} {'left' if asked.across > 0.0 else 'right'} of its middle"
            where += "" if abs(turn) % 180.0 else ", as you look from A to B"
    return (
        f"{ruler.length(asked.diameter)}{bolt} {how}, {ruler.tape(one.on_bar)} {ruler.units} from end A of the "
        f"straight bar, {where}{after}"
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
        elif one.over_corner:
            yield Finding(
                "watch",
                "hole-over-corner",
                f"Hole {one.number} of {piece} reaches into a rounded corner of the tube.",
                "The drill runs off the round, and a bolt has no level face to pull against.",
                "Move it nearer to the middle of the side, or make it smaller.",
                piece=piece,
                at=one.at,
            )
    shares = [
        (min(left_beside_hole(section, one.asked.diameter, one.along, one.asked.across)[1:]), one)
        for one in holes
        if not one.off
    ]
    left, deepest = min(shares, key=lambda pair: pair[0], default=(1.0, None))
    if deepest is not None and left < _MATTERS:
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
