"""What every fixing has to hold: in the load case in which it pushes or pulls most."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bentwork.jobs.carried import Carried
from bentwork.space import Vec

__all__ = ["Holds", "held"]


@dataclass(frozen=True, slots=True)
class Holds:
    """What one fixing puts on the frame.

    Args:
        fixing: its name.
        bar: name of the bar that it holds.
        place: mm; in the hole of a tab where one holds it.
        case: the load case; empty where nothing could be reckoned.
        force: along x, y, z, N.
        moment: about x, y, z, N m.
    """

    fixing: str
    bar: str
    place: Vec
    case: str = ""
    force: Vec = (0.0, 0.0, 0.0)
    moment: Vec = (0.0, 0.0, 0.0)

    @property
    def size(self) -> float:
        """The force, N."""
        return float(np.linalg.norm(self.force))


def held(found: Carried) -> tuple[Holds, ...]:
    """Return what every fixing has to hold at most, in the order of the job."""
    analysed, structure = found.verdict.analysed, found.structure
    every = analysed.reactions() if analysed is not None else None
    told = []
    for number, one in enumerate(structure.fixings):
        bar = structure.bars[one.bar]
        place = bar.line.pose(one.station).origin if one.tab is None else structure.tabs[one.tab].tab.hole
        if analysed is None or every is None:
            told.append(Holds(one.fixing.name, bar.name, place))
            continue
        worst = int(np.argmax(np.linalg.norm(every[number, :3], axis=0)))
        directions = np.array(one.fixing.directions)
        force, moment = (directions.T @ every[number, rows, worst] for rows in (slice(0, 3), slice(3, 6)))
        x, y, z = (float(c) for c in force)
        u, v, w = (float(c) / 1000.0 for c in moment)
        told.append(Holds(one.fixing.name, bar.name, place, analysed.cases[worst].name, (x, y, z), (u, v, w)))
    return tuple(told)
