"""Ends that are made by themselves, in words: what every face says alike. Lengths are in the maker's units."""

from __future__ import annotations

import math

from bentwork.jobs.own_ends import EndStanding
from bentwork.parts.meeting import PlainEnd
from bentwork.parts.stay import FlatEnd
from bentwork.piece.bend import half_turn
from bentwork.stock.section import Round, Tube
from bentwork.units import Ruler, angle

__all__ = ["flat_words", "own_end_brief", "own_end_words", "sawn_words", "turned_words"]

_NONE = 0.05  # degrees
_OPPOSITE = 180.0 - _NONE


def sawn_words(plain: PlainEnd) -> str:
    """Return how a plain end is sawn: ``sawn 30° off square``."""
    if plain.lean < _NONE:
        return "sawn square"
    if plain.across_width > _NONE and plain.across_height > _NONE:
        return f"sawn {angle(plain.across_width)} across its width, {angle(plain.across_height)} across its height"
    return f"sawn {angle(plain.lean)} off square"


def flat_words(flat: FlatEnd, ruler: Ruler) -> str:
    """Return how an end is pressed flat: its length, width and thickness, and what it takes to be round again."""
    return (
        f"pressed flat for {ruler.length(flat.length)}, {ruler.length(flat.width)} wide and "
        f"{ruler.length(flat.thickness)} thick, round again after {ruler.length(flat.runs_out)} more"
    )


def own_end_words(one: EndStanding, ruler: Ruler, line: str) -> str:
    """Return how an end is made: ``sawn 30° off square, its longest point 7.2 mm beyond the middle of the cut, …``.

    Args:
        one: the end, of the piece as it is drawn.
        ruler: how lengths are shown.
        line: along the piece that its ends are turned from, in words.
    """
    section, turn = one.limb.section, half_turn(one.asked.round)
    round_ = isinstance(section, Round | Tube)
    if one.plain is not None:
        skin = math.radians(abs(turn)) * section.depth() / 2.0 if round_ else None
        return (
            f"{sawn_words(one.plain)}, its longest point {ruler.length(one.beyond)} beyond the middle of the cut and "
            f"{turned_words(turn, line, None if skin is None else ruler.length(skin))}"
        )
    told = [] if one.flat is None else [flat_words(one.flat, ruler)]
    made = one.asked.made
    if made.hole is not None:
        told.append(f"hole {ruler.length(made.hole)}, {ruler.length(made.beyond)} from the end")
    told.append(f"its face {turned_words(turn, line, None)}")
    return "; ".join(told)


def own_end_brief(one: EndStanding, ruler: Ruler) -> str:
    """Return the same in a few words: ``A sawn 30° off square``."""
    if one.plain is not None:
        return f"{one.end} {sawn_words(one.plain)}"
    if one.flat is not None:
        return f"{one.end} pressed flat for {ruler.length(one.flat.length)}"
    return f"{one.end} drilled"


def turned_words(turn: float, line: str, skin: str | None) -> str:
    """Return where round the bar something lies: a turn in (-180, 180], the line it is from, its length on the skin."""
    if abs(turn) < _NONE:
        return f"on {line}"
    if abs(turn) > _OPPOSITE:
        return f"opposite {line}"
    way = "clockwise" if turn > 0.0 else "anticlockwise"
    far = angle(abs(turn)) if skin is None else f"{angle(abs(turn))} ({skin} on the skin)"
    return f"{far} {way} from {line}, as you look from A to B"
