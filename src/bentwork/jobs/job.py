"""The whole job as the maker entered it: frozen data, in mm and degrees, whatever units the file is written in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from bentwork.fitup.tolerance import Tolerance
from bentwork.jobs.crossbar_asked import Crossbar
from bentwork.jobs.end_asked import OwnEnds
from bentwork.jobs.finish_asked import FinishAsked
from bentwork.jobs.hole_asked import HoleAsked
from bentwork.jobs.load import Load
from bentwork.jobs.modelled import Modelled
from bentwork.jobs.shop import Shop
from bentwork.jobs.stay_asked import StayLaid
from bentwork.jobs.survey_asked import SurveyAsked
from bentwork.jobs.tab_asked import TabAsked
from bentwork.parts.keep_out import KeepOut
from bentwork.parts.meeting import Ends
from bentwork.parts.passing import Opening
from bentwork.piece.bend_table import BendTable
from bentwork.piece.corners import Corners, Seam
from bentwork.space import HOME, Pose, Vec
from bentwork.stock.bar import Stock
from bentwork.stock.material import Material
from bentwork.tooling.bender import Bender
from bentwork.tooling.shop import Mounting
from bentwork.units import Ruler

__all__ = ["Job", "Mirror", "PieceSpec", "Placed"]


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece given as a bend table, and where its end A stands."""

    table: BendTable
    start: Pose = HOME


@dataclass(frozen=True, slots=True)
class Mirror:
    """The plane that the opposite hand is mirrored in: coordinate ``axis`` (0, 1, 2) equals ``at``, mm."""

    axis: int
    at: float


@dataclass(frozen=True, slots=True)
class PieceSpec:
    """One piece as it is asked for.

    Args:
        name: what the job calls it.
        stock: name of its stock.
        shape: corner points with radii, or a bend table placed in space.
        bender: name of its bender; None for a piece that is not bent.
        seam: where the ends of a closed piece meet; None to choose.
        count: how many are made (of each hand).
        mirror: a left and a right one are made.
        mirror_in: where the opposite hand stands in the frame; None when it is not placed.
        hand: which hand the piece as drawn is.
        at: shifts at which the copies stand in the frame, mm; empty for one copy as drawn.
        trim: spare length left on each end, mm.
        required_clearance: smallest distance wanted to anything while bending, mm.
        way: which way a flat or rectangular section is bent: ``easy`` across its height, ``hard`` across its width.
        modelled: the bar of a model that the shape is taken from; None for a shape that the job itself gives.
        tolerance: how far it may be out and still be good.
        ends: how the ends of a straight piece sit on other bars; None to tell by how far in they are drawn.
        holes: drilled into it; into flat bar that is bent the easy way, round bar and tube.
        own_ends: ends that are made by themselves, A and B; they are not cut to sit on other bars.
    """

    name: str
    stock: str
    shape: Corners | Placed
    bender: str | None = None
    seam: Seam | None = None
    count: int = 1
    mirror: bool = False
    mirror_in: Mirror | None = None
    hand: Literal["left", "right"] = "left"
    at: tuple[Vec, ...] = ()
    trim: float = 0.0
    required_clearance: float = 0.0
    way: Literal["easy", "hard"] = "easy"
    modelled: Modelled | None = None
    tolerance: Tolerance = field(default_factory=Tolerance)
    ends: Ends | None = None
    holes: tuple[HoleAsked, ...] = ()
    own_ends: OwnEnds = (None, None)

    @property
    def other_hand(self) -> Literal["left", "right"]:
        """The hand of the mirror image."""
        return "left" if self.hand == "right" else "right"

    def shifts(self, *, as_drawn: bool) -> tuple[Vec, ...]:
        """Return how far each copy of a hand is shifted, mm; none for an opposite hand that is not placed."""
        drawn = self.at or ((0.0, 0.0, 0.0),)
        if as_drawn:
            return drawn
        if self.mirror_in is None:
            return ()
        axis = self.mirror_in.axis
        flipped = [[-c if k == axis else c for k, c in enumerate(shift)] for shift in drawn]
        return tuple((x, y, z) for x, y, z in flipped)

    def copies(self, *, as_drawn: bool) -> tuple[tuple[str, Vec], ...]:
        """Return name and shift, mm, of every copy of a hand that stands in the frame."""
        hand = self.hand if as_drawn else self.other_hand
        name = f"{self.name} {hand}" if self.mirror else self.name
        shifts = self.shifts(as_drawn=as_drawn)
        return tuple((name if len(shifts) == 1 else f"{name} {k}", shift) for k, shift in enumerate(shifts, 1))

    @property
    def copy_names(self) -> tuple[str, ...]:
        """Names of all copies that stand in the frame, of both hands."""
        hands = (True, False) if self.mirror else (True,)
        return tuple(name for as_drawn in hands for name, _ in self.copies(as_drawn=as_drawn))


@dataclass(frozen=True, slots=True)
class Job:
    """Everything about one frame.

    Args:
        name: of the frame.
        ruler: how lengths are shown.
        stocks: bars by name.
        benders: benders by name.
        mountings: ways the benders are set up, by name.
        pieces: the pieces, in the order of the file.
        materials: every material that is known where the job was read, to name softer tempers from.
        load: what it carries, how it is held and joined, as far as the job says.
        crossbars: as they are asked for; what they become is among the pieces.
        tabs: that stand on the pieces.
        blocks: sizes of the spacer blocks in the workshop, mm.
        shop: what buying goes by.
        finish: what is asked of its finish.
        survey: what was measured on the thing that it must fit; None where nothing was.
        stays: where they stand; what they become is among the pieces.
        keepouts: room that the frame must leave.
        openings: that the frame must go through.
        version: short code of the job file's bytes, so that an old print cannot pass for the new one.
    """

    name: str
    ruler: Ruler = field(default_factory=Ruler)
    stocks: Mapping[str, Stock] = field(default_factory=dict)
    benders: Mapping[str, Bender] = field(default_factory=dict)
    mountings: Mapping[str, Mounting] = field(default_factory=dict)
    pieces: tuple[PieceSpec, ...] = ()
    materials: tuple[Material, ...] = ()
    load: Load = field(default_factory=Load)
    crossbars: tuple[Crossbar, ...] = ()
    tabs: tuple[TabAsked, ...] = ()
    blocks: tuple[float, ...] = ()
    shop: Shop = field(default_factory=Shop)
    finish: FinishAsked = field(default_factory=FinishAsked)
    survey: SurveyAsked | None = None
    stays: tuple[StayLaid, ...] = ()
    keepouts: tuple[KeepOut, ...] = ()
    openings: tuple[Opening, ...] = ()
    version: str = ""

    def mountings_of(self, bender: str | None) -> tuple[Mounting, ...]:
        """Return the ways a bender is set up."""
        return tuple(mounting for mounting in self.mountings.values() if mounting.bender == bender)
