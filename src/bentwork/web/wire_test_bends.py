"""Test bends over the wire: what is known of a bar on a bender, its picture, entries. Angles in degrees."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from bentwork.web.wire import Wire

__all__ = [
    "BandOut",
    "EntryIn",
    "KnownOut",
    "MeantIn",
    "MeantOut",
    "NarrowedOut",
    "PullOut",
    "PullPictureOut",
    "StrikeTestBendIn",
    "TestBendOut",
    "TestBendsOut",
    "TrialOut",
]

Typed = Annotated[str, Field(max_length=4000)]
Way = Literal["easy", "hard"]


class PullOut(Wire):
    """How far to pull for an angle to be left."""

    angle_deg: float
    bend_to_deg: float
    least_deg: float
    most_deg: float


class BandOut(Wire):
    """Springback at one angle: likeliest, and the interval in which it lies nine times in ten."""

    angle_deg: float
    likely_deg: float
    least_deg: float
    most_deg: float


class PointOut(Wire):
    """A test bend in the picture."""

    number: int | None
    angle_deg: float
    springback_deg: float
    counts: bool


class NarrowedOut(Wire):
    """How well the pull was known after some number of test bends."""

    entered: int
    half_width_deg: float


class PullPictureOut(Wire):
    """Springback over the angle that is left."""

    now: list[BandOut]
    handbook: list[BandOut]
    job: list[BandOut] = Field(description="by the job's own springback; empty where it gives none")
    points: list[PointOut]
    narrowed_at_deg: float
    narrowed: list[NarrowedOut]


class MeantOut(Wire):
    """Angles that a test bend may have had."""

    pulled_deg: float
    left_deg: float


class MeantIn(MeantOut):
    """The maker says that these were meant; ``entry_id`` lets it be kept once, however often it is sent."""

    entry_id: Annotated[str, Field(min_length=8, max_length=100)]


class TestBendDoubtOut(Wire):
    """What is odd about a test bend, and the angles that may have been meant."""

    number: int | None
    says: str
    meant: MeantOut | None
    may_be_sure: bool = Field(description="it counts when the maker says that it was read twice")


class TrialOut(Wire):
    """The next test bend worth making; lengths in the job's units, as the tape shows them."""

    says: str
    angle_deg: float
    pull_to_deg: float
    bar: str
    mark: str


class TestBendOut(Wire):
    """One test bend; lengths in the job's units, empty where not measured."""

    number: int
    made_on: str
    batch: str
    pulled_deg: float
    left_deg: float
    bar: str
    mark: str
    held_leg: str
    free_leg: str
    to_middle: bool
    start: str
    note: str
    counts: bool
    struck_because: str | None


class KnownOut(Wire):
    """What is known of a bar on a bender."""

    stock: str
    bender: str
    way: Way
    title: str
    bar: str
    source: Literal["job", "test bends", "handbook", "nothing"]
    says: str
    nothing: str | None = Field(description="why there is nothing to learn on this die")
    sizes: list[str]
    pulls: list[PullOut]
    doubts: list[TestBendDoubtOut]
    advice: str | None
    next: TrialOut | None
    picture: PullPictureOut | None
    test_bends: list[TestBendOut]


class TestBendsOut(Wire):
    """Every bar of a job on its bender."""

    sum: str
    today: str
    unit: Literal["mm", "in"]
    cautions: list[str]
    how: str
    pairs: list[KnownOut]
    kept: int | None = None


class EntryIn(Wire):
    """A test bend as typed, by the names of ``files.test_bend_entry``; sent twice with one ``entry_id``, kept once."""

    stock: str
    bender: str
    way: Way
    entry_id: str = Field(min_length=8, max_length=80)
    given: dict[str, Typed] = Field(max_length=20)


class StrikeTestBendIn(Wire):
    """Why a test bend is wrong."""

    because: Typed
