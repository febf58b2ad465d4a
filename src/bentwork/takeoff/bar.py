"""What a take-off finds: bars with their sections, ends and holes; solids that are something else, with the reason."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from bentwork.piece.bend import half_turn
from bentwork.piece.centreline import Centreline
from bentwork.stock.section import Section

__all__ = ["Bar", "End", "EndCut", "Hole", "Kind", "Solid", "TakeOff", "WayBent", "off_middle"]

Kind = Literal["piece", "joined", "curve", "other"]
EndCut = Literal["square", "mitred", "coped", "flattened", "shaped", "joined", "seam"]
WayBent = Literal["easy", "hard", "both"]


@dataclass(frozen=True, slots=True)
class Hole:
    """A drilled hole or a slot.

    Args:
        at: station of its axis, or of the middle of a slot, along the centreline from end A, mm.
        round: where round the bar it is drilled in from, degrees from the inside of the first bend, right-hand rule
            about A to B, in (-180, 180]; on a straight bar from the ``towards`` of its start.
        diameter: mm; of a slot its width.
        through: it comes out on the other side; ``round`` is then the one in [0, 180).
        off_middle: how far its axis passes from the centreline, mm; above 0 on the left of who looks from A to B with
            the side that it is drilled in from (``round``) up.
        slot: how far the middles of a slot's round ends are apart, mm; 0 for a round hole.
        lean: of a slot, from along the bar (0) to across it (90), degrees.
        slant: how far its axis leans from square to the bar, degrees.
        sunk: of a round hole the largest diameter of its countersink, mm; 0 where it has none.
    """

    at: float
    round: float
    diameter: float
    through: bool
    off_middle: float = 0.0
    slot: float = 0.0
    lean: float = 0.0
    slant: float = 0.0
    sunk: float = 0.0

    @property
    def aside(self) -> tuple[float, float]:
        """Where its axis passes the centreline: towards the inside of the first bend, and along its axis, mm."""
        leans = math.radians(self.round)
        return self.off_middle * math.sin(leans), -self.off_middle * math.cos(leans)


def off_middle(aside: tuple[float, float], round_: float) -> float:
    """Return ``Hole.off_middle`` of a hole that passes the centreline there, drilled in from ``round_``, degrees."""
    leans = math.radians(round_)
    return aside[0] * math.sin(leans) - aside[1] * math.cos(leans)


@dataclass(frozen=True, slots=True)
class End:
    """How an end is cut.

    Args:
        cut: square, mitred, coped, flattened, otherwise shaped; joined to another member; seam of a closed piece.
        angle: between the cut and a square one, degrees; of a coped end between the two bars, 90 is square.
        beyond: how far the metal reaches beyond the end of the centreline, mm: half the length of a mitre.
        diameter: of the bar that a coped end sits on, mm; 0 for others.
        round: where round the bar the longest point of a mitre lies, or the face of a flat looks ([0, 180)), degrees as
            of a hole; None for others, and where it is not known.
        flat: how long an end is pressed flat, mm; 0 for others, and where it is not known.
    """

    cut: EndCut
    angle: float = 0.0
    beyond: float = 0.0
    diameter: float = 0.0
    round: float | None = None
    flat: float = 0.0

    def turned(self, sign: float, by: float = 0.0) -> End:
        """Return the end where what stood at ``round`` stands at ``sign`` times that and ``by`` more."""
        return self if self.round is None else self.facing(by + sign * self.round)

    def facing(self, turn: float) -> End:
        """Return the end with its longest point, or the face of its flat, that far round the bar, degrees."""
        return replace(self, round=(turn % 180.0) % 180.0 if self.cut == "flattened" else half_turn(turn))


SQUARE = End("square")


@dataclass(frozen=True, slots=True)
class Bar:
    """One bent or straight bar.

    Args:
        line: its bend table, where it stands in the model.
        section: None when the model gives only lines.
        way: of a flat or rectangular section: across its height (easy) or its width (hard); None when it makes no
            difference or nothing is bent.
        ends: end A and end B.
        holes: in order of station.
        deviation: farthest that the model's bar lies from these straights and arcs, mm.
        cut_into: from where to where metal is taken away that is neither end nor hole, along the centreline, mm.
    """

    line: Centreline
    section: Section | None
    way: WayBent | None = None
    ends: tuple[End, End] = (SQUARE, SQUARE)
    holes: tuple[Hole, ...] = ()
    deviation: float = 0.0
    cut_into: tuple[tuple[float, float], ...] = ()

    @property
    def length(self) -> float:
        """Length of the centreline, mm."""
        return self.line.table.length


@dataclass(frozen=True, slots=True)
class Solid:
    """What one solid of a model is.

    Args:
        index: number in the model, from 1.
        name: in the model; may be empty.
        kind: piece, joined, curve or other.
        bars: one for a piece or curve, the members of a joined one (one with something else), none for others.
        reason: why it is no piece; None for a piece.
        volume: of the metal, mm3; None when it is not known.
        same_as: number of an earlier solid that is the same piece.
        mirror_of: number of an earlier solid that is its mirror image.
    """

    index: int
    name: str
    kind: Kind
    bars: tuple[Bar, ...] = ()
    reason: str | None = None
    volume: float | None = None
    same_as: int | None = None
    mirror_of: int | None = None

    def __post_init__(self) -> None:
        if (self.reason is None) != (self.kind == "piece"):
            raise ValueError("a piece needs no reason, everything else needs one")
        if self.kind in ("piece", "curve") and len(self.bars) != 1:
            raise ValueError(f"a {self.kind} is one bar, not {len(self.bars)}")

    @property
    def one_bar(self) -> Bar | None:
        """The bar of a piece, or of a solid that has one and something else in it."""
        return self.bars[0] if len(self.bars) == 1 and self.kind != "curve" else None


@dataclass(frozen=True, slots=True)
class TakeOff:
    """Everything that was found in a file.

    Args:
        source: name of the file.
        units: of the file, in its own words; empty when it names none (a STEP file is then in mm).
        solids: in the order of the file.
        notes: what was found beside the solids.
    """

    source: str
    units: str
    solids: tuple[Solid, ...]
    notes: tuple[str, ...] = ()
