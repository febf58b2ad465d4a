"""From a result to what the page of its proof load is about."""

from __future__ import annotations

from bentwork.jobs.carried import carried, proof
from bentwork.jobs.work import Result
from bentwork.sheets.proof_sheet import ProofSubject

__all__ = ["proof_subject"]


def proof_subject(result: Result, date: str) -> ProofSubject | None:
    """Return the frame to be proved; None where the job gives no payload, or it cannot be reckoned."""
    found = carried(result)
    tested = proof(found) if found is not None else None
    if found is None or tested is None:
        return None
    job = result.job
    return ProofSubject(
        job=job.name,
        version=job.version,
        date=date,
        ruler=job.ruler,
        structure=found.structure,
        proof=tested,
        carries=found.verdict.carries,
        safety=found.load.rules.safety,
    )
