"""Small parts as JSON: lengths in mm, angles in degrees, keys carry the unit; what is not known is null."""

from __future__ import annotations

from typing import Any

from bentwork.files.plan_json import FORMAT, findings_document
from bentwork.jobs.bar_hole_told import bar_hole_words
from bentwork.jobs.bar_holes import BarHole
from bentwork.jobs.cope_told import cutting_words, longest_words
from bentwork.jobs.endings import Ending
from bentwork.jobs.jig import Row
from bentwork.jobs.own_end_told import own_end_words
from bentwork.jobs.own_ends import EndStanding
from bentwork.jobs.small_parts import Crossbars, OwnEnded, SmallParts
from bentwork.jobs.small_parts_told import end_words, line_words
from bentwork.jobs.tabs import Pattern
from bentwork.parts.blocks import Stack
from bentwork.parts.cope import Cope
from bentwork.units import Ruler

__all__ = ["parts_document"]

_STEPS = 72  # points of a cope's curves all round; its kinks are among them besides


def parts_document(found: SmallParts) -> dict[str, Any]:
    """Return what ``parts --json`` prints."""
    job, ruler = found.job, found.job.ruler
    return {
        "format": FORMAT,
        "job": job.name,
        "version": job.version,
        "findings": findings_document(found.findings, ruler),
        "crossbars": [_crossbars(one, ruler) for one in found.crossbars],
        "bent": [_bent(one, ruler) for one in found.bent],
        "own_ends": [_own(one, ruler) for one in found.own],
        "rows": [_row(one) for one in found.rows],
        "tabs": [_pattern(one) for one in found.tabs],
    }


def _crossbars(one: Crossbars, ruler: Ruler) -> dict[str, Any]:
    first = one.first
    return {
        **_bent(one, ruler),
        "cut_length_mm": first.cut_length,
        "drawn_length_mm": first.bar.length,
        "butted_length_mm": first.cut_as("butted"),
        "coped_length_mm": first.cut_as("coped"),
    }


def _bent(one: Crossbars, ruler: Ruler) -> dict[str, Any]:
    """What is told of bars that end on others, straight or bent; how long a bent one is, its plan tells."""
    first = one.first
    return {
        "name": one.name,
        "piece": one.piece,
        "stock": one.stock,
        "bars": [bar.bar.name for bar in one.bars],
        "count": len(one.bars),
        "line_from_a_arrives_at_deg": first.line_turn,
        "ends": [_ending(ending, top, ruler) for ending, top in zip(first.endings, first.tops, strict=True)],
    }


def _ending(one: Ending, top: float | None, ruler: Ruler) -> dict[str, Any]:
    met = one.meeting
    return {
        "end": one.end,
        "onto": one.onto,
        "side": one.side,
        "bend": one.bend,
        "from_start_of_side_mm": one.station,
        "angle_deg": met.angle,
        "offset_mm": met.offset,
        "ends": one.ends,
        "longest_beyond_drawn_mm": -one.spare,
        "cut_back_from_drawn_mm": one.back,
        "says": end_words(one, ruler),
        "off_square_deg": met.plain.lean,
        "across_width_deg": met.plain.across_width,
        "across_height_deg": met.plain.across_height,
        "gap_when_butted_mm": met.plain.gap,
        "top_deg": top,
        "cope": _cope(met.cope, ruler) if one.ends == "coped" or not met.cope.plane else None,
    }


def _own(one: OwnEnded, ruler: Ruler) -> dict[str, Any]:
    """A piece of which ends are made by themselves."""
    return {
        "piece": one.name,
        "stock": one.plan.stock.name,
        "count": one.plan.makes,
        "cut_length_mm": one.cut_length,
        "ends": [_own_end(end, ruler, line_words(one)) for end in one.ends],
        "holes": [_bar_hole(hole, one, ruler) for hole in one.holes],
    }


def _bar_hole(hole: BarHole, one: OwnEnded, ruler: Ruler) -> dict[str, Any]:
    return {
        "number": hole.number,
        "along_mm": hole.station,
        "on_straight_bar_mm": hole.on_bar,
        "round_deg": hole.asked.round,
        "across_mm": hole.asked.across,
        "diameter_mm": hole.asked.diameter,
        "through": hole.asked.through,
        "bend": hole.bend or None,
        "says": bar_hole_words(hole, one.plan.stock.section, ruler, line_words(one)),
    }


def _own_end(one: EndStanding, ruler: Ruler, line: str) -> dict[str, Any]:
    flat, made = one.flat, one.asked.made
    return {
        "end": one.end,
        "off_square_deg": one.asked.cut,
        "round_deg": one.asked.round,
        "longest_beyond_drawn_mm": one.beyond,
        "flat_length_mm": flat.length if flat else None,
        "flat_width_mm": flat.width if flat else None,
        "flat_thickness_mm": flat.thickness if flat else None,
        "hole_mm": made.hole,
        "from_hole_to_end_mm": made.beyond if made.hole else None,
        "says": own_end_words(one, ruler, line),
    }


def _cope(cope: Cope, ruler: Ruler) -> dict[str, Any]:
    """The shape of a coped end; turns in degrees only where the bar is round."""
    curve = sorted({cope.around * k / _STEPS for k in range(_STEPS + 1)} | set(cope.kinks))
    is_round, onto_round = cope.bar.is_round, cope.onto.is_round

    def turn(place: float) -> float | None:
        return place / cope.around * 360.0 if is_round else None

    return {
        "outside_mm": 2.0 * cope.bar.wide if is_round else None,
        "bore_mm": (2.0 * cope.bore.wide if cope.bore else 0.0) if is_round else None,
        "onto_mm": 2.0 * cope.onto.wide if onto_round else None,
        "sits_on": list(cope.faces),
        "flat_cut": cope.plane,
        "depth_mm": cope.depth,
        "most_filed_off_the_wall_mm": cope.most_bevel,
        "longest_at_deg": turn(cope.longest_at[0][0]),
        "longest_at_mm": [list(one) for one in cope.longest_at],
        "passes_beside_mm": [list(one) for one in cope.passing],
        "says": "; ".join(filter(None, (cutting_words(cope, ruler), longest_words(cope, ruler)))),
        "around_mm": cope.around,
        "corners_mm": list(cope.folds),
        "turns_deg": [turn(place) for place in curve] if is_round else None,
        "round_mm": curve,
        # from the longest point back along the bar
        "outer_edge_mm": [cope.outer(place) - cope.longest for place in curve],
        "inner_edge_mm": None if cope.solid else [cope.inner(place) - cope.longest for place in curve],
    }


def _row(one: Row) -> dict[str, Any]:
    return {
        "onto": [{"bar": name, "side": side, "from_end": (name, side) in one.turned} for name, side in one.onto],
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
        "thread_has_mm": tab.thickness if one.tapped else None,
        "thread_depth_share": one.thread.depth_share(one.drill) if one.tapped and one.thread else None,
        "grade": one.grade if one.thread else None,
        "softened_by_weld": one.softened if one.tapped else None,
        "together": one.gang.together,
        "clampings": one.gang.clampings,
        "clamped_thickness_mm": one.gang.thickness,
        "flutes_of_drill_mm": one.gang.flutes,
        "limited_by": one.gang.limit or None,
        "mass_kg": one.mass,
    }
