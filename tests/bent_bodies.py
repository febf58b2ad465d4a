"""Bars of every section and pieces of every sort, for whatever makes bodies of them."""

from __future__ import annotations

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.space import Pose
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube

__all__ = ["PIECES", "SECTIONS", "TURNED"]

SECTIONS: tuple[Section, ...] = (
    Round(12),
    Tube(25, 2),
    Square(12, 12),
    Square(20, 10),
    Flat(30, 4),
    SquareTube(25, 25, 2, 4),  # rounder than its wall is thick
    SquareTube(25, 15, 2, 0),  # sharp
    SquareTube(25, 15, 3, 2),  # its inside is sharp
    SquareTube(20, 20, 2, 10),  # so round that it is a tube
    SquareTube(25, 15, 2, 7.5),  # two half rounds
)

TURNED = BendTable((100.0, 60.0, 0.0, 80.0), (Bend(50, 90), Bend(40, 60, 37), Bend(60, 180, -120)))
"""Bends in three planes, two of them with nothing between, and a return."""

_UPTURNED = ((0, 0, 0), (400, 0, 0), (475, 0, 130), (475, 300, 130), (400, 300, 0), (0, 300, 0), (-75, 300, 130))

PIECES: dict[str, Centreline] = {
    "turned": Centreline(TURNED),
    "elsewhere": Centreline(TURNED, Pose((10.0, -700.0, 33.0), (0.6, 0.0, 0.8), (0.8, 0.0, -0.6))),
    "mirrored": Centreline(TURNED).mirrored(0, 20.0),
    "straight": Centreline(BendTable((350.0,))),
    "loop": Corners(((0, 0, 0), (400, 0, 0), (400, 300, 0), (0, 300, 0)), (50.0,) * 4, True).centreline(),
    "upturned": Corners((*_UPTURNED, (-75, 0, 130)), (50.0,) * 8, True).centreline(),
    "seam in a bend's end": Corners(
        ((0, 0, 0), (400, 0, 0), (300, 300, 120), (0, 300, 0)), (50.0,) * 4, True
    ).centreline((1, 0.0)),
}
