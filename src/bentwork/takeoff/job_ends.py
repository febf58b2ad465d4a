"""Ends of bars and holes drilled into them as a job has them: mitres that lie on no other bar, ends pressed flat.

An end that sits on another bar is cut to it again by itself, from where the two stand: a job says nothing of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bentwork.jobs.hole_asked import side_drilled
from bentwork.jobs.own_ends import end_limb
from bentwork.jobs.rail import limb_of
from bentwork.parts.meeting import Limb, Meeting, meeting, slanting
from bentwork.piece.bend import half_turn
from bentwork.space import distance, rotate, scale
from bentwork.stock.section import Round, SquareTube, Tube, Way
from bentwork.takeoff.bar import Bar, Hole
from bentwork.units import Ruler

__all__ = ["Free", "bar_holes", "end_of", "free_mitres"]

Free = tuple[bool, bool]
"""Whether end A and end B are mitres that lie on no other bar."""

_MOST_CUT = 80.0  # degrees off square that a job takes
_ALIKE = 1e-3  # mm, and as the sine of an angle: a cut that lies so near to the face of a bar lies on it
_TOUCHES = 3.0  # mm: as near as a weld fills (common practice)
SQUARE = 0.1
"""Degrees that a hole may lean in a job's words, which know square ones alone."""
_CORNER = 0.5  # of half the other's depth: an end that near to its middle line makes a corner with it


@dataclass(frozen=True, slots=True)
class _Straight:
    """A straight of some bar: which bar, its limb, its two ends."""

    bar: int
    limb: Limb
    ends: tuple[tuple[float, float, float], tuple[float, float, float]]


def free_mitres(bars: Sequence[Bar]) -> list[Free]:
    """Return of every bar of a model which of its mitred ends lie on no other."""
    wanted = [k for k, bar in enumerate(bars) if any(_is_mitre(bar, side) for side in (0, 1))]
    if not wanted:
        return [(False, False)] * len(bars)
    straights = [one for k, bar in enumerate(bars) for one in _straights(k, bar)]
    ends = np.array([one.ends for one in straights]).reshape(-1, 2, 3)
    found: list[Free] = [(False, False)] * len(bars)
    for k in wanted:
        one, other = (_is_mitre(bars[k], side) and not _lies_on(bars, k, side, straights, ends) for side in (0, 1))
        found[k] = (one, other)
    return found


def end_of(bar: Bar, side: int, free: bool, ruler: Ruler) -> str:
    """Return what a job says of an end: ``{ cut = 30, round = 90 }``; empty where it says nothing.

    Args:
        bar: as the job has it.
        side: 0 for end A, 1 for end B.
        free: whether it is a mitre that lies on no other bar.
        ruler: how lengths are written.
    """
    end = bar.ends[side]
    if end.round is None:
        return ""
    turn = f", round = {_degrees(end.round)}" if abs(end.round) > 1e-9 else ""
    if end.cut == "mitred" and free and end.angle <= _MOST_CUT:
        return f"{{ cut = {_degrees(end.angle)}{turn} }}"
    if end.cut != "flattened" or end.flat <= 0.0 or not isinstance(bar.section, Tube):
        return ""
    hole = _in_flat(bar, side)
    told = (
        "" if hole is None else f", hole = {ruler.number(hole.diameter)}, end = {ruler.number(_back(bar, side, hole))}"
    )
    return f"{{ flattened = {ruler.number(end.flat)}{told}{turn} }}"


def bar_holes(bar: Bar, ruler: Ruler) -> tuple[list[str], list[Hole]]:
    """Return the holes drilled into a bar as a job has them, those of its flats left out, and those that it has not."""
    told = [_in_flat(bar, side) for side in (0, 1) if end_of(bar, side, False, ruler)]
    rows, left = [], []
    for hole in bar.holes:
        if hole in told:
            continue
        one_wall = not hole.through and isinstance(bar.section, Tube | SquareTube)
        if hole.slot or hole.slant > SQUARE or not (hole.through or one_wall):
            left.append(hole)
            continue
        turn, across = hole.round, ""
        if bar.section is not None and not isinstance(bar.section, Round | Tube):
            turn = 90.0 * round(hole.round / 90.0)
            _, wide = side_drilled(bar.section, _way(bar), turn)
            # It stands askew to the sides, or runs over the edge.
            if abs(turn - hole.round) > SQUARE or abs(hole.off_middle) >= (wide - hole.diameter) / 2.0:
                left.append(hole)
                continue
            across = f", across = {ruler.number(hole.off_middle)}" if abs(hole.off_middle) > _ALIKE else ""
        elif abs(hole.off_middle) > _ALIKE:
            left.append(hole)
            continue
        turned = f", round = {_degrees(turn)}" if abs(turn) > 1e-9 else ""
        walls = ', walls = "one"' if one_wall else ""
        sizes = f"along = {ruler.number(hole.at)}, diameter = {ruler.number(hole.diameter)}"
        rows.append(f"    {{ {sizes}{across}{turned}{walls} }},{sunk_words(hole, ruler)}")
    return rows, left


