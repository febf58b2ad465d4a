"""Corner points from a table: x, y, z and perhaps a radius; an empty line begins a piece."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass, field

from bentwork.errors import Fault, InputError
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.piece.misfits import misfits
from bentwork.space import Vec, distance
from bentwork.tolerances import FARTHEST, SAME_POINT
from bentwork.units import Ruler, Units, parse_length

__all__ = ["pieces_from_table"]

_COMMENT = "#"
MOST_POINTS = 100_000


@dataclass
class _Rows:
    points: list[Vec] = field(default_factory=list)
    radii: list[float | None] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)


def pieces_from_table(text: str, source: str, units: Units, radius: float | None) -> list[Centreline]:
    """Return the pieces of a table of corner points.

    Columns are parted by commas, semicolons, tabs or spaces; a first line of words is a heading. A piece whose last
    point is its first is closed.

    Args:
        text: of the table.
        source: name of the file, for messages.
        units: of bare numbers.
        radius: of corners that have none of their own, mm.

    Raises:
        InputError: with every fault, by line.
    """
    faults: list[Fault] = []
    groups = _groups(text, units, faults)
    if not groups and not faults:
        faults.append(Fault("points", "none", "two corner points at least, x, y, z in each line"))
    found = []
    for group in groups:
        line = _piece(group, radius, units, faults)
        if line is not None:
            found.append(line)
    if faults:
        raise InputError(source, faults)
    return found


def _groups(text: str, units: Units, faults: list[Fault]) -> list[_Rows]:
    groups: list[_Rows] = []
    now = _Rows()
    seen = False
    for number, raw in enumerate(text.splitlines(), 1):
        line = raw.split(_COMMENT)[0].strip()
        if not line or not line.strip(",;\t "):
            if now.points:
                groups.append(now)
                now = _Rows()
            continue
        cells = _without_empty_tail(_cells(line))
        if cells and not seen and not any(re.match(r"[-+−.,]?\d", cell) for cell in cells):
            seen = True
            continue
        seen = True
        if len(cells) not in (3, 4):
            faults.append(Fault("point", repr(line[:60]), "x, y, z and perhaps a radius", line=number))
            continue
        try:
            values = [parse_length(_number(cell), units) for cell in cells if cell]
        except ValueError as error:
            faults.append(Fault("point", repr(line[:60]), str(error), line=number))
            continue
        if len(values) < 3:
            faults.append(Fault("point", repr(line[:60]), "x, y and z", line=number))
            continue
        if any(abs(value) > FARTHEST for value in values):
            faults.append(
                Fault("point", repr(line[:60]), f"no more than {FARTHEST / 1e6:g} km from the origin", line=number)
            )
            continue
        if len(values) == 4 and values[3] < 0.0:
            faults.append(Fault("radius", repr(cells[3]), "a radius above 0", line=number))
            continue
        now.points.append((values[0], values[1], values[2]))
        now.radii.append(values[3] if len(values) == 4 and values[3] > 0.0 else None)
        now.lines.append(number)
        if sum(len(group.points) for group in groups) + len(now.points) > MOST_POINTS:
            faults.append(
                Fault("points", f"more than {MOST_POINTS}", f"{MOST_POINTS} at most", "Split the file.", number)
            )
            return groups
    if now.points:
        groups.append(now)
    return groups


def _cells(line: str) -> list[str]:
    for mark in (";", "\t", ","):
        if mark in line:
            # A cell in quotes may hold the mark, as a decimal comma; a mark of inches behind a number is no quote.
            try:
                cells = next(csv.reader([line], delimiter=mark, skipinitialspace=True))
            except csv.Error:  # a cell longer than any number
                return []
            return [cell.strip() for cell in cells]
    return line.split()


def _without_empty_tail(cells: list[str]) -> list[str]:
    """Return the cells without the empty ones that spreadsheets write behind them, but for a radius left empty."""
    while len(cells) > 4 and not cells[-1]:
        cells.pop()
    return cells


def _number(cell: str) -> str:
    # A decimal comma where columns are parted by something else.
    return cell.replace(",", ".") if re.fullmatch(r"[-+]?\d+,\d+", cell) else cell


def _piece(rows: _Rows, radius: float | None, units: Units, faults: list[Fault]) -> Centreline | None:
    points, radii = list(rows.points), list(rows.radii)
    closed = len(points) > 3 and distance(points[0], points[-1]) < SAME_POINT
    if closed:
        radii[0] = radii[0] or radii[-1]
        points, radii = points[:-1], radii[:-1]
    if len(points) < 2:
        faults.append(Fault("points", "one point alone", "two corner points at least", line=rows.lines[0]))
        return None
    corners = range(len(points)) if closed else range(1, len(points) - 1)
    taken: list[float] = []
    for k in corners:
        value = radii[k] or radius
        if value is None:
            do = "Add a fourth column, or give a radius for all."
            faults.append(Fault("radius", "none, or 0", "the centreline radius of this corner", do, rows.lines[k]))
            return None
        taken.append(value)
    made = Corners(tuple(points), tuple(taken), closed)
    wrong = misfits(made)
    for finding in wrong:
        says, why, do = finding.told(Ruler(units))
        number = rows.lines[min(len(rows.lines), finding.corner or 1) - 1]
        faults.append(Fault("points", f"{says} {why}", "corners that can be bent", do, number))
    return None if wrong else made.centreline()
