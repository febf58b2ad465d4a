"""Round bar and tube out of the faces of a solid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bentwork.takeoff.bars import Doubt, Tried, rests_of, try_bar
from bentwork.takeoff.formal import Spine
from bentwork.takeoff.outline import round_outline
from bentwork.takeoff.rods import Rod, bores
from bentwork.takeoff.runs import Part, centreline_of, chained, key_of, trued
from bentwork.takeoff.shape import Face, Shape

__all__ = ["round_bars", "round_chains"]


def round_bars(
    shape: Shape, faces: Sequence[Face], round_ones: Sequence[Rod], spines: Sequence[Spine], volume: float
) -> Iterator[Tried | Doubt]:
    """Try every chain of cylinders and tori as the one bar of a solid."""
    if spines:
        return
    splined = any(face.kind == "free" for face in shape.faces)
    for chain, closed, rod, sides in round_chains(round_ones):
        area = round_outline(rod.radius).area
        length = sum(part.length for part in chain)
        if area * length < 0.3 * volume:
            continue
        line = centreline_of(trued(chain, closed), closed)
        if line is None:
            yield Doubt("its straights and bends overlap", 0.5)
            continue
        hollow = bores(faces, chain, rod.radius)
        outlines = [round_outline(rod.radius)] + [round_outline(rod.radius, bore) for bore in hollow]
        inside = set().union(*hollow.values()) if hollow else set()
        yield try_bar(line, outlines, rests_of(shape, faces, sides | inside), volume, splined=splined)


def round_chains(round_ones: Sequence[Rod]) -> Iterator[tuple[list[Part], bool, Rod, set[int]]]:
    """Return chains with whether they are closed, what they are of, and the numbers of their faces."""
    for rod in round_ones:
        chains = chained(rod.parts)
        numbers = {number for part in rod.faces for number in part}
        if len(chains) == 1:
            yield chains[0][0], chains[0][1], rod, numbers
            continue
        of_part: dict[tuple[tuple[float, ...], ...], set[int]] = {}
        for part, group in zip(rod.parts, rod.faces, strict=True):
            of_part.setdefault(key_of(part), set()).update(group)
        for chain, closed in sorted(chains, key=lambda pair: -sum(part.length for part in pair[0])):
            yield chain, closed, rod, set().union(*(of_part.get(key_of(part), ()) for part in chain))
