"""STEP files with holes and cut ends, read back by the CAD kernel and by the take-off.

Independent truth: volumes that are taken out by closed forms and by numerical integration (scipy), the kernel's own
distance and common volume of two solids, places of holes worked out here from the job file's numbers.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.TopoDS import TopoDS_Shape
from scipy.integrate import quad

from bentwork.files.export_files import export_files
from bentwork.files.job_file import parse_job
from bentwork.jobs.work import Result, work
from bentwork.takeoff.bar import Solid
from bentwork.takeoff.take import take_off
from tests.brackets import worked
from tests.truth.test_step_models import STAMP, box, solids, volume


def exported(folder: Path, result: Result) -> list[str]:
    """Write the STEP files; return what was said."""
    said: list[str] = []
    for name, data in export_files(result, STAMP, ["step"], said.append):
        (folder / name).write_bytes(data)
    return said


def of_job(folder: Path, text: str) -> list[str]:
    return exported(folder, work(parse_job(text.encode(), "cart.toml")))


def only(path: Path) -> TopoDS_Shape:
    (shape,) = solids(path)
    assert BRepCheck_Analyzer(shape).IsValid()
    return shape


def frame(folder: Path) -> dict[str, TopoDS_Shape]:
    path = folder / "frame.step"
    names = [one.name for one in take_off(path).solids]
    found: dict[str, TopoDS_Shape] = {}
    for name, shape in zip(names, solids(path), strict=True):
        key, number = name, 1
        while key in found:
            number += 1
            key = f"{name} {number}"
        found[key] = shape
    return found


def apart(one: TopoDS_Shape, other: TopoDS_Shape) -> float:
    measured = BRepExtrema_DistShapeShape(one, other)
    assert measured.IsDone()
    return float(measured.Value())


def overlap(one: TopoDS_Shape, other: TopoDS_Shape) -> float:
    return volume(BRepAlgoAPI_Common(one, other).Shape())


# ------------------------------------------------------------------------------------------------------------- holes

# The bracket stands 80 high on 120: corners lose 10 tan 45 = 10, so straights of 70, 100, 70 and arcs of 5 pi.
ARC = 5.0 * math.pi
HOLES = """
    { along = 15, diameter = 6.5 },
    { side = 2, along = 60, across = 7, diameter = 5 },
    { at = [30, -4, 0], diameter = 6.5, slot = 18 },
    { along = 210, diameter = 6, slot = 14, runs = "across" },
    { along = 235, across = -5, thread = "M6" },
