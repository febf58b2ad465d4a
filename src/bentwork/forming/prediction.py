"""The one door: a bar, a die, a wanted angle; out come the pull, what is left, the moment, the strain, and how sure."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bentwork.forming.arc_used import ArcUsed, arc_used
from bentwork.forming.die_bend import Arms, DieBend, die_bends, short_of_the_die
from bentwork.forming.hardening import law_of
from bentwork.forming.moment import Bar
from bentwork.forming.scatter import Correction, Prior, handbook_prior
from bentwork.stock.material import Material
from bentwork.stock.section import Section, Way

__all__ = ["Prediction", "SpringsStraight", "outer_strain", "predict", "pull_with", "relaxed_with"]


@dataclass(frozen=True, slots=True)
class SpringsStraight:
    """The die is too big for this bar: it stays elastic and springs straight.

    Args:
        radius: centreline radius of the die, mm.
        yields_at: centreline radius below which the bar begins to stay bent, mm.
    """

    radius: float
    yields_at: float


@dataclass(frozen=True, slots=True)
class Prediction:
    """One bend. Angles in degrees, lengths in mm.

    Args:
        wanted: angle that is to be left.
        bend_to: angle to pull to.
        low: the pull may be as little as this, with ``scatter.CERTAINTY``.
        high: or as much as this.
        relaxed_radius: centreline radius that is left.
        ratio: what is left of an angle wrapped on the die.
        moment: in the bar on the die, N m.
        moment_range: lower and upper end of it, by the scatter of yield, N m.
        strain: stretch of the outermost fibre on the die, a fraction.
        used: bar that the bend takes, and how the marks move; None where the bend is too small to lie on the die.
        energy: that the bar gives back when it is let go, J.
        bend: the bar on the die, as likeliest.
        correction: of the model, as likeliest.
    """

    wanted: float
    bend_to: float
    low: float
    high: float
    relaxed_radius: float
    ratio: float
    moment: float
    moment_range: tuple[float, float]
    strain: float
    used: ArcUsed | None
    energy: float
    bend: DieBend
    correction: Correction

    @property
    def springback(self) -> float:
        """How much further than wanted it is pulled, degrees; below 0 where soft legs keep more than is shown."""
        return self.bend_to - self.wanted

    def relaxed(self, pulled: float) -> float:
        """Return the angle that is left of another pull, degrees."""
        return relaxed_with(self.bend, self.correction, pulled)


def predict(
    section: Section,
    material: Material,
    way: Way,
    die_radius: float,
    wanted_angle: float,
    *,
    held_arm: float = 0.0,
    free_arm: float = 0.0,
    yield_factor: float | None = None,
    prior: Prior | None = None,
) -> Prediction | SpringsStraight:
    """Return what happens to one bend.

    Args:
        section: of the bar.
        material: of the bar.
        way: which way it is bent.
        die_radius: centreline radius of the die, mm.
        wanted_angle: angle that is to be left, degrees, above 0 and below 360.
        held_arm: from the die's tangent point back to the middle of the hook, mm; 0: clamped to the die.
        free_arm: from the tangent point ahead to where the follower presses, mm; 0: left out.
        yield_factor: strength of this bar over the material's figures, where it is known; 1.0 takes the figures as they
            stand. None: the likeliest of the prior, and its scatter in the interval.
        prior: what is known of bar and bender; None: the handbook.

    Raises:
        ValueError: an angle, a radius, an arm or a factor makes no sense.
    """
    if not 0.0 < wanted_angle < 360.0:
        raise ValueError(f"a bend angle lies between 0 and 360 degrees, not {wanted_angle:g}")
    if yield_factor is not None and not (math.isfinite(yield_factor) and yield_factor > 0.0):
        raise ValueError(f"a yield factor is above 0, not {yield_factor:g}")
    prior = prior or handbook_prior(material)
    spread = prior.yield_factor
    strengths = (spread.median, spread.low, spread.high) if yield_factor is None else (yield_factor,)
    bar = Bar(section, law_of(material), way)
    solved = die_bends(bar, die_radius, strengths, Arms(held_arm, free_arm))
    likely, weak, strong = solved if yield_factor is None else solved * 3
    if likely.ratio == 0.0:
        return SpringsStraight(die_radius, 1.0 / bar.yield_curvature(strengths[0]))
    correction = prior.correction
    bend_to = pull_with(likely, correction, wanted_angle)
    model = bend_to - wanted_angle - correction.lost_angle
    below = (likely.pull(wanted_angle) - weak.pull(wanted_angle)) * correction.model_factor
    above = (strong.pull(wanted_angle) - likely.pull(wanted_angle)) * correction.model_factor
    less, more = (end / prior.model_factor.median - 1.0 for end in (prior.model_factor.low, prior.model_factor.high))
    if model < 0.0:  # soft legs keep more than is shown: a larger factor then asks for less
        below, above = above, below
        less, more = more, less
    play = prior.lost_angle.half_width
    return Prediction(
        wanted=wanted_angle,
        bend_to=bend_to,
        low=max(0.0, bend_to - math.hypot(below, less * model, play)),
        high=bend_to + math.hypot(above, more * model, play),
        relaxed_radius=likely.relaxed_radius,
        ratio=likely.ratio,
        moment=likely.moment,
        moment_range=(weak.moment, strong.moment),
        strain=outer_strain(section, way, die_radius),
        used=arc_used(likely, wanted_angle) if wanted_angle >= likely.kept else None,
        energy=likely.energy(likely.pull(wanted_angle)),
        bend=likely,
        correction=correction,
    )


def pull_with(bend: DieBend, correction: Correction, wanted: float) -> float:
    """Return the angle to pull to, degrees, on a bender whose springback is so much more than the model's."""
    return wanted + correction.model_factor * (bend.pull(wanted) - wanted) + correction.lost_angle


def relaxed_with(bend: DieBend, correction: Correction, pulled: float) -> float:
    """Return the angle that is left of a pull, degrees, 0 or more: the inverse of ``pull_with``."""
    factor, pulled = correction.model_factor, pulled - correction.lost_angle
    if pulled <= 0.0:
        return 0.0

    def shown(state: DieBend) -> float:
        return state.kept + factor * (state.lag - state.kept)

    if pulled < shown(bend):
        return short_of_the_die(bend, shown, pulled).kept
    if bend.ratio == 0.0:
        return 0.0
    wrapped = (pulled - factor * (bend.lag - bend.kept / bend.ratio)) / (1.0 + factor * (1.0 / bend.ratio - 1.0))
    return max(bend.kept, wrapped)


def outer_strain(section: Section, way: Way, radius: float) -> float:
    """Return the stretch of the outermost fibre at a centreline radius, mm: half depth over radius, a fraction."""
    return section.depth(way) / (2.0 * radius)
