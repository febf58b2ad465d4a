"""A drawing over the wire: paths and words, inked by name, so that the page draws it in the colours of its theme."""

from __future__ import annotations

from typing import Literal

from bentwork.sheets.drawing import Drawing, Label, Stroke
from bentwork.web.wire import Wire

__all__ = ["PictureOut", "picture_out"]

Ink = Literal["black", "grey", "white", "none"]


class StrokeOut(Wire):
    """A line or a filled outline; ``d`` is a path of SVG."""

    d: str
    weight: float
    ink: Ink
    fill: Ink
    dash: Literal["full", "dash", "chain", "dot"]
    cap: Literal["butt", "round"]


class LabelOut(Wire):
    """Words anchored at a point; ``size`` in points."""

    x: float
    y: float
    text: str
    size: float
    across: Literal["left", "centre", "right"]
    down: Literal["top", "middle", "bottom"]
    bold: bool
    angle: float


class PictureOut(Wire):
    """A drawing of this size, mm; later strokes lie over earlier ones, and labels over all."""

    width: float
    height: float
    strokes: list[StrokeOut]
    labels: list[LabelOut]


def picture_out(drawing: Drawing) -> PictureOut:
    """Return a drawing as it goes over the wire."""
    return PictureOut(
        width=drawing.width,
        height=drawing.height,
        strokes=[_stroke(item) for item in drawing.items if isinstance(item, Stroke)],
        labels=[_label(item) for item in drawing.items if isinstance(item, Label)],
    )


def _stroke(item: Stroke) -> StrokeOut:
    path = "M" + " ".join(f"{round(x, 2):g},{round(y, 2):g}" for x, y in item.points) + ("Z" if item.closed else "")
    return StrokeOut(d=path, weight=round(item.weight, 3), ink=item.ink, fill=item.fill, dash=item.dash, cap=item.cap)


def _label(item: Label) -> LabelOut:
    x, y = item.at
    across, down = item.anchor
    return LabelOut(
        x=x, y=y, text=item.text, size=item.size, across=across, down=down, bold=item.bold, angle=item.angle
    )
