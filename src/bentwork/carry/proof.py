"""The proof load: what to hang where, for how long, what to measure, when to reject."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.analysis import Analysed, analyse
from bentwork.carry.cases import GRAVITY, LoadCase
from bentwork.carry.limits import Limit, Rules, limits_of
from bentwork.carry.pressed import whole_limits
from bentwork.carry.recovery import moves_of_ends
from bentwork.carry.structure import Structure
from bentwork.space import Vec
from bentwork.units import Ruler

__all__ = ["CAUTIONS", "MINUTES", "ProofLoad", "Reading", "proof_load"]

Floats = NDArray[np.float64]

MINUTES = 10
"""How long it hangs (common practice, no source): long enough for creeping bolts and cracks to show."""

_MORE = 1.25  # above the hardest use: common practice, as for lifting gear
_MOST_USED = 0.9  # of the proof stress: it must come back
_STAYS = 0.05  # of the sag that may stay: common practice
_LEAST = 0.3  # mm: what a dial gauge or a steel rule and a sharp eye can tell
_OFF = 0.3  # how far the sag may be from the reckoned one before something is not as drawn: common practice

CAUTIONS = (
    "Load it slowly and low above the floor, with blocks under it, so that it cannot fall if it gives.",
    "Nobody under it, beside it or on it; keep feet and hands away; wear eye protection.",
    "A frame that has passed once can still tire: look at the welds named here from time to time.",
    "No certificate: the limits of carrier and vehicle, local codes and a licensed engineer have the last word.",
)


@dataclass(frozen=True, slots=True)
class Reading:
    """Where to measure: which bar, where (mm), and how far it should go down under the proof load, mm."""

    bar: str
    place: Vec
    sag: float


@dataclass(frozen=True, slots=True)
class ProofLoad:
    """A proof load.

    Args:
        mass: to put on where the payload bears, kg.
        factor: times the payload.
        covers: times its weight that the payload presses down in the hardest use.
        proves: whether the mass reaches that use.
        minutes: how long.
        bearing: where it bears, mm.
        sideways: force to pull with at the payload's centre, to each side, under the payload alone, N; 0 when no case
            is sideways or the frame would not come back from it.
        forward: the same forward.
        back: the same back.
        readings: where to measure, the largest sag first.
        look_at: what to look at for cracks and dents: what is used most.
        may_stay: how much of the sag may stay when it is taken off, mm.
        rejects: when it has failed; ``{stays}`` stands for ``may_stay``, ``{least}`` for what can be told by eye.
        cautions: for who does it.
    """

    mass: float
    factor: float
    covers: float
    proves: bool
    minutes: int
    bearing: tuple[Vec, ...]
    sideways: float
    forward: float
    back: float
    readings: tuple[Reading, ...]
    look_at: tuple[Limit, ...]
    may_stay: float
    rejects: tuple[str, ...]
    cautions: tuple[str, ...] = CAUTIONS

    def pulls(self, ruler: Ruler) -> str:
        """Return how to pull at it, in a sentence; empty where no case throws it to a side."""
        ways = ((self.sideways, "to each side"), (self.forward, "forward"), (self.back, "back"))
        told = [f"{ruler.force(force)} {way}" for force, way in ways if force]
        if not told:
            return ""
        down_to = ruler.load(self.mass / self.factor, 4)
        return f"Take it down to {down_to}, then pull with {', '.join(told)}, at the height of the payload's middle."

    def reasons(self, ruler: Ruler) -> tuple[str, ...]:
        """Return when it has failed, lengths in the maker's units."""
        return tuple(one.format(stays=ruler.length(self.may_stay), least=ruler.length(_LEAST)) for one in self.rejects)


