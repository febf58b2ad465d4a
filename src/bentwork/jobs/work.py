"""From a job to everything that is known about it. The faces call this and nothing below it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import chain

from bentwork.bending.known import Known, known, made_in
from bentwork.bending.set_up import SetUp
from bentwork.bending.test_bend import TestBend
from bentwork.findings import Finding, by_weight, has_stop
from bentwork.jobs.job import Job, PieceSpec
from bentwork.jobs.kept import Kept
from bentwork.jobs.letters import letter_findings
from bentwork.jobs.modelled import model_findings
from bentwork.jobs.orders import order_of
from bentwork.jobs.own_ends import long_points
from bentwork.jobs.pairs import Pair, pairs
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.piece.misfits import closure, misfits, runs_on
from bentwork.planning.flat_bar import laid_out
from bentwork.planning.limits import bar_findings, bender_findings
from bentwork.planning.marks import Mark, as_learnt, marks_for
from bentwork.planning.metal import bare_findings, tool_findings
from bentwork.planning.order_problem import MOST_MOUNTINGS, Order, OrderProblem, Progress
from bentwork.planning.order_remedies import Remedy
from bentwork.planning.ordered import drawn_order_findings, in_order, is_described, order_findings
from bentwork.planning.steps import Step, as_drawn
from bentwork.planning.sureness import mark_findings, springback_findings
from bentwork.stock.bar import Stock
from bentwork.stock.library import other_tempers
from bentwork.stock.material import Material
from bentwork.stock.section import Flat
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting

__all__ = ["PiecePlan", "Result", "order_problem", "plan_piece", "work"]


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
        what: is known of its bar on its bender; None without a bender.
        order: of its bends, where something is known of what the bar may hit; None where not.
        remedies: what would give an order where there is none.
        more_bar: how much more bar its bends take in all than is drawn, by the test bends, mm; less is below 0.
        opposite: the plan of the mirror image, where one is made.
        described: whether the job gives sizes of its bender or of what stands round it.
        longer: how much longer than drawn a straight bar is sawn for the longest points of slanting cuts at end A and
            B, mm; a bent one is cut after bending, out of its trim.
    """

    spec: PieceSpec
    stock: Stock
    bender: Bender | None
    line: Centreline | None
    marks: tuple[Mark, ...]
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]
    what: Known | None = None
    order: Order | None = None
    remedies: tuple[Remedy, ...] = ()
    more_bar: float = 0.0
    opposite: PiecePlan | None = None
    described: bool = False
    longer: tuple[float, float] = (0.0, 0.0)

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
        return self.length + self.more_bar + sum(self.longer) + 2.0 * self.spec.trim if self.line else 0.0

    @property
    def mass(self) -> float:
        """Mass of the finished piece, kg."""
        return self.length / 1000.0 * self.stock.mass_per_metre

    def with_findings(self, more: Iterable[Finding]) -> PiecePlan:
        """Return the same plan with more to say about both its hands."""
        said = tuple(more)
        other = self.opposite.with_findings(said) if self.opposite else None
        return replace(self, findings=(*self.findings, *said), opposite=other)

    @property
    def makes(self) -> int:
        """How many are made of the hands planned here."""
        return self.spec.count * (2 if self.opposite else 1)

    @property
    def unchecked(self) -> bool:
        """Whether it has steps, and nothing is known of what the bar may hit in them."""
        return bool(self.steps) and self.order is None and not self.described


@dataclass(frozen=True, slots=True)
class Result:
    """Everything worked out from a job.

    Args:
        job: what was asked for.
        pieces: one plan for each piece of the job, in its order.
        findings: all findings, weightiest first, each naming its piece.
        test_bends: of the maker, that it was worked out with.
    """

    job: Job
    pieces: tuple[PiecePlan, ...]
    findings: tuple[Finding, ...]
    test_bends: tuple[TestBend, ...] = ()

    @property
    def stopped(self) -> bool:
        """Tell whether anything will not work or is not safe."""
        return has_stop(self.findings)


_plans: Kept[PiecePlan] = Kept(512)
_knowledge: Kept[Known] = Kept(64)
_sureness: Kept[tuple[Finding, ...]] = Kept(64)


