"""``[stay.NAME]``: from the frame to what was measured; ``[keepout.NAME]`` and ``[opening.NAME]``: room to be left."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bentwork.fastening.threads import Thread
from bentwork.files.job_build_bender import check_body
from bentwork.files.job_build_carry import Reading
from bentwork.files.job_build_ends import wants_room
from bentwork.files.job_check import check, check_keys, given_keys
from bentwork.files.job_faults import Faults
from bentwork.files.job_lines import Path
from bentwork.files.job_model_bender import BodyTable
from bentwork.files.job_model_measured import KeepOutTable, OpeningTable, StayTable
from bentwork.files.job_names import Built, looked_up, the_only
from bentwork.files.job_words import listed, near, told
from bentwork.jobs.job import PieceSpec
from bentwork.jobs.stay_asked import StayAsked, StayLaid
from bentwork.jobs.stay_laid import lay_stay, stay_spec
from bentwork.parts.keep_out import KeepOut, Swing
from bentwork.parts.passing import Opening
from bentwork.parts.stay import EndAsked
from bentwork.parts.survey import Survey
from bentwork.space import Vec
from bentwork.stock.bar import Stock
from bentwork.stock.section import Tube
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Body
from bentwork.units import Units

__all__ = ["StayReading", "keepout_from", "opening_from", "stays_from"]


@dataclass(frozen=True, slots=True)
class StayReading:
    """What stays are read with.

    Args:
        names: pieces by their names and those of their copies, units, faults.
        stocks: of the job; None when nothing is known of them.
        benders: likewise.
        found: the measured points; None where there are none.
        outs: keep-outs.
    """

    names: Reading
    stocks: Built[Stock] | None
    benders: Built[Bender] | None
    found: Survey | None
    outs: Sequence[KeepOut]


def stays_from(
    tables: Mapping[str, Mapping[str, Any] | None], pieces: Built[PieceSpec] | None, reading: StayReading
) -> tuple[tuple[StayLaid, ...], dict[str, PieceSpec | None]]:
    """Return stays where they stand, and the pieces that they become; None for one that is wrong, which is told.

    A stay clears those before it in the file.

    Args:
        tables: as ``tomllib`` read them, by name.
        pieces: of the job so far; None when nothing is known of them.
        reading: what they are read with.
    """
    laid: list[StayLaid] = []
    made: dict[str, PieceSpec | None] = {}
    for name, table in tables.items():
        made[name] = None
        asked = None if table is None else _asked(name, table, reading)
        if name in (pieces or {}):
            reading.names.faults.add(("stay", name), "a name that no piece has", "Call it something else.")
        elif asked is not None and pieces is not None and reading.names.faults.count == 0:
            standing = {key: spec for key, spec in {**pieces, **made}.items() if spec is not None}
            stocks = {key: stock for key, stock in (reading.stocks or {}).items() if stock is not None}
            try:
                one = lay_stay(asked, reading.found, standing, stocks, reading.outs)
            except ValueError as error:
                reading.names.faults.add(("stay", name, "to"), "another place than from", f"{error}.".capitalize())
            else:
                laid.append(one)
                made[name] = stay_spec(one)
    return tuple(laid), made


def _asked(name: str, table: Mapping[str, Any], reading: StayReading) -> StayAsked | None:
    path, faults = ("stay", name), reading.names.faults
    before = faults.count
    read = check(StayTable, path, table, reading.names.units, faults)
    given = given_keys(StayTable, table)
    check_keys(StayTable, path, table, (("stock", "from", "to"), ()), "a stay", faults)
    stock = looked_up((*path, "stock"), read.stock, "stock", reading.stocks, faults) if read.stock is not None else None
    for key, where in (("from", read.start), ("to", read.finish)):
        if isinstance(where, str):
            _look_up_point((*path, key), where, reading)
    if read.piece is not None:
        reading.names.piece((*path, "piece"), read.piece)
    elif "piece" not in given and isinstance(read.start, tuple):
        faults.add(
            (*path, "piece"), "the name of the piece it starts at", "Add piece = …, or begin at a measured point."
        )
    ends = _ends(path, read, stock, reading.names)
    bender_name, bender = _bender(path, read, given, reading)
    if faults.count > before or read.stock is None or read.start is None or read.finish is None or ends is None:
        return None
    return StayAsked(
        name,
        read.stock,
        read.start,
        read.finish,
        read.piece,
        ends,
        bender_name,
        read.radius if read.radius is not None else (bender.radius if bender else None),
        read.clearance if read.clearance is not None else 3.0,
        read.sure,
        ("xyz".index(read.mirror_in.axis), read.mirror_in.at) if read.mirror_in else None,
    )


def _look_up_point(path: Path, name: str, reading: StayReading) -> None:
    if reading.found is None:
        if reading.names.faults.count == 0:
            do = "Add it to points in [measured], or give a place."
            reading.names.faults.add(path, "the name of a measured point; this file has none", do)
        return
    names = [spot.name for spot in reading.found.spots]
    if name not in names:
        meant = near(name, names)
        do = f"Did you mean {told(meant)}?" if meant is not None else "Add it to points in [measured]."
        reading.names.faults.add(path, f"the name of a measured point: {listed(map(told, names))}", do)


def _ends(path: Path, read: StayTable, stock: Stock | None, names: Reading) -> tuple[EndAsked, EndAsked] | None:
    kinds, faults = read.ends or ("butted", "butted"), names.faults
    before = faults.count
    hole = read.hole.clearance_hole if isinstance(read.hole, Thread) else read.hole
    if hole is None and set(kinds) != {"butted"}:
        faults.add((*path, "hole"), 'its hole, such as "M6" for a bolt to go through', "Add hole = …")
    if "flattened" in kinds and stock is not None and not isinstance(stock.section, Tube):
        faults.add(
            (*path, "ends"), "flattened ends of round tube only", 'Take "drilled" for a bar with a hole through it.'
        )
    wants_room(path, hole, read.end, faults)
    for number, axis in enumerate(read.axes or ()):
        names.direction((*path, "axes", number), axis)
    if faults.count > before:
        return None
    axes: tuple[Vec | None, Vec | None] = read.axes or (None, None)
    one, other = (
        EndAsked(kind, None if kind == "butted" else hole, read.end, axis)
        for kind, axis in zip(kinds, axes, strict=True)
    )
    return one, other


def _bender(path: Path, read: StayTable, given: set[str], reading: StayReading) -> tuple[str | None, Bender | None]:
    if read.bender is not None:
        found = looked_up((*path, "bender"), read.bender, "bender", reading.benders, reading.names.faults)
        return read.bender, found
    return (None, None) if "bender" in given else the_only(reading.benders)


def keepout_from(name: str, table: Mapping[str, Any], units: Units, faults: Faults) -> KeepOut | None:
    """Return a keep-out; None when something is wrong with it, which is told."""
    path, before = ("keepout", name), faults.count
    read = check(KeepOutTable, path, table, units, faults)
    given = given_keys(KeepOutTable, table)
    own = {key: value for key, value in table.items() if key in ("shape", "x", "y", "z", "from", "to", "radius")}
    bodies = [Body(**body.model_dump()) for body in read.bodies]
    for number, body in enumerate(read.bodies):
        check_body((*path, "bodies", number), table["bodies"][number], body, faults)
    if read.shape is not None:
        one = BodyTable.model_construct(
            name=name,
            shape=read.shape,
            x=read.x,
            y=read.y,
            z=read.z,
            start=read.start,
            end=read.end,
            radius=read.radius,
        )
        check_body(path, {"name": name, **own}, one, faults)
        bodies.insert(0, Body(**one.model_dump()))
    elif "shape" not in given and (own or "bodies" not in given):
        faults.add((*path, "shape"), '"box", "cylinder" or "capsule"', "Add shape = … and its sizes, or bodies.")
    swing = None
    if read.swing is not None:
        try:
            swing = Swing(*read.swing.axis, read.swing.first, read.swing.last)
        except ValueError as error:
            faults.add(
                (*path, "swing"),
                "an axis through two points, and an angle to that is above from",
                f"{error}.".capitalize(),
            )
    if faults.count > before:
        return None
    return KeepOut(name, tuple(bodies), read.clearance, swing)


def opening_from(name: str, table: Mapping[str, Any], units: Units, faults: Faults) -> Opening | None:
    """Return an opening that the frame must go through; None when something is wrong with it, which is told."""
    path, before = ("opening", name), faults.count
    read = check(OpeningTable, path, table, units, faults)
    check_keys(OpeningTable, path, table, (("width",), ()), "an opening", faults)
    if faults.count > before or read.width is None:
        return None
    return Opening(name, read.width, read.height, read.clearance, upright=not read.any_way)