def proof_load(structure: Structure, cases: Sequence[LoadCase], rules: Rules | None = None) -> ProofLoad | None:
    """Return the proof load of a frame; None when it carries nothing, can move, or cannot bear any.

    A quarter more than the hardest press down in use, but no more than what uses nine tenths of the metal's proof
    stress (beside welds: of the softened metal) or of what buckles: the frame must come back. It is pulled at under the
    payload alone. What cannot be proved is told, or left out.

    Args:
        structure: the frame with its payload.
        cases: of its use.
        rules: how it is judged; its safety is left out here.
    """
    rules = rules or Rules()
    borne = structure.borne
    if borne is None or not borne.bearings:
        return None
    still = LoadCase("proof load", "static")
    solved = analyse(structure, [still])
    if not isinstance(solved, Analysed):
        return None
    gently = Rules(1.0 / _MOST_USED, rules.welding, rules.filler)
    bearable = whole_limits(solved, limits_of(solved, gently), gently)
    hardest = max((case.down for case in cases), default=1.0)
    factor = min(_MORE * hardest, bearable.payload)
    if factor <= 0.0:
        return None
    readings = _readings(solved, factor)
    sideways, forward, back = _pulls(structure, cases, gently) if factor >= 1.0 else (0.0, 0.0, 0.0)
    weight = borne.payload.mass * GRAVITY
    stays = max(_STAYS * readings[0].sag, _LEAST)
    return ProofLoad(
        borne.payload.mass * factor,
        factor,
        hardest,
        factor >= hardest,
        MINUTES,
        tuple(at.place for at in borne.bearings),
        sideways * weight,
        forward * weight,
        back * weight,
        readings,
        tuple(one for one in bearable.distinct if one.what != "buckling")[:3],
        stays,
        (
            "more than {stays} of the sag stays when the load is off",
            f"the sag is more than {_OFF:.0%}, and more than {{least}}, off what is reckoned: something is not as "
            "drawn",
            "there is a crack, a dent, a wrinkle, a bolt that has moved, or a noise",
            "the sag grows while it hangs",
        ),
    )


def _pulls(structure: Structure, cases: Sequence[LoadCase], rules: Rules) -> tuple[float, float, float]:
    """Times the payload's weight to pull with to each side, forward and back; 0 for what the frame would not bear."""
    asked = (
        max(abs(case.left) for case in cases),
        max(max(case.forward, 0.0) for case in cases),
        max(max(-case.forward, 0.0) for case in cases),
    )
    ways = ((0, 0.0, 1.0), (0, 0.0, -1.0), (1, 1.0, 0.0), (2, -1.0, 0.0))
    pulled = [LoadCase(f"pull {k}", "static", 1.0, asked[k] * ahead, asked[k] * aside) for k, ahead, aside in ways]
    solved = analyse(structure, pulled)
    if not isinstance(solved, Analysed):
        return 0.0, 0.0, 0.0
    borne = limits_of(solved, rules).by_bar.min(axis=0) >= 1.0
    bears = (borne[0] and borne[1], borne[2], borne[3])
    sideways, forward, back = (one if held else 0.0 for one, held in zip(asked, bears, strict=True))
    return sideways, forward, back


def _readings(solved: Analysed, factor: float) -> tuple[Reading, ...]:
    """Where the bars go down most under this many times the payload, the own weight's sag left out: one place a bar.

    The largest, and two more that can be told with a rule.
    """
    _, carried = solved.parts(moves_of_ends(solved.solved))
    elements = solved.built.frame.elements
    down = -factor * (carried[:, :, :3, 0] @ np.array(solved.structure.directions.up))
    found: dict[str, Reading] = {}
    for flat in np.argsort(-down, axis=None):
        element, end = np.unravel_index(int(flat), down.shape)
        bar = solved.structure.bars[int(elements.bar[element])].name
        if bar not in found:
            x, y, z = (float(c) for c in elements.ends[element, end])
            found[bar] = Reading(bar, (x, y, z), float(down[element, end]))
        if len(found) == 3:
            break
    largest, *others = found.values()
    return (largest, *(one for one in others if one.sag >= _LEAST))
