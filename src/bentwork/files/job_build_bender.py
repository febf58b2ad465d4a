"""``[bender.NAME]`` and ``[mounting.NAME]``: what the bar is bent on, and what stands round it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from bentwork.files.job_build_stock import bar_from
from bentwork.files.job_check import check, check_keys, given_keys
from bentwork.files.job_faults import Faults
from bentwork.files.job_lines import Path
from bentwork.files.job_model_bender import BenderTable, BodyTable, FollowerTable, MountingTable, PartTable
from bentwork.files.job_names import Built, looked_up, the_only
from bentwork.stock.material import Material
from bentwork.tooling.bender import Arm, Bender, Die, Follower, Hook, Kind, Needs, Plate
from bentwork.tooling.fittings import Block, Part, Rated, Rollers
from bentwork.tooling.shop import Bench, Body, Mounting, Vise
from bentwork.units import Ruler, Units

__all__ = ["bender_from", "check_body", "mounting_from"]

_FOLLOWER = {"roller": ("radius",), "shoe": ("length", "width")}
_OTHERS: Mapping[Kind, tuple[str, ...]] = {
    "wrap": ("rollers", "block"),
    "draw": ("rollers", "block"),
    "ram": ("block",),
    "vee": ("rollers",),
}
_BODY = {"box": ("x", "y", "z"), "cylinder": ("from", "to", "radius"), "capsule": ("from", "to", "radius")}


def bender_from(
    name: str,
    table: Mapping[str, Any],
    own: Built[Material] | None,
    library: Callable[[], Mapping[str, Material]],
    ruler: Ruler,
    faults: Faults,
) -> Bender | None:
    """Return the bender of a table; None when something is wrong with it, which is told.

    Args:
        name: of the bender.
        table: as ``tomllib`` read it.
        own: materials of the job file itself.
        library: gives the materials that come with the package.
        ruler: how lengths are read and shown in this job.
        faults: gathers what is wrong.
    """
    path = ("bender", name)
    before = faults.count
    read = check(BenderTable, path, table, ruler.units, faults)
    others = () if read.kind is None else _OTHERS[read.kind]
    kind = "" if read.kind is None else f"{read.kind} "
    check_keys(BenderTable, path, table, (("kind", "radius"), others), f"a {kind}bender", faults)
    if read.follower is not None:
        _other_keys(FollowerTable, (*path, "follower"), table["follower"], (_FOLLOWER, read.follower.kind), faults)
    rated = None
    if read.rated is not None:
        rated = bar_from((*path, "rated"), table["rated"], read.rated, own, library, ruler, faults)
    for number, part in enumerate(read.parts):
        _check_part((*path, "parts", number), part, ruler, faults)
    if read.rollers is not None and read.rollers.span <= 2.0 * read.rollers.radius:
        wanted = "the distance between the middles of the rollers, more than their width of "
        faults.add((*path, "rollers", "span"), wanted + ruler.length(2.0 * read.rollers.radius))
    if faults.count > before or read.kind is None or read.radius is None:
        return None
    bender = Bender(
        name=name,
        kind=read.kind,
        radius=read.radius,
        hand=read.hand,
        max_angle=read.max_angle,
        springback=read.springback,
        mark_at=read.mark,
        die=Die(**read.die.model_dump()) if read.die else None,
        hook=Hook(**read.hook.model_dump()) if read.hook else None,
        follower=Follower(**read.follower.model_dump()) if read.follower else None,
        arm=Arm(**read.arm.model_dump()) if read.arm else None,
        plate=Plate(**read.plate.model_dump()) if read.plate else None,
        needs=Needs(**read.needs.model_dump()),
        rollers=Rollers(**read.rollers.model_dump()) if read.rollers else None,
        block=Block(**read.block.model_dump()) if read.block else None,
        rated=Rated(*rated) if rated else None,
        parts=tuple(Part(**part.model_dump()) for part in read.parts),
    )
    if read.accuracy is None:
        return bender
    return replace(bender, accuracy=replace(bender.scatter, **read.accuracy.model_dump(exclude_none=True)))


def mounting_from(
    name: str, table: Mapping[str, Any], benders: Built[Bender] | None, units: Units, faults: Faults
) -> Mounting | None:
    """Return the mounting of a table; None when something is wrong with it, which is told."""
    path = ("mounting", name)
    before = faults.count
    read = check(MountingTable, path, table, units, faults)
    bender = read.bender
    if bender is not None:
        looked_up((*path, "bender"), bender, "bender", benders, faults)
    elif "bender" not in given_keys(MountingTable, table):
        bender, _ = the_only(benders)
        if bender is None and benders is not None:
            faults.add((*path, "bender"), "the name of the bender that is mounted so", "Add bender = …")
    if read.vise is not None and read.vise.bottom >= read.vise.top:
        faults.add((*path, "vise", "bottom"), "a height below its top")
    for number, body in enumerate(read.bodies):
        check_body((*path, "bodies", number), table["bodies"][number], body, faults)
    if faults.count > before or bender is None:
        return None
    return Mounting(
        name=name,
        bender=bender,
        vise=Vise(**read.vise.model_dump()) if read.vise else None,
        bench=Bench(**read.bench.model_dump()) if read.bench else None,
        floor=read.floor,
        bodies=tuple(Body(**body.model_dump()) for body in read.bodies),
    )


def check_body(path: Path, table: Mapping[str, Any], body: BodyTable, faults: Faults) -> None:
    """Tell which keys a body of its shape lacks, which it must not have, and an axis without length.

    Args:
        path: where the body stands.
        table: as ``tomllib`` read it.
        body: as it was read.
        faults: gathers what is wrong.
    """
    _other_keys(BodyTable, path, table, (_BODY, body.shape), faults)
    if body.start is not None and body.start == body.end:
        faults.add((*path, "to"), "another point than from", "A ball is a capsule a hair long.")


def _check_part(path: Path, part: PartTable, ruler: Ruler, faults: Faults) -> None:
    """Tell which sizes of a part with a hole cannot stand together."""
    half = ruler.length(part.hole / 2.0)
    if part.hole >= part.width:
        faults.add((*path, "hole"), f"a hole smaller than the part is wide, {ruler.length(part.width)}")
    if part.edge <= part.hole / 2.0:
        faults.add((*path, "edge"), f"from the middle of the hole to the edge, more than half the hole, {half}")
    if part.side is not None and not part.hole / 2.0 < part.side <= part.width / 2.0:
        wanted = f"from the middle of the hole to the nearer side: above {half}, up to {ruler.length(part.width / 2.0)}"
        faults.add((*path, "side"), wanted)
    if part.proof_stress is not None and part.proof_stress > part.strength:
        faults.add((*path, "proof_stress"), f"no more than the tensile strength, {part.strength:g} MPa")


def _other_keys(
    model: type[FollowerTable] | type[BodyTable],
    path: Path,
    table: Mapping[str, Any],
    kinds: tuple[Mapping[str, tuple[str, ...]], str],
    faults: Faults,
) -> None:
    """Tell which keys a follower or body of this kind lacks, and which belong to another kind."""
    keys, kind = kinds
    others = {key for group in keys.values() for key in group}
    senseless = sorted(others - set(keys[kind]))
    check_keys(model, path, table, (keys[kind], senseless), f"a {kind}", faults)
