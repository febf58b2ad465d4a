"""The welding plan as JSON: lengths in mm, temperatures in degrees C; what is not known is null."""

from __future__ import annotations

from typing import Any

from bentwork.files.plan_json import FORMAT, findings_document
from bentwork.files.told_json import parts_told
from bentwork.jobs.welding import WeldingPlan, WeldStep
from bentwork.jobs.welding_told import side_words, welding_parts
from bentwork.space import scale

__all__ = ["welding_document"]


def welding_document(plan: WeldingPlan) -> dict[str, Any]:
    """Return what ``weld --json`` prints."""
    job, ruler = plan.job, plan.job.ruler
    return {
        "format": FORMAT,
        "job": job.name,
        "version": job.version,
        "findings": findings_document(plan.findings, ruler),
        "order": [_step(step, plan) for step in plan.steps],
        "metals": [
            {
                "metals": one.metals,
                "filler": ruler.usual(one.filler),
                "why": ruler.usual(one.why),
                "preheat": ruler.usual(one.preheat),
                "most_preheat_c": one.most_preheat,
                "most_interpass_c": one.interpass,
                "clean": ruler.usual(one.clean),
            }
            for one in plan.advice
        ],
        "clamps": [
            {
                "bar": one.bar,
                "spots": [{"side": side, "from_start_of_side_mm": at} for side, at in one.spots],
                "from_weld_at_least_mm": one.clear,
            }
            for one in plan.clamped
        ],
        "spacers": [
            {
                "onto": [{"bar": name, "side": side} for name, side in row.onto],
                "bars": list(row.bars),
                "between_mm": list(row.between),
            }
            for row in plan.rows
        ],
        "seams": [
            {"bar": one.bar, "side": one.side, "from_start_of_side_mm": one.station, "side_length_mm": one.of}
            for one in plan.seams
        ],
        "vents": [
            {"bar": one.bar, "holes": one.holes, "diameter_mm": one.diameter, "from_end_mm": one.from_end}
            for one in plan.vents
        ],
        "parts": parts_told(welding_parts(plan, ruler)),
    }


def _step(step: WeldStep, plan: WeldingPlan) -> dict[str, Any]:
    line, tacks = step.line, step.tacks
    ways = plan.structure.directions
    return {
        "number": step.number,
        "where": line.where,
        "sort": line.sort,
        "place_mm": list(line.place),
        "bars": list(dict.fromkeys(line.bars)),
        "length_mm": line.length,
        "throat_mm": line.throat,
        "runs": line.runs,
        "first_side": side_words(line.side, ways),
        "second_side": side_words(scale(line.side, -1.0), ways),
        "tacks": {
            "count": tacks.count,
            "length_mm": tacks.length,
            "apart_mm": tacks.apart,
            "turns_deg": list(tacks.turns),
        },
        "metals": step.metals,
    }
