"""Fit-up as JSON: what is known before the first bend, and the best way on with a bar."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bentwork.files.bench_json import outlook_document
from bentwork.files.plan_json import FORMAT, findings_document
from bentwork.fitup.hand import Errors, Hand
from bentwork.fitup.mend import Mend
from bentwork.fitup.onto_fixings import Onto
from bentwork.fitup.outlook import Outlook
from bentwork.fitup.springing import Sprung
from bentwork.jobs.fit_ahead import FitAhead
from bentwork.jobs.going_on import GoingOn
from bentwork.jobs.job import Job

__all__ = ["fitup_document", "mend_document"]


def fitup_document(job: Job, found: Sequence[FitAhead]) -> dict[str, Any]:
    """Return what ``fitup --json`` prints."""
    return {
        "format": FORMAT,
        "job": job.name,
        "version": job.version,
        "findings": findings_document([one for piece in found for one in piece.findings], job.ruler),
        "pieces": [_piece(one) for one in found],
    }


def _piece(one: FitAhead) -> dict[str, Any]:
    tolerance, spare, pair = one.plan.spec.tolerance, one.spare, one.pair
    return {
        "name": one.plan.spec.name,
        "closed": one.plan.table is not None and one.plan.table.closed,
        "tolerance": {
            "gap_mm": tolerance.gap,
            "offset_mm": tolerance.offset,
            "twist_deg": tolerance.twist,
            "position_mm": tolerance.position,
        },
        "good": {
            "plan_alone": one.attempts.unmended,
            "mended": one.attempts.mended,
            "set_by_hand": one.attempts.by_hand,
            "pieces_tried": one.attempts.samples,
        },
        "misses": [
            {"name": group.name, "rms": group.rms, "worst_in_20": group.worst_in_20, "tolerance": group.tolerance}
            for group in one.spread.groups
        ],
        "shares": [{"bend": part.bend or None, "share": part.share} for part in one.shares],
        "trim": {"end_a_mm": one.trim.end_a, "end_b_mm": one.trim.end_b, "enough": one.trim.enough},
        "seams": [
            {
                "side": seam.seam[0],
                "fraction": seam.seam[1],
                "straight_mm": seam.straight,
                "from_bend_mm": seam.from_bend,
                "miss_mm": seam.miss,
                "reached": seam.reached,
                "share_of_strength": seam.load,
                "here": one.seam is not None and seam.seam == one.seam.seam,
            }
            for seam in one.seams
        ],
        "spare": None if spare is None else {"lengths": spare.lengths, "bars": spare.bars, "expected": spare.expected},
        "sprung": None if one.sprung is None else _sprung(one.sprung),
        "onto_fixings": None if one.onto is None else _onto(one.onto),
        "pair": None
        if pair is None
        else {"rms_mm": pair.rms, "worst_in_20_mm": pair.worst_in_20, "both_good": pair.both_good, "alike": pair.alike},
        "hand": _hand(one.hand),
    }


def _sprung(one: Sprung) -> dict[str, Any]:
    return {
        "force_n": one.force,
        "moment_nm": one.moment,
        "share_of_yield": one.yield_share,
        "strain": one.strain,
        "free_instead": [{"where": slack.where, "share_of_yield": slack.strain} for slack in one.slacks[:3]],
    }


def _onto(one: Onto) -> dict[str, Any]:
    return {
        "fixings": list(one.fixings),
        "miss_mm": one.miss,
        "force_rms_n": one.force_rms,
        "force_n": one.force,
        "share_of_yield": one.yield_share,
        "strain": one.strain,
        "by_hand": one.by_hand,
        "free_instead": [
            {"fixing": slot.fixing, "along": slot.along, "force_n": slot.force, "share_of_yield": slot.yield_share}
            for slot in one.slots[:3]
        ],
    }


def _hand(hand: Hand) -> dict[str, Any]:
    def of(errors: Errors) -> dict[str, Any]:
        return {
            "bends": errors.count,
            "scatter": errors.scatter,
            "from": errors.scatter_low,
            "to": errors.scatter_high,
            "runs": errors.bias,
            "runs_sd": errors.bias_sd,
        }

    kinds = {"angle_deg": hand.angle, "rotation_deg": hand.rotation, "position_mm": hand.position}
    return {**{name: of(errors) for name, errors in kinds.items()}, "says": list(hand.words)}


def mend_document(job: Job, found: GoingOn) -> dict[str, Any]:
    """Return what ``mend --json`` prints; what is not known is null."""
    bench, best = found.bench, found.mend
    return {
        "format": FORMAT,
        "job": job.name,
        "version": job.version,
        "piece": bench.bar.piece,
        "hand": bench.bar.hand,
        "number": bench.bar.number,
        "done": list(bench.done),
        "finished": bench.finished,
        **outlook_document(bench.outlook),
        "bends": [] if best is None else _bends(found, best),
        "cut_end_b_mm": None if best is None else -best.longer,
        "before": None if best is None else _outlook(best.before),
        "after": None if best is None else _outlook(best.after),
        "findings": findings_document(bench.findings, job.ruler),
    }


def _bends(found: GoingOn, best: Mend) -> list[dict[str, Any]]:
    steps = {step.bend: step for step in found.bench.ahead}
    table = found.bench.plan.table
    assert table is not None
    onward = {one.bend: one for one in best.onward}
    return [
        {
            "bend": step.bend,
            "held": step.held,
            "mark_mm": step.mark,
            "turn_deg": step.turn,
            "bend_to_deg": step.bend_to,
            "angle_deg": onward[step.bend].angle,
            "rotation_deg": onward[step.bend].rotation,
            "drawn_angle_deg": table.bends[step.bend - 1].angle,
            "drawn_rotation_deg": table.bends[step.bend - 1].rotation,
        }
        for step in steps.values()
    ]


def _outlook(one: Outlook) -> dict[str, Any]:
    return {"good": one.good, "gap_mm": one.gap, "gap_sd_mm": one.gap_sd, "share_of_tolerance": one.worst}
