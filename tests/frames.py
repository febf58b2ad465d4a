"""Frames for the tests of what they carry: single bars, and the crate shelf with fixings and payload made up for it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

import bentwork
from bentwork.carry.analysis import Analysed, analyse
from bentwork.carry.bar import Bar, copies
from bentwork.carry.building import Built, build
from bentwork.carry.cases import LoadCase
from bentwork.carry.condense import condense, geometry_of
from bentwork.carry.fixing import FIXED, PINNED, Fixing
from bentwork.carry.joint import Wanted
from bentwork.carry.payload import Payload, Strap
from bentwork.carry.solving import Loads, Solved, solve
from bentwork.carry.stiffness import compliance_of, line_masses
from bentwork.carry.structure import Directions, Structure, structure_of
from bentwork.files.job_file import read_job
from bentwork.jobs.job import PieceSpec
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.space import HOME, Pose, Vec
from bentwork.stock.entry import material_from_mapping
from bentwork.stock.material import Material
from bentwork.stock.section import Round, Section

__all__ = [
    "SHELF_FIXINGS",
    "SHELF_JOINTS",
    "SHELF_PAYLOAD",
    "a_bar",
    "an_aluminium",
    "an_arc",
    "analysed",
    "at_end",
    "loaded",
    "lowered",
    "shelf",
    "shelf_bars",
]

Floats = NDArray[np.float64]

SHELF_JOINTS = (Wanted(("stay", "loop")), Wanted(("bracket", "crossbar"), "bolted", bolts=2))
SHELF_FIXINGS = (
    Fixing("left foot", "stay", (160.0, 288.0, -330.0), FIXED),
    Fixing("right foot", "stay", (160.0, 12.0, -330.0), FIXED),
    Fixing("hook left", "bracket", (200.0, 172.0, -80.0), PINNED),
    Fixing("hook right", "bracket", (200.0, 128.0, -80.0), PINNED),
)
SHELF_PAYLOAD = Payload(15.0, (200.0, 150.0, 120.0), ("crossbar",), size=(380.0, 280.0, 220.0), name="crate")
"""Made up for the demo: the crate shelf holds a crate of 15 kg, welded stays, feet bolted down, hooks over the rail."""


def an_aluminium(e: float = 70000.0, poisson: float = 0.33) -> Material:
    """6082-T6 as EN 1999-1-1 has it (from memory)."""
    return material_from_mapping(
        "6082-T6",
        {
            "group": "aluminium",
            "elastic_modulus": e,
            "proof_stress": 250,
            "tensile_strength": 295,
            "elongation": 8,
            "density": 2700,
            "poisson": poisson,
            "welded_proof_stress": 125,
            "welded_strength": 185,
        },
    )


def a_bar(
    start: Vec,
    end: Vec,
    section: Section | None = None,
    material: Material | None = None,
    name: str = "bar",
) -> Bar:
    """A straight bar."""
    line = Corners((start, end), ()).centreline()
    return Bar(name, line, section or Round(10.0), material or an_aluminium())


def an_arc(
    radius: float,
    angle: float,
    section: Section | None = None,
    material: Material | None = None,
    start: Pose = HOME,
    name: str = "hoop",
) -> Bar:
    """An arc and nothing else."""
    line = Centreline(BendTable((0.0, 0.0), (Bend(radius, angle),)), start)
    return Bar(name, line, section or Round(10.0), material or an_aluminium())


def loaded(
    bars: Sequence[Bar],
    fixings: Sequence[Fixing],
    forces: Sequence[tuple[int, float, Sequence[float]]],
    wanted: Sequence[Wanted] = (),
    *,
    shear: bool = False,
    longest: float = 60.0,
    felt: Sequence[float] = (0.0, 0.0, 0.0),
) -> tuple[Built, Solved]:
    """The bars under one load: forces (3) or forces and moments (6) on bars at stations, and an acceleration."""
    structure = structure_of(bars, fixings, wanted=wanted)
    built = build(structure, [(bar, at) for bar, at, _ in forces], longest=longest)
    elements = built.frame.elements
    chains = condense(geometry_of(built.frame), compliance_of(bars, elements, shear=shear), line_masses(bars, elements))
    at = np.zeros((len(built.frame.attached), 6, 1))
    for spot, (_, _, force) in zip(built.extra, forces, strict=True):
        at[spot, : len(force), 0] += force
    solved = solve(chains, Loads(np.array(felt, dtype=np.float64).reshape(3, 1), at))
    assert isinstance(solved, Solved), "the frame can move"
    return built, solved


def at_end(built: Built, solved: Solved, spot: int) -> Floats:
    """Moves and turns of an attached place, (6,)."""
    frame = built.frame
    found: Floats = frame.transform[spot] @ solved.motions[frame.motions[spot], 0]
    return found


def shelf_bars() -> tuple[Bar, ...]:
    """The bars of the crate shelf, left and right stay and all three crossbars."""
    job = read_job(Path(bentwork.__file__).parent / "data" / "crate-shelf.toml")
    found: list[Bar] = []
    for spec in job.pieces:
        found += _placed(spec, job.stocks[spec.stock].section, job.stocks[spec.stock].material)
    return tuple(found)


def _placed(spec: PieceSpec, section: Section, material: Material) -> list[Bar]:
    shape = spec.shape
    line = shape.centreline() if isinstance(shape, Corners) else Centreline(shape.table, shape.start)
    drawn = Bar(f"{spec.name} {spec.hand}" if spec.mirror else spec.name, line, section, material, spec.way, spec.name)
    found = list(copies(drawn, spec.shifts(as_drawn=True)))
    if spec.mirror and spec.mirror_in is not None:
        image = Bar(
            f"{spec.name} {spec.other_hand}",
            line.mirrored(spec.mirror_in.axis, spec.mirror_in.at),
            section,
            material,
            spec.way,
            spec.name,
        )
        found += copies(image, spec.shifts(as_drawn=False))
    return found


def lowered(bars: Sequence[Bar], piece: str, by: float) -> tuple[Bar, ...]:
    """The bars with every copy of one piece this much lower, mm."""
    found: list[Bar] = []
    for bar in bars:
        found += copies(bar, [(0.0, 0.0, -by)]) if bar.of == piece else [bar]
    return tuple(found)


def shelf(
    payload: Payload | None = SHELF_PAYLOAD, straps: Sequence[Strap] = (), bars: Sequence[Bar] | None = None
) -> Structure:
    """The crate shelf with fixings and payload."""
    forward = Directions(forward=(1.0, 0.0, 0.0))
    return structure_of(bars or shelf_bars(), SHELF_FIXINGS, payload, straps, SHELF_JOINTS, directions=forward)


def analysed(structure: Structure, cases: Sequence[LoadCase]) -> Analysed:
    """The structure under these cases; it must not be able to move."""
    found = analyse(structure, cases)
    assert isinstance(found, Analysed), "the frame can move"
    return found