"""
PLACES = [
    (15.0, 6.5, 0.0, 0.0, 0.0),
    (70.0 + ARC + 20.0, 6.5, -4.0, 11.5, 0.0),
    (70.0 + ARC + 50.0, 5.0, 7.0, 0.0, 0.0),
    (210.0, 6.0, 0.0, 8.0, 90.0),
    (235.0, 5.0, -5.0, 0.0, 0.0),  # an M6 thread is drilled 5.0 (ISO 2306)
]


def same_holes(solid: Solid, hand: float = 1.0) -> None:
    (bar,) = solid.bars
    assert len(bar.holes) == len(PLACES)
    for hole, (at, diameter, off, slot, lean) in zip(bar.holes, PLACES, strict=True):
        assert hole.at == pytest.approx(at, abs=1e-6)
        assert hole.diameter == pytest.approx(diameter, abs=1e-6)
        assert hole.off_middle == pytest.approx(hand * off, abs=1e-6)
        assert (hole.slot, hole.lean) == pytest.approx((slot, lean), abs=1e-6)
        assert hole.through
        assert hole.round == pytest.approx(0.0, abs=1e-6)  # square to the wide face, which is bent inwards


def pin(x: float, y: float, z: float = 0.0) -> TopoDS_Shape:
    """A pin of 4 that stands upright about a place, 4 to either side."""
    return BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(x, y, z - 4.0), gp_Dir(0, 0, 1)), 2.0, 8.0).Shape()


FULL = math.pi * 4.0 * 4.0
"""What a pin has in common with 4 mm of metal, mm3."""


def test_holes_of_a_bracket_are_where_the_job_has_them(tmp_path: Path) -> None:
    assert exported(tmp_path, worked(HOLES)) == []
    shape = only(tmp_path / "bracket.step")
    taken = 0.0
    for _, diameter, _, slot, _ in PLACES:
        taken += 4.0 * (math.pi * diameter**2 / 4.0 + slot * diameter)
    assert volume(shape) == pytest.approx(120.0 * (240.0 + 2.0 * ARC) - taken, rel=1e-9)
    (solid,) = take_off(tmp_path / "bracket.step").solids
    same_holes(solid)
    (bar,) = solid.bars
    assert bar.line.table.straights == pytest.approx((70.0, 100.0, 70.0), abs=1e-6)
    assert [bend.radius for bend in bar.line.table.bends] == pytest.approx([10.0, 10.0], abs=1e-6)


def test_the_opposite_hand_has_its_holes_mirrored(tmp_path: Path) -> None:
    exported(tmp_path, worked(HOLES, 'mirror = true\nmirror_in = { axis = "y", at = 50 }'))
    left, right = take_off(tmp_path / "frame.step").solids
    same_holes(left)
    same_holes(right, -1.0)
    assert (right.same_as, right.mirror_of) == (None, left.index)
    one, other = box(only(tmp_path / "bracket-left.step")), box(only(tmp_path / "bracket-right.step"))
    assert (other[1], other[4]) == pytest.approx((100.0 - one[4], 100.0 - one[1]), abs=1e-6)
    # The slot along the bar: from x = 21 to 39 round y = -4, or its mirror image at 104.
    for name, y, beside in (("left", -4.0, 8.0), ("right", 104.0, 92.0)):
        shape = only(tmp_path / f"bracket-{name}.step")
        for x, metal in ((23.3, 0.0), (30.0, 0.0), (36.7, 0.0), (18.9, FULL), (41.1, FULL)):
            assert overlap(shape, pin(x, y)) == pytest.approx(metal, abs=1e-6)
        assert overlap(shape, pin(30.0, beside)) == pytest.approx(FULL, abs=1e-6)


def test_a_hole_in_a_bend_goes_through_square_to_it(tmp_path: Path) -> None:
    exported(tmp_path, worked(f"{{ along = {70 + ARC / 2}, diameter = 5 }}"))
    shape = only(tmp_path / "bracket.step")
    # Seen along the drill the walls are circles of 8 and 12 about the bend's axis, bounded by the drill alone.
    wall = quad(lambda x: (math.sqrt(144 - x * x) - math.sqrt(64 - x * x)) * 2 * math.sqrt(6.25 - x * x), -2.5, 2.5)[0]
    assert volume(shape) == pytest.approx(120.0 * (240.0 + 2.0 * ARC) - wall, rel=1e-8)
    (solid,) = take_off(tmp_path / "bracket.step").solids
    (hole,) = solid.bars[0].holes
    assert hole.at == pytest.approx(70 + ARC / 2, abs=1e-4)


def test_a_hole_that_cannot_be_drilled_is_told_and_the_piece_is_made(tmp_path: Path) -> None:
    said = exported(tmp_path, worked("{ along = 30, diameter = 31 }, { along = 55, diameter = 6 }"))
    (told,) = [words for words in said if "hole 1" in words]
    assert told.startswith("bracket: in STEP without hole 1, which the CAD kernel cannot cut: ")
    (solid,) = take_off(tmp_path / "bracket.step").solids
    assert [hole.at for hole in solid.bars[0].holes] == pytest.approx([55.0], abs=1e-6)


# -------------------------------------------------------------------------------------------------------------- ends

RAILS = """\
format = 1
name = "Hand cart"

[stock.rail]
{rail}
material = "S235"

[stock.rung]
{rung}
material = "S235"

[piece.near]
stock = "rail"
points = [[0, 0, 0], [600, 0, 0]]

[piece.far]
stock = "rail"
points = [[0, 300, {rise}], [600, 300, {rise}]]

