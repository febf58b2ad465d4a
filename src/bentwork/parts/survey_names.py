"""Left and right in the names of points: ``left lug`` and ``right lug`` are a pair."""

from __future__ import annotations

import re
from collections.abc import Iterable

__all__ = ["pairs_of", "side_of_name"]

_SIDE = re.compile(r"\b(left|right)\b", re.IGNORECASE)


def side_of_name(name: str) -> int:
    """Return 1 for a name with ``left`` in it, -1 for one with ``right``, 0 for neither or both."""
    words = {word.lower() for word in _SIDE.findall(name)}
    return {frozenset({"left"}): 1, frozenset({"right"}): -1}.get(frozenset(words), 0)


def pairs_of(names: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Return the pairs (left, right) among names, in the order of the left ones."""
    known = list(names)
    right = {_bare(name): name for name in known if side_of_name(name) < 0}
    return tuple((name, right[_bare(name)]) for name in known if side_of_name(name) > 0 and _bare(name) in right)


def _bare(name: str) -> str:
    return " ".join(_SIDE.sub(" ", name).lower().split())
