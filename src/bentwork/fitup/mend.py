"""After a measured bend: carry on, correct or start again, and the best remaining bends.

*Carry on* where bends that are still to be made take back what matters, *correct* where setting made bends by hand
makes a good piece so much likelier that it is worth the trouble, *start again* only where going on costs more than it
is worth: where the work still to be done outweighs the chance that it saves a whole new piece.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal

import numpy as np

from bentwork.fitup.actual import Actual
from bentwork.fitup.by_hand import ByHand, Costs, SoFar, limits_by_hand
from bentwork.fitup.controls import Control, Controls, Limits, What, controls_for
from bentwork.fitup.least import stepped
from bentwork.fitup.made import ANGLE, DIRECTION, PLACE, RADIUS, Floats
from bentwork.fitup.matters import Matters
from bentwork.fitup.mending import Plan, best_plan, goal, plan_of, sharpened, stressed
from bentwork.fitup.outlook import Outlook, foreseen
from bentwork.piece.bend import half_turn

__all__ = ["Advice", "Correction", "Mend", "Onward", "mend", "onward_values"]

Advice = Literal["carry on", "correct", "start again"]

_LEAST_CHANCE = 1e-3  # of a new piece: below that nobody knows
_NEARLY, _WELL = 0.08, 0.5  # of a tolerance: what is so near to the best, or so good, asks for no more corrections
_MOST_CORRECTIONS = 6  # where they do
_FEW_DO, _EACH_GAINS = 0.7, 0.02  # of a tolerance: what a few leave; what each of the others has to take off that
_DAMPED = 1e-9
_ROUGHLY = 200  # pieces
_ROUGH = 1e-3  # of the cost: the plan is sharpened after that
_ROUNDED = 1e-6
_TRIFLE = 0.15  # degrees: it is not even worth a word
_LARGE = 1.0  # degrees: more is set in two goes, measured in between
_LEFT_FOR_THE_END = 1.0  # degrees by which each bend or straight may be counted on to be set on the finished piece
_HANDS: tuple[What, ...] = ("set by hand", "wrung")
_BENDS: tuple[What, ...] = ("angle", "direction", "place", "end B")


@dataclass(frozen=True, slots=True)
class Onward:
    """A bend that is still to be made. Angles in degrees, lengths in mm.

    Args:
        bend: its number.
        angle: that it should come out with.
        rotation: from the bend before it on the piece, as in the bend table.
        direction: where round the bar it turns to.
        place: on the straight bar from end A, of what is lined up.
        aim_angle: angle to pull for: another than ``angle`` where bends have been coming out wide or narrow.
        aim_direction: direction to turn for, likewise.
        aim_place: place to set for, likewise.
    """

    bend: int
    angle: float
    rotation: float
    direction: float
    place: float
    aim_angle: float
    aim_direction: float
    aim_place: float


@dataclass(frozen=True, slots=True)
class Correction:
    """Something to be done by hand.

    Args:
        what: ``set``: open or close a bend; ``wring``: twist the straight before a bend.
        bend: number.
        by: degrees; above 0 closes the bend, or turns what lies behind the straight, right-hand rule about A to B.
    """

    what: Literal["set", "wring"]
    bend: int
    by: float


@dataclass(frozen=True, slots=True, eq=False)
class Mend:
    """The best way on. Lengths in mm.

    Args:
        advice: what to do.
        correct: what to do by hand first; empty unless that is the advice.
        onward: the bends that are still to be made, in the order of the piece.
        longer: how much longer than drawn end B is left; below 0 where it is cut shorter.
        before: how the piece turns out when the drawing is followed from here on.
        after: how it turns out this way, with what is set by hand at the end.
        plan: what is expected of it all: values, misses.
        costs_on: expected cost of going on until there is a good piece.
        costs_again: expected cost of starting again now.
        as_it_is: the same as ``plan`` with nothing set by hand.
        too_fine: what would bring it nearer still, were it not less than a hand sets; empty where something is set.
    """

    advice: Advice
    correct: tuple[Correction, ...]
    onward: tuple[Onward, ...]
    longer: float
    before: Outlook
    after: Outlook
    plan: Plan
    costs_on: float
    costs_again: float
    as_it_is: Plan
    too_fine: tuple[Correction, ...] = ()

    @property
    def set_by_hand(self) -> tuple[tuple[int, float], ...]:
        """Bends to set by hand, and by how many degrees."""
        return tuple((one.bend, one.by) for one in self.correct if one.what == "set")

    def as_long_as_nothing_is_set(self, found: Actual) -> Mend:
        """Return the same with the bends that are best for the bar as it is: once it is set, it is mended anew."""
        plan = self.as_it_is
        return replace(self, plan=plan, onward=_onward(plan, found), longer=float(plan.longer[0]))


def mend(
    matters: Matters,
    found: Actual,
    rng: np.random.Generator,
    *,
    limits: Limits | None = None,
    hand: ByHand | None = None,
    costs: Costs | None = None,
    order: Sequence[int] = (),
    chance_again: float | None = None,
    so_far: SoFar | None = None,
) -> Mend:
    """Return the best way on from a bar as it is.

    Args:
        matters: what matters of the piece.
        found: what the bar is believed to be, see ``actual``.
        rng: source of chance, for the outlooks.
        limits: how far the work may leave the drawing.
        hand: what can be done by hand; its limits stand for those of ``limits``.
        costs: of bar and work.
        order: bends in their order, for the outlook.
        chance_again: that a new piece comes out good; None: by the same outlook, from an unbent bar.
        so_far: what has been done by hand to this bar already.
    """
    hand = ByHand() if hand is None else hand
    costs = Costs() if costs is None else costs
    limits = limits_by_hand(Limits() if limits is None else limits, hand)
    state = onward_values(matters, found)[:, :, np.newaxis]
    made = [k + 1 for k, one in enumerate(found.made) if one]
    so_far = SoFar() if so_far is None else so_far
    straights = matters.nominal.straights[:-1].tolist()
    left = so_far.left(straights, hand)
    everything = controls_for(matters.nominal, state, made, limits, left)
    # Ways on are weighed against one another: by the same chance.
    ahead = partial(foreseen, matters, found, limits=limits, order=order)
    before = ahead(state[..., 0], 0.0, rng=deepcopy(rng), mended=False, samples=_ROUGHLY).outlook(state[..., 0], 0.0)
    going_on = len(made) < matters.nominal.bends
    by_bends = _sharp(matters, everything.only(_BENDS), limits)
    again = _again(matters, found, limits, deepcopy(rng), hand, order) if chance_again is None else chance_again
    costs_again = (costs.bar + costs.bend * matters.nominal.bends) / max(again, _LEAST_CHANCE)
    plan, chosen = _carried(matters, everything, limits, by_bends), tuple[Correction, ...]()
    by_hand = ahead(*_comes_to(plan), rng=deepcopy(rng), hand=hand, left=left)
    after = (by_hand if going_on else replace(by_hand, sets=None)).outlook(*_comes_to(plan))
    wished = _corrected(matters, everything, limits, by_bends) if made else None
    corrected = None if wished is None else _settable(matters, wished, limits, hand.least)
    if corrected is not None and _worst(matters, corrected) > _worst(matters, by_bends) - _NEARLY:
        corrected = None
    told = () if corrected is None else _told(corrected, hand)
    if corrected is not None and told:
        # What saves so much of a new piece that it is worth its trouble, and all that makes it good at its best.
        rest = _then(so_far, corrected).left(straights, hand)
        set_so = by_hand.outlook(*_comes_to(corrected), added=_by_hand_errors(corrected, hand), left=rest)
        saves = (set_so.good - after.good) * costs_again > costs.correction * len(told)
        if saves or (after.worst > 1.0 and set_so.worst < after.worst - _NEARLY):
            plan, after, chosen = corrected, set_so, told
    too_fine = () if told or wished is None else _told(wished, hand)
    if any(abs(one.by) >= hand.least for one in too_fine):
        too_fine = ()
    to_do = costs.bend * (matters.nominal.bends - len(made)) + costs.correction * len(chosen)
    costs_on = to_do + (1.0 - after.good) * costs_again
    advice: Advice = "correct" if chosen else "carry on"
    if made and costs_on > costs_again:
        advice, chosen = "start again", ()
    return Mend(
        advice=advice,
        correct=chosen,
        onward=_onward(plan, found),
        longer=float(plan.longer[0]),
        before=before,
        after=after,
        plan=plan,
        costs_on=costs_on,
        costs_again=costs_again,
        as_it_is=by_bends,
        too_fine=too_fine,
    )


def onward_values(matters: Matters, found: Actual) -> Floats:
    """Return the bar as it is believed to be, and as drawn where it is not bent yet, shape (5, n)."""
    values = found.values.copy()
    for k, made in enumerate(found.made):
        if not made:
            values[[ANGLE, DIRECTION, PLACE], k] = matters.nominal.values[[ANGLE, DIRECTION, PLACE], k]
    return values


def _comes_to(plan: Plan) -> tuple[Floats, float]:
    return plan.values[..., 0], float(plan.longer[0])


def _carried(matters: Matters, everything: Controls, limits: Limits, by_bends: Plan) -> Plan:
    """The best bends to come, nothing set by hand yet.

    They make up for what cannot be set by hand: where a bend comes to lie is for good, its angle and the way it turns
    to are not. So they are planned together with the little that will be set by hand in the end.
    """
    hands = any(one.what in _HANDS for one in everything.all)
    if all(everything.made) or not hands or _worst(matters, by_bends) < _WELL:
        return by_bends
    few = everything.within(_HANDS, _LEFT_FOR_THE_END)
    together = _sharp(matters, few, limits)
    changes = together.changes[[one.what in _BENDS for one in everything.all]]
    return plan_of(matters, by_bends.controls, limits, changes)


def _corrected(matters: Matters, everything: Controls, limits: Limits, carried: Plan) -> Plan | None:
    """The plan with as few corrections by hand as gain nearly all that there is to gain; None where none gains.

    Where a few are not enough, all together may be: the ends of a loop that stands in space meet by a little of each.
    """
    if _worst(matters, carried) < _WELL:
        return None
    ranked = _ranked(matters, everything, limits, carried)
    if not ranked:
        return None
    least = min(worst for _, worst in ranked)
    enough = max(least + _NEARLY, _WELL)
    count = next(number for number, (_, worst) in enumerate(ranked, 1) if worst <= enough)
    kept = [control for control, _ in ranked[:count]]
    dropped = [one for one in everything.all if one.what in _HANDS and one not in kept]
    few = _sharp(matters, everything.without(dropped), limits)
    if least < _FEW_DO or not dropped:
        return few
    full = _sharp(matters, everything, limits)
    gains = _worst(matters, few) - _worst(matters, full)
    return full if gains > _EACH_GAINS * len(dropped) else few


def _settable(matters: Matters, plan: Plan, limits: Limits, least: float) -> Plan:
    """The same with nothing finer than a hand sets: that is set by the least or left, and the rest is made anew."""
    while any(abs(change) < least - _ROUNDED for _, change in _by_hand(plan)):
        coarse = plan.controls.coarser(_HANDS, plan.changes[:, 0], least)
        plan = _sharp(matters, coarse, limits)
    return plan


def _worst(matters: Matters, plan: Plan) -> float:
    return float(matters.worst(plan.out)[0])


def _sharp(matters: Matters, controls: Controls, limits: Limits) -> Plan:
    return sharpened(matters, best_plan(matters, controls, limits, still=_ROUGH), limits)


def _ranked(matters: Matters, everything: Controls, limits: Limits, carried: Plan) -> list[tuple[Control, float]]:
    """Corrections in the order in which each gains most beside those before it, and what each leaves as the worst.

    By straight lines about the plan without any: matching pursuit, each time with all that was chosen solved anew,
    within what the bar stands; what is worst counts most, since a piece is judged by that.
    """
    hands = [k for k, one in enumerate(everything.all) if one.what in _HANDS]
    chosen = [k for k, one in enumerate(everything.all) if one.what not in _HANDS]
    start = np.zeros((len(everything.all), 1))
    start[chosen] = carried.changes
    stress = stressed(matters, carried.out)
    out, by = goal(matters, everything, limits, start, True, stress)
    slopes, size, unstressed = by[..., 0], len(matters.scales), (matters.scales / stress)[:, np.newaxis]
    room_low, room_high = everything.low - start[:, 0], everything.high - start[:, 0]
    found: list[tuple[Control, float]] = []
    for _ in range(min(_MOST_CORRECTIONS, len(hands))):
        each = np.array([[*chosen, k] for k in hands if k not in chosen]).T
        misses, columns = np.repeat(out, each.shape[1], axis=1), slopes[:, each]
        nothing, damped = np.zeros(each.shape), np.full(each.shape[1], _DAMPED)
        steps = stepped(misses, columns, nothing, room_low[each], room_high[each], damped)
        rests = misses + np.einsum("kpm,pm->km", columns, steps)
        least = int(np.argmin(np.sum(rests**2, axis=0)))
        chosen.append(int(each[-1, least]))
        worst = float(matters.worst(rests[:size, [least]] * unstressed)[0])
        found.append((everything.all[chosen[-1]], worst))
        if worst < _WELL:
            break
    return found


def _by_hand(plan: Plan) -> list[tuple[Control, float]]:
    return [
        (control, float(change))
        for control, change in zip(plan.controls.all, plan.changes[:, 0], strict=True)
        if control.what in _HANDS
    ]


def _then(so_far: SoFar, plan: Plan) -> SoFar:
    """What has been done by hand once a plan's corrections are made."""
    sets, wrings = ({one.bend: change for one, change in _by_hand(plan) if one.what == what} for what in _HANDS)
    return so_far.and_then(sets, wrings, len(plan.controls.made))


