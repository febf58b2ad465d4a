"""One step at the bender as it is read off a screen two metres away: few words, ready to be shown, and an end view."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.planning.sighting import facing, line_faces, neighbour_points, packings
from bentwork.planning.steps import Step
from bentwork.sheets.cautions import at_the_pull
from bentwork.sheets.step_rows import tape_from
from bentwork.sheets.subject import Subject
from bentwork.stock.shape import SectionKind
from bentwork.tooling.bender import Bender
from bentwork.units import angle

__all__ = ["CLOSE", "BenchCard", "EndView", "bench_card"]

CLOSE = 10.0
"""What comes nearer than this is worth watching while one pulls, mm: a hand's play at the end of a long bar."""

_NO_TURN = 0.5  # degrees: nobody turns a bar by less


@dataclass(frozen=True, slots=True)
class EndView:
    """The bar as seen from the end that is held, up being up; angles clockwise, degrees.

    The lever is worked from in front of the bench, with the held end on the left: seen from there, what is towards the
    person at the lever lies on the right.

    Args:
        kind: of the section.
        depth: of the bar in the plane of bend 1, mm.
        breadth: across it, mm.
        line_at: where the scribed line shall be, from up, 0 to 360.
        line_was: where it was in the step before; None in the first, and where the bar is turned end for end.
        roll: from there to here, -180 to 180; 0 where ``line_was`` is None.
    """

    kind: SectionKind
    depth: float
    breadth: float
    line_at: float
    line_was: float | None
    roll: float


@dataclass(frozen=True, slots=True)
class BenchCard:
    """One step. Texts are ready to be shown; empty where there is nothing to say.

    Args:
        step: its number, from 1.
        bend: number of the bend.
        hold: which end is held.
        swap: the bar is turned end for end first.
        mount: where the bender stands, where that changes.
        mark: what is lined up on the tool, as found on a tape.
        unit: of that number.
        mark_from: where the tape starts.
        mark_also: the same mark from what is nearest.
        moved: how far it lies from where the sheet has it, and why.
        turn: how the bar is rolled.
        line: where the scribed line faces then.
        leg: what to sight along on the held side.
        end_view: the same as a picture.
        verb: ``Pull to`` or ``Press to``.
        pull: the angle to go to.
        between: how sure that is.
        leaves: what is left when it is let go.
        packing: what keeps the bar level.
        watch: what comes so near that it is to be watched.
        caution: what can hurt.
    """

    step: int
    bend: int
    hold: str
    swap: bool
    mount: str
    mark: str
    unit: str
    mark_from: str
    mark_also: str
    moved: str
    turn: str
    line: str
    leg: str
    end_view: EndView
    verb: str
    pull: str
    between: str
    leaves: str
    packing: str
    watch: str
    caution: str


def bench_card(subject: Subject, step: Step, made: Sequence[int], before: Step | None, moved: str = "") -> BenchCard:
    """Return the card of a step.

    Args:
        subject: the piece, on a bender.
        step: of its plan.
        made: numbers of the bends made before.
        before: the step before; None for the first.
        moved: how far its mark lies from where the sheet has it, and why.
    """
    bender = subject.bender
    assert bender is not None
    tape, unit = subject.ruler.tape, subject.ruler.units
    length, since = tape_from(subject, step, list(made))
    view = _end_view(subject, step, before, bender)
    swap = before is not None and before.held != step.held
    set_up = step.mounting is not None and before is not None and before.mounting != step.mounting
    several = len(subject.mountings) > 1 and before is None and step.mounting is not None
    beside = neighbour_points(subject.line.table, step.bend, step.held, list(made), bender)
    way = next(mark.direction for mark in subject.marks if mark.bend == step.bend)
    return BenchCard(
        step=step.step,
        bend=step.bend,
        hold=f"Hold end {step.held}",
        swap=swap,
        mount=f"Set the bender up on {step.mounting}" if set_up or several else "",
        mark=tape(step.mark),
        unit=unit,
        mark_from="from end A",
        mark_also="" if since == "end A" else f"{tape(length)} {unit} from {since}",
        moved=moved,
        turn=_turn(view, first=before is None, swap=swap, end=step.held),
        line=f"line faces {facing(line_faces(way, step.held, bender))}",
        leg="" if beside is None else f"leg of bend {beside[0]} points {facing(beside[1])}",
        end_view=view,
        verb="Press to" if bender.kind in ("ram", "vee") else "Pull to",
        pull=angle(step.bend_to),
        between="" if step.least is None or step.most is None else f"{step.least:.1f} to {step.most:.1f}°",
        leaves=f"leaves {angle(step.bend_to - step.springback)}",
        packing=_packing(subject, step),
        watch=_watch(subject, step),
        caution=at_the_pull(bender.kind, step.springback),
    )


def _end_view(subject: Subject, step: Step, before: Step | None, bender: Bender) -> EndView:
    directions = {mark.bend: mark.direction for mark in subject.marks}

    def line(one: Step) -> float:
        _, y, z = line_faces(directions[one.bend], one.held, bender)
        return round(math.degrees(math.atan2(-y, z)), 6) % 360.0  # to the right is towards the lever: -y

    rolled = before is not None and before.held == step.held and abs(step.turn) >= _NO_TURN
    section = subject.stock.section
    return EndView(
        section.kind,
        section.depth(subject.way),
        section.breadth(subject.way),
        line(step),
        line(before) if before is not None and rolled else None,
        # The bar points away from the eye when its end A is held, and towards it when end B is.
        (step.turn if step.held == "A" else 0.0 - step.turn) if rolled else 0.0,
    )


def _turn(view: EndView, *, first: bool, swap: bool, end: str) -> str:
    if swap:
        return f"Swap the ends: end {end} goes into the bender"
    if first:
        return "Put the bar in"
    if view.roll == 0.0:
        return "Do not turn the bar"
    if abs(view.roll) > 179.95:
        return "Turn the bar over"
    return f"Roll it {angle(abs(view.roll))} {'towards you' if view.roll > 0 else 'away from you'}"


def _watch(subject: Subject, step: Step) -> str:
    if step.nearest is None or step.clearance is None or step.clearance >= CLOSE:
        return ""
    near = "the bar itself" if step.nearest == "bar" else f"the {step.nearest}"
    return f"Watch {near}: only {subject.ruler.length(step.clearance)} clear"


def _packing(subject: Subject, step: Step) -> str:
    section = subject.stock.section
    found = packings(subject.mounting(step.mounting), section.breadth(subject.way))
    told = [f"{subject.ruler.length(one.height)} on the {one.over}" for one in found]
    return "" if not told else f"To keep it level, pack {' or '.join(told)}"