[crossbar.rung]
stock = "rung"
between = [["near", 1], ["far", 1]]
count = 2
ends = "{ends}"
shift = {shift}
from = 150
to = 150
"""
ROUND20 = 'section = "round"\ndiameter = 20'
TUBE25 = 'section = "tube"\ndiameter = 25\nwall = 2'
TUBE18 = 'section = "tube"\ndiameter = 18\nwall = 1.5'
BOX = 'section = "square-tube"\nwidth = 30\nheight = 20\nwall = 2\ncorner_radius = 3'
FLAT = 'section = "flat"\nwidth = 20\nheight = 5'
PAIRS = [
    (TUBE25, TUBE18, "coped", 0, 0),
    (TUBE25, TUBE18, "coped", 120, 40),
    (ROUND20, ROUND20, "coped", -90, 0),
    (TUBE25, BOX, "coped", 60, 0),
    (BOX, TUBE18, "coped", 100, 25),
    (BOX, FLAT, "coped", 80, 0),
    (TUBE25, TUBE18, "butted", 0, 0),
    (TUBE25, TUBE18, "butted", 110, 0),
    (BOX, FLAT, "butted", 90, 0),
]


@pytest.mark.parametrize(("rail", "rung", "ends", "shift", "rise"), PAIRS)
def test_crossbars_sit_on_the_rails_and_not_in_them(
    tmp_path: Path, rail: str, rung: str, ends: str, shift: int, rise: int
) -> None:
    said = of_job(tmp_path, RAILS.format(rail=rail, rung=rung, ends=ends, shift=shift, rise=rise))
    assert said == []
    found = frame(tmp_path)
    assert set(found) == {"near", "far", "rung", "rung 2"}
    for name in ("rung", "rung 2"):
        for onto in ("near", "far"):
            assert apart(found[name], found[onto]) < 1e-6, (name, onto)
            assert overlap(found[name], found[onto]) < 1e-4, (name, onto)


def test_a_coped_tube_has_the_metal_that_the_integral_gives(tmp_path: Path) -> None:
    of_job(tmp_path, RAILS.format(rail=TUBE25, rung=TUBE18, ends="coped", shift=0, rise=0))

    def gone(radius: float) -> float:
        """What a rod of this radius loses to a bar of 12.5 across it, from middle line to middle line."""
        slice_of = lambda y: math.sqrt(12.5**2 - y * y) * 2 * math.sqrt(radius**2 - y * y)  # noqa: E731
        return float(quad(slice_of, -radius, radius)[0])

    wanted = math.pi * (81 - 56.25) * 300 - 2 * (gone(9.0) - gone(7.5))
    assert volume(only(tmp_path / "rung.step")) == pytest.approx(wanted, rel=1e-7)
    (solid,) = take_off(tmp_path / "rung.step").solids
    (bar,) = solid.bars
    for end in bar.ends:
        assert end.cut == "coped"
        assert (end.angle, end.diameter) == pytest.approx((90.0, 25.0), abs=1e-4)
    # From longest point to longest point: beside the middle by 9 mm the rail is 12.5^2 - 9^2 high.
    assert bar.line.table.length == pytest.approx(300 - 2 * math.sqrt(12.5**2 - 81), abs=1e-4)


def test_a_butted_end_that_leans_is_a_mitre(tmp_path: Path) -> None:
    of_job(tmp_path, RAILS.format(rail=BOX, rung=TUBE18, ends="butted", shift=110, rise=0))
    (solid,) = take_off(tmp_path / "rung.step").solids
    lean = math.degrees(math.atan2(110, 300))
    for end in solid.bars[0].ends:
        assert end.cut == "mitred"
        assert end.angle == pytest.approx(lean, abs=1e-6)
    # Both cuts lie in faces of the rails, their middles 300 less two halves of a rail apart, square across.
    faces = 300.0 - box(frame(tmp_path)["near"])[4] * 2
    assert solid.bars[0].line.table.length == pytest.approx(faces / math.cos(math.radians(lean)), abs=1e-6)


DRAWN = """\
format = 1
name = "Hand cart"

[stock.rod]
section = "round"
diameter = 12
material = "S235"

[bender.lever]
kind = "wrap"
radius = 50

[piece.hoop]
stock = "rod"
bender = "lever"
points = [[0, 0, 0], [0, 0, 250], [300, 0, 250], [300, 0, 0]]

[piece.rail]
stock = "rod"
points = [[-50, 200, 250], [350, 200, 250]]

[piece.prop]
stock = "rod"
points = {points}
ends = "coped"
{more}
"""


def test_an_end_on_a_bend_stays_square_and_is_told(tmp_path: Path) -> None:
    corner = 50.0 * (1.0 - math.sqrt(0.5))
    points = f"[[{corner}, 0, {250 - corner}], [{corner}, 200, {250 - corner}]]"
    said = of_job(tmp_path, DRAWN.format(points=points, more=""))
    told = [words for words in said if words.startswith("prop: in STEP end A is square")]
    assert told == ["prop: in STEP end A is square: it sits on bend 1 of hoop, to be fitted by hand"]
    (solid,) = take_off(tmp_path / "prop.step").solids
    assert solid.bars[0].ends[0].cut == "square"


def test_copies_that_end_otherwise_are_cut_otherwise(tmp_path: Path) -> None:
    """The second copy ends in the air at B, where the first sits on the rail."""
    of_job(tmp_path, DRAWN.format(points="[[100, 0, 250], [100, 200, 250]]", more="at = [[0, 0, 0], [0, 0, -100]]"))
    found = {path.stem: only(path) for path in tmp_path.glob("prop*.step")}
    cuts = {stem: [end.cut for end in take_off(tmp_path / f"{stem}.step").solids[0].bars[0].ends] for stem in found}
    assert cuts == {"prop": ["coped", "coped"], "prop-2": ["square", "square"]}
    whole = frame(tmp_path)
    assert volume(whole["prop 2"]) == pytest.approx(math.pi * 36 * 200, rel=1e-9)
    assert max(overlap(whole["prop"], whole[onto]) for onto in ("hoop", "rail")) < 1e-6


STAYED = """\
format = 1
name = "Rowing-boat"

