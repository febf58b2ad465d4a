"""Faces that are splines: points and normals on all of a solid's at once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bentwork.takeoff.edge_samples import SAMPLES, stations
from bentwork.takeoff.shape import Floats, Patch, crossed
from bentwork.takeoff.splines import basis, unweighted

__all__ = ["SplineSurface", "Stations", "moves_on", "normals_of", "patch_of", "patches_of", "stations_of"]

ACROSS = 9
"""Samples round a pipe, where it is sampled densely along its middle."""
Bounds = tuple[float, float, float, float]
"""Between which parameters a face lies: u from and to, v from and to."""
Look = Callable[[Sequence[float], Sequence[float]], tuple[Floats, Floats]]
"""Gives points and unit normals on a face by parameters u and v, (n, m, 3) each."""


@dataclass(frozen=True, slots=True, eq=False)
class SplineSurface:
    """A spline over two parameters whose sides are poles of its own.

    Args:
        degrees: in u and v.
        knots: in u and v, rising.
        flat: the same, each as often as it counts, those at the ends once more than the degree.
        poles: (n, m, 3), or (n, m, 4) with their weights; what closes may leave out its last row or column.
    """

    degrees: tuple[int, int]
    knots: tuple[list[float], list[float]]
    flat: tuple[list[float], list[float]]
    poles: Floats


class Stations(NamedTuple):
    """Parameters at which a face is sampled, and which of them are knots."""

    us: list[float]
    vs: list[float]
    u_places: tuple[int, ...]
    v_places: tuple[int, ...]


def stations_of(bounds: Bounds, knots: tuple[list[float], list[float]], degrees: tuple[int, int]) -> Stations:
    """Return where a face is sampled, every knot line among it; along straight lines fewer will do."""
    u0, u1, v0, v1 = bounds
    u_samples, v_samples = (SAMPLES if degree > 1 else 2 for degree in degrees)
    us, u_places = stations(u0, u1, knots[0], u_samples)
    vs, v_places = stations(v0, v1, knots[1], v_samples)
    return Stations(us, vs, tuple(u_places), tuple(v_places))


def patch_of(
    at: Stations, seen: tuple[Floats, Floats], bounds: Bounds, knots: tuple[list[float], list[float]], look: Look
) -> Patch:
    """Return a face by its samples.

    Args:
        at: where these are.
        seen: points and normals there, (n, m, 3) each.
        bounds: of the face.
        knots: in u and v.
        look: gives more of them.
    """
    u0, u1, v0, v1 = bounds

    def finer(along_u: bool, samples: int) -> tuple[Floats, Floats]:
        if along_u:
            points, normals = look(stations(u0, u1, knots[0], samples)[0], _across(v0, v1))
            return points.transpose(1, 0, 2), normals.transpose(1, 0, 2)
        return look(_across(u0, u1), stations(v0, v1, knots[1], samples)[0])

    return Patch(*seen, at.u_places, at.v_places, finer)


def _across(first: float, last: float) -> list[float]:
    return [first + (last - first) * i / (ACROSS - 1.0) for i in range(ACROSS)]


def patches_of(surfaces: Sequence[SplineSurface], bounds: Floats, flipped: NDArray[np.bool_]) -> list[Patch]:
    """Return faces by their samples.

    Args:
        surfaces: of the faces.
        bounds: of each, u and v from and to, (n, 4).
        flipped: those that are turned over, (n,).
    """
    ends: list[Bounds] = list(map(tuple, bounds.tolist()))
    places = [stations_of(own, one.knots, one.degrees) for one, own in zip(surfaces, ends, strict=True)]
    alike = defaultdict[tuple[object, ...], list[int]](list)
    for k, (one, at) in enumerate(zip(surfaces, places, strict=True)):
        alike[one.degrees, one.poles.shape, *map(len, one.flat), len(at.us), len(at.vs)].append(k)
    seen: dict[int, tuple[Floats, Floats]] = {}
    for those in alike.values():
        us, vs = (np.array([places[k][i] for k in those]) for i in (0, 1))
        points, normals = _seen([surfaces[k] for k in those], us, vs, flipped[those])
        seen |= zip(those, zip(points, normals, strict=True), strict=True)

    def look(k: int) -> Look:
        def more(us: Sequence[float], vs: Sequence[float]) -> tuple[Floats, Floats]:
            points, normals = _seen([surfaces[k]], np.array([us]), np.array([vs]), flipped[[k]])
            return points[0], normals[0]

        return more

    return [patch_of(at, seen[k], ends[k], surfaces[k].knots, look(k)) for k, at in enumerate(places)]


def _seen(
    surfaces: Sequence[SplineSurface], us: Floats, vs: Floats, flipped: NDArray[np.bool_]
) -> tuple[Floats, Floats]:
    """Return points and normals on surfaces as ``moves_on`` has them; ``flipped`` are those that are turned over."""
    points, du, dv = moves_on(surfaces, us, vs)
    return np.ascontiguousarray(points), normals_of(du, dv, flipped)


def moves_on(surfaces: Sequence[SplineSurface], us: Floats, vs: Floats) -> tuple[Floats, Floats, Floats]:
    """Return points, and how they move by u and by v, on surfaces alike in degrees and in their counts.

    Args:
        surfaces: k of them, with as many poles and knots each.
        us: parameters on each, (k, n).
        vs: likewise, (k, m).

    Returns:
        (k, n, m, 3) each.
    """
    first = surfaces[0]
    poles = np.array([one.poles for one in surfaces])
    many, _, columns, wide = poles.shape
    if wide > 3:
        poles[..., :3] *= poles[..., 3:]
    each = np.arange(many)[:, None, None]
    pole, shares = _shares(first.degrees[1], np.array([one.flat[1] for one in surfaces]), vs)
    # Along v first, points and derivatives side by side; then along u the same.
    own = poles.transpose(0, 2, 1, 3)[each, pole % columns]
    along = np.matmul(shares, own.reshape(*own.shape[:3], -1)).reshape(many, vs.shape[1], 2, -1, wide)
    rows = along.transpose(0, 3, 1, 2, 4)
    pole, shares = _shares(first.degrees[0], np.array([one.flat[0] for one in surfaces]), us)
    own = rows[each, pole % rows.shape[1]]
    found = np.matmul(shares, own.reshape(*own.shape[:3], -1)).reshape(many, us.shape[1], 2, vs.shape[1], 2, wide)
    points, du, dv = found[:, :, 0, :, 0], found[:, :, 1, :, 0], found[:, :, 0, :, 1]
    if wide > 3:
        (points, du), (_, dv) = unweighted(points, du), unweighted(points, dv)
    return points, du, dv


def _shares(degree: int, flat: Floats, values: Floats) -> tuple[NDArray[np.intp], Floats]:
    """Return the poles that have a share in points, (k, n, degree + 1), and these shares, (k, n, 2, degree + 1).

    The second of two shares is that in the derivative.

    Args:
        degree: of all splines.
        flat: the knots of each, as often as they count, (k, l).
        values: parameters on each, (k, n).
    """
    many, size = flat.shape
    inner = flat[:, None, degree + 1 : size - degree - 1]
    before = degree + (values[:, :, None] >= inner).sum(axis=2)
    steps = np.arange(degree + 1)
    at, all_flat = values.ravel(), flat.ravel()
    place = (before + size * np.arange(many)[:, None]).ravel()
    left = at - all_flat.take(place - steps[:-1, None])
    right = all_flat.take(place + 1 + steps[:-1, None]) - at
    shares = np.array(basis(np.full(len(at), degree), left, right))
    return (before - degree)[:, :, None] + steps, shares.reshape(2, degree + 1, *values.shape).transpose(2, 3, 0, 1)


def normals_of(du: Floats, dv: Floats, flipped: NDArray[np.bool_]) -> Floats:
    """Return unit normals of faces by how their points move, (k, n, m, 3) all of them.

    Args:
        du: by u.
        dv: by v.
        flipped: those that are turned over, (k,).
    """
    normals = crossed(du, dv)
    sizes = np.sqrt(np.einsum("ijkl,ijkl->ijk", normals, normals))
    normals /= np.maximum(sizes, 1e-30)[..., None]
    none = (sizes < 1e-9 * sizes.max(axis=(1, 2), keepdims=True)).all(axis=1)
    for one, k in np.argwhere(none).tolist():
        # Where a pipe touches the axis that it goes round it has no normal, but halfway between those beside it.
        own, last = normals[one], normals.shape[2] - 1
        own[:, k] = own[:, k - 1 if k else -2] + own[:, k + 1 if k < last else 1]
        own[:, k] /= np.maximum(np.sqrt((own[:, k] ** 2).sum(axis=1, keepdims=True)), 1e-30)
    return np.where(flipped[:, None, None, None], -normals, normals)
