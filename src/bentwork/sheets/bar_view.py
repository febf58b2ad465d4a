"""A bent bar as seen: its two edges, the nearer part over the farther where it crosses itself.

Seen along parallel rays, the edges of a round bar lie half a diameter from its projected centreline. So a bar is drawn
as a wide black line with a narrower white one in it; where two parts cross, the nearer is drawn once more on top.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bentwork.piece.carried import Stretch, carried
from bentwork.piece.centreline import Centreline, chords_for
from bentwork.sheets.drawing import THIN, Item, Stroke
from bentwork.sheets.projection import View
from bentwork.sheets.round_ends import discs
from bentwork.stock.section import Section, Way

__all__ = ["Bar", "bar_of", "draw_bars"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar to be drawn.

    Args:
        points: centreline (n, 3), mm.
        tangents: direction of the bar at the points (n, 3).
        width: of a round bar, mm; of another its height.
        closed: the last point is the first again.
        across: for a section with corners, half its width as it lies there (n, 3), mm; None for round ones.
    """

    points: Array
    tangents: Array
    width: float
    closed: bool
    across: Array | None = None

    @property
    def edges(self) -> tuple[Array, ...]:
        """The four edges (n, 3) of a bar with corners, in order round it, mm; none for a round one."""
        if self.across is None:
            return ()
        deep = np.cross(self.across, self.tangents)
        deep *= self.width / 2 / np.linalg.norm(deep, axis=1)[:, None]
        return tuple(self.points + i * deep + j * self.across for i, j in ((1, 1), (1, -1), (-1, -1), (-1, 1)))

    def extent(self, axis: int) -> tuple[float, float]:
        """Return the least and greatest coordinate of the skin along an axis, mm.

        The skin of a round bar reaches out from the centreline by half the diameter times the sine of the angle
        between the bar and the axis.
        """
        if self.across is not None:
            along = np.concatenate([edge[:, axis] for edge in self.edges])
            return float(along.min()), float(along.max())
        reach = self.width / 2 * np.sqrt(np.clip(1.0 - self.tangents[:, axis] ** 2, 0.0, 1.0))
        return float((self.points[:, axis] - reach).min()), float((self.points[:, axis] + reach).max())

    def shifted(self, by: tuple[float, float, float]) -> Bar:
        """Return the same bar standing elsewhere."""
        return replace(self, points=self.points + np.array(by))


def bar_of(line: Centreline, section: Section, way: Way, chord_error: float = 0.1) -> Bar:
    """Return a piece as a bar to draw."""
    places: list[Stretch] = []
    for stretch in carried(line, way):
        run = stretch.run
        steps = 1 if run.bend == 0 else chords_for(run.radius, run.length / run.radius, chord_error)
        places += [stretch.at(run.length * i / steps) for i in range(0 if not places else 1, steps + 1)]
    points = np.array([place.run.start.origin for place in places])
    tangents = np.array([place.run.start.tangent for place in places])
    closed = line.table.closed
    if section.kind in ("round", "tube"):
        return Bar(points, tangents, section.depth(way), closed)
    # The section keeps its place on the bar: between two bends it does not turn, however their planes lie.
    across = np.array([place.wide for place in places]) * section.depth("hard") / 2
    return Bar(points, tangents, section.depth("easy"), closed, across)


def draw_bars(bars: Sequence[Bar], view: View, scale: float, weight: float = THIN) -> list[Item]:
    """Return the strokes of bars seen together, at this scale, with the view's origin at (0, 0)."""
    rounds = [bar for bar in bars if bar.across is None]
    seen = [view.flat(bar.points) * scale for bar in rounds]
    widths = [max(bar.width * scale, 3.2 * weight) for bar in rounds]
    ways = [view.flat(bar.tangents) for bar in rounds]
    aslant = discs(seen, ways, widths, [bar.closed for bar in rounds])
    items: list[Item] = []
    for points, width, bar in zip(seen, widths, rounds, strict=True):
        items.append(_wide(points, width, "black", closed=bar.closed))
    away = [disc for disc in aslant if not disc.faces]
    items += [disc.stroke("black") for disc in away]
    items += [disc.stroke("white", weight) for disc in away]
    for k, (points, width, bar) in enumerate(zip(seen, widths, rounds, strict=True)):
        square_on = [end for end in (0, -1) if not bar.closed and (k, end) not in {(d.bar, d.end) for d in aslant}]
        inner = _shortened(points, weight, square_on)
        items.append(_wide(inner, width - 2 * weight, "white", closed=bar.closed))
    for disc in aslant:
        if disc.faces:
            items += [disc.stroke("black"), disc.stroke("white", weight)]
    items += _crossings(seen, widths, weight)
    for bar in bars:
        if bar.across is not None:
            items += _ribbon(bar, view, scale, weight)
    return items


def _wide(points: Array, width: float, ink: str, *, closed: bool) -> Stroke:
    path = tuple((float(x), float(y)) for x, y, _ in (points[:-1] if closed else points))
    return Stroke(path, width, "white" if ink == "white" else "black", closed=closed, cap="butt")


