"""What the load takes of the strength where a closed piece might be joined: fit-up asks, carry knows."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bentwork.carry.bar import Bar
from bentwork.carry.nearest import nearest_station
from bentwork.carry.seam_load import used_at_seam
from bentwork.jobs.carried import Carried, carried
from bentwork.jobs.what_if import reshaped
from bentwork.jobs.work import PiecePlan, Result
from bentwork.piece.corners import Corners, Seam

__all__ = ["SeamLoad", "seam_load"]


@dataclass(frozen=True, slots=True, eq=False)
class SeamLoad:
    """What a load takes of the strength at the seam of a piece: safety included, in the worst case and copy of it.

    Args:
        result: of the job.
        found: what its frame carries.
        plan: of the piece, closed.
        shape: its corners.
    """

    result: Result
    found: Carried
    plan: PiecePlan
    shape: Corners

    def at(self, seam: Seam) -> float:
        """Return it by the frame as it is joined now: quick, and right but for loads that follow end A."""
        spec, stock, line = self.plan.spec, self.plan.stock, self.plan.line
        assert line is not None
        as_drawn = Bar(spec.name, line, stock.section, stock.material, spec.way, spec.name)
        # All copies, of the other hand too, have the same stations.
        station, _ = nearest_station(as_drawn, self.shape.centreline(seam).start.origin)
        return self._used(self.found, station)

    def once_joined(self, seam: Seam) -> float:
        """Return it by the frame as it is once the piece is joined there; as now where that cannot be reckoned."""
        plan = self.plan
        moved = reshaped(plan, replace(plan.spec, seam=seam))
        if moved is None:
            return self.at(seam)
        pieces = tuple(moved if one.spec.name == plan.spec.name else one for one in self.result.pieces)
        found = carried(replace(self.result, pieces=pieces))
        return self.at(seam) if found is None or found.verdict.limits is None else self._used(found, 0.0)

    def _used(self, found: Carried, station: float) -> float:
        bars = [number for number, bar in enumerate(found.structure.bars) if bar.of == self.plan.spec.name]
        return used_at_seam(found.verdict, bars, station, found.load.rules) or 0.0


def seam_load(result: Result, plan: PiecePlan) -> SeamLoad | None:
    """Return what a load takes of the strength at a seam; None where that is not known, or the piece has no seam.

    Args:
        result: of the job.
        plan: of the piece.
    """
    shape = plan.spec.shape
    if plan.line is None or not isinstance(shape, Corners) or not shape.closed:
        return None
    found = carried(result)
    if found is None or found.verdict.limits is None:
        return None
    return SeamLoad(result, found, plan, shape)
