"""Solids that a STEP file describes otherwise than by their faces, or names and does not have: nobody reads these.

ISO 10303-42 knows solids that are swept, extruded, turned, put together from blocks and cylinders, or tessellated. The
CAD kernel passes them over without a word.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from bentwork.takeoff.step_text import tidy

__all__ = ["unread_solids"]

_READ = {b"MANIFOLD_SOLID_BREP", b"BREP_WITH_VOIDS", b"FACETED_BREP"}
_PRIMITIVES = {
    *(b"BLOCK", b"SPHERE", b"TORUS", b"ELLIPSOID", b"RIGHT_ANGULAR_WEDGE", b"RIGHT_CIRCULAR_CONE"),
    *(b"RIGHT_CIRCULAR_CYLINDER", b"ECCENTRIC_CONE", b"BOOLEAN_RESULT", b"TESSELLATED_SHELL"),
}
_ITEMS = re.compile(rb"SHAPE_REPRESENTATION\s*\(\s*(?:'(?:[^']|''){0,1000}'|\$)\s*,\s*\(([^()']*)\)")
_STATEMENT = re.compile(rb"#(\d+)\s*=\s*\(?\s*([A-Z0-9_]+)")
_SOLID = re.compile(rb"MANIFOLD_SOLID_BREP|BREP_WITH_VOIDS|FACETED_BREP")
_NUMBER = re.compile(rb"#(\d+)\s*=\s*\(?\s*$")
_NEAR = 20_000
"""What a representation has besides solids, mostly the places of parts, stands near it, bytes."""
_MOST = 50_000_000
"""In larger files it takes longer than a second, and they are not looked at, bytes."""


def unread_solids(path: Path) -> list[str]:
    """Return why each such solid of a file is not read; nothing for a file that is too large to look.

    Args:
        path: of the STEP file.
    """
    if not 0 < path.stat().st_size <= _MOST:
        return []
    text = tidy(path.read_bytes())
    listed = [(found.start(), list(map(int, re.findall(rb"#(\d+)", found[1])))) for found in _ITEMS.finditer(text)]
    kinds = dict(_solids(text))
    for at, items in listed:
        if any(number not in kinds for number in items):
            kinds |= _statements(text[max(at - _NEAR, 0) : at + _NEAR])
    named = dict.fromkeys(number for _, items in listed for number in items)
    if any(number not in kinds for number in named):
        kinds |= _statements(text)
    return [why for number in named if (why := _why(number, kinds.get(number)))]


def _solids(text: bytes) -> Iterator[tuple[int, bytes]]:
    """Yield the numbers of solids that are read: their words are found faster than every statement."""
    for found in _SOLID.finditer(text):
        number = _NUMBER.search(text[max(found.start() - 40, 0) : found.start()])
        if number:
            yield int(number[1]), found[0]


def _statements(text: bytes) -> dict[int, bytes]:
    return {int(found[1]): found[2] for found in _STATEMENT.finditer(text)}


def _why(number: int, kind: bytes | None) -> str:
    if kind is None:
        return f"the model is said to have #{number}, which the file does not have. Export it again."
    if kind in _READ or not (b"SOLID" in kind or b"BREP" in kind or kind in _PRIMITIVES):
        return ""
    return f"#{number} is a {kind.decode()}, which is not read: export the solid by its faces"
