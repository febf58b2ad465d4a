"""What stays bare when a frame is coated: threads, and faces that bear on something else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from bentwork.carry.structure import Structure
from bentwork.jobs.small_parts import SmallParts
from bentwork.jobs.work import Result

__all__ = ["Mask", "masks"]


@dataclass(frozen=True, slots=True)
class Mask:
    """Something that is masked: what it is, and how."""

    what: str
    sort: Literal["thread", "face"]
    how: str


_PLUG = "screw a greased bolt in, or a silicone plug"
_TAPE = "tape over the face where it is clamped: paint under a bolt creeps, and the bolt comes loose"


def masks(result: Result, structure: Structure, small: SmallParts) -> tuple[Mask, ...]:
    """Return what is masked, each once."""
    return tuple(dict.fromkeys((*_threads(result, structure, small), *_faces(structure, small))))


def _threads(result: Result, structure: Structure, small: SmallParts) -> Iterator[Mask]:
    for pattern in small.tabs:
        if pattern.tapped and pattern.thread is not None:
            many = f"{len(pattern.tabs)} × " if len(pattern.tabs) > 1 else ""
            yield Mask(f"{many}{pattern.thread.name} in {pattern.name}", "thread", _PLUG)
    for plan in result.pieces:
        for number, hole in enumerate(plan.spec.holes, 1):
            if hole.tapped and hole.thread is not None:
                yield Mask(f"{hole.thread.name} in {plan.spec.name}, hole {number}", "thread", _PLUG)
    for held in structure.fixings:
        bolt = held.fixing.bolt
        if bolt is not None and bolt.tapped:
            yield Mask(f"M{bolt.size:g} at {held.fixing.name}", "thread", _PLUG)


def _faces(structure: Structure, small: SmallParts) -> Iterator[Mask]:
    for joint in structure.joints:
        if joint.made == "bolted":
            one, other = (structure.bars[number].of for number in joint.touch.bars)
            yield Mask(f"{one} where {other} is bolted to it, and the other way round", "face", _TAPE)
    for held in structure.fixings:
        yield Mask(f"{structure.bars[held.bar].of} where it bears on {held.fixing.name}", "face", _TAPE)
    for pattern in small.tabs:
        yield Mask(f"both faces of {pattern.name} round its hole", "face", _TAPE)
