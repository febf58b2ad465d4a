"""Sizes that are taken on a bar, in the maker's words."""

from __future__ import annotations

from typing import Literal

from bentwork.units import Ruler

__all__ = ["HOW", "about_words", "place_words", "size_words"]

SizeKind = Literal["leg", "across", "gap", "offset", "rock", "height"]

HOW: dict[SizeKind, str] = {
    "leg": "along the outside of the bar",
    "across": "straight, to the outside of the bar",
    "gap": "along the bar; with ± where the ends overlap",
    "offset": "end B seen from end A; ± for the other way",
    "rock": "feeler under the corner that stands off a flat table",
    "height": "lay that bend and both its legs flat on a table, so that it turns left from end A to end B; measure "
    "from the table up to the underside; ± where it hangs over the edge, below the table",
}
"""How each is measured. An end is where the spare length is to be cut off."""


def place_words(place: int, bends: int) -> str:
    """Return a place of the bar: an end, or the corner of a bend."""
    return "end A" if place == 0 else "end B" if place > bends else f"corner {place}"


def about_words(kind: SizeKind, about: float, ruler: Ruler) -> str:
    """Return what a size will be about, mm: a height below the table wants an edge that the bar hangs over."""
    rounded = round(about, 1)
    if kind == "height" and rounded < 0.0:
        return f"about {ruler.length(-rounded)} below the table, hanging over its edge: key it in with ±"
    return f"about {ruler.length(rounded)}"


def size_words(kind: SizeKind, start: int | None, end: int | None, way: str | None, bends: int) -> str:
    """Return what is measured: ``across, corner 2 to corner 6``."""
    if kind in ("leg", "across") and start is not None and end is not None:
        return f"{kind}, {place_words(start, bends)} to {place_words(end, bends)}"
    if kind == "height" and start is not None and end is not None:
        return f"height of {place_words(end, bends)} over a table, bend {start} flat on it"
    if kind == "offset":
        return "offset, up the line's side" if way == "up" else "offset, to the side bend 1 turns to"
    return "gap at the ends" if kind == "gap" else "rock on a flat table"