def work(job: Job, test_bends: Sequence[TestBend] = (), progress: Progress | None = None) -> Result:
    """Work out the whole job.

    Args:
        job: what is asked for.
        test_bends: every test bend that the maker ever made; those of the job's bars on its benders are used.
        progress: called while an order is searched, with how much is done and of how much; True stops the search.
    """
    bent = {(pair.stock, pair.bender, pair.way): (pair, *_known(pair.set_up, test_bends)) for pair in pairs(job)}
    pieces = []
    for spec in job.pieces:
        stock = job.stocks[spec.stock]
        on = bent[spec.stock, spec.bender, spec.way] if spec.bender else None
        tempers = other_tempers(stock.material, job.materials)
        mountings = job.mountings_of(spec.bender)
        making = partial(plan_piece, spec, stock, on[1] if on else None, mountings, tempers)
        plan = _plans.of((spec, stock, (on[0].set_up, on[2]) if on else None, mountings, tempers), making, progress)
        sure = _sure(on[0], on[1], on[2]) if on and plan.steps else ()
        pieces.append(plan.with_findings(finding.about(spec.name) for finding in sure))
    of_pieces = chain.from_iterable(piece.findings for piece in pieces)
    found = _once([*of_pieces, *_about_order(pieces), *letter_findings(job)])
    return Result(job, tuple(pieces), by_weight(found), tuple(test_bends))


def _known(set_up: SetUp, test_bends: Sequence[TestBend]) -> tuple[Known, tuple[TestBend, ...]]:
    """Return what is known of a bar on a bender, and the test bends that it is known from."""
    made = made_in(set_up, test_bends)
    return _knowledge.of((set_up, made), lambda _: known(set_up, made)), made


def _sure(pair: Pair, what: Known, made: tuple[TestBend, ...]) -> tuple[Finding, ...]:
    """Return how sure the pulls of a pair are: the same for all its pieces."""
    return _sureness.of((pair, made), lambda _: tuple(springback_findings(what, pair.bends)))


def plan_piece(
    spec: PieceSpec,
    stock: Stock,
    what: Known | None,
    mountings: Sequence[Mounting] = (),
    tempers: Sequence[Material] = (),
    progress: Progress | None = None,
) -> PiecePlan:
    """Plan one piece, and its opposite hand where one is made.

    Args:
        spec: the piece as asked for.
        stock: its bar.
        what: is known of the bar on its bender; None where no bender is named.
        mountings: of the bender.
        tempers: the same metal in other tempers.
        progress: see ``work``.
    """
    bender = what.set_up.bender if what else None
    line, found = line_of(spec)
    if line is None:
        named = tuple(finding.about(spec.name) for finding in found)
        return PiecePlan(spec, stock, bender, None, (), (), named, what)
    own = _plan_line(spec, stock, what, mountings, line, tempers, progress)
    if not spec.mirror:
        return own
    mirror = spec.mirror_in
    image = line.mirrored(mirror.axis, mirror.at) if mirror else line.mirrored()
    return replace(own, opposite=_plan_line(spec, stock, what, mountings, image, tempers, progress))


def line_of(spec: PieceSpec) -> tuple[Centreline | None, tuple[Finding, ...]]:
    """Return a piece in space, and what keeps it from being one; None where anything does."""
    if isinstance(spec.shape, Corners):
        found = misfits(spec.shape)
        return (None if found else spec.shape.centreline(spec.seam)), found
    line = Centreline(spec.shape.table, spec.shape.start)
    found = closure(line)
    return (None if found else line), found


