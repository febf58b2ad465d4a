"""What holds for any frame: equilibrium, energy, reciprocity, one answer wherever it stands."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from bentwork.carry.analysis import analyse
from bentwork.carry.bar import Bar
from bentwork.carry.cases import GRAVITY, LoadCase
from bentwork.carry.fixing import FIXED, PINNED, Fixing
from bentwork.carry.joint_use import joint_forces
from bentwork.carry.payload import Payload, spread
from bentwork.carry.recovery import strain_energy
from bentwork.carry.structure import Structure, structure_of
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, rotate
from bentwork.stock.section import Flat, Round, Section, SquareTube, Tube
from tests.frames import an_aluminium, analysed, at_end, loaded, shelf

Floats = NDArray[np.float64]

sizes = st.floats(20.0, 300.0)
sections: st.SearchStrategy[Section] = st.sampled_from(
    [Round(10.0), Tube(20.0, 2.0), SquareTube(20.0, 20.0, 2.0), Flat(25.0, 5.0)]
)
forces = st.tuples(*[st.floats(-100.0, 100.0)] * 3).filter(lambda f: max(map(abs, f)) > 1.0)


@st.composite
def bent_bars(draw: st.DrawFn) -> Bar:
    """A bar of one to four bends in space."""
    many = draw(st.integers(1, 4))
    straights = tuple(draw(sizes) for _ in range(many + 1))
    bends = tuple(
        Bend(
            draw(st.floats(40.0, 120.0)), draw(st.floats(5.0, 200.0)), 0.0 if k == 0 else draw(st.floats(-179.0, 179.0))
        )
        for k in range(many)
    )
    return Bar("bar", Centreline(BendTable(straights, bends)), draw(sections), an_aluminium())


def turned(bar: Bar, angle: float, shift: Vec) -> Bar:
    """The bar turned about a skew axis and shifted."""
    axis = (1 / math.sqrt(3),) * 3
    start = bar.line.start
    x, y, z = rotate(start.origin, axis, angle)
    pose = Pose(
        (x + shift[0], y + shift[1], z + shift[2]), rotate(start.tangent, axis, angle), rotate(start.axis, axis, angle)
    )
    return Bar(bar.name, Centreline(bar.line.table, pose), bar.section, bar.material, bar.way)


def held(bar: Bar) -> list[Fixing]:
    return [Fixing("a", "bar", bar.line.start.origin, FIXED), Fixing("b", "bar", bar.line.end.origin, PINNED)]


@settings(max_examples=40, deadline=None)
@given(bar=bent_bars(), share=st.floats(0.1, 0.9), force=forces)
def test_forces_balance_and_work_is_kept(bar: Bar, share: float, force: Vec) -> None:
    at = share * bar.length
    built, solved = loaded([bar], held(bar), [(0, at, force)], shear=True, felt=(0.0, 1.0, -9.8))
    wrench = np.zeros(6)

    def act(push: Floats, place: Floats, moment: Floats) -> None:
        wrench[:3] += push
        wrench[3:] += moment + np.cross(place, push)

    act(np.array(force), np.array(bar.line.pose(at).origin), np.zeros(3))
    size = max(map(abs, force)) * bar.length
    elements = built.frame.elements
    weight = bar.line_mass * np.array((0.0, 1.0, -9.8))
    for length, moment in zip(elements.length, elements.first_moment, strict=True):
        wrench[:3] += length * weight
        wrench[3:] += np.cross(moment, weight)
    a, b = (np.array(fixing.at) for fixing in held(bar))
    reaction = solved.reactions[:, 0]
    act(reaction[:3], a, reaction[3:6])
    act(reaction[6:9], b, np.zeros(3))
    assert np.abs(wrench[:3]).max() < 1e-9 * size
    assert np.abs(wrench[3:]).max() < 1e-9 * size * bar.length


@settings(max_examples=30, deadline=None)
@given(bar=bent_bars(), share=st.floats(0.1, 0.9), force=forces)
def test_energy_is_half_the_work(bar: Bar, share: float, force: Vec) -> None:
    built, solved = loaded([bar], held(bar), [(0, share * bar.length, force)], shear=True)
    moved = at_end(built, solved, built.extra[0])[:3]
    work = 0.5 * float(moved @ np.array(force))
    assert math.isclose(float(strain_energy(solved)[0]), work, rel_tol=1e-9)


@settings(max_examples=30, deadline=None)
@given(bar=bent_bars(), one=st.floats(0.1, 0.45), other=st.floats(0.55, 0.9), f=forces, g=forces)
def test_what_one_force_moves_for_another(bar: Bar, one: float, other: float, f: Vec, g: Vec) -> None:
    """Maxwell and Betti: the work of each through the other's moves is the same."""
    spots = (one * bar.length, other * bar.length)
    none = (0.0, 0.0, 0.0)
    built, first = loaded([bar], held(bar), [(0, spots[0], f), (0, spots[1], none)], shear=True)
    _, second = loaded([bar], held(bar), [(0, spots[0], none), (0, spots[1], g)], shear=True)
    there = float(at_end(built, first, built.extra[1])[:3] @ np.array(g))
    back = float(at_end(built, second, built.extra[0])[:3] @ np.array(f))
    size = math.sqrt(4.0 * float(strain_energy(first)[0]) * float(strain_energy(second)[0]))
    assert abs(there - back) < 1e-9 * size


