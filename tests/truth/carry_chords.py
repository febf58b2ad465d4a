"""The crate shelf as straight elements between numbered nodes, for ours and for PyNiteFEA alike.

A joint of the shelf is one node; where centrelines pass at a distance a short stiff bar of the same stock ties them,
so that both programs see beams and nothing else. The frame carries its own weight and forces on nodes, in four cases.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from Pynite import FEModel3D

from bentwork.carry.condense import condense, geometry_of
from bentwork.carry.elements import elements_from
from bentwork.carry.frame import Attached, Chains, Frame, Node, carry_to
from bentwork.carry.recovery import forces_inside, moves_of_ends
from bentwork.carry.solving import Loads, Solved, solve
from bentwork.carry.stiffness import section_compliance
from tests.frames import SHELF_FIXINGS, shelf

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

CASES = np.array([[0.0, 0.0, -9.80665], [0.0, 0.0, -24.5], [9.8, 0.0, -9.8], [0.0, 4.9, -9.8]]).T


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Places of the nodes, the two of every element, its direction 'high', its stock; chains; held nodes; forces."""

    places: Floats
    nodes: Ints
    high: Floats
    stock: Ints
    chain_first: Ints
    held: dict[int, tuple[bool, ...]]
    forces: dict[int, Floats]
    soft: tuple[tuple[float, ...], ...]
    mass: tuple[float, ...]


def chord_frame(count: int) -> Mesh:
    """Cut the shelf to about this many elements, arcs and straights alike, between its joints."""
    structure = shelf()
    bars = structure.bars
    stocks = list(dict.fromkeys((bar.section, bar.material) for bar in bars))
    special: dict[int, set[float]] = {k: set() if bar.closed else {0.0, bar.length} for k, bar in enumerate(bars)}
    links = []
    for joint in structure.joints:
        for which, station in zip(joint.touch.bars, joint.touch.stations, strict=True):
            special[which].add(min(max(station, 0.0), bars[which].length))
        links.append(
            [(b, min(max(s, 0.0), bars[b].length)) for b, s in zip(joint.touch.bars, joint.touch.stations, strict=True)]
        )
    borne = structure.borne
    assert borne is not None
    for bearing in borne.bearings:
        special[bearing.bar].add(bearing.station)
    step = sum(bar.length for bar in bars) / count
    places: list[tuple[float, float, float]] = []
    number: dict[tuple[int, float], int] = {}
    nodes, high, stock, first = [], [], [], [0]

    def node(bar: int, station: float) -> int:
        key = (bar, round(station, 6) if not (bars[bar].closed and abs(station - bars[bar].length) < 1e-6) else 0.0)
        if key not in number:
            number[key] = len(places)
            places.append(bars[bar].line.pose(min(station, bars[bar].length)).origin)
        return number[key]

    def element(one: int, other: int, kind: int) -> None:
        along = np.subtract(places[other], places[one])
        nodes.append((one, other))
        stock.append(kind)
        side = np.array((0.0, 0.0, 1.0)) if abs(along[2]) < 0.9 * np.linalg.norm(along) else np.array((0.0, 1.0, 0.0))
        up = side - along * (side @ along) / (along @ along)
        high.append(up / np.linalg.norm(up))

    for k, one in enumerate(bars):
        kind = stocks.index((one.section, one.material))
        own = sorted(special[k])
        spans = list(itertools.pairwise(own))
        if one.closed:
            spans.append((own[-1], own[0] + one.length))
        for start, end in spans:
            many = max(2, round((end - start) / step))
            stations = [start + (end - start) * j / many for j in range(many + 1)]
            numbers = [node(k, at % one.length if one.closed else at) for at in stations]
            for first_node, last_node in itertools.pairwise(numbers):
                element(first_node, last_node, kind)
            first.append(len(nodes))
    for (a, sa), (b, sb) in links:
        element(node(a, sa), node(b, sb), 0)
        first.append(len(nodes))
    held = {}
    for fixing in structure.fixings:
        held[node(fixing.bar, fixing.station)] = tuple(np.isinf(fixing.fixing.stiffness))
    forces = {node(at.bar, at.station): 15.0 / len(borne.bearings) * CASES for at in borne.bearings}
    assert len(SHELF_FIXINGS) == len(held)
    return Mesh(
        np.array(places),
        np.array(nodes, dtype=np.int64),
        np.array(high),
        np.array(stock, dtype=np.int64),
        np.array(first, dtype=np.int64),
        held,
        forces,
        tuple(section_compliance(section, material, shear=False) for section, material in stocks),
        tuple(section.area * material.density.value * 1e-9 for section, material in stocks),
    )


