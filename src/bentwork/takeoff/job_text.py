"""A take-off as the text of a job file: stock guessed from the sections, equal pieces counted, mirror images paired."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from bentwork.jobs.hole_asked import drilled_into_bar
from bentwork.jobs.names import as_name
from bentwork.piece.bend import half_turn
from bentwork.piece.centreline import Centreline
from bentwork.space import Vec
from bentwork.stock.section import Flat, Section, Square
from bentwork.takeoff.alike import mirror_between, mirrored_bar, same_bar, same_section, shift_between
from bentwork.takeoff.bar import Bar, Hole, Solid, TakeOff, off_middle
from bentwork.takeoff.hole_words import hole_words
from bentwork.takeoff.job_ends import SQUARE, Free, bar_holes, end_of, free_mitres, sunk_words
from bentwork.units import Ruler, Units

__all__ = ["job_of"]

MOST_PIECES = 200
"""A job file takes so many pieces."""
MOST_OF_ONE, MOST_PLACES = 1000, 200
"""So many of one piece, and so many places of it."""
LEAST_DIE = 0.05
"""Bends whose radii differ by less are made on one die, mm."""


@dataclass(frozen=True, slots=True)
class _Piece:
    """A piece to make: how many of either hand, which mitred ends lie on no other bar, where copies stand."""

    name: str
    bar: Bar
    count: int
    opposite: int
    told: str
    free: Free = (False, False)
    shifts: tuple[Vec, ...] = ()
    mirror: tuple[int, float] | None = None


def job_of(result: TakeOff, units: Units = "mm", *, name: str = "", material: str = "S235") -> str:
    """Return the text of a job file with the pieces, the members of joined solids and the nearest arcs of curves.

    Args:
        result: of a take-off.
        units: of the file.
        name: of the job; the model's name if left out.
        material: name in the library: a model does not tell it.

    Raises:
        ValueError: there is nothing to make in it, or more than a job takes.
    """
    ruler = Ruler(units)
    solids = (replace(solid, bars=tuple(map(_drilled_bar, solid.bars))) for solid in result.solids)
    pieces = _pieces(replace(result, solids=tuple(solids)))
    if not pieces:
        raise ValueError("there is no piece in this model")
    if len(pieces) > MOST_PIECES:
        raise ValueError(f"there are {len(pieces)} different pieces; a job takes {MOST_PIECES}")
    stocks = _stocks(pieces)
    dies = _dies(pieces)
    lines = [
        f"# Taken off {_plain(_file_name(result.source))}. Sections and shapes are from the model.",
        "# Material and benders are guesses: a model does not tell them. Change them before you plan.",
        "",
        "format = 1",
        f"name = {_text(name or _file_name(result.source).rsplit('.', 1)[0] or 'Taken off')}",
        f'units = "{units}"',
    ]
    for stock, section in stocks:
        lines += ["", f"[stock.{stock}]", *_section(section, ruler), f"material = {_text(material)}"]
    for die, radius, furthest, flat in dies:
        lines += ["", f"[bender.{die}]", f'kind = "{"vee" if flat else "wrap"}"', f"radius = {ruler.number(radius)}"]
        lines.append(f"max_angle = {max(180.0, min(359.0, _up(furthest))):g}")
    for piece in pieces:
        lines += ["", *_table(piece, stocks, dies, ruler)]
    return "\n".join(lines) + "\n"


def _pieces(result: TakeOff) -> list[_Piece]:
    taken: set[str] = set()
    found: list[_Piece] = []
    bars = [bar for solid in result.solids for bar in solid.bars]
    free = {id(bar): one for bar, one in zip(bars, free_mitres(bars), strict=True)}
    for solid in result.solids:
        if solid.kind == "other" or solid.same_as is not None:
            continue
        if solid.mirror_of is not None:
            continue  # counted with the one that it mirrors
        if len(solid.bars) > 1:
            found += [part for one in _members(solid, free, taken) for part in _parted(one, taken)]
            continue
        for bar in solid.bars:
            name = _name(solid.name or "piece", taken)
            copies = [s.bars[0] for s in result.solids if s.same_as == solid.index]
            same = 1 + len(copies)
            twins = {s.index for s in result.solids if s.mirror_of == solid.index and s.same_as is None}
            opposite = sum(1 for s in result.solids if s.index in twins or s.same_as in twins)
            alike = [bar, *copies, *(s.bars[0] for s in result.solids if s.index in twins or s.same_as in twins)]
            # Where one of several alike lies on nothing, the cuts of all are said.
            own = any(True in free[id(one)] for one in alike)
            mitred = free[id(bar)] if len(alike) == 1 else (own, own)
            first, *others = _hands(name, bar, same, opposite, _said(solid, bar, mitred), mitred, taken)
            shifts = [shift_between(bar, copy) for copy in copies] if first.count == same > 1 else []
            if shifts and None not in shifts:
                first = replace(first, shifts=((0.0, 0.0, 0.0), *filter(None, shifts)))
            if first.opposite == same == 1:
                twin = next(s.bars[0] for s in result.solids if s.index in twins)
                first = replace(first, mirror=mirror_between(bar, twin))
            found += [part for one in (first, *others) for part in _parted(one, taken)]
    return found


def _members(solid: Solid, free: Mapping[int, Free], taken: set[str]) -> Iterator[_Piece]:
    """Yield the bars of a joined solid; those that are the same and stand alike, a shift apart, in one table."""
    left = [(number, bar, free[id(bar)]) for number, bar in enumerate(solid.bars, 1)]
    while left:
        number, bar, mitred = left[0]
        shifts = {
            k: shift_between(bar, other)
            for k, (_, other, its) in enumerate(left)
            if its == mitred and same_bar(bar, other)
        }
        alike = {k: shift for k, shift in shifts.items() if shift is not None}
        name, told = _name(f"{solid.name or 'piece'} {number}", taken), _said(solid, bar, mitred)
        yield _Piece(name, bar, len(alike), 0, told, mitred, tuple(alike.values()) if len(alike) > 1 else ())
        left = [one for k, one in enumerate(left) if k not in alike]


def _parted(piece: _Piece, taken: set[str]) -> Iterator[_Piece]:
    """Yield a piece in as many tables as it takes: a job makes so many of one."""
    most = MOST_PLACES if piece.shifts else MOST_OF_ONE
    for done in range(0, piece.count, most):
        count = min(most, piece.count - done)
        yield replace(
            piece,
            name=_name(piece.name, taken) if done else piece.name,
            count=count,
            opposite=min(count, piece.opposite),
            shifts=piece.shifts[done : done + count],
        )


def _drilled_bar(bar: Bar) -> Bar:
    """Return flat bar that is drilled through an edge as rectangular bar: a flat is laid out on its wide side alone."""
    section = bar.section
    through_edge = any(abs(hole.round % 180.0 - 90.0) < SQUARE for hole in bar.holes)
    if not through_edge or not isinstance(section, Flat) or bar.way == "hard":
        return bar
    return replace(bar, section=Square(section.width, section.height))


def _hands(name: str, bar: Bar, same: int, opposite: int, told: str, free: Free, taken: set[str]) -> list[_Piece]:
    """Return one table for pairs, and one for those that are left over of either hand."""
    if opposite in (0, same):
        return [_Piece(name, bar, same, opposite, told, free)]
    other = _Piece(_name(f"{name} mirrored", taken), mirrored_bar(bar), opposite, 0, f"mirror image of {name}", free)
    return [_Piece(name, bar, same, 0, told, free), other]


def _said(solid: Solid, bar: Bar, free: Free) -> str:
    words = [f"solid {solid.index}"]
    if solid.kind == "curve":
        words.append(f"a free curve: these arcs come within {bar.deviation:.2g} mm")
    if solid.kind == "joined":
        others = "something else" if solid.one_bar else "other bars"
        words.append(f"joined with {others} in one solid")
    if bar.holes:
        words.append(f"{len(bar.holes)} drilled")
    if bar.cut_into:
        words.append(f"cut into at {', '.join(f'{(low + high) / 2.0:.4g}' for low, high in bar.cut_into)} mm")
    words += [
        f"end {'AB'[side]} {end.cut}"
        for side, end in enumerate(bar.ends)
        if end.cut not in _PLAIN and not end_of(bar, side, free[side], Ruler())
    ]
    return ", ".join(words)


_PLAIN = ("square", "seam", "joined")


def _name(wanted: str, taken: set[str]) -> str:
    name = as_name(wanted, 40) or "piece"
    unique, number = name, 2
    while unique.lower() in taken:
        unique, number = f"{name} {number}", number + 1
    taken.add(unique.lower())
    return unique


def _stocks(pieces: Sequence[_Piece]) -> list[tuple[str, Section | None]]:
    found: list[tuple[str, Section | None]] = []
    for piece in pieces:
        if not any(same_section(section, piece.bar.section) for _, section in found):
            kind = piece.bar.section.kind if piece.bar.section else "bar"
            found.append((f"{kind}-{len(found) + 1}", piece.bar.section))
    return found


def _dies(pieces: Sequence[_Piece]) -> list[tuple[str, float, float, bool]]:
    """Return a bender for every radius: (name, radius, furthest angle, for flat the easy way)."""
    found: list[tuple[str, float, float, bool]] = []
    for piece in pieces:
        flat = isinstance(piece.bar.section, Flat) and piece.bar.way == "easy"
        for bend in piece.bar.line.table.bends:
            for k, (name, radius, furthest, kind) in enumerate(found):
                if abs(radius - bend.radius) < LEAST_DIE and kind == flat:
                    found[k] = (name, radius, max(furthest, bend.angle), kind)
                    break
            else:
                if len(found) < MOST_PIECES:
                    found.append((f"die-{len(found) + 1}", bend.radius, bend.angle, flat))
    return found


def _section(section: Section | None, ruler: Ruler) -> list[str]:
    if section is None:
        return [
            'section = "round"',
            f"diameter = {ruler.number(12.0)}                      # a guess: the file has lines only",
        ]
    names = ("diameter", "width", "height", "wall", "corner_radius")
    sizes = [(name, getattr(section, name)) for name in names if hasattr(section, name)]
    lines = [f"{name} = {ruler.number(size)}" for name, size in sizes if size > 0.0]
    return [f'section = "{section.kind}"', *lines]


def _table(
    piece: _Piece,
    stocks: Sequence[tuple[str, Section | None]],
    dies: Sequence[tuple[str, float, float, bool]],
    ruler: Ruler,
) -> list[str]:
    line: Centreline = piece.bar.line
    table, start = line.table, line.start
    stock = next(name for name, section in stocks if same_section(section, piece.bar.section))
    lines = [f"[piece.{_text(piece.name)}]  # {_plain(piece.told)}", f'stock = "{stock}"']
    if table.bends:
        flat = isinstance(piece.bar.section, Flat) and piece.bar.way == "easy"
        furthest = max(table.bends, key=lambda bend: bend.angle)
        die = next(n for n, r, _, kind in dies if abs(r - furthest.radius) < LEAST_DIE and kind == flat)
        lines.append(f'bender = "{die}"')
    rows = ", ".join(f"[{ruler.number(b.radius)}, {_angle(b.angle)}, {_angle(b.rotation)}]" for b in table.bends)
    lines += [
        f"straights = [{', '.join(str(ruler.number(s)) for s in table.straights)}]",
        f"bends = [{rows}]",
        f"start = [{', '.join(str(ruler.number(c)) for c in start.origin)}]",
        f"along = [{', '.join(_part(c) for c in start.tangent)}]",
        f"towards = [{', '.join(_part(c) for c in start.inward)}]",
    ]
    if table.closed:
        lines.append("closed = true")
    if piece.bar.way in ("easy", "hard") and piece.bar.section is not None:
        lines.append(f'way = "{piece.bar.way}"')
    own = [end_of(piece.bar, side, piece.free[side], ruler) for side in (0, 1)]
    lines += [f"end_{'ab'[side]} = {told}" for side, told in enumerate(own) if told]
    # A straight bar is sawn to the longest points of the cuts that the job asks for.
    beyond = max(0.0 if told and not table.bends else end.beyond for told, end in zip(own, piece.bar.ends, strict=True))
    if beyond > 0.01:
        spare = ruler.number(float(math.ceil(beyond)))
        lines.append(f"trim = {spare}  # a cut that leans reaches {ruler.length(beyond)} beyond the middle")
    lines += _holes(piece.bar, ruler)
    if piece.shifts:
        rows = ", ".join(f"[{', '.join(str(ruler.number(c)) for c in shift)}]" for shift in piece.shifts)
        lines.append(f"at = [{rows}]  # where each of the {piece.count} stands")
    elif piece.count > 1:
        lines.append(f"count = {piece.count}")
    if piece.opposite:
        lines.append("mirror = true  # a left and a right one of each")
    if piece.mirror:
        axis, at = piece.mirror
        lines.append(f'mirror_in = {{ axis = "{"xyz"[axis]}", at = {ruler.number(at)} }}')
    return lines


def _holes(bar: Bar, ruler: Ruler) -> list[str]:
    """Return the holes as a job has them, and in comments those that it does not have."""
    if bar.section is None:
        return []
    if drilled_into_bar(bar.section, "hard" if bar.way == "hard" else "easy"):
        rows, left = bar_holes(bar, ruler)
    elif bar.way != "easy" and bar.line.table.bends:
        rows, left = [], list(bar.holes)
    else:
        rows, left = _in_the_flat(bar, ruler)
    table = ["holes = [", *rows, "]"] if rows else []
    return [*table, *(f"# not written, for a job has no such hole: at {hole_words(hole, ruler)}" for hole in left)]


def _in_the_flat(bar: Bar, ruler: Ruler) -> tuple[list[str], list[Hole]]:
    """Return the holes of flat bar that is straight or bent the easy way, laid out on its wide side, and the others."""
    rows, left = [], []
    for hole in bar.holes:
        leans = min(hole.lean, 90.0 - hole.lean) if hole.slot else 0.0
        if not hole.through or hole.slant > SQUARE or abs(half_turn(2.0 * hole.round)) > 2.0 * SQUARE or leans > SQUARE:
            left.append(hole)
            continue
        sizes = [("along", hole.at), ("across", off_middle(hole.aside, 0.0)), ("diameter", hole.diameter)]
        if hole.slot:
            sizes.append(("slot", hole.slot + hole.diameter))
        told = [f"{name} = {ruler.number(size)}" for name, size in sizes if name != "across" or size]
        across = ', runs = "across"' if hole.slot and hole.lean > 45.0 else ""
        rows.append(f"    {{ {', '.join(told)}{across} }},{sunk_words(hole, ruler)}")
    return rows, left


def _up(angle: float) -> float:
    return float(int(angle) + 1) if angle > 180.0 else 180.0


def _angle(angle: float) -> str:
    return repr(round(angle, 9) + 0.0)


def _part(value: float) -> str:
    return repr(round(value, 12) + 0.0)


def _file_name(source: str) -> str:
    return re.split(r"[/\\]", source)[-1]


def _plain(words: str) -> str:
    """Keep words on their line: a comment ends where the line does."""
    return "".join(c if c.isprintable() else " " for c in words)[:120]


def _text(words: str) -> str:
    """Write text for TOML; JSON's escapes are among those that TOML reads."""
    return json.dumps("".join(c if c.isprintable() else " " for c in words)[:80], ensure_ascii=False)
