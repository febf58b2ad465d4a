"""A manual bender as its owner would measure it with a tape. Lengths in mm, angles in degrees."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bentwork.tooling.fittings import Block, Part, Rated, Rollers

__all__ = ["Accuracy", "Arm", "Bender", "Die", "Follower", "Hook", "Kind", "MarkAt", "Needs", "Plate"]

Kind = Literal["wrap", "draw", "ram", "vee"]
MarkAt = Literal["start", "centre"]
Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Die:
    """The grooved former that the bar is bent round."""

    thickness: float
    groove_depth: float = 0.0


@dataclass(frozen=True, slots=True)
class Hook:
    """What keeps the held side of the bar on the die; measured along the bar, behind the tangent point."""

    starts_behind: float
    length: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Follower:
    """What presses the bar round the die: a roller (``radius``) or a shoe (``length`` by ``width``)."""

    kind: Literal["roller", "shoe"]
    height: float
    ahead: float
    radius: float | None = None
    length: float | None = None
    width: float | None = None


@dataclass(frozen=True, slots=True)
class Arm:
    """The lever: above or below the bar, with a gap to it."""

    side: Literal["above", "below"]
    gap: float
    thickness: float
    width: float
    length: float


@dataclass(frozen=True, slots=True)
class Plate:
    """The plate that the bender is built on, under the bar."""

    x: Range
    y: Range
    gap_below_bar: float
    thickness: float


@dataclass(frozen=True, slots=True)
class Needs:
    """Shortest straights with which this bender can hold and press: between bends, and to the bar's ends."""

    straight_held: float = 0.0
    straight_free: float = 0.0
    end_held: float = 0.0
    end_free: float = 0.0


@dataclass(frozen=True, slots=True)
class Accuracy:
    """Scatter of one bend, one standard deviation: angle and rotation in degrees, position along the bar in mm."""

    angle: float
    rotation: float
    position: float


_ORDINARY_HAND = Accuracy(angle=1.0, rotation=1.5, position=0.7)
# Common practice, no source: what an ordinary hand repeats on a lever bender with an angle finder and a tape. The
# other kinds have a stop or a scale for the angle, and the mark is set under a point instead of beside a die.
_BY_KIND: dict[Kind, Accuracy] = {
    "wrap": _ORDINARY_HAND,
    "draw": Accuracy(angle=0.7, rotation=1.5, position=0.7),
    "ram": Accuracy(angle=1.0, rotation=1.5, position=1.0),
    "vee": Accuracy(angle=0.7, rotation=0.5, position=0.5),
}


@dataclass(frozen=True, slots=True)
class Bender:
    """A bender with one die.

    Args:
        name: what the job calls it.
        kind: ``wrap`` (fixed die, the follower wipes the bar round it), ``draw`` (the die turns and pulls the bar),
            ``ram`` (a former pushed between two rollers) or ``vee`` (punch and V-block, for flat).
        radius: centreline radius of the die.
        hand: ``left`` turns the free side to the left of the way the bar points, seen from above.
        max_angle: furthest the bender can pull; None when nobody has said.
        springback: what to multiply a drawn angle by to get the angle to pull to; None when nobody has said.
        mark_at: which mark is lined up on the tool; None for what the kind uses.
        accuracy: scatter of the maker on this bender; None for an ordinary hand on this kind.
        rollers: of a ram bender.
        block: of a punch and V-block.
        rated: the heaviest bar that it is sold for.
        parts: parts with holes that carry its forces.
    """

    name: str
    kind: Kind
    radius: float
    hand: Literal["left", "right"] = "left"
    max_angle: float | None = None
    springback: float | None = None
    mark_at: MarkAt | None = None
    die: Die | None = None
    hook: Hook | None = None
    follower: Follower | None = None
    arm: Arm | None = None
    plate: Plate | None = None
    needs: Needs = Needs()
    accuracy: Accuracy | None = None
    rollers: Rollers | None = None
    block: Block | None = None
    rated: Rated | None = None
    parts: tuple[Part, ...] = ()

    @property
    def lines_up(self) -> MarkAt:
        """The mark that this bender is set to: formers and punches push in the middle of a bend, dies begin it."""
        if self.mark_at is not None:
            return self.mark_at
        return "centre" if self.kind in ("ram", "vee") else "start"

    @property
    def scatter(self) -> Accuracy:
        """The accuracy given, or that of an ordinary hand on a bender of this kind (common practice, no source)."""
        return self.accuracy if self.accuracy is not None else _BY_KIND[self.kind]
