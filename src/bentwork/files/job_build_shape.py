"""The shape of a piece: corner points with their radii, a bend table placed in space, or a bar of a model."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bentwork.errors import InputError
from bentwork.files.job_faults import Faults
from bentwork.files.job_model import MOST, PieceTable
from bentwork.files.job_words import told
from bentwork.jobs.job import Placed
from bentwork.jobs.modelled import Modelled, ModelPart, ModelReader
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.piece.misfits import closure, misfits
from bentwork.space import HOME, Pose, Vec, along, cross, dot, norm, perpendicular, unit
from bentwork.tooling.bender import Bender
from bentwork.units import Ruler

__all__ = ["Entry", "shape_from"]

_LEAST_DIRECTION = 1e-6
"""A direction shorter than this, or two that differ by less as unit vectors, point nowhere in particular."""

_PLACING = ("start", "along", "towards")
_SHAPES = ("points", "straights", "bends", "radius", "closed", "seam", *_PLACING)
"""What a model says itself."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A ``[piece.NAME]`` table while the piece is made from it.

    Args:
        name: of the piece.
        table: as ``tomllib`` read it.
        read: what is right in it.
        given: its keys, and those that mistyped keys seem to mean.
        ruler: how lengths are read and shown in this job.
        faults: gathers what is wrong.
        models: reads bars of CAD models; None where none can be read.
    """

    name: str
    table: Mapping[str, Any]
    read: PieceTable
    given: set[str]
    ruler: Ruler
    faults: Faults
    models: ModelReader | None = None

    @property
    def path(self) -> tuple[str, str]:
        """Where the table stands."""
        return ("piece", self.name)

    def has(self, key: str) -> bool:
        """Tell whether a key is given, be it right or wrong."""
        return key in self.given

    def wrong(self, *keys: str) -> bool:
        """Tell whether one of these keys is given but wrong, which has been told."""
        return any(key in self.given and key not in self.read.model_fields_set for key in keys)

    def fault(self, key: str, wanted: str, do: str = "", found: str | None = None) -> None:
        """Tell what is wrong with a key."""
        self.faults.add((*self.path, key), wanted, do, found)


def shape_from(entry: Entry, bender: Bender | None, *, ask_radius: bool) -> Corners | Placed | Modelled | None:
    """Return corners, bend table or bar of a model, whichever is given; None when something is wrong, which is told.

    Args:
        entry: the table.
        bender: gives the radius where the piece does not, and how far a bend may go; None when there is none to ask.
        ask_radius: whether a missing radius is the maker's to add: there is no bender that would give it.
    """
    by_table = [key for key in ("straights", "bends") if entry.has(key)]
    if entry.has("takeoff"):
        return _modelled(entry, bender)
    if entry.has("points") and by_table:
        entry.fault(by_table[0], "either points, or straights and bends", "Take one of the two out.")
    elif entry.has("points"):
        _check_seam(entry)
        return _corners(entry, bender, ask_radius)
    elif by_table:
        if entry.read.seam is not None:
            entry.fault("seam", '"auto"', "A bend table begins and ends at its seam: begin it elsewhere.")
        return _placed(entry, bender)
    else:
        wanted = "corner points, points = [[x, y, z], …], or a bend table, straights = […] and bends = […]"
        entry.fault("points", wanted, "Add one of the two, or takeoff = { file = …, solid = … }.")
    return None


def _modelled(entry: Entry, bender: Bender | None) -> Modelled | None:
    before, asked = entry.faults.count, entry.read.takeoff
    for key in _SHAPES:
        if entry.has(key):
            entry.fault(key, f"no {key} beside takeoff", "Take it out: the model says it.")
    if asked is None or entry.faults.count > before:
        return None
    if entry.models is None:
        entry.fault("takeoff", "corner points or a bend table", "No model can be read where this job is read.")
        return None
    try:
        part = ModelPart(asked.file, asked.solid, asked.member, asked.radius, entry.ruler.units)
        found = entry.models(part)
    except InputError as error:
        for fault in error.faults:
            entry.faults.add((*entry.path, "takeoff", fault.where), fault.wanted, fault.do, fault.found)
        return None
    _check_modelled(entry, found, bender)
    return found if entry.faults.count == before else None


def _check_modelled(entry: Entry, found: Modelled, bender: Bender | None) -> None:
    """Tell what a job cannot take of a bar that is in the model."""
    path, table = (*entry.path, "takeoff", "solid"), found.line.table
    if len(table.bends) > MOST:
        wanted = f"a bar of up to {MOST} bends"
        entry.faults.add(path, wanted, "Draw it with fewer.", f"{found.of}, which has {len(table.bends)}")
        return
    most = _most_angle(bender)
    for number, bend in enumerate(table.bends, 1):
        if bend.angle > most:
            wanted = f"a bar whose bends turn by at most {most:g} degrees"
            entry.faults.add(path, wanted, "", f"{found.of}, whose bend {number} turns by {bend.angle:.5g}")
    if entry.has("way") and not entry.wrong("way") and found.way in ("easy", "hard") and found.way != entry.read.way:
        do = "Take it out: the model says it."
        entry.fault("way", f"{told(found.way)}, the way {found.of} is bent", do)


def _most_angle(bender: Bender | None) -> float:
    """Return how far a bend may turn, degrees."""
    return max(180.0, (bender.max_angle if bender else None) or 180.0)


def _check_seam(entry: Entry) -> None:
    seam, points = entry.read.seam, entry.read.points
    if seam is None or entry.wrong("closed"):
        return
    if not entry.read.closed:
        entry.fault("seam", "no seam, because the piece is open", "Take it out, or add closed = true.")
    elif points is not None and seam[0] > len(points):
        entry.fault("seam", f"a side from 1 to {len(points)}", "Side 1 begins at point 1.")


def _corners(entry: Entry, bender: Bender | None, ask_radius: bool) -> Corners | None:
    for key in _PLACING:
        if entry.has(key):
            entry.fault(key, f"no {key} beside points", "Take it out: points say themselves where the piece stands.")
    points, closed = entry.read.points, entry.read.closed
    if points is None or entry.wrong("closed"):
        return None
    if closed and len(points) < 3:
        entry.fault("points", "3 points at least, because the piece is closed")
        return None
    radii = _radii(entry, len(points) if closed else len(points) - 2, bender, ask_radius)
    if radii is None or entry.faults.full:
        return None
    corners = Corners(tuple(points), radii, closed)
    for finding in misfits(corners):
        path = (*entry.path, "points", (finding.corner or 1) - 1)
        entry.faults.add(path, "corner points that can be bent", " ".join(finding.told(entry.ruler)))
        entry.faults.keep(finding.about(entry.name))
    return corners


def _radii(entry: Entry, corners: int, bender: Bender | None, ask_radius: bool) -> tuple[float, ...] | None:
    """Return a radius for every corner; None when there is none, or not one for each."""
    given = entry.read.radius
    if given is None:
        if ask_radius and corners and not entry.has("radius"):
            entry.fault("radius", "the centreline radius of the bends", "Add radius = …, or a bender that gives it.")
        if entry.has("radius") or (bender is None and corners):
            return None
        return (bender.radius if bender else 0.0,) * corners
    if not isinstance(entry.table["radius"], list):
        return (given[0],) * corners
    if len(given) == corners:
        return tuple(given)
    wanted = f"{corners} radii, one for each corner, or one radius for all"
    entry.fault("radius", wanted, found=f"{len(given)} of them, {told(entry.table['radius'])}")
    return None


def _placed(entry: Entry, bender: Bender | None) -> Placed | None:
    if entry.has("radius"):
        entry.fault("radius", "no radius beside a bend table", "Take it out: every bend has its own in bends.")
    if not entry.has("straights"):
        wanted = "lengths from end to bend, from bend to bend, from bend to end"
        entry.fault("straights", wanted, "Add straights = […]")
    start = _start(entry)
    rows, straights = entry.read.bends, entry.read.straights
    if rows is None and not entry.has("bends"):
        rows = []
    if rows is None or not _bends_fit(entry, rows, bender) or straights is None or start is None:
        return None
    if len(straights) != len(rows) + 1:
        wanted = f"{len(rows) + 1} lengths, because there are {len(rows)} bends"
        entry.fault("straights", wanted, found=f"{len(straights)} of them, {told(entry.table['straights'])}")
        return None
    if entry.wrong("closed"):
        return None
    bends = tuple(Bend(radius, angle, rotation) for radius, angle, rotation in rows)
    placed = Placed(BendTable(tuple(straights), bends, entry.read.closed), start)
    for finding in closure(Centreline(placed.table, placed.start)):
        entry.fault("straights", "a bend table whose ends meet", " ".join(finding.told(entry.ruler)))
        entry.faults.keep(finding.about(entry.name))
    return placed


def _bends_fit(entry: Entry, rows: list[tuple[float, float, float]], bender: Bender | None) -> bool:
    """Tell which bends turn too far, or are turned where there is nothing to be turned from."""
    before = entry.faults.count
    most = _most_angle(bender)
    for number, (_, angle, _) in enumerate(rows):
        if angle > most:
            wanted = f"a bend angle of at most {most:g} degrees"
            entry.faults.add((*entry.path, "bends", number, 1), wanted, "0 is straight, 90 a square corner.")
    if rows and rows[0][2] != 0.0:
        wanted = "0, because the first bend has no bend before it to be turned from"
        do = "Where the piece stands in space is said by start, along and towards."
        entry.faults.add((*entry.path, "bends", 0, 2), wanted, do)
    return entry.faults.count == before


def _start(entry: Entry) -> Pose | None:
    """Return where end A of a bend table stands; None when that is wrong."""
    before = entry.faults.count
    tangent = _direction(entry, "along") or HOME.tangent
    towards = _direction(entry, "towards")
    if entry.wrong(*_PLACING) or entry.faults.count > before:
        return None
    inward = perpendicular(tangent)
    if towards is not None:
        aside = along(towards, tangent, -dot(towards, tangent))
        if norm(aside) < _LEAST_DIRECTION:
            way = told(entry.table["along"]) if entry.has("along") else "[1, 0, 0], the way the piece begins"
            do = "It is the side that the first bend turns to."
            entry.fault("towards", f"a direction that is not parallel to {way}", do)
            return None
        inward = unit(aside)
    return Pose(entry.read.start or HOME.origin, tangent, cross(tangent, inward))


def _direction(entry: Entry, key: str) -> Vec | None:
    vector: Vec | None = getattr(entry.read, key)
    if vector is None:
        return None
    if norm(vector) < _LEAST_DIRECTION:
        entry.fault(key, "a direction, such as [0, 0, 1]", "All three numbers cannot be 0.")
        return None
    return unit(vector)
