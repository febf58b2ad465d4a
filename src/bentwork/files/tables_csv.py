"""Bend tables, marks and steps as CSV for a spreadsheet: lengths in the job's units, the unit in the heading."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from bentwork.jobs.bodies import Body
from bentwork.planning.marks import Mark
from bentwork.planning.steps import Step
from bentwork.sheets.subject import Subject
from bentwork.units import Ruler

__all__ = ["bend_tables_csv", "csv_bytes", "marks_csv", "steps_csv"]

Cell = str | float | int | None


def bend_tables_csv(bodies: Sequence[Body], ruler: Ruler) -> bytes:
    """Return the bend tables: a straight a row, with the bend that follows it."""
    heads = ("number", "straight, U", "bend radius, U", "bend angle, deg", "rotation, deg")
    rows: list[list[Cell]] = []
    for body in bodies:
        table = body.subject.line.table
        for number, straight in enumerate(table.straights, 1):
            bend = table.bends[number - 1] if number <= len(table.bends) else None
            bent: list[Cell] = [None] * 3
            if bend is not None:
                bent = [ruler.number(bend.radius), _number(bend.angle), _number(bend.rotation)]
            rows.append([*_piece(body.subject), number, ruler.number(straight), *bent])
    return _csv(heads, rows, ruler)


def marks_csv(bodies: Sequence[Body], ruler: Ruler) -> bytes | None:
    """Return the marks of every bend on the straight bar, from end A, trim included; None where nothing is bent."""
    heads = (
        "cut length, U",
        "trim on each end, U",
        "bend",
        "start, U",
        "centre, U",
        "end, U",
        "tool from the bend before, U",
        "direction round the bar, deg",
        "round the skin, U",
    )
    rows = [
        [*_piece(b.subject), _length(ruler, b.subject.cut_length), _length(ruler, b.subject.trim), *_mark(mark, ruler)]
        for b in bodies
        for mark in b.subject.marks
    ]
    return _csv(heads, rows, ruler) if rows else None


def steps_csv(bodies: Sequence[Body], ruler: Ruler) -> bytes | None:
    """Return the work at the bender in its order; None where there is none."""
    heads = (
        "step",
        "bend",
        "hold end",
        "mounting",
        "mark, U",
        "turn the bar, deg",
        "pull to, deg",
        "leaves, deg",
        "pull 9 in 10 from, deg",
        "pull 9 in 10 to, deg",
        "clear, U",
        "clear of",
        "moment, N m",
        "lever force, N",
    )
    rows = [[*_piece(b.subject), *_step(step, ruler)] for b in bodies for step in b.subject.steps]
    return _csv(heads, rows, ruler) if rows else None


def _piece(subject: Subject) -> list[Cell]:
    return [subject.piece, subject.hand, subject.count, subject.stock.name]


def _mark(mark: Mark, ruler: Ruler) -> list[Cell]:
    lengths = [_length(ruler, at) for at in (mark.start, mark.centre, mark.end, mark.from_last)]
    return [mark.bend, *lengths, _number(mark.direction), _length(ruler, mark.round_bar)]


def _step(step: Step, ruler: Ruler) -> list[Cell]:
    pulls = [step.turn, step.bend_to, step.bend_to - step.springback, step.least, step.most]
    told = [step.step, step.bend, step.held, step.mounting, _length(ruler, step.mark), *map(_number, pulls)]
    return [*told, _length(ruler, step.clearance), step.nearest, _number(step.moment), _number(step.lever_force)]


def _length(ruler: Ruler, mm: float | None) -> float | None:
    return None if mm is None else ruler.number(mm)


def _number(value: float | None) -> float | int | None:
    """A number to six decimals, without the noise behind them."""
    if value is None:
        return None
    value = round(value, 6) + 0.0
    return int(value) if value == int(value) else value


def _csv(heads: Iterable[str], rows: Iterable[Sequence[Cell]], ruler: Ruler) -> bytes:
    return csv_bytes(("piece", "hand", "make", "stock", *heads), rows, ruler)


def csv_bytes(heads: Iterable[str], rows: Iterable[Sequence[Cell]], ruler: Ruler) -> bytes:
    """Return a table; ``, U`` in a heading becomes the unit of lengths, None an empty cell."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")  # RFC 4180
    writer.writerow([head.replace(", U", f", {ruler.units}") for head in heads])
    writer.writerows([["" if cell is None else cell for cell in row] for row in rows])
    # With the mark in front a spreadsheet reads names with accents as they were written.
    return text.getvalue().encode("utf-8-sig")
