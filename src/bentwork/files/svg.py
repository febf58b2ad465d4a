"""A drawing as SVG at its true size: a millimetre of the drawing is a millimetre of the file (SVG 1.1, chapter 7)."""

from __future__ import annotations

import math
from xml.sax.saxutils import escape

from bentwork.sheets.drawing import Drawing, Item, Label

__all__ = ["svg_bytes"]

_INKS = {"black": "#000", "grey": "#999", "white": "#fff", "none": "none"}
_DASHES = {"dash": "3 1.5", "chain": "6 1.5 1 1.5", "dot": "0.5 1.5"}
_POINT = 25.4 / 72.0  # mm in a printer's point
_ANCHORS = {"left": "start", "centre": "middle", "right": "end"}
_RISE = {"top": 0.72, "middle": 0.36, "bottom": 0.0}  # of the height of type: capitals are 0.72 high in most faces


def svg_bytes(drawing: Drawing, title: str) -> bytes:
    """Return a drawing as an SVG file."""
    width, height = (f"{size:g}" for size in (drawing.width, drawing.height))
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}">',
        f"<title>{_text(title)}</title>",
        *(_item(item) for item in drawing.items),
        "</svg>",
    ]
    return ("\n".join(lines) + "\n").encode("utf-8")


def _item(item: Item) -> str:
    if isinstance(item, Label):
        return _label(item)
    path = "M" + " ".join(f"{x:.3f},{y:.3f}" for x, y in item.points) + ("Z" if item.closed else "")
    inked = item.weight > 0.0 and item.ink != "none"
    stroke = f'stroke="{_INKS[item.ink]}" stroke-width="{item.weight:g}"' if inked else 'stroke="none"'
    cap = f' stroke-linecap="{item.cap}" stroke-linejoin="round"' if inked else ""
    dash = f' stroke-dasharray="{_DASHES[item.dash]}"' if item.dash != "full" else ""
    return f'<path d="{path}" fill="{_INKS[item.fill]}" {stroke}{cap}{dash}/>'


def _label(label: Label) -> str:
    size = label.size * _POINT
    x, y = label.at
    drop = size * _RISE[label.anchor[1]]
    turn = math.radians(label.angle)
    x, y = x - drop * math.sin(turn), y + drop * math.cos(turn)
    parts = [f'x="{x:.3f}" y="{y:.3f}"', f'font-family="sans-serif" font-size="{size:.3f}"']
    parts.append(f'text-anchor="{_ANCHORS[label.anchor[0]]}"')
    if label.bold:
        parts.append('font-weight="bold"')
    if label.angle:
        parts.append(f'transform="rotate({label.angle:g} {x:.3f} {y:.3f})"')
    if label.halo:
        parts.append('stroke="#fff" stroke-width="0.8" paint-order="stroke"')
    return f"<text {' '.join(parts)}>{_text(label.text)}</text>"


def _text(words: str) -> str:
    """Escaped, and without the control characters that XML knows no way to write."""
    return escape("".join(c if c.isprintable() else " " for c in words))
