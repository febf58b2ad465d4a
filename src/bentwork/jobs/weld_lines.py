"""Every weld of a frame, one by one: of joints, of the seams of closed pieces, of tabs; where, how long, how thick."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from bentwork.carry.joint import Joint
from bentwork.carry.joint_parts import seam_of
from bentwork.carry.nearest import nearest_station
from bentwork.carry.strength import thickness
from bentwork.carry.structure import Structure
from bentwork.carry.welds import ring_of, throat_between
from bentwork.jobs.rail import along_side
from bentwork.jobs.small_parts import SmallParts
from bentwork.jobs.work import Result
from bentwork.parts.welding import Round
from bentwork.space import Vec, cross, dot, norm, perpendicular, scale, sub, unit
from bentwork.stock.material import Material

__all__ = ["WeldLine", "weld_lines"]


@dataclass(frozen=True, slots=True)
class WeldLine:
    """A weld of the frame.

    Args:
        where: in words, different for each.
        sort: what is welded.
        place: mm.
        length: of the weld, mm.
        throat: mm.
        runs: how it runs.
        bars: names of the bars that it joins; the tab's own name for a tab.
        stations: where on those bars, mm from end A; None on the tab itself.
        metals: of the two.
        side: unit vector towards one of its two sides.
        round_bar: which of ``bars`` it goes round.
    """

    where: str
    sort: Literal["joint", "seam", "tab"]
    place: Vec
    length: float
    throat: float
    runs: Round
    bars: tuple[str, str]
    stations: tuple[float | None, float | None]
    metals: tuple[Material, Material]
    side: Vec
    round_bar: int = 0

    @property
    def density(self) -> float:
        """Of the weld metal, as that of the bar it goes round, kg/m3."""
        return self.metals[self.round_bar].density.value


def weld_lines(result: Result, structure: Structure, small: SmallParts) -> tuple[WeldLine, ...]:
    """Return every weld: of the joints that are welded, of the seams of closed pieces, of the tabs.

    The fillet is as long as the outline of the bar that it goes round, or as the bars that cross are wide.

    Args:
        result: of the job.
        structure: its frame.
        small: its small parts.
    """
    filler = result.job.load.rules.filler
    joints = [_joint(structure, one, filler) for one in structure.joints if one.made == "welded"]
    found = [*joints, *_seams(structure), *_of_tabs(result, structure, small)]
    return tuple(_named_apart(found, result, structure))


def _joint(structure: Structure, joint: Joint, filler: str) -> WeldLine:
    k, seam = seam_of(structure.bars, joint, filler)
    touch = joint.touch
    one, other = (structure.bars[number] for number in touch.bars)
    tangents = [bar.line.pose(station).tangent for bar, station in zip((one, other), touch.stations, strict=True)]
    runs: Round = "ring" if touch.ends[k] else "pair"
    length, throat = float(seam.ring.area) / float(seam.throat), float(seam.throat)
    return WeldLine(
        joint.words(structure.bars),
        "joint",
        touch.places[k],
        length,
        throat,
        runs,
        (one.name, other.name),
        touch.stations,
        (one.material, other.material),
        _towards(_square_to(tangents[0], tangents[1], sub(touch.places[1], touch.places[0])), structure),
        k,
    )


def _square_to(one: Vec, other: Vec, between: Vec) -> Vec:
    """A direction square to both bars; for bars side by side square to them and to the line from one to the other."""
    for a, b in ((one, other), (one, between)):
        found = cross(a, b)
        if norm(found) > 1e-3 * max(norm(a) * norm(b), 1e-12):
            return unit(found)
    return perpendicular(one)


def _towards(way: Vec, structure: Structure) -> Vec:
    """The same line, pointing up where it can, else forward, else to the left: that side is welded first."""
    ways = structure.directions
    for axis in (ways.up, ways.forward, ways.left):
        reach = dot(way, axis)
        if abs(reach) > 0.3:
            return way if reach > 0.0 else scale(way, -1.0)
    return way


def _seams(structure: Structure) -> Iterator[WeldLine]:
    """The seams of closed pieces, as a weld all round where the ends meet."""
    for bar in structure.bars:
        if bar.line.table.closed:
            thick = thickness(bar.section)
            throat = throat_between(thick, thick)
            length = float(ring_of(bar.section, throat).area) / throat
            yield WeldLine(
                f"the seam of {bar.name}",
                "seam",
                bar.line.start.origin,
                length,
                throat,
                "ring",
                (bar.name, bar.name),
                (0.0, bar.length),
                (bar.material, bar.material),
                _upmost(bar.line.start.tangent, structure),
            )


def _upmost(tangent: Vec, structure: Structure) -> Vec:
    """The direction square to a bar that points up most; forward for an upright one."""
    ways = structure.directions
    for axis in (ways.up, ways.forward):
        square = sub(axis, scale(tangent, dot(axis, tangent)))
        if norm(square) > 0.1:
            return unit(square)
    return perpendicular(tangent)


def _of_tabs(result: Result, structure: Structure, small: SmallParts) -> Iterator[WeldLine]:
    """The welds of tabs: both sides of their end on the bar."""
    welded = {asked.name for asked in result.job.tabs if asked.welded}
    bars = {bar.name: bar for bar in structure.bars}
    for pattern in small.tabs:
        for made in pattern.tabs:
            if made.name in welded or made.name.rsplit(" ", 1)[0] in welded:
                bar = bars[made.bar]
                yield WeldLine(
                    f"{made.name} on {made.bar}",
                    "tab",
                    made.tab.foot,
                    2.0 * made.tab.width,
                    throat_between(made.tab.thickness, thickness(bar.section)),
                    "pair",
                    (made.name, made.bar),
                    (None, nearest_station(bar, made.tab.foot)[0]),
                    (pattern.material, bar.material),
                    _towards(made.tab.ways[2], structure),
                )


def _named_apart(lines: Sequence[WeldLine], result: Result, structure: Structure) -> Iterator[WeldLine]:
    """Two bars may meet in several places: their welds are told apart by the side, or else by a number."""
    names = [line.where for line in lines]
    sided = [
        line if names.count(line.where) == 1 else replace(line, where=f"{line.where}{_side(line, result, structure)}")
        for line in lines
    ]
    names = [line.where for line in sided]
    seen: dict[str, int] = {}
    for line in sided:
        if names.count(line.where) == 1:
            yield line
            continue
        seen[line.where] = seen.get(line.where, 0) + 1
        yield replace(line, where=f"{line.where}, {seen[line.where]}")


def _side(line: WeldLine, result: Result, structure: Structure) -> str:
    """Which straight of the bar that the weld does not go round it stands on; empty in a bend."""
    name, at = line.bars[1 - line.round_bar], line.stations[1 - line.round_bar]
    bar = next((bar for bar in structure.bars if bar.name == name), None)
    spec = next((spec for spec in result.job.pieces if bar is not None and spec.name == bar.of), None)
    if bar is None or spec is None or at is None:
        return ""
    straights = [run for run in bar.line.runs if run.bend == 0]
    k = next((k for k, run in enumerate(straights) if run.station <= at <= run.station + run.length), None)
    return "" if k is None else f", side {along_side(spec, bar.line, k, at - straights[k].station)[0]} of {name}"
