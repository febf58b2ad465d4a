"""Builders with defaults: what a test does not care about, it does not say."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Literal

from bentwork.bending.known import known
from bentwork.bending.set_up import SetUp
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.planning.marks import marks_for
from bentwork.planning.steps import as_drawn
from bentwork.sheets.subject import Subject
from bentwork.space import HOME, Pose, Vec
from bentwork.stock.bar import Stock
from bentwork.stock.entry import material_from_mapping
from bentwork.stock.material import Material
from bentwork.stock.section import Flat, Round, Section, Tube
from bentwork.tooling.bender import Bender, Kind
from bentwork.units import INCH, Ruler

__all__ = [
    "PAPER_EXAMPLES",
    "a_bender",
    "a_flat",
    "a_placed_subject",
    "a_round",
    "a_steel",
    "a_subject",
    "a_tube",
    "paper_subject",
]


def a_steel() -> Material:
    return material_from_mapping(
        "S235",
        {"elastic_modulus": 210000, "proof_stress": 235, "tensile_strength": 360, "elongation": 26, "density": 7850},
    )


def a_round(diameter: float = 12.0) -> Stock:
    return Stock("rod", Round(diameter), a_steel(), 3000.0)


def a_tube(diameter: float = 25.0, wall: float = 1.5) -> Stock:
    return Stock("tube", Tube(diameter, wall), a_steel(), 6000.0)


def a_flat(width: float = 25.0, height: float = 3.0) -> Stock:
    return Stock("strap", Flat(width, height), a_steel(), 3000.0)


def a_bender(radius: float = 50.0, kind: Kind = "wrap", springback: float | None = 93.1 / 90.0) -> Bender:
    return Bender("lever", kind, radius, springback=springback)


def a_subject(
    points: Sequence[Vec],
    radius: float = 50.0,
    *,
    closed: bool = False,
    stock: Stock | None = None,
    bender: Bender | None = None,
    trim: float = 0.0,
    ruler: Ruler | None = None,
    piece: str = "loop",
    hand: Literal["left", "right"] | None = None,
    as_drawn: bool = True,
) -> Subject:
    """Subject of a piece given by corner points; all corners have one radius."""
    corners = Corners(tuple(points), (radius,) * (len(points) if closed else len(points) - 2), closed)
    line = corners.centreline()
    return _subject(line, stock, bender or a_bender(radius), trim, ruler, piece, hand, as_drawn)


def a_placed_subject(
    table: BendTable,
    start: Pose = HOME,
    *,
    stock: Stock | None = None,
    bender: Bender | None = None,
    trim: float = 0.0,
    ruler: Ruler | None = None,
    piece: str = "hoop",
) -> Subject:
    """Subject of a piece given by its bend table."""
    radius = table.bends[0].radius if table.bends else 50.0
    return _subject(Centreline(table, start), stock, bender or a_bender(radius), trim, ruler, piece, None, True)


def _subject(
    line: Centreline,
    stock: Stock | None,
    bender: Bender,
    trim: float,
    ruler: Ruler | None,
    piece: str,
    hand: Literal["left", "right"] | None,
    drawn: bool,
) -> Subject:
    stock = stock or a_round()
    marks = marks_for(line.table, trim, _diameter(stock.section))
    what = known(SetUp(stock.section, stock.material, bender))
    return Subject(
        job="Crate shelf for a hand cart",
        version="3f2a",
        date="2025-11-02",
        ruler=ruler or Ruler(),
        piece=piece,
        count=1,
        hand=hand,
        as_drawn=drawn,
        stock=stock,
        bender=bender,
        line=line,
        marks=marks,
        steps=as_drawn(line.table, marks, bender, what=what),
        trim=trim,
        what=what,
    )


def _diameter(section: Section) -> float | None:
    return section.diameter if isinstance(section, Round | Tube) else None


def paper_subject(name: str) -> Subject:
    """One of the pieces that every 1:1 paper must manage."""
    return _EXAMPLES[name]()


def _hook() -> Subject:
    return a_subject([(0, 0, 0), (180, 0, 0), (180, 120, 0)], piece="hook")


def _rail() -> Subject:
    """Six metres of tube too thick to wrap a strip round."""
    return a_subject([(0, 0, 0), (3000, 0, 0), (3000, 3000, 0)], 100, stock=a_tube(33.7, 2), piece="rail")


def _stay() -> Subject:
    return a_subject([(0, 0, 0), (700, 0, 0)], stock=a_round(4), piece="stay")


def _clip() -> Subject:
    points = [(0, 0, 0), (100, 0, 0), (100, 80, 0), (100, 80, 120)]
    return a_subject(points, 10, stock=a_round(4), piece="clip", trim=4)


def _ring() -> Subject:
    points = [(0, 0, 0), (400, 0, 0), (400, 300, 0), (0, 300, 0)]
    return a_subject(points, closed=True, stock=a_tube(25), piece="ring")


def _upturned_loop() -> Subject:
    """Closed, eight bends: 400 by 300 with both ends turned up by 60 degrees; trim on both ends."""
    out, up = 75.0, 129.904
    points = [(0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (400 + out, 0.0, up), (400 + out, 300.0, up)]
    points += [(400.0, 300.0, 0.0), (0.0, 300.0, 0.0), (-out, 300.0, up), (-out, 0.0, up)]
    return a_subject(points, closed=True, trim=15.0)


def _offset_leg() -> Subject:
    """A flat bar, the easy way, opposite hand."""
    points = [(0, 0, 0), (210, 0, 0), (290, 0, 80), (500, 0, 80)]
    return a_subject(points, 20, stock=a_flat(), piece="leg", hand="right", as_drawn=False)


def _hoop() -> Subject:
    table = BendTable((200.0, 200.0), (Bend(300.0, 180.0),))
    return a_placed_subject(
        table, Pose((0, 0, 0), (0, 0, 1), (0, 1, 0)), stock=a_tube(), bender=a_bender(300, "draw"), trim=20.0
    )


def _inches() -> Subject:
    """A U in inches, on a bender that lines up the centre mark."""
    points = [(0, 0, 8 * INCH), (0, 0, 0), (12 * INCH, 0, 0), (12 * INCH, 0, 8 * INCH)]
    return a_subject(
        points,
        2 * INCH,
        stock=a_round(INCH / 2),
        bender=a_bender(2 * INCH, "ram"),
        ruler=Ruler("in"),
        piece="handle",
        hand="left",
    )


def _sixteen() -> Subject:
    """Sixteen bends in all directions, close together."""
    straights = (80, 12, 60, 5, 5, 60, 12, 30, 60, 30, 30, 60, 60, 12, 30, 5, 50)
    angles = (45, 60, 30, 30, 30, 30, 60, 60, 60, 60, 90, 30, 60, 90, 60, 90)
    rotations = (0, 90, 180, -90, 45, -120, 0, 90, 180, 180, -90, 45, 90, 0, -120, 180)
    bends = tuple(Bend(25.0, float(a), float(r)) for a, r in zip(angles, rotations, strict=True))
    return a_placed_subject(
        BendTable(tuple(float(s) for s in straights), bends), stock=a_round(8), piece="sixteen", trim=5
    )


def _arches() -> Subject:
    """Bends from hardly any to more than a half circle."""
    angles = (10.0, 135.0, 150.0, 166.0, 180.0, 200.0)
    bends = tuple(Bend(40.0, a, 0.0 if k == 0 else 180.0) for k, a in enumerate(angles))
    return a_placed_subject(BendTable((90.0,) * 7, bends), stock=a_round(10), bender=a_bender(40), piece="arches")


_EXAMPLES: Mapping[str, Callable[[], Subject]] = {
    "loop": _upturned_loop,
    "leg": _offset_leg,
    "hoop": _hoop,
    "inches": _inches,
    "hook": _hook,
    "sixteen": _sixteen,
    "rail": _rail,
    "stay": _stay,
    "clip": _clip,
    "arches": _arches,
    "ring": _ring,
}

PAPER_EXAMPLES = tuple(_EXAMPLES)
"""Pieces that every 1:1 paper must manage; see ``paper_subject``."""
