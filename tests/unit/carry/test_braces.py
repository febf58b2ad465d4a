"""Bars that could be added: where, clear of what, in pairs, and what they bring where that is known."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from bentwork.carry.analysis import Analysed
from bentwork.carry.braces import Bracing, bracings, usual_brace
from bentwork.carry.cases import GRAVITY, LoadCase
from bentwork.carry.changes import helps_of
from bentwork.carry.fixing import FIXED, Fixing
from bentwork.carry.limits import Rules, limits_of, metal_use
from bentwork.carry.payload import Payload
from bentwork.carry.structure import Structure, structure_of
from bentwork.carry.symmetry import Plane, mirror_plane
from bentwork.carry.verdict import judge
from bentwork.stock.section import Round
from tests.frames import SHELF_PAYLOAD, a_bar, an_aluminium, analysed, shelf, shelf_bars

E = 70000.0
SIZE = 1000.0
PUSHED = LoadCase("pushed", "sideways", down=0.0, forward=1.0)


def a_portal(high: float = SIZE) -> Structure:
    """Two posts and a beam of 1 m, all of 30 mm bar, feet fixed; 200 kg push sideways on the right corner."""
    rod = Round(30.0)
    bars = [
        a_bar((0, 0, 0), (0, 0, high), rod, name="left"),
        a_bar((15, 0, high), (SIZE - 15, 0, high), rod, name="beam"),
        a_bar((SIZE, 0, 0), (SIZE, 0, high), rod, name="right"),
    ]
    feet = [Fixing("left foot", "left", (0, 0, 0), FIXED), Fixing("right foot", "right", (SIZE, 0, 0), FIXED)]
    corner = (SIZE, 0.0, high)
    return structure_of(bars, feet, Payload(200.0, corner, ("right",), (corner,)))


def sway(solved: Analysed) -> float:
    """How far the payload's bearing goes along x, mm."""
    frame = solved.built.frame
    motions = np.append(solved.together(solved.solved.motions)[:, 0], 0.0)
    spot = solved.built.bearings[0]
    return float((frame.transform[spot] @ motions[frame.motions[spot]])[0])


def diagonal(found: tuple[Bracing, ...]) -> Bracing:
    return next(one for one in found if one.words == "a brace from left foot to right at beam")


def test_a_diagonal_makes_a_swaying_portal_a_truss() -> None:
    # Without: H h^3/(16.8 EI) (Kleinlogel's form, k = 1). With: the truss of any textbook, diagonal and right post
    # pulled and pressed: H/EA (d^3/L^2 + h^3/L^2); what the bars resist by bending is left out there.
    portal = a_portal()
    bare = analysed(portal, [PUSHED])
    push = 200.0 * GRAVITY
    second, area = math.pi * 30**4 / 64, math.pi * 15**2
    assert sway(bare) == pytest.approx(push * SIZE**3 / 16.8 / (E * second), rel=0.03), "own weight pushes as well"
    braced = analysed(diagonal(bracings(bare, 0)).structure, [PUSHED])
    truss = push / (E * area) * (2.0 * math.sqrt(2.0) + 1.0) * SIZE
    assert sway(braced) == pytest.approx(truss, rel=0.08)
    assert sway(bare) > 30.0 * sway(braced)


def test_what_the_diagonal_brings() -> None:
    portal = a_portal()
    helps = {one.change.words: one for one in helps_of(portal, [PUSHED])}
    found = helps["a brace from left foot to right at beam"]
    bracing = found.change.bracing
    assert bracing is not None
    (brace,) = bracing.braces
    assert found.gain > 3.0, "a truss bears far more than a portal"
    assert found.grams == pytest.approx(1000.0 * brace.bar.mass)
    assert brace.bar.length == pytest.approx(math.sqrt(2.0) * SIZE - 2.0 * 15.0 * math.sqrt(2.0), abs=0.1)
    alone = judge(bracing.structure, [PUSHED], ())
    assert alone.limits is not None
    assert found.payload == pytest.approx(alone.limits.payload), "as judged by itself"


def test_braces_come_in_pairs_unless_they_cross() -> None:
    low = a_portal(600.0)
    assert mirror_plane(low) == Plane(0, SIZE / 2.0)
    found = {one.words: one for one in bracings(analysed(low, [PUSHED]), 0)}
    (one, other) = found["a pair of braces from left foot to beam"].braces
    assert [spot.place[0] for spot in one.ends] == pytest.approx([0.0, 15.0 + 970.0 / 3.0])
    assert [spot.place[0] for spot in other.ends] == pytest.approx([SIZE, SIZE - 15.0 - 970.0 / 3.0])
    assert len(found["a brace from left foot to right at beam"].braces) == 1, "its mirror image would cross it"


