"""The bending beside the die against the exact shape of the leg, and lever torque against the balance of work.

The leg is a bar held at the die and pressed by a follower square to itself. Its shape is followed here step by step
with the full geometry, from the follower to where it meets the die; the package has closed forms for small angles.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from bentwork.files.catalogue import materials
from bentwork.forming.arc_used import arc_used
from bentwork.forming.die_bend import Arms, DieBend, die_bends
from bentwork.forming.hardening import law_of
from bentwork.forming.moment import Bar, Floats
from bentwork.forming.pressing import ram_bend
from bentwork.stock.section import Round, Section, Tube

CASES = [
    (Round(12), "6082-T6", 50.0, 22.0),
    (Round(10), "6082-T6", 40.0, 60.0),
    (Round(12), "S235", 50.0, 40.0),
    (Tube(25, 2), "6060-T66", 75.0, 60.0),
    (Round(8), "304", 24.0, 20.0),
]


class ExactLeg:
    """One leg, nominal arm ``arm``, of a bar on a die."""

    def __init__(self, bar: Bar, radius: float, arm: float) -> None:
        self.curvatures = np.concatenate([[0.0], np.geomspace(1e-3, 1.0, 3000)]) / radius
        self.moments = 1000.0 * bar.moment(self.curvatures)
        self.stiffness, self.radius, self.arm = bar.stiffness, radius, arm
        highest = 1000.0 * float(bar.moment(1.0 / radius)) / arm
        self.force = brentq(self.miss, 0.3 * highest, 1.2 * highest, xtol=1e-6)
        self.length, self.turn, self.kept, self.x, self.y = self.shape(self.force)

    def shape(self, force: float) -> tuple[float, float, float, float, float]:
        """Length, turn, kept turn, and place of the follower seen from where the bar leaves the die."""

        def grow(_: float, state: Floats) -> list[float]:
            curvature = float(np.interp(force * state[1], self.moments, self.curvatures))
            kept = curvature - force * state[1] / self.stiffness
            return [curvature, math.cos(state[0]), math.sin(state[0]), kept]

        def at_die(_: float, state: Floats) -> float:
            return force * float(state[1]) - float(self.moments[-1])

        at_die.terminal = True  # type: ignore[attr-defined]
        found = solve_ivp(
            grow,
            (0.0, 20.0 * self.arm),
            [0.0, 0.0, 0.0, 0.0],
            events=at_die,
            rtol=1e-9,
            atol=1e-12,
            max_step=self.arm / 50,
        )
        turn, along, aside, kept = found.y[:, -1]
        x = along * math.cos(turn) + aside * math.sin(turn)
        y = along * math.sin(turn) - aside * math.cos(turn)
        return float(found.t[-1]), float(turn), float(kept), x, y

    def miss(self, force: float) -> float:
        """How far the follower comes out from where the lever holds it, seen from the pivot."""
        *_, x, y = self.shape(force)
        return math.hypot(x, self.radius - y) - math.hypot(self.arm, self.radius)

    @property
    def lag(self) -> float:
        return math.degrees(math.atan2(self.x, self.radius - self.y) - math.atan2(self.arm, self.radius))

    @property
    def torque(self) -> float:
        """Torque about the pivot of the follower's push, N m."""
        across, along = math.cos(self.turn), -math.sin(self.turn)
        return float(self.force * (self.x * across - (self.y - self.radius) * along) / 1000.0)


def solved(section: Section, name: str, radius: float, held: float, free: float) -> DieBend:
    return die_bends(Bar(section, law_of(materials()[name])), radius, (1.0,), Arms(held, free))[0]


@pytest.mark.parametrize(("section", "name", "radius", "arm"), CASES)
def test_leg_against_its_exact_shape(section: Section, name: str, radius: float, arm: float) -> None:
    bend = solved(section, name, radius, 0.0, arm)
    exact, leg = ExactLeg(bend.bar, radius, arm), bend.free
    assert leg.length == pytest.approx(exact.length, rel=3e-3)
    assert leg.lag == pytest.approx(exact.lag, rel=1e-2)
    assert leg.kept == pytest.approx(math.degrees(exact.kept), rel=1e-2)
    assert 1000.0 * bend.moment / leg.length == pytest.approx(exact.force, rel=1e-3)
    # What counts is the angle that is left of a pull: within a hundredth of a degree.
    left = (180.0 - exact.lag) * bend.ratio + math.degrees(exact.kept)
    assert bend.relaxed(180.0) == pytest.approx(left, abs=0.01)


@pytest.mark.parametrize(("section", "name", "radius", "arm"), CASES)
def test_lever_torque_is_the_work_of_laying_bar_on_the_die(
    section: Section, name: str, radius: float, arm: float
) -> None:
    bend = solved(section, name, radius, 0.0, arm)
    assert ExactLeg(bend.bar, radius, arm).torque == pytest.approx(radius * bend.work / 1000.0, rel=1e-5)


