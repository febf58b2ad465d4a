"""The frame as it stands, drawn as large as its field allows, and where any place of it is on the paper."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.sheets.bar_view import Bar, draw_bars
from bentwork.sheets.drawing import Drawing, Point
from bentwork.sheets.projection import CORNER
from bentwork.space import Vec

__all__ = ["FrameView", "frame_view"]


@dataclass(frozen=True, slots=True)
class FrameView:
    """A picture of the frame.

    Args:
        drawing: the bars, in the middle of their field.
        scale: drawn over real size.
        shift: where the origin of the frame lies on the field, mm.
    """

    drawing: Drawing
    scale: float
    shift: tuple[float, float]

    def place(self, at: Vec) -> Point:
        """Return where a place of the frame is on the field, mm."""
        x, y, _ = CORNER.flat(np.array([at]))[0] * self.scale
        return (float(x) + self.shift[0], float(y) + self.shift[1])


def frame_view(
    bars: Callable[[float], list[Bar]], width: float, height: float, beside: Sequence[Vec] = ()
) -> FrameView:
    """Return bars as they stand together, seen from the corner, in a field of this size, mm.

    Args:
        bars: makes them within a chord error, mm.
        width: of the field.
        height: of the field.
        beside: other places that shall be on the field too.
    """
    rough = bars(1.0)
    cloud = CORNER.flat(np.concatenate([*(bar.points for bar in rough), np.array(beside).reshape(-1, 3)]))
    widest = max(bar.width for bar in rough)
    span = (float(np.ptp(cloud[:, 0])) + widest, float(np.ptp(cloud[:, 1])) + widest)
    scale = min((width - 8.0) / span[0], (height - 8.0) / span[1], 1.0)
    shift = (
        width / 2 - float(cloud[:, 0].max() + cloud[:, 0].min()) / 2 * scale,
        height / 2 - float(cloud[:, 1].max() + cloud[:, 1].min()) / 2 * scale,
    )
    items = draw_bars(bars(0.1 / scale), CORNER, scale)
    drawing = Drawing(width, height, Drawing(width, height, tuple(items)).moved(*shift))
    return FrameView(drawing, scale, shift)
