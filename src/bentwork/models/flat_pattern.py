"""The flat pattern of a flat bar bent the easy way: what to cut, where to bend, which way, where the trim comes off."""

from __future__ import annotations

from collections.abc import Sequence

from bentwork.models.lines import Chain, Inked, Line, Words
from bentwork.piece.bend_table import BendTable
from bentwork.planning.marks import Mark
from bentwork.stock.section import Flat, Section, Way

__all__ = ["flat_pattern", "has_flat_pattern"]

_SAME_PLANE = 0.05  # degrees: nobody bends flat bar askew by less


def has_flat_pattern(table: BendTable, section: Section, way: Way) -> bool:
    """Tell whether a piece is flat bar with all its bends the easy way, to either face."""
    askew = (abs((direction + 90.0) % 180.0 - 90.0) for direction in table.directions)
    return isinstance(section, Flat) and way == "easy" and bool(table.bends) and max(askew) <= _SAME_PLANE


def flat_pattern(
    table: BendTable, marks: Sequence[Mark], width: float, cut_length: float, trim: float
) -> tuple[Inked, ...]:
    """Return the bar before it is bent, end A at x = 0, seen on the face that is inside the first bend.

    Layers: OUTLINE; BEND-UP and BEND-DOWN, where bends start and end (up is towards you, as the first bend goes);
    MIDDLE, the middle of every bend; TRIM, what is cut off when it is bent; WORDS.

    Args:
        table: the piece.
        marks: of every bend, as the plan has them: they know what test bends have shown.
        width: of the bar, mm.
        cut_length: of the bar, trim included, mm.
        trim: spare length on each end, mm.
    """
    half = width / 2.0

    def across(x: float) -> Line:
        return Line((x, -half), (x, half))

    corners = ((0.0, -half), (cut_length, -half), (cut_length, half), (0.0, half))
    drawn = [Inked("OUTLINE", Chain(corners, closed=True))]
    if trim > 0.0:
        drawn += [Inked("TRIM", across(x)) for x in (trim, cut_length - trim)]
    for mark, bend in zip(marks, table.bends, strict=True):
        up = abs(mark.direction) < 90.0
        layer = "BEND-UP" if up else "BEND-DOWN"
        drawn += [Inked(layer, across(mark.start)), Inked(layer, across(mark.end))]
        drawn.append(Inked("MIDDLE", across(mark.centre)))
        told = f"bend {mark.bend}: {bend.angle:.4g}° {'up' if up else 'down'}, R {bend.radius:.4g} mm"
        drawn.append(Inked("WORDS", Words((mark.start, half + 3.0 + 5.0 * ((mark.bend - 1) % 2)), told)))
    drawn += [Inked("WORDS", Words((x, -half - 6.5), end)) for x, end in ((0.0, "A"), (cut_length - 3.0, "B"))]
    return tuple(drawn)
