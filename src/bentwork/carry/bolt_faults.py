"""What is the matter with a bolt before any load is on it: too near an edge, too little thread."""

from __future__ import annotations

from bentwork.carry.bar import Bar
from bentwork.carry.fasteners import Bolt, engagement
from bentwork.carry.structure import Structure
from bentwork.fastening.faults import edge_findings, thread_findings
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
        if held.fixing.bolt is not None and held.tab is None:  # a tab is told of with the small parts
            found += _of(held.fixing.bolt, structure.bars[held.bar], f"the bolt of fixing {held.fixing.name}")
    return tuple(found)


def _of(bolt: Bolt, bar: Bar, words: str) -> list[Finding]:
    near = min((d for d in (bolt.end_distance, bolt.side_distance) if d is not None), default=None)
    found = [*edge_findings(bolt.hole_size, near, words, bar.of)]
    if bolt.tapped and bolt.thickness is not None:
        strength = bar.material.tensile_strength
        if bolt.welded and bar.material.welded_strength is not None:
            strength = bar.material.welded_strength
        wanted = engagement(bolt.size, bolt.grade, strength.value)
        name = f"M{bolt.size:g}"
        found += thread_findings(name, bolt.grade, wanted, bolt.thickness, bar.material.name, words, bar.of)
    return found
