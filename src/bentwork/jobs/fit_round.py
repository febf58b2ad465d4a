"""What the frame must fit, and what must fit round it: measured points, stays, keep-outs, doors; with all findings."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, replace

from bentwork.findings import Finding, by_weight
from bentwork.jobs.carried import Carried, carried, frame_of
from bentwork.jobs.job import Job
from bentwork.jobs.kept import Kept
from bentwork.jobs.room_left import RoomLeft, WayThrough, room_findings, rooms_left, ways_through
from bentwork.jobs.stay_faults import stay_findings
from bentwork.jobs.stays import StayMade, stays_made
from bentwork.jobs.survey_findings import survey_findings
from bentwork.jobs.surveyed import Surveyed, surveyed
from bentwork.jobs.work import Result

__all__ = ["FitRound", "fit_round", "is_fitted", "with_fit_round"]


@dataclass(frozen=True, slots=True, eq=False)
class FitRound:
    """What the frame must fit.

    Args:
        job: what was asked for.
        points: what was measured; None where nothing was.
        stays: from the frame to them.
        rooms: how near the frame comes to every keep-out.
        ways: through every opening.
        findings: everything there is to say about them, by weight.
    """

    job: Job
    points: Surveyed | None
    stays: tuple[StayMade, ...]
    rooms: tuple[RoomLeft, ...]
    ways: tuple[WayThrough, ...]
    findings: tuple[Finding, ...]

    @property
    def any(self) -> bool:
        """Whether the job says anything of what the frame must fit."""
        return self.points is not None or bool(self.stays or self.rooms or self.ways)


_fits: Kept[FitRound] = Kept(16)


def fit_round(result: Result) -> FitRound:
    """Return what the frame of a job must fit, and whether it does."""
    loaded = carried(result) if result.job.keepouts else None
    return _fits.of(_all_of(result), lambda _: _made(result, loaded))


def is_fitted(result: Result) -> bool:
    """Tell whether ``fit_round`` has its answer at hand: worked out before, or without keep-outs and openings."""
    return not (result.job.keepouts or result.job.openings) or _fits.has(_all_of(result))


def _all_of(result: Result) -> Hashable:
    """All that the answer depends on."""
    job, (bars, _) = result.job, frame_of(result)
    return job.name, job.version, bars, job.survey, job.stays, job.keepouts, job.openings, job.load


def with_fit_round(result: Result) -> Result:
    """Return a result with what there is to say about what its frame must fit among its findings."""
    found = fit_round(result).findings
    return replace(result, findings=by_weight((*result.findings, *found))) if found else result


def _made(result: Result, loaded: Carried | None) -> FitRound:
    job = result.job
    named = [end for stay in job.stays for end in (stay.asked.start, stay.asked.end) if isinstance(end, str)]
    points = surveyed(job.survey, tuple(dict.fromkeys(named))) if job.survey else None
    stays = stays_made(result, points)
    rooms = rooms_left(result, loaded)
    ways = ways_through(result)
    found = (
        *(survey_findings(points) if points else ()),
        *stay_findings(stays, points),
        *room_findings(rooms, ways),
    )
    return FitRound(job, points, stays, rooms, ways, by_weight(found))
