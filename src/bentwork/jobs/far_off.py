"""Readings of a bend that lie far from its drawing: when to ask, and what to say."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from bentwork.findings import Finding
from bentwork.fitup.doubted import towards
from bentwork.fitup.readings import Reading
from bentwork.fitup.slips import Cause, otherwise_read
from bentwork.jobs.measured import MadeBend
from bentwork.jobs.work import PiecePlan
from bentwork.piece.bend import half_turn
from bentwork.piece.bend_table import BendTable
from bentwork.units import Units

__all__ = ["Plausible", "far_off", "plausible", "turned_against"]

_LEAST_APART = 5.0, 8.0, 5.0
"""Degrees of angle, degrees of rotation, mm: a reading this near to the drawing is never questioned. Common slips are
further off (98 for 89; the corner of 120 for the bend of 60), an ordinary hand is not (common practice, no source)."""

_SIGMAS = 4.0
"""Nor is one within so many standard deviations of the maker's hand: beyond lie 6 of 100,000 readings."""

_GO_BY_IT = "Measure it again, or set it by hand as far as that is told; the steps shown make the best of it as it is."
_OR_A_SLIP = "Measure it again. If it was a slip, strike the entry out and log what it really is."


@dataclass(frozen=True, slots=True)
class Plausible:
    """Between which readings no question is asked: angle and rotation in degrees, position in mm."""

    angle: tuple[float, float]
    rotation: tuple[float, float]
    position: tuple[float, float]


def turned_against(table: BendTable, bend: int, made: Iterable[int]) -> tuple[int, float] | None:
    """Return the nearest bend made before one, towards end A, and the rotation drawn against it, degrees; or None."""
    before = max((one for one in made if one < bend), default=0)
    if not before:
        return None
    ways = table.directions
    return before, half_turn(ways[bend - 1] - ways[before - 1])


def plausible(plan: PiecePlan, bend: int, made: Iterable[int] = ()) -> Plausible:
    """Return between which readings of a bend no question is asked: its plan, and some of the maker's own scatter.

    Args:
        plan: of the piece, which has a bender and fits.
        bend: number of the bend.
        made: bends that are made: the rotation is that against the nearest of them; none for the bend before.
    """
    assert plan.bender is not None
    assert plan.table is not None
    one, hand = plan.table.bends[bend - 1], plan.bender.scatter
    start = next(mark.start for mark in plan.marks if mark.bend == bend)
    spans = [
        max(least, _SIGMAS * sd)
        for least, sd in zip(_LEAST_APART, (hand.angle, hand.rotation, hand.position), strict=True)
    ]
    against = turned_against(plan.table, bend, made)
    turn = one.rotation if against is None else against[1]
    angle, rotation, position = (
        (middle - span, middle + span) for middle, span in zip((one.angle, turn, start), spans, strict=True)
    )
    return Plausible(angle, rotation, position)


def far_off(plan: PiecePlan, made: Sequence[MadeBend], units: Units) -> Iterator[Finding]:
    """Yield what there is to say about bends that were logged far from the drawing; ``units``: of the maker's tape."""
    for one in made:
        if plan.bender is None or plan.table is None:
            return
        drawn, span = plan.table.bends[one.bend - 1], plausible(plan, one.bend)
        start = next(mark.start for mark in plan.marks if mark.bend == one.bend)
        told, asked, lengths = [], [], {}
        if not span.angle[0] <= one.angle <= span.angle[1]:
            asked += [_asked(meant) for meant in _meant(Reading("angle", one.angle, one.bend), span.angle)]
            told.append(f"{one.angle:g}° was measured, {round(drawn.angle, 1):g}° is drawn.")
        if one.rotation is not None:
            # Which bends were made when it was read is not known here: asked about is what fits none of them.
            ways = plan.table.directions
            turns = [half_turn(ways[one.bend - 1] - ways[b.bend - 1]) for b in made if b.bend < one.bend]
            turns = turns or [drawn.rotation]
            wide = span.rotation[1] - drawn.rotation
            if min(abs(half_turn(one.rotation - turn)) for turn in turns) > wide:
                read = Reading("rotation", one.rotation, max(2, one.bend))
                asked += [_asked(meant) for meant in _meant(read, (turns[0] - wide, turns[0] + wide))]
                told.append(f"A rotation of {one.rotation:g}° was measured, {round(turns[0], 1):g}° is drawn.")
        if one.position is not None and not span.position[0] <= one.position <= span.position[1]:
            told.append("It was found to begin at {found}; its mark is at {mark}.")
            lengths = {"found": one.position, "mark": start}
            read = Reading("begins", one.position, one.bend, mark=start, units=units)
            for cause, meant in _meant(read, span.position):
                off = towards(meant - start, lambda _: "{off}", " off it")
                asked.append(f"Did you mean {off}, at {{meant}} ({cause})?")
                lengths |= {"off": abs(meant - start), "meant": meant}
        if told:
            told += ["You said that it is right: it counts."] if one.sure else []
            yield Finding(
                "watch",
                "far-from-drawn",
                _says(one, drawn.angle, span.angle),
                " ".join(told),
                _GO_BY_IT if one.sure else " ".join([*asked, _OR_A_SLIP]),
                piece=plan.spec.name,
                bend=one.bend,
                lengths=lengths,
            )


def _meant(read: Reading, span: tuple[float, float]) -> Iterator[tuple[Cause, float]]:
    """Yield the slip of the hand, if there is one, by which a reading that lies near the drawing became this one."""
    near = ((cause, value) for cause, value in otherwise_read(read) if span[0] <= value <= span[1])
    yield from islice(near, 1)


def _asked(meant: tuple[Cause, float]) -> str:
    cause, value = meant
    return f"Did you mean {round(value, 2):g}° ({cause})?"


def _says(one: MadeBend, drawn: float, span: tuple[float, float]) -> str:
    if not one.sure or span[0] <= one.angle <= span[1]:
        return f"Bend {one.bend} was logged far from the drawing."
    over = one.angle - drawn
    return f"Bend {one.bend} is {round(abs(over), 1):g}° too {'far' if over > 0.0 else 'little'}."
