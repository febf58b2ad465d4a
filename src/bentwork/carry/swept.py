"""Many variants of one frame solved in a stack."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bentwork.carry.bar import Bar
from bentwork.carry.building import Built
from bentwork.carry.cholesky import factor
from bentwork.carry.condense import Geometry, geometry_of, section_forces
from bentwork.carry.frame import carry_to
from bentwork.carry.recovery import Inside
from bentwork.carry.solving import LEAST_PIVOT, Loads
from bentwork.carry.stiffness import bend_softness, section_compliance

__all__ = ["FrameParts", "Swept", "answers", "parts_of_frame", "sampled"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class FrameParts:
    """What all variants share.

    Args:
        built: the frame.
        geometry: lever arms.
        curvatures: (G,) of straights and of bends of every radius.
        flexibility: (C, G, 6, 6, 6) of a chain under unit compliance of one kind of section force.
        given: (C, G, 6, 6, 3) motion that own weight of 1 kg/mm causes, likewise.
        beyond: (E, 6, 3) own weight of 1 kg/mm beyond every element.
        total: (C, 6, 3) of the whole chain.
        arms: (S, 6, 6) section forces at the places looked at from those at the middle of the chain.
        loads: (S, 6, 3) from own weight of 1 kg/mm in the rest of the chain.
        chain: (S,) chain of every place.
    """

    built: Built
    geometry: Geometry
    curvatures: Floats
    flexibility: Floats
    given: Floats
    beyond: Floats
    total: Floats
    arms: Floats
    loads: Floats
    chain: NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Swept:
    """Section forces of every variant without the payload and of the payload alone, (V, S, 6, L), and its moves.

    ``handed`` (V, A, 6, 2 L): what its node puts on every attached place. ``moves`` (V,): how far the attached place
    that moves most goes in the first case, mm.
    """

    steady: Floats
    carried: Floats
    handed: Floats
    moves: Floats


def sampled(built: Built) -> Inside:
    """Return the places looked at, forces left out: ends of chains and elements, and two points within every arc.

    In an arc of 22.5 degrees they stand 8 degrees apart, so that a largest moment between them is up to 0.3 % higher.
    """
    frame = built.frame
    elements = frame.elements
    start, owner, end = _looked_at(built)
    bent = elements.owner[owner]
    return Inside(
        np.concatenate((start, bent, end)),
        np.concatenate(
            (elements.station[start, 0], elements.station[bent, 1] - elements.rest[owner], elements.station[:, 1])
        ),
        np.concatenate((elements.ends[start, 0], elements.place[owner], elements.ends[:, 1])),
        np.zeros((0, 6, 0)),
    )


def _looked_at(built: Built) -> tuple[Ints, Ints, Ints]:
    """First elements of the chains; two integration points of every arc; all elements, for their ends."""
    elements = built.frame.elements
    within = np.arange(len(elements.owner)) - elements.first[elements.owner]
    bent = (elements.curvature[elements.owner] > 0.0) & ((within == 2) | (within == 3))
    return built.frame.chains.first[:-1], np.flatnonzero(bent), np.arange(len(elements))


def parts_of_frame(built: Built) -> FrameParts:
    """Integrate what all variants share."""
    frame = built.frame
    geometry = geometry_of(frame)
    elements, chains = frame.elements, frame.chains
    number = np.diff(chains.first)
    chain_of = np.repeat(np.arange(len(number)), number)
    summed = np.cumsum(geometry.resultant, axis=0)
    beyond = np.repeat(summed[chains.first[1:] - 1], number, axis=0) - summed
    total = beyond[chains.first[:-1]] + geometry.resultant[chains.first[:-1]]
    inside = geometry.loads + geometry.arms @ beyond[elements.owner]
    curvatures, group = np.unique(np.round(elements.curvature, 12), return_inverse=True)
    flexibility = np.zeros((len(number), len(curvatures), 6, 6, 6))
    given = np.zeros((len(number), len(curvatures), 6, 6, 3))
    arms = geometry.arms
    weighted = elements.weight[:, None, None] * arms
    at = (chain_of[elements.owner], group.ravel()[elements.owner])
    np.add.at(flexibility, at, weighted[:, :, :, None] * arms[:, :, None, :])
    np.add.at(given, at, weighted[:, :, :, None] * inside[:, :, None, :])
    middle = np.repeat(geometry.middle, number, axis=0)
    start, bent, _ = _looked_at(built)
    at_start = section_forces(elements.end_axes[start, 0], middle[start] - elements.ends[start, 0])
    at_end = section_forces(elements.end_axes[:, 1], middle - elements.ends[:, 1])
    return FrameParts(
        built,
        geometry,
        curvatures,
        flexibility,
        given,
        beyond,
        total,
        np.concatenate((at_start, arms[bent], at_end)),
        np.concatenate((at_start @ (beyond + geometry.resultant)[start], inside[bent], at_end @ beyond)),
        np.concatenate((chain_of[start], chain_of[elements.owner[bent]], chain_of)),
    )


def answers(parts: FrameParts, variants: Sequence[tuple[Bar, ...]], loads: tuple[Loads, Loads]) -> Swept:
    """Solve every variant under all cases.

    Args:
        parts: of the frame.
        variants: the bars of every variant, in the order of the frame's.
        loads: without the payload, and of the payload.

    Raises:
        ValueError: the frame can move without bending.
    """
    frame, geometry = parts.built.frame, parts.geometry
    bar = frame.chains.bar
    own = np.hstack((loads[0].own, loads[1].own))
    direct = np.concatenate((loads[0].at, loads[1].at), axis=2)
    soft = np.array([[section_compliance(one.section, one.material) for one in bars] for bars in variants])[:, bar]
    bends = np.array(
        [
            [[bend_softness(one.section, 1.0 / c) if c > 0.0 else 1.0 for c in parts.curvatures] for one in bars]
            for bars in variants
        ]
    )[:, bar]
    by_group = np.repeat(soft[:, :, None, :], len(parts.curvatures), axis=2)
    by_group[..., 4:] *= bends[..., None]
    mass = np.array([[one.line_mass for one in bars] for bars in variants])[:, bar]
    many, chains = soft.shape[:2]
    flat = by_group.reshape(many, chains, -1).transpose(1, 0, 2)
    flexibility = (flat @ parts.flexibility.reshape(chains, -1, 36)).transpose(1, 0, 2).reshape(many, chains, 6, 6)
    given = (flat @ parts.given.reshape(chains, -1, 18)).transpose(1, 0, 2).reshape(many, chains, 6, 3)
    given = (mass[..., None, None] * given) @ own
    weight = (mass[..., None, None] * parts.total) @ own
    rigidity = np.linalg.inv(flexibility)
    ends = geometry.ends
    back = ends.transpose(0, 2, 1)
    size, columns = frame.count + 1, own.shape[1]
    stiffness = np.zeros((many, size, size))
    right = np.zeros((many, size, columns))
    blocks = back @ rigidity @ ends
    push = back @ (rigidity @ given)
    push[:, :, :9] -= ends[:, :, :9].transpose(0, 2, 1) @ weight
    for chain, numbers in enumerate(geometry.motions):
        # Motions of the two ends may be the same ones, where a bar comes back to its own joint.
        for a in (slice(0, 9), slice(9, 18)):
            right[:, numbers[a]] += push[:, chain, a]
            for b in (slice(0, 9), slice(9, 18)):
                stiffness[:, numbers[a][:, None], numbers[b]] += blocks[:, chain, a, b]
    on_joints = np.zeros((size, columns))
    np.add.at(on_joints, frame.motions.ravel(), (frame.transform.transpose(0, 2, 1) @ direct).reshape(-1, columns))
    right += on_joints
    free = frame.free
    motions = np.zeros((many, size, columns))
    main = stiffness[:, :free, :free]
    main[:, range(free), range(free)] += frame.springs
    scale = 1.0 / np.sqrt(np.maximum(np.diagonal(main, axis1=1, axis2=2), 1e-300))
    factored = factor(main * scale[:, :, None] * scale[:, None, :])
    if factored is None or factored.pivot.min() < LEAST_PIVOT:
        raise ValueError("the frame can move without bending")
    motions[:, :free] = scale[:, :, None] * factored.solve(scale[:, :, None] * right[:, :free])
    end = rigidity @ (ends @ motions[:, geometry.motions] - given)
    line = mass[:, parts.chain]
    forces = parts.arms @ end[:, parts.chain] + line[..., None, None] * (parts.loads @ own)
    half = columns // 2
    first = motions[:, :, 0] + motions[:, :, half]
    moved = np.einsum("aij,vaj->vai", frame.transform[:, :3], first[:, frame.motions])
    handed = _handed(geometry, direct, end, weight)
    return Swept(forces[..., :half], forces[..., half:], handed, np.linalg.norm(moved, axis=2).max(axis=1))


def _handed(geometry: Geometry, direct: Floats, end: Floats, weight: Floats) -> Floats:
    """Return what its node puts on every attached place of every variant, (V, A, 6, 2 L).

    Args:
        geometry: of the frame.
        direct: (A, 6, 2 L) loads on the attached places.
        end: (V, C, 6, 2 L) forces at the last ends of the chains.
        weight: (V, C, 6, 2 L) own weight of the chains.
    """
    chains = geometry.frame.chains
    place = np.array([spot.place for spot in geometry.frame.attached])
    found = np.tile(-direct[:, None], (1, len(end), 1, 1))
    for k, taken in ((0, -(end + weight)), (1, end)):
        spot = chains.ends[:, k]
        back = carry_to(geometry.middle - place[spot]).transpose(0, 2, 1)
        np.add.at(found, spot, (back @ taken).transpose(1, 0, 2, 3))
    return found.transpose(1, 0, 2, 3)
