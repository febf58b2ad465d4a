"""What gives first, what helps, what it could be made of, and how to prove it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from bentwork.carry.bar import Bar
from bentwork.carry.bearable import payload_at_limit
from bentwork.carry.cases import LoadCase
from bentwork.carry.changes import Change, helps_of, next_sizes, size_words, usual_changes
from bentwork.carry.fasteners import Bolt
from bentwork.carry.faults import structure_findings
from bentwork.carry.fixing import FIXED, Fixing
from bentwork.carry.joint import Wanted
from bentwork.carry.limits import Rules, limits_of
from bentwork.carry.payload import Payload, Strap
from bentwork.carry.proof import proof_load
from bentwork.carry.structure import Structure, structure_of
from bentwork.carry.sweep import Variant, pareto, sweep
from bentwork.carry.uses import USES, cases_of, use_findings
from bentwork.carry.verdict import judge
from bentwork.carry.vibration import Mode, shaking_findings
from bentwork.jobs.carried_words import help_words
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.units import Ruler
from tests.frames import SHELF_PAYLOAD, a_bar, an_aluminium, an_arc, analysed, shelf

STILL = LoadCase("standing still", "static")
BUMP = LoadCase("bump", "shock", down=3.0)


def a_bracket(mass: float = 10.0, section: Round | Tube = Round(12.0)) -> Structure:  # noqa: B008 - a frozen value
    """A cantilever of 200 mm that bears its payload at the tip."""
    bar = a_bar((0, 0, 0), (200, 0, 0), section)
    wall = Fixing("wall", "bar", (0, 0, 0), FIXED)
    return structure_of([bar], [wall], Payload(mass, (200, 0, 0), ("bar",), ((200, 0, 0),)))


def test_what_a_cantilever_carries() -> None:
    # By hand: f/1.1 W = 1.5 (3 m g L + 3 w L^2/2).
    structure = a_bracket()
    limits = limits_of(analysed(structure, [STILL, BUMP]))
    allowed = 250 / 1.1 * math.pi * 12**3 / 32 / 1.5
    w = structure.bars[0].line_mass * 9.80665
    kg = (allowed - 3 * w * 200**2 / 2) / (3 * 9.80665 * 200)
    assert 10.0 * limits.payload == pytest.approx(kg, rel=1e-6)
    first = limits.found[0]
    assert (first.what, first.where, first.case, first.giving) == ("metal", "bar", "bump", "bump")
    assert first.stress == pytest.approx((3 * 98.0665 * 200 + 3 * w * 200**2 / 2) / (math.pi * 12**3 / 32), rel=1e-6)
    assert first.use == pytest.approx(1.5 * first.stress / (250 / 1.1))


def test_beside_a_weld_half_is_left() -> None:
    # The same arm welded to a thick post: 125 instead of 250 MPa at the weld; the post is stiff.
    post = a_bar((0, 0, -50), (0, 0, 50), Round(60.0), name="post")
    arm = a_bar((30, 0, 0), (230, 0, 0), Round(12.0), name="arm")
    feet = [Fixing(f"foot {z}", "post", (0, 0, z), FIXED) for z in (-50, 50)]
    structure = structure_of([post, arm], feet, Payload(10.0, (230, 0, 0), ("arm",), ((230, 0, 0),)))
    limits = limits_of(analysed(structure, [BUMP]))
    soft = next(one for one in limits.found if one.where == "arm beside the weld to post")
    alone = limits_of(analysed(a_bracket(), [BUMP])).found[0]
    own = 3 * arm.line_mass * 9.80665 * 200**2 / 2
    whole = 250 / 1.1 * math.pi * 12**3 / 32 / 1.5
    assert soft.payload / alone.payload == pytest.approx((whole / 2 - own) / (whole - own), rel=1e-6)
    weld = next(one for one in limits.found if one.what == "weld")
    assert weld.where == "the weld of post and arm"
    # By hand: n = M/(pi d^2/4 a), sqrt2 n, f_w 210/1.25, a = 4 (0.7 x 12, 4 at most); shear adds 0.1 %.
    moment = 3 * 98.0665 * 200 + 3 * arm.line_mass * 9.80665 * 200**2 / 2
    assert weld.stress == pytest.approx(math.sqrt(2) * moment / (math.pi * 36 * 4), rel=5e-3)
    assert weld.use == pytest.approx(1.5 * weld.stress / (210 / 1.25))
    assert weld.throat == 4.0


def test_a_bolt_that_is_pulled_and_sheared() -> None:
    bolt = Bolt(6.0, thickness=4.0)
    bar = a_bar((0, 0, 0), (0, 0, -200), Flat(30.0, 12.0))
    hung = Fixing("hook", "bar", (0, 0, 0), FIXED, along=(0, 0, 1), bolt=bolt)
    structure = structure_of([bar], [hung], Payload(100.0, (0, 0, -200), ("bar",), ((0, 0, -200),)))
    limits = limits_of(analysed(structure, [STILL]))
    found = next(one for one in limits.found if one.what == "bolt")
    pull = (100 + bar.mass) * 9.80665
    assert found.where == "the bolt of fixing hook"
    assert found.use == pytest.approx(1.5 * pull / (0.9 * 800 * 20.1234 / 1.25), rel=1e-4)
    assert found.payload == pytest.approx(1.0 / found.use, rel=0.01)


def test_limits_come_in_the_order_in_which_they_give() -> None:
    structure = shelf()
    limits = limits_of(analysed(structure, cases_of(USES["house"], structure)))
    payloads = [one.payload for one in limits.found]
    assert payloads == sorted(payloads)
    assert {"metal", "weld"} <= {one.what for one in limits.found}
    assert limits.payload == payloads[0]
    words = [one.where for one in limits.distinct]
    assert len(set(words)) == len(words) < len(payloads)
    first = [one for k, one in enumerate(limits.found) if one.where not in [o.where for o in limits.found[:k]]]
    assert list(limits.distinct) == first


def test_at_its_payload_the_first_limit_is_just_reached() -> None:
    structure = shelf()
    cases = [STILL, BUMP, LoadCase("braked", "braking", forward=0.8)]
    limits = limits_of(analysed(structure, cases))
    borne = structure.borne
    assert borne is not None
    full = replace(borne, payload=replace(borne.payload, mass=borne.payload.mass * limits.payload))
    again = limits_of(analysed(replace(structure, borne=full), cases))
    assert again.payload == pytest.approx(1.0, rel=1e-6)
    assert max(one.use for one in again.found) == pytest.approx(1.0, rel=1e-6)


@pytest.mark.parametrize("seed", range(6))
def test_payload_at_limit_against_halving(seed: int) -> None:
    rng = np.random.default_rng(seed)
    a, b = rng.normal(size=(2, 40, 5)) * np.array([0.4, 0.2, 0.05, 1e-3, 5.0])[None, None, :]
    b[0] = 0.0

    def use(factor: np.ndarray) -> np.ndarray:
        found: np.ndarray = np.linalg.norm(a + factor[:, None] * b, axis=1)
        return found

    found = payload_at_limit(use, (40,))
    low, high = np.zeros(40), np.full(40, 1e6)
    empty = use(low) >= 1.0
    for _ in range(120):
        middle = (low + high) / 2
        low, high = np.where(use(middle) < 1, middle, low), np.where(use(middle) < 1, high, middle)
    expected = np.where(empty, 0.0, np.where(use(np.full(40, 1e6)) < 1, np.inf, high))
    assert found == pytest.approx(expected, rel=1e-7)


def test_judged_as_a_whole() -> None:
    structure = shelf(replace(SHELF_PAYLOAD, mass=25.0))
    cases = cases_of(replace(USES["hand cart"], leaning=100.0), structure)
    verdict = judge(structure, cases, structure_findings(structure))
    codes = [finding.code for finding in verdict.findings]
    assert codes[0] == "carries-too-little"
    assert "estimate-only" in codes
    assert "payload-lifts" in codes, "when it stops short the crate of 220 mm tips forward"
    assert 0 < verdict.carries < 25.0
    assert len(verdict.first_to_give) == 3
    assert len(verdict.sags) == len(verdict.buckling) == len(cases)
    assert [mode.frequency for mode in verdict.modes] == sorted(mode.frequency for mode in verdict.modes)
    light = judge(shelf(replace(structure.borne.payload, mass=2.0)), cases, ())  # type: ignore[union-attr]
    assert "carries" in [finding.code for finding in light.findings]


def test_a_strap_holds_the_payload_down() -> None:
    straps = [Strap("loop", (400.0, y, 0.0), (400.0, y, 220.0), 900.0) for y in (50.0, 250.0)]
    straps += [Strap("loop", (0.0, y, 0.0), (0.0, y, 220.0), 900.0) for y in (50.0, 250.0)]
    structure = shelf(straps=straps)
    braked = [LoadCase("braked", "braking", forward=1.0)]
    assert "payload-lifts" not in [f.code for f in judge(structure, braked, ()).findings]
    assert "payload-lifts" in [f.code for f in judge(shelf(), braked, ()).findings]


def test_a_cycle_defers_to_its_standard() -> None:
    assert [(f.level, f.code) for f in use_findings(USES["cycle"])] == [("stop", "loads-not-at-hand")]
    assert use_findings(USES["boat"]) == ()
    verdict = judge(shelf(), cases_of(USES["cycle"], structure_of([])), use_findings(USES["cycle"]))
    assert verdict.limits is None
    assert verdict.carries == 0.0


def test_a_frame_that_moves_is_told_in_words() -> None:
    bar = a_bar((0, 0, 0), (200, 0, 0))
    held = Fixing("slot", "bar", (0, 0, 0), (0.0, *FIXED[1:]))
    verdict = judge(structure_of([bar], [held]), [STILL], ())
    assert [finding.code for finding in verdict.findings] == ["frame-can-move"]
    assert len(verdict.motions) == 1


def test_what_helps() -> None:
    structure = a_bracket()
    thicker, *_ = helps_of(structure, [BUMP])
    assert thicker.change.words == "bar of round 14 mm"
    assert thicker.grams == pytest.approx(2.7e-3 * math.pi / 4 * (14**2 - 12**2) * 200, rel=1e-6)
    assert thicker.gain == pytest.approx((14 / 12) ** 3 - 1, rel=0.02)
    assert help_words(thicker, Ruler()).startswith("bar of round 14 mm: +5")
    stay = a_bar((2, 0, -100), (180, 0, -8), Round(8.0), name="stay")
    feet = [held.fixing for held in structure.fixings]
    stayed = structure_of(
        [*structure.bars, stay],
        [*feet, Fixing("low", "stay", (2, 0, -100), FIXED)],
        structure.borne.payload if structure.borne else None,
        wanted=[Wanted(("bar", "stay"), "bolted", axis=(0, 1, 0))],
    )
    found = helps_of(structure, [BUMP], changes=[Change("a stay", stayed)])
    assert found[0].change.words == "a stay"
    assert found[0].gain > 1.0


def test_next_sizes() -> None:
    for section in (Round(10), Tube(16, 1.5), Square(10, 10), SquareTube(20, 20, 2), Flat(30, 4)):
        for words, bigger in next_sizes(section):
            assert bigger.area > section.area
            assert words == size_words(bigger)
    assert len(usual_changes(shelf())) == 5, "loop, crossbar and stay thicker, the bracket wider or thicker"


def test_a_sweep_says_what_reckoning_one_by_one_says() -> None:
    structure = shelf()
    cases = [STILL, BUMP, LoadCase("knocked", "sideways", left=0.5)]
    sections: list[Section] = [Round(12.0), Tube(16.0, 2.0), SquareTube(16.0, 16.0, 1.5)]
    metals = [an_aluminium(), an_aluminium(69000.0, 0.3)]
    found = sweep(structure, ["loop", "stay"], sections, metals, cases)
    assert len(found) == 6
    for one in found:
        bars = tuple(
            bar.made_of(one.variant.section, one.variant.material) if bar.of in ("loop", "stay") else bar
            for bar in structure.bars
        )
        alone = replace(structure, bars=bars)
        limits = limits_of(analysed(alone, cases))
        assert one.payload == pytest.approx(limits.payload, rel=4e-3), (
            "a moment between two places looked at is up to 0.3 % higher"
        )
        assert one.mass == pytest.approx(alone.mass)
    best = pareto(found)
    assert set(best) <= set(found)
    assert all(not (o.mass < b.mass and o.payload > b.payload and o.moves < b.moves) for b in best for o in found)


def test_a_sweep_over_radii_and_of_nothing() -> None:
    found = sweep({50.0: shelf(), 60.0: shelf()}, ["loop"], [Round(12.0)], [an_aluminium()], [STILL])
    assert [one.variant for one in found] == [Variant(Round(12.0), an_aluminium(), r) for r in (50.0, 60.0)]
    with pytest.raises(ValueError, match="no piece"):
        sweep(shelf(), ["wheel"], [Round(12.0)], [an_aluminium()], [STILL])


def test_proof_load_of_a_cantilever() -> None:
    structure = a_bracket(4.0)
    cases = [STILL, BUMP, LoadCase("knocked", "sideways", left=0.5)]
    proof = proof_load(structure, cases)
    assert proof is not None
    assert proof.factor == pytest.approx(1.25 * 3.0), "a quarter more than the hardest press down, and the bar takes it"
    assert proof.proves
    assert proof.mass == pytest.approx(15.0)
    ei = 70000 * math.pi * 12**4 / 64
    assert proof.readings[0].sag == pytest.approx(15.0 * 9.80665 * 200**3 / 3 / ei, rel=3e-3)
    assert (proof.sideways, proof.forward, proof.back) == pytest.approx((0.5 * 4.0 * 9.80665, 0.0, 0.0))
    assert proof.may_stay == pytest.approx(max(0.3, 0.05 * proof.readings[0].sag))
    weak = proof_load(a_bracket(40.0), cases)
    assert weak is not None
    assert not weak.proves
    # Nine tenths of the proof stress over 1.1, no more.
    w = structure.bars[0].line_mass * 9.80665 * 200**2 / 2
    assert weak.mass == pytest.approx((0.9 * 250 / 1.1 * math.pi * 12**3 / 32 - w) / (9.80665 * 200), rel=1e-5)
    assert any("certificate" in caution for caution in weak.cautions)
    assert (
        proof_load(structure_of([a_bar((0, 0, 0), (9, 0, 0))], [Fixing("w", "bar", (0, 0, 0), FIXED)]), cases) is None
    )


def test_rules_are_checked() -> None:
    with pytest.raises(ValueError, match="safety"):
        Rules(0.5)


def test_odd_frames_get_findings_not_errors() -> None:
    """A stub shorter than one place, a crease: told or reckoned, never a number missing."""
    stub = a_bar((0, 0, 0), (0.2, 0, 0), name="stub")
    crease = an_arc(6.0, 90.0, Round(12.0), start=Pose((0, 0, 12.0), (1, 0, 0), (0, 0, 1)), name="crease")
    post = a_bar((0, 0, -60), (0, 0, 60), name="post")
    foot = Fixing("foot", "post", (0, 0, -60), FIXED)
    structure = structure_of([post, stub, crease], [foot], within=20.0)
    verdict = judge(structure, [STILL], structure_findings(structure))
    assert verdict.limits is not None
    assert all(math.isfinite(one.use) for one in verdict.limits.found)
    with pytest.raises(ValueError, match="no length"):
        structure_of([Bar("nothing", Centreline(BendTable((0.0,))), Round(10.0), an_aluminium())])


def test_a_slender_post_bends_sideways() -> None:
    def codes(kg: float) -> list[str]:
        post = a_bar((0, 0, 0), (0, 0, 800), Round(12.0))
        structure = structure_of(
            [post], [Fixing("foot", "bar", (0, 0, 0), FIXED)], Payload(kg, (0, 0, 800), ("bar",), ((0, 0, 800),))
        )
        return [finding.code for finding in judge(structure, [STILL], ()).findings]

    # Euler: pi^2 EI/4 L^2 = 275 N.
    assert "bends-sideways" in codes(10.0)
    assert "bends-sideways" not in codes(1.5)
    assert "carries-too-little" in codes(30.0), "it buckles"


def test_a_frame_that_swings_with_the_road() -> None:
    def mode(hertz: float) -> Mode:
        return Mode(hertz, 0, np.zeros((1, 3)))

    (told,) = shaking_findings([mode(4.0), mode(22.0)])
    assert "22 Hz" in told.says
    assert shaking_findings([mode(4.0), mode(60.0)]) == ()
    (told,) = shaking_findings([mode(18.8), mode(19.3), mode(24.0)])
    assert "swings at 19 and 24 Hz" in told.says, "what is said the same is said once"
