"""``[bender.NAME]`` and ``[mounting.NAME]`` as pydantic sees them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from bentwork.files.job_model import MOST, BarTable, Table
from bentwork.files.job_values import Choice, DecimalKind, Distance, Length, Listed, Point, Range, Size, Text
from bentwork.tooling.bender import Kind, MarkAt
from bentwork.tooling.fittings import Carries

__all__ = ["BenderTable", "BodyTable", "FollowerTable", "MountingTable", "PartTable"]

_Spread = Annotated[
    float, DecimalKind("one standard deviation in degrees, above 0 and up to 30", 0.0, 30.0, open_low=True)
]
_Turn = Annotated[float, DecimalKind("an angle above 0 and below 360 degrees", 0.0, 359.999, open_low=True)]
_Strength = Annotated[float, DecimalKind("a strength above 0, in MPa", 0.0, 10_000.0, open_low=True)]
_Ratio = Annotated[float, DecimalKind("a ratio from 1.0 to 2.0: angle pulled to over angle left", 1.0, 2.0)]


class DieTable(Table):
    """The grooved former."""

    thickness: Size
    groove_depth: Distance = 0.0


class HookTable(Table):
    """What keeps the held side on the die."""

    starts_behind: Distance
    length: Size
    width: Size
    height: Size


class FollowerTable(Table):
    """A roller or a shoe."""

    kind: Annotated[Literal["roller", "shoe"], Choice()]
    height: Size
    ahead: Distance
    radius: Size | None = None
    length: Size | None = None
    width: Size | None = None


class ArmTable(Table):
    """The lever."""

    side: Annotated[Literal["above", "below"], Choice()]
    gap: Distance
    thickness: Size
    width: Size
    length: Size


class PlateTable(Table):
    """The plate that the bender is built on."""

    x: Range
    y: Range
    gap_below_bar: Distance
    thickness: Size


class NeedsTable(Table):
    """Shortest straights that the bender can hold and press."""

    straight_held: Distance = 0.0
    straight_free: Distance = 0.0
    end_held: Distance = 0.0
    end_free: Distance = 0.0


class AccuracyTable(Table):
    """Scatter of one bend; what is left out is that of the bender's kind."""

    angle: _Spread | None = None
    rotation: _Spread | None = None
    position: Size | None = None


class RollersTable(Table):
    """The two rollers of a ram bender."""

    span: Size
    radius: Size


class BlockTable(Table):
    """A V-block and its punch."""

    opening: Size
    punch_radius: Distance = 0.0
    shoulder_radius: Distance = 0.0


class PartTable(Table):
    """A part with a hole that carries one of the bender's forces."""

    name: Text
    carries: Annotated[Carries, Choice()]
    width: Size
    thickness: Size
    hole: Size
    edge: Size
    side: Size | None = None
    strength: _Strength
    proof_stress: _Strength | None = None


class BenderTable(Table):
    """A bender with one die."""

    kind: Annotated[Kind, Choice()] | None = None
    radius: Size | None = None
    hand: Annotated[Literal["left", "right"], Choice()] = "left"
    max_angle: _Turn | None = None
    springback: _Ratio | None = None
    mark: Annotated[MarkAt, Choice()] | None = None
    die: DieTable | None = None
    hook: HookTable | None = None
    follower: FollowerTable | None = None
    arm: ArmTable | None = None
    plate: PlateTable | None = None
    needs: NeedsTable = NeedsTable()
    accuracy: AccuracyTable | None = None
    rollers: RollersTable | None = None
    block: BlockTable | None = None
    rated: BarTable | None = None
    parts: Annotated[
        tuple[PartTable, ...],
        Listed(f"up to {MOST} parts, [{{ name = …, carries = …, width = …, hole = …, edge = … }}, …]", 0, MOST),
    ] = ()


class ViseTable(Table):
    """A box."""

    x: Range
    y: Range
    top: Length
    bottom: Length


class BenchTable(Table):
    """A slab."""

    x: Range
    y: Range
    top: Length
    thickness: Size


class BodyTable(Table):
    """Anything else that stands in the way."""

    name: Text
    shape: Annotated[Literal["box", "cylinder", "capsule"], Choice()]
    x: Range | None = None
    y: Range | None = None
    z: Range | None = None
    start: Point | None = Field(None, alias="from")
    end: Point | None = Field(None, alias="to")
    radius: Size | None = None


class MountingTable(Table):
    """One way in which a bender is set up."""

    bender: Text | None = None
    vise: ViseTable | None = None
    bench: BenchTable | None = None
    floor: Length | None = None
    bodies: Annotated[
        tuple[BodyTable, ...], Listed(f"up to {MOST} bodies, [{{ name = …, shape = … }}, …]", 0, MOST)
    ] = ()
