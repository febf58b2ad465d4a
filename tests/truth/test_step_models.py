"""STEP files read back by the CAD kernel and by the take-off: volumes, places, names, bend tables.

Independent truth: the kernel's integral over the solid it reads against area times length (Pappus), the box it finds
round it against the centreline.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.STEPControl import STEPControl_Reader
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape

from bentwork.files.export_files import export_files
from bentwork.files.job_file import parse_job
from bentwork.files.step_out import Model, step_models
from bentwork.jobs.bodies import Body, bodies
from bentwork.jobs.work import work
from bentwork.models.bar_mesh import bar_mesh
from bentwork.models.mesh import Mesh
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose, Vec, dot, norm, sub
from bentwork.stock.bar import Stock
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube, Way
from bentwork.takeoff.bar import Solid
from bentwork.takeoff.take import take_off
from tests.bent_bodies import PIECES, SECTIONS
from tests.make import a_placed_subject, a_steel

STAMP = "2025-11-02T10:00:00"


def solids(path: Path) -> list[TopoDS_Shape]:
    """Every solid in a STEP file, as the kernel reads it, in millimetres."""
    reader = STEPControl_Reader()
    assert reader.ReadFile(str(path)) == IFSelect_ReturnStatus.IFSelect_RetDone
    reader.TransferRoots()
    explorer = TopExp_Explorer(reader.OneShape(), TopAbs_ShapeEnum.TopAbs_SOLID)
    found = []
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def volume(shape: TopoDS_Shape) -> float:
    measured = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, measured, 1e-10)
    return float(measured.Mass())


def middle(shape: TopoDS_Shape) -> tuple[float, ...]:
    measured = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, measured, 1e-10)
    return tuple(measured.CentreOfMass().Coord())


def box(shape: TopoDS_Shape) -> list[float]:
    found = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, found, False, False)
    return [*found.CornerMin().Coord(), *found.CornerMax().Coord()]


def centre(mesh: Mesh) -> list[float]:
    """Centre of mass: that of every tetrahedron from the origin, weighted with its volume."""
    a, b, c = (mesh.corners[:, k] for k in range(3))
    six = np.einsum("ij,ij->i", a, np.cross(b, c))
    found: list[float] = (((a + b + c) / 4 * six[:, None]).sum(axis=0) / six.sum()).tolist()
    return found


def body(name: str, line: Centreline, section: Section, way: Way = "easy") -> Body:
    subject = a_placed_subject(line.table, line.start, stock=Stock("bar", section, a_steel()), piece=name)
    object.__setattr__(subject, "way", way)
    return Body(name, subject, ((name, (0.0, 0.0, 0.0)),))


def written(folder: Path, some: list[Body]) -> Path:
    model = Model("Hand cart", tuple((one, one.copies) for one in some))
    made = step_models([model], STAMP)
    assert made.failed == ()
    (data,) = made.files
    assert data is not None
    path = folder / "cart.step"
    path.write_bytes(data)
    return path


CASES: list[tuple[str, Section, Way]] = [
    *(("turned", section, "easy") for section in SECTIONS),
    *(("upturned", section, "easy") for section in SECTIONS[:6]),
    *((name, section, "hard") for name in PIECES for section in (Tube(25, 2), Flat(30, 4))),
]


def test_every_solid_is_sound_and_has_its_volume_and_its_place(tmp_path: Path) -> None:
    some = [body(f"{k} {name}", PIECES[name], section, way) for k, (name, section, way) in enumerate(CASES)]
    found = solids(written(tmp_path, some))
    assert len(found) == len(CASES)
    for (name, section, way), shape in zip(CASES, found, strict=True):
        line = PIECES[name]
        assert BRepCheck_Analyzer(shape).IsValid(), (name, section)
        assert volume(shape) == pytest.approx(section.area * line.table.length, rel=1e-6), (name, section)
        mesh = bar_mesh(line, section, way, 0.05)
        assert middle(shape) == pytest.approx(centre(mesh), abs=0.02), (name, section)
        if isinstance(section, Flat | Square):
            seen = [*mesh.points.min(axis=0), *mesh.points.max(axis=0)]
            assert box(shape) == pytest.approx(seen, abs=0.03), (name, section)


def same_piece(found: Solid, line: Centreline, section: Section, way: Way | None) -> None:
    """Straights, radii and places within 1e-6 mm, angles within 1e-6 degrees, whichever end was taken for A."""
    assert found.kind == "piece", found.reason
    (bar,) = found.bars
    assert bar.section is not None
    assert type(bar.section) is type(section)
    sizes = ("diameter", "wall", "width", "height", "corner_radius")
    for size in sizes:
        assert getattr(bar.section, size, None) == pytest.approx(getattr(section, size, None), abs=1e-6)
    table, start = bar.line.table, bar.line.start.origin
    if norm(sub(start, line.start.origin)) > 1e-6 or dot(bar.line.start.tangent, line.start.tangent) < 0.0:
        table, start = table.reversed(), bar.line.end.origin
    wanted = line.table
    # Of two equally long straights of a ring either may be given the seam.
    seams = [run.pose(run.length / 2).origin for run in line.runs if run.bend == 0] if wanted.closed else []
    assert min(norm(sub(start, place)) for place in (line.start.origin, *seams)) < 1e-6
    assert table.closed == wanted.closed
    assert table.straights == pytest.approx(wanted.straights, abs=1e-6)
    assert [b.radius for b in table.bends] == pytest.approx([b.radius for b in wanted.bends], abs=1e-6)
    assert [b.angle for b in table.bends] == pytest.approx([b.angle for b in wanted.bends], abs=1e-6)
    assert [b.rotation for b in table.bends] == pytest.approx([b.rotation for b in wanted.bends], abs=1e-6)
    if way is not None:
        assert bar.way == way


THERE_AND_BACK: list[tuple[str, Section, Way | None]] = [
    ("turned", Round(12), None),
    ("elsewhere", Tube(25, 2), None),
    ("mirrored", Tube(25, 2), None),
    ("straight", Square(12, 12), None),
    ("upturned", Round(12), None),
    ("loop", Flat(30, 4), "easy"),
    ("loop", Flat(30, 4), "hard"),
    ("loop", SquareTube(25, 15, 2, 4), "easy"),
    ("straight", SquareTube(25, 15, 2, 0), None),
]


def test_the_take_off_gives_the_bend_table_back(tmp_path: Path) -> None:
    some = [body(str(k), PIECES[name], section, way or "easy") for k, (name, section, way) in enumerate(THERE_AND_BACK)]
    taken = take_off(written(tmp_path, some))
    assert taken.units == "millimetre"
    assert [solid.name for solid in taken.solids] == [one.name for one in some]
    for (name, section, way), solid in zip(THERE_AND_BACK, taken.solids, strict=True):
        same_piece(solid, PIECES[name], section, way)


FRAME = """\
format = 1
name = "Gartenkarren für Äpfel"

