"""What a frame carries: the crate shelf with eight cases, and one mesh of straight elements for us and two peers.

Peers: PyNiteFEA and, where it is installed, OpenSeesPy (its symmetric sparse solver, minimum degree numbering). All
three
get the same nodes, elements and four load cases, own weight among them; timed is what comes after the model is
described:
assemble, solve, moves of every node, forces at the ends of every element, by the clock of the processor, which other
work does not stop (all threads added up). Ours also works out directions and numbers of
the model in that time. OpenSees is told its loads again for every case, as it wants, and its forces are read element by
element; the time of its ``analyze`` calls alone stands beside.

    python3 bootstrap.py bench carry
"""

from __future__ import annotations

import ctypes
import importlib
import importlib.util
import itertools
import statistics
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[1]))

import bentwork
from bentwork.carry.analysis import analyse
from bentwork.carry.braces import bracings
from bentwork.carry.cases import LoadCase
from bentwork.carry.changes import helps_of
from bentwork.carry.limits import limits_of
from bentwork.carry.sweep import sweep
from bentwork.carry.uses import USES, cases_of
from bentwork.carry.verdict import judge
from bentwork.files.catalogue import materials
from bentwork.files.job_file import read_job
from bentwork.jobs.carried import carried
from bentwork.jobs.what_if import WhatIf, what_if
from bentwork.jobs.work import work
from bentwork.stock.section import Round, Section, Tube
from tests.frames import shelf
from tests.truth.carry_chords import CASES, Mesh, chord_frame, ours, pynite, pynite_model


def load_opensees() -> Any:  # noqa: ANN401 - ships no types
    """OpenSees, or None where it is not installed: the libraries that it carries along are loaded for it first."""
    found = importlib.util.find_spec("openseespylinux")
    if found is None:
        return None
    for name in ("libquadmath.so.0", "libgfortran.so.4", "libblas.so.3", "liblapack.so.3"):
        for folder in found.submodule_search_locations or ():
            library = Path(folder) / "lib" / name
            if library.exists():
                ctypes.CDLL(str(library), mode=ctypes.RTLD_GLOBAL)
    return importlib.import_module("openseespy.opensees")


ops = load_opensees()
Floats = NDArray[np.float64]
COUNTS = (100, 500, 2000)


def both(run: Callable[[], object], rounds: int) -> tuple[float, float]:
    """Median time of one run after the first, ms, and of the processor alone, which other work does not lengthen."""
    run()
    times, busy = [], []
    for _ in range(rounds):
        start, begun = time.perf_counter(), time.process_time()
        run()
        times.append(time.perf_counter() - start)
        busy.append(time.process_time() - begun)
    return 1000.0 * statistics.median(times), 1000.0 * statistics.median(busy)


def their_time(mesh: Mesh, rounds: int) -> float:
    """PyNiteFEA: assemble, solve, moves and forces, ms of the processor; a new model for every round, not timed."""
    times = []
    for _ in range(rounds):
        model = pynite_model(mesh)
        start = time.process_time()
        pynite(mesh, model)
        times.append(time.process_time() - start)
    return 1000.0 * statistics.median(times)


def describe(mesh: Mesh) -> None:
    """The same model for OpenSees: nodes, supports, elements."""
    ops.wipe()
    ops.model("basic", "-ndm", 3, "-ndf", 6)
    for number, place in enumerate(mesh.places):
        ops.node(number, *(float(c) for c in place))
    for number, flags in mesh.held.items():
        ops.fix(number, *(int(flag) for flag in flags))
    for number, ((one, other), kind, up) in enumerate(zip(mesh.nodes, mesh.stock, mesh.high, strict=True)):
        ea, _, _, gj, wide, high = mesh.soft[kind]
        # Its local z lies in the plane of x and the vector given: ours is "high", so y is across it.
        ops.geomTransf("Linear", number, *(float(c) for c in up))
        ops.element(
            "elasticBeamColumn", number, int(one), int(other), 1 / ea, 1.0, 1.0, 1 / gj, 1 / wide, 1 / high, number
        )
    ops.timeSeries("Constant", 1)


def opensees(mesh: Mesh) -> tuple[Floats, Floats, float]:
    """Moves, forces at last ends, and the time of ``analyze`` alone, ms."""
    moves = np.zeros((len(mesh.places), 6, CASES.shape[1]))
    forces = np.zeros((len(mesh.nodes), 6, CASES.shape[1]))
    solving = 0.0
    axes = [local_axes(mesh, number) for number in range(len(mesh.nodes))]
    ops.wipeAnalysis()
    ops.system(SYSTEM)
    ops.numberer("AMD")
    ops.constraints("Plain")
    ops.integrator("LoadControl", 1.0)
    ops.algorithm("Linear")
    ops.analysis("Static")
    for case in range(CASES.shape[1]):
        ops.pattern("Plain", case + 1, 1)
        for number, force in mesh.forces.items():
            ops.load(number, *(float(c) for c in force[:, case]), 0.0, 0.0, 0.0)
        for number, kind in enumerate(mesh.stock):
            along, wide, high = (mesh.mass[kind] * float(axis @ CASES[:, case]) for axis in axes[number])
            # Across its local y, its local z, then along.
            ops.eleLoad("-ele", number, "-type", "-beamUniform", wide, high, along)
        start = time.process_time()
        ops.analyze(1)
        solving += time.process_time() - start
        moves[:, :, case] = [ops.nodeDisp(number) for number in range(len(mesh.places))]
        forces[:, :, case] = [ops.eleForce(number)[6:] for number in range(len(mesh.nodes))]
        ops.remove("loadPattern", case + 1)
        ops.reset()
    return moves, forces, 1000.0 * solving