[stock.tube]
{section}
material = "S235"

[piece.post]
stock = "tube"
points = [[0, -60, -100], [0, -60, 100]]

[stay.brace]
stock = "tube"
piece = "post"
from = [0, 0, 0]
to = [300, 0, 0]
ends = ["drilled", "{end}"]
hole = 6.5
end = 20
axes = [[0, 1, 0], [0, 0, 1]]
"""


def test_a_hole_goes_through_both_walls_of_a_tube(tmp_path: Path) -> None:
    of_job(tmp_path, STAYED.format(section=TUBE25, end="drilled"))

    def bored(radius: float) -> float:
        """What two round bars that cross square have in common: one of this radius and a drill of 3.25."""
        inside = quad(lambda x: math.sqrt(radius**2 - x * x) * math.sqrt(3.25**2 - x * x), 0.0, 3.25, epsabs=1e-12)
        return 8.0 * float(inside[0])

    wanted = math.pi * (12.5**2 - 10.5**2) * 340.0 - 2 * (bored(12.5) - bored(10.5))
    assert volume(only(tmp_path / "brace.step")) == pytest.approx(wanted, rel=1e-8)
    (solid,) = take_off(tmp_path / "brace.step").solids
    one, other = solid.bars[0].holes
    assert (one.at, other.at) == pytest.approx((20.0, 320.0), abs=1e-6)
    assert (one.diameter, other.diameter) == pytest.approx((6.5, 6.5), abs=1e-6)
    assert one.through
    assert other.through
    assert abs(one.round - other.round) == pytest.approx(90.0, abs=1e-6)


def test_the_other_hand_of_a_stay_has_its_holes_too(tmp_path: Path) -> None:
    text = STAYED.format(section=TUBE25, end="drilled") + 'mirror_in = { axis = "y", at = 50 }\n'
    of_job(tmp_path, text)
    left, right = (only(path) for path in sorted(tmp_path.glob("brace*.step")))
    assert volume(left) == pytest.approx(volume(right), rel=1e-9)
    for shape, y in ((left, 0.0), (right, 100.0)):
        assert overlap(shape, pin(300.0, y, 12.0)) < 1e-9  # the drill of end B comes from above
        assert overlap(shape, pin(280.0, y, 12.0)) > 10.0


TAB = """
[tab.eye]
piece = "near"
thickness = 5
width = 24
material = "S235"
hole = {hole}
end = 16
rounded = {rounded}
at = [[200, 0, 40], [400, 0, 40]]
axis = [0, 1, 0]
"""


@pytest.mark.parametrize("rounded", [True, False])
def test_tabs_stand_in_the_frame_with_their_holes(tmp_path: Path, *, rounded: bool) -> None:
    rails = RAILS.format(rail=TUBE25, rung=TUBE18, ends="coped", shift=0, rise=0)
    assert of_job(tmp_path, rails + TAB.format(hole=8, rounded=str(rounded).lower())) == []
    found = frame(tmp_path)
    # It is cut to where its faces, 2.5 beside the middle, meet the rail, and filed hollow there.
    foot = math.sqrt(12.5**2 - 2.5**2)
    outline = 24 * (40 + 4 - foot) + math.pi * 12**2 / 2 if rounded else 24 * (40 + 16 - foot)
    for number, x in ((1, 200.0), (2, 400.0)):
        shape = found[f"tab eye {number}"]
        assert BRepCheck_Analyzer(shape).IsValid()
        assert volume(shape) == pytest.approx(5 * (outline - math.pi * 16), rel=1e-7)
        assert box(shape) == pytest.approx([x - 12, -2.5, foot, x + 12, 2.5, 56.0], abs=1e-6)
        assert apart(shape, found["near"]) < 1e-6
