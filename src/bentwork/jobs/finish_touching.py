"""Where different metals touch in a frame: bars bolted to one another, bolts in bars, in tabs and in holes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bentwork.carry.structure import Structure
from bentwork.jobs.small_parts import SmallParts
from bentwork.jobs.work import Result
from bentwork.parts.metals_touch import corrodes, metal_of_bolt
from bentwork.stock.material import Group

__all__ = ["Touching", "touching"]


@dataclass(frozen=True, slots=True)
class Touching:
    """Two metals that touch.

    Args:
        where: in words.
        eaten: the metal that corrodes.
        by: the other one, in words.
        piece: name of the piece that corrodes; None where it is a tab.
    """

    where: str
    eaten: str
    by: str
    piece: str | None = None


def touching(result: Result, structure: Structure, small: SmallParts) -> tuple[Touching, ...]:
    """Return where metals touch of which one corrodes the other, each once."""
    found = (*_bars(structure), *_fixings(structure), *_tabs(small), *_holes(result))
    return tuple(dict.fromkeys(found))


def _bars(structure: Structure) -> Iterator[Touching]:
    for joint in structure.joints:
        one, other = (structure.bars[number] for number in joint.touch.bars)
        words = f"{one.of} and {other.of}"
        if joint.made != "welded":
            eaten = corrodes(one.material.group, other.material.group)
            if eaten is not None:
                lower, upper = (one, other) if one.material.group == eaten else (other, one)
                yield Touching(words, eaten, upper.material.group, lower.of)
        if joint.bolt is not None:
            for bar in (one, other):
                yield from _bolt(f"the bolts of {words}", bar.material.group, joint.bolt.grade, bar.of)


def _fixings(structure: Structure) -> Iterator[Touching]:
    for held in structure.fixings:
        bar, bolt = structure.bars[held.bar], held.fixing.bolt
        if bolt is not None:
            yield from _bolt(f"the bolt of {held.fixing.name}", bar.material.group, bolt.grade, bar.of)


def _tabs(small: SmallParts) -> Iterator[Touching]:
    for pattern in small.tabs:
        yield from _bolt(f"the bolt of {pattern.name}", pattern.material.group, pattern.grade, None)


def _holes(result: Result) -> Iterator[Touching]:
    for plan in result.pieces:
        for hole in plan.spec.holes:
            if hole.thread is not None:
                where = f"the bolts of {plan.spec.name}"
                yield from _bolt(where, plan.stock.material.group, hole.grade, plan.spec.name)


def _bolt(where: str, group: Group, grade: str, piece: str | None) -> Iterator[Touching]:
    bolt = metal_of_bolt(grade)
    # A small bolt eats little of a large steel bar; aluminium it eats round the hole.
    if group == "aluminium" and corrodes(group, bolt) == group:
        words = "stainless bolts" if bolt == "stainless" else "steel bolts, once their zinc is gone"
        yield Touching(where, group, words, piece)
