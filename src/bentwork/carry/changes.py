"""What would help most for the fewest grams: small changes tried one by one."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bentwork.amounts import Units
from bentwork.carry.analysis import Analysed, analyse
from bentwork.carry.braces import Bracing, bracings
from bentwork.carry.cases import LoadCase
from bentwork.carry.limits import Limits, Rules, limits_of, metal_use
from bentwork.carry.pressed import whole_limits
from bentwork.carry.structure import Structure
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.units import INCH

__all__ = ["Change", "Help", "helps_of", "next_sizes", "usual_changes"]

_LEAST = 1.01  # times the payload before: less is not worth a change
_BRACES = 6
_STEPS: Mapping[Units, tuple[float, float, float, float]] = {
    "mm": (2.0, 0.5, 5.0, 1.0),
    "in": (INCH / 8, INCH / 32, INCH / 4, INCH / 16),
}
"""To the next bigger size, mm: round bar, tube and solid squares across; walls; square tube and flat bar across; the
thickness of flat bar."""


@dataclass(frozen=True, slots=True)
class Change:
    """A frame with one thing changed.

    Args:
        words: what was changed, such as ``stay of tube 14 x 2 mm``.
        structure: the frame with it; bars keep their numbers, new ones come last.
        bracing: the bars that are added; None where others are changed.
        piece: the piece that is of another size; empty where none is.
        section: its new one.
    """

    words: str
    structure: Structure
    bracing: Bracing | None = None
    piece: str = ""
    section: Section | None = None


@dataclass(frozen=True, slots=True)
class Help:
    """What a change brings.

    Args:
        change: what was changed.
        grams: that it adds; below 0 for a lighter frame.
        payload: times the payload that it carries now.
        gain: how much more that is, a share of what it carried before; infinite from nothing.
        first: what gives first now, in words.
    """

    change: Change
    grams: float
    payload: float
    gain: float
    first: str


def next_sizes(section: Section, units: Units = "mm") -> tuple[tuple[str, Section], ...]:
    """Return the next bigger sizes of a section as they are usually sold (common practice), with their words in mm."""
    across, wall, wider, higher = _STEPS[units]
    found: list[Section] = []
    if isinstance(section, Round):
        found = [Round(section.diameter + across)]
    elif isinstance(section, Tube):
        thicker = section.wall + wall
        found = [Tube(section.diameter + across, section.wall)]
        if thicker < section.diameter / 2.0:
            found.append(Tube(section.diameter, thicker))
    elif isinstance(section, SquareTube):
        found = [replace(section, width=section.width + wider, height=section.height + wider)]
        if section.wall + wall < min(section.width, section.height) / 2.0:
            found.append(replace(section, wall=section.wall + wall))
    elif isinstance(section, Flat):
        found = [Flat(section.width + wider, section.height)]
        if section.height + higher <= section.width:
            found.append(Flat(section.width, section.height + higher))
    else:
        found = [Square(section.width + across, section.height + across)]
    return tuple((size_words(one), one) for one in found)


def size_words(section: Section) -> str:
    """Return kind and sizes, such as ``tube 14 x 2 mm``."""
    if isinstance(section, Round):
        return f"round {section.diameter:g} mm"
    if isinstance(section, Tube):
        return f"tube {section.diameter:g} x {section.wall:g} mm"
    wall = f" x {section.wall:g}" if isinstance(section, SquareTube) else ""
    return f"{section.kind.replace('-', ' ')} {section.width:g} x {section.height:g}{wall} mm"


def usual_changes(structure: Structure, units: Units = "mm") -> tuple[Change, ...]:
    """Return every piece, one after the other, in its next bigger sizes, all its copies together."""
    found = []
    for piece in dict.fromkeys(bar.of for bar in structure.bars):
        section = next(bar.section for bar in structure.bars if bar.of == piece)
        for words, bigger in next_sizes(section, units):
            bars = tuple(bar.made_of(bigger, bar.material) if bar.of == piece else bar for bar in structure.bars)
            found.append(Change(f"{piece} of {words}", replace(structure, bars=bars), None, piece, bigger))
    return tuple(found)


def helps_of(
    structure: Structure,
    cases: Sequence[LoadCase],
    rules: Rules | None = None,
    changes: Sequence[Change] = (),
    units: Units = "mm",
) -> tuple[Help, ...]:
    """Try bigger sections, bars that could be added and the changes given, and return them by what they bring per gram.

    Every one is reckoned as the frame itself is, buckling too. Those that bring less than 1 % are left out; so are all
    but the best six bars, and those that read the same. Forces of the cases stay as they are.

    Args:
        structure: the frame, able to be reckoned.
        cases: load cases.
        rules: how it is judged.
        changes: more to try, such as a second pair of stays.
        units: in which bigger sections are sold.
    """
    rules = rules or Rules()
    solved = analyse(structure, cases)
    if not isinstance(solved, Analysed):
        return ()
    before = whole_limits(solved, limits_of(solved, rules), rules)
    if not before.found or math.isinf(before.payload):
        return ()
    giving = next(number for number, case in enumerate(cases) if case.name == before.found[0].giving)
    added = [Change(one.words, one.structure, one) for one in bracings(solved, giving)]
    wanted = _LEAST * before.payload
    tried: list[tuple[Help, Analysed, Limits]] = []
    for change in (*usual_changes(structure, units), *added, *changes):
        after = analyse(change.structure, cases)
        if not isinstance(after, Analysed) or metal_use(after, wanted, rules) > 1.0:
            continue
        limits = limits_of(after, rules)
        if limits.payload > wanted:
            tried.append((_help(structure, change, before, limits), after, limits))
    kept: list[Help] = []
    for one, after, limits in sorted(tried, key=lambda one: _worth(one[0], before)):
        braces = sum(other.change.bracing is not None for other in kept)
        if any(other.change.words == one.change.words for other in kept):
            continue
        if one.change.bracing is not None and braces >= _BRACES:
            continue
        whole = whole_limits(after, limits, rules)
        if whole.payload > wanted:
            kept.append(_help(structure, one.change, before, whole))
    return tuple(sorted(kept, key=lambda one: _worth(one, before)))


def _worth(one: Help, before: Limits) -> tuple[bool, float]:
    """Something for nothing comes first; then the most payload for a gram."""
    return one.grams > 0.0, -(one.payload - before.payload) / max(one.grams, 1e-9)


def _help(structure: Structure, change: Change, before: Limits, after: Limits) -> Help:
    grams = 1000.0 * (change.structure.mass - structure.mass)
    gain = math.inf if before.payload == 0.0 else after.payload / before.payload - 1.0
    return Help(change, grams, after.payload, gain, after.found[0].where)
