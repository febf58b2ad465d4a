"""What stays bare when a frame is coated: threads, and faces that bear on something else."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from bentwork.carry.structure import Structure
from bentwork.jobs.small_parts import SmallParts
from bentwork.jobs.work import Result
from bentwork.parts.finishing import SheetSystem

__all__ = ["Mask", "masks"]


@dataclass(frozen=True, slots=True)
class Mask:
    """Something that is masked: what it is, and how."""

    what: str
    sort: Literal["thread", "face"]
    how: str


_CREEPS = "under a bolt creeps, and the bolt comes loose"
_THREADS: Mapping[SheetSystem, str] = {
    "paint": "screw a greased bolt in, or a silicone plug",
    "powder": "a silicone plug, or a bolt without any grease; neither wax nor plastic stands the oven",
    "anodised": "ask the shop for a plug: the layer makes a thread tight, and the bath eats a bolt of steel",
    "galvanised": "no plug stands molten zinc: run the tap through it again afterwards, goggles on",
}
_FACES: Mapping[SheetSystem, str] = {
    "paint": f"tape over the face where it is clamped: paint {_CREEPS}",
    "powder": f"tape that stands <200 °C|390 °F> over the face where it is clamped: powder {_CREEPS}",
    "galvanised": "file runs and drops of zinc flat where it is clamped",
}
"""How each is kept bare, common practice, no source. An anodised layer is hard and thin: bolts bear on it."""


def masks(result: Result, structure: Structure, small: SmallParts, system: SheetSystem) -> tuple[Mask, ...]:
    """Return what is masked for a finish, or freed of it afterwards, each once."""
    threads, faces = _THREADS.get(system), _FACES.get(system)
    found = [
        *(_threads(result, structure, small, threads) if threads else ()),
        *(_faces(structure, small, faces) if faces else ()),
    ]
    return tuple(dict.fromkeys(found))


def _threads(result: Result, structure: Structure, small: SmallParts, how: str) -> Iterator[Mask]:
    for pattern in small.tabs:
        if pattern.tapped and pattern.thread is not None:
            many = f"{len(pattern.tabs)} × " if len(pattern.tabs) > 1 else ""
            yield Mask(f"{many}{pattern.thread.name} in {pattern.name}", "thread", how)
    for plan in result.pieces:
        for number, hole in enumerate(plan.spec.holes, 1):
            if hole.tapped and hole.thread is not None:
                yield Mask(f"{hole.thread.name} in {plan.spec.name}, hole {number}", "thread", how)
    for held in structure.fixings:
        bolt = held.fixing.bolt
        if bolt is not None and bolt.tapped:
            yield Mask(f"M{bolt.size:g} at {held.fixing.name}", "thread", how)


def _faces(structure: Structure, small: SmallParts, how: str) -> Iterator[Mask]:
    for joint in structure.joints:
        if joint.made == "bolted":
            one, other = (structure.bars[number].of for number in joint.touch.bars)
            yield Mask(f"{one} where {other} is bolted to it, and the other way round", "face", how)
    for held in structure.fixings:
        yield Mask(f"{structure.bars[held.bar].of} where it bears on {held.fixing.name}", "face", how)
    for pattern in small.tabs:
        yield Mask(f"both faces of {pattern.name} round its hole", "face", how)
