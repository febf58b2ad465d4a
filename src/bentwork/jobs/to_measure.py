"""What is best measured next on a bar: the sizes that tell most of what matters, with what they should be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from bentwork.fitup.actual import Actual
from bentwork.fitup.chain import walk
from bentwork.fitup.lying import rock
from bentwork.fitup.made import ANGLE, DIRECTION, Bar, Floats
from bentwork.fitup.readings import Reading, all_expected
from bentwork.fitup.spots import NO_CORNER, corners_and_ends, points_of
from bentwork.jobs.as_made import AsMade
from bentwork.jobs.fitting import Fitting
from bentwork.jobs.kept import Kept
from bentwork.jobs.measured import Asked, MeasuredSize
from bentwork.jobs.sizes import beyond, readable, reading_of
from bentwork.piece.bend import half_turn

__all__ = ["all_sizes", "to_measure"]

_WORTH, _WORTH_AT_LAST = 0.05, 0.02
"""Of what is not known of all that matters: what tells less is not worth the walk, of the finished piece still less;
common practice, no source."""

_LEAST_FLAT = 20.0  # degrees: a bend of less tells no plane
_FLAT = 3.0  # mm
_SHORTEST = 60.0  # mm: nobody lays a tape across less
_MOST = 5


def to_measure(fitting: Fitting, made: AsMade, most: int = _MOST) -> tuple[Asked, ...]:
    """Return what to measure, what tells most first, each beside those before it; empty where all is known well.

    What is not known is the variance of all that matters, in tolerances. A reading takes of it what it tells by the
    slopes (Kalman's gain, any textbook of estimation).

    Args:
        fitting: the bar before it was bent.
        made: what it is believed to be.
        most: of them at most.
    """
    found = made.found
    if not made.made:
        return ()
    _, by, _ = fitting.matters.with_slopes(_lying(fitting, found)[:, :, np.newaxis])
    scales = fitting.matters.scales
    rows = by[..., 0].reshape(len(scales), -1) @ found.scatter.flat.T / scales[:, np.newaxis]
    spread = _of_what_is_made(fitting, found)
    whole = float(np.einsum("kr,rs,ks->", rows, spread, rows))
    begun = whole
    every = _all(fitting, made)
    _, each_by = all_expected([reading for _, reading in every], found.bar, found.values, found.made)
    seen = each_by.reshape(len(every), -1) @ found.scatter.flat.T
    # Rock does not tell which corner stands off, nor which way: a height tells the same and more.
    tried = [
        (asked, slopes, one.spread) for (asked, one), slopes in zip(every, seen, strict=True) if asked.kind != "rock"
    ]
    worth = _WORTH_AT_LAST if all(found.made) else _WORTH
    told: list[Asked] = []
    while tried and whole > 0.0 and len(told) < most:
        gains = [_gain(rows, spread, slopes, sd) for _, slopes, sd in tried]
        best = int(np.argmax(gains))
        asked, slopes, sd = tried.pop(best)
        if gains[best] < worth * whole or whole < _KNOWN_WELL * len(scales):
            break
        told.append(replace(asked, tells=gains[best] / begun))
        spread = spread - np.outer(spread @ slopes, slopes @ spread) / float(slopes @ spread @ slopes + sd**2)
        whole -= gains[best]
    return tuple(told)


_KNOWN_WELL = 0.004
"""Variance of each number that matters, in tolerances squared, below which nobody measures on."""


def all_sizes(fitting: Fitting, made: AsMade) -> tuple[Asked, ...]:
    """Return every size that can be measured on a bar as it stands."""
    return tuple(asked for asked, _ in _all(fitting, made) if asked.kind != "rotation")


def _gain(rows: Floats, spread: Floats, slopes: Floats, sd: float) -> float:
    pulled = rows @ spread @ slopes
    return float(pulled @ pulled) / float(slopes @ spread @ slopes + sd**2)


def _lying(fitting: Fitting, found: Actual) -> Floats:
    return np.where(np.array(found.made), found.values, fitting.bar.values)


def _of_what_is_made(fitting: Fitting, found: Actual) -> Floats:
    """Covariance of the errors without those of bends still to come, which nothing can tell."""
    spread = found.spread.copy()
    left = [3 * k + place for k, one in enumerate(found.made) if not one for place in range(3)]
    spread[left] = 0.0
    spread[:, left] = 0.0
    return spread


_every: Kept[list[tuple[Asked, Reading]]] = Kept(64)


def _all(fitting: Fitting, made: AsMade) -> list[tuple[Asked, Reading]]:
    """Everything that can be measured on the bar as it stands, with what it should be by the drawing."""
    done = tuple(sorted(made.made))
    return _every.of((fitting, done), lambda _: _all_with(fitting, done))


def _all_with(fitting: Fitting, done: tuple[int, ...]) -> list[tuple[Asked, Reading]]:
    bar = fitting.bar
    found: list[tuple[Asked, Reading]] = []
    drawn: list[tuple[MeasuredSize, Reading]] = []
    for before, bend in pairwise(done):
        ways = bar.values[DIRECTION]
        turn = half_turn(float(ways[bend - 1] - ways[before - 1]))
        found.append((Asked("rotation", bend, before, None, turn, 0.0), Reading("rotation", turn, bend)))
    for size in _sizes(fitting, done):
        if readable(size, bar.bends, done, closed=fitting.matters.closed):
            continue
        reading = reading_of(size, fitting, done)
        if reading is not None:
            drawn.append((size, reading))
    abouts, _ = all_expected(
        [reading for _, reading in drawn], bar, bar.values, tuple(k + 1 in done for k in range(bar.bends))
    )
    for (size, reading), value in zip(drawn, abouts, strict=True):
        if size.kind not in ("leg", "across", "height"):
            value = 0.0
        elif size.kind != "height":
            value += beyond(size, fitting)
        found.append((Asked(size.kind, size.start, size.end, size.way, float(value), 0.0), reading))
    return found


def _sizes(fitting: Fitting, done: Sequence[int]) -> Iterator[MeasuredSize]:
    bar = fitting.bar
    places = [k for k in done if bar.values[ANGLE, k - 1] < NO_CORNER]
    # The ends of a closed piece are cut when all is bent: until then only end A is where it will be.
    places = [0, *places] if fitting.matters.closed else [0, *places, bar.bends + 1]
    for first, start in enumerate(places):
        for end in places[first + 1 :]:
            if end == start + 1:
                yield MeasuredSize("leg", 1e4, start, end)
            elif float(bar.straights[start:end].sum()) > _SHORTEST:
                yield MeasuredSize("across", 1e4, start, end)
    if fitting.matters.closed:
        yield MeasuredSize("gap", 0.0)
        yield MeasuredSize("offset", 0.0, way="side")
        yield MeasuredSize("offset", 0.0, way="up")
    if len(done) > 2 and _drawn_flat(fitting, done):
        yield MeasuredSize("rock", 0.0)
    for flat in (place for place in places if 0 < place <= bar.bends):
        if bar.values[ANGLE, flat - 1] >= _LEAST_FLAT:
            for place in places:
                yield MeasuredSize("height", 0.0, flat, place)


def _drawn_flat(fitting: Fitting, done: Sequence[int]) -> bool:
    """Whether a bar with these bends lies flat as drawn: nobody measures the rock of another."""
    bar, have = fitting.bar, [bend - 1 for bend in done]
    part = Bar(bar.values[:, have], bar.length, tuple(bar.lined_up[k] for k in have))
    walks = walk(part.values[:, :, np.newaxis], part.shares)
    return float(rock(points_of(corners_and_ends(part), walks, part)[0])[0]) < _FLAT
