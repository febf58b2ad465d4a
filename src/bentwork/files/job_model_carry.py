"""``[load]``, ``[payload]``, ``[fixing.NAME]`` and ``[joint.NAME]`` as pydantic sees them."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import ValidationInfo

from bentwork.carry.fasteners import COARSE_PITCH
from bentwork.files.job_faults import WrongFormError
from bentwork.files.job_model import MOST, Direction, Table
from bentwork.files.job_values import (
    Choice,
    DecimalKind,
    Distance,
    Force,
    Listed,
    Mass,
    Plain,
    Point,
    Size,
    Text,
    WholeKind,
    YesNo,
)

__all__ = ["BoltTable", "CaseTable", "FixingTable", "JointTable", "LoadTable", "PayloadTable", "StrapTable"]

_BOLT = re.compile(r"\s*[Mm]?\s*(\d+(?:\.\d+)?)\s*")


@dataclass(frozen=True)
class ThreadKind(Plain):
    """A coarse metric thread: ``6`` or ``"M6"``, in mm whatever the units of the job."""

    wanted: str = "a coarse metric thread: " + ", ".join(f'"M{size:g}"' for size in COARSE_PITCH)

    def read(self, value: Any, info: ValidationInfo) -> float:
        found = _BOLT.fullmatch(value) if isinstance(value, str) else None
        size = float(found[1]) if found else value
        if isinstance(size, bool) or not isinstance(size, int | float) or float(size) not in COARSE_PITCH:
            raise WrongFormError(self.wanted)
        return float(size)


@dataclass(frozen=True)
class HeldKind(Plain):
    """``fixed``, ``pinned`` or six stiffnesses."""

    wanted: str = (
        '"fixed", "pinned" or six stiffnesses of 0 or more, N/mm along and N mm/rad about three directions; '
        "inf for held, 0 for free"
    )

    def read(self, value: Any, info: ValidationInfo) -> Literal["fixed", "pinned"] | tuple[float, ...]:
        if value in ("fixed", "pinned"):
            return "fixed" if value == "fixed" else "pinned"
        if not isinstance(value, list) or len(value) != 6:
            raise WrongFormError(self.wanted)
        numbers = [math.inf if one == "inf" else one for one in value]  # JSON has no inf: the page sends the word
        for one in numbers:
            if isinstance(one, bool) or not isinstance(one, int | float) or not one >= 0.0:  # false for nan too
                raise WrongFormError(self.wanted)
        return tuple(float(one) for one in numbers)


_Times = Annotated[float, DecimalKind("how many times the weight, from -20 to 20; 1 is standing still", -20.0, 20.0)]
_Safety = Annotated[float, DecimalKind("a safety from 1 to 20, such as 1.5", 1.0, 20.0)]
_Km = Annotated[float, DecimalKind("kilometres, 0 or more", 0.0, 1e7)]
_Bolts = Annotated[int, WholeKind("how many bolts, from 1 to 20", 1, 20)]
_Names = Annotated[list[Text], Listed(f'1 to {MOST} names of pieces, ["crossbar", …]', 1, MOST)]


class CaseTable(Table):
    """One load case of the maker's own."""

    name: Text
    down: _Times = 1.0
    forward: _Times = 0.0
    left: _Times = 0.0
    source: Text | None = None


class LoadTable(Table):
    """``[load]``: what it is used for and how it is judged."""

    use: Text | None = None
    safety: _Safety | None = None
    welding: Annotated[Literal["TIG", "MIG"], Choice()] | None = None
    filler: Annotated[Literal["5356", "4043"], Choice()] | None = None
    up: Direction | None = None
    forward: Direction | None = None
    leaning: Force | None = None
    road: Text | None = None
    km: _Km = 0.0
    cases: Annotated[
        tuple[CaseTable, ...], Listed(f"up to {MOST} load cases, [{{ name = …, down = … }}, …]", 0, MOST)
    ] = ()


class StrapTable(Table):
    """One strap over the payload."""

    piece: Text
    at: Point
    towards: Point
    tension: Force


class PayloadTable(Table):
    """``[payload]``: what is carried."""

    name: Text | None = None
    mass: Mass | None = None
    centre: Point | None = None
    on: _Names | None = None
    at: Annotated[list[Point], Listed(f"1 to {MOST} places, [[x, y, z], …]", 1, MOST)] | None = None
    size: Annotated[tuple[Size, Size, Size], Listed("three sizes in brackets, [x, y, z]", 3, 3)] | None = None
    straps: Annotated[
        tuple[StrapTable, ...], Listed(f"up to {MOST} straps, [{{ piece = …, at = …, towards = … }}, …]", 0, MOST)
    ] = ()


class BoltTable(Table):
    """``bolt``: what holds a fixing or a joint."""

    size: Annotated[float, ThreadKind()]
    grade: Annotated[Literal["8.8", "10.9", "A2-70", "A4-70"], Choice()] = "8.8"
    thickness: Size | None = None
    tapped: YesNo = False
    end: Size | None = None
    side: Size | None = None
    hole: Distance | None = None
    count: _Bolts = 1


class FixingTable(Table):
    """``[fixing.NAME]``: where the frame is held."""

    piece: Text | None = None
    at: Point | None = None
    held: Annotated[Any, HeldKind()] = "pinned"
    along: Direction | None = None
    bolt: BoltTable | None = None


class JointTable(Table):
    """``[joint.NAME]``: how two pieces are joined."""

    pieces: Annotated[tuple[Text, Text], Listed('the names of two pieces, ["stay", "loop"]', 2, 2)] | None = None
    made: Annotated[Literal["welded", "bolted", "pinned", "none"], Choice()] = "welded"
    gap: Distance | None = None
    near: Point | None = None
    throat: Size | None = None
    axis: Direction | None = None
    bolt: BoltTable | None = None
