"""From a job to everything that is known about it. The faces call this and nothing below it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import chain

from bentwork.findings import Finding, by_weight, has_stop
from bentwork.jobs.job import Job, PieceSpec
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.piece.misfits import closure, misfits, runs_on
from bentwork.planning.limits import bar_findings, bender_findings
from bentwork.planning.marks import Mark, marks_for
from bentwork.planning.steps import Step, as_drawn
from bentwork.stock.bar import Stock
from bentwork.tooling.bender import Bender

__all__ = ["PiecePlan", "Result", "plan_piece", "work"]


@dataclass(frozen=True, slots=True)
class PiecePlan:
    """What is known about one piece, or about its opposite hand.

    Args:
        spec: the piece as asked for.
        stock: its bar.
        bender: its bender; None where it has none.
        line: the piece in space; None when its corners do not fit.
        marks: of every bend.
        steps: the work at the bender.
        findings: what there is to say about it.
        opposite: the plan of the mirror image, where one is made.
    """

    spec: PieceSpec
    stock: Stock
    bender: Bender | None
    line: Centreline | None
    marks: tuple[Mark, ...]
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]
    opposite: PiecePlan | None = None

    @property
    def feasible(self) -> bool:
        """Tell whether nothing known keeps the piece from being made."""
        return not has_stop(self.findings)

    @property
    def table(self) -> BendTable | None:
        """The bend table; None when the corners do not fit."""
        return self.line.table if self.line else None

    @property
    def length(self) -> float:
        """Length of the centreline, mm; 0 when the corners do not fit."""
        return self.line.table.length if self.line else 0.0

    @property
    def cut_length(self) -> float:
        """Length to cut the bar to, trim on both ends included, mm."""
        return self.length + 2.0 * self.spec.trim if self.line else 0.0

    @property
    def mass(self) -> float:
        """Mass of the finished piece, kg."""
        return self.length / 1000.0 * self.stock.mass_per_metre

    @property
    def makes(self) -> int:
        """How many are made of the hands planned here."""
        return self.spec.count * (2 if self.opposite else 1)


@dataclass(frozen=True, slots=True)
class Result:
    """Everything worked out from a job.

    Args:
        job: what was asked for.
        pieces: one plan for each piece of the job, in its order.
        findings: all findings, weightiest first, each naming its piece.
    """

    job: Job
    pieces: tuple[PiecePlan, ...]
    findings: tuple[Finding, ...]

    @property
    def stopped(self) -> bool:
        """Tell whether anything will not work or is not safe."""
        return has_stop(self.findings)


def work(job: Job) -> Result:
    """Work out the whole job."""
    mountings = {mounting.bender: mounting.name for mounting in reversed(list(job.mountings.values()))}
    pieces = []
    for spec in job.pieces:
        bender = job.benders[spec.bender] if spec.bender else None
        pieces.append(plan_piece(spec, job.stocks[spec.stock], bender, mountings.get(spec.bender or "")))
    found = chain.from_iterable(piece.findings for piece in pieces)
    return Result(job, tuple(pieces), by_weight(_once([*found, *_about_order(pieces)])))


def plan_piece(spec: PieceSpec, stock: Stock, bender: Bender | None, mounting: str | None = None) -> PiecePlan:
    """Plan one piece, and its opposite hand where one is made."""
    line, found = _line(spec)
    if line is None:
        return PiecePlan(spec, stock, bender, None, (), (), tuple(finding.about(spec.name) for finding in found))
    own = _plan_line(spec, stock, bender, mounting, line)
    if not spec.mirror:
        return own
    mirror = spec.mirror_in
    image = line.mirrored(mirror.axis, mirror.at) if mirror else line.mirrored()
    other = _plan_line(spec, stock, bender, mounting, image)
    return PiecePlan(spec, stock, bender, line, own.marks, own.steps, own.findings, other)


def _line(spec: PieceSpec) -> tuple[Centreline | None, tuple[Finding, ...]]:
    if isinstance(spec.shape, Corners):
        found = misfits(spec.shape)
        return (None if found else spec.shape.centreline(spec.seam)), found
    line = Centreline(spec.shape.table, spec.shape.start)
    found = closure(line)
    return (None if found else line), found


def _plan_line(
    spec: PieceSpec, stock: Stock, bender: Bender | None, mounting: str | None, line: Centreline
) -> PiecePlan:
    table = line.table
    marks = marks_for(table, spec.trim, stock.section.depth() if stock.section.kind in ("round", "tube") else None)
    steps = as_drawn(table, marks, bender, mounting)
    found = (
        *bar_findings(table.length + 2.0 * spec.trim, stock),
        *bender_findings(table, steps, bender),
        *runs_on(table),
    )
    named = tuple(finding.about(spec.name) for finding in found)
    return PiecePlan(spec, stock, bender, line, marks, steps, named)


def _about_order(pieces: Iterable[PiecePlan]) -> list[Finding]:
    bent = [piece.spec.name for piece in pieces if piece.steps]
    if not bent:
        return []
    return [
        Finding(
            "note",
            "order-unchecked",
            "The bends are made in the order of the drawing, end A held.",
            "What the bar, the follower and the bench may hit on the way has not been worked out.",
            "Go through the steps with a bent wire before you cut the bar.",
        )
    ]


def _once(findings: Iterable[Finding]) -> list[Finding]:
    """Drop findings that say word for word the same of another piece: a bender is mended once."""
    kept: dict[tuple[str, str, str], Finding] = {}
    rest = []
    for finding in findings:
        if finding.code != "springback-unknown":
            rest.append(finding)
            continue
        kept.setdefault((finding.code, finding.says, finding.do), finding)
    return [*rest, *kept.values()]
