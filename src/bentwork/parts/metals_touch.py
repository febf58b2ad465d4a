"""Metals that corrode one another where they touch and get wet, and how to part them (common practice, no source)."""

from __future__ import annotations

from bentwork.stock.material import Group

__all__ = ["HOW_TO_PART", "corrodes", "metal_of_bolt"]

_NOBLE: dict[Group, int] = {"aluminium": 0, "steel": 1, "brass": 2, "copper": 2, "stainless": 3, "titanium": 3}
"""Rank in sea water: what stands lower is eaten by what stands higher (galvanic series, from memory)."""

HOW_TO_PART = (
    "Part them: a nylon or painted washer under head and nut, a nylon sleeve round the shank, both faces painted, and "
    "barrier paste without graphite or copper on the threads. Paint the nobler metal too. "
    "Where salt or manure gets at it look every season."
)
"""How steel bolts in aluminium are kept apart."""


def corrodes(one: Group, other: Group) -> Group | None:
    """Return which of two metals the other one eats; None where neither does, or nothing is known of them."""
    if one not in _NOBLE or other not in _NOBLE or _NOBLE[one] == _NOBLE[other]:
        return None
    return one if _NOBLE[one] < _NOBLE[other] else other


def metal_of_bolt(grade: str) -> Group:
    """Return what a class of bolts is made of: A2 and A4 are stainless."""
    return "stainless" if grade.startswith("A") else "steel"
