"""Crossbars along a straight: where each stands, from their number, their spacing, and what is left at the ends."""

from __future__ import annotations

import math

__all__ = ["spread"]

_SLACK = 1e-6


def spread(
    length: float,
    count: int | None = None,
    spacing: float | None = None,
    first: float | None = None,
    last: float | None = None,
) -> tuple[float, ...]:
    """Return the distances of the middles of the bars from the beginning of a straight, mm.

    With a count alone they divide the straight evenly, its ends counted as bars. With margins too they stand evenly
    between them. With a spacing, as many as are asked for or as have room; without a margin, in the middle. With a
    spacing and both margins, as many as it takes for them to stand no farther apart, evenly.

    Args:
        length: of the straight, mm.
        count: how many; None for as many as have room at the spacing.
        spacing: from middle to middle, mm.
        first: from the beginning of the straight to the middle of the first, mm.
        last: from the middle of the last to the end of the straight, mm.

    Raises:
        ValueError: neither count nor spacing is given, or all four are at odds.
    """
    if count is None and spacing is None:
        raise ValueError("how many bars, or how far apart they stand, has to be said")
    if spacing is not None:
        return _spaced(length, count, spacing, first, last)
    assert count is not None
    if first is None and last is None:
        return tuple(length * k / (count + 1) for k in range(1, count + 1))
    start = first if first is not None else last or 0.0
    end = length - (last if last is not None else start)
    if count == 1:
        return (start if first is not None else end,)
    return tuple(start + (end - start) * k / (count - 1) for k in range(count))


def _spaced(
    length: float, count: int | None, spacing: float, first: float | None, last: float | None
) -> tuple[float, ...]:
    room = length - (first or 0.0) - (last or 0.0)
    if count is None and first is not None and last is not None:
        return spread(length, max(1, math.ceil(room / spacing - _SLACK) + 1), None, first, last)
    if count is None:
        count = max(1, math.floor(room / spacing + _SLACK) + 1)
    taken = spacing * (count - 1)
    if first is not None and last is not None and abs(length - first - last - taken) > 0.5 and count > 1:
        raise ValueError("count, spacing and both margins do not go together")
    if first is not None:
        start = first
    elif last is not None:
        start = length - last - taken
    else:
        start = (length - taken) / 2.0
    return tuple(start + spacing * k for k in range(count))
