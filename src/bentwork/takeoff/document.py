"""A take-off as the JSON of the contract, and back: the same form goes from the reader's own process to ours."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.takeoff.bar import Bar, End, Hole, Solid, TakeOff

__all__ = ["bar_from", "solid_document", "solid_from", "takeoff_document"]

FORMAT = 1


def takeoff_document(result: TakeOff) -> dict[str, Any]:
    """Return what ``takeoff --json`` prints: lengths in mm, angles in degrees, keys carry the unit."""
    return {
        "format": FORMAT,
        "file": result.source,
        "units": result.units,
        "notes": list(result.notes),
        "solids": [solid_document(solid) for solid in result.solids],
    }


def solid_document(solid: Solid) -> dict[str, Any]:
    """Return one solid of the document."""
    one = solid.bars[0] if solid.kind in ("piece", "curve") else None
    return {
        "index": solid.index,
        "name": solid.name,
        "kind": solid.kind,
        **_bar(one),
        "reason": solid.reason,
        "volume_mm3": solid.volume,
        "same_as": solid.same_as,
        "mirror_of": solid.mirror_of,
        "members": [_bar(bar) for bar in solid.bars] if solid.kind == "joined" else [],
    }


def _bar(bar: Bar | None) -> dict[str, Any]:
    if bar is None:
        return {
            "section": None,
            "closed": False,
            "straights_mm": [],
            "bends": [],
            "centreline_length_mm": None,
            "deviation_mm": None,
            "way": None,
            "start": None,
            "ends": [],
            "holes": [],
            "cut_into_mm": [],
        }
    table, start = bar.line.table, bar.line.start
    return {
        "section": _section(bar.section),
        "closed": table.closed,
        "straights_mm": list(table.straights),
        "bends": [{"radius_mm": b.radius, "angle_deg": b.angle, "rotation_deg": b.rotation} for b in table.bends],
        "centreline_length_mm": table.length,
        "deviation_mm": bar.deviation,
        "way": bar.way,
        "start": {"point_mm": list(start.origin), "along": list(start.tangent), "towards": list(start.inward)},
        "ends": [
            {
                "cut": e.cut,
                "angle_deg": e.angle,
                "beyond_mm": e.beyond,
                "diameter_mm": e.diameter,
                "round_deg": e.round,
                "flat_mm": e.flat,
            }
            for e in bar.ends
        ],
        "holes": [
            {
                "at_mm": h.at,
                "round_deg": h.round,
                "diameter_mm": h.diameter,
                "through": h.through,
                "off_middle_mm": h.off_middle,
                "slot_mm": h.slot,
                "slot_lean_deg": h.lean,
                "slant_deg": h.slant,
                "sunk_mm": h.sunk,
            }
            for h in bar.holes
        ],
        "cut_into_mm": [list(one) for one in bar.cut_into],
    }


def _section(section: Section | None) -> dict[str, Any] | None:
    if section is None:
        return None
    names = ("diameter", "wall", "width", "height", "corner_radius")
    return {"shape": section.kind, **{f"{name}_mm": getattr(section, name, None) for name in names}}


def solid_from(document: Mapping[str, Any]) -> Solid:
    """Return the solid that a document tells of.

    Raises:
        KeyError, TypeError, ValueError: it is no such document.
    """
    kind = document["kind"]
    told = document["members"] if kind == "joined" else [document] if kind in ("piece", "curve") else []
    return Solid(
        document["index"],
        document["name"],
        kind,
        tuple(bar_from(one) for one in told),
        document["reason"],
        document["volume_mm3"],
        document["same_as"],
        document["mirror_of"],
    )


def bar_from(told: Mapping[str, Any]) -> Bar:
    """Return the bar that a document tells of."""
    bends = tuple(Bend(b["radius_mm"], b["angle_deg"], b["rotation_deg"]) for b in told["bends"])
    table = BendTable(tuple(told["straights_mm"]), bends, told["closed"])
    start = told["start"]
    tangent, inward = _vec(start["along"]), _vec(start["towards"])
    axis = (
        tangent[1] * inward[2] - tangent[2] * inward[1],
        tangent[2] * inward[0] - tangent[0] * inward[2],
        tangent[0] * inward[1] - tangent[1] * inward[0],
    )
    a, b = (
        End(e["cut"], e["angle_deg"], e["beyond_mm"], e["diameter_mm"], e["round_deg"], e["flat_mm"])
        for e in told["ends"]
    )
    holes = tuple(
        Hole(
            h["at_mm"],
            h["round_deg"],
            h["diameter_mm"],
            h["through"],
            h["off_middle_mm"],
            h["slot_mm"],
            h["slot_lean_deg"],
            h["slant_deg"],
            h["sunk_mm"],
        )
        for h in told["holes"]
    )
    line = Centreline(table, Pose(_vec(start["point_mm"]), tangent, axis))
    cut_into = tuple((low, high) for low, high in told["cut_into_mm"])
    return Bar(line, _section_from(told["section"]), told["way"], (a, b), holes, told["deviation_mm"], cut_into)


def _section_from(told: Mapping[str, Any] | None) -> Section | None:
    if told is None:
        return None
    d, wall, w, h, r = (told[f"{name}_mm"] for name in ("diameter", "wall", "width", "height", "corner_radius"))
    made: Mapping[str, Callable[[], Section]] = {
        "round": lambda: Round(d),
        "tube": lambda: Tube(d, wall),
        "square": lambda: Square(w, h),
        "flat": lambda: Flat(w, h),
        "square-tube": lambda: SquareTube(w, h, wall, r),
    }
    return made[told["shape"]]()


def _vec(values: list[float]) -> Vec:
    x, y, z = values
    return (float(x), float(y), float(z))