@settings(max_examples=30, deadline=None)
@given(bar=bent_bars(), angle=st.floats(-180, 180), share=st.floats(0.1, 0.9), force=forces)
def test_it_does_not_matter_where_it_stands(bar: Bar, angle: float, share: float, force: Vec) -> None:
    at = share * bar.length
    built, solved = loaded([bar], held(bar), [(0, at, force)], shear=True)
    other = turned(bar, angle, (300.0, -200.0, 100.0))
    axis = (1 / math.sqrt(3),) * 3
    again, turned_solved = loaded([other], held(other), [(0, at, rotate(force, axis, angle))], shear=True, longest=37.0)
    x, y, z = (float(c) for c in at_end(built, solved, built.extra[0])[:3])
    expected = np.array(rotate((x, y, z), axis, angle))
    moved = at_end(again, turned_solved, again.extra[0])[:3]
    assert np.abs(moved - expected).max() < 1e-8 * np.abs(expected).max()


@settings(max_examples=60, deadline=None)
@given(
    places=st.lists(st.tuples(sizes, sizes, st.floats(-5, 5)), min_size=3, max_size=9, unique=True),
    centre=st.tuples(sizes, sizes, sizes),
    load=st.tuples(*[st.floats(-10, 10)] * 6),
)
def test_a_payload_is_held_in_balance(places: list[Vec], centre: Vec, load: tuple[float, ...]) -> None:
    at, middle = np.array(places), np.array(centre)
    arms = at - at.mean(axis=0)
    if np.linalg.svd(arms)[1][1] < 5.0:
        return  # in a line: no moment about it can be held
    push = spread(at, middle) @ np.array(load)
    size = max(1e-3, max(map(abs, load))) * 1000.0
    assert np.abs(push.sum(axis=0) - load[:3]).max() < 1e-9 * size
    moment = np.cross(at - middle, push).sum(axis=0)
    assert np.abs(moment - load[3:]).max() < 1e-7 * size


def test_the_shelf_is_in_balance_in_every_case() -> None:
    structure = shelf()
    cases = [LoadCase("still", "static"), LoadCase("all at once", "braking", 2.0, 0.7, -0.4)]
    found = analysed(structure, cases)
    borne = structure.borne
    assert borne is not None
    reactions = found.reactions()
    for number, case in enumerate(cases):
        felt = np.array(case.felt(structure.directions))
        total = (structure.mass + borne.payload.mass) * felt + reactions[:, :3, number].sum(axis=0)
        assert np.abs(total).max() < 1e-9 * 20 * GRAVITY
    # What the nodes put on the bars holds their weight and what lies on them.
    pushed = found.together(joint_forces(found))
    assert (
        np.abs(pushed.sum(axis=0)[:3, 0] - (structure.mass + borne.payload.mass) * np.array((0, 0, GRAVITY))).max()
        < 1e-7
    )


@settings(max_examples=15, deadline=None)
@given(mass=st.floats(0.5, 50.0), section=sections)
def test_twice_the_payload_moves_twice_as_far(mass: float, section: Section) -> None:
    def sag(kg: float) -> float:
        bar = Bar("bar", Centreline(BendTable((300.0,))), section, an_aluminium())
        payload = Payload(kg, (300.0, 0.0, 0.0), ("bar",), ((300.0, 0, 0),))
        structure: Structure = structure_of([bar], [Fixing("wall", "bar", (0, 0, 0), FIXED)], payload)
        found = analyse(structure, [LoadCase("still", "static")])
        assert not isinstance(found, tuple)
        steady, carried = found.parts(found.solved.motions)
        assert float(np.abs(steady).max()) > 0.0
        return float(np.abs(carried).max())

    assert math.isclose(sag(2 * mass), 2 * sag(mass), rel_tol=1e-9)
