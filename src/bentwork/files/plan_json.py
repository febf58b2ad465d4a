"""Results as the JSON of the contract: lengths in mm, angles in degrees, keys carry the unit."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from bentwork.bending.learnt import Fit
from bentwork.errors import Fault, InputError
from bentwork.files.bracket_json import bracket_document
from bentwork.findings import Finding
from bentwork.jobs.bracket import brackets
from bentwork.jobs.work import PiecePlan, Result
from bentwork.planning.order_problem import Blocked
from bentwork.planning.order_remedies import Remedy
from bentwork.planning.steps import Step
from bentwork.planning.sureness import came_from
from bentwork.units import Ruler

__all__ = [
    "check_document",
    "dumps",
    "fault_document",
    "findings_document",
    "plan_document",
    "step_document",
    "told_remedy",
]

FORMAT = 1


def dumps(document: Mapping[str, Any]) -> str:
    """Write a document; NaN and infinity cannot get into it."""
    return json.dumps(document, ensure_ascii=False, allow_nan=False, indent=2)


def plan_document(result: Result) -> dict[str, Any]:
    """Return what ``plan --json`` prints."""
    flat = [bracket_document(one) for one in brackets(result) if one.holes]
    pieces = [_piece(plan, result.job.ruler) for plan in result.pieces]
    return {**check_document(result), "pieces": pieces, **({"brackets": flat} if flat else {})}


def check_document(result: Result) -> dict[str, Any]:
    """Return what ``check --json`` prints: the findings alone."""
    return {
        "format": FORMAT,
        "job": result.job.name,
        "version": result.job.version,
        "findings": findings_document(result.findings, result.job.ruler),
    }


def fault_document(error: Exception) -> dict[str, Any]:
    """Return what is printed instead when the input is wrong."""
    faults = error.faults if isinstance(error, InputError) else ()
    source = error.source if isinstance(error, InputError) else None
    findings = getattr(error, "findings", ())
    return {
        "format": FORMAT,
        "job": None,
        "file": source,
        "errors": [_fault(fault) for fault in faults] or [{"says": str(error)}],
        "findings": findings_document(findings, Ruler()),
        "pieces": [],
    }


def _fault(fault: Fault) -> dict[str, Any]:
    return {
        "line": fault.line,
        "key": fault.where,
        "found": fault.found,
        "wanted": fault.wanted,
        "do": fault.do,
        "says": str(fault),
    }


def findings_document(findings: Iterable[Finding], ruler: Ruler) -> list[dict[str, Any]]:
    """Return findings, their lengths in the maker's units."""
    told = []
    for finding in findings:
        says, why, do = finding.told(ruler)
        entry: dict[str, Any] = {
            "level": finding.level,
            "code": finding.code,
            "piece": finding.piece,
            "bend": finding.bend,
            "says": says,
            "why": why,
            "do": do,
        }
        if finding.corner is not None:
            entry["corner"] = finding.corner
        if finding.at is not None:
            entry["at_mm"] = list(finding.at)
        told.append(entry)
    return told


def _piece(plan: PiecePlan, ruler: Ruler) -> dict[str, Any]:
    table = plan.table
    return {
        "name": plan.spec.name,
        "stock": plan.spec.stock,
        "bender": plan.spec.bender,
        "closed": bool(table and table.closed),
        "count": plan.spec.count,
        "straights_mm": list(table.straights) if table else [],
        "bends": [
            {"number": n, "radius_mm": b.radius, "angle_deg": b.angle, "rotation_deg": b.rotation}
            for n, b in enumerate(table.bends if table else (), 1)
        ],
        "centreline_length_mm": plan.length,
        "cut_length_mm": plan.cut_length,
        "mass_kg": plan.mass,
        "marks": [
            {
                "bend": m.bend,
                "start_mm": m.start,
                "end_mm": m.end,
                "centre_mm": m.centre,
                "from_last_mm": m.from_last,
                "direction_deg": m.direction,
                "round_bar_mm": m.round_bar,
            }
            for m in plan.marks
        ],
        "feasible": plan.feasible,
        "reversals": plan.order.reversals if plan.order else 0,
        "order_proven": plan.order.proven if plan.order else None,
        "steps": [step_document(step) for step in plan.steps] if plan.feasible else [],
        "blocked": [_blocked(one) for one in plan.order.blocked] if plan.order else [],
        "remedies": [_remedy(one, ruler) for one in plan.remedies],
        "springback_from": _source(plan),
        "opposite": _piece(plan.opposite, ruler) if plan.opposite else None,
    }


def _blocked(one: Blocked) -> dict[str, Any]:
    return {
        "bend": one.bend,
        "held": one.held,
        "mounting": one.mounting,
        "body": one.body,
        "depth_mm": one.depth,
        "when": one.near.when if one.near else None,
    }


def told_remedy(one: Remedy, ruler: Ruler) -> str:
    """Say what a remedy is, in the maker's units."""
    return one.says.format(**{name: ruler.length(value) for name, value in one.lengths.items()})


def _remedy(one: Remedy, ruler: Ruler) -> dict[str, Any]:
    first = one.kind.split("+")[0]
    key = {"turned-bender": "value_deg", "split": "straight"}.get(first, "value_mm")
    return {"kind": one.kind, "value_mm": None, key: one.value, "says": told_remedy(one, ruler)}


def _source(plan: PiecePlan) -> dict[str, Any] | None:
    """Where the pull is known from; None without a bender."""
    what = plan.what
    if what is None:
        return None
    fit = what.fit if isinstance(what.fit, Fit) else None
    return {
        "source": what.source,
        "test_bends": fit.count if fit else 0,
        "last_made_on": fit.last_made_on if fit else None,
        "says": came_from(what),
    }


def step_document(step: Step) -> dict[str, Any]:
    """One step; what is not known is null, never a made-up number."""
    return {
        "step": step.step,
        "bend": step.bend,
        "held": step.held,
        "mounting": step.mounting,
        "mark_mm": step.mark,
        "turn_deg": step.turn,
        "bend_to_deg": step.bend_to,
        "springback_deg": step.springback,
        "bend_to_least_deg": step.least,
        "bend_to_most_deg": step.most,
        "lever_force_n": step.lever_force,
        "moment_nm": step.moment,
        "push_n": step.push,
        "stroke_mm": step.stroke,
        "clearance_mm": step.clearance,
        "nearest": step.nearest,
        "nearest_moving": step.moving,
        "moving_clearance_mm": step.moving_clearance,
    }
