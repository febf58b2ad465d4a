"""The work at the bender, a line a step: what is lined up, how the bar is turned, how far it is pulled."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.planning.marks import Mark
from bentwork.planning.sighting import facing, line_faces, neighbour_points
from bentwork.planning.steps import Step
from bentwork.sheets.drawing import Drawing
from bentwork.sheets.icons import angle_icon, clock
from bentwork.sheets.step_picture import step_picture
from bentwork.sheets.subject import Subject
from bentwork.units import angle

__all__ = ["Row", "rows_of", "tape_from", "turn_words"]

APART = 0.5
"""A mark nearer than this to the start of its bend is that start, mm."""

_PICTURE = (44.0, 25.0)


@dataclass(frozen=True, slots=True)
class Row:
    """One step on the sheet: one line, one look."""

    step: str
    bend: str
    picture: Drawing
    held: str
    mark: str
    other_marks: str
    from_last: str
    clock: Drawing
    turn: str
    rotation: str
    icon: Drawing
    pull: str
    between: str
    leaves: str
    near: str


def rows_of(subject: Subject) -> tuple[Row, ...]:
    """Return the rows of a piece, in the order of the work."""
    marks = {mark.bend: mark for mark in subject.marks}
    rows: list[Row] = []
    made: list[int] = []
    before: Step | None = None
    for step in subject.steps:
        rows.append(_row(subject, marks[step.bend], step, made, before))
        made.append(step.bend)
        before = step
    return tuple(rows)


def _row(subject: Subject, mark: Mark, step: Step, made: list[int], before: Step | None) -> Row:
    tape = subject.ruler.tape
    bend = subject.line.table.bends[mark.bend - 1]
    corner = 180.0 - bend.angle
    length, since = tape_from(subject, step, made)
    turned = before is not None and before.held != step.held
    others = f"bend {tape(mark.start)} to {tape(mark.end)}"
    return Row(
        step=str(step.step),
        bend=str(mark.bend),
        picture=step_picture(subject, step, made, subject.mounting(step.mounting), *_PICTURE),
        held=f"hold end {step.held}",
        mark=tape(step.mark),
        other_marks=others,
        from_last=f"{tape(length)} from {since}",
        clock=clock(mark.direction),
        turn=turn_words(step.turn, end_for_end=turned) if before is not None else "",
        rotation="\n".join(filter(None, (_round_words(subject, mark), _line_words(subject, mark, step, made)))),
        icon=angle_icon(bend.angle),
        pull=angle(step.bend_to),
        between="" if step.least is None or step.most is None else f"{step.least:.1f} to {step.most:.1f}°",
        leaves=f"leaves {angle(bend.angle)}" + (f", corner {angle(corner)}" if corner >= 0 else ""),
        near=_near_words(subject, step),
    )


def tape_from(subject: Subject, step: Step, made: list[int]) -> tuple[float, str]:
    """Return the tape from the bend made next to this one on the held side, or from that end, and what that is, mm."""
    marks = {mark.bend: mark for mark in subject.marks}
    if step.held == "A":
        beside = max((bend for bend in made if bend < step.bend), default=None)
        return (step.mark, "end A") if beside is None else (step.mark - marks[beside].end, f"bend {beside}")
    beside = min((bend for bend in made if bend > step.bend), default=None)
    if beside is None:
        return subject.cut_length - step.mark, "end B"
    return marks[beside].start - step.mark, f"bend {beside}"


def turn_words(turn: float, *, end_for_end: bool = False) -> str:
    """Say how the bar is turned between two steps."""
    if abs(turn) < 0.05:
        words = "do not turn the bar"
    elif abs(abs(turn) - 180.0) < 0.05:
        words = "turn the bar over"
    else:
        words = f"turn {angle(abs(turn))} {'clockwise' if turn > 0 else 'anticlockwise'}"
    if not end_for_end:
        return words
    return "end for end" if abs(turn) < 0.05 else f"end for end, then {words}"


def _line_words(subject: Subject, mark: Mark, step: Step, made: list[int]) -> str:
    """Say where the scribed line faces while this bend is made, and what to sight along on the held side."""
    if subject.bender is None:
        return ""
    words = f"line faces {facing(line_faces(mark.direction, step.held, subject.bender))}"
    beside = neighbour_points(subject.line.table, step.bend, step.held, made, subject.bender)
    return words if beside is None else f"{words}, leg of {beside[0]} points {facing(beside[1])}"


def _round_words(subject: Subject, mark: Mark) -> str:
    """Say where round the bar a bend points: in degrees, and with a tape laid round the bar."""
    if mark.bend == 1:
        return "scribe the line on its inside"
    if abs(mark.direction) < 0.05:
        return "points to the line"
    if abs(mark.direction) > 179.95:
        words = "points away from the line"
    else:
        way = "clockwise" if mark.direction > 0 else "anticlockwise"
        words = f"{angle(abs(mark.direction))} {way} of the line"
    return words if mark.round_bar is None else f"{words}, {subject.ruler.tape(abs(mark.round_bar))} round the bar"


def _near_words(subject: Subject, step: Step) -> str:
    """Say what comes near, and how near."""
    if step.clearance is None or step.nearest is None:
        return ""
    near, gap = step.nearest, step.clearance
    if step.moving is not None and step.moving_clearance is not None and step.moving != near:
        return f"clear by {subject.ruler.tape(gap)} of the {near}, by {subject.ruler.tape(step.moving_clearance)} " + (
            f"of the {step.moving}" if step.moving != "bar" else "of itself"
        )
    return f"clear of {'itself' if near == 'bar' else f'the {near}'} by {subject.ruler.tape(gap)}"