def _shortened(points: Array, by: float, ends: Iterable[int]) -> Array:
    """Draw ends (0, -1) back by a line's weight, so that the white leaves the end face standing."""
    cut = points.copy()
    for end in ends:
        inside = -2 if end else 1
        step = cut[inside, :2] - cut[end, :2]
        length = float(np.linalg.norm(step))
        if length > 2 * by:
            cut[end, :2] += step * (by / length)
    return cut


def _crossings(seen: Sequence[Array], widths: Sequence[float], weight: float) -> list[Item]:
    """Draw the nearer bar again wherever one passes in front of another, or of itself."""
    starts = np.concatenate([p[:-1] for p in seen]) if seen else np.empty((0, 3))
    ends = np.concatenate([p[1:] for p in seen]) if seen else np.empty((0, 3))
    owner = np.concatenate([np.full(len(p) - 1, i) for i, p in enumerate(seen)]) if seen else np.empty(0)
    found: list[tuple[float, Item, Item]] = []
    d = (ends - starts)[:, :2]
    for i in range(len(starts)):
        # Where segment i meets each later one: i + t d_i = j + u d_j (two equations in the plane of the paper).
        e = starts[i + 1 :, :2] - starts[i, :2]
        det = d[i, 0] * -d[i + 1 :, 1] + d[i, 1] * d[i + 1 :, 0]
        with np.errstate(divide="ignore", invalid="ignore"):
            t = (e[:, 0] * -d[i + 1 :, 1] + e[:, 1] * d[i + 1 :, 0]) / det
            u = (d[i, 0] * e[:, 1] - d[i, 1] * e[:, 0]) / det
        for k in np.flatnonzero((t > 1e-6) & (t < 1 - 1e-6) & (u > 1e-6) & (u < 1 - 1e-6)):
            j = i + 1 + int(k)
            high_i = starts[i, 2] + t[k] * (ends[i, 2] - starts[i, 2])
            high_j = starts[j, 2] + u[k] * (ends[j, 2] - starts[j, 2])
            near, far, at = (i, j, t[k]) if high_i > high_j else (j, i, u[k])
            if abs(high_i - high_j) < 0.25 * min(widths[int(owner[i])], widths[int(owner[j])]):
                continue  # they touch: a joint, not a crossing
            width = widths[int(owner[near])]
            reach = 0.5 * widths[int(owner[far])] / max(_sine(d[near], d[far]), 0.2) + weight
            run = _stretch(starts[near], ends[near], float(at), reach)
            found.append(
                (
                    max(high_i, high_j),
                    Stroke(run, width, cap="butt"),
                    Stroke(_longer(run, weight), width - 2 * weight, "white", cap="butt"),
                )
            )
    found.sort(key=lambda entry: entry[0])
    return [item for _, black, white in found for item in (black, white)]


def _sine(a: Array, b: Array) -> float:
    return abs(float(a[0] * b[1] - a[1] * b[0])) / (float(np.linalg.norm(a) * np.linalg.norm(b)) or 1.0)


def _stretch(a: Array, b: Array, at: float, reach: float) -> tuple[tuple[float, float], ...]:
    length = float(np.linalg.norm(b[:2] - a[:2])) or 1.0
    low, high = max(0.0, at - reach / length), min(1.0, at + reach / length)
    ends = [a[:2] + (b[:2] - a[:2]) * t for t in (low, high)]
    return tuple((float(p[0]), float(p[1])) for p in ends)


def _longer(run: tuple[tuple[float, float], ...], by: float) -> tuple[tuple[float, float], ...]:
    (x0, y0), (x1, y1) = run
    length = float(np.hypot(x1 - x0, y1 - y0)) or 1.0
    dx, dy = (x1 - x0) / length * by, (y1 - y0) / length * by
    return ((x0 - dx, y0 - dy), (x1 + dx, y1 + dy))


def _ribbon(bar: Bar, view: View, scale: float, weight: float) -> Iterable[Item]:
    """A bar with corners: its outline, then its four long faces, far ones first, edged along the bar only."""
    corners = [view.flat(edge) * scale for edge in bar.edges]
    faces: list[tuple[float, Item, tuple[Item, ...]]] = []
    for one, two in pairwise([*corners, corners[0]]):
        for k in range(len(one) - 1):
            faces.append(_face((one[k], one[k + 1], two[k + 1], two[k]), weight, ends=False))
    if not bar.closed:
        for k in (0, -1):
            faces.append(_face([corner[k] for corner in corners], weight, ends=True))
    faces.sort(key=lambda face: face[0])
    return [*(outline for _, outline, _ in faces), *(item for _, _, items in faces for item in items)]


def _face(corners: Sequence[Array], weight: float, *, ends: bool) -> tuple[float, Item, tuple[Item, ...]]:
    """How near a face is, its black outline, and its white face with the edges that show."""
    path = tuple((float(c[0]), float(c[1])) for c in corners)
    near = float(np.mean([c[2] for c in corners]))
    outline = Stroke(path, 2 * weight, closed=True)
    if ends:
        return near, outline, (Stroke(path, weight, fill="white", closed=True),)
    white = Stroke(path, 0.0, "none", "white", closed=True)
    return near, outline, (white, Stroke(path[:2], weight), Stroke(path[2:], weight))
