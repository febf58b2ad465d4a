"""From a result to the small parts of its frame: ends of bars on others, the jig for them, tabs; kept by revision."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from bentwork.carry.touching import TOUCHES_WITHIN
from bentwork.findings import Finding, by_weight
from bentwork.jobs.bar_hole_told import about_bar_holes
from bentwork.jobs.bar_holes import BarHole, bar_holes
from bentwork.jobs.carried import frame_of
from bentwork.jobs.crossbar import lay
from bentwork.jobs.end_faults import about_end
from bentwork.jobs.endings import EndedBar, Ending, ended_bars
from bentwork.jobs.jig import Row, rows
from bentwork.jobs.job import Job, PieceSpec
from bentwork.jobs.kept import Kept
from bentwork.jobs.own_end_faults import about_own_ends
from bentwork.jobs.own_ends import EndStanding, own_ends
from bentwork.jobs.rail import rail_of
from bentwork.jobs.tabs import Pattern, tab_patterns
from bentwork.jobs.work import PiecePlan, Result

__all__ = ["Crossbars", "OwnEnded", "SmallParts", "small_parts", "with_small_parts"]


@dataclass(frozen=True, slots=True)
class Crossbars:
    """Bars that are cut alike.

    Args:
        bars: all of them, where they stand.
        piece: name of the piece that they are made as.
        stock: name of its stock.
    """

    bars: tuple[EndedBar, ...]
    piece: str
    stock: str

    @property
    def first(self) -> EndedBar:
        """The one that is described."""
        return self.bars[0]

    @property
    def name(self) -> str:
        """What they are called: the piece, or the one bar of it that is cut so."""
        return self.piece if len(self.bars) > 1 else self.first.bar.name

    @property
    def coped(self) -> tuple[Ending, ...]:
        """Those of their ends that are coped."""
        return tuple(one for one in self.first.endings if one.ends == "coped")


@dataclass(frozen=True, slots=True)
class OwnEnded:
    """A piece of which ends are made by themselves, whatever they meet, or round bar or tube that is drilled.

    Args:
        plan: of the piece.
        ends: at most two, A before B, as the piece is drawn.
        holes: drilled into the bar.
        cut_length: of a straight one, mm; None where its other end sits on a bar and tells it.
    """

    plan: PiecePlan
    ends: tuple[EndStanding, ...]
    holes: tuple[BarHole, ...]
    cut_length: float | None

    @property
    def name(self) -> str:
        """What the job calls the piece."""
        return self.plan.spec.name

    @property
    def bends(self) -> int:
        """How many bends it has: of a bent one the ends are made after bending."""
        return len(self.plan.table.bends) if self.plan.table else 0


@dataclass(frozen=True, slots=True)
class SmallParts:
    """The small parts of a frame.

    Args:
        job: what was asked for.
        crossbars: straight bars that end on others, those cut alike together.
        bent: bent ones likewise.
        rows: of bars along the straights they stand on, with the blocks between them.
        tabs: patterns of tabs.
        findings: everything there is to say about them, by weight.
        own: pieces of which ends are made by themselves, and round ones that are drilled; stays tell of theirs.
    """

    job: Job
    crossbars: tuple[Crossbars, ...]
    bent: tuple[Crossbars, ...]
    rows: tuple[Row, ...]
    tabs: tuple[Pattern, ...]
    findings: tuple[Finding, ...]
    own: tuple[OwnEnded, ...] = ()

    @property
    def rows_told(self) -> tuple[Row, ...]:
        """The rows that are told apart from their bars: of a bar cut like no other its end tells where it stands."""
        alone = {group.first.bar.name for group in self.crossbars if len(group.bars) == 1}
        return tuple(row for row in self.rows if not (len(row.bars) == 1 and row.bars[0] in alone))

    @property
    def ended(self) -> tuple[Crossbars, ...]:
        """All bars that end on others, the straight ones first."""
        return (*self.crossbars, *self.bent)

    @property
    def any(self) -> bool:
        """Whether there are any."""
        return bool(self.ended or self.own or self.tabs)


_parts: Kept[SmallParts] = Kept(16)


def small_parts(result: Result) -> SmallParts:
    """Return the small parts of the frame of a job."""
    bars, _ = frame_of(result)
    job = result.job
    key = (job.name, job.version, bars, job.crossbars, job.tabs, job.blocks, job.load.rules, job.load.directions)
    return _parts.of(key, lambda _: _made(result))


def with_small_parts(result: Result) -> Result:
    """Return a result with what there is to say about its small parts among its findings."""
    found = small_parts(result).findings
    return replace(result, findings=by_weight((*result.findings, *found))) if found else result


def _made(result: Result) -> SmallParts:
    job = result.job
    bars, _ = frame_of(result)
    specs = {spec.name: spec for spec in job.pieces}
    ended = ended_bars(bars, specs, job.load.directions.up)
    groups: list[list[EndedBar]] = []
    for one in ended:
        like = next((group for group in groups if group[0].bar.of == one.bar.of and group[0].like(one)), None)
        if like is None:
            groups.append([one])
        else:
            like.append(one)
    alike = [Crossbars(tuple(group), group[0].bar.of, specs[group[0].bar.of].stock) for group in groups]
    crossbars = tuple(group for group in alike if not group.first.bent)
    bent = tuple(group for group in alike if group.first.bent)
    jig = rows([one for one in ended if not one.bent], job.blocks)
    tabs, about_tabs = tab_patterns(job.tabs, bars, specs, job.load.rules.welding)
    about = (told for one in (*crossbars, *bent) for told in _about(one, specs[one.piece]))
    own = tuple(_own_ends(result, {one.piece for one in crossbars}))
    about_own = [told for one in own for told in about_own_ends(one.ends, one.plan.spec, one.bends)]
    about_own += [told for one in own for told in about_bar_holes(one.holes, one.plan.stock.section, one.name)]
    nowhere = _end_nowhere(job, {one.bar.of for one in ended})
    found = (*_beyond(job), *about, *about_own, *nowhere, *_about_rows(jig), *about_tabs)
    return SmallParts(job, crossbars, bent, jig, tabs, by_weight(found), own)


def _own_ends(result: Result, ended: set[str]) -> Iterator[OwnEnded]:
    stays = {laid.asked.name for laid in result.job.stays}
    for plan in result.pieces:
        if plan.line is None or plan.spec.name in stays:
            continue
        ends, holes = own_ends(plan.spec, plan.stock.section, plan.line), bar_holes(plan)
        if not ends and not holes:
            continue
        told = bool(plan.line.table.bends) or plan.spec.name in ended
        yield OwnEnded(plan, ends, holes, None if told else plan.cut_length)


def _beyond(job: Job) -> tuple[Finding, ...]:
    """Crossbars that were asked for where one of the straights has ended."""
    specs, found = {spec.name: spec for spec in job.pieces}, []
    for asked in job.crossbars:
        rails = [rail_of(specs, job.stocks, side) for side in asked.between]
        one, other = rails
        if one is None or other is None:
            continue
        for number, laid in enumerate(lay(asked, (one, other), job.stocks[asked.stock].section), 1):
            for side, beyond in zip(asked.between, laid.beyond, strict=True):
                if beyond:
                    found.append(_meets_bend(f"{asked.name} {number}", side.piece, side.number, beyond, laid.start))
    return tuple(found)


def _end_nowhere(job: Job, ended: set[str]) -> tuple[Finding, ...]:
    """Pieces whose ends are asked to sit on other bars, and meet none."""
    laid = {asked.name for asked in job.crossbars}
    return tuple(
        Finding(
            "watch",
            "ends-meet-nothing",
            f"No end of {spec.name} meets another bar.",
            f'ends = "{spec.ends}" asks for ends that are cut to sit on one; within {{within}} of its surface counts.',
            "Draw the end to the middle of the bar that it is to sit on, or take ends out.",
            piece=spec.name,
            lengths={"within": TOUCHES_WITHIN},
        )
        for spec in job.pieces
        if spec.ends and spec.name not in ended and not laid & {spec.name, spec.name.rpartition(" ")[0]}
    )


def _meets_bend(name: str, piece: str, side: int, beyond: float, at: tuple[float, float, float]) -> Finding:
    return Finding(
        "stop",
        "end-meets-bend",
        f"Crossbar {name} stands beyond the straight of {piece}, side {side}.",
        "The straight ends {beyond} before it: there is a bend, or nothing.",
        "Change from, to, spacing, count or shift, so that it meets the straight.",
        piece=piece,
        lengths={"beyond": beyond},
        at=at,
    )


def _about(group: Crossbars, spec: PieceSpec) -> tuple[Finding, ...]:
    found: dict[tuple[str, str], tuple[Finding, list[str]]] = {}
    for ending in group.first.endings:
        for one in about_end(group.first, ending, spec):
            found.setdefault((one.code, one.why), (one, []))[1].append(ending.end)
    return tuple(
        replace(one, says=f"{f'End {ends[0]}' if len(ends) == 1 else 'Each end'} of {group.name} {one.says}")
        for one, ends in found.values()
    )


def _about_rows(found: Sequence[Row]) -> tuple[Finding, ...]:
    told: list[Finding] = []
    for row in found:
        name, side = row.onto[0]
        for number, gap in enumerate(row.between):
            if gap < 0.0:
                pair = f"{row.bars[number]} and {row.bars[number + 1]}"
                says = f"{pair} stand in one another on {name}, side {side}."
                do = "Move one of them."
                told.append(Finding("watch", "crossbars-overlap", says, "By {by}.", do, lengths={"by": -gap}))
        short = {stack.wanted: stack for stack in row.stacks if not stack.fits}
        for wanted, stack in short.items():
            told.append(
                Finding(
                    "note",
                    "blocks-leave-gap",
                    f"The spacer blocks do not make the {{wanted}} between the bars on {name}, side {side}.",
                    "The nearest stack below it is {made} long; {left} is left.",
                    "Put a shim of {left} in, or set the bars so far apart that the blocks make it.",
                    lengths={"wanted": wanted, "made": stack.length, "left": stack.left},
                )
            )
    return tuple(told)
