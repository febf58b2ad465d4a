"""Brackets as JSON: the flat with its bend lines, holes and slots; lengths in mm, angles in degrees."""

from __future__ import annotations

from typing import Any

from bentwork.jobs.bracket import Bracket, HoleMade

__all__ = ["bracket_document"]


def bracket_document(one: Bracket) -> dict[str, Any]:
    """Return one bracket of one hand."""
    blank = one.blank
    return {
        "name": one.name,
        "piece": one.plan.spec.name,
        "as_drawn": one.as_drawn,
        "flat_mm": [blank.length, blank.width, blank.thickness],
        "trim_mm": blank.trim,
        "shorter_than_drawn_mm": one.less,
        "from_test_bends": one.learnt,
        "bends": [
            {
                "number": fold.number,
                "start_mm": fold.start,
                "middle_mm": fold.middle,
                "end_mm": fold.end,
                "angle_deg": fold.angle,
                "up": fold.up,
                "handbook_allowance_mm": bend.allowance,
            }
            for fold, bend in zip(blank.folds, one.bends, strict=True)
        ],
        "holes": [_hole(hole) for hole in one.holes],
        "steps": [
            {
                "step": step.step,
                "bend": step.bend,
                "held": step.held,
                "mark_mm": step.mark,
                "stroke_mm": step.stroke,
                "push_n": step.push,
                "bend_to_deg": step.bend_to,
            }
            for step in one.plan.steps
        ],
    }


def _hole(hole: HoleMade) -> dict[str, Any]:
    flat, seat = hole.flat, hole.seat
    slotted = flat.half_straight > 0.0
    return {
        "number": flat.number,
        "from_end_a_mm": flat.x,
        "across_mm": flat.y,
        "size_mm": flat.size,
        "slot_mm": flat.slot if slotted else None,
        "runs": flat.runs if slotted else None,
        "thread": hole.asked.thread.name if hole.asked.thread else None,
        "tapped": hole.asked.tapped,
        "drill_mm": hole.drill,
        "side": hole.side,
        "from_start_of_straight_mm": hole.from_side,
        "edge_distance_mm": seat.edge,
        "nearest_bend": seat.fold,
        "to_bend_mm": None if seat.fold is None else seat.gap,
        "wanted_to_bend_mm": None if seat.fold is None else seat.wanted,
        "rule": None if seat.fold is None else seat.rule,
        "after_bending": seat.after,
    }
