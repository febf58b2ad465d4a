"""What is the matter with a bolt before any load is on it: too near an edge, too little thread."""

from __future__ import annotations

from bentwork.carry.bar import Bar
from bentwork.carry.fasteners import Bolt, edge_distances, engagement
from bentwork.carry.structure import Structure
from bentwork.findings import Finding

__all__ = ["bolt_findings"]


def bolt_findings(structure: Structure) -> tuple[Finding, ...]:
    """Return what is the matter with the bolts of joints and fixings, as far as their sizes are given."""
    found: list[Finding] = []
    for joint in structure.joints:
        if joint.bolt is not None and joint.made != "welded":
            bar = structure.bars[joint.touch.bars[1]]
            found += _of(joint.bolt, bar, f"the bolt of {joint.words(structure.bars)}")
    for held in structure.fixings:
        if held.fixing.bolt is not None:
            found += _of(held.fixing.bolt, structure.bars[held.bar], f"the bolt of fixing {held.fixing.name}")
    return tuple(found)


def _of(bolt: Bolt, bar: Bar, words: str) -> list[Finding]:
    found = []
    least, ahead, beside = edge_distances(bolt.hole_size)
    near = min((d for d in (bolt.end_distance, bolt.side_distance) if d is not None), default=None)
    if near is not None and near < least:
        found.append(
            Finding(
                "watch",
                "hole-close-to-edge",
                f"The hole of {words} stands {{near}} from an edge.",
                "1.2 times the hole, {least}, is the least (EN 1999-1-1, Table 8.2, from memory).",
                "Move it in: {ahead} from the end that is pulled and {beside} from the side are usual.",
                piece=bar.of,
                lengths={"near": near, "least": least, "ahead": ahead, "beside": beside},
            )
        )
    if bolt.tapped and bolt.thickness is not None:
        strength = bar.material.tensile_strength
        if bolt.welded and bar.material.welded_strength is not None:
            strength = bar.material.welded_strength
        wanted = engagement(bolt.size, bolt.grade, strength.value)
        if bolt.thickness < wanted:
            found.append(
                Finding(
                    "watch",
                    "thread-too-short",
                    f"The thread of {words} strips before the bolt breaks.",
                    f"M{bolt.size:g} of class {bolt.grade} wants {{wanted}} of thread in {bar.material.name}, "
                    "and has {has}.",
                    "Make the tab thicker, put a nut behind it, or use an insert.",
                    piece=bar.of,
                    lengths={"wanted": wanted, "has": bolt.thickness},
                )
            )
    return found
