"""Work told in words, as JSON: the same parts that paper and terminal show."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from bentwork.sheets.told_pages import ToldPart

__all__ = ["parts_told"]


def parts_told(parts: Iterable[ToldPart]) -> list[dict[str, Any]]:
    """Return the parts of a plan in words."""
    return [
        {
            "title": part.title,
            "intro": part.intro,
            "lines": list(part.lines),
            "cautions": list(part.cautions),
            "numbered": part.numbered,
        }
        for part in parts
    ]
