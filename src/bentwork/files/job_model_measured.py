"""``[measured]``, ``[stay.NAME]``, ``[keepout.NAME]`` and ``[opening.NAME]`` as pydantic sees them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationInfo

from bentwork.fastening.threads import Thread
from bentwork.files.job_faults import WrongFormError
from bentwork.files.job_model import MOST, Direction, MirrorTable, Table, one_or_more
from bentwork.files.job_model_bender import BodyTable
from bentwork.files.job_model_parts import HoleKind
from bentwork.files.job_values import (
    Choice,
    DecimalKind,
    Distance,
    Length,
    Listed,
    Plain,
    Point,
    Range,
    Size,
    Text,
    YesNo,
)
from bentwork.units import Units, parse_length

__all__ = ["KeepOutTable", "MeasuredTable", "OpeningTable", "ReadingTable", "SpotTable", "StayTable"]

_REACH = 100_000.0  # mm; as for every place of a job

_Turn = Annotated[float, DecimalKind("an angle in degrees from -360 to 360", -360.0, 360.0)]
_Share = Annotated[float, DecimalKind("a share above 0.5 and below 1, such as 0.95", 0.5, 0.9999, open_low=True)]
_Pair = Annotated[tuple[Text, Text], Listed('the names of a left and a right point, ["left lug", "right lug"]', 2, 2)]


class SpotTable(Table):
    """One of ``points``."""

    name: Text
    near: Point | None = None
    at: Point | None = None


class ReadingTable(Table):
    """One of ``readings``."""

    kind: Annotated[
        Literal["distance", "slope", "plan", "height", "rise", "level", "plumb", "across", "ahead", "string"],
        Choice(),
    ]
    of: Annotated[
        list[Text], Listed('the names of its points, ["left lug", "axle"]', 1, 3), BeforeValidator(one_or_more)
    ]
    reads: Length | None = None
    along: Length | None = None
    off: Distance | None = None
    accuracy: Size | None = None
    leave_out: YesNo = False


class MeasuredTable(Table):
    """``[measured]``."""

    ground: Length | None = None
    good: Size | None = None
    points: Annotated[
        tuple[SpotTable, ...], Listed(f"up to {MOST} points, [{{ name = …, near = [x, y, z] }}, …]", 0, MOST)
    ] = ()
    readings: Annotated[
        tuple[ReadingTable, ...],
        Listed(f"up to {MOST} readings, [{{ kind = …, of = […], reads = … }}, …]", 0, MOST),
    ] = ()
    pairs: Annotated[tuple[_Pair, ...], Listed(f"up to {MOST} pairs of points, [[…, …], …]", 0, MOST)] = ()


@dataclass(frozen=True)
class WhereKind(Plain):
    """A point by its name, or a place."""

    wanted: str = "the name of a measured point, or a place [x, y, z]"

    def read(self, value: Any, info: ValidationInfo) -> str | tuple[float, ...]:
        if isinstance(value, str) and 0 < len(value.strip()) <= 120:
            return value
        if not isinstance(value, list) or len(value) != 3:
            raise WrongFormError(self.wanted)
        units: Units = info.context["units"] if info.context else "mm"
        try:
            place = tuple(parse_length(one, units) for one in value)
        except (ValueError, OverflowError):
            raise WrongFormError(self.wanted) from None
        if max(map(abs, place)) > _REACH:
            raise WrongFormError(f"{self.wanted}, no further than 100 m")
        return place


_End = Annotated[Literal["butted", "flattened", "drilled"], Choice()]


class StayTable(Table):
    """``[stay.NAME]``."""

    stock: Text | None = None
    piece: Text | None = None
    start: Annotated[Any, WhereKind()] = Field(None, alias="from")
    finish: Annotated[Any, WhereKind()] = Field(None, alias="to")
    ends: Annotated[tuple[_End, _End] | None, Listed('how both its ends are made, ["butted", "flattened"]', 2, 2)] = (
        None
    )
    hole: Annotated[float | Thread | None, HoleKind()] = None
    end: Size | None = None
    axes: Annotated[
        tuple[Direction, Direction] | None, Listed("the directions of both bolts, [[0, 1, 0], [0, 1, 0]]", 2, 2)
    ] = None
    bender: Text | None = None
    radius: Size | None = None
    clearance: Distance | None = None
    sure: _Share = 0.95
    mirror_in: MirrorTable | None = None


class SwingTable(Table):
    """``swing`` of a keep-out."""

    axis: Annotated[tuple[Point, Point], Listed("two points of the line it swings about, [[…], […]]", 2, 2)]
    first: _Turn = Field(0.0, alias="from")
    last: _Turn = Field(alias="to")


class KeepOutTable(Table):
    """``[keepout.NAME]``: one body, or several."""

    shape: Annotated[Literal["box", "cylinder", "capsule"], Choice()] | None = None
    x: Range | None = None
    y: Range | None = None
    z: Range | None = None
    start: Point | None = Field(None, alias="from")
    end: Point | None = Field(None, alias="to")
    radius: Size | None = None
    bodies: Annotated[
        tuple[BodyTable, ...], Listed(f"up to {MOST} bodies, [{{ name = …, shape = … }}, …]", 0, MOST)
    ] = ()
    clearance: Distance = 0.0
    swing: SwingTable | None = None


class OpeningTable(Table):
    """``[opening.NAME]``: a door or a stand."""

    width: Size | None = None
    height: Size | None = None
    clearance: Distance = 0.0
    any_way: YesNo = False