@pytest.mark.parametrize(("section", "name", "radius", "arm"), CASES)
@pytest.mark.parametrize("wanted", [30.0, 90.0, 135.0])
def test_bar_used_against_the_whole_relaxed_curve(
    section: Section, name: str, radius: float, arm: float, wanted: float
) -> None:
    """Corner point and bar used, from the relaxed curvature of every mm added up from hook to follower."""
    bend = solved(section, name, radius, 0.75 * arm, arm)
    used, pulled = arc_used(bend, wanted), bend.pull(wanted)
    wrapped = radius * math.radians(pulled - bend.lag)
    held, free = bend.held.length, bend.free.length
    curvatures = np.concatenate([[0.0], np.geomspace(1e-4, 1.0, 4000)]) / radius
    moments = 1000.0 * bend.bar.moment(curvatures)

    def kept(x: Floats, length: float) -> Floats:
        """Relaxed curvature at x of a leg's length, the die being at its end."""
        moment = moments[-1] * np.clip(x / length, 0.0, 1.0)
        return np.asarray(np.interp(moment, moments, curvatures) - moment / bend.bar.stiffness)

    s = np.linspace(0.0, held + wrapped + free, 40_001)
    middle = (s[1:] + s[:-1]) / 2.0
    on_die = (middle > held) & (middle < held + wrapped)
    curvature = np.where(
        on_die, bend.ratio / radius, np.where(middle <= held, kept(middle, held), kept(s[-1] - middle, free))
    )
    turned = np.concatenate([[0.0], np.cumsum(curvature * np.diff(s))])
    heading = (turned[1:] + turned[:-1]) / 2.0
    x, y = np.sum(np.cos(heading) * np.diff(s)), np.sum(np.sin(heading) * np.diff(s))
    assert math.degrees(turned[-1]) == pytest.approx(wanted, abs=0.01)
    to_corner, from_corner = x - y / math.tan(turned[-1]), y / math.sin(turned[-1])
    # The mark lies at the nominal tangent point, one nominal arm from the hook; so does the end of the arc.
    assert used.setback_held == pytest.approx(to_corner - 0.75 * arm, abs=0.1)
    assert used.setback_free == pytest.approx(from_corner - arm, abs=0.1)
    assert used.arc == pytest.approx(s[-1] - 1.75 * arm, rel=1e-9)


@pytest.mark.parametrize(("section", "name", "radius", "arm"), CASES)
def test_energy_is_what_every_mm_of_bar_has_stored(section: Section, name: str, radius: float, arm: float) -> None:
    """Moment squared over twice the stiffness, added up along the bar; N mm over 1,000 is J."""
    bend = solved(section, name, radius, 0.75 * arm, arm)
    pulled, moment = bend.pull(90.0), 1000.0 * bend.moment
    fading = np.mean(np.linspace(0.0, 1.0, 20_001) ** 2)
    along = radius * math.radians(pulled - bend.lag) + fading * (bend.held.length + bend.free.length)
    assert bend.energy(pulled) == pytest.approx(moment**2 / (2.0 * bend.bar.stiffness) * along / 1000.0, rel=1e-4)


@pytest.mark.parametrize("wanted", [6.0, 30.0, 60.0, 90.0])
@pytest.mark.parametrize(
    ("section", "name", "radius", "span"),
    [(Tube(25, 2), "6060-T66", 75.0, 300.0), (Round(12), "S235", 50.0, 180.0), (Round(10), "6082-T6", 60.0, 240.0)],
)
def test_bar_between_rollers_against_its_whole_curve(
    section: Section, name: str, radius: float, span: float, wanted: float
) -> None:
    """Follow the bent bar from the middle of the former to the roller: it must touch it, and relax as wanted."""
    bend, roller = solved(section, name, radius, 0.0, 0.0), 20.0
    pushed = ram_bend(bend, wanted, span, roller)
    reach = roller + section.depth() / 2.0
    moment = pushed.roller * pushed.leg
    curvatures = np.concatenate([[0.0], np.geomspace(1e-4, 1.0, 4000)]) / radius
    moments = 1000.0 * bend.bar.moment(curvatures)
    steps = 20_000
    s = (np.arange(steps) + 0.5) * pushed.leg / steps
    fading = moment * (1.0 - s / pushed.leg)
    loaded = np.interp(fading, moments, curvatures)
    turn = np.cumsum(loaded) * pushed.leg / steps
    side = math.radians(pushed.pushed_to) / 2.0 - turn[-1]  # what lies on the former, or next to nothing
    assert side > -1e-3
    left = side * bend.ratio + np.sum(loaded - fading / bend.bar.stiffness) * pushed.leg / steps
    assert math.degrees(2.0 * left) == pytest.approx(wanted, abs=0.02)
    heading = side + turn - loaded * pushed.leg / steps / 2.0
    x = radius * math.sin(side) + np.sum(np.cos(heading)) * pushed.leg / steps
    y = radius - pushed.stroke - radius * math.cos(side) + np.sum(np.sin(heading)) * pushed.leg / steps
    end = side + turn[-1]
    # The centre of the roller stands at half the span, as far below the bar as it did before the push.
    assert x + reach * math.sin(end) == pytest.approx(span / 2.0, rel=0.01)
    assert y - reach * math.cos(end) == pytest.approx(-reach, abs=0.01 * span / 2.0)
    # Both rollers push square to the bar: upwards against the former, and along it with their friction.
    assert pushed.push == pytest.approx(2.0 * pushed.roller * (math.cos(end) + 0.05 * math.sin(end)), rel=1e-6)
