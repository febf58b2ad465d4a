"""What commonly stands round a bender, to start a mounting from and to correct with a tape.

Common practice, no source. Lengths in mm, in the bender's frame: x along the bar, y across it, z up from the bar's
middle.
"""

from __future__ import annotations

from bentwork.tooling.shop import Bench, Body, Vise

__all__ = ["BENCH", "BODY", "FLOOR", "VISE"]

VISE = Vise((-75.0, 75.0), (-60.0, 140.0), -24.0, -150.0)
"""Jaws 150 wide below the plate, its slide away from the bar."""

BENCH = Bench((-700.0, 700.0), (20.0, 700.0), -150.0, 40.0)
"""The edge of the bench a little beyond the die's axis."""

FLOOR = -1000.0

BODY = Body("wall", "box", (-1500.0, -1480.0), (-900.0, 900.0), (-1000.0, 1000.0))
"""A wall to the held side."""