def _by_hand_errors(plan: Plan, hand: ByHand) -> Floats:
    """What one standard deviation of each correction's error does, shape (c, 5, n)."""
    values, found = plan.values[..., 0], []
    for control, change in _by_hand(plan):
        error = np.zeros_like(values)
        sd = float(np.hypot(hand.sd, hand.share * change))
        if control.what == "wrung":
            error[DIRECTION, control.bend :] = sd
        else:
            error[ANGLE, control.bend] = sd
            error[RADIUS, control.bend] = -sd * values[RADIUS, control.bend] / values[ANGLE, control.bend]
        found.append(error)
    return np.array(found).reshape(-1, *values.shape)


def _told(plan: Plan, hand: ByHand) -> tuple[Correction, ...]:
    """What is told: large ones short by one standard deviation, since what went too far is set back from the rest."""
    found = []
    for control, change in _by_hand(plan):
        if abs(change) > _TRIFLE:
            short = math.hypot(hand.sd, hand.share * change) if abs(change) > _LARGE else 0.0
            by = math.copysign(abs(change) - short, change)
            found.append(Correction("set" if control.what == "set by hand" else "wring", control.bend + 1, by))
    return tuple(found)


def _onward(plan: Plan, found: Actual) -> tuple[Onward, ...]:
    values, off = plan.values[..., 0], found.out
    told = []
    for k, made in enumerate(found.made):
        if made:
            continue
        angle, direction, place = (float(values[kind, k]) for kind in (ANGLE, DIRECTION, PLACE))
        before = float(values[DIRECTION, k - 1]) if k else direction
        told.append(
            Onward(
                k + 1,
                angle,
                half_turn(direction - before),
                direction,
                place,
                angle - float(off[ANGLE, k]),
                direction - float(off[DIRECTION, k]),
                place - float(off[PLACE, k]),
            )
        )
    return tuple(told)


def _again(
    matters: Matters, found: Actual, limits: Limits, rng: np.random.Generator, hand: ByHand, order: Sequence[int]
) -> float:
    """Chance of a new piece: an unbent bar, with what this one has told of all bends."""
    own = 3 * matters.nominal.bends
    fresh = np.eye(len(found.spread))
    fresh[own:, own:] = found.spread[own:, own:]
    nobody = replace(found, made=(False,) * matters.nominal.bends, spread=fresh, errors=np.zeros_like(found.errors))
    drawn = matters.nominal.values
    return foreseen(matters, nobody, drawn, 0.0, limits, rng, order=order, hand=hand).outlook(drawn, 0.0).good
