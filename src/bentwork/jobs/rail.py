"""A straight of a piece where it stands, by the number that the maker knows it by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from bentwork.jobs.crossbar_asked import Side
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.work import line_of
from bentwork.parts.meeting import Limb
from bentwork.piece.carried import carried
from bentwork.piece.centreline import Centreline, Run
from bentwork.piece.corners import Corners, Seam
from bentwork.space import Pose, add
from bentwork.stock.bar import Stock
from bentwork.stock.section import Section, Way

__all__ = ["Rail", "along_side", "limb_of", "rail_of", "side_of", "sides_of", "standing"]


@dataclass(frozen=True, slots=True)
class Rail:
    """A straight in space.

    Args:
        limb: its beginning, the way it runs, its section.
        length: between its bends or ends, mm.
    """

    limb: Limb
    length: float


def limb_of(line: Centreline, run: Run, section: Section, way: Way) -> Limb:
    """Return a straight run of a bar as a limb: from the beginning of the run."""
    for stretch in carried(line, way):
        if abs(stretch.run.station - run.station) < 1e-9:
            return Limb(run.start.origin, run.start.tangent, stretch.wide, stretch.high, section)
    raise ValueError("the bar has no straight there")


def side_of(spec: PieceSpec, straight: int) -> int:
    """Return the number by which the maker knows a straight, given as its place from end A, from 0."""
    return straight + 1 if not isinstance(spec.shape, Corners) else _numbers(spec.shape, spec.seam)[straight]


def _numbers(shape: Corners, seam: Seam | None) -> tuple[int, ...]:
    """Numbers of all sides in the order of the straights, from end A."""
    if not shape.closed:
        return (1, *shape.bent_at())
    seam = seam or shape.best_seam()
    return (seam[0], *shape.bent_at(seam))


def sides_of(spec: PieceSpec) -> int:
    """Return how many sides or straights a piece has."""
    return spec.shape.sides if isinstance(spec.shape, Corners) else len(spec.shape.table.straights)


def along_side(spec: PieceSpec, line: Centreline, straight: int, at: float) -> tuple[int, float, float]:
    """Return where a place on a straight is, as the maker finds it: number of the side, from its beginning, its length.

    Args:
        spec: the piece.
        line: the piece in space.
        straight: its place from end A, from 0.
        at: from the beginning of the straight, mm.
    """
    runs = [run for run in line.runs if run.bend == 0]
    numbers = _numbers(spec.shape, spec.seam) if isinstance(spec.shape, Corners) else range(1, len(runs) + 1)
    number = numbers[straight]
    alike = [k for k in range(len(runs)) if numbers[k] == number]
    # The side of the seam begins in the last straight and ends in the first.
    ahead = runs[alike[-1]].length if len(alike) > 1 and straight == alike[0] else 0.0
    return number, ahead + at, sum(runs[k].length for k in alike)


def rail_of(specs: Mapping[str, PieceSpec], stocks: Mapping[str, Stock], side: Side) -> Rail | None:
    """Return a side in its place; None where the piece has no such side, its corners do not fit, or it has no length.

    Both halves of a side with a seam in it are one.

    Args:
        specs: pieces by their own names.
        stocks: by name.
        side: the side; the name of a piece that stands in several places means the first.
    """
    spec, line = standing(specs, side.piece)
    if spec is None or line is None or spec.stock not in stocks:
        return None
    section = stocks[spec.stock].section
    straights = [run for run in line.runs if run.bend == 0]
    mine = [run for k, run in enumerate(straights) if side_of(spec, k) == side.number and run.length > 1e-9]
    if not mine:
        return None
    # The seam's side begins in the last straight and ends in the first.
    first = mine[-1] if len(mine) > 1 else mine[0]
    return Rail(limb_of(line, first, section, spec.way), sum(run.length for run in mine))


def standing(specs: Mapping[str, PieceSpec], name: str) -> tuple[PieceSpec | None, Centreline | None]:
    """Return a piece, or the copy that is meant, with its line where it stands; None for what there is not."""
    for spec in specs.values():
        hands = (True, False) if spec.mirror else (True,)
        for as_drawn in hands:
            for copy, shift in spec.copies(as_drawn=as_drawn):
                if name not in (copy, spec.name):
                    continue
                line, _ = line_of(spec)
                if line is None:
                    return spec, None
                if not as_drawn and spec.mirror_in is not None:
                    line = line.mirrored(spec.mirror_in.axis, spec.mirror_in.at)
                start = line.start
                return spec, replace(line, start=Pose(add(start.origin, shift), start.tangent, start.axis))
    return None, None
