"""What is true of every bar on every die."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, reject
from hypothesis import strategies as st

from bentwork.forming.arc_used import arc_used
from bentwork.forming.die_bend import Arms, DieBend, die_bends
from bentwork.forming.forces import Lever, lever_forces
from bentwork.forming.hardening import Law, law_of
from bentwork.forming.moment import Bar
from bentwork.forming.prediction import Prediction, SpringsStraight, predict, pull_with, relaxed_with
from bentwork.forming.pressing import UnsuitedError, ram_bend
from bentwork.forming.scatter import Correction
from bentwork.stock.entry import material_from_mapping
from bentwork.stock.material import Material
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube

SIZE = st.floats(3.0, 60.0)
TIMES = st.floats(1.5, 12.0)  # radius over depth
ANGLE = st.floats(0.5, 200.0)
ARM = st.one_of(st.just(0.0), st.floats(0.3, 4.0))  # over depth


@st.composite
def sections(draw: st.DrawFn) -> Section:
    size = draw(SIZE)
    wall = size * draw(st.floats(0.02, 0.45))
    other = size * draw(st.floats(0.4, 1.0))
    kind = draw(st.sampled_from(["round", "tube", "square", "flat", "square-tube"]))
    if kind == "round":
        return Round(size)
    if kind == "tube":
        return Tube(size, wall)
    if kind == "square":
        return Square(size, other)
    if kind == "flat":
        return Flat(size, other)
    wall = min(wall, 0.45 * other)
    return SquareTube(size, other, wall, draw(st.floats(0.0, 1.0)) * other / 2.0)


@st.composite
def metals(draw: st.DrawFn) -> Material:
    """Metals a data sheet might describe, also those whose minima do not fit together."""
    modulus = draw(st.floats(60_000, 220_000))
    proof = draw(st.floats(30, 900))
    return material_from_mapping(
        "some metal",
        {
            "elastic_modulus": modulus,
            "proof_stress": proof,
            "tensile_strength": proof * draw(st.floats(1.0, 4.0)),
            "elongation": draw(st.floats(1.0, 60.0)),
            "density": 5000,
        },
    )


@st.composite
def laid_bars(draw: st.DrawFn, legs: bool = True) -> DieBend:
    """Bars that lie on a die and keep something of it, with legs or without."""
    section = draw(sections())
    depth = section.depth()
    arms = Arms(depth * draw(ARM), depth * draw(ARM)) if legs else Arms()
    bend = die_bends(Bar(section, law_of(draw(metals()))), depth * draw(TIMES), (draw(st.floats(0.8, 1.5)),), arms)[0]
    assume(bend.ratio > 0.05)
    return bend


@given(metals())
def test_the_fitted_law_meets_proof_stress_and_tensile_strength(metal: Material) -> None:
    law, proof = law_of(metal), metal.proof_stress.value
    at_proof = 0.002 + proof / metal.elastic_modulus.value
    assert float(law.stress(math.log1p(at_proof))) / (1 + at_proof) == pytest.approx(proof, rel=1e-9)
    # Engineering stress is greatest where Considere says, and there it is the tensile strength: for all metal but that
    # which is said to break at the stress at which it yields.
    if metal.tensile_strength.value > 1.006 * proof:
        greatest = float(law.stress(law.uniform_strain)) * math.exp(-law.uniform_strain)
        assert greatest == pytest.approx(metal.tensile_strength.value, rel=1e-9)
        for near in (0.9, 1.1):
            strain = law.uniform_strain * near
            assert float(law.stress(strain)) * math.exp(-strain) <= greatest * (1 + 1e-12)


@given(sections(), metals())
def test_the_moment_never_falls_with_the_curvature(section: Section, metal: Material) -> None:
    bar = Bar(section, law_of(metal))
    curve = bar.curve(1.0 / section.depth(), 200)
    assert np.all(np.diff(curve.moments) >= -1e-12 * curve.moments[-1])
    assert curve.moments[0] == 0.0
    below = bar.yield_curvature() * 0.999
    assert float(bar.moment(below)) * 1000.0 == pytest.approx(bar.stiffness * below, rel=1e-9)


@given(sections(), st.floats(50, 900), st.floats(60_000, 220_000))
def test_a_perfectly_plastic_bar_tends_to_its_full_plastic_moment(
    section: Section, proof: float, modulus: float
) -> None:
    bar = Bar(section, Law.perfectly_plastic(modulus, proof))
    full = proof * section.bending().plastic_modulus / 1000.0
    assert float(bar.moment(3000.0 * bar.yield_curvature())) == pytest.approx(full, rel=1e-5)


@given(laid_bars(), ANGLE)
def test_wanted_to_pull_to_relaxed_comes_back(bend: DieBend, wanted: float) -> None:
    assert bend.relaxed(bend.pull(wanted)) == pytest.approx(wanted, rel=1e-9)
    pulled = bend.pull(wanted)
    assert bend.pull(bend.relaxed(pulled)) == pytest.approx(pulled, rel=1e-9)


@given(laid_bars(), ANGLE, st.floats(0.5, 2.0), st.floats(0.0, 3.0))
def test_the_same_with_the_correction_of_a_bender(bend: DieBend, wanted: float, factor: float, lost: float) -> None:
    correction = Correction(factor, lost)
    assert relaxed_with(bend, correction, pull_with(bend, correction, wanted)) == pytest.approx(wanted, rel=1e-8)


@given(laid_bars(), st.floats(0.1, 200.0), st.floats(0.1, 200.0))
def test_pulling_further_leaves_more(bend: DieBend, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert bend.relaxed(low) <= bend.relaxed(high) + 1e-9


@given(laid_bars(legs=False), ANGLE)
def test_without_legs_everything_opens_in_proportion(bend: DieBend, wanted: float) -> None:
    assert bend.pull(wanted) > wanted
    assert bend.pull(wanted) * bend.ratio == pytest.approx(wanted, rel=1e-12)
    assert bend.energy(90.0) == pytest.approx(0.5 * bend.moment * math.radians(90.0 * (1.0 - bend.ratio)), rel=1e-9)


@given(sections(), metals(), TIMES, st.floats(1.01, 1.5))
def test_more_springback_if_stronger_wider_softer_in_stiffness_or_thinner(
    section: Section, metal: Material, times: float, more: float
) -> None:
    law, radius = law_of(metal), section.depth() * times

    def ratio(bar: Bar, to: float, strength: float = 1.0) -> float:
        return die_bends(bar, to, (strength,))[0].ratio

    bar = Bar(section, law)
    base = ratio(bar, radius)
    assume(base > 0.05)
    assert ratio(bar, radius, more) < base
    assert ratio(bar, radius * more) < base
    assert ratio(Bar(section, Law(law.modulus / more, law.strength, law.exponent, law.offset)), radius) < base
    # Scaling the section down is the same as scaling the radius up, whatever the section.
    if isinstance(section, Round):
        assert ratio(Bar(Round(section.diameter / more), law), radius) == pytest.approx(
            ratio(bar, radius * more), rel=1e-9
        )


@given(sections(), TIMES, st.floats(100, 600), st.floats(0.001, 0.2), st.floats(0.001, 0.2))
def test_linear_hardening_takes_its_share_off_the_ratio(
    section: Section, times: float, proof: float, share: float, more: float
) -> None:
    """Steeper hardening springs back more: the ratio is (1 - h) times that of the perfectly plastic bar."""
    modulus, radius = 70_000.0, section.depth() * times
    ideal = die_bends(Bar(section, Law.perfectly_plastic(modulus, proof)), radius)[0].ratio
    assume(ideal > 0.01)
    for h in (share, share + more):
        bend = die_bends(Bar(section, Law.linear(modulus, proof, h * modulus)), radius)[0]
        assert bend.ratio == pytest.approx((1 - h) * ideal, rel=1e-9)


@given(laid_bars(), ANGLE)
def test_the_middle_of_the_bar_keeps_its_length(bend: DieBend, wanted: float) -> None:
    assume(wanted > bend.kept)
    wrapped = bend.pull(wanted) - bend.lag
    assert bend.relaxed_radius * (wanted - bend.kept) == pytest.approx(bend.radius * wrapped, rel=1e-9)


@given(laid_bars(legs=False), st.floats(5.0, 150.0))
def test_a_bend_is_wider_than_it_was_drawn_and_uses_less_bar_round_the_corner(bend: DieBend, wanted: float) -> None:
    used = arc_used(bend, wanted)
    assert used.arc > used.drawn_arc * (1.0 - 1e-9)
    assert used.gain > used.drawn_gain - 1e-9 * bend.radius
    assert used.onward_shift <= 1e-9 * bend.radius
    assert used.setback_held == pytest.approx(bend.relaxed_radius * math.tan(math.radians(wanted) / 2.0), rel=1e-9)
    assert used.centre_shift == pytest.approx(used.onward_shift / 2.0, abs=1e-9 * bend.radius)


@given(laid_bars(), ANGLE, st.floats(100, 2000), st.floats(0.0, 0.4))
def test_work_never_asks_more_of_the_hand_than_the_moment_does(
    bend: DieBend, wanted: float, hand: float, friction: float
) -> None:
    forces = lever_forces(bend, Lever(hand, friction), bend.pull(wanted))
    assert 0.5 * 1000.0 * bend.moment / hand - 1e-9 <= forces.hand_least <= forces.hand
    assert forces.hand * hand == pytest.approx(1000.0 * forces.torque, rel=1e-12)


@given(laid_bars(legs=False), st.floats(2.0, 60.0))
def test_a_former_is_pushed_further_for_more_angle(bend: DieBend, wanted: float) -> None:
    span = 2.0 * (2.0 * bend.radius + 3.0 * bend.bar.section.depth())
    try:
        small, large = (ram_bend(bend, angle, span, 0.5 * bend.radius) for angle in (wanted, 1.1 * wanted))
    except UnsuitedError:
        reject()  # legs of springy bar, or round a small former, bend out between the rollers
    assert 0.0 < small.stroke < large.stroke
    assert wanted < small.pushed_to < large.pushed_to


@given(sections(), metals(), TIMES, st.floats(5.0, 180.0), ARM, ARM)
def test_a_prediction_lies_in_its_interval_and_comes_back(
    section: Section, metal: Material, times: float, wanted: float, held: float, free: float
) -> None:
    depth = section.depth()
    found = predict(section, metal, "easy", depth * times, wanted, held_arm=depth * held, free_arm=depth * free)
    if isinstance(found, SpringsStraight):
        assert found.yields_at <= found.radius * (1.0 + 1e-9)
        return
    assert isinstance(found, Prediction)
    assert 0.0 <= found.low <= found.bend_to <= found.high
    assert found.energy > 0.0
    if held == free == 0.0:
        assert found.springback > 0.5  # what every bender is taken to lose, and something more
    assert found.moment_range[0] < found.moment < found.moment_range[1]
    assert found.relaxed_radius > found.bend.radius
    if math.isfinite(found.high) and found.ratio > 0.02:
        assert found.relaxed(found.bend_to) == pytest.approx(wanted, rel=1e-8)
