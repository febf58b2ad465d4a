"""The units of a STEP file by its text."""

from __future__ import annotations

import re

import numpy as np

from bentwork.takeoff.step_statements import OddError, Statements

__all__ = ["units_of"]

_CONTEXT = re.compile(rb"GLOBAL_UNIT_ASSIGNED_CONTEXT\b")
_UNIT = re.compile(rb"\b(LENGTH|PLANE_ANGLE)_UNIT\b")
_SI = re.compile(rb"\bSI_UNIT\s*\(\s*(?:\$|\.([A-Z]+)\.)\s*,\s*\.(METRE|RADIAN)\.")
_MEASURE = re.compile(rb"(?:LENGTH|PLANE_ANGLE)_MEASURE_WITH_UNIT\s*\(\s*(?:[A-Z_]+\s*\(\s*)?([^(),\s]+)")
_PREFIXES = {b"": 1.0, b"KILO": 1e3, b"DECI": 0.1, b"CENTI": 0.01, b"MILLI": 1e-3, b"MICRO": 1e-6}
MOST_CONVERTED = 2
"""Units that are so many of others, one after the other."""


def units_of(statements: Statements) -> tuple[float, float]:
    """Return how many mm and radians the file's units are, which must be the same all over it."""
    lengths: set[float] = set()
    angles: set[float] = set()
    for context in _CONTEXT.finditer(statements.text, int(statements.ends[0]), int(statements.ends[-1])):
        place = int(statements.ends.searchsorted(context.start(), "right")) - 1
        for unit in statements.from_(np.array([place])).tolist():
            kind = _UNIT.search(statements.said(unit))
            if kind:
                (lengths if kind[1] == b"LENGTH" else angles).add(_size(statements, unit))
    if len(lengths) != 1 or len(angles) != 1:
        raise OddError
    return 1000.0 * lengths.pop(), angles.pop()


def _size(statements: Statements, unit: int, deep: int = 0) -> float:
    """Return how many metres or radians a unit is."""
    si = _SI.search(statements.said(unit))
    if si:
        return _PREFIXES[si[1] or b""]
    # One that is converted refers to so many of another.
    for measure in statements.from_(np.array([unit])).tolist():
        many = _MEASURE.search(statements.said(measure))
        if many and deep < MOST_CONVERTED:
            return float(many[1]) * _size(statements, int(statements.from_(np.array([measure]))[0]), deep + 1)
    raise OddError
