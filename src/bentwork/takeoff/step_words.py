"""With which words the statements of a STEP file begin, of those that plain solids are made of."""

from __future__ import annotations

from enum import IntEnum, auto

import numpy as np
from numpy.typing import NDArray

from bentwork.takeoff.step_statements import Places, Statements

__all__ = ["Word", "words_of"]


class Word(IntEnum):
    """Entities of ISO 10303-42."""

    ADVANCED_FACE = auto()
    FACE_BOUND = auto()
    FACE_OUTER_BOUND = auto()
    EDGE_LOOP = auto()
    ORIENTED_EDGE = auto()
    EDGE_CURVE = auto()
    VERTEX_POINT = auto()
    CARTESIAN_POINT = auto()
    DIRECTION = auto()
    VECTOR = auto()
    AXIS2_PLACEMENT_3D = auto()
    SURFACE_CURVE = auto()
    SEAM_CURVE = auto()
    INTERSECTION_CURVE = auto()
    LINE = auto()
    CIRCLE = auto()
    ELLIPSE = auto()
    B_SPLINE_CURVE_WITH_KNOTS = auto()
    PLANE = auto()
    CYLINDRICAL_SURFACE = auto()
    CONICAL_SURFACE = auto()
    TOROIDAL_SURFACE = auto()


def words_of(statements: Statements, letters: NDArray[np.uint8]) -> Places:
    """Return with which word each statement begins; 0 for others."""
    begins = statements.heads
    for letter in b" = ":
        skipped = letters[begins] == letter
        begins = begins + skipped
    found = np.zeros(len(begins), dtype=np.intp)
    lead = letters[begins[:, None] + np.arange(8)].view("<u8")[:, 0]
    for word in Word:
        called = word.name.encode() + b"("
        whole = min(len(called), 8)
        mask = (1 << 8 * whole) - 1
        some = ((lead & np.uint64(mask)) == np.uint64(int.from_bytes(called[:whole], "little"))).nonzero()[0]
        rest = letters[begins[some][:, None] + np.arange(whole, len(called))]
        found[some[(rest == np.frombuffer(called[whole:], np.uint8)).all(axis=1)]] = word
    return found
