"""What goes over the wire of what the frame must fit. Lengths in mm; texts are in the maker's units."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from bentwork.web.wire import FindingOut, Vec, Wire
from bentwork.web.wire_picture import PictureOut

__all__ = [
    "KeepOutRoomOut",
    "MeasuredOut",
    "MeasuredPointOut",
    "MeasuredReadingOut",
    "ReadingKindOut",
    "ReadingMissingOut",
    "StayOut",
    "WayThroughOut",
]


class MeasuredPointOut(Wire):
    """A measured point."""

    name: str
    place: str = Field(description="as it stands in a job file")
    at_mm: Vec
    sure: str
    look: Literal["given", "good", "loose", "open"]


class MeasuredReadingOut(Wire):
    """A reading that counts."""

    entry: int = Field(description="number of the entry in the file, from 1")
    says: str
    read: str
    checked: str
    odd: bool


class ReadingMissingOut(Wire):
    """A reading that would help, and what is entered for it."""

    says: str
    kind: str
    of: list[str]
    about: float = Field(description="in the units of the job")


class StayOut(Wire):
    """A stay."""

    name: str
    facts: str
    lines: list[str]
    ends: list[str]
    pair: str
    at_mm: Vec


class KeepOutRoomOut(Wire):
    """How near the frame comes to a keep-out."""

    name: str
    says: str
    look: Literal["good", "near", "hit"]
    at_mm: Vec


class WayThroughOut(Wire):
    """How the frame goes through an opening."""

    name: str
    says: str
    fits: bool


class ReadingKindOut(Wire):
    """A kind of reading that may be entered."""

    kind: str
    says: str
    points: int
    numbers: list[str] = Field(description="keys that its numbers are entered under")


class MeasuredOut(Wire):
    """What the frame must fit."""

    sum: str
    any: bool
    picture: PictureOut | None
    points: list[MeasuredPointOut]
    held: str
    readings: list[MeasuredReadingOut]
    spread: str
    sides: list[str]
    missing: list[ReadingMissingOut]
    stays: list[StayOut]
    rooms: list[KeepOutRoomOut]
    ways: list[WayThroughOut]
    box: str
    findings: list[FindingOut]
    kinds: list[ReadingKindOut]
    lines_mm: list[list[Vec]] = Field(description="keep-outs as rows of places, to be drawn in space")
