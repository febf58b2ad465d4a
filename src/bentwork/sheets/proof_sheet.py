"""The page of the proof load: what to hang where, what to measure before, under and after it, when to reject."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bentwork.carry.payload import Payload
from bentwork.carry.proof import ProofLoad
from bentwork.carry.structure import Structure
from bentwork.sheets.bar_view import Bar, bar_of
from bentwork.sheets.drawing import BOLD, FINE, THIN, Drawing, Item, Label, Point, Stroke
from bentwork.sheets.frame_view import FrameView, frame_view
from bentwork.sheets.lettering import cap_height, fitted, legible, paragraph, text_width
from bentwork.sheets.page_parts import arrow, number_ring, outline, ring
from bentwork.sheets.placing import Box, Room, spots_round, words
from bentwork.sheets.subject import Paper
from bentwork.space import Vec
from bentwork.units import Ruler

__all__ = ["ProofSubject", "proof_sheet"]

_MARGIN = 12.0
_HEAD = 14.5
_WORDS = 9.5  # points
_LEAST_PICTURE, _MOST_PICTURE = 55.0, 150.0
_PLACES = (0.0, 0.46, 0.6, 0.73, 0.865)  # of the width: where the columns of the table begin
_HEADS = ("measure here, from the floor or a fixed rail", "goes down", "before", "under load", "after")
_ROW = 9.0


@dataclass(frozen=True, slots=True, eq=False)
class ProofSubject:
    """A frame to be proved.

    Args:
        job: name of the job.
        version: short code of the job file.
        date: when the paper was made, as it is to be read.
        ruler: how lengths are shown.
        structure: the frame.
        proof: its proof load.
        carries: what it is reckoned to carry, kg.
        safety: with this safety.
    """

    job: str
    version: str
    date: str
    ruler: Ruler
    structure: Structure
    proof: ProofLoad
    carries: float
    safety: float


def proof_sheet(subject: ProofSubject, paper: Paper) -> tuple[Drawing, ...]:
    """Return the page of the proof load; two where its words leave no room for the picture."""
    wide = paper.width - 2.0 * _MARGIN
    top, bottom = _MARGIN + _HEAD, paper.height - _MARGIN
    steps = _steps(subject, wide)
    table = _table(subject, wide)
    cautions = _list(subject.proof.cautions, wide, "!")
    below = table.height + steps.height + cautions.height + 12.0
    room = bottom - top - below
    apart = room < _LEAST_PICTURE
    picture = _picture(subject, wide, (bottom - top - 4.0) if apart else min(room, _MOST_PICTURE))
    pages = 2 if apart else 1
    first = [*_head(subject, paper, (1, pages)), *picture.moved(_MARGIN, top)]
    second = [*_head(subject, paper, (2, 2))] if apart else first
    y = top + (2.0 if apart else picture.height + 3.0)
    for part in (cautions, steps, table):
        second += part.moved(_MARGIN, y)
        y += part.height + 4.0
    sheets = [first, second] if apart else [first]
    return tuple(Drawing(paper.width, paper.height, tuple(items)) for items in sheets)


def _head(subject: ProofSubject, paper: Paper, page: tuple[int, int]) -> list[Item]:
    left, right, top = _MARGIN, paper.width - _MARGIN, _MARGIN
    counted = "proof load" if page[1] == 1 else f"proof load · page {page[0]} of {page[1]}"
    facts = " · ".join(
        legible(fact) for fact in (f"version {subject.version}" if subject.version else "", subject.date) if fact
    )
    room = right - left - text_width(counted, 12.0, True) - 5.0
    title, size = fitted(legible(subject.job), 20.0, room, True, 11.0)
    borne = subject.ruler.load(subject.carries) if subject.carries > 0.0 else "nothing"
    carries = f"reckoned to carry {borne} with a safety of {subject.safety:g}: not a certificate"
    return [
        Label((left, top), title, size, ("left", "top"), True),
        Label((right, top), counted, 12.0, ("right", "top"), True),
        Label((left, top + 7.5), carries, 10.0, ("left", "top")),
        Label((right, top + 7.5), facts, 10.0, ("right", "top"), True),
        Stroke(((left, top + 11.5), (right, top + 11.5)), BOLD),
    ]


def _picture(subject: ProofSubject, wide: float, high: float) -> Drawing:
    """The frame with what lies on it, what holds it, and the places to measure."""
    structure = subject.structure

    def bars(chord_error: float) -> list[Bar]:
        return [bar_of(bar.line, bar.section, bar.way, chord_error) for bar in structure.bars]

    payload = structure.borne.payload if structure.borne else None
    corners = _corners(payload) if payload else ()
    view = frame_view(bars, wide, high, [*corners, *([payload.centre] if payload else [])])
    items: list[Item] = list(view.drawing.items)
    room = Room(Box(0.0, 0.0, wide, high))
    items += _payload(view, corners, payload, subject, room)
    for held in structure.fixings:
        at = view.place(structure.bars[held.bar].line.pose(held.station).origin)
        items += _foot(at)
        room.block(Box(at[0] - 2.5, at[1] - 1.0, at[0] + 2.5, at[1] + 4.0))
        tag = words((legible(held.fixing.name),), 8.5)
        items += room.put(tag, spots_round(at, tag, 3.5, 90.0))
    for number, read in enumerate(subject.proof.readings, 1):
        at = view.place(read.place)
        mark, radius = number_ring((0.0, 0.0), number, 11.0, THIN)
        tag = Drawing(2.0 * radius, 2.0 * radius, Drawing(0.0, 0.0, mark).moved(radius, radius))
        items.append(_dot(at))
        items += room.put(tag, spots_round(at, tag, 2.2, -90.0))
    return Drawing(wide, high, tuple(items))


def _corners(payload: Payload) -> tuple[Vec, ...]:
    if payload.size is None:
        return ()
    (x, y, z), (a, b, c) = payload.centre, (size / 2.0 for size in payload.size)
    return tuple((x + i * a, y + j * b, z + k * c) for k in (-1, 1) for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1)))


def _payload(
    view: FrameView, corners: Sequence[Vec], payload: Payload | None, subject: ProofSubject, room: Room
) -> list[Item]:
    """The outline of the payload and an arrow for its weight; dots where it bears."""
    if payload is None:
        return []
    items: list[Item] = []
    if corners:
        spots = [view.place(corner) for corner in corners]
        for ring in (spots[:4], spots[4:]):
            items.append(Stroke(tuple(ring), FINE, dash="dash", closed=True))
        items += [Stroke((a, b), FINE, dash="dash") for a, b in zip(spots[:4], spots[4:], strict=True)]
    items += [_dot(view.place(place)) for place in subject.proof.bearing]
    x, y = view.place(payload.centre)
    items += arrow((x, y + 9.0), 90.0, 3.2, 7.0, BOLD)
    room.block(Box(x - 2.0, y - 2.0, x + 2.0, y + 10.0))
    tag = words((subject.ruler.load(subject.proof.mass),), 12.0, True)
    items += room.put(tag, spots_round((x, y), tag, 3.0, -90.0))
    return items


def _dot(at: Point) -> Stroke:
    return replace(ring(at, 0.8, 0.0), fill="black")


def _foot(at: Point) -> list[Item]:
    """The sign for what holds the frame: a triangle on hatched ground."""
    x, y = at
    items: list[Item] = [Stroke(((x, y), (x - 2.0, y + 3.2), (x + 2.0, y + 3.2)), THIN, fill="white", closed=True)]
    items += [Stroke(((x - 2.0 + k, y + 3.2), (x - 2.8 + k, y + 4.2)), FINE) for k in (0.4, 1.4, 2.4, 3.4)]
    return items


def _steps(subject: ProofSubject, wide: float) -> Drawing:
    proof, ruler = subject.proof, subject.ruler
    told = [
        "Fit the frame where it belongs, or hold it the same way. Measure the places below without the load.",
        f"Put {ruler.load(proof.mass)} on slowly where the payload bears (the dots), and leave it "
        f"{proof.minutes} minutes.",
    ]
    if not proof.proves:
        told[-1] += f" It does not prove {proof.covers:g} times its weight: it would not come back from more."
    told += [
        "Measure again under the load.",
        *filter(None, (proof.pulls(ruler),)),
        "Take it off, and measure once more.",
        f"Look for cracks, dents and moved bolts, above all at: {'; '.join(one.where for one in proof.look_at)}.",
        f"REJECT the frame when {'; when '.join(proof.reasons(ruler))}.",
    ]
    return _list(told, wide)


def _list(told: Sequence[str], wide: float, sign: str = "") -> Drawing:
    step = cap_height(_WORDS) * 1.85
    items: list[Item] = []
    y = 3.0
    for number, one in enumerate(told, 1):
        items.append(Label((0.0, y), sign or f"{number}", _WORDS, ("left", "bottom"), True))
        for line in paragraph(legible(one), _WORDS, wide - 6.0):
            items.append(Label((5.0, y), line, _WORDS, ("left", "bottom")))
            y += step
        y += 0.6
    return Drawing(wide, y - step + 1.0, tuple(items))


def _table(subject: ProofSubject, wide: float) -> Drawing:
    """Places to measure, with room to write; who did it and when."""
    ruler = subject.ruler
    starts = [share * wide for share in _PLACES]
    ends = [*starts[1:], wide]
    items: list[Item] = [
        Label(
            (start + (0.0 if k == 0 else 1.0), 3.5),
            head,
            8.5,
            ("left", "bottom"),
            k == 0,
        )
        for k, (start, head) in enumerate(zip(starts, _HEADS, strict=True))
    ]
    items.append(Stroke(((0.0, 5.0), (wide, 5.0)), BOLD))
    y = 5.0
    for number, read in enumerate(subject.proof.readings, 1):
        base = y + 5.6
        where = f"{number}  {legible(read.bar)} at {ruler.point(read.place)}"
        text, size = fitted(where, 10.0, starts[1] - 2.0)
        items += [
            Label((0.0, base), text, size, ("left", "bottom")),
            Label((starts[1] + 1.0, base), ruler.length(read.sag), 11.0, ("left", "bottom"), True),
            *(
                outline(Box(a + 0.8, y + 1.0, b - 0.8, y + _ROW - 1.0))
                for a, b in list(zip(starts, ends, strict=True))[2:]
            ),
            Stroke(((0.0, y + _ROW), (wide, y + _ROW)), FINE),
        ]
        y += _ROW
    may = f"After: no more than {ruler.length(subject.proof.may_stay)} above what it was before."
    items.append(Label((0.0, y + 4.5), may, 9.0, ("left", "bottom"), True))
    signed = "Passed or rejected, by, on:"
    items.append(Label((0.0, y + 12.0), signed, 9.0, ("left", "bottom")))
    items.append(Stroke(((text_width(signed, 9.0) + 3.0, y + 12.5), (wide, y + 12.5)), THIN))
    return Drawing(wide, y + 14.0, tuple(items))
