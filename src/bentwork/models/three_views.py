"""The three straight views of a bar in line with one another, as lines at full size."""

from __future__ import annotations

from bentwork.models.lines import Inked, Words, bounds, moved
from bentwork.models.seen import seen
from bentwork.piece.centreline import Centreline
from bentwork.stock.section import Section, Way

__all__ = ["GAP", "three_views"]

GAP = 40.0
"""Between two views, mm."""

_X, _Y, _Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def three_views(line: Centreline, section: Section, way: Way = "easy") -> tuple[Inked, ...]:
    """Return a bar from the front, from the right (beside it) and from above (below it), 1:1.

    From the front every point stands at its own x and z. The other two are in line with it: from above x is true,
    from the right z.

    Args:
        line: the piece in space.
        section: of its bar.
        way: of its first bend.
    """
    front, right, above = (seen(line, section, way, across, up) for across, up in ((_X, _Z), (_Y, _Z), (_X, _Y)))
    left, bottom, end, _ = bounds(front)
    beside = end + GAP - bounds(right)[0]
    below = bottom - GAP - bounds(above)[3]
    drawn = [*front, *(moved(one, beside, 0.0) for one in right), *(moved(one, 0.0, below) for one in above)]
    under = ((left, bottom), (end + GAP, bottom), (left, below + bounds(above)[1]))
    named = zip(under, ("from the front", "from the right", "from above"), strict=True)
    return (*drawn, *(Inked("WORDS", Words((x, y - 8.0), name)) for (x, y), name in named))