def test_pairs_on_the_shelf_and_never_two_of_the_same() -> None:
    structure = shelf()
    plane = mirror_plane(structure)
    assert plane is not None
    assert plane.axis == 1
    assert plane.at == pytest.approx(150.0)
    found = bracings(analysed(structure, [LoadCase("bump", "shock", down=3.0)]), 0)
    assert found
    seen = []
    for one in found:
        for brace in one.braces:
            ends = frozenset(tuple(np.round(spot.place, 3)) for spot in brace.ends)
            assert ends not in seen
            seen.append(ends)
        if len(one.braces) == 2:
            here, there = (brace.bar.line for brace in one.braces)
            image = Plane(1, 150.0).image
            assert image(here.start.origin) == pytest.approx(there.start.origin, abs=1e-6)
            assert image(here.end.origin) == pytest.approx(there.end.origin, abs=1e-6)


def test_a_lopsided_frame_has_no_plane() -> None:
    bars = [bar for bar in shelf_bars() if bar.name != "stay left"]
    assert mirror_plane(structure_of(bars)) is None


def test_braces_keep_clear_of_bars_and_steel() -> None:
    structure = shelf()
    for one in bracings(analysed(structure, [LoadCase("bump", "shock", down=3.0)]), 0):
        for brace in one.braces:
            assert all(structure.bars[spot.bar].material.group == "aluminium" for spot in brace.ends)
            line = brace.bar.line
            points = np.array([line.pose(s).origin for s in np.linspace(0.0, brace.bar.length, 60)])
            for number, bar in enumerate(structure.bars):
                if any(number in spot.meets for spot in brace.ends):
                    continue
                others = np.array([bar.line.pose(s).origin for s in np.linspace(0.0, bar.length, 400)])
                gap = np.linalg.norm(points[:, None] - others[None], axis=2).min() - bar.half_depth - 6.0
                assert gap >= 12.0 - 0.5, f"{one.words} is {gap:.1f} mm from {bar.name}"


@pytest.mark.parametrize("heavy", [False, True])
def test_nothing_goes_through_the_payload(heavy: bool) -> None:
    # Four posts with a ring of beams; a block that fills the inside stands in every diagonal of space.
    rod, size, half = Round(16.0), 300.0, 8.0
    corners = [(0.0, 0.0), (size, 0.0), (size, size), (0.0, size)]
    bars = [a_bar((x, y, 0), (x, y, size), rod, name=f"post {k}") for k, (x, y) in enumerate(corners)]
    for k, (x, y) in enumerate(corners):
        u, v = corners[(k + 1) % 4]
        dx, dy = (half * np.sign(u - x), half * np.sign(v - y))
        bars.append(a_bar((x + dx, y + dy, size), (u - dx, v - dy, size), rod, name=f"beam {k}"))
    feet = [Fixing(f"foot {k}", f"post {k}", (x, y, 0.0), FIXED) for k, (x, y) in enumerate(corners)]
    block = (240.0, 240.0, 240.0) if heavy else None
    load = Payload(10.0, (size / 2, size / 2, size / 2), tuple(f"post {k}" for k in range(4)), size=block)
    load = replace(load, at=tuple((x, y, size) for x, y in corners))
    solved = analysed(structure_of(bars, feet, load), [PUSHED])
    inside = 0
    for one in bracings(solved, 0, 400):
        for brace in one.braces:
            points = np.array([brace.bar.line.pose(s).origin for s in np.linspace(0.0, brace.bar.length, 80)])
            inside += bool((np.abs(points - size / 2) < 119.0).all(axis=1).any())
    assert (inside == 0) == heavy, "without a size nothing is known to be in the way"


def test_a_pressed_bar_is_helped_as_euler_says() -> None:
    # pi^2 EI/(4 L^2): a post of 12 instead of 10 mm buckles at (12/10)^4 the load.
    post = a_bar((0, 0, 0), (0, 0, 900), Round(10.0))
    load = Payload(2.0, (0, 0, 900), ("bar",), ((0, 0, 900),))
    still = LoadCase("standing still", "static")
    (found,) = helps_of(structure_of([post], [Fixing("foot", "bar", (0, 0, 0), FIXED)], load), [still])
    assert found.first == "buckling, bar moves most"
    assert found.gain == pytest.approx(1.2**4 - 1.0, rel=0.03)


def test_what_a_brace_is_of() -> None:
    assert usual_brace(shelf()) == (Round(12.0), shelf().bars[0].material)
    hard = replace(an_aluminium(), welded_proof_stress=None, welded_strength=None)
    assert usual_brace(structure_of([a_bar((0, 0, 0), (100, 0, 0), material=hard)])) is None


def test_the_quick_look_at_the_metal_says_what_the_limits_say() -> None:
    solved = analysed(shelf(), [LoadCase("bump", "shock", down=3.0)])
    rules = Rules()
    limits = limits_of(solved, rules)
    assert metal_use(solved, 1.0, rules) == pytest.approx(float(limits.use.max()))
    metal = next(one for one in limits.found if one.what == "metal")
    assert metal_use(solved, metal.payload, rules) == pytest.approx(1.0, rel=1e-6)
    assert SHELF_PAYLOAD.size is not None
