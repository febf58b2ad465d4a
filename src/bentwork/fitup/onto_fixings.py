"""Will a piece go onto its fixings without forcing: one that is known, and one of which only the scatter is.

It is in balance under the forces at its fixings, which push and pull and turn nothing; a shift and turn of the whole
costs nothing. What every fixing must be moved by, times one matrix, is what it must be pulled with.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bentwork.fitup.chain import Walk, walk
from bentwork.fitup.elastic import Elastic, Stiffness, crossing, elastic_of, flex_of, stressed
from bentwork.fitup.made import Bar, Floats
from bentwork.fitup.scatter import Scatter
from bentwork.fitup.spots import Spot, points_of
from bentwork.fitup.springing import Slack, Sprung

__all__ = ["BY_HAND", "Onto", "Slot", "expected_onto", "spring_onto"]

BY_HAND = 100.0
"""What one hand holds a bar in place with while the other sets the bolt, N; ours, no source."""

_WORST = 0.95  # 19 pieces of 20
_AXES = ("x", "y", "z")


@dataclass(frozen=True, slots=True)
class Slot:
    """What leaving one fixing free in one direction leaves, of 19 pieces of 20.

    Args:
        fixing: its name.
        along: ``x``, ``y`` or ``z``.
        force: largest at any one fixing, N.
        yield_share: largest stress over the proof stress.
    """

    fixing: str
    along: str
    force: float
    yield_share: float


@dataclass(frozen=True, slots=True)
class Onto:
    """What it is expected to take to spring a piece onto its fixings, by what its bends scatter by, unmended.

    Args:
        fixings: their names.
        miss: by how much the worst fixing of 19 pieces of 20 is off, laid on where it fits best, mm.
        force_rms: root mean square of the force at the fixing that takes most, N; by the slopes.
        force: largest at any one fixing, of 19 pieces of 20, N.
        yield_share: largest stress over the proof stress, of 19 pieces of 20; from 1 on a piece stays bent.
        strain: the same stress over the modulus, a fraction.
        by_hand: share of pieces that go on with ``BY_HAND`` and come off again as they were.
        slots: each fixing left free in each direction, that which buys most first.
    """

    fixings: tuple[str, ...]
    miss: float
    force_rms: float
    force: float
    yield_share: float
    strain: float
    by_hand: float
    slots: tuple[Slot, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Hung:
    """A bar on its fixings: moments under unit pulls at them, how it gives, a shift and turn of the whole."""

    elastic: Elastic
    loads: Floats
    flex: Floats
    rigid: Floats

    def pulls(self, free: int | None = None) -> Floats:
        """Return the matrix from moves wanted to pulls needed, one of them left free, shape (3 s, 3 s)."""
        size = len(self.flex)
        held = [k for k in range(size) if k != free]
        count = len(held)
        system = np.zeros((count + 6, count + 6))
        scale = float(np.trace(self.flex)) / max(1, size) or 1.0
        system[:count, :count] = self.flex[np.ix_(held, held)] / scale
        system[:count, count:], system[count:, :count] = self.rigid[held], self.rigid[held].T
        wanted = np.eye(count + 6, count)
        found = np.zeros((size, size))
        found[np.ix_(held, held)] = np.linalg.lstsq(system, wanted, rcond=1e-12)[0][:count] / scale
        return found


def _hung(bar: Bar, walks: Walk, fixings: Sequence[Spot], points: Floats, stiff: Stiffness, axes: Floats) -> _Hung:
    """A bar on its fixings, which lie at these points, shape (s, 3), and pull along these axes, shape (3, 3)."""
    elastic = elastic_of(bar, walks)
    beyond = np.array([(elastic.stations < (spot.at or 0.0)) for spot in fixings]).T
    arms = [crossing(point - elastic.points) * beyond[:, k, None, None] @ axes.T for k, point in enumerate(points)]
    loads = np.asarray(elastic.frames @ np.concatenate(arms, axis=2))
    middle = points - points.mean(axis=0)
    rigid = [axes @ np.hstack((np.eye(3), -crossing(arm[np.newaxis])[0])) for arm in middle]
    return _Hung(elastic, loads, flex_of(loads, elastic, stiff), np.concatenate(rigid))


def _wanted(points: Floats, drawn: Floats, axes: Floats) -> Floats:
    """What fixings must be moved by once bars lie where they fit best, shapes (s, 3, m) and (s, 3); (3 s, m)."""
    middle, goal = points - points.mean(axis=0), drawn - drawn.mean(axis=0)
    # Kabsch: the turn that lays drawn points on those of a bar.
    u, _, vt = np.linalg.svd(np.einsum("si,sjm->mij", goal, middle))
    u[:, :, -1] *= np.sign(np.linalg.det(u @ vt))[:, np.newaxis]
    off = np.einsum("si,mij->sjm", goal, u @ vt) - middle
    return np.asarray(np.einsum("kj,sjm->skm", axes, off).reshape(-1, points.shape[2]))


def _checked(fixings: Sequence[Spot]) -> None:
    if len(fixings) < 2:
        raise ValueError("a piece is sprung onto two fixings at least")
    for spot in fixings:
        if spot.at is None:
            raise ValueError(f"{spot.name} is a corner point; a fixing is a place of the bar")


def spring_onto(nominal: Bar, values: Floats, fixings: Sequence[Spot], stiff: Stiffness) -> Sprung:
    """Return what it takes to bring the fixings of a piece to where they are drawn, laid on where it fits best.

    Args:
        nominal: the piece as drawn.
        values: the bar as it is, shape (5, n).
        fixings: places of the bar, two or more; they push and pull, and turn nothing.
        stiff: how the bar answers.

    Raises:
        ValueError: fewer than two fixings, or one is a corner point.
    """
    _checked(fixings)
    walks = walk(values[:, :, np.newaxis], nominal.shares)
    drawn = points_of(fixings, walk(nominal.values[:, :, np.newaxis], nominal.shares), nominal)[0][..., 0]
    points = points_of(fixings, walks, nominal)[0]
    hung = _hung(nominal.with_values(values), walks, fixings, points[..., 0], stiff, np.eye(3))
    wanted = _wanted(points, drawn, np.eye(3))[:, 0]
    needed = hung.pulls() @ wanted
    shares = stressed(hung.loads, needed, stiff)
    share = float(shares.max())
    slacks = [
        Slack(
            f"{fixings[k // 3].name} along {_AXES[k % 3]}",
            float(stressed(hung.loads, hung.pulls(k) @ wanted, stiff).max()),
        )
        for k in range(3 * len(fixings))
    ]
    return Sprung(
        force=float(np.max(np.linalg.norm(needed.reshape(-1, 3), axis=1))),
        moment=0.0,
        yield_share=share,
        strain=share * stiff.yields_at / stiff.modulus,
        at=float(hung.elastic.stations[np.argmax(shares)]),
        energy=float(0.5 * needed @ hung.flex @ needed) / 1000.0,
        slacks=tuple(sorted(slacks, key=lambda one: one.strain)),
    )


def expected_onto(
    nominal: Bar,
    scatter: Scatter,
    fixings: Sequence[Spot],
    stiff: Stiffness,
    rng: np.random.Generator,
    *,
    values: Floats | None = None,
    axes: Floats | None = None,
    samples: int = 2000,
) -> Onto:
    """Return what it is expected to take to spring a piece onto its fixings.

    The bar gives as the drawn one does; where its fixings come to is walked along exactly.

    Args:
        nominal: the piece as drawn.
        scatter: of its unknowns.
        fixings: places of the bar, two or more; they push and pull, and turn nothing.
        stiff: how the bar answers.
        rng: source of chance.
        values: the bar as it is expected to come, shape (5, n); None: as drawn.
        axes: directions x, y and z in the frame at end A, a row each; None for that frame's own.
        samples: how many pieces are drawn.

    Raises:
        ValueError: fewer than two fixings, or one is a corner point.
    """
    _checked(fixings)
    ways = np.eye(3) if axes is None else axes
    middle = nominal.values if values is None else values
    walks = walk(nominal.values[:, :, np.newaxis], nominal.shares)
    drawn, moves = points_of(fixings, walks, nominal, slopes=True)
    assert moves is not None
    hung = _hung(nominal, walks, fixings, drawn[..., 0], stiff, ways)
    errors = scatter.drawn(rng, samples) + (middle - nominal.values)[:, :, np.newaxis]
    points = points_of(fixings, walk(nominal.values[:, :, np.newaxis] + errors, nominal.shares), nominal)[0]
    wanted = _wanted(points, drawn[..., 0], ways)

    def taken(free: int | None) -> tuple[Floats, Floats]:
        pulls = hung.pulls(free) @ wanted
        forces = np.linalg.norm(pulls.reshape(-1, 3, samples), axis=1).max(axis=0)
        return forces, stressed(hung.loads, pulls, stiff).max(axis=0)

    forces, shares = taken(None)
    slots = []
    for k in range(3 * len(fixings)):
        force, share = (float(np.quantile(one, _WORST)) for one in taken(k))
        slots.append(Slot(fixings[k // 3].name, _AXES[k % 3], force, share))
    share = float(np.quantile(shares, _WORST))
    slopes = np.einsum("kj,sjx->skx", ways, moves[..., 0].reshape(len(fixings), 3, -1)).reshape(3 * len(fixings), -1)
    by = hung.pulls() @ slopes
    off = by @ (middle - nominal.values + scatter.bias).ravel()
    squares = np.sum((by @ scatter.flat.T) ** 2, axis=1) + off**2
    return Onto(
        fixings=tuple(spot.name for spot in fixings),
        miss=float(np.quantile(np.linalg.norm(wanted.reshape(-1, 3, samples), axis=1).max(axis=0), _WORST)),
        force_rms=float(np.sqrt(squares.reshape(-1, 3).sum(axis=1).max())),
        force=float(np.quantile(forces, _WORST)),
        yield_share=share,
        strain=share * stiff.yields_at / stiff.modulus,
        by_hand=float(np.mean((forces <= BY_HAND) & (shares < 1.0))),
        slots=tuple(sorted(slots, key=lambda one: (round(one.force, 3), round(one.yield_share, 4)))),
    )
