"""How long one bend takes to predict, with its moment curve, and the same moments by adaptive quadrature from scipy.

Ours is the whole prediction (three strengths of the bar, both legs, work, bar used, interval) and the curve at 65
curvatures. The peer does less: the moments on the die at the same three strengths, springback without legs, and the
curve, each moment one ``scipy.integrate.quad`` over the section, told where the metal yields.

    python3 bootstrap.py bench forming
"""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Callable

from scipy.integrate import quad

from bentwork.files.catalogue import materials
from bentwork.forming.forces import Lever, lever_forces
from bentwork.forming.hardening import law_of
from bentwork.forming.moment import Bar
from bentwork.forming.prediction import Prediction, predict
from bentwork.stock.section import Round, SquareTube, Tube

RADIUS, ANGLE, POINTS, ROUNDS = 60.0, 90.0, 65, 200
METAL = materials()["6082-T6"]
SECTIONS = (Round(12.0), Tube(20.0, 2.0), SquareTube(20.0, 20.0, 2.0, 4.0))


def ours(section: Round | Tube | SquareTube) -> float:
    """Everything about one bend, forces and curve included; returns the last moment of the curve."""
    found = predict(section, METAL, "easy", RADIUS, ANGLE, held_arm=27.0, free_arm=22.0)
    assert isinstance(found, Prediction)
    lever_forces(found.bend, Lever(600.0), found.bend_to)
    return float(Bar(section, law_of(METAL)).curve(1.0 / RADIUS, POINTS).moments[-1])


def breadth_of(section: Round | Tube | SquareTube) -> tuple[Callable[[float], float], list[float], float]:
    """Breadth at a height, heights at which it has a corner, and half the depth."""

    def chord(radius: float, height: float) -> float:
        return 2.0 * math.sqrt(max(0.0, radius**2 - height**2))

    half = section.depth() / 2.0
    if isinstance(section, Round):
        return (lambda y: chord(half, y)), [], half
    if isinstance(section, Tube):
        bore = section.bore / 2.0
        return (lambda y: chord(half, y) - chord(bore, y)), [bore], half
    wall, outer, inner = section.wall, section.corner_radius, section.inside_radius

    def rounded(side: float, radius: float, height: float) -> float:
        if height >= side / 2.0:
            return 0.0
        rise = height - (side / 2.0 - radius)
        return side if rise <= 0.0 else side - 2.0 * radius + chord(radius, rise)

    def hollow(y: float) -> float:
        return rounded(2.0 * half, outer, y) - rounded(2.0 * (half - wall), inner, y)

    return hollow, [half - outer, half - wall - inner, half - wall], half


def peer(section: Round | Tube | SquareTube) -> float:
    """The moments by adaptive quadrature."""
    law = law_of(METAL)
    breadth, corners, half = breadth_of(section)

    def moment(curvature: float, strength: float) -> float:
        metal = law.scaled(strength)
        first, modulus, top, offset, power = metal.yield_strain, law.modulus, metal.strength, law.offset, law.exponent

        def fibre(y: float) -> float:
            strain = curvature * y
            stress = modulus * strain if strain < first else top * (offset + strain) ** power
            return stress * y * breadth(y)

        breaks = sorted({p for p in (*corners, first / curvature) if 0.0 < p < half})
        return 2.0 * float(quad(fibre, 0.0, half, points=breaks or None, limit=200)[0]) / 1000.0

    for strength in (0.94, 1.15, 1.40):
        opened = 1000.0 * moment(1.0 / RADIUS, strength) * RADIUS / Bar(section, law).stiffness
        assert ANGLE / (1.0 - opened) > ANGLE
    return [moment(max(i, 1e-6) / (POINTS - 1) / RADIUS, 1.0) for i in range(POINTS)][-1]


def alone(section: Round | Tube | SquareTube) -> float:
    """The prediction without forces and curve."""
    found = predict(section, METAL, "easy", RADIUS, ANGLE, held_arm=27.0, free_arm=22.0)
    assert isinstance(found, Prediction)
    return found.bend_to


def median(run: Callable[[Round | Tube | SquareTube], float], section: Round | Tube | SquareTube, rounds: int) -> float:
    """Median time of one run after the first, ms."""
    run(section)
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run(section)
        times.append(time.perf_counter() - start)
    return 1000.0 * statistics.median(times)


def main() -> None:
    """Print the table."""
    print(f"| one bend, medians in ms | prediction | with forces and {POINTS} points | scipy's quad | ratio |")
    print("| --- | --- | --- | --- | --- |")
    for section in SECTIONS:
        if abs(ours(section) / peer(section) - 1.0) > 1e-7:
            raise SystemExit(f"the two do not agree for {section}")
        short, fast = median(alone, section, ROUNDS), median(ours, section, ROUNDS)
        slow = median(peer, section, ROUNDS // 20)
        print(f"| {section.kind} | {short:.2f} | {fast:.2f} | {slow:.1f} | {slow / fast:.0f} |")


if __name__ == "__main__":
    main()
