"""``end_a`` and ``end_b`` of a piece as pydantic sees them."""

from __future__ import annotations

from typing import Annotated

from bentwork.fastening.threads import Thread
from bentwork.files.job_model import Table
from bentwork.files.job_model_parts import HoleKind
from bentwork.files.job_values import Angle, DecimalKind, Size

__all__ = ["EndTable"]

_MOST_CUT = 80.0
"""Degrees off square; from 75 on nobody saws (common practice, no source), and the cut is five times the bar."""


class EndTable(Table):
    """``end_a`` or ``end_b`` of a piece."""

    cut: (
        Annotated[
            float,
            DecimalKind(f"degrees off a square cut, above 0 and up to {_MOST_CUT:g}", 0.0, _MOST_CUT, open_low=True),
        ]
        | None
    ) = None
    flattened: Size | None = None
    hole: Annotated[float | Thread | None, HoleKind()] = None
    end: Size | None = None
    round: Angle = 0.0
