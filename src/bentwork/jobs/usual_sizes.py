"""Usual sizes of bar, tube and flat, and usual metals, in mm and in inches (common practice, no source)."""

from __future__ import annotations

from collections.abc import Mapping

from bentwork.amounts import Units
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.units import INCH

__all__ = ["MATERIALS", "usual_sections"]

MATERIALS: Mapping[Units, tuple[str, ...]] = {
    "mm": ("6060-T66", "6082-T4", "6082-T6", "S235", "S355", "304"),
    "in": ("6061-T4", "6061-T6", "6063-T6", "A36", "A500-B", "1020-DOM", "304"),
}
"""Metals that are tried: usual ones that a frame may be welded from."""

_Sizes = tuple[float, ...]
_RANGE = (0.6, 1.7)  # of the size that it has now


def _inches(*sizes: float) -> _Sizes:
    return tuple(size * INCH for size in sizes)


_ROUNDS: Mapping[Units, _Sizes] = {
    "mm": (6.0, 8.0, 10.0, 12.0, 14.0, 15.0, 16.0, 18.0, 20.0, 25.0, 30.0),
    "in": _inches(1 / 4, 5 / 16, 3 / 8, 1 / 2, 5 / 8, 3 / 4, 7 / 8, 1.0, 1.25),
}
_TUBES: Mapping[Units, tuple[_Sizes, _Sizes]] = {
    "mm": ((10.0, 12.0, 14.0, 15.0, 16.0, 18.0, 20.0, 22.0, 25.0, 30.0, 35.0, 40.0, 50.0), (1.0, 1.5, 2.0)),
    "in": (_inches(3 / 8, 1 / 2, 5 / 8, 3 / 4, 7 / 8, 1.0, 1.25, 1.5, 2.0), _inches(0.049, 0.065, 0.083)),
}
_SQUARES: Mapping[Units, tuple[_Sizes, _Sizes]] = {
    "mm": ((10.0, 12.0, 15.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0), (1.5, 2.0)),
    "in": (_inches(3 / 8, 1 / 2, 5 / 8, 3 / 4, 1.0, 1.25, 1.5, 2.0), _inches(0.065, 0.083, 0.12)),
}
_FLATS: Mapping[Units, tuple[_Sizes, _Sizes]] = {
    "mm": ((20.0, 25.0, 30.0, 40.0), (3.0, 4.0, 5.0, 6.0)),
    "in": (_inches(3 / 4, 1.0, 1.25, 1.5, 2.0), _inches(1 / 8, 3 / 16, 1 / 4)),
}


def usual_sections(section: Section, units: Units = "mm") -> tuple[Section, ...]:
    """Return sections of about this size as they are usually sold, the one itself among them.

    Args:
        section: that there is.
        units: in which sizes are asked for over the counter.
    """
    low, high = (share * max(section.depth("easy"), section.depth("hard")) for share in _RANGE)

    def near(sizes: _Sizes) -> list[float]:
        return [size for size in sizes if low <= size <= high]

    found: list[Section]
    if isinstance(section, Flat):
        widths, heights = _FLATS[units]
        found = [Flat(w, h) for w in near(widths) for h in heights]
    elif isinstance(section, Square | SquareTube):
        sizes, walls = _SQUARES[units]
        found = [Square(d, d) for d in near(sizes)]
        found += [SquareTube(d, d, wall) for d in near(sizes) for wall in walls]
    else:
        sizes, walls = _TUBES[units]
        found = [Round(d) for d in near(_ROUNDS[units])]
        found += [Tube(d, wall) for d in near(sizes) for wall in walls]
    return tuple(found if section in found else [section, *found])
