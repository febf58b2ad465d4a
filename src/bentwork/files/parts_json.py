"""Small parts as JSON: lengths in mm, angles in degrees, keys carry the unit; what is not known is null."""

from __future__ import annotations

from typing import Any

from bentwork.files.plan_json import FORMAT, findings_document
from bentwork.jobs.endings import Ending
from bentwork.jobs.jig import Row
from bentwork.jobs.small_parts import Crossbars, SmallParts
from bentwork.jobs.small_parts_told import end_words
from bentwork.jobs.tabs import Pattern
from bentwork.parts.blocks import Stack
from bentwork.units import Ruler

__all__ = ["parts_document"]

_CURVE_STEP = 5.0  # degrees between the points of a cope's curves


def parts_document(found: SmallParts) -> dict[str, Any]:
    """Return what ``parts --json`` prints."""
    job, ruler = found.job, found.job.ruler
    return {
        "format": FORMAT,
        "job": job.name,
        "version": job.version,
        "findings": findings_document(found.findings, ruler),
        "crossbars": [_crossbars(one, ruler) for one in found.crossbars],
        "rows": [_row(one) for one in found.rows],
        "tabs": [_pattern(one) for one in found.tabs],
    }


def _crossbars(one: Crossbars, ruler: Ruler) -> dict[str, Any]:
    first = one.first
    return {
        "name": one.name,
        "piece": one.piece,
        "stock": one.stock,
        "bars": [bar.bar.name for bar in one.bars],
        "count": len(one.bars),
        "cut_length_mm": first.cut_length,
        "drawn_length_mm": first.bar.length,
        "butted_length_mm": first.cut_as("butted"),
        "coped_length_mm": first.cut_as("coped"),
        "line_from_a_arrives_at_deg": first.line_turn,
        "ends": [_ending(ending, top, ruler) for ending, top in zip(first.endings, first.tops, strict=True)],
    }


def _ending(one: Ending, top: float | None, ruler: Ruler) -> dict[str, Any]:
    met, cope = one.meeting, one.meeting.cope
    curve = [k * _CURVE_STEP for k in range(round(360.0 / _CURVE_STEP) + 1)]
    return {
        "end": one.end,
        "onto": one.onto,
        "side": one.side,
        "bend": one.bend,
        "from_start_of_side_mm": one.station,
        "angle_deg": met.angle,
        "offset_mm": met.offset,
        "ends": one.ends,
        "says": end_words(one, ruler),
        "off_square_deg": met.plain.lean,
        "across_width_deg": met.plain.across_width,
        "across_height_deg": met.plain.across_height,
        "gap_when_butted_mm": met.plain.gap,
        "top_deg": top,
        "cope": None
        if cope is None
        else {
            "outside_mm": cope.outside,
            "bore_mm": cope.bore,
            "onto_mm": cope.onto,
            "depth_mm": cope.depth,
            "most_filed_off_the_wall_mm": cope.most_bevel,
            "longest_at_deg": cope.longest_turn,
            "turns_deg": curve,
            # from the longest point back along the bar
            "outer_edge_mm": [cope.outer(turn) - cope.longest for turn in curve],
            "inner_edge_mm": None if cope.solid else [cope.inner(turn) - cope.longest for turn in curve],
        },
    }


def _row(one: Row) -> dict[str, Any]:
    return {
        "onto": [{"bar": name, "side": side} for name, side in one.onto],
        "bars": list(one.bars),
        "middles_mm": list(one.middles),
        "between_mm": list(one.between),
        "stops_mm": list(one.stops),
        "blocks": [_stack(stack) for stack in one.stacks],
    }


def _stack(one: Stack) -> dict[str, Any]:
    return {"wanted_mm": one.wanted, "blocks_mm": list(one.blocks), "shim_mm": 0.0 if one.fits else one.left}


def _pattern(one: Pattern) -> dict[str, Any]:
    tab = one.tab
    length, width, thickness = tab.blank
    return {
        "name": one.name,
        "count": len(one.tabs),
        "tabs": [
            {
                "name": made.name,
                "bar": made.bar,
                "side": made.side,
                "from_start_of_side_mm": made.station,
                "foot_mm": list(made.tab.foot),
            }
            for made in one.tabs
        ],
        "material": one.material.name,
        "blank_mm": [length, width, thickness],
        "hole_mm": tab.hole,
        "hole_from_outer_end_mm": tab.end,
        "hole_from_longest_point_mm": tab.reach,
        "edge_distance_mm": tab.edge_distance,
        "least_edge_distance_mm": one.least_edge,
        "off_square_deg": tab.lean,
        "hollow_mm": tab.hollow,
        "gap_at_faces_mm": tab.gap,
        "rounded": tab.rounded,
        "thread": one.thread.name if one.thread else None,
        "tapped": one.tapped,
        "drill_mm": one.drill,
        "thread_wanted_mm": one.wanted if one.tapped else None,
        "together": one.gang.together,
        "clampings": one.gang.clampings,
        "mass_kg": one.mass,
    }
