"""How a piece will come out, and what to set by hand, in the maker's words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from bentwork.units import Ruler

__all__ = ["SETTING_BY_HAND", "TELLING", "advice_words", "gap_words", "set_words", "share_words"]

SETTING_BY_HAND = (
    "Cold, over a long lever, in small goes: the bar springs back. Look at the outside of the bend after each.",
    "A crack, or a flat that opens: stop, it is scrap. Not beside a weld, not on hard bar more often than told.",
    "Stand so that nothing hits you when it slips or breaks.",
)
"""Cautions of setting a bend by hand. Common practice, no source; local rules and a trained eye come first."""

TELLING = 0.2
"""Chances of closed pieces are told too low (docs/theory-fitup.md): below this they tell nothing."""


def advice_words(advice: Literal["carry on", "correct", "start again"]) -> str:
    """Return what to do, in a few words."""
    return {"carry on": "Carry on", "correct": "Set by hand first", "start again": "Start again: a new bar"}[advice]


def gap_words(gap: float, sd: float, chance: float | None, ruler: Ruler, *, closed: bool, short: bool = False) -> str:
    """Return what a piece will miss by, and the chance that it is good where that tells anything.

    Args:
        gap: expected miss, mm.
        sd: one standard deviation of that, mm.
        chance: that it keeps every tolerance; None where nobody knows.
        ruler: how lengths are shown.
        closed: whether its ends meet.
        short: for a phone.
    """
    if short:
        share = "" if chance is None or (closed and chance < TELLING) else f", good {chance:.0%}"
        both = f"{ruler.length(round(gap, 1)).rsplit(' ', 1)[0]} ± {ruler.length(round(sd, 1))}"
        return f"{'gap' if closed else 'off'} {both}{share}"
    what = "gap at the ends" if closed else "off the drawing at worst"
    said = f"{what} {ruler.length(round(gap, 1))} ± {ruler.length(round(sd, 1))}"
    if chance is None or (closed and chance < TELLING):
        return said
    return f"{said}, good in {share_words(chance, closed=closed)}"


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
    """Return a chance that a piece comes good, in words; of a closed piece that it is no less."""
    if closed and chance < TELLING:
        return "more cases than can be told"
    if chance > 0.995:
        return "nearly all cases"
    return f"{'at least ' if closed else ''}{chance:.0%} of cases"
