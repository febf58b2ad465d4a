"""Every numerical tolerance in one place, each with its reason. Lengths in mm, angles in degrees."""

from __future__ import annotations

__all__ = [
    "CHORD_ERROR",
    "CLEARANCE_CHORD",
    "CLOSES_ANGLE",
    "CLOSES_GAP",
    "FARTHEST",
    "LEAST_BEND",
    "RUNS_ON",
    "SAME_POINT",
    "SAME_STATION",
    "SLACK",
]

SAME_POINT = 1e-3
"""Corner points closer than this are one point: a thousandth of a millimetre is below any drawing's meaning."""

SAME_STATION = 0.5
"""Places on a bar closer than this are one place when its strength is reckoned: a weld is several millimetres wide, and
a link that short beside long bars costs digits."""

LEAST_BEND = 0.1
"""A corner that turns by less is taken for a straight line: a tenth of what an ordinary hand repeats (1 degree)."""

SLACK = 1e-9
"""Setbacks may overlap by this much: round-off of coordinates of a few metres is about 1e-12 mm."""

RUNS_ON = 0.05
"""A straight shorter than this between two bends cannot be seen or measured on the bar."""

CLOSES_GAP = 0.05
"""Ends of a closed bend table closer than this meet: tables are typed with one or two decimals."""

CLOSES_ANGLE = 0.05
"""The same for the angle between the two ends."""

CHORD_ERROR = 0.02
"""How far chords may lie from their arc when a piece is drawn: a fifth of the finest line on paper."""

CLEARANCE_CHORD = 0.25
"""The same when it is checked what the bar may hit; added to its radius, so that a gap is told up to half a millimetre
too small, never too big. An ordinary hand places a mark within 0.7 mm."""

FARTHEST = 1e9
"""Nothing that is bent lies farther from the origin, also in drawings of a whole country, mm."""
