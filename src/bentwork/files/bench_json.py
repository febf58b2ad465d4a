"""How a bar stands at the bench, as the JSON of the contract."""

from __future__ import annotations

from typing import Any

from bentwork.files.plan_json import FORMAT, findings_document, step_document
from bentwork.jobs.bench import Bench, Outlook
from bentwork.jobs.job import Job
from bentwork.jobs.measured import Asked
from bentwork.planning.steps import Step

__all__ = ["next_document", "outlook_document"]

_NOTHING = Step(step=0, bend=0, held="A", mark=0.0, turn=0.0, bend_to=0.0, springback=0.0)


def next_document(job: Job, bench: Bench) -> dict[str, Any]:
    """Return what ``next --json`` prints; what is not known is null, and so is the step when there is none."""
    step = bench.next
    told = dict.fromkeys(step_document(_NOTHING)) if step is None else step_document(step)
    return {
        "format": FORMAT,
        "job": job.name,
        "version": job.version,
        "piece": bench.bar.piece,
        "hand": bench.bar.hand,
        "number": bench.bar.number,
        **told,
        "done": list(bench.done),
        "finished": bench.finished,
        **outlook_document(bench.outlook),
        "measure": [_asked(one) for one in bench.measure],
        "findings": findings_document(bench.findings, job.ruler),
    }


def _asked(one: Asked) -> dict[str, Any]:
    """What to measure; places as ``bentwork log`` takes them."""
    document: dict[str, Any] = {"kind": one.kind, "from": one.start, "to": one.end, "way": one.way}
    if one.kind == "rotation":
        document = {"kind": one.kind, "bend": one.start, "against": one.end}
    return {**document, "about_deg" if one.kind == "rotation" else "about_mm": one.about, "tells": one.tells}


def outlook_document(outlook: Outlook) -> dict[str, Any]:
    """Return how a piece is expected to come out."""
    correct = outlook.correct
    return {
        "advice": outlook.advice,
        "correct": None if correct is None else [{"bend": bend, "by_deg": by} for bend, by in correct],
        "expected_gap_mm": outlook.expected_gap,
        "expected_gap_sd_mm": outlook.expected_gap_sd,
        "chance": outlook.chance,
        "wring": [{"bend": bend, "by_deg": by} for bend, by in outlook.wring],
    }
