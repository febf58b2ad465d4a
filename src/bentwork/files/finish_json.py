"""The finish plan as JSON: surfaces in m2, lengths in mm."""

from __future__ import annotations

from typing import Any

from bentwork.files.plan_json import FORMAT, findings_document
from bentwork.files.told_json import parts_told
from bentwork.jobs.finish import FinishPlan
from bentwork.jobs.finish_told import finish_parts

__all__ = ["finish_document"]


def finish_document(plan: FinishPlan) -> dict[str, Any]:
    """Return what ``finish --json`` prints."""
    job, ruler, asked = plan.job, plan.job.ruler, plan.job.finish
    return {
        "format": FORMAT,
        "job": job.name,
        "version": job.version,
        "findings": findings_document(plan.findings, ruler),
        "system": asked.system,
        "colour": asked.colour or None,
        "two_pack": asked.two_pack,
        "said": asked.said,
        "surface_m2": plan.surface,
        "pieces": [
            {"name": one.name, "metal": one.group, "surface_m2": one.each, "count": one.count} for one in plan.surfaces
        ],
        "tabs_m2": plan.tabs,
        "metals": [
            {
                "metal": one.group,
                "pieces": list(one.pieces),
                "surface_m2": one.surface,
                "steps": [{"says": ruler.usual(step.words), "then": step.wait or None} for step in one.steps],
            }
            for one in plan.metals
        ],
        "coats": [
            {"name": one.name, "coats": one.coats, "litres": one.litres(plan.surface), "said": one.said}
            for one in plan.coats
        ],
        "masks": [{"what": one.what, "sort": one.sort, "how": ruler.usual(one.how)} for one in plan.masks],
        "vents": [
            {"bar": one.bar, "holes": one.holes, "diameter_mm": one.diameter, "from_end_mm": one.from_end}
            for one in plan.vents
        ],
        "touching": [
            {"where": one.where, "corrodes": one.eaten, "by": one.by, "piece": one.piece} for one in plan.touching
        ],
        "parts": parts_told(finish_parts(plan, ruler)),
    }
