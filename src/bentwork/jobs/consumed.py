"""From a result to its welds and its surface: what filler, paint and abrasive are reckoned from."""

from __future__ import annotations

import math

from bentwork.carry.strength import thickness
from bentwork.carry.structure import Structure
from bentwork.jobs.job import Job
from bentwork.jobs.small_parts import SmallParts
from bentwork.jobs.tabs import Pattern
from bentwork.jobs.weld_lines import weld_lines
from bentwork.jobs.work import PiecePlan, Result
from bentwork.parts.consumables import USUAL_COATS, Coat, Weld, powder_mass, zinc_mass
from bentwork.parts.outline import bore_of
from bentwork.parts.weld_metal import advice_for

__all__ = ["coats_of", "finish_mass", "piece_surface", "surface", "tab_surface", "welds_of"]


def welds_of(result: Result, structure: Structure, small: SmallParts) -> tuple[Weld, ...]:
    """Return every weld: of the joints that are welded, of the seams of closed pieces, of the tabs.

    The fillet is as long as the outline of the bar that it goes round, or as the bars that cross are wide.
    """
    found = []
    for line in weld_lines(result, structure, small):
        told = advice_for(*line.metals, result.job.load.rules.filler)
        filler = f"for {line.metals[line.round_bar].group}" if told is None else told.short
        found.append(Weld(line.where, line.length, line.throat, line.density, filler))
    return tuple(found)


def coats_of(job: Job) -> tuple[Coat, ...]:
    """Return the primer and paint of a job: its own, or what is usual; none where its finish is another."""
    return (job.shop.coats or USUAL_COATS) if job.finish.system == "paint" else ()


def piece_surface(plan: PiecePlan) -> float:
    """Return the outside of one finished piece, m2: outline times length, and the ends of an open one.

    By Pappus it holds in bends too: the outline's middle runs along the centreline. Insides of tubes are not counted.
    """
    if plan.table is None:
        return 0.0
    ends = 0.0 if plan.table.closed else 2.0 * plan.stock.section.area
    return (plan.stock.section.perimeter * plan.length + ends) * 1e-6


def tab_surface(small: SmallParts) -> float:
    """Return the outside of all tabs, m2, holes not taken off."""
    return math.fsum(_of_tabs(pattern) for pattern in small.tabs)


def _of_tabs(pattern: Pattern) -> float:
    length, width, thick = pattern.tab.blank
    return len(pattern.tabs) * 2.0 * (length * width + length * thick + width * thick) * 1e-6


def surface(result: Result, small: SmallParts) -> float:
    """Return the outside of everything that is made, m2; what joints cover is not taken off."""
    return math.fsum(piece_surface(plan) * plan.makes for plan in result.pieces) + tab_surface(small)


def finish_mass(result: Result, small: SmallParts) -> float:
    """Return what the finish adds to the mass, kg: paint or powder outside; zinc runs into tubes too."""
    system = result.job.finish.system
    if system == "galvanised":
        pieces = math.fsum(_zinc_on(plan) * plan.makes for plan in result.pieces)
        return pieces + math.fsum(zinc_mass(_of_tabs(one), one.tab.thickness) for one in small.tabs)
    outside = surface(result, small)
    if system == "powder":
        return powder_mass(outside)
    return math.fsum(coat.dry_mass(outside) for coat in coats_of(result.job))


def _zinc_on(plan: PiecePlan) -> float:
    section = plan.stock.section
    bore = bore_of(section)
    inside = 0.0 if bore is None or plan.table is None else bore.around * plan.length * 1e-6
    return zinc_mass(piece_surface(plan) + inside, thickness(section))
