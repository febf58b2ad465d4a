"""The scale along the upper edge of a marking strip: a tape measure printed at 1:1."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bentwork.sheets.drawing import FINE, THIN, Item, Label, Stroke
from bentwork.sheets.lettering import cap_height, text_width
from bentwork.sheets.strip_rows import Row
from bentwork.units import INCH, Ruler

__all__ = ["scale", "scale_height"]

_TYPE = 8.0
_BOLD_TYPE = 9.5


@dataclass(frozen=True, slots=True)
class _Tick:
    """A tick at a station, mm; ``rank`` 0 is the longest; its number is empty where it has none."""

    station: float
    rank: int
    number: str = ""
    bold: bool = False


def _reaches(height: float) -> tuple[float, ...]:
    """Lengths of the ticks by rank, mm: shorter on a strip for thin bar."""
    size = min(1.0, height / 24.0)
    return tuple(reach * size for reach in (5.0, 3.6, 2.8, 2.2, 1.6))


def scale_height(height: float) -> float:
    """Return how much of a strip of this height its scale takes, numbers included, mm."""
    return _reaches(height)[0] + 0.7 + cap_height(_BOLD_TYPE) + 0.5


def scale(row: Row, ruler: Ruler) -> tuple[Item, ...]:
    """Return ticks and numbers of one row; every number is the distance from end A."""
    reaches = _reaches(row.height)
    items: list[Item] = []
    for tick in _inches(row, ruler) if ruler.units == "in" else _millimetres(row):
        x = row.x(tick.station)
        weight = THIN if tick.rank == 0 else FINE
        items.append(Stroke(((x, row.top), (x, row.top + reaches[tick.rank])), weight, cap="butt"))
        if tick.number:
            items += _numbered(row, tick, x, row.top + reaches[0] + 0.7)
    return tuple(items)


def _numbered(row: Row, tick: _Tick, x: float, top: float) -> list[Item]:
    size = _BOLD_TYPE if tick.bold else _TYPE
    half = text_width(tick.number, size, tick.bold) / 2.0 + 0.4
    if tick.station == 0.0:
        return [Label((x + 1.2, top), tick.number, size, ("left", "top"), tick.bold)]
    if x - half < row.box.left or x + half > row.box.right:
        return []
    return [Label((x, top), tick.number, size, ("centre", "top"), tick.bold, halo=True)]


def _millimetres(row: Row) -> list[_Tick]:
    ticks = []
    for n in range(math.ceil(row.start - 1e-9), math.floor(row.stop + 1e-9) + 1):
        if n % 10 == 0:
            ticks.append(_Tick(float(n), 0, str(n), n % 100 == 0))
        else:
            ticks.append(_Tick(float(n), 1 if n % 5 == 0 else 3))
    return ticks


def _inches(row: Row, ruler: Ruler) -> list[_Tick]:
    """Sixteenths, whatever the finest division of the maker's tape: finer ones run together on paper."""
    part = INCH / 16.0
    ticks = []
    for n in range(math.ceil(row.start / part - 1e-9), math.floor(row.stop / part + 1e-9) + 1):
        if n % 16 == 0:
            ticks.append(_Tick(n * part, 0, str(n // 16), True))
        else:
            rank = 1 if n % 8 == 0 else 2 if n % 4 == 0 else 3 if n % 2 == 0 else 4
            ticks.append(_Tick(n * part, rank))
    return ticks