SYSTEM = "SparseSYM"


def local_axes(mesh: Mesh, number: int) -> tuple[Floats, Floats, Floats]:
    """Along the element, across (its local y), and "high" (its local z)."""
    one, other = mesh.nodes[number]
    along = mesh.places[other] - mesh.places[one]
    along = along / np.linalg.norm(along)
    return along, np.cross(mesh.high[number], along), mesh.high[number]


def unlike(a: Floats, b: Floats) -> float:
    """Largest difference in moves, relative to the largest move of the case."""
    size = np.abs(b[:, :3]).max(axis=(0, 1))
    return float((np.abs(a[:, :3] - b[:, :3]).max(axis=(0, 1)) / size).max())


def peers() -> None:
    """The table of one mesh for all."""
    print("| elements, ms of the processor | ours | PyNiteFEA | ratio | OpenSees | analyze alone | ratio | agree to |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for count in COUNTS:
        mesh = chord_frame(count)
        mine, _ = ours(mesh)
        _, fast = both(partial(ours, mesh), 21)
        slow = their_time(mesh, 3 if count < 1000 else 1)
        agree = [unlike(mine, pynite(mesh)[0])]
        third: list[Any] = ["-", "-", "-"]
        if ops is not None:
            describe(mesh)
            moves, _, _ = opensees(mesh)
            agree.append(unlike(mine, moves))
            times, alone = [], []
            for _ in range(7):
                start = time.process_time()
                *_, solving = opensees(mesh)
                times.append(1000.0 * (time.process_time() - start))
                alone.append(solving)
            whole, only = statistics.median(times), statistics.median(alone)
            third = [f"{whole:.0f}", f"{only:.0f}", f"{whole / fast:.0f} ({only / fast:.1f})"]
        if max(agree) > 1e-6:
            raise SystemExit(f"they do not agree: {agree}")
        print(
            f"| {len(mesh.nodes)} | {fast:.1f} | {slow:.0f} | {slow / fast:.0f} | {' | '.join(third)} | "
            f"{', '.join(f'{one:.0e}' for one in agree)} |"
        )


def whole_shelf() -> None:
    """The crate shelf by itself."""
    structure = shelf()
    cases: list[LoadCase] = list(cases_of(USES["hand cart"], structure))[:8]
    solved = analyse(structure, cases)
    assert not isinstance(solved, tuple)
    sections: list[Section] = [Round(d / 2.0) for d in range(16, 38)]
    sections += [Tube(d, w) for d in (12.0, 14.0, 16.0, 18.0, 20.0, 22.0, 25.0) for w in (1.0, 1.5, 2.0, 2.5)]
    metals = list(materials().values())[:10]
    few = cases[:6]
    rows = [
        ("crate shelf, 8 cases: cut, solved, forces everywhere", both(lambda: analyse(structure, cases), 31)),
        ("the same, with what metal and welds bear", both(lambda: limits_of(solved), 15)),
        ("the same, with buckling and frequencies", both(lambda: judge(structure, cases, ()), 7)),
        (
            f"{len(sections) * len(metals)} variants of section and metal, 6 cases",
            both(lambda: sweep(structure, ["loop", "crossbar", "stay"], sections, metals, few), 3),
        ),
        (
            f"what would help: bigger sections and {len(bracings(solved, 0))} braces, 8 cases",
            both(lambda: helps_of(structure, cases), 3),
        ),
    ]
    result = work(read_job(Path(bentwork.__file__).parent / "data" / "crate-shelf.toml"))
    about = carried(result)
    assert about is not None
    more = itertools.count()

    def tried() -> WhatIf:
        """Two radii that nobody asked for yet: what was asked before is kept."""
        off = next(more) / 1000.0
        found = what_if(result, about, materials(), None, (60.0 + off, 40.0 + off))
        assert found is not None
        return found

    rows.append((f"what if, at the bender: {len(tried().tries)} variants, {len(about.cases)} cases", both(tried, 5)))
    print("| crate shelf, medians | ms | of the processor |")
    print("| --- | --- | --- |")
    for words, (took, busy) in rows:
        print(f"| {words} | {took:.1f} | {busy:.1f} |")


def main() -> None:
    """Print both tables."""
    whole_shelf()
    print()
    peers()


if __name__ == "__main__":
    main()