def sunk_words(hole: Hole, ruler: Ruler) -> str:
    """Return the comment on a hole whose countersink a job does not have."""
    return f"  # the model countersinks it to ø{ruler.number(round(hole.sunk, 2)):g}" if hole.sunk else ""


def _in_flat(bar: Bar, side: int) -> Hole | None:
    """Return the hole through the flat of an end; None where there is none, or there are several."""
    end = bar.ends[side]
    if end.cut != "flattened" or end.round is None:
        return None
    mine = [
        hole
        for hole in bar.holes
        if hole.diameter / 2.0 < _back(bar, side, hole) < end.flat - hole.diameter / 2.0
        and hole.through
        and not hole.slot
        and abs(hole.off_middle) < _ALIKE
        and abs(half_turn(2.0 * (hole.round - end.round))) < 2.0 * SQUARE
    ]
    return mine[0] if len(mine) == 1 else None


def _back(bar: Bar, side: int, hole: Hole) -> float:
    """How far a hole is from an end, mm."""
    return bar.length - hole.at if side else hole.at


def _is_mitre(bar: Bar, side: int) -> bool:
    end = bar.ends[side]
    return bar.section is not None and end.cut == "mitred" and end.round is not None


def _way(bar: Bar) -> Way:
    return "hard" if bar.way == "hard" else "easy"


def _straights(number: int, bar: Bar) -> list[_Straight]:
    if bar.section is None:
        return []
    runs = [run for run in bar.line.runs if run.bend == 0 and run.length > 1e-9]
    return [
        _Straight(
            number,
            limb_of(bar.line, run, bar.section, _way(bar)),
            (run.start.origin, run.pose(run.length).origin),
        )
        for run in runs
    ]


def _lies_on(
    bars: Sequence[Bar], number: int, side: int, straights: Sequence[_Straight], ends: NDArray[np.float64]
) -> bool:
    """Whether a mitre lies on the bar that its end is drawn to, so that a job cuts it so again."""
    bar = bars[number]
    section, name = bar.section, _NAMES[side]
    assert section is not None
    limb, _ = end_limb(bar.line, section, _way(bar), name)
    away, along = np.array(limb.origin) - ends[:, 0], ends[:, 1] - ends[:, 0]
    share = np.clip(np.einsum("ij,ij->i", away, along) / np.einsum("ij,ij->i", along, along), 0.0, 1.0)
    apart = np.linalg.norm(away - share[:, None] * along, axis=1)
    met: list[Meeting] = []
    for k in np.argsort(apart, kind="stable").tolist():
        one = straights[k]
        half = max(one.limb.section.depth("easy"), one.limb.section.depth("hard")) / 2.0
        if one.bar == number or apart[k] > 2.0 * half + limb.section.depth() + _TOUCHES:
            continue
        found = meeting(limb.origin, limb, one.limb)
        if found is not None and found.drawn >= _CORNER * half:
            met.append(found)
    if not met:
        return False
    nearest = min(met, key=lambda found: found.offset)
    inside = limb.high if _way(bar) == "easy" else limb.wide
    ahead = limb.along if side == 0 else scale(limb.along, -1.0)
    end = bar.ends[side]
    wanted = slanting(limb, end.angle, rotate(inside, ahead, end.round or 0.0))
    lies = abs(nearest.plain.middle - nearest.drawn) <= _ALIKE and not nearest.is_coped
    return lies and distance(wanted.normal, nearest.plain.normal) <= _ALIKE


_NAMES: tuple[Literal["A", "B"], Literal["A", "B"]] = ("A", "B")


def _degrees(angle: float) -> str:
    return f"{round(angle, 9) + 0.0:.12g}"