def _plan_line(
    spec: PieceSpec,
    stock: Stock,
    what: Known | None,
    mountings: Sequence[Mounting],
    line: Centreline,
    tempers: Sequence[Material],
    progress: Progress | None,
) -> PiecePlan:
    table = line.table
    bender = what.set_up.bender if what else None
    marks = marks_for(table, spec.trim, stock.section.depth() if stock.section.kind in ("round", "tube") else None)
    flat = stock.section if spec.holes and isinstance(stock.section, Flat) and spec.way == "easy" else None
    if flat is not None:
        marks, more_bar = laid_out(marks, table, flat, stock.material, what)
    else:
        marks, more_bar = (marks, 0.0) if what is None else as_learnt(marks, table, what)
    longer = (0.0, 0.0) if table.bends else long_points(spec, stock.section, line)
    steps = as_drawn(table, marks, bender, mountings[0].name if mountings else None, what)
    order: Order | None = None
    about_order: tuple[Finding, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    described = what is not None and is_described(what.set_up.bender, mountings)
    if what is not None and table.bends and what.on_die is not None and described:
        problem = order_problem(spec, stock, what, mountings, table)
        try:
            ordered = order_of(problem, progress)
        except ValueError as error:
            about_order = (_cannot_be(what.set_up.bender, error),)
        else:
            order, remedies = ordered.order, ordered.remedies
            about_order = (*order_findings(order, problem, remedies), *drawn_order_findings(order, problem))
            steps = in_order(order, problem, marks, what) if order.feasible else steps
    found = (
        *(model_findings(spec.modelled, stock, spec.trim, spec.way) if spec.modelled else ()),
        *bar_findings(table.length + more_bar + sum(longer) + 2.0 * spec.trim, stock),
        *bender_findings(table, steps, bender, spec.trim),
        *runs_on(table),
        *about_order,
        *(
            bare_findings(table.bends, stock, spec.way, tempers)
            if what is None
            else (
                *tool_findings(what, table.bends, tempers, developed=flat is not None),
                *mark_findings(what, table.bends),
            )
        ),
    )
    named = tuple(finding.about(spec.name) for finding in found)
    return PiecePlan(
        spec,
        stock,
        bender,
        line,
        marks,
        steps,
        named,
        what,
        order,
        remedies,
        more_bar,
        described=described,
        longer=longer,
    )


def _cannot_be(bender: Bender, error: ValueError) -> Finding:
    return Finding(
        "stop",
        "bender-cannot-be",
        f"The sizes of {bender.name} or of what stands round it cannot be.",
        f"{error}.".replace("{", "(").replace("}", ")"),
        "Measure them again: the paper of the benders draws which is which (bentwork paper JOB --only benders).",
    )


def order_problem(
    spec: PieceSpec,
    stock: Stock,
    what: Known,
    mountings: Sequence[Mounting],
    table: BendTable,
    made: frozenset[int] = frozenset(),
) -> OrderProblem:
    """Return what the order search is asked for a piece of which some bends may be made already."""
    return OrderProblem(
        table,
        tuple(max(what.bend_to(bend.angle), bend.angle) for bend in table.bends),
        stock.section,
        what.set_up.bender,
        tuple(mountings[:MOST_MOUNTINGS]),
        spec.way,
        spec.trim,
        spec.required_clearance,
        made,
    )


def _about_order(pieces: Iterable[PiecePlan]) -> list[Finding]:
    unchecked = [piece.spec.name for piece in pieces if piece.unchecked]
    if not unchecked:
        return []
    return [
        Finding(
            "note",
            "order-unchecked",
            f"The bends of {', '.join(unchecked)} are made in the order of the drawing, end A held.",
            "What the bar, the follower and the bench may hit on the way is not known: the job does not say how big "
            "die, hook, follower and arm are.",
            "Measure the bender and write its sizes into the job, or go through the steps with a bent wire.",
        )
    ]


def _amounts(finding: Finding) -> list[object]:
    """Return the amounts in a finding's texts, in the order of their names."""
    return [*sorted(finding.lengths.items()), *sorted(finding.loads.items(), key=lambda item: item[0])]


def _once(findings: Iterable[Finding]) -> list[Finding]:
    """Drop what is said word for word of an earlier piece and is of no one bend: it is of bar and bender."""
    kept: dict[object, Finding] = {}
    for number, finding in enumerate(findings):
        of_one = finding.piece is None or finding.bend is not None or finding.corner is not None
        words = (finding.code, finding.says, finding.why, finding.do, *map(str, _amounts(finding)))
        kept.setdefault(number if of_one else words, finding)
    return list(kept.values())
