"""What goes over the wire of what a frame carries. Lengths in mm, masses in kg; texts are in the maker's units."""

from __future__ import annotations

from typing import Literal

from bentwork.web.wire import Change, FindingOut, Vec, Wire

__all__ = [
    "BarSeen",
    "CarryOut",
    "CaseOut",
    "FixingSeen",
    "GivesOut",
    "HelpOut",
    "HelpsOut",
    "JointsOut",
    "MotionSeen",
    "PayloadSeen",
    "ProofOut",
    "TriesOut",
    "TryOut",
]

Heat = Literal["straw", "brown", "purple", "blue", "hit"]


class CaseOut(Wire):
    """One load case."""

    name: str
    felt: str
    source: str
    most_used: str
    moves: str
    heat: Heat


class GivesOut(Wire):
    """One thing that gives."""

    where: str
    case: str
    used: str
    gives_at: str
    heat: Heat
    at_mm: Vec


class BarSeen(Wire):
    """One bar under the load case, at places along it from end A."""

    name: str
    piece: str
    half_mm: list[float]
    is_round: bool
    wide: list[Vec]
    places_mm: list[Vec]
    moves_mm: list[Vec]
    heats: list[Heat]
    told: list[str]


class TabSeen(Wire):
    """A tab under the load case: where it meets its bar, and its outer end."""

    name: str
    piece: str
    half_mm: list[float]
    wide: Vec
    ends_mm: list[Vec]
    moves_mm: list[Vec]


class FixingSeen(Wire):
    """A fixing: where, how it holds, and what it has to hold at most."""

    name: str
    at_mm: Vec
    held: str
    holds: str


class PayloadSeen(Wire):
    """The payload: how heavy it is in the job, and how heavy it may be tried."""

    name: str
    mass_kg: float
    says: str
    tried_kg: float
    most_kg: float
    centre_mm: Vec
    size_mm: Vec | None
    bears_mm: list[Vec]
    straps_mm: list[list[Vec]]


class JointsOut(Wire):
    """The joints between two pieces; ``changes`` by how they are made, where the job says nothing yet."""

    says: str
    pieces: list[str]
    places_mm: list[Vec]
    made: str
    gap: str
    confirmed: bool
    changes: dict[str, list[Change]]


class MotionSeen(Wire):
    """A way in which the frame moves without bending."""

    says: str
    axis_mm: list[Vec] | None
    arrows_mm: list[list[Vec]]


class ProofOut(Wire):
    """The proof load in words."""

    load: str
    shortfall: str
    sideways: str
    readings: list[str]
    look_at: list[str]
    rejects: list[str]
    cautions: list[str]


class CarryOut(Wire):
    """What the frame of a job carries; ``asked`` is false where the job says nothing of a load."""

    sum: str
    asked: bool
    says: str
    copies: list[str]
    uses: list[str]
    bolt_sizes: list[str]
    bolt_classes: list[str]
    start: list[Change]
    enough: bool | None
    findings: list[FindingOut]
    payload: PayloadSeen | None
    case: int
    cases: list[CaseOut]
    gives: list[GivesOut]
    fixings: list[FixingSeen]
    joints: list[JointsOut]
    motions: list[MotionSeen]
    bars: list[BarSeen]
    tabs: list[TabSeen]
    drawn_times: float
    proof: ProofOut | None


class HelpOut(Wire):
    """One change that would help: what gives first then, where added bars go, what makes them pieces of the job."""

    says: str
    first: str
    where: list[str]
    lines_mm: list[list[Vec]]
    changes: list[Change]


class HelpsOut(Wire):
    """What would help most for the fewest grams, the best first."""

    sum: str
    helps: list[HelpOut]
    caution: str


class TryOut(Wire):
    """One variant of a stock."""

    says: str
    mass_kg: float
    mass: str
    carries_kg: float
    carries: str
    enough: bool
    moves: str
    lever: str
    springback: str
    springback_from: Literal["job", "test bends", "handbook", "nothing"]
    bends: Literal["yes", "other die", "no", "unknown"]
    price: str
    best: bool
    now: bool
    about: list[str]
    changes: list[Change]


class TriesOut(Wire):
    """One stock in other sections and metals; none where the frame cannot be reckoned."""

    sum: str
    stock: str
    stocks: list[str]
    pieces: list[str]
    wanted_kg: float
    tries: list[TryOut]
