"""The tables of a job file as pydantic sees them: the kinds of their values, one by one.

What belongs together (this section needs that size, that piece names this bender) is checked where the job is built. So
every key may be missing here, and one wrong key keeps no other from being read.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, ValidationInfo

from bentwork.files.job_faults import WrongFormError
from bentwork.files.job_values import (
    Angle,
    Choice,
    Count,
    DecimalKind,
    Distance,
    Length,
    Listed,
    Plain,
    Point,
    Size,
    Text,
    TextKind,
    WholeKind,
    YesNo,
)
from bentwork.piece.corners import Seam
from bentwork.stock.shape import SectionKind, Way
from bentwork.units import Units

__all__ = [
    "MOST",
    "BarTable",
    "Direction",
    "JobTable",
    "MirrorTable",
    "OnSaleTable",
    "PieceTable",
    "Price",
    "StockTable",
    "Table",
    "TakeoffTable",
    "ToleranceTable",
    "one_or_more",
]

MOST = 200
"""Most points, bends or copies of a piece, and most tables of one sort in a job."""


class Table(BaseModel):
    """A table of a job file; unknown keys are faults."""

    model_config = ConfigDict(extra="forbid", frozen=True)


@dataclass(frozen=True)
class NamedTables(Plain):
    """All tables of one sort, by name; what is in them is read later."""

    sort: str

    def read(self, value: Any, info: ValidationInfo) -> dict[str, Any]:
        if not isinstance(value, dict):
            double = isinstance(value, list) and any(isinstance(item, dict) for item in value)
            raise WrongFormError(self.wanted, "Use single brackets, and a name." if double else "")
        if value and not any(isinstance(table, dict) for table in value.values()):
            raise WrongFormError(self.wanted, f"Write a name behind it: [{self.sort}.{_USUAL_NAMES[self.sort]}].")
        if len(value) > MOST:
            raise WrongFormError(f"{MOST} at most", "Split the job into several files.", found=f"{len(value)} tables")
        return value


def _named(sort: str) -> NamedTables:
    return NamedTables(f"tables with a name each, [{sort}.NAME]", sort)


_USUAL_NAMES = {
    "stock": "rod",
    "bender": "lever",
    "mounting": "vise",
    "material": "rod",
    "piece": "loop",
    "fixing": "foot",
    "joint": "stay",
    "paint": "primer",
    "crossbar": "rung",
    "tab": "foot",
    "stay": "brace",
    "keepout": "wheel",
    "opening": "shed door",
}


@dataclass(frozen=True)
class OneTable(Plain):
    """The one table of its sort; what is in it is read later, in the units of the job."""

    sort: str

    def read(self, value: Any, info: ValidationInfo) -> dict[str, Any]:
        if isinstance(value, dict):
            return value
        raise WrongFormError(self.wanted, f"Write [{self.sort}] and its keys below it.")


def _one(sort: str) -> OneTable:
    return OneTable(f"a table [{sort}]", sort)


@dataclass(frozen=True)
class SeamKind(Plain):
    """Where the ends of a closed piece meet; ``auto`` is returned as None."""

    wanted: str = '"auto", the number of a side, or [side, fraction] with a fraction from 0 to 1'

    def read(self, value: Any, info: ValidationInfo) -> Seam | None:
        if value == "auto":
            return None
        side, fraction = (value[0], value[1]) if isinstance(value, list) and len(value) == 2 else (value, 0.5)
        if isinstance(side, bool) or not isinstance(side, int) or side < 1:
            raise WrongFormError(self.wanted)
        if isinstance(fraction, bool) or not isinstance(fraction, int | float) or not 0.0 <= fraction <= 1.0:
            raise WrongFormError(self.wanted)
        return side, float(fraction)


def one_or_more(value: Any) -> Any:
    """Return one value as a list of one."""
    return value if isinstance(value, list) else [value]


Price = Annotated[float, DecimalKind("a price of 0 or more, such as 14.50", 0.0)]
_Number = Annotated[float, DecimalKind("a number", -1e6, 1e6)]
_BendAngle = Annotated[float, DecimalKind("a bend angle above 0 and below 360 degrees", 0.0, 359.999, open_low=True)]
_BendRow = Annotated[
    tuple[Size, _BendAngle, Angle], Listed("a bend: [radius, angle, rotation], angles in degrees", 3, 3)
]
Direction = Annotated[tuple[_Number, _Number, _Number], Listed("a direction, such as [0, 0, 1]", 3, 3)]


class JobTable(Table):
    """The whole file."""

    format: Any = None  # has been read before anything else
    name: Text | None = None
    units: Annotated[Units, Choice()] = "mm"
    fraction: Annotated[Literal[16, 32, 64], Choice()] = 16
    stock: Annotated[dict[str, Any], _named("stock")] = {}
    bender: Annotated[dict[str, Any], _named("bender")] = {}
    mounting: Annotated[dict[str, Any], _named("mounting")] = {}
    material: Annotated[dict[str, Any], _named("material")] = {}
    piece: Annotated[dict[str, Any], _named("piece")] = {}
    load: Annotated[dict[str, Any], _one("load")] = {}
    payload: Annotated[dict[str, Any] | None, _one("payload")] = None
    fixing: Annotated[dict[str, Any], _named("fixing")] = {}
    joint: Annotated[dict[str, Any], _named("joint")] = {}
    tolerance: Annotated[dict[str, Any], _one("tolerance")] = {}
    crossbar: Annotated[dict[str, Any], _named("crossbar")] = {}
    tab: Annotated[dict[str, Any], _named("tab")] = {}
    shop: Annotated[dict[str, Any], _one("shop")] = {}
    paint: Annotated[dict[str, Any], _named("paint")] = {}
    finish: Annotated[dict[str, Any] | None, _one("finish")] = None
    measured: Annotated[dict[str, Any], _one("measured")] = {}
    stay: Annotated[dict[str, Any], _named("stay")] = {}
    keepout: Annotated[dict[str, Any], _named("keepout")] = {}
    opening: Annotated[dict[str, Any], _named("opening")] = {}


class BarTable(Table):
    """A section and its material."""

    section: Annotated[SectionKind, Choice()] | None = None
    diameter: Size | None = None
    width: Size | None = None
    height: Size | None = None
    wall: Size | None = None
    corner_radius: Distance | None = None
    material: Text | None = None


class OnSaleTable(Table):
    """One of ``bars`` of a stock: another length on sale."""

    length: Size
    price: Price | None = None


class StockTable(BarTable):
    """``[stock.NAME]``: a section, a material, the bars on sale, the offcuts that are there."""

    bar_length: Size | None = None
    price: Price | None = None
    bars: Annotated[
        tuple[OnSaleTable, ...], Listed("up to 8 bars on sale, [{ length = 6000, price = 25 }, …]", 0, 8)
    ] = ()
    offcuts: Annotated[tuple[Size, ...], Listed(f"up to {MOST} lengths of offcuts, [820, 1400, …]", 0, MOST)] = ()


class MirrorTable(Table):
    """``mirror_in``: the plane that the opposite hand is mirrored in."""

    axis: Annotated[Literal["x", "y", "z"], Choice()]
    at: Length


class TakeoffTable(Table):
    """``takeoff``: the bar of a model that a piece is."""

    file: Annotated[str, TextKind("the name of a model in quotes, up to 400 characters", 400)]
    solid: Annotated[int, WholeKind("the number of a solid of the model, from 1", 1, 100_000)]
    member: Annotated[int, WholeKind("the number of a bar of the solid, from 1", 1, 100_000)] | None = None
    radius: Size | None = None


class ToleranceTable(Table):
    """``[tolerance]``, and ``tolerance`` of a piece: how far a piece may be out and still be good."""

    gap: Size | None = None
    offset: Size | None = None
    twist: Annotated[float, DecimalKind("an angle above 0 and up to 90 degrees", 0.0, 90.0, open_low=True)] | None = (
        None
    )
    position: Size | None = None


@dataclass(frozen=True)
class _HolesKind(Plain):
    """The holes of a piece; what is in them is read later."""

    wanted: str = f"up to {MOST} holes, [{{ along = 30, diameter = 6.5 }}, …]"

    def read(self, value: Any, info: ValidationInfo) -> tuple[dict[str, Any], ...]:
        if not isinstance(value, list) or len(value) > MOST or not all(isinstance(one, dict) for one in value):
            raise WrongFormError(self.wanted)
        return tuple(value)


@dataclass(frozen=True)
class _EndKind(Plain):
    """How an end is made by itself; what is in it is read later."""

    wanted: str = "a table in braces: { cut = 30, round = 90 } or { flattened = 40, hole = 6.5 }"

    def read(self, value: Any, info: ValidationInfo) -> dict[str, Any]:
        if not isinstance(value, dict):
            raise WrongFormError(self.wanted)
        return value


class PieceTable(Table):
    """``[piece.NAME]``: what is to be made."""

    stock: Text | None = None
    bender: Text | None = None
    points: Annotated[list[Point], Listed(f"2 to {MOST} corner points, [[x, y, z], …]", 2, MOST)] | None = None
    closed: YesNo = False
    seam: Annotated[Seam | None, SeamKind()] = None
    radius: (
        Annotated[
            list[Size],
            Listed(f"one radius, or a list of up to {MOST}, one for each corner", 1, MOST),
            BeforeValidator(one_or_more),
        ]
        | None
    ) = None
    straights: Annotated[list[Distance], Listed(f"1 to {MOST + 1} lengths, [100, 250, …]", 1, MOST + 1)] | None = None
    bends: Annotated[list[_BendRow], Listed(f"up to {MOST} bends, [[radius, angle, rotation], …]", 0, MOST)] | None = (
        None
    )
    takeoff: TakeoffTable | None = None
    count: Count | None = None
    mirror: YesNo = False
    mirror_in: MirrorTable | None = None
    trim: Distance = 0.0
    required_clearance: Distance = 0.0
    way: Annotated[Way, Choice()] = "easy"
    hand: Annotated[Literal["left", "right"], Choice()] = "left"
    at: Annotated[list[Point], Listed(f"1 to {MOST} shifts, [[x, y, z], …]", 1, MOST)] | None = None
    start: Point | None = None
    along: Direction | None = None
    towards: Direction | None = None
    tolerance: ToleranceTable | None = None
    ends: Annotated[Literal["butted", "coped"], Choice()] | None = None
    holes: Annotated[tuple[dict[str, Any], ...], _HolesKind()] = ()
    end_a: Annotated[dict[str, Any] | None, _EndKind()] = None
    end_b: Annotated[dict[str, Any] | None, _EndKind()] = None
