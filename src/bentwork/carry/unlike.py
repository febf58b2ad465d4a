"""Bars and springs so far apart in stiffness that a size may be typed wrong; moves so large that beams do not hold."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.fixing import Held
from bentwork.carry.structure import Structure
from bentwork.findings import Finding
from bentwork.space import Vec

__all__ = ["moves_findings", "unlike_findings"]

_UNLIKE = 1e7
_FAR = 0.1
"""Share of the frame's size from which moves are not small any more, as beam theory takes them; common practice."""


def unlike_findings(structure: Structure) -> Iterator[Finding]:
    """Say which bars, and which springs of one fixing, are so unlike that the answer says little about the soft one."""
    stiff = [
        (bar.material.elastic_modulus.value * bar.section.bending("easy").second_moment / bar.length**3, bar)
        for bar in structure.bars
    ]
    if stiff:
        softest, stiffest = min(stiff, key=lambda item: item[0]), max(stiff, key=lambda item: item[0])
        if stiffest[0] > _UNLIKE * softest[0]:
            yield Finding(
                "watch",
                "stiffness-far-apart",
                f"{stiffest[1].name} is {stiffest[0] / softest[0]:.0e} times as stiff as {softest[1].name}.",
                "One of them is as good as rigid or as good as nothing: a size may be typed wrong.",
                "Check the sections and lengths of both.",
                piece=softest[1].of,
            )
    for held in structure.fixings:
        for kind, springs in (("along", held.fixing.stiffness[:3]), ("about", held.fixing.stiffness[3:])):
            given = [one for one in springs if 0.0 < one < np.inf]
            if given and max(given) > _UNLIKE * min(given):
                yield Finding(
                    "watch",
                    "stiffness-far-apart",
                    f"Fixing {held.fixing.name} is {max(given) / min(given):.0e} times as stiff {kind} one direction "
                    "as another.",
                    "One of these springs is as good as rigid or as good as nothing: a number may be typed wrong.",
                    'Check them, or say "fixed" or "pinned", or 0 where it is free.',
                    piece=structure.bars[held.bar].of,
                    at=held.fixing.at,
                )
        bar = structure.bars[held.bar]
        if (soft := _softer_than(bar, held)) is not None:
            yield Finding(
                "watch",
                "stiffness-far-apart",
                f"A spring of fixing {held.fixing.name} is {soft:.0e} times softer than {bar.name}.",
                "It is as good as nothing: a number may be typed wrong.",
                "Check it (N/mm along, N mm per radian about), or say 0 where it is free.",
                piece=bar.of,
                at=held.fixing.at,
            )


def _softer_than(bar: Bar, held: Held) -> float | None:
    """How many times softer the softest spring of a fixing is than the bar it holds; None where that is not absurd."""
    bends = bar.material.elastic_modulus.value * bar.section.bending("easy").second_moment / bar.length
    per = (bends / bar.length**2,) * 3 + (bends,) * 3
    softer = [own / spring for own, spring in zip(per, held.fixing.stiffness, strict=True) if 0.0 < spring < np.inf]
    return max(softer) if softer and max(softer) > _UNLIKE else None


def moves_findings(
    structure: Structure, case: str, far: float, bar: str, place: Vec, ends: NDArray[np.float64]
) -> tuple[Finding, ...]:
    """Say that a frame moves so far that what is reckoned of it does not hold.

    Args:
        structure: the frame.
        case: in which it moves most.
        far: how far, mm.
        bar: name of the bar that does.
        place: where.
        ends: (..., 3) places of the frame, mm, that tell its size.
    """
    size = float(np.ptp(ends.reshape(-1, 3), axis=0).max())
    if far <= _FAR * size:
        return ()
    return (
        Finding(
            "watch",
            "moves-too-far",
            f"{bar} would move by {{far}} ({case}): the frame is {{size}} long in all.",
            "The reckoning takes moves for small; where they are not, stresses and moves are no more than a hint.",
            "Make it stiffer, or check the stiffness of its fixings and the sizes of its bars.",
            piece=next((one.of for one in structure.bars if one.name == bar), None),
            lengths={"far": far, "size": size},
            at=place,
        ),
    )
