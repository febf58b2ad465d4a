"""The structure as the maker describes it, with everything found on it: joints, fixings, bearings, straps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from bentwork.carry.bar import Bar
from bentwork.carry.fixing import Fixing, Held, held_by
from bentwork.carry.joint import Joint, Wanted, joints_of
from bentwork.carry.payload import Borne, Payload, Strap, Tied, bearings, ties
from bentwork.carry.tabs import Standing, TabOn, standing_on
from bentwork.carry.touching import TOUCHES_WITHIN
from bentwork.space import Vec, cross, unit

__all__ = ["Asked", "Directions", "Structure", "structure_of"]


@dataclass(frozen=True, slots=True)
class Directions:
    """Which way is up and which way it is driven; any lengths, made square to one another."""

    up: Vec = (0.0, 0.0, 1.0)
    forward: Vec = (1.0, 0.0, 0.0)

    def __post_init__(self) -> None:
        up = unit(self.up)
        object.__setattr__(self, "up", up)
        object.__setattr__(self, "forward", unit(cross(cross(up, self.forward), up)))

    @property
    def left(self) -> Vec:
        """To the left of who looks forward."""
        return cross(self.up, self.forward)


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked for but is not on the frame: joints, fixings, straps, names of bars that bear the payload."""

    joints: tuple[Wanted, ...] = ()
    fixings: tuple[Fixing, ...] = ()
    straps: tuple[Strap, ...] = ()
    bearing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Structure:
    """The frame as a structure.

    Args:
        bars: every copy of every piece.
        joints: between them, found or said.
        fixings: found on them.
        borne: the payload and where it bears; None when nothing is carried.
        straps: hooked to them.
        directions: up and forward.
        missing: what was asked for but is nowhere on the frame.
        tabs: that stand on the bars.
    """

    bars: tuple[Bar, ...]
    joints: tuple[Joint, ...] = ()
    fixings: tuple[Held, ...] = ()
    borne: Borne | None = None
    straps: tuple[Tied, ...] = ()
    directions: Directions = field(default_factory=Directions)
    missing: Asked = field(default_factory=Asked)
    tabs: tuple[Standing, ...] = ()

    @property
    def mass(self) -> float:
        """Mass of the frame, kg, its tabs with it, payload not counted."""
        return sum(bar.mass for bar in self.bars) + sum(one.tab.mass for one in self.tabs)


def structure_of(
    bars: Sequence[Bar],
    fixings: Sequence[Fixing] = (),
    payload: Payload | None = None,
    straps: Sequence[Strap] = (),
    wanted: Sequence[Wanted] = (),
    *,
    directions: Directions | None = None,
    within: float = TOUCHES_WITHIN,
    tabs: Sequence[TabOn] = (),
) -> Structure:
    """Find the joints, fixings, bearings and straps on the bars.

    Args:
        bars: of the frame, each name once.
        fixings: what holds it.
        payload: what it carries.
        straps: what holds the payload.
        wanted: what the maker says of the joints.
        directions: up and forward.
        within: largest gap between two bars that is taken for a joint, mm.
        tabs: that stand on the bars; fixings and straps in the hole of one are held by it.

    Raises:
        ValueError: two bars have the same name, or a bar has no length.
    """
    names = [bar.name for bar in bars]
    if len(set(names)) < len(names):
        raise ValueError("every bar of a frame has a name of its own")
    for bar in bars:
        if not bar.length > 0.0:
            raise ValueError(f"{bar.name} has no length")
    directions = directions or Directions()
    joints, no_joints = joints_of(bars, wanted, within)
    stood = standing_on(bars, tabs)
    held, no_fixings = held_by(bars, fixings, stood)
    tied, no_straps = ties(bars, straps, stood)
    borne: Borne | None = None
    unknown: tuple[str, ...] = ()
    if payload is not None:
        where, unknown = bearings(bars, payload, directions.up)
        borne = Borne(payload, where)
    missing = Asked(no_joints, no_fixings, no_straps, unknown)
    return Structure(tuple(bars), joints, held, borne, tied, directions, missing, stood)
