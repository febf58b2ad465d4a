"""What the job says of its load: the use, the payload, where the frame is held, how its bars are joined."""

from __future__ import annotations

from dataclasses import dataclass, field

from bentwork.carry.cases import LoadCase
from bentwork.carry.fixing import Fixing
from bentwork.carry.joint import Wanted
from bentwork.carry.limits import Rules
from bentwork.carry.payload import Payload, Strap
from bentwork.carry.structure import Directions

__all__ = ["Load"]


@dataclass(frozen=True, slots=True)
class Load:
    """Everything that a job says of what its frame carries.

    Args:
        use: name of what it is used for (``carry.uses.USES``); None when the job does not say.
        rules: safety, welding, filler.
        directions: up and forward.
        leaning: force of a person who leans on it, N; None for what is usual in its use.
        road: name of the road that fatigue is told for (``carry.fatigue.ROADS``); None when it is not asked.
        km: how far it is to last on that road.
        cases: load cases of the maker's own.
        payload: what is carried; None for nothing.
        straps: what holds the payload.
        fixings: what holds the frame.
        joints: what is said of the joints.
    """

    use: str | None = None
    rules: Rules = field(default_factory=Rules)
    directions: Directions = field(default_factory=Directions)
    leaning: float | None = None
    road: str | None = None
    km: float = 0.0
    cases: tuple[LoadCase, ...] = ()
    payload: Payload | None = None
    straps: tuple[Strap, ...] = ()
    fixings: tuple[Fixing, ...] = ()
    joints: tuple[Wanted, ...] = ()

    @property
    def asked(self) -> bool:
        """Whether there is anything to reckon: a payload, or something that holds the frame."""
        return self.payload is not None or bool(self.fixings)
