"""Round bar and tube out of the faces of a solid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial
from itertools import count, islice

from bentwork.piece.centreline import Centreline
from bentwork.takeoff.bars import Doubt, Tried, Untried, rests_of, try_bar
from bentwork.takeoff.formal import Spine
from bentwork.takeoff.outline import Outline, round_outline
from bentwork.takeoff.rectangular import LongEdges
from bentwork.takeoff.rods import Rod, bores
from bentwork.takeoff.runs import Part, centreline_of, chained, key_of, trued
from bentwork.takeoff.shape import Face, Shape
from bentwork.takeoff.sides import ends_of

__all__ = ["RoundChains", "round_bars"]


@dataclass(frozen=True)
class RoundChain:
    """Cylinders and tori of one radius that follow one another.

    Args:
        parts: straights and arcs, in order.
        closed: the last goes on into the first.
        rod: what they are of.
        sides: numbers of their faces.
        faces: of the solid.
    """

    parts: list[Part]
    closed: bool
    rod: Rod
    sides: set[int]
    faces: Sequence[Face] = field(repr=False)

    @cached_property
    def line(self) -> Centreline | None:
        """Its middle; None when straights and bends overlap."""
        return centreline_of(trued(self.parts, self.closed), self.closed)

    @cached_property
    def hollow(self) -> dict[float, set[int]]:
        """Radii of what is hollow along it, with the numbers of the faces of each."""
        return bores(self.faces, self.parts, self.rod.radius)

    @property
    def own(self) -> set[int]:
        """Numbers of the faces that run along it, outside and inside."""
        return self.sides.union(*self.hollow.values())


class RoundChains:
    """The chains of cylinders and tori of a solid; each is put together once, whoever asks."""

    def __init__(self, faces: Sequence[Face], round_ones: Sequence[Rod]) -> None:
        """Take the faces of a solid, those without formula taken apart, and what of them is round."""
        self._known: list[RoundChain] = []
        self._left = _chains(faces, round_ones)

    def __iter__(self) -> Iterator[RoundChain]:
        """Yield the chains, those of the radius with most surface first, and of one the longest."""
        for k in count():
            if k == len(self._known):
                self._known.extend(islice(self._left, 1))
            if k == len(self._known):
                return
            yield self._known[k]


def round_bars(
    shape: Shape, chains: RoundChains, spines: Sequence[Spine], along: LongEdges, volume: float
) -> Iterator[Tried | Doubt | Untried]:
    """Try every chain of cylinders and tori as the one bar of a solid, but for those too small to be all of it."""
    if spines:
        return
    for chain in chains:
        outline = round_outline(chain.rod.radius)
        if outline.area * sum(part.length for part in chain.parts) < 0.3 * volume:
            continue
        line = chain.line
        if line is None:
            yield Doubt("its straights and bends overlap", 0.5)
            continue
        trying = partial(_tried, shape, chain, line, volume)
        more = len(shape.faces) - len(chain.own) > ends_of(line)
        if more and along.too_small(line, outline, volume):
            yield Untried(trying)
        else:
            yield trying()


def _tried(shape: Shape, chain: RoundChain, line: Centreline, volume: float) -> Tried | Doubt:
    radius = chain.rod.radius
    outlines: list[Outline] = [round_outline(radius), *(round_outline(radius, bore) for bore in chain.hollow)]
    splined = any(face.kind == "free" for face in shape.faces)
    return try_bar(line, outlines, rests_of(shape, chain.faces, chain.own), volume, splined=splined)


def _chains(faces: Sequence[Face], round_ones: Sequence[Rod]) -> Iterator[RoundChain]:
    for rod in round_ones:
        chains = chained(rod.parts)
        if len(chains) == 1:
            numbers = {number for part in rod.faces for number in part}
            yield RoundChain(*chains[0], rod, numbers, faces)
            continue
        of_part: dict[tuple[tuple[float, ...], ...], set[int]] = {}
        for part, group in zip(rod.parts, rod.faces, strict=True):
            of_part.setdefault(key_of(part), set()).update(group)
        for parts, closed in sorted(chains, key=lambda pair: -sum(part.length for part in pair[0])):
            sides = set().union(*(of_part.get(key_of(part), ()) for part in parts))
            yield RoundChain(parts, closed, rod, sides, faces)
