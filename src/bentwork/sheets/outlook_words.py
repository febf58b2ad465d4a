"""How a piece will come out, and what to set by hand, in the maker's words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from bentwork.units import Ruler

__all__ = [
    "AT_MOST_WHY",
    "SETTING_BY_HAND",
    "Why",
    "advice_words",
    "gap_words",
    "moved_words",
    "set_words",
    "share_words",
]

SETTING_BY_HAND = (
    "Cold, over a long lever, in small goes: the bar springs back. Look at the outside of the bend after each.",
    "A crack, or a flat that opens: stop, it is scrap. Not beside a weld, not on hard bar more often than told.",
    "Stand so that nothing hits you when it slips or breaks.",
)
"""Cautions of setting a bend by hand. Common practice, no source; local rules and a trained eye come first."""

AT_MOST_WHY = "the most to hope for: it is that of made-up makers, whose bars never crack and turn as evenly as told"
"""Why the chance of a closed piece is told as a most; the makers are those of docs/performance.md."""

Why = Literal["angle", "rotation", "place", "drawn in", "begins", "bends"]
"""What moves a mark, see ``moved_words``."""


def moved_words(by: float, why: Why, of: int, off: float, ruler: Ruler) -> str:
    """Return by how much a mark has moved from where the sheet has it, and why.

    Args:
        by: mm; above 0 towards end B.
        why: what moved it most: angle, rotation or place of a bend that is made, the bar that it drew in, where all
            bends begin behind their marks, or several bends together.
        of: number of that bend; 0 where it is no single one.
        off: by how much it is out, degrees or mm.
        ruler: how lengths are shown.
    """
    later = f"{ruler.tape(abs(by))} {'later' if by > 0.0 else 'earlier'} than the sheet"
    if why == "angle":
        return f"{later}: bend {of} came out {abs(off):.1f}° too {'far' if off > 0.0 else 'little'}"
    if why == "rotation":
        return f"{later}: bend {of} is turned {abs(off):.1f}° too {'far' if off > 0.0 else 'little'}"
    if why == "place":
        return f"{later}: bend {of} sits {ruler.tape(abs(off))} too {'late' if off > 0.0 else 'early'}"
    if why == "drawn in":
        return f"{later}: bend {of} drew in {'more' if off > 0.0 else 'less'}"
    if why == "begins":
        return f"{later}: bends come {ruler.tape(abs(off))} too {'late' if off > 0.0 else 'early'} on this bar"
    return f"{later}: to make up for the bends so far"


def advice_words(advice: Literal["carry on", "correct", "start again"]) -> str:
    """Return what to do, in a few words."""
    return {"carry on": "Carry on", "correct": "Set by hand first", "start again": "Start again: a new bar"}[advice]


def gap_words(
    gap: float,
    sd: float,
    chance: float | None,
    ruler: Ruler,
    *,
    closed: bool,
    fails: str | None = None,
    short: bool = False,
) -> str:
    """Return what a piece will miss by, and the chance that it is good where that tells anything.

    Where it is likely enough to fail, what fails is named: a small gap says nothing of corners.

    Args:
        gap: expected miss, mm.
        sd: one standard deviation of that, mm.
        chance: that it keeps every tolerance; None where nobody knows.
        ruler: how lengths are shown.
        closed: whether its ends meet.
        fails: what fails most, see ``bench.Outlook``.
        short: for a phone.
    """
    named = chance is not None and chance < _LIKELY and fails is not None
    what_fails = _FAILS.get(fails or "", fails) if named else ""
    if short:
        share = "" if chance is None else f", good {_at_most(closed)}{chance:.0%}"
        share += f", else {what_fails} is out" if named else ""
        both = f"{ruler.length(round(gap, 1)).rsplit(' ', 1)[0]} ± {ruler.length(round(sd, 1))}"
        return f"{'gap' if closed else 'off'} {both}{share}"
    what = "gap at the ends" if closed else "off the drawing at worst"
    said = f"{what} {ruler.length(round(gap, 1))} ± {ruler.length(round(sd, 1))}"
    if chance is None:
        return said
    why = f"; else it is mostly {what_fails} that is too far out" if named else ""
    return f"{said}, good in {share_words(chance, closed=closed)}{why}"


_LIKELY = 0.9  # of a chance: below it what fails is named
_FAILS = {"gap": "the gap", "offset": "the offset of the ends", "twist": "the angle between the ends"}


def set_words(sets: Sequence[tuple[int, float]], wrings: Sequence[tuple[int, float]] = ()) -> tuple[str, ...]:
    """Return what to set by hand: which bend or straight, which way, by how many degrees.

    Which way a straight is wrung is told as seen along the bar from end A: what lies behind it turns so.
    """
    return (
        *(f"{'Close' if by > 0.0 else 'Open'} bend {bend} by {abs(by):.1f}°" for bend, by in sets),
        *(
            f"Wring bend {bend} {'clockwise' if by > 0.0 else 'anticlockwise'} by {abs(by):.1f}°, seen from end A"
            for bend, by in wrings
        ),
    )


def share_words(chance: float, *, closed: bool) -> str:
    """Return a chance that a piece comes good, in words.

    Of a closed piece it is told as the most that may be hoped for: see ``AT_MOST_WHY``.

    Args:
        chance: that it keeps every tolerance.
        closed: whether its ends meet.
    """
    if chance > 0.995:
        return f"nearly all cases{', at most' if closed else ''}"
    return f"{_at_most(closed)}{chance:.0%} of cases"


def _at_most(closed: bool) -> str:
    return "at most " if closed else ""
