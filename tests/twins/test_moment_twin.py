"""The fast moment and work against adaptive quadrature, and against closed forms of the perfectly plastic bar."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import quad

from bentwork.files.catalogue import materials
from bentwork.forming.hardening import Law, law_of
from bentwork.forming.moment import Bar
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube, Way

SECTIONS: list[tuple[Section, Way]] = [
    (Round(10), "easy"),
    (Tube(25, 2), "easy"),
    (Tube(12, 5), "easy"),
    (Square(10, 8), "hard"),
    (Flat(25, 6), "easy"),
    (Flat(25, 6), "hard"),
    (SquareTube(25, 25, 2), "easy"),
    (SquareTube(30, 20, 2, 4), "easy"),
    (SquareTube(30, 20, 2, 3), "hard"),
    (SquareTube(30, 20, 2, 1.5), "hard"),
]
MULTIPLES = (0.3, 1.0, 1.01, 2.0, 10.0, 60.0)


def chord(diameter: float, height: float) -> float:
    return 2.0 * math.sqrt(max(0.0, diameter**2 / 4.0 - height**2))


def rounded(breadth: float, depth: float, radius: float, height: float) -> float:
    shoulder = depth / 2.0 - radius
    if height >= depth / 2.0:
        return 0.0
    return breadth if height <= shoulder else breadth - 2.0 * radius + chord(2.0 * radius, height - shoulder)


def breadth_of(section: Section, way: Way) -> tuple[Callable[[float], float], list[float]]:
    """Breadth at a height, straight from the drawing of the section, and the heights at which it has a corner."""
    if isinstance(section, Round):
        return (lambda y: chord(section.diameter, y)), [section.diameter / 2]
    if isinstance(section, Tube):
        return (lambda y: chord(section.diameter, y) - chord(section.bore, y)), [section.bore / 2, section.diameter / 2]
    depth, breadth = section.depth(way), section.breadth(way)
    if isinstance(section, SquareTube):
        wall, radius, inside = section.wall, section.corner_radius, section.inside_radius
        corners = {depth / 2 - radius, depth / 2 - wall - inside, depth / 2 - wall, depth / 2}

        def hollow(y: float) -> float:
            return rounded(breadth, depth, radius, y) - rounded(breadth - 2 * wall, depth - 2 * wall, inside, y)

        return hollow, sorted(corners)
    return (lambda _: breadth), [depth / 2]


def slow(section: Section, way: Way, law: Law, density: Callable[[float], float], curvature: float) -> float:
    """Twice the integral of breadth times a density, between all corners and where the metal yields."""
    breadth, corners = breadth_of(section, way)
    stops = sorted({0.0, *corners, min(law.yield_strain / curvature, corners[-1])})

    def piece(low: float, high: float) -> float:
        def crowded(t: float) -> float:  # towards both ends, where chords start and end with a root
            y = low + (high - low) * math.sin(t) ** 2
            return breadth(y) * density(y) * 2.0 * (high - low) * math.sin(t) * math.cos(t)

        return float(quad(crowded, 0.0, math.pi / 2, epsabs=0.0, epsrel=1e-12, limit=200)[0])

    return 2.0 * sum(piece(low, high) for low, high in itertools.pairwise(stops) if high > low)


@pytest.mark.parametrize(("section", "way"), SECTIONS, ids=str)
@pytest.mark.parametrize("name", ["6082-T6", "S235", "Cu-R220", "Ti-2"])
def test_moment_and_work_against_adaptive_quadrature(section: Section, way: Way, name: str) -> None:
    law = law_of(materials()[name])
    bar = Bar(section, law, way)
    curvatures = bar.yield_curvature() * np.array(MULTIPLES)
    moments, works = bar.moment(curvatures), bar.work(curvatures)
    for curvature, moment, work in zip(curvatures.tolist(), moments, works, strict=True):

        def lever(y: float, k: float = curvature) -> float:
            return float(law.stress(k * y)) * y

        def energy(y: float, k: float = curvature) -> float:
            top = k * y
            elastic = min(top, law.yield_strain)
            plastic = quad(law.stress, law.yield_strain, top, epsrel=1e-13)[0] if top > law.yield_strain else 0.0
            return 0.5 * law.modulus * elastic**2 + float(plastic)

        assert moment == pytest.approx(slow(section, way, law, lever, curvature) / 1000.0, rel=1e-10)
        if isinstance(section, Round | Flat):  # the same quadrature: one curved and one flat section say enough
            assert work == pytest.approx(slow(section, way, law, energy, curvature), rel=1e-9)


@pytest.mark.parametrize("times", [1.0, 1.2, 2.0, 7.0, 40.0])
def test_closed_forms_of_the_perfectly_plastic_bar(times: float) -> None:
    """Rectangle, solid round, and thick tube as solid less solid at the same curvature (derived; any textbook)."""
    proof, modulus, s = 250.0, 70_000.0, 1.0 / times
    law = Law.perfectly_plastic(modulus, proof)
    flat, bar, tube = Flat(25, 6), Round(25), Tube(25, 2)
    rectangle = proof * 25 * 36 / 6 * (1.5 - 0.5 * s**2)
    assert 1000.0 * float(Bar(flat, law).moment(times * proof / (modulus * 3.0))) == pytest.approx(rectangle, rel=1e-12)

    def solid(radius: float, curvature: float) -> float:
        at = proof / (modulus * radius * curvature)
        if at >= 1.0:
            return modulus * math.pi * radius**4 / 4 * curvature
        shape = math.asin(at) / at + math.sqrt(1 - at**2) * (5 - 2 * at**2) / 3
        return math.pi * radius**3 * proof / 4 * 2 / math.pi * shape

    curvature = times * proof / (modulus * 12.5)
    assert 1000.0 * float(Bar(bar, law).moment(curvature)) == pytest.approx(solid(12.5, curvature), rel=1e-12)
    hollow = solid(12.5, curvature) - solid(10.5, curvature)
    assert 1000.0 * float(Bar(tube, law).moment(curvature)) == pytest.approx(hollow, rel=1e-11)


def test_work_is_the_moment_added_up() -> None:
    bar = Bar(Tube(25, 2), law_of(materials()["S235"]))
    top, first = 1 / 75, bar.yield_curvature()
    added = sum(
        quad(lambda k: 1000.0 * float(bar.moment(k)), low, high, epsrel=1e-11)[0]
        for low, high in ((0, first), (first, top))
    )
    assert float(bar.work(top)) == pytest.approx(added, rel=1e-8)


def test_many_curvatures_and_strengths_at_once_are_the_same_as_one_by_one() -> None:
    bar = Bar(SquareTube(25, 25, 2, 3), law_of(materials()["6060-T66"]))
    curvatures, strengths = np.array([0.0, 1e-4, 1e-3, 1e-2]), np.array([[0.9], [1.0], [1.4]])
    table = bar.moment(curvatures, strengths)
    assert table.shape == (3, 4)
    for i, strength in enumerate(strengths[:, 0]):
        for j, curvature in enumerate(curvatures):
            assert table[i, j] == pytest.approx(
                float(Bar(bar.section, bar.law.scaled(strength)).moment(curvature)), rel=1e-13
            )
