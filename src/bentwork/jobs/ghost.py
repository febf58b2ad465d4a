"""A bar as it is believed to be over the piece as it is drawn, laid on it where it fits best."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bentwork.fitup.chain import walk
from bentwork.fitup.made import Bar, Floats
from bentwork.fitup.spots import corners_and_ends, points_of
from bentwork.jobs.going_on import GoingOn
from bentwork.piece.centreline import Centreline
from bentwork.sheets.bar_view import bar_of
from bentwork.sheets.drawing import Drawing, Stroke
from bentwork.sheets.projection import CORNER

__all__ = ["Ghost", "ghost"]

_MARGIN = 2.0
_FULL, _THIN = 0.7, 0.35


@dataclass(frozen=True, slots=True)
class Ghost:
    """A bar over its drawing.

    Args:
        drawing: the bar in a full line, the piece as drawn dashed.
        worst: the corner or end that lies furthest off.
        off: by how much, mm.
        finished: whether every bend is made; else those that are left are as they are best made.
    """

    drawing: Drawing
    worst: str
    off: float
    finished: bool


def ghost(found: GoingOn, width: float, height: float) -> Ghost | None:
    """Return a bar over its drawing, in a field of this size, mm; None where nothing is known of it.

    Args:
        found: how the bar stands.
        width: of the field.
        height: of the field.
    """
    fitting, made, best = found.fitting, found.made, found.mend
    if fitting is None or made is None or best is None:
        return None
    nominal, done = fitting.bar, np.array(made.found.made)
    values = np.where(done, made.found.values, best.plan.values[..., 0])
    actual = nominal.with_values(values)
    try:
        lines = [Centreline(nominal.table()), Centreline(actual.table())]
    except ValueError:  # bends that overlap are no piece
        return None
    spec, section = fitting.plan.spec, fitting.plan.stock.section
    drawn, real = (bar_of(line, section, spec.way, 0.25).points for line in lines)
    wanted, there = (
        _spots(nominal, nominal, closed=fitting.matters.closed),
        _spots(nominal, actual, closed=fitting.matters.closed),
    )
    turn, middle, onto = _laid(there, wanted)
    off = np.linalg.norm((there - middle) @ turn + onto - wanted, axis=1)
    worst = int(np.argmax(off))
    spots = corners_and_ends(nominal, closed=fitting.matters.closed)
    drawing = _drawing(drawn, (real - middle) @ turn + onto, width, height)
    return Ghost(drawing, spots[worst].name, float(off[worst]), bool(done.all()))


def _spots(nominal: Bar, bar: Bar, *, closed: bool) -> Floats:
    spots = corners_and_ends(nominal, closed=closed)
    return points_of(spots, walk(bar.values[:, :, np.newaxis], nominal.shares), nominal)[0][..., 0]


def _laid(points: Floats, wanted: Floats) -> tuple[Floats, Floats, Floats]:
    """Turn, and the two middles, that lay points where they fit best (Kabsch)."""
    middle, onto = points.mean(axis=0), wanted.mean(axis=0)
    u, _, vt = np.linalg.svd((points - middle).T @ (wanted - onto))
    u[:, -1] *= np.sign(np.linalg.det(u @ vt))
    return np.asarray(u @ vt), middle, onto


def _drawing(drawn: Floats, real: Floats, width: float, height: float) -> Drawing:
    flats = [CORNER.flat(points)[:, :2] for points in (drawn, real)]
    both = np.concatenate(flats)
    low, high = both.min(axis=0), both.max(axis=0)
    spans = np.maximum(high - low, 1.0)
    scale = float(min((width - 2.0 * _MARGIN) / spans[0], (height - 2.0 * _MARGIN) / spans[1]))
    shift = np.array([width, height]) / 2.0 - (low + high) / 2.0 * scale

    def line(flat: Floats) -> tuple[tuple[float, float], ...]:
        return tuple((float(x), float(y)) for x, y in flat * scale + shift)

    return Drawing(
        width, height, (Stroke(line(flats[1]), _FULL), Stroke(line(flats[0]), _THIN, ink="grey", dash="dash"))
    )
