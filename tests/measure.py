"""Measuring on paper: a page as pixels, and where its lines are. Millimetres from the top left corner of the page."""

from __future__ import annotations

import math
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bentwork.files.typesetting import pages_pdf
from bentwork.sheets.drawing import Drawing, Item, Label, Stroke

__all__ = ["Print", "printed", "shrunk"]

DPI = 600
MM = 25.4 / DPI


@dataclass(frozen=True)
class Print:
    """A page row by row, 0 black to 255 white."""

    grey: NDArray[np.uint8]

    def line_across(self, x: float, top: float, bottom: float, reach: float = 1.5) -> float:
        """x of the one upright line that comes within reach of here between two heights."""
        first = round((x - reach) / MM)
        part = self._dark(round(top / MM), round(bottom / MM), first, round((x + reach) / MM))
        return (first + _middle(part.mean(axis=0), f"upright line near x = {x:.1f}")) * MM

    def line_down(self, y: float, left: float, right: float, reach: float = 1.5) -> float:
        """y of the one level line that comes within reach of here between two x."""
        first = round((y - reach) / MM)
        part = self._dark(first, round((y + reach) / MM), round(left / MM), round(right / MM))
        return (first + _middle(part.mean(axis=1), f"level line near y = {y:.1f}")) * MM

    def _dark(self, top: int, bottom: int, left: int, right: int) -> NDArray[np.float64]:
        return 1.0 - self.grey[top:bottom, left:right] / 255.0


def _middle(profile: NDArray[np.float64], what: str) -> float:
    """Centre of gravity of the only run that is dark, in pixels."""
    black = profile > 0.5 * max(0.4, float(profile.max()))
    starts = np.flatnonzero(np.diff(np.concatenate(([0], black.astype(int)))) == 1)
    assert len(starts) == 1, f"{len(starts)} lines instead of one: {what}"
    start = int(starts[0])
    stop = start + int(np.argmin(np.append(black[start:], False)))
    low, high = max(0, start - 2), min(len(profile), stop + 2)
    weights = profile[low:high]
    return low + 0.5 + float((weights * np.arange(high - low)).sum() / weights.sum())


def printed(page: Drawing, folder: Path) -> Print:
    """Typeset one page and render it as a printer would."""
    pdf = folder / "page.pdf"
    pdf.write_bytes(pages_pdf("page", [page]))
    run = subprocess.run(
        ["pdftoppm", "-r", str(DPI), "-gray", "-f", "1", "-l", "1", str(pdf)], check=True, capture_output=True
    )
    kind, size, depth, pixels = run.stdout.split(b"\n", 3)
    assert (kind, depth) == (b"P5", b"255")
    wide, high = (int(n) for n in size.split())
    assert wide == math.ceil(round(page.width / MM, 3)), "the page is not as wide as its paper"
    assert high == math.ceil(round(page.height / MM, 3)), "the page is not as high as its paper"
    return Print(np.frombuffer(pixels, np.uint8, wide * high).reshape(high, wide))


def shrunk(page: Drawing, across: float, down: float) -> Drawing:
    """The page as a printer makes it that fits it to the paper: smaller about its middle."""
    x0, y0 = page.width / 2.0, page.height / 2.0

    def moved(points: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
        return tuple((x0 + (x - x0) * across, y0 + (y - y0) * down) for x, y in points)

    items: list[Item] = []
    for item in page.items:
        if isinstance(item, Stroke):
            items.append(replace(item, points=moved(item.points)))
        elif isinstance(item, Label):
            items.append(replace(item, at=moved([item.at])[0]))
    return Drawing(page.width, page.height, tuple(items))
