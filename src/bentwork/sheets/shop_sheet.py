"""The shop sheet: all that is wanted at the bender for one piece, in words and pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.findings import Finding, by_weight
from bentwork.planning.sighting import packings
from bentwork.planning.sureness import came_from
from bentwork.sheets.bar_picture import bar_picture
from bentwork.sheets.cautions import AT_THE_MARKS, at_the_bender
from bentwork.sheets.drawing import Drawing
from bentwork.sheets.lettering import paragraph
from bentwork.sheets.piece_picture import overall, piece_picture
from bentwork.sheets.step_rows import APART, Row, rows_of
from bentwork.sheets.stock_words import stock_words
from bentwork.sheets.subject import Paper, Subject
from bentwork.units import Ruler

__all__ = ["ShopSheet", "height_of", "shop_sheet", "sureness", "told"]


@dataclass(frozen=True, slots=True)
class ShopSheet:
    """Contents of a shop sheet, for the template that lays it out."""

    width: float
    height: float
    job: str
    version: str
    date: str
    piece: str
    hand: str
    hand_words: str
    make: str
    facts: tuple[tuple[str, str], ...]
    cut: str
    unit: str
    picture: Drawing
    bar: Drawing | None
    sizes: tuple[tuple[str, str, str, str], ...]
    rows: tuple[Row, ...]
    mark_head: str
    zero: str
    sure: tuple[str, ...]
    marking: tuple[str, ...]
    cautions: tuple[str, ...]
    findings: tuple[tuple[str, str, str, str], ...]
    level: tuple[str, ...]
    work_apart: bool


def told(findings: Sequence[Finding], ruler: Ruler, most: int) -> tuple[tuple[str, str, str, str], ...]:
    """Return findings as level and words for a paper, the gravest first, notes in one line.

    What is more than ``most`` is counted.
    """
    words = [(f.level, *f.told(ruler)) for f in by_weight(findings)]
    words = [(level, says, "", "") if level == "note" else (level, says, why, do) for level, says, why, do in words]
    more = len(words) - most
    if more > 1:
        words[most:] = [(words[most][0], f"And {more} more.", "", "bentwork check says them all.")]
    return tuple(words)


def height_of(findings: Sequence[tuple[str, str, str, str]], room: float) -> float:
    """Return about how much of a page findings take, mm, in lines as wide as this room, mm.

    A line and what parts two findings are as the template sets them, measured on its pages.
    """
    lines = 0
    for level, says, why, do in findings:
        lines += len(paragraph(f"{level.upper()}  {says}", 11.0, room, bold=True))
        lines += len(paragraph(f"{why} {do}", 9.2, room))
    return _PARTED * len(findings) + _LINE * lines


_PARTED, _LINE = 3.4, 4.3


_ZERO = (
    "Notch end A with a file. Measure every mark from there on the straight bar with one tape, never from mark to mark."
)

_ORDINARY = "an ordinary hand (common practice); accuracy = in the job says yours"

_LEAST_PICTURE = 58.0
"""The work shares the page with a picture no lower than this, mm; else it gets a page of its own for the bench."""


def shop_sheet(subject: Subject, paper: Paper) -> ShopSheet:
    """Return the contents of the shop sheet of one piece."""
    inner = paper.width - 24.0
    tape = subject.ruler.tape
    bent = bool(subject.marks)
    trim = f"with {subject.ruler.length(subject.trim)} spare on each end" if subject.trim else "nothing spare"
    length = subject.line.table.length
    facts = [
        ("Bar", stock_words(subject.stock, subject.ruler)),
        ("Finished", f"{subject.ruler.length(length)}, {subject.ruler.mass(subject.stock.mass(length))}"),
    ]
    if subject.bender is not None:
        facts.append(("Bender", f"{subject.bender.name}, radius {subject.ruler.length(subject.bender.radius)}"))
        facts += _effort(subject)
    if any(subject.holes):
        facts.append(("Holes", f"{_hole_words(*subject.holes)}: see its bracket page"))
    if subject.drilled:
        after = sum(hole.after for hole in subject.drilled)
        facts.append(("Holes", f"{_hole_words(len(subject.drilled) - after, after)}: see small parts"))
    if subject.ends:
        facts.append(("Ends", f"{'; '.join(subject.ends)}: see small parts"))
    sizes = tuple(
        (size.axis, tape(size.outside), tape(size.middle), tape(size.inside) if size.inside is not None else "–")
        for size in overall(subject)
    )
    centre = subject.bender is not None and subject.bender.lines_up == "centre"
    findings = told(subject.findings, subject.ruler, 4)
    apart_from_start = any(abs(mark.behind) >= APART for mark in subject.marks)
    apart_from_start = apart_from_start or any(step.held == "B" for step in subject.steps)
    room = paper.height - 116.0 - height_of(findings, inner - 3.0)
    shared = room - 95.0 - 29.0 * len(subject.marks)
    apart = bent and shared < _LEAST_PICTURE
    return ShopSheet(
        width=paper.width,
        height=paper.height,
        job=subject.job,
        version=subject.version,
        date=subject.date,
        piece=subject.piece,
        hand={"left": "L", "right": "R", None: ""}[subject.hand],
        hand_words=_hand_words(subject),
        make=f"make {subject.count}",
        facts=tuple(facts),
        cut=f"{tape(subject.cut_length)} {subject.ruler.units}, {trim}",
        unit=subject.ruler.units,
        picture=piece_picture(subject, inner, max(room if apart else min(shared, 120.0), _LEAST_PICTURE)),
        bar=bar_picture(subject, inner) if bent else None,
        sizes=sizes,
        rows=rows_of(subject) if bent else (),
        mark_head="centre of bend" if centre else "start of bend" if not apart_from_start else "what you line up",
        zero=_ZERO,
        sure=sureness(subject) if bent else (),
        marking=AT_THE_MARKS if bent else (),
        cautions=at_the_bender(subject.bender.kind, subject.stock.material.group) if subject.bender and bent else (),
        findings=findings,
        level=_level(subject) if bent else (),
        work_apart=apart,
    )


def _hole_words(flat: int, bent: int) -> str:
    """Say how many holes are drilled when."""
    told = [f"{flat} before it is bent"] if flat else []
    return " and ".join([*told, *([f"{bent} AFTER" if flat else f"{bent} AFTER it is bent"] if bent else [])])


def sureness(subject: Subject) -> tuple[str, ...]:
    """Return how sure the numbers of a sheet are, and where that is known from."""
    ruler = subject.ruler
    lines = []
    if subject.bender is not None:
        scatter = subject.bender.scatter
        whose = "as the job says of your hand" if subject.bender.accuracy is not None else _ORDINARY
        lines.append(
            f"19 bends of 20 come out within ± {ruler.length(2 * scatter.position)} of their mark, "
            f"± {2 * scatter.angle:g}° of their angle and ± {2 * scatter.rotation:g}° of their rotation: {whose}."
        )
    if subject.what is not None:
        pull = f"How far to pull is known {came_from(subject.what)}."
        if any(step.least is not None for step in subject.steps):
            pull += " The right pull lies in the range shown 9 times in 10: stop at its lower end, let go, measure."
        lines.append(pull)
    lines.append(_of_marks(subject))
    return tuple(lines)


def _of_marks(subject: Subject) -> str:
    """Say how sure the marks are."""
    shifts = [] if subject.what is None else [subject.what.shift(bend.angle) for bend in subject.line.table.bends]
    known = [shift for shift in shifts if shift is not None]
    if known:
        if not all(shift.start.learnt for shift in known):
            return "Bends are as long as your test bends say; where they start behind the mark has not been measured."
        sd = max(shift.start.sd for shift in known)
        return f"Marks are where your test bends say, within ± {subject.ruler.length(2.0 * sd)}."
    if any(subject.holes):
        return "Marks allow for the neutral line of the handbook; a test bend of this bar knows it better."
    return (
        "Lengths are exact for the radius drawn. If your die makes 1 mm more, a 90° corner lands 1 mm further on."
        if subject.ruler.units == "mm"
        else "Lengths are exact for the radius drawn. If your die makes 1/16 more, a 90° corner lands 1/16 further on."
    )


def _level(subject: Subject) -> tuple[str, ...]:
    """Say how the bar is kept level, so that its bends stay in one plane."""
    across = subject.stock.section.breadth(subject.way)
    lines = []
    for mounting in subject.mountings:
        if mounting.name not in {step.mounting for step in subject.steps}:
            continue
        heights = [f"{subject.ruler.length(p.height)} above the {p.over}" for p in packings(mounting, across)]
        if heights:
            where = f"On {mounting.name} the" if len(subject.mountings) > 1 else "The"
            lines.append(
                f"{where} underside of the bar lies {' and '.join(heights)}: pack the far end to that height, and "
                "sight along the bar before you pull."
            )
    return tuple(lines)


def _effort(subject: Subject) -> tuple[tuple[str, str], ...]:
    """Say what the heaviest bend asks of the person at the lever, the ram or the press."""
    hand = max((step.lever_force or 0.0 for step in subject.steps), default=0.0)
    push = max((step.push or 0.0 for step in subject.steps), default=0.0)
    if hand > 0.0 and subject.bender is not None and subject.bender.arm is not None:
        at = subject.ruler.length(subject.bender.arm.length)
        # In pounds a pull is the weight that hangs on a scale as well; a newton is not.
        pull = (
            f"{_rounded(hand)} N ({hand / 9.81:.0f} kg)" if subject.ruler.units == "mm" else subject.ruler.force(hand)
        )
        return (("Lever", f"{pull} at {at}"),)
    return (("Push", subject.ruler.press(push)),) if push > 0.0 else ()


def _rounded(force: float) -> str:
    return f"{round(force / 5.0) * 5.0:.0f}"


def _hand_words(subject: Subject) -> str:
    if subject.hand is None:
        return ""
    which = "as drawn" if subject.as_drawn else "opposite hand"
    return f"{subject.hand}, {which}. Left and right are as seen from behind, facing forward."
