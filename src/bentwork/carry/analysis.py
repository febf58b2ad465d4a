"""The frame under its load cases: built, solved, section forces everywhere."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.building import LONGEST, Built, build
from bentwork.carry.cases import LoadCase, loads_of
from bentwork.carry.condense import condense, geometry_of
from bentwork.carry.mechanisms import Motion, motions_of
from bentwork.carry.recovery import Inside, forces_inside, moves_of_ends
from bentwork.carry.solving import Loads, Moves, Solved, solve
from bentwork.carry.stiffness import compliance_of, line_masses
from bentwork.carry.structure import Structure

__all__ = ["Analysed", "analyse", "analyse_again"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Analysed:
    """The frame under its load cases.

    Args:
        built: the frame.
        cases: the load cases, L of them.
        solved: 2 L columns: all that acts in each case but the payload, then the payload of each.
        inside: section forces of these.
    """

    built: Built
    cases: tuple[LoadCase, ...]
    solved: Solved
    inside: Inside

    @property
    def structure(self) -> Structure:
        """What it was built from."""
        return self.built.structure

    def parts(self, columns: Floats) -> tuple[Floats, Floats]:
        """Split columns of the solution (..., 2 L) into those without the payload and those of the payload."""
        many = len(self.cases)
        return columns[..., :many], columns[..., many:]

    def together(self, columns: Floats, payload: float = 1.0) -> Floats:
        """Return columns (..., L) of the cases with this many times the payload."""
        steady, carried = self.parts(columns)
        found: Floats = steady + payload * carried
        return found

    def moves(self) -> Floats:
        """Return moves (mm) and turns (radians) of both ends of every element in every case, (E, 2, 6, L)."""
        return self.together(moves_of_ends(self.solved, self.inside))

    def reactions(self) -> Floats:
        """Return what every fixing puts on the frame: forces and moments along and about its directions, (F, 6, L)."""
        frame = self.built.frame
        numbers = frame.node_motions
        held = self.together(self.solved.reactions)
        motions = self.together(self.solved.motions)
        springs = frame.springs
        found = np.zeros((len(self.built.fixings), 6, len(self.cases)))
        for fixing, spot in enumerate(self.built.fixings):
            for k, number in enumerate(numbers[frame.attached[spot].node]):
                found[fixing, k] = (
                    held[number - frame.free] if number >= frame.free else -springs[number] * motions[number]
                )
        return found


def analyse(
    structure: Structure, cases: Sequence[LoadCase], *, longest: float = LONGEST, shear: bool = True
) -> Analysed | tuple[Motion, ...]:
    """Build and solve the frame for all cases at once; a frame that can move gives back how.

    Args:
        structure: without a ``stop`` among its findings.
        cases: at least one.
        longest: longest element, mm.
        shear: whether shear bends the bars too.

    Raises:
        ValueError: no case is given.
    """
    if not cases:
        raise ValueError("a frame is reckoned under at least one load case")
    pushes = [(push.bar, push.station) for case in cases for push in case.pushes]
    built = build(structure, pushes, longest=longest)
    elements = built.frame.elements
    chains = condense(
        geometry_of(built.frame),
        compliance_of(structure.bars, elements, shear=shear),
        line_masses(structure.bars, elements),
    )
    solved = solve(chains, _loads(built, cases))
    if isinstance(solved, Moves):
        return motions_of(built.frame, solved)
    return Analysed(built, tuple(cases), solved, forces_inside(solved))


def analyse_again(analysed: Analysed, cases: Sequence[LoadCase]) -> Analysed:
    """Solve a frame that is reckoned already for other cases, in which nothing pushes at a place of its own.

    Raises:
        ValueError: a case pushes somewhere.
    """
    if any(case.pushes for case in cases):
        raise ValueError("places that are pushed have to be known when the frame is built")
    solved = solve(analysed.solved.condensed, _loads(analysed.built, cases))
    if isinstance(solved, Moves):
        raise ValueError("a frame that was solved does not move without bending")
    return Analysed(analysed.built, tuple(cases), solved, forces_inside(solved))


def _loads(built: Built, cases: Sequence[LoadCase]) -> Loads:
    steady, payload = loads_of(built, cases)
    return Loads(np.hstack((steady.own, payload.own)), np.concatenate((steady.at, payload.at), axis=2))
