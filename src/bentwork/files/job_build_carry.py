"""``[load]``, ``[payload]``, ``[fixing.NAME]``, ``[joint.NAME]``: what is carried, how the frame is held and joined."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bentwork.carry.cases import LoadCase
from bentwork.carry.fasteners import Bolt
from bentwork.carry.fatigue import ROADS
from bentwork.carry.fixing import FIXED, PINNED, Fixing
from bentwork.carry.joint import Wanted
from bentwork.carry.limits import SAFETY, Rules
from bentwork.carry.payload import Payload, Strap
from bentwork.carry.strength import WELDING
from bentwork.carry.structure import Directions
from bentwork.carry.uses import USES
from bentwork.files.job_check import check, check_keys, given_keys
from bentwork.files.job_faults import Faults
from bentwork.files.job_lines import Path
from bentwork.files.job_model_carry import BoltTable, FixingTable, JointTable, LoadTable, PayloadTable
from bentwork.files.job_names import looked_up
from bentwork.files.job_words import listed, near, told
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.load import Load
from bentwork.space import Vec, cross, norm
from bentwork.units import Units

__all__ = ["Reading", "directions_of", "fixing_from", "joint_from", "load_from"]

_LEAST_DIRECTION = 1e-9


@dataclass(frozen=True, slots=True)
class Reading:
    """What these tables are read with.

    Args:
        pieces: every piece of the job by its name and by those of its copies; None when nothing is known of them.
        units: of lengths.
        faults: gathers what is wrong.
    """

    pieces: Mapping[str, PieceSpec | None] | None
    units: Units
    faults: Faults

    @classmethod
    def of(cls, pieces: Mapping[str, PieceSpec | None] | None, units: Units, faults: Faults) -> Reading:
        """Return what these tables are read with, from the pieces by their own names."""
        if pieces is None:
            return cls(None, units, faults)
        found = dict(pieces)
        for spec in pieces.values():
            for name in spec.copy_names if spec else ():
                found.setdefault(name, spec)
        return cls(found, units, faults)

    def piece(self, path: Path, name: str) -> None:
        """Tell where a name is that of no piece and no copy; a piece that is itself wrong has copies nobody knows."""
        if self.pieces is not None and None in self.pieces.values() and name not in self.pieces:
            return
        looked_up(path, name, "piece", self.pieces, self.faults)

    def direction(self, path: Path, given: Vec | None) -> Vec | None:
        """Return a direction; None where none is given, or one without length, which is told."""
        if given is not None and norm(given) < _LEAST_DIRECTION:
            self.faults.add(path, "a direction, such as [0, 0, 1]", "All three numbers cannot be 0.")
            return None
        return given


def load_from(
    load: Mapping[str, Any],
    payload: Mapping[str, Any] | None,
    fixings: Sequence[Fixing],
    joints: Sequence[Wanted],
    reading: Reading,
) -> Load:
    """Return what the job says of its load; where something is wrong, which is told, that is left out.

    Args:
        load: ``[load]`` as ``tomllib`` read it; empty when there is none.
        payload: ``[payload]`` likewise; None when there is none.
        fixings: of the job.
        joints: likewise.
        reading: what they are read with.
    """
    read = check(LoadTable, ("load",), load, reading.units, reading.faults)
    use = _one_of(("load", "use"), read.use, USES, reading.faults)
    road = _one_of(("load", "road"), read.road, ROADS, reading.faults)
    names = [case.name for case in read.cases]
    for number, name in enumerate(names):
        if name in names[:number]:
            wanted = "a name that no other load case has"
            reading.faults.add(("load", "cases", number, "name"), wanted)
    carried, straps = (None, ()) if payload is None else _payload(payload, reading)
    return Load(
        use=use,
        rules=Rules(read.safety or SAFETY, read.welding or WELDING, read.filler or "5356"),
        directions=_directions(read, reading),
        leaning=read.leaning,
        road=road,
        km=read.km,
        cases=tuple(
            LoadCase(case.name, "own", case.down, case.forward, case.left, source=case.source or "the job's own")
            for case in read.cases
        ),
        payload=carried,
        straps=straps,
        fixings=tuple(fixings),
        joints=tuple(joints),
    )


def directions_of(load: Mapping[str, Any], reading: Reading) -> Directions:
    """Return up and forward of a job; the usual ones where its own are wrong, which is told.

    Args:
        load: ``[load]`` as ``tomllib`` read it; empty when there is none.
        reading: what it is read with.
    """
    return _directions(check(LoadTable, ("load",), load, reading.units, reading.faults), reading)


def _directions(read: LoadTable, reading: Reading) -> Directions:
    usual = Directions()
    before = reading.faults.count
    up = reading.direction(("load", "up"), read.up) or usual.up
    forward = reading.direction(("load", "forward"), read.forward) or usual.forward
    if reading.faults.count > before:
        return usual
    if norm(cross(up, forward)) > 1e-3 * norm(up) * norm(forward):
        return Directions(up, forward)
    key = "forward" if read.forward is not None else "up"
    reading.faults.add(("load", key), "a direction forward that is not the way up", "Give up and forward.")
    return usual


def _one_of(path: Path, name: str | None, known: Mapping[str, object], faults: Faults) -> str | None:
    if name is None or name in known:
        return name
    meant = near(name, known)
    faults.add(path, listed(map(told, known)), f"Did you mean {told(meant)}?" if meant is not None else "")
    return None


def _payload(table: Mapping[str, Any], reading: Reading) -> tuple[Payload | None, tuple[Strap, ...]]:
    path = ("payload",)
    faults = reading.faults
    before = faults.count
    read = check(PayloadTable, path, table, reading.units, faults)
    check_keys(PayloadTable, path, table, (("mass", "centre"), ()), "a payload", faults)
    for number, name in enumerate(read.on or ()):
        reading.piece((*path, "on", number), name)
    if not given_keys(PayloadTable, table) & {"on", "at"}:
        wanted = "the names of the pieces that bear it, or the places where it bears"
        faults.add((*path, "on"), wanted, 'Add on = ["…"], or at = [[x, y, z], …].')
    for number, strap in enumerate(read.straps):
        where = (*path, "straps", number)
        reading.piece((*where, "piece"), strap.piece)
        if strap.at == strap.towards:
            faults.add((*where, "towards"), "another place than at", "A strap pulls from one place to another.")
    if faults.count > before or read.mass is None or read.centre is None:
        return None, ()
    straps = tuple(Strap(strap.piece, strap.at, strap.towards, strap.tension) for strap in read.straps)
    name = read.name or "payload"
    return Payload(read.mass, read.centre, tuple(read.on or ()), tuple(read.at or ()), read.size, name), straps


def fixing_from(name: str, table: Mapping[str, Any], reading: Reading) -> Fixing | None:
    """Return the fixing of a table; None when something is wrong with it, which is told."""
    path = ("fixing", name)
    before = reading.faults.count
    read = check(FixingTable, path, table, reading.units, reading.faults)
    check_keys(FixingTable, path, table, (("piece", "at"), ()), "a fixing", reading.faults)
    if read.piece is not None:
        reading.piece((*path, "piece"), read.piece)
    along = reading.direction((*path, "along"), read.along)
    if isinstance(read.held, tuple) and not any(read.held):
        reading.faults.add(
            (*path, "held"), "at least one stiffness above 0", "Take the fixing out if it holds nothing."
        )
    bolt = _bolt(path, read.bolt, reading.faults)
    if reading.faults.count > before or read.piece is None or read.at is None:
        return None
    stiffness = {"fixed": FIXED, "pinned": PINNED}.get(read.held) if isinstance(read.held, str) else read.held
    return Fixing(
        name, read.piece, read.at, stiffness or PINNED, along, bolt, read.bolt.count if read.bolt is not None else 1
    )


def joint_from(name: str, table: Mapping[str, Any], reading: Reading) -> Wanted | None:
    """Return what a table says of a joint; None when something is wrong with it, which is told."""
    path = ("joint", name)
    before = reading.faults.count
    read = check(JointTable, path, table, reading.units, reading.faults)
    others = {"welded": ("axis", "bolt"), "bolted": ("throat",), "pinned": ("throat", "axis")}
    senseless = others.get(read.made, ("throat", "axis", "bolt"))
    if "made" in given_keys(JointTable, table) and "made" not in read.model_fields_set:
        senseless = ()  # it is mistyped, and what it was to be nobody knows
    words = f"a joint that is {read.made}" if read.made != "none" else "a joint that is none"
    check_keys(JointTable, path, table, (("pieces",), senseless), words, reading.faults)
    for number, piece in enumerate(read.pieces or ()):
        reading.piece((*path, "pieces", number), piece)
    axis = reading.direction((*path, "axis"), read.axis)
    bolt = _bolt(path, read.bolt, reading.faults)
    if reading.faults.count > before or read.pieces is None:
        return None
    count = read.bolt.count if read.bolt is not None else 1
    made = None if read.made == "none" else read.made
    return Wanted(read.pieces, made, axis, count, read.throat, bolt, read.gap, read.near)


def _bolt(path: Path, read: BoltTable | None, faults: Faults) -> Bolt | None:
    """Return the bolt of a fixing or joint; None where none is given, or its hole is too small, which is told."""
    if read is None:
        return None
    if read.hole is not None and 0.0 < read.hole < read.size:
        wanted = f"a hole of at least {read.size:g} mm, the size of the bolt, or 0 where it goes round the bar"
        faults.add((*path, "bolt", "hole"), wanted)
        return None
    if read.tapped and read.thickness is None:
        wanted = "the thickness that the thread is cut in"
        faults.add((*path, "bolt", "thickness"), wanted, "Add thickness = …")
        return None
    return Bolt(read.size, read.grade, read.thickness, read.tapped, read.end, read.side, read.hole)
