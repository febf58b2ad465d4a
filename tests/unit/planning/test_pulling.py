"""Bar and tool at one moment of a pull: against the kernels that clearance is proven with, and the plain twin."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bentwork.clearance.bodies import bodies_of
from bentwork.clearance.kinds import cases_for
from bentwork.clearance.motion import placed
from bentwork.clearance.step import BAR, Stand
from bentwork.planning.near_in_step import NearInStep
from bentwork.planning.pulling import Moment, Pulling
from tests.twins.clearance_twin import bar
from tests.twins.tight_problems import OVERBEND, a_problem

SEEDS = range(40)
_TOLD_TOO_NEAR = 0.03
"""A smallest gap is told up to 0.02 mm too small, see ``clearance.sweep``; the rest is from narrowing down."""


def a_pulling(seed: int) -> tuple[Pulling, object]:
    rng = np.random.default_rng(seed)
    problem = a_problem(rng)
    bend = int(rng.integers(0, problem.piece.bends))
    made = frozenset(k for k in range(problem.piece.bends) if k != bend and rng.random() < 0.6)
    return Pulling(problem.piece, problem.bender, bend, "AB"[int(rng.integers(0, 2))], made), problem  # type: ignore[arg-type]


def moments(pulling: Pulling) -> list[Moment]:
    up = [Moment("bending", share * pulling.pull) for share in (0.0, 0.21, 0.6, 1.0)]
    return [
        *up,
        Moment("opening", pulling.pull),
        Moment("opening", pulling.wanted),
        Moment("lifted off", pulling.wanted),
    ]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_sides_hang_where_the_clearance_kernels_have_them(seed: int) -> None:
    pulling, _ = a_pulling(seed)
    for moment in moments(pulling):
        cases = cases_for(pulling.bender.kind, "free")
        case = (cases.opening if moment.pulled else cases.bending)[pulling.room]
        c, s, x, y, _, _ = placed(int(case), math.radians(moment.angle), pulling.settings)
        over = pulling.over("free")
        end = pulling.at(moment, pulling.stations(0.1))[-1]
        assert end[:2] == pytest.approx((x + over * c, y + over * s), abs=1e-9)
        assert (math.cos(math.radians(end[2])), math.sin(math.radians(end[2]))) == pytest.approx((c, s), abs=1e-12)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_bar_keeps_its_length_at_every_moment(seed: int) -> None:
    pulling, _ = a_pulling(seed)
    stations = np.linspace(0.0, pulling.length, 4001)
    for moment in moments(pulling):
        points = pulling.at(moment, stations)[:, :2]
        length = float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
        assert length == pytest.approx(pulling.length, abs=1e-4)  # chords of 0.04 mm on arcs are shorter by less


@pytest.mark.parametrize("seed", SEEDS)
def test_the_bar_leaves_a_standing_die_at_its_tangent_point(seed: int) -> None:
    """Round a fixed die the wrapped bar lies at R from its axis; where it leaves, it is square to the radius."""
    pulling, _ = a_pulling(seed)
    if pulling.bender.kind != "wrap":
        return
    radius, angle = pulling.bender.radius, 0.5 * pulling.wanted
    wrapped = radius * math.radians(angle)
    on_die = pulling.at(Moment("bending", angle), np.linspace(0.0, wrapped, 9))
    assert np.hypot(on_die[:, 0], on_die[:, 1]) == pytest.approx(np.full(9, radius))
    t = math.radians(angle)
    assert on_die[-1] == pytest.approx((radius * math.sin(t), -radius * math.cos(t), angle))


@pytest.mark.parametrize("seed", SEEDS)
def test_every_line_of_the_bar_lies_on_the_plain_twin(seed: int) -> None:
    """The twin lays the whole bar from its curvature alone, in its owner's frame."""
    pulling, problem = a_pulling(seed)
    side = 1.0 if pulling.bender.hand == "left" else -1.0
    near = NearInStep(pulling, ())
    for moment in moments(pulling)[:-1]:
        points, _ = bar(
            problem.table, problem.trim, pulling.bender, pulling.bend, pulling.held, set(pulling.made), moment.angle,  # type: ignore[attr-defined]
            OVERBEND * problem.table.bends[pulling.bend].angle, moment.pulled,  # type: ignore[attr-defined]
        )  # fmt: skip
        if pulling.bender.kind in ("ram", "vee"):
            points = points + np.array([0.0, side * pulling.tool(0, moment)[1], 0.0])
        turn = math.radians(pulling.tool(0, moment)[2]) * side
        c, s = math.cos(turn), math.sin(turn)
        points = points @ np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
        for name, end in (("held", 0 if pulling.held == "A" else -1), ("free", -1 if pulling.held == "A" else 0)):
            lines = near.in_room(name, moment)
            tip = lines[-1, 1] * np.array([1.0, side, 1.0])
            assert tip == pytest.approx(points[end], abs=1e-6), (name, moment, pulling.bender.kind)


@pytest.mark.parametrize("seed", range(120))
def test_the_points_of_a_gap_are_as_far_apart_as_clearance_says(seed: int) -> None:
    pulling, problem = a_pulling(seed)
    mounting = problem.mountings[0] if problem.mountings else None  # type: ignore[attr-defined]
    depth = pulling.piece.depth
    solids = (*bodies_of(pulling.bender, None, depth), *bodies_of(pulling.bender, mounting, depth))
    near = NearInStep(pulling, solids)
    found = Stand(pulling.piece, pulling.bender, mounting).step(pulling.bend, pulling.held, pulling.made)
    told = set()
    for one in found.nears:
        if one.gap > 500.0 or (one.body, one.by) in told:  # two followers have one name: the nearer is asked for
            continue
        told.add((one.body, one.by))
        between = near.between(one)
        assert one.gap - 1e-6 <= between.apart, one
        if one.by in ("held", "free") or one.body != "post":  # to the lever a slanting post is the ball that holds it
            assert between.apart <= one.gap + _TOLD_TOO_NEAR, one
        if between.apart > 0.0 and one.body != BAR:
            assert np.linalg.norm(between.other - between.one) == pytest.approx(between.apart, abs=1e-6)
