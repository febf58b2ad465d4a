"""The tabs of a job as the reckoning of what it carries sees them."""

from __future__ import annotations

from collections.abc import Sequence

from bentwork.carry.bar import Bar
from bentwork.carry.fasteners import COARSE_PITCH, Bolt
from bentwork.carry.strength import WELDING, Welding
from bentwork.carry.tabs import TabOn
from bentwork.jobs.job import Job
from bentwork.jobs.tab_asked import TabAsked
from bentwork.jobs.tabs import Pattern, TabMade, is_softened, tab_patterns

__all__ = ["tabs_carried"]


def tabs_carried(job: Job, bars: Sequence[Bar], welding: Welding = WELDING) -> tuple[TabOn, ...]:
    """Return every tab of a job that stands on its frame; what is the matter with others the small parts tell.

    Args:
        job: what was asked for.
        bars: of its frame.
        welding: how it is welded.
    """
    if not job.tabs:
        return ()
    patterns, _ = tab_patterns(job.tabs, bars, {spec.name: spec for spec in job.pieces}, welding)
    made = {tab.name: (tab, pattern) for pattern in patterns for tab in pattern.tabs}
    found = []
    for asked in job.tabs:
        for number in range(1, len(asked.holes) + 1):
            one = made.get(asked.name if len(asked.holes) == 1 else f"{asked.name} {number}")
            if one is not None:
                fixing = asked.fixings[number - 1] if asked.fixings else ""
                found.append(_on(asked, fixing, *one, welding))
    return tuple(found)


def _on(asked: TabAsked, fixing: str, made: TabMade, pattern: Pattern, welding: Welding) -> TabOn:
    tab = made.tab
    softened = is_softened(asked, tab, welding)
    return TabOn(
        name=made.name,
        piece=made.bar,
        foot=tab.foot,
        hole=made.hole,
        ways=tab.ways,
        reach=tab.reach,
        width=tab.width,
        thickness=tab.thickness,
        edge=tab.edge_distance,
        hole_size=tab.hole,
        material=asked.material,
        mass=pattern.mass,
        welded=asked.welded,
        softened=softened,
        tapped=pattern.tapped,
        bolt=_bolt(made, pattern, softened),
        fixing=fixing,
    )


def _bolt(made: TabMade, pattern: Pattern, softened: bool) -> Bolt | None:
    """Return the bolt of a tab whose thread is one of those that are reckoned."""
    thread = pattern.thread
    if thread is None or thread.series != "M" or thread.diameter not in COARSE_PITCH:
        return None
    tab = made.tab
    return Bolt(
        thread.diameter,
        pattern.grade,
        tab.thickness,
        pattern.tapped,
        tab.edge_distance,
        tab.width / 2.0,
        None if pattern.tapped else max(tab.hole, thread.diameter),
        softened,
    )
