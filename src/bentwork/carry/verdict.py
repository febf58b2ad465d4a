"""What the frame carries and what gives first: everything about one frame under its load cases, with its findings."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.amounts import Load
from bentwork.carry.analysis import Analysed, analyse
from bentwork.carry.buckling import AMPLE, Buckling, buckling
from bentwork.carry.cases import LoadCase
from bentwork.carry.fine import fine_frame
from bentwork.carry.holes import hole_findings
from bentwork.carry.limits import Limit, Limits, Rules, limits_of
from bentwork.carry.mechanisms import Motion, movement_findings
from bentwork.carry.payload import borne_share, spread
from bentwork.carry.pressed import middle_of, with_buckling
from bentwork.carry.structure import Structure
from bentwork.carry.tabs_told import tab_findings
from bentwork.carry.unlike import moves_findings
from bentwork.carry.vibration import Mode, modes_of, shaking_findings
from bentwork.findings import Finding, by_weight, has_stop
from bentwork.space import Vec

__all__ = ["CAUTION", "Sag", "Verdict", "judge"]

Floats = NDArray[np.float64]

CAUTION = (
    "An estimate is no certificate. What the carrier and the vehicle may bear, local codes and a licensed engineer "
    "have the last word, above all where people can be hurt."
)


@dataclass(frozen=True, slots=True)
class Sag:
    """The place that moves most in a case: how far (mm), on which bar, where."""

    case: str
    mm: float
    bar: str
    place: Vec


@dataclass(frozen=True, slots=True, eq=False)
class Verdict:
    """What is known of the frame.

    Args:
        structure: the frame.
        findings: by weight.
        motions: how it moves without bending; then nothing else is known.
        analysed: the solution; None when it cannot be reckoned.
        limits: everything that may give, the first to give first.
        sags: the largest move in every case.
        buckling: factors on all loads, one a case.
        modes: natural frequencies with the payload.
    """

    structure: Structure
    findings: tuple[Finding, ...]
    motions: tuple[Motion, ...] = ()
    analysed: Analysed | None = None
    limits: Limits | None = None
    sags: tuple[Sag, ...] = ()
    buckling: tuple[Buckling, ...] = ()
    modes: tuple[Mode, ...] = ()

    @property
    def carries(self) -> float:
        """Payload with the required safety, kg; 0 when nothing is known or it cannot carry itself."""
        borne = self.structure.borne
        if self.limits is None or borne is None:
            return 0.0
        return borne.payload.mass * self.limits.payload

    @property
    def first_to_give(self) -> tuple[Limit, ...]:
        """What gives first, second and third."""
        return self.limits.distinct[:3] if self.limits is not None else ()


def judge(
    structure: Structure,
    cases: Sequence[LoadCase],
    findings: Sequence[Finding],
    rules: Rules | None = None,
    between: Callable[[], object] = lambda: None,
) -> Verdict:
    """Reckon the frame under its cases; with a ``stop`` among the findings, or no case, only these are told.

    Args:
        structure: the frame.
        cases: load cases.
        findings: of the structure and of its use, from before.
        rules: safety, welding, filler.
        between: called between the steps that take long; what it raises ends the reckoning.
    """
    rules = rules or Rules()
    if has_stop(findings) or not cases:
        return Verdict(structure, by_weight(findings))
    found = analyse(structure, cases)
    if not isinstance(found, Analysed):
        return Verdict(structure, by_weight((*findings, *movement_findings(structure, found))), found)
    between()
    fine = fine_frame(structure)
    between()
    buckles = buckling(fine, cases) if fine is not None else ()
    modes = modes_of(fine) if fine is not None else ()
    between()
    limits = with_buckling(limits_of(found, rules, between), found, buckles, rules)
    between()
    sags = sags_of(found)
    most = max(sags, key=lambda one: one.mm)
    told = (
        *findings,
        *_carries(structure, limits, rules),
        *_buckles(structure, buckles, rules),
        *tab_findings(structure, limits),
        *hole_findings(found, limits),
        *moves_findings(structure, most.case, most.mm, most.bar, most.place, found.built.frame.elements.ends),
        *_lifts(structure, cases),
        *shaking_findings(modes),
        Finding("note", "estimate-only", "This is an estimate.", CAUTION, "Prove it with a proof load."),
    )
    return Verdict(structure, by_weight(told), (), found, limits, sags, buckles, modes)


def sags_of(analysed: Analysed) -> tuple[Sag, ...]:
    """Return the place that moves most in every case."""
    moves = np.linalg.norm(analysed.moves()[:, :, :3], axis=2)
    elements = analysed.built.frame.elements
    found = []
    for number, case in enumerate(analysed.cases):
        element, end = np.unravel_index(int(np.argmax(moves[:, :, number])), moves.shape[:2])
        x, y, z = (float(c) for c in elements.ends[element, end])
        bar = analysed.structure.bars[int(elements.bar[element])].name
        found.append(Sag(case.name, float(moves[element, end, number]), bar, (x, y, z)))
    return tuple(found)


def _carries(structure: Structure, limits: Limits, rules: Rules) -> list[Finding]:
    if not limits.found:
        return []
    borne, first = structure.borne, limits.found[0]
    words = "; ".join(f"{one.where}: {one.use:.0%} used ({one.case})" for one in limits.distinct[:3])
    if borne is None:
        worst = max(limits.found, key=lambda one: one.use)
        level = "stop" if worst.use > 1.0 else "note"
        return [
            Finding(
                "stop" if level == "stop" else "note",
                "carries-too-little" if level == "stop" else "carries",
                f"Most used is {worst.where}: {worst.use:.0%} of what it may take ({worst.case}).",
                f"Safety {rules.safety:g} on all loads is counted in.",
                "Take a bigger section there, or a stay." if level == "stop" else "",
                at=worst.place,
            )
        ]
    mass = borne.payload.mass
    if first.payload == 0.0:
        return [
            Finding(
                "stop",
                "carries-too-little",
                f"{first.where} is over its limit before any payload is on it ({first.giving}).",
                f"Most used: {words}.",
                "Make it stronger there, or use it more gently.",
                at=first.place,
            )
        ]
    loads = {"wanted": Load("mass", mass)}
    if math.isfinite(first.payload):
        loads["carries"] = Load("mass", mass * first.payload)
    if first.payload < 1.0:
        return [
            Finding(
                "stop",
                "carries-too-little",
                f"It carries {{carries}} with a safety of {rules.safety:g}, not {{wanted}}.",
                f"First to give: {words}.",
                "Make what gives first stronger, carry less, or use it more gently.",
                at=first.place,
                loads=loads,
            )
        ]
    carried = "{carries}" if math.isfinite(first.payload) else "any payload"
    return [
        Finding(
            "note",
            "carries",
            f"It carries {carried} with a safety of {rules.safety:g}; {{wanted}} are wanted.",
            f"First to give: {words}.",
            at=first.place,
            loads=loads,
        )
    ]


def _buckles(structure: Structure, buckles: Sequence[Buckling], rules: Rules) -> list[Finding]:
    worst = min(buckles, key=lambda one: one.factor, default=None)
    if worst is None or worst.factor >= AMPLE * rules.safety or worst.factor < rules.safety:
        return []
    return [
        Finding(
            "watch",
            "bends-sideways",
            f"Under {worst.factor:.1f} times its load the frame would buckle ({worst.case}).",
            f"Below {AMPLE * rules.safety:g} times, what is pressed moves noticeably more than is told here; in what "
            "it carries that is counted.",
            "Shorten or stiffen the bars that are pressed.",
            at=middle_of(structure, worst.bar),
        )
    ]


def _lifts(structure: Structure, cases: Sequence[LoadCase]) -> list[Finding]:
    """Say in which cases the payload would have to be pulled down on to what bears it."""
    borne = structure.borne
    if borne is None or not borne.bearings:
        return []
    up = np.array(structure.directions.up)
    places, centre = np.array([at.place for at in borne.bearings]), np.array(borne.payload.centre)
    share = spread(places, centre)
    strapped = np.zeros(len(places))
    for tied in structure.straps:
        line = np.array(tied.strap.towards) - np.array(tied.place)
        pull = tied.strap.tension * line / (np.linalg.norm(line) or 1.0)
        back = np.concatenate((-pull, np.cross(np.array(tied.strap.towards) - centre, -pull)))
        strapped += share @ back @ up
    names, rolls = [], []
    for case in cases:
        pushed, unheld = borne_share(borne, borne.payload.mass * np.array(case.felt(structure.directions)))
        if unheld:
            rolls.append(case.name)
        if (pushed @ up + strapped).max() > 1e-6 * borne.payload.mass:
            names.append(case.name)
    if rolls:
        return [
            Finding(
                "stop",
                "payload-tips",
                f"Nothing holds the {borne.payload.name} from rolling over: {'; '.join(rolls)}.",
                "It bears in a line or on a point; the moment that would be needed is left out of the reckoning.",
                "Let it bear on more bars, or say where else it is held.",
                at=borne.payload.centre,
            )
        ]
    if not names:
        return []
    return [
        Finding(
            "watch",
            "payload-lifts",
            f"The {borne.payload.name} lifts off part of what bears it: {'; '.join(names)}.",
            "The reckoning takes it to be held down there all the same.",
            "Strap it down, or give it a rim to stand in.",
            at=borne.payload.centre,
        )
    ]