def frame_of(mesh: Mesh) -> Frame:
    """Our frame of the same elements: chains between the nodes where something happens."""
    start, end = mesh.places[mesh.nodes[:, 0]], mesh.places[mesh.nodes[:, 1]]
    along = end - start
    length = np.linalg.norm(along, axis=1)
    tangent = along / length[:, None]
    wide = np.cross(mesh.high, tangent)
    directions = np.stack((tangent, mesh.high, wide, mesh.high), axis=1)
    count = len(length)
    zero = np.zeros(count)
    elements = elements_from(start, directions, zero, length, zero, np.zeros(count, dtype=np.int64), mesh.stock)
    ends = np.stack((mesh.nodes[mesh.chain_first[:-1], 0], mesh.nodes[mesh.chain_first[1:] - 1, 1]), axis=1)
    used, flat = np.unique(ends, return_inverse=True)
    chains = Chains(mesh.chain_first, flat.reshape(-1, 2), mesh.stock[mesh.chain_first[:-1]])
    fixed = np.array([mesh.held.get(int(n), (False,) * 6) for n in used])
    nodes = tuple(
        Node(mesh.places[n], np.eye(3), np.where(flags, np.inf, 0.0)) for n, flags in zip(used, fixed, strict=True)
    )
    attached = tuple(Attached(0, 0.0, mesh.places[n], k) for k, n in enumerate(used))
    free = int((~fixed).sum())
    numbers = np.zeros((len(used), 6), dtype=np.int64)
    numbers[~fixed], numbers[fixed] = np.arange(free), free + np.arange(int(fixed.sum()))
    motions = np.full((len(used), 9), fixed.size, dtype=np.int64)
    motions[:, :6] = numbers
    transform = np.zeros((len(used), 6, 9))
    transform[:, :, :6] = carry_to(np.zeros((len(used), 3)))
    return Frame(elements, chains, nodes, attached, transform, motions, free, int(fixed.size))


def solved_by_us(mesh: Mesh, frame: Frame) -> Solved:
    """Assemble and solve."""
    used = np.unique(mesh.nodes[np.stack((mesh.chain_first[:-1], mesh.chain_first[1:] - 1)), [[0], [1]]])
    at = np.zeros((len(used), 6, CASES.shape[1]))
    for number, force in mesh.forces.items():
        at[np.searchsorted(used, number), :3] = force
    soft = np.array(mesh.soft)[mesh.stock]
    mass = np.array(mesh.mass)[mesh.stock]
    found = solve(condense(geometry_of(frame), soft, mass), Loads(CASES, at))
    assert isinstance(found, Solved)
    return found


def ours(mesh: Mesh) -> tuple[Floats, Floats]:
    """Moves and turns of every node (n, 6, 4); forces and moments at the last ends of the elements (e, 6, 4)."""
    frame = frame_of(mesh)
    solved = solved_by_us(mesh, frame)
    inside = forces_inside(solved)
    ends = moves_of_ends(solved, inside)
    moves = np.zeros((len(mesh.places), 6, CASES.shape[1]))
    moves[mesh.nodes[:, 0]], moves[mesh.nodes[:, 1]] = ends[:, 0], ends[:, 1]
    local = inside.forces[-len(mesh.nodes) :]
    axes = frame.elements.end_axes[:, 1]
    turned = axes.transpose(0, 2, 1)
    return moves, np.concatenate((turned @ local[:, :3], turned @ local[:, 3:]), axis=1)


def pynite_model(mesh: Mesh) -> FEModel3D:
    """The model, its loads included."""
    model = FEModel3D()
    for number, place in enumerate(mesh.places):
        model.add_node(f"N{number}", *(float(c) for c in place))
    for kind, (ea, _, _, gj, wide, high) in enumerate(mesh.soft):
        # Material of modulus 1: area, second moments and torsion constant then are the stiffnesses themselves.
        model.add_material(f"M{kind}", 1.0, 1.0, 0.3, 0.0)
        model.add_section(f"S{kind}", 1 / ea, 1 / wide, 1 / high, 1 / gj)
    for index, ((one, other), kind, up) in enumerate(zip(mesh.nodes, mesh.stock, mesh.high, strict=True)):
        model.add_member(f"E{index}", f"N{one}", f"N{other}", f"M{kind}", f"S{kind}")
        member = model.members[f"E{index}"]
        along = (mesh.places[other] - mesh.places[one]) / np.linalg.norm(mesh.places[other] - mesh.places[one])
        across = np.cross(up, along)
        axes = member.T()[:3, :3]  # where it puts its own y and z; its y is to lie along the width
        member.rotation = float(np.degrees(np.arctan2(across @ axes[2], across @ axes[1])))
    for number, flags in mesh.held.items():
        model.def_support(f"N{number}", *flags)
    for case in range(CASES.shape[1]):
        for number, forces in mesh.forces.items():
            for axis, name in enumerate(("FX", "FY", "FZ")):
                model.add_node_load(f"N{number}", name, float(forces[axis, case]), case=f"C{case}")
        for number, kind in enumerate(mesh.stock):
            for axis, name in enumerate(("FX", "FY", "FZ")):
                weight = mesh.mass[kind] * float(CASES[axis, case])
                if weight:
                    model.add_member_dist_load(f"E{number}", name, weight, weight, case=f"C{case}")
        model.add_load_combo(f"L{case}", {f"C{case}": 1.0})
    return model


def pynite(mesh: Mesh, model: FEModel3D | None = None) -> tuple[Floats, Floats]:
    """The same from PyNiteFEA."""
    model = model or pynite_model(mesh)
    model.analyze_linear(check_statics=False)
    moves = np.zeros((len(mesh.places), 6, CASES.shape[1]))
    forces = np.zeros((len(mesh.nodes), 6, CASES.shape[1]))
    for case in range(CASES.shape[1]):
        name = f"L{case}"
        for number in range(len(mesh.places)):
            node = model.nodes[f"N{number}"]
            moves[number, :, case] = [getattr(node, key)[name] for key in ("DX", "DY", "DZ", "RX", "RY", "RZ")]
        for number in range(len(mesh.nodes)):
            forces[number, :, case] = model.members[f"E{number}"].F(name)[6:, 0]
    return moves, forces
