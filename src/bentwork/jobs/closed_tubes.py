"""Which tubes of a frame shut air in: those whose two ends are welded to other bars, and closed pieces of tube."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bentwork.carry.structure import Structure
from bentwork.jobs.small_parts import SmallParts
from bentwork.parts.vents import Vent, Why, hollow, vent_for
from bentwork.units import Ruler, either

__all__ = ["Alike", "alike", "closed_tubes", "drilled", "vent_words"]

Alike = tuple[tuple[str, ...], Vent]
"""Names of tubes, and the holes that each of them needs."""

_CLOSES = 0.95
"""An end is closed when the bar that it ends on covers so much of it: as wide as its bore or wider."""


def closed_tubes(structure: Structure, small: SmallParts, why: Why) -> tuple[Vent, ...]:
    """Return the vents that the tubes of a frame need.

    A tube that ends on a bar narrower than its bore stays open there. A hole that is drilled anyway is not looked for.

    Args:
        structure: the frame.
        small: its small parts.
        why: what heats it.
    """
    found = []
    for number, bar in enumerate(structure.bars):
        if not hollow(bar.section):
            continue
        shut = bar.closed or _shut_ends(structure, number) == {"A", "B"}
        vent = vent_for(bar.name, bar.section, why) if shut else None
        found += [vent] if vent else []
    return tuple(found)


def alike(vents: Iterable[Vent]) -> tuple[Alike, ...]:
    """Gather the tubes that need the same holes."""
    groups: dict[tuple[int, float, float], list[Vent]] = {}
    for vent in vents:
        groups.setdefault((vent.holes, vent.diameter, vent.from_end), []).append(vent)
    return tuple((tuple(vent.bar for vent in same), same[0]) for same in groups.values())


def vent_words(vent: Vent, ruler: Ruler) -> str:
    """Return what is drilled into one closed tube, and where."""
    size, away = ruler.about(vent.diameter), ruler.about(vent.from_end)
    if vent.holes == 1:
        return f"{size} through one wall, {away} from one end, on the underside and off the bends"
    return (
        f"{vent.holes} × {size}, one at each end {away} from it, through opposite walls and off the bends, so that "
        "zinc runs in at the one and out at the other"
    )


def drilled(groups: Sequence[Alike]) -> str:
    """Return what is drilled into them, and where, as the text of a finding: where they differ, what into which."""
    several = len(groups) > 1
    told = []
    for names, vent in groups:
        each = " of each" if len(names) > 1 and not several else ""
        end = f"{either(vent.from_end)} from {'the' if vent.holes > 1 else 'one'} end"
        where = f", in {', '.join(names)}" if several else ""
        told.append(f"{_holes(vent, each)}, {end}{where}")
    under = all(vent.holes == 1 for _, vent in groups)
    return f"{'; '.join(told)}, {'on the underside and ' if under else ''}off the bends"


def _holes(vent: Vent, each: str) -> str:
    size = either(vent.diameter)
    if vent.holes == 1:
        return f"a hole of {size} through one wall{each}"
    return f"{vent.holes} holes of {size} through opposite walls{each}, one at each end"


def _shut_ends(structure: Structure, number: int) -> set[str]:
    """Which ends of a bar a weld closes."""
    bar = structure.bars[number]
    bore = bar.section.depth("easy") - 2.0 * getattr(bar.section, "wall", 0.0)
    shut: set[str] = set()
    for joint in structure.joints:
        if joint.made != "welded" or number not in joint.touch.bars:
            continue
        k = joint.touch.bars.index(number)
        other = structure.bars[joint.touch.bars[1 - k]]
        if joint.touch.ends[k] and other.section.depth("hard") >= _CLOSES * bore:
            shut.add("A" if joint.touch.stations[k] < bar.length / 2.0 else "B")
    return shut
