"""What a take-off found, in words: for the terminal and for the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bentwork.takeoff.hole_words import hole_words

if TYPE_CHECKING:
    from bentwork.takeoff.bar import Bar, Solid, TakeOff
    from bentwork.units import Ruler

__all__ = ["remarks", "section_words", "summary"]

_SEVERAL = {"piece": "pieces", "joined": "joined", "curve": "curves", "other": "other"}
_WAYS = {"easy": "bent the easy way", "hard": "bent the hard way", "both": "bent both ways"}


def summary(result: TakeOff) -> str:
    """Return how many of each kind there are."""
    kinds = [solid.kind for solid in result.solids]
    counts = [(kinds.count(kind), kind) for kind in _SEVERAL if kind in kinds]
    return ", ".join(f"{count} {kind if count == 1 else _SEVERAL[kind]}" for count, kind in counts) or "nothing in it"


def section_words(bar: Bar, ruler: Ruler) -> str:
    """Return the section of a bar with its sizes."""
    section = bar.section
    if section is None:
        return "–"
    names = ("diameter", "width", "height", "wall")
    sizes = [size_words(getattr(section, name), ruler) for name in names if hasattr(section, name)]
    return f"{section.kind} {' × '.join(sizes)}"


def size_words(mm: float, ruler: Ruler) -> str:
    """Return a size of a section: in mm with two decimals where it needs them, for a quarter of an inch is 6.35."""
    return f"{round(mm, 2):g} mm" if ruler.units == "mm" else ruler.length(mm)


def remarks(solid: Solid, bar: Bar | None, ruler: Ruler, *, first: bool) -> list[str]:
    """Return what there is to say of a bar of a solid.

    Args:
        solid: with the bar.
        bar: None for a solid that has none.
        ruler: for lengths.
        first: it is the solid's first bar: what is said of the solid is said there.
    """
    said = [solid.reason] if solid.reason and first else []
    if solid.same_as:
        return [*said, f"the same as {solid.same_as}"]
    if solid.mirror_of:
        return [*said, f"mirror image of {solid.mirror_of}"]
    if bar is None:
        return said
    if bar.line.table.closed:
        said.append("closed")
    if bar.way:
        said.append(_WAYS[bar.way])
    for side, end in zip("AB", bar.ends, strict=True):
        if end.cut not in ("square", "seam", "joined"):
            angle = f" {end.angle:.4g}°" if end.angle else ""
            said.append(f"end {side} {end.cut}{angle}")
    for what, some in (
        ("holes", [hole for hole in bar.holes if not hole.slot]),
        ("slots", [hole for hole in bar.holes if hole.slot]),
    ):
        if some:
            said.append(f"{what} at " + "; ".join(hole_words(hole, ruler) for hole in some))
    if bar.cut_into:
        places = [(ruler.length(low), ruler.length(high)) for low, high in bar.cut_into]
        said.append("cut into at " + ", ".join(low if low == high else f"{low} to {high}" for low, high in places))
    return said
