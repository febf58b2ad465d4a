"""A cope unrolled: its curves and lines as they lie on a template that is wrapped round the bar."""

from __future__ import annotations

from collections.abc import Callable

from bentwork.parts.cope import Cope
from bentwork.parts.outline import Point

__all__ = ["across", "lines_along", "seam_of", "unrolled"]


def seam_of(cope: Cope) -> float:
    """Return the place at which a template wrapped round a bar begins and ends, mm: line 0, or opposite.

    It lies where the template is shorter, so that the tongue is of one piece.
    """
    back = 0.5 * cope.around
    return back if cope.outer(back) > cope.outer(0.0) + 1e-9 else 0.0


def across(cope: Cope, place: float) -> float:
    """Return where a place lies on the template, mm from its left edge, the printed side out."""
    found = (place - seam_of(cope)) % cope.around
    return 0.0 if cope.around - found < 1e-9 else found


def lines_along(cope: Cope) -> tuple[float, ...]:
    """Return places of lines along the bar, mm: every 90 degrees of a round one, else line 0 and the corners."""
    return tuple(cope.place_at(turn) for turn in (0, 90, 180, 270)) if cope.bar.is_round else (0.0, *cope.folds)


def unrolled(cope: Cope, of: Callable[[float], float]) -> tuple[Point, ...]:
    """Return one of its curves as it lies on the template, all round: (mm from the left edge, length).

    Args:
        cope: the shape.
        of: one of its curves: ``outer``, ``inner``, ``sawn``.
    """
    seam = seam_of(cope)
    inside = sorted(((place - seam) % cope.around, of(place)) for place in cope.places)
    end = of(seam)
    return ((0.0, end), *(one for one in inside if 0.0 < one[0] < cope.around - 1e-9), (cope.around, end))
