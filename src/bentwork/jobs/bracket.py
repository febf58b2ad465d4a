"""The brackets of a job: pieces of flat bar laid out flat, with their holes, bend lines and the work at the V-block."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bentwork.fastening.faults import thread_findings
from bentwork.fastening.holding import engagement
from bentwork.findings import Finding, by_weight
from bentwork.forming.flat import FlatBend
from bentwork.jobs.hole_asked import HoleAsked, drilled_into_bar
from bentwork.jobs.hole_place import Spot, spot_of
from bentwork.jobs.rail import side_of
from bentwork.jobs.work import PiecePlan, Result
from bentwork.models.flat_pattern import has_flat_pattern
from bentwork.parts.bracket import Blank, FlatHole, Fold, Seat, seat_of
from bentwork.parts.bracket_faults import hole_findings
from bentwork.piece.centreline import Run
from bentwork.planning.flat_bar import folds, takes_less
from bentwork.planning.marks import Mark
from bentwork.stock.section import Flat

__all__ = ["Bracket", "HoleMade", "brackets", "in_the_flat", "with_brackets"]


@dataclass(frozen=True, slots=True)
class HoleMade:
    """A hole in the flat.

    Args:
        asked: as the job has it.
        seat: how it lies in the flat, to bends and edges.
        side: number of the side that it is in.
        from_side: from the beginning of the straight of that side, mm.
        off_face: how far the given place stands from the middle of the thickness, mm.
        drill: diameter of the drill, mm.
    """

    asked: HoleAsked
    seat: Seat
    side: int
    from_side: float
    off_face: float
    drill: float

    @property
    def flat(self) -> FlatHole:
        """The hole in the flat."""
        return self.seat.hole

    @property
    def cut_in_the_flat(self) -> bool:
        """Whether it is drilled before the bar is bent."""
        return not self.seat.after


@dataclass(frozen=True, slots=True)
class Bracket:
    """A piece of flat bar in the flat, of one hand.

    Args:
        name: of the piece, with its hand where both are made.
        plan: of the piece.
        blank: that it is bent from.
        holes: in it.
        bends: each with its allowance by the handbook.
        as_drawn: False for the opposite hand.
    """

    name: str
    plan: PiecePlan
    blank: Blank
    holes: tuple[HoleMade, ...]
    bends: tuple[FlatBend, ...]
    as_drawn: bool

    @property
    def less(self) -> float:
        """How much less bar it is cut from than its middle is long, mm; more is below 0."""
        return -self.plan.more_bar

    @property
    def learnt(self) -> bool:
        """Whether test bends say what the bends take."""
        what = self.plan.what
        table = self.plan.table
        return what is not None and table is not None and all(what.shift(b.angle) is not None for b in table.bends)


def brackets(result: Result) -> tuple[Bracket, ...]:
    """Return every piece of flat bar bent the easy way, of either hand."""
    found = []
    for plan in result.pieces:
        spec = plan.spec
        own = _bracket(plan, plan.spec.hand if spec.mirror else "", as_drawn=True)
        if own is None:
            continue
        found.append(own)
        if plan.opposite is not None:
            other = _bracket(plan.opposite, spec.other_hand, as_drawn=False, of=plan)
            found += [other] if other else []
    return tuple(found)


def with_brackets(result: Result) -> Result:
    """Return a result with what there is to say about the holes of its brackets among its findings."""
    found = [told for one in brackets(result) if one.holes and one.as_drawn for told in _about(one)]
    return replace(result, findings=by_weight((*result.findings, *found))) if found else result


def _bracket(plan: PiecePlan, hand: str, *, as_drawn: bool, of: PiecePlan | None = None) -> Bracket | None:
    spec, section, line = plan.spec, plan.stock.section, plan.line
    drawn = (of or plan).line
    if line is None or drawn is None or not isinstance(section, Flat):
        return None
    flat_pattern = has_flat_pattern(line.table, section, spec.way)
    if not flat_pattern and (not spec.holes or drilled_into_bar(section, spec.way)):
        return None
    marks = plan.marks
    kept = tuple(
        Fold(mark.bend, mark.start, mark.end, bend.angle, abs(mark.direction) < 90.0)
        for mark, bend in zip(marks, line.table.bends, strict=True)
    )
    block = plan.bender.block if plan.bender is not None and plan.bender.kind == "vee" else None
    opening = block.opening if block else None
    blank = Blank(plan.cut_length, section.width, section.height, spec.trim, kept, opening)
    runs = drawn.runs
    holes = []
    for number, asked in enumerate(spec.holes, 1):
        spot = spot_of(asked, spec, drawn)
        across = spot.across if as_drawn else -spot.across
        x = in_the_flat(spot.station, runs, marks, spec.trim + plan.longer[0])
        seat = seat_of(FlatHole(number, x, across, asked.diameter, asked.slot, asked.runs), blank)
        holes.append(_made(asked, spot, seat, plan))
    name = f"{spec.name} {hand}".strip()
    return Bracket(name, plan, blank, tuple(holes), folds(line.table.bends, section, plan.stock.material), as_drawn)


def _made(asked: HoleAsked, spot: Spot, seat: Seat, plan: PiecePlan) -> HoleMade:
    drill = asked.thread.drill if asked.tapped and asked.thread else asked.diameter
    return HoleMade(asked, seat, side_of(plan.spec, spot.straight), spot.from_straight, spot.off_face, drill)


def in_the_flat(station: float, runs: Sequence[Run], marks: Sequence[Mark], trim: float) -> float:
    """Return where a place on the drawn middle line lies in the flat, mm: evenly from mark to mark in a bend."""
    moved = 0.0
    for run in runs:
        if run.bend == 0:
            if station <= run.station + run.length or run is runs[-1]:
                break
        elif station < run.station + run.length:
            mark = marks[run.bend - 1]
            return mark.start + (station - run.station) / run.length * (mark.end - mark.start)
        else:
            moved = marks[run.bend - 1].moved
    return trim + station + moved


def _about(one: Bracket) -> tuple[Finding, ...]:
    spec, stock = one.plan.spec, one.plan.stock
    found = list(hole_findings([hole.seat for hole in one.holes], one.blank, spec.name))
    for hole in one.holes:
        words = f"{spec.name}, number {hole.flat.number},"
        if hole.off_face > one.blank.thickness / 2.0 + 0.5:
            found.append(
                Finding(
                    "watch",
                    "hole-off-piece",
                    f"The place given for hole {hole.flat.number} of {spec.name} is not in the bar.",
                    "It stands {away} from the middle of the thickness; the hole is drilled square to the face beside "
                    "it.",
                    "Check the place, or give along = … and across = … instead.",
                    piece=spec.name,
                    lengths={"away": hole.off_face},
                )
            )
        if hole.asked.side not in (None, hole.side) and not hole.seat.in_bend:
            found.append(_on_another_side(hole, spec.name))
        thread = hole.asked.thread
        if hole.asked.tapped and thread is not None:
            wanted = engagement(thread, hole.asked.grade, stock.material.tensile_strength.value)
            metal, has = stock.material.name, one.blank.thickness
            found += thread_findings(thread.name, hole.asked.grade, wanted, has, metal, words, spec.name)
    return (*found, *_developed(one))


def _on_another_side(hole: HoleMade, piece: str) -> Finding:
    return Finding(
        "watch",
        "hole-off-piece",
        f"Hole {hole.flat.number} of {piece} is asked for on side {hole.asked.side}, and lies on side {hole.side}.",
        f"{{along}} from the corner point where side {hole.asked.side} begins is beyond its other end.",
        f"Check along and side; from the corner point of side {hole.side} it is told without doubt.",
        piece=piece,
        lengths={"along": hole.asked.along or 0.0},
    )


def _developed(one: Bracket) -> tuple[Finding, ...]:
    """Say that the flat allows for the neutral line, where test bends do not say better."""
    table = one.plan.table
    if one.learnt or table is None or not isinstance(one.plan.stock.section, Flat) or not table.bends:
        return ()
    short = math.fsum(takes_less(table.bends, one.plan.stock.section, one.plan.stock.material))
    return (
        Finding(
            "note",
            "flat-takes-less",
            f"The flat of {one.plan.spec.name} allows for what tight bends of flat bar take.",
            f"Their neutral line lies {one.bends[0].k:.2f} of the thickness from the inside (handbook tables): it is "
            "cut {short} shorter than its middle is long, and its marks and holes are moved likewise.",
            "Measure the legs of a test bend: then the flat goes by what you measured.",
            piece=one.plan.spec.name,
            lengths={"short": short},
        ),
    )
