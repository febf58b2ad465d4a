"""The tabs of a job on its frame: one pattern for equal ones, how they are drilled, what is the matter with them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bentwork.carry.bar import Bar
from bentwork.carry.strength import Welding, softened_length
from bentwork.fastening.faults import edge_findings, thread_findings
from bentwork.fastening.holding import edge_distances, engagement
from bentwork.fastening.threads import Thread
from bentwork.findings import Finding
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.rail import along_side, limb_of
from bentwork.jobs.tab_asked import TabAsked
from bentwork.parts.gang import Gang, gang
from bentwork.parts.tab import Tab, tab_on
from bentwork.space import Vec, dot, sub
from bentwork.stock.material import Material
from bentwork.stock.section import Flat, Square

__all__ = ["Pattern", "TabMade", "is_softened", "tab_patterns"]


@dataclass(frozen=True, slots=True)
class TabMade:
    """One tab where it stands: its name, the bar, the number of the side, and mm from the beginning of that side.

    ``hole`` is the middle of its hole, mm.
    """

    name: str
    bar: str
    side: int
    station: float
    tab: Tab
    hole: Vec


@dataclass(frozen=True, slots=True)
class Pattern:
    """Equal tabs.

    Args:
        tabs: all that are cut from it.
        material: what they are made of.
        thread: that is cut into them or goes through them; None for a plain hole.
        tapped: the thread is cut into them.
        grade: class of the bolt.
        drill: diameter of the drill, mm.
        gang: how they are drilled together.
        wanted: length of thread at which the bolt breaks first, mm; 0 where none is cut.
        softened: the weld has softened the metal that the thread is cut in.
    """

    tabs: tuple[TabMade, ...]
    material: Material
    thread: Thread | None
    tapped: bool
    grade: str
    drill: float
    gang: Gang
    wanted: float = 0.0
    softened: bool = False

    @property
    def tab(self) -> Tab:
        """The first of them."""
        return self.tabs[0].tab

    @property
    def name(self) -> str:
        """What it is called: the name of the first, without a number where there are several."""
        return self.tabs[0].name.rsplit(" ", 1)[0] if len(self.tabs) > 1 else self.tabs[0].name

    @property
    def least_edge(self) -> float:
        """Least distance from the middle of the hole to an edge, mm."""
        return edge_distances(self.tab.hole)[0]

    @property
    def mass(self) -> float:
        """Mass of one, kg: of its blank, hole and corners counted as metal."""
        length, width, thickness = self.tab.blank
        return length * width * thickness * self.material.density.value * 1e-9


def tab_patterns(
    asked: Sequence[TabAsked], bars: Sequence[Bar], specs: Mapping[str, PieceSpec], welding: Welding
) -> tuple[tuple[Pattern, ...], tuple[Finding, ...]]:
    """Return the tabs, equal ones together, and what there is to say of them.

    Args:
        asked: by the job.
        bars: of the frame.
        specs: the pieces by name.
        welding: how it is welded, which says how far metal is softened.
    """
    found: list[tuple[TabAsked, list[TabMade]]] = []
    told: list[Finding] = []
    for one in asked:
        for number, hole in enumerate(one.holes, 1):
            name = one.name if len(one.holes) == 1 else f"{one.name} {number}"
            made = _made(one, name, hole, bars, specs)
            if isinstance(made, Finding):
                told.append(made)
                continue
            alike = next((tabs for first, tabs in found if _alike(first, one) and tabs[0].tab.same_as(made.tab)), None)
            if alike is None:
                found.append((one, [made]))
            else:
                alike.append(made)
    patterns = tuple(_pattern(one, tuple(tabs), welding) for one, tabs in found)
    for (one, _), pattern in zip(found, patterns, strict=True):
        told += _told(one, pattern)
    return patterns, tuple(told)


def _alike(one: TabAsked, other: TabAsked) -> bool:
    """The same but for its name and its place: what is cut and drilled alike."""
    plain, likewise = (
        replace(asked, name="", piece="", holes=(), axis=(0.0, 0.0, 1.0), runs=None, fixings=())
        for asked in (one, other)
    )
    return plain == likewise


def _made(
    one: TabAsked, name: str, hole: Vec, bars: Sequence[Bar], specs: Mapping[str, PieceSpec]
) -> TabMade | Finding:
    ways = []
    for bar in bars:
        if one.piece not in (bar.name, bar.of):
            continue
        for run in bar.line.runs:
            if run.length > 1e-9:
                along = dot(sub(hole, run.start.origin), run.start.tangent) if run.bend == 0 else run.length / 2.0
                near = run.pose(min(max(along, 0.0), run.length)).origin
                ways.append((math.dist(near, hole), bar, run))
    if not ways:
        return _misses(name, one, hole, "No bar of this name stands in the frame.")
    _, bar, run = min(ways, key=lambda way: way[0])
    if run.bend:
        return _misses(name, one, hole, f"The nearest of it is bend {run.bend}: a tab wants a straight.")
    limb = limb_of(bar.line, run, bar.section, bar.way)
    tab = tab_on(limb, hole, one.axis, one.plan, one.runs)
    if tab is None:
        return _misses(name, one, hole, "Its bolt points along the way to the bar, or the hole lies inside the bar.")
    station = dot(sub(tab.foot, run.start.origin), run.start.tangent)
    if abs(tab.beside) >= limb.half(tab.ways[2]) + tab.thickness / 2.0:
        return _misses(name, one, hole, "Square to its bolt it passes beside the bar.")
    if not -tab.width / 2.0 <= station <= run.length + tab.width / 2.0:
        return _misses(name, one, hole, "It would stand beyond the end of the straight, in a bend or in the air.")
    straight = sum(one.bend == 0 for one in bar.line.runs if one.station < run.station - 1e-9 or one == run) - 1
    side, along, _ = along_side(specs[bar.of], bar.line, straight, station)
    return TabMade(name, bar.name, side, along, tab, hole)


def _misses(name: str, one: TabAsked, hole: Vec, why: str) -> Finding:
    return Finding(
        "stop",
        "tab-misses-bar",
        f"Tab {name} does not stand on {one.piece}.",
        f"{why} Its hole is asked for at {{hole}}.",
        "Move the hole, turn its axis, or say with runs which way it runs from the bar.",
        piece=one.piece,
        lengths={"hole": hole},
        at=hole,
    )


def _pattern(one: TabAsked, tabs: tuple[TabMade, ...], welding: Welding) -> Pattern:
    tab = tabs[0].tab
    drill = one.thread.drill if one.tapped and one.thread is not None else one.plan.hole
    together = gang(len(tabs), tab.thickness, drill)
    if not one.tapped or one.thread is None:
        return Pattern(tabs, one.material, one.thread, False, one.grade, drill, together)
    softened = is_softened(one, tab, welding)
    welded = one.material.welded_strength
    strength = welded.value if softened and welded is not None else one.material.tensile_strength.value
    wanted = engagement(one.thread, one.grade, strength)
    return Pattern(tabs, one.material, one.thread, True, one.grade, drill, together, wanted, softened)


def is_softened(one: TabAsked, tab: Tab, welding: Welding) -> bool:
    """Tell whether the weld of a tab softens the metal round its hole."""
    section = Flat(tab.width, tab.thickness) if tab.width >= tab.thickness else Square(tab.width, tab.thickness)
    welded = one.material.welded_strength
    near = one.welded and tab.reach - tab.hole / 2.0 < softened_length(section, welding)
    return near and welded is not None and welded.value < one.material.tensile_strength.value


def _told(one: TabAsked, pattern: Pattern) -> tuple[Finding, ...]:
    words = f"tab {pattern.name}"
    found = edge_findings(pattern.tab.hole, pattern.tab.edge_distance, words, one.piece)
    if pattern.tapped and one.thread is not None:
        metal = one.material.name + (" softened by the weld" if pattern.softened else "")
        found += thread_findings(
            one.thread.name, one.grade, pattern.wanted, pattern.tab.thickness, metal, words, one.piece
        )
    return found
