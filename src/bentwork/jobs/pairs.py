"""Which bars of a job are bent on which of its benders: what a test bend is made for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bentwork.bending.known import Known, known
from bentwork.bending.set_up import SetUp
from bentwork.bending.test_bend import TestBend
from bentwork.errors import Fault, InputError
from bentwork.jobs.job import Job, Placed
from bentwork.piece.bend import Bend
from bentwork.piece.misfits import misfits
from bentwork.stock.section import Way

__all__ = ["Pair", "pair_of", "pairs"]

_SAME_ANGLE = 0.1  # degrees: nobody pulls closer than that


@dataclass(frozen=True, slots=True)
class Pair:
    """A bar on a bender, and the bends that the job makes with them.

    Args:
        stock: name of the bar.
        bender: name of the bender.
        way: which way a flat or rectangular section is bent.
        set_up: the bar on the bender.
        bends: of all pieces that fit.
    """

    stock: str
    bender: str
    way: Way
    set_up: SetUp
    bends: tuple[Bend, ...] = ()

    def known(self, test_bends: Sequence[TestBend] = ()) -> Known:
        """Return what is known of them."""
        return known(self.set_up, test_bends)

    def angles(self, usual: Iterable[float] = ()) -> tuple[float, ...]:
        """Return every angle of the bends and the usual ones, in order; those within a tenth of a degree count once."""
        found: list[float] = []
        for angle in (*sorted(bend.angle for bend in self.bends), *usual):
            if all(abs(angle - other) > _SAME_ANGLE for other in found):
                found.append(angle)
        return tuple(sorted(found))

    def __str__(self) -> str:
        way = ", the hard way" if self.way == "hard" else ""
        return f"{self.stock} on {self.bender}{way}"


def pairs(job: Job) -> tuple[Pair, ...]:
    """Return the bars that the job bends, each with its bender, in the order of its pieces."""
    bends: dict[tuple[str, str, Way], tuple[Bend, ...]] = {}
    for spec in job.pieces:
        if spec.bender is None:
            continue
        if isinstance(spec.shape, Placed):
            own = spec.shape.table.bends
        else:
            own = () if misfits(spec.shape) else spec.shape.centreline(spec.seam).table.bends
        key = (spec.stock, spec.bender, spec.way)
        bends[key] = (*bends.get(key, ()), *own)
    return tuple(_pair(job, *key, made) for key, made in bends.items())


def pair_of(job: Job, stock: str | None = None, bender: str | None = None, way: Way | None = None) -> Pair:
    """Return the pair that is meant; what is not said may be left open as long as only one is left.

    Raises:
        InputError: the job has no such bar or bender, or several pairs are left.
    """
    faults = [
        Fault(what, name, f"the name of a {what} in this job: {', '.join(names) or 'it has none'}")
        for what, name, names in (("stock", stock, job.stocks), ("bender", bender, job.benders))
        if name is not None and name not in names
    ]
    if faults:
        raise InputError(job.name, faults)
    known_pairs = pairs(job)
    left = [
        pair
        for pair in known_pairs
        if stock in (None, pair.stock) and bender in (None, pair.bender) and way in (None, pair.way)
    ]
    if len(left) == 1:
        return left[0]
    if stock is None and not left:
        stock = next(iter(job.stocks)) if len(job.stocks) == 1 else None
    if bender is None and not left:
        bender = next(iter(job.benders)) if len(job.benders) == 1 else None
    if not left and stock is not None and bender is not None:
        return _pair(job, stock, bender, way or "easy", ())
    found = ", ".join(map(str, left or known_pairs)) or "no piece that is bent"
    raise InputError(
        job.name, [Fault("test bend", found, "one bar on one bender", "Say which: --stock NAME --bender NAME.")]
    )


def _pair(job: Job, stock: str, bender: str, way: Way, bends: tuple[Bend, ...]) -> Pair:
    bar = job.stocks[stock]
    return Pair(stock, bender, way, SetUp(bar.section, bar.material, job.benders[bender], way), bends)
