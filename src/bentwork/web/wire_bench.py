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
    "DoubtOut",
    "EndViewOut",
    "GhostOut",
    "LogIn",
    "MadeOut",
    "MeasureOut",
    "OutlookOut",
    "SetOut",
    "SizeIn",
    "StrikeIn",
    "SureIn",
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
    moved: str = Field(description="how far the mark lies from where the sheet has it, and why")
    mark_mm: float
    turn_deg: float | None = Field(description="from the step before; null where that is not known")
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
    against: int | None = Field(description="the nearest bend made before it: what its rotation is measured against")
    rotation_deg: float | None = Field(description="as drawn, against that bend; null where none is made before it")
    rotation_least_deg: float | None
    rotation_most_deg: float | None
    off_least: float = Field(description="how far off its mark is not asked about, in the units of the job")
    off_most: float


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


class DoubtOut(Wire):
    """A reading that does not go with the rest, and is left out until it is settled."""

    entry_id: str
    kind: Literal["angle", "rotation", "position", "size"]
    bend: int | None = Field(description="null for a size")
    says: str
    value: str = Field(description="as it was read")
    meant: str = Field(description="as it was probably meant; empty where nothing tells")
    meant_value: float | None = Field(description="the same in degrees or mm")


class MeasureOut(Wire):
    """Something that can be measured on the bar as it stands, ready to be shown."""

    kind: Literal["leg", "across", "gap", "offset", "rock", "height"]
    start: int | None
    end: int | None
    way: Literal["side", "up"] | None
    says: str
    how: str
    hint: str = Field(description="what it should be by the drawing; empty where it should be nothing")
    tells: bool = Field(description="it tells much of what is not known yet")


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
    off: list[str] = Field(description="bends that are far off and count so, as the maker said")
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
    last_bend: int | None = Field(description="null where the last entry is a size")
    last_says: str
    doubts: list[DoubtOut]
    measures: list[MeasureOut] = Field(description="what can be measured beside bends, what tells most first")
    sizes: list[str] = Field(description="sizes that were measured, ready to be shown")
    advice: Literal["carry on", "correct", "start again"] | None
    correct: list[CorrectOut] | None
    wring: list[CorrectOut] = Field(description="straights before bends, to be wrung")
    expected_gap_mm: float | None
    expected_gap_sd_mm: float | None
    chance: float | None = Field(description="that it keeps every tolerance")
    outlook: OutlookOut | None = Field(description="the same, ready to be shown; null where nothing is known")
    reckoning: bool = Field(description="the steps are still the plan's: ask for the bar, and they are mended")
    findings: list[FindingOut]
    cautions: list[str]
    hand_says: list[str] = Field(description="what other bars in the log tell of the maker's hand; empty for nothing")


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
    mark_mm: float | None = Field(None, gt=0, lt=100_000, description="the mark as it was shown")
    turn_deg: float | None = Field(None, ge=-180, le=180, description="the turn as it was shown")
    sure: bool = Field(False, description="the reading was questioned, and is right")
    off: str = Field("", max_length=40, description="how far off its mark, towards end B; empty when not measured")
    made_on: str = _Day


class SizeIn(Wire):
    """A size as it was measured. Sent again under the same id it is kept once."""

    entry_id: str = _Name
    version: str = Field(max_length=40)
    piece: str = _Name
    hand: Literal["left", "right"] | None = None
    number: int = Field(1, ge=1, le=10_000)
    kind: Literal["leg", "across", "gap", "offset", "rock", "height"]
    start: int | None = Field(None, ge=0, le=10_000)
    end: int | None = Field(None, ge=0, le=10_000)
    way: Literal["side", "up"] | None = None
    length: str = Field(min_length=1, max_length=40)
    made_on: str = _Day


class SureIn(Wire):
    """The answer to a question about a reading: it is right, or another was meant."""

    entry_id: str = _Name
    of: str = _Name
    kind: Literal["angle", "rotation", "position", "size"]
    value: float | None = Field(None, description="degrees or mm; null where it is right as it is")
    piece: str = _Name
    hand: Literal["left", "right"] | None = None
    number: int = Field(1, ge=1, le=10_000)
    made_on: str = _Day


class StrikeIn(Wire):
    """A wrong entry, to be struck out. Saying so twice does no harm."""

    entry_id: str = _Name
    piece: str = _Name
    hand: Literal["left", "right"] | None = None
    number: int = Field(1, ge=1, le=10_000)
    made_on: str = _Day