[stock.rod]
section = "round"
diameter = 12
material = "S235"

[bender.lever]
kind = "wrap"
radius = 50

[piece."Bügel"]
stock = "rod"
bender = "lever"
points = [[0, 40, 0], [200, 40, 0], [200, 40, 150], [260, 140, 150]]
mirror = true
mirror_in = { axis = "y", at = 10 }
at = [[0, 0, 0], [100, 25, -30]]
count = 2

[piece.stay]
stock = "rod"
bender = "lever"
points = [[0, 0, 0], [100, 0, 0], [100, 100, 0]]
mirror = true

[piece.bar]
stock = "rod"
points = [[0, 0, 300], [120, 0, 300]]
"""


@pytest.fixture(scope="module")
def frame(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[str]]:
    folder = tmp_path_factory.mktemp("frame")
    said: list[str] = []
    result = work(parse_job(FRAME.encode(), "cart.toml"))
    for name, data in export_files(result, STAMP, ["step"], said.append):
        (folder / name).write_bytes(data)
    return folder, said


def test_a_file_for_every_piece_and_one_for_the_frame(frame: tuple[Path, list[str]]) -> None:
    folder, said = frame
    assert sorted(path.name for path in folder.iterdir()) == [
        *("Bügel-left.step", "Bügel-right.step", "bar.step", "frame.step", "stay-left.step", "stay-right.step"),
    ]
    assert [one for one in said if "stay" in one and "not placed" in one] != []
    assert all(len(solids(path)) == 1 for path in folder.iterdir() if path.stem != "frame")


def test_copies_and_hands_stand_where_the_job_says(frame: tuple[Path, list[str]]) -> None:
    folder, _ = frame
    found = {
        name: middle(solids(folder / f"{name}.step")[0]) for name in ("Bügel-left", "Bügel-right", "stay-left", "bar")
    }
    (x, y, z), mirrored = found["Bügel-left"], found["Bügel-right"]
    assert mirrored == pytest.approx((x, 20 - y, z), abs=1e-6)
    assert found["bar"] == pytest.approx((60, 0, 300), abs=1e-6)
    placed = sorted(middle(shape) for shape in solids(folder / "frame.step"))
    wanted = [(x, y, z), (x + 100, y + 25, z - 30), mirrored, (x + 100, 20 - y - 25, z - 30)]
    wanted += [found["stay-left"], found["bar"]]
    assert len(placed) == len(wanted)
    for one, other in zip(placed, sorted(wanted), strict=True):
        assert one == pytest.approx(other, abs=1e-5)


def test_names_are_those_of_the_job(frame: tuple[Path, list[str]]) -> None:
    folder, _ = frame
    taken = take_off(folder / "frame.step").solids
    assert [solid.name for solid in taken] == ["Bügel left"] * 2 + ["Bügel right"] * 2 + ["stay left", "bar"]
    about = {one.name: one for one in bodies(work(parse_job(FRAME.encode(), "cart.toml")), "2025-11-02")}
    for solid in (taken[0], taken[2], taken[4], taken[5]):
        same_piece(solid, about[solid.name].subject.line, Round(12), None)
    shifted = about["Bügel left"].subject.line
    at = shifted.start
    by: Vec = (100.0, 25.0, -30.0)
    moved = Pose((at.origin[0] + by[0], at.origin[1] + by[1], at.origin[2] + by[2]), at.tangent, at.axis)
    same_piece(taken[1], Centreline(shifted.table, moved), Round(12), None)
    text = (folder / "frame.step").read_text(encoding="ascii")
    assert "PRODUCT('B\\X2\\00FC\\X0\\gel left'" in text
    assert "FILE_NAME('Gartenkarren f\\X2\\00FC\\X0\\r \\X2\\00C4\\X0\\pfel'" in text
    assert "SI_UNIT(.MILLI.,.METRE.)" in text
    assert STAMP in text


def test_names_longer_than_a_line_are_cut_where_a_letter_ends(tmp_path: Path) -> None:
    some = [body(name, PIECES["straight"], Round(12)) for name in ("ü" * 50, "a" * 100, "Ö😀-'x'\\y")]
    found = [solid.name for solid in take_off(written(tmp_path, some)).solids]
    assert found == ["ü" * 5, "a" * 64, "Ö😀-'x'\\y"]


def test_one_that_cannot_be_made_is_told_and_the_others_are_made() -> None:
    good = body("good", PIECES["turned"], Round(12))
    inside_out = body("bad", Centreline(PIECES["turned"].table), Round(130))
    made = step_models([Model("both", ((good, good.copies), (inside_out, inside_out.copies)))], STAMP)
    assert [name for name, _ in made.failed] == ["bad"]
    assert made.files[0] is not None


def test_a_straight_bar_of_no_bends_is_a_cylinder(tmp_path: Path) -> None:
    line = Centreline(BendTable((250.0,)))
    (shape,) = solids(written(tmp_path, [body("bar", line, Round(20))]))
    assert volume(shape) == pytest.approx(math.pi * 100 * 250, rel=1e-12)
