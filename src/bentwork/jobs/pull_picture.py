"""The picture of a fit: how far to pull over the angle that is left, by the handbook and since the test bends."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bentwork.bending.known import Known, made_in
from bentwork.bending.learnt import Fit, Pull
from bentwork.bending.test_bend import TestBend
from bentwork.jobs.pairs import Pair
from bentwork.planning.sureness import advice_for

__all__ = ["Entry", "Narrowed", "PullPicture", "pull_picture"]

_LEAST, _EVERY, _USUAL_MOST = 5.0, 5.0, 120.0
_USUAL_ANGLE = 90.0
_MOST_NARROWED = 12


@dataclass(frozen=True, slots=True)
class Entry:
    """A test bend as a point of the picture.

    Args:
        bend: what was read.
        counts: whether its angles count; False where it is left out.
    """

    bend: TestBend
    counts: bool


@dataclass(frozen=True, slots=True)
class Narrowed:
    """What was known after some number of test bends.

    Args:
        entered: how many there were.
        half_width: of the interval of the pull then, degrees.
    """

    entered: int
    half_width: float


@dataclass(frozen=True, slots=True)
class PullPicture:
    """How far to pull over the angle left. Angles in degrees; intervals are those of ``forming.scatter.CERTAINTY``.

    Args:
        now: what is known now, at every sampled angle.
        handbook: what the handbook alone says, at the same angles.
        entries: the maker's test bends of this bar on this bender.
        ratio: the job's own pull over angle left; None where it says none.
        at: angle that ``narrowed`` is told for: the job's that is known least, or a right angle.
        narrowed: after none of the test bends, after the first, and so on; the last dozen.
    """

    now: tuple[Pull, ...]
    handbook: tuple[Pull, ...]
    entries: tuple[Entry, ...]
    ratio: float | None
    at: float
    narrowed: tuple[Narrowed, ...]


def pull_picture(pair: Pair, bends: Sequence[TestBend]) -> PullPicture | None:
    """Return the picture; None where nothing of a bend is left."""
    what, book = pair.known(bends), pair.known()
    if not isinstance(what.fit, Fit) or not isinstance(book.fit, Fit):
        return None
    made = made_in(pair.set_up, bends)
    angles = _angles(pair, made)
    counting = {id(bend) for bend in what.fit.used}
    at = _least_known(what, pair)
    first = max(0, len(made) - _MOST_NARROWED)
    return PullPicture(
        now=tuple(map(what.fit.pull, angles)),
        handbook=tuple(map(book.fit.pull, angles)),
        entries=tuple(Entry(bend, id(bend) in counting) for bend in made),
        ratio=what.set_up.bender.springback,
        at=at,
        narrowed=tuple(_narrowed(pair, made[:count], at) for count in range(first, len(made) + 1)),
    )


def _angles(pair: Pair, made: Sequence[TestBend]) -> list[float]:
    """Return what is sampled: evenly, to beyond the largest angle that the job wants or a test bend left."""
    largest = max(_USUAL_MOST, *(bend.angle for bend in pair.bends), *(bend.left_deg for bend in made))
    steps = min(math.ceil(largest / _EVERY), math.floor(359.0 / _EVERY))
    return [_LEAST + _EVERY * step for step in range(steps)]


def _least_known(what: Known, pair: Pair) -> float:
    advice = advice_for(what, pair.bends)
    return _USUAL_ANGLE if advice is None else advice.worst


def _narrowed(pair: Pair, made: Sequence[TestBend], at: float) -> Narrowed:
    pull = pair.known(made).pull(at)
    assert pull is not None  # the same bar on the same die
    return Narrowed(len(made), (pull.high - pull.low) / 2.0)
