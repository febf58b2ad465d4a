"""Shapes of the bench: how a bar stands, every step with its texts ready to be shown, and what was measured."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from bentwork.web.wire import FindingOut, Wire
from bentwork.web.wire_picture import PictureOut

__all__ = [
    "BarRow",
    "BarsOut",
    "BenchOut",
    "CardOut",
    "CorrectOut",
    "EndViewOut",
    "GhostOut",
    "LogIn",
    "MadeOut",
    "OutlookOut",
    "SetOut",
    "StrikeIn",
]

_Name = Field(min_length=1, max_length=200)
_Day = Field(pattern=r"^\d{4}-\d{2}-\d{2}$")


class EndViewOut(Wire):
    """The bar as seen from the end that is held: degrees clockwise from up, mm."""

    kind: str
    depth: float
    breadth: float
    line_at: float
    line_was: float | None
    roll: float


class CardOut(Wire):
    """One step. Texts are ready to be shown, and empty where there is nothing to say."""

    step: int
    bend: int
    held: Literal["A", "B"]
    hold: str
    swap: bool
    mount: str
    mark: str
    unit: str
    mark_from: str
    mark_also: str
    turn: str
    line: str
    leg: str
    end_view: EndViewOut
    verb: str
    pull: str
    pull_deg: float
    between: str
    leaves: str
    packing: str
    watch: str
    caution: str
    angle_deg: float = Field(description="as drawn")
    angle_least_deg: float = Field(description="a reading below is asked about")
    angle_most_deg: float
    rotation_deg: float | None = Field(description="as drawn; null for bend 1, which has none")
    rotation_least_deg: float | None
    rotation_most_deg: float | None


class MadeOut(Wire):
    """A bend that is made, by its last reading."""

    bend: int
    entry_id: str
    angle: str
    drawn: str
    more: str


class CorrectOut(Wire):
    """A bend that is made, and by how much to bend it further."""

    bend: int
    by_deg: float


class SetOut(Wire):
    """A bend to set by hand, ready to be shown."""

    bend: int
    by: str
    says: str = Field(description="without by how much")


class OutlookOut(Wire):
    """How the piece will come out, ready to be shown."""

    head: str = Field(description="what to do, in two or three words")
    says: str = Field(description="expected gap, and the chance where it tells anything")
    sets: list[SetOut]
    cautions: list[str] = Field(description="of setting by hand; empty where nothing is set")


class GhostOut(Wire):
    """A bar as it is believed to be over the piece as drawn: full line and dashed one."""

    picture: PictureOut
    says: str


class BarRow(Wire):
    """One bar of a job."""

    piece: str
    hand: Literal["left", "right"] | None
    number: int
    says: str
    bends: int
    made: int
    finished: bool


class BarsOut(Wire):
    """The bars of a job that are bent."""

    name: str
    title: str
    bars: list[BarRow]


class BenchOut(Wire):
    """How one bar stands. ``cards`` are the steps that are made, then those that are left."""

    name: str
    title: str
    version: str
    piece: str
    hand: Literal["left", "right"] | None
    number: int
    says: str
    bar: str
    units: Literal["mm", "in"]
    bends: int
    cards: list[CardOut]
    made: list[MadeOut]
    finished: bool
    stopped: bool
    last_entry: str | None = Field(description="id of the entry that came last")
    last_bend: int | None
    advice: Literal["carry on", "correct", "start again"] | None
    correct: list[CorrectOut] | None
    wring: list[CorrectOut] = Field(description="straights before bends, to be wrung")
    expected_gap_mm: float | None
    expected_gap_sd_mm: float | None
    chance: float | None = Field(description="that it keeps every tolerance; of a closed piece no less than this")
    outlook: OutlookOut | None = Field(description="the same, ready to be shown; null where nothing is known")
    reckoning: bool = Field(description="the steps are still the plan's: ask for the bar, and they are mended")
    findings: list[FindingOut]
    cautions: list[str]


class LogIn(Wire):
    """A bend as it was measured. Sent again under the same id it is kept once."""

    entry_id: str = _Name
    version: str = Field(max_length=40)
    piece: str = _Name
    hand: Literal["left", "right"] | None = None
    number: int = Field(1, ge=1, le=10_000)
    bend: int = Field(ge=1, le=10_000)
    held: Literal["A", "B"]
    pulled_deg: float = Field(gt=0, lt=360)
    angle_deg: float = Field(gt=0, lt=360)
    rotation_deg: float | None = Field(None, ge=-180, le=180)
    off: str = Field("", max_length=40, description="how far off its mark, towards end B; empty when not measured")
    made_on: str = _Day


class StrikeIn(Wire):
    """A wrong entry, to be struck out. Saying so twice does no harm."""

    entry_id: str = _Name
    piece: str = _Name
    hand: Literal["left", "right"] | None = None
    number: int = Field(1, ge=1, le=10_000)
    made_on: str = _Day
