"""Flat bar on edge: bent in its width it tips over sideways and twists before its metal gives."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.analysis import Analysed
from bentwork.carry.bar import Bar
from bentwork.carry.bearable import payload_at_limit
from bentwork.carry.limits import Limit, Rules
from bentwork.carry.strength import metal_factor
from bentwork.stock.section import Flat, Square

__all__ = ["moment_that_tips", "tipping"]

Floats = NDArray[np.float64]

_STOCKY = 0.16  # of yield over buckling moment: below, it is left out (slenderness 0.4: EN 1993-1-1, 6.3.2.2, memory)


@dataclass(frozen=True, slots=True)
class _Span:
    """A length of a bar between two places that hold it: mm from its end A."""

    bar: int
    start: float
    end: float


def moment_that_tips(bar: Bar, length: float) -> float:
    """Return the moment in its width, N mm, that tips a length (mm) of flat bar held against twist at its ends.

    pi/L sqrt(E I G J), the same moment all along (Timoshenko and Gere, from memory). A lever loaded at its tip stands
    4.01 instead of pi; a load above the middle line a little less.
    """
    section, e = bar.section, bar.material.elastic_modulus.value
    weak = e * section.bending("easy").second_moment * bar.material.shear_modulus * section.torsion_constant
    return math.pi / length * math.sqrt(weak)


def tipping(analysed: Analysed, rules: Rules) -> Iterator[Limit]:
    """Return what tips over, by span between joints and fixings; those so stocky that it is no matter are left out.

    Use is safety M (1/M_yield + 1/M_tip): Rankine's formula, as for columns. The largest moment counts as if it were
    the same all along the span.
    """
    structure, inside = analysed.structure, analysed.inside
    steady, carried = analysed.parts(inside.forces[:, 5])
    bar_of = analysed.built.frame.elements.bar[inside.element]
    for span in _spans(analysed):
        bar = structure.bars[span.bar]
        modulus = bar.section.bending("hard").section_modulus
        bears = bar.material.proof_stress.value / metal_factor(bar.material) * modulus
        tips = moment_that_tips(bar, span.end - span.start)
        if bears < _STOCKY * tips:
            continue
        near = (bar_of == span.bar) & (inside.station > span.start - 1e-6) & (inside.station < span.end + 1e-6)
        share = rules.safety * (1.0 / bears + 1.0 / tips)

        def use(factor: Floats, own: Floats = steady[near], of: Floats = carried[near], share: float = share) -> Floats:
            found: Floats = share * np.abs(own + factor * of).max(axis=0)
            return found

        many = len(analysed.cases)
        now, bearable = use(np.ones(many)), payload_at_limit(use, (many,), 1e-6)
        case, giving = (analysed.cases[int(k)].name for k in (np.argmax(now), np.argmin(bearable)))
        place = bar.line.pose((span.start + span.end) / 2.0).origin
        words = f"{bar.name} on edge, tipping sideways"
        yield Limit("buckling", words, place, case, float(now.max()), float(bearable.min()), giving, bar=span.bar)


def _spans(analysed: Analysed) -> Iterator[_Span]:
    """Lengths of flat bar between joints and fixings, and from them to free ends."""
    structure = analysed.structure
    for number, bar in enumerate(structure.bars):
        section = bar.section
        if not isinstance(section, Flat | Square) or section.width < 2.0 * section.height:
            continue
        held = {0.0, bar.length}
        held |= {one.station for one in structure.fixings if one.bar == number}
        for joint in structure.joints:
            held |= {at for own, at in zip(joint.touch.bars, joint.touch.stations, strict=True) if own == number}
        for start, end in itertools.pairwise(sorted(held)):
            if end - start > section.width:
                yield _Span(number, start, end)
