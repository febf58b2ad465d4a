"""Places in a STEP file that mirror what stands there: the CAD kernel turns and shifts only.

ISO 10303-42 (from memory): a ``cartesian_transformation_operator_3d`` has three axes, and where they are left-handed it
mirrors. Assemblies seldom use it; a pair of axis placements, which they do use, cannot mirror.
"""

from __future__ import annotations

import re
from contextlib import suppress
from pathlib import Path

from bentwork.space import Vec, cross, dot
from bentwork.takeoff.step_text import tidy

__all__ = ["mirrored_places"]

_WORD = b"CARTESIAN_TRANSFORMATION_OPERATOR_3D"
_OPERATOR = re.compile(_WORD + rb"\s*\(([^;]*)\)\s*;")
_DIRECTION = re.compile(rb"#(\d+)\s*=\s*DIRECTION\s*\(\s*(?:'(?:[^']|''){0,1000}'|\$)\s*,\s*\(([^()]*)\)")
_MOST = 50_000_000
"""In larger files they are not looked for, bytes."""


def mirrored_places(path: Path) -> int:
    """Return how many places of a STEP file mirror."""
    if not 0 < path.stat().st_size <= _MOST:
        return 0
    text = path.read_bytes()
    if _WORD not in text:
        return 0
    text = tidy(text)
    ways: dict[bytes, Vec] = {}
    for found in _DIRECTION.finditer(text):
        with suppress(ValueError):  # what is no direction in space
            x, y, z = map(float, found[2].split(b","))
            ways[b"#" + found[1]] = (x, y, z)
    return sum(_mirrors(found[1], ways) for found in _OPERATOR.finditer(text))


def _mirrors(said: bytes, ways: dict[bytes, Vec]) -> bool:
    """Tell whether axes are left-handed; the third is z where it is left out, the others then follow it."""
    one, two, *_, three = (argument.strip() for argument in (b",,,,," + said).split(b",")[-5:])
    first, second = ways.get(one), ways.get(two)
    if first is None or second is None:
        return False
    return dot(cross(first, second), ways.get(three, (0.0, 0.0, 1.0))) < 0.0
