"""The payload: how heavy, where its middle is, and which bars bear it.

It is taken for a rigid body on equal springs where it is borne: the forces there hold force and moment of the
payload in
balance exactly, and among all that do they are the ones of least sum of squares. The same rule, read the other way
round, says how the payload moves when the bars do.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar, pose_at
from bentwork.carry.nearest import nearest_station
from bentwork.carry.tabs import Standing, held_in
from bentwork.space import Vec

__all__ = ["Bearing", "Borne", "Payload", "Strap", "Tied", "bearings", "borne_share", "spread", "ties"]

Floats = NDArray[np.float64]

_APART = 120.0
_LEVEL = 6.0


@dataclass(frozen=True, slots=True)
class Payload:
    """What is carried.

    Args:
        mass: kg.
        centre: its centre of gravity, mm.
        on: names of the pieces or copies that bear it.
        at: places where it bears, mm; empty: all along those bars, where they are highest.
        size: length, width and height, mm; for its own turning in vibration; None for a point.
        name: what it is called.
    """

    mass: float
    centre: Vec
    on: tuple[str, ...] = ()
    at: tuple[Vec, ...] = ()
    size: Vec | None = None
    name: str = "payload"

    def __post_init__(self) -> None:
        if not (math.isfinite(self.mass) and self.mass > 0.0):
            raise ValueError(f"a payload has a mass above 0 kg, not {self.mass:g}")
        if not all(math.isfinite(c) for c in self.centre):
            raise ValueError("the centre of a payload is a place in mm")

    @property
    def inertia(self) -> Floats:
        """Moments of inertia about its centre, (3, 3), kg mm2: of a block of its size."""
        if self.size is None:
            return np.zeros((3, 3))
        x, y, z = (c**2 / 12.0 for c in self.size)
        return self.mass * np.diag([y + z, x + z, x + y])


@dataclass(frozen=True, slots=True)
class Strap:
    """A strap that holds the payload down.

    Args:
        piece: name of the piece or copy it is hooked to.
        at: where, mm.
        towards: the place on the payload that it pulls to, mm.
        tension: N.
    """

    piece: str
    at: Vec
    towards: Vec
    tension: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.tension) and self.tension >= 0.0):
            raise ValueError(f"the tension of a strap is 0 N or more, not {self.tension:g}")


@dataclass(frozen=True, slots=True)
class Bearing:
    """A place where a bar bears the payload: number of the bar, mm from its end A."""

    bar: int
    station: float
    place: Vec


@dataclass(frozen=True, slots=True)
class Borne:
    """The payload and where it bears."""

    payload: Payload
    bearings: tuple[Bearing, ...]


@dataclass(frozen=True, slots=True)
class Tied:
    """A strap and where it is hooked: number of the bar, mm from its end A, and the place there.

    With the number of a ``tab`` it is hooked into the hole of that, which is the place.
    """

    strap: Strap
    bar: int
    station: float
    place: Vec
    tab: int | None = None

    @property
    def pull(self) -> Floats:
        """What it pulls the frame with, N, (3,)."""
        line = np.array(self.strap.towards) - np.array(self.place)
        found: Floats = self.strap.tension * line / (np.linalg.norm(line) or 1.0)
        return found


def bearings(bars: Sequence[Bar], payload: Payload, up: Vec) -> tuple[tuple[Bearing, ...], tuple[str, ...]]:
    """Return where the payload bears, and the names in ``on`` that no piece has.

    With places given, each is the nearest point of the bars named. Without, the bars named bear it along their
    straights that lie level with the highest of them, both ends and in between, at most 120 mm apart.

    Args:
        bars: of the frame.
        payload: what is carried.
        up: unit vector against gravity.
    """
    unknown = tuple(name for name in payload.on if not any(name in (bar.name, bar.of) for bar in bars))
    mine = [n for n, bar in enumerate(bars) if not payload.on or bar.name in payload.on or bar.of in payload.on]
    if not mine:
        return (), unknown
    if payload.at:
        found = []
        for place in payload.at:
            _away, station, number = min(
                (apart, at, n) for n in mine for at, apart in [nearest_station(bars[n], place)]
            )
            found.append(Bearing(number, station, pose_at(bars[number], station).origin))
        return tuple(found), unknown
    return _along_level(bars, mine, up) if payload.on else (), unknown


def _along_level(bars: Sequence[Bar], mine: Sequence[int], up: Vec) -> tuple[Bearing, ...]:
    """Along the level straights of the bars, as high as the lowest level one of each and no lower than the rest."""
    spans = []
    for number in mine:
        for run in bars[number].line.runs:
            if run.bend == 0 and run.length > 2.0 * _LEVEL and abs(np.dot(run.start.tangent, up)) < 0.1:
                height = float(np.dot(run.pose(run.length / 2.0).origin, up))
                spans.append((height, number, run.station, run.length))
    if not spans:
        return ()
    # A shelf's deck lies below its upturned ends: the level on which most of the length lies is the one that bears.
    level = max(spans, key=lambda span: sum(o[3] for o in spans if abs(o[0] - span[0]) <= _LEVEL))[0]
    found = []
    for height, number, station, length in spans:
        if abs(height - level) > _LEVEL:
            continue
        count = max(2, math.ceil(length / _APART) + 1)
        for k in range(count):
            at = station + length * k / (count - 1)
            found.append(Bearing(number, at, pose_at(bars[number], at).origin))
    return tuple(found)


def ties(
    bars: Sequence[Bar], straps: Sequence[Strap], tabs: Sequence[Standing] = ()
) -> tuple[tuple[Tied, ...], tuple[Strap, ...]]:
    """Return every strap with the bar it is hooked to, and those that name no piece of the frame."""
    found, missing = [], []
    for strap in straps:
        near = [
            (apart, at, number)
            for number, bar in enumerate(bars)
            if strap.piece in (bar.name, bar.of)
            for at, apart in [nearest_station(bar, strap.at)]
        ]
        if not near:
            missing.append(strap)
            continue
        tab = held_in(bars, tabs, strap.piece, strap.at)
        if tab is not None:
            found.append(Tied(strap, tabs[tab].bar, tabs[tab].station, tabs[tab].tab.hole, tab))
            continue
        _, at, number = min(near)
        found.append(Tied(strap, number, at, pose_at(bars[number], at).origin))
    return tuple(found), tuple(missing)


def spread(places: Floats, centre: Floats) -> Floats:
    """Return the forces at the places that a force and a moment of the payload cause: (n, 3, 6).

    Row by row the force at a place, per unit of force along and moment about x, y, z at the payload's centre. The
    transpose is the motion of the payload (three moves of its centre, three turns) from the moves of the places. Where
    the places lie in a line, no moment about it can be held: that part is left out.

    Args:
        places: (n, 3) where it bears, mm.
        centre: (3,) of the payload, mm.
    """
    middle = places.mean(axis=0)
    arms = places - middle
    about = np.einsum("ni,ni->", arms, arms) * np.eye(3) - np.einsum("ni,nj->ij", arms, arms)
    turn = np.linalg.pinv(about, rcond=1e-10, hermitian=True)
    found = -_crossing(arms) @ turn @ np.hstack((_crossing(centre - middle), np.eye(3)))
    found[:, :, :3] += np.eye(3) / len(places)
    return found


def _crossing(v: Floats) -> Floats:
    """Return the matrices (..., 3, 3) that make of a vector b the product v x b."""
    found = np.zeros((*v.shape, 3))
    for i, j, k in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
        found[..., j, i], found[..., i, j] = v[..., k], -v[..., k]
    return found


def borne_share(borne: Borne, force: Floats) -> tuple[Floats, bool]:
    """Return what a force on the payload's centre (3,) puts on every bearing (n, 3), and whether a moment is left.

    A moment is left where the payload bears in a line or on a point: nothing there holds it from rolling over.
    """
    places, centre = np.array([at.place for at in borne.bearings]), np.array(borne.payload.centre)
    share = spread(places, centre)[:, :, :3] @ force
    left = (_crossing(places - centre) @ share[:, :, None]).sum(axis=(0, 2))
    # A centre on the one place that bears it, but for round-off, leaves nothing: less than a millimetre counts as one.
    size = float(np.linalg.norm(force)) * max(float(np.abs(places - centre).max()), 1.0)
    return share, bool(np.linalg.norm(left) > 1e-6 * size)
