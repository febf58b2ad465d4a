"""One thing wrong in a good job: one fault, on its line, and no other beside it."""

from __future__ import annotations

import pytest

from tests.unit.files.job_texts import SMALL, bent, only_fault, swapped

PART = 'name = "lug", carries = "pivot", width = 30, thickness = 6, hole = 9, edge = 25, strength = 300'
SOLD = 'section = "tube", diameter = 12, wall = 1, material = "Cu-R220"'
P, R = "bender.lever.parts[1]", "bender.lever.rated"


@pytest.mark.parametrize(
    ("old", "new", "line", "where", "found"),
    [
        ("format = 1", "format = 2", 1, "format", "2"),
        ("format = 1", "format = 0", 1, "format", "0"),
        ("format = 1", "format = true", 1, "format", "true"),
        ("format = 1", 'format = "1"', 1, "format", '"1"'),
        ("format = 1", "format = 1.0", 1, "format", "1.0"),
        ("format = 1", "", 1, "format", "nothing"),
        ("format = 1", "formt = 1", 1, "formt", 'the key "formt"'),
        ("format = 1", "format = 1\nname = 3", 2, "name", "3"),
        ("format = 1", "format = 1\nname = ' '", 2, "name", '" "'),
        ("format = 1", 'format = 1\nname = "a\\tb"', 2, "name", '"a\\tb"'),
        ("format = 1", 'format = 1\nname = "\\u0085"', 2, "name", '"\\u0085"'),
        ("format = 1", f'format = 1\nname = "{"x" * 121}"', 2, "name", '"' + "x" * 57 + "…\""),
        ("format = 1", 'format = 1\nunits = "inch"', 2, "units", '"inch"'),
        ("format = 1", "format = 1\nfraction = 12", 2, "fraction", "12"),
        ("format = 1", "format = 1\nfraction = 16.0", 2, "fraction", "16.0"),
        ("format = 1", "format = 1\n[[material]]\nname = 'x'", 2, "material", '[{ name = "x" }]'),
        ("format = 1", "format = 1\nmaterial = 3", 2, "material", "3"),
        ('section = "round"', 'section = "rond"', 4, "stock.rod.section", '"rond"'),
        ('section = "round"', "section = 1", 4, "stock.rod.section", "1"),
        ("diameter = 12", "diameter = 0", 5, "stock.rod.diameter", "0"),
        ("diameter = 12", "diameter = -1.5", 5, "stock.rod.diameter", "-1.5"),
        ("diameter = 12", "diameter = 0.001", 5, "stock.rod.diameter", "0.001"),
        ("diameter = 12", "diameter = 1e300", 5, "stock.rod.diameter", "1e+300"),
        ("diameter = 12", "diameter = nan", 5, "stock.rod.diameter", "nan"),
        ("diameter = 12", "diameter = inf", 5, "stock.rod.diameter", "inf"),
        ("diameter = 12", "diameter = true", 5, "stock.rod.diameter", "true"),
        ("diameter = 12", 'diameter = "1/0"', 5, "stock.rod.diameter", '"1/0"'),
        ("diameter = 12", 'diameter = "twelve"', 5, "stock.rod.diameter", '"twelve"'),
        ("diameter = 12", f'diameter = "{"9" * 400}"', 5, "stock.rod.diameter", '"' + "9" * 57 + "…\""),
        ("diameter = 12", "diameter = [12]", 5, "stock.rod.diameter", "[12]"),
        ("diameter = 12", "diameter = { d = 12 }", 5, "stock.rod.diameter", "{ d = 12 }"),
        ("diameter = 12", "diameter = 2026-01-02", 5, "stock.rod.diameter", "2026-01-02"),
        ('material = "S235"', "material = 235", 6, "stock.rod.material", "235"),
        ('material = "S235"', "price = -1\nmaterial = 'S235'", 6, "stock.rod.price", "-1"),
        ('material = "S235"', "price = '3'\nmaterial = 'S235'", 6, "stock.rod.price", '"3"'),
        ('material = "S235"', "", 3, "stock.rod.material", "nothing"),
        ('kind = "wrap"', 'kind = "Wrap"', 9, "bender.lever.kind", '"Wrap"'),
        ('kind = "wrap"', "", 8, "bender.lever.kind", "nothing"),
        ("radius = 50", "", 8, "bender.lever.radius", "nothing"),
        ("radius = 50", "radius = 50\nmax_angle = 360", 11, "bender.lever.max_angle", "360"),
        ("radius = 50", "radius = 50\nspringback = 0.98", 11, "bender.lever.springback", "0.98"),
        ("radius = 50", 'radius = 50\nmark = "center"', 11, "bender.lever.mark", '"center"'),
        ("radius = 50", "radius = 50\ndie = 24", 11, "bender.lever.die", "24"),
        ("radius = 50", "radius = 50\ndie = {}", 11, "bender.lever.die.thickness", "nothing"),
        ("radius = 50", "radius = 50\ndie = { thicknes = 3 }", 11, "bender.lever.die.thicknes", 'the key "thicknes"'),
        ("radius = 50", "radius = 50\nplate = 'x'", 11, "bender.lever.plate", '"x"'),
        ("radius = 50", "radius = 50\nneeds = { end_held = -1 }", 11, "bender.lever.needs.end_held", "-1"),
        ("radius = 50", "radius = 50\naccuracy = { angle = 0 }", 11, "bender.lever.accuracy.angle", "0"),
        ("radius = 50", "radius = 50\nblock = { opening = 20 }", 11, "bender.lever.block", "{ opening = 20 }"),
        ("radius = 50", f"radius = 50\nparts = [{{ {PART} }}]".replace("hole = 9", "hole = 39"), 11, f"{P}.hole", "39"),
        ("radius = 50", f"radius = 50\nparts = [{{ {PART} }}]".replace("edge = 25", "edge = 4"), 11, f"{P}.edge", "4"),
        ("radius = 50", f"radius = 50\nparts = [{{ {PART}, side = 30 }}]", 11, f"{P}.side", "30"),
        ("radius = 50", f"radius = 50\nparts = [{{ {PART}, proof_stress = 400 }}]", 11, f"{P}.proof_stress", "400"),
        ("radius = 50", f"radius = 50\nparts = [{{ {PART} }}]".replace("pivot", "axle"), 11, f"{P}.carries", '"axle"'),
        ("radius = 50", f"radius = 50\nrated = {{ {SOLD} }}".replace("wall = 1", "wall = 9"), 11, f"{R}.wall", "9"),
        ("radius = 50", f"radius = 50\nrated = {{ {SOLD} }}".replace("wall = 1,", ""), 11, f"{R}.wall", "nothing"),
        ("radius = 50", f"radius = 50\nrated = {{ {SOLD} }}".replace("R220", "R999"), 11, f"{R}.material", '"Cu-R999"'),
        ('stock = "rod"', "", 12, "piece.hoop.stock", "nothing"),
        ('stock = "rod"', "stock = 3", 13, "piece.hoop.stock", "3"),
        ('stock = "rod"', 'stock = "tube"', 13, "piece.hoop.stock", '"tube"'),
        ('stock = "rod"', 'stock = "rod"\nbender = "leer"', 14, "piece.hoop.bender", '"leer"'),
        ('stock = "rod"', 'stock = "rod"\nclosed = "true"', 14, "piece.hoop.closed", '"true"'),
        ('stock = "rod"', 'stock = "rod"\nradius = 0', 14, "piece.hoop.radius", "0"),
        ('stock = "rod"', 'stock = "rod"\nradius = [1, 2]', 14, "piece.hoop.radius", "2 of them, [1, 2]"),
        ('stock = "rod"', 'stock = "rod"\nradius = []', 14, "piece.hoop.radius", "[]"),
        ('stock = "rod"', 'stock = "rod"\nseam = 2', 14, "piece.hoop.seam", "2"),
        ('stock = "rod"', 'stock = "rod"\ncount = 0', 14, "piece.hoop.count", "0"),
        ('stock = "rod"', 'stock = "rod"\ncount = 1001', 14, "piece.hoop.count", "1001"),
        ('stock = "rod"', 'stock = "rod"\ncount = true', 14, "piece.hoop.count", "true"),
        ('stock = "rod"', 'stock = "rod"\ntrim = -1', 14, "piece.hoop.trim", "-1"),
        ('stock = "rod"', 'stock = "rod"\nway = "hrd"', 14, "piece.hoop.way", '"hrd"'),
        ('stock = "rod"', 'stock = "rod"\nat = 3', 14, "piece.hoop.at", "3"),
        ('stock = "rod"', 'stock = "rod"\nraduis = 40', 14, "piece.hoop.raduis", 'the key "raduis"'),
        ('stock = "rod"', 'stock = "rod"\nstart = [0, 0, 0]', 14, "piece.hoop.start", "[0, 0, 0]"),
        ('stock = "rod"', 'stock = "rod"\nmirror_in = { axis = "y", at = 0 }', 14, "piece.hoop.mirror_in",
         '{ axis = "y", at = 0 }'),
        ('stock = "rod"', 'stock = "rod"\nmirror = true\nmirror_in = { axis = "w", at = 0 }', 15,
         "piece.hoop.mirror_in.axis", '"w"'),
        ("[300, 0, 0]", "[300, 0]", 14, "piece.hoop.points[2]", "2 of them: [300, 0]"),
        ("[300, 0, 0]", "[300, 0, [0]]", 14, "piece.hoop.points[2][3]", "[0]"),
        ("[300, 0, 0]", '"300, 0, 0"', 14, "piece.hoop.points[2]", '"300, 0, 0"'),
        ("[300, 0, 0]", "[0, 0, 0]", 14, "piece.hoop.points[2]", "[0, 0, 0]"),
        ("[300, 200, 0]", "[300, 20, 0]", 14, "piece.hoop.points[2]", "[300, 0, 0]"),
    ],
)  # fmt: skip
def test_one_thing_wrong_is_one_fault(old: str, new: str, line: int, where: str, found: str) -> None:
    fault = only_fault(swapped(old, new, SMALL))
    assert (fault.line, fault.where, fault.found) == (line, where, found)


@pytest.mark.parametrize(
    ("sizes", "where", "found"),
    [
        ('section = "tube"\ndiameter = 12', "wall", "nothing"),
        ('section = "tube"\ndiameter = 12\nwall = 6', "wall", "6"),
        ('section = "round"\ndiameter = 12\nwall = 2', "wall", "2"),
        ('section = "round"\ndiameter = 12\ncorner_radius = 2', "corner_radius", "2"),
        ('section = "flat"\nwidth = 3\nheight = 25', "height", "25"),
        ('section = "square"\nwidth = 12', "height", "nothing"),
        ('section = "square"\nwidth = 12\nheight = 12\ndiameter = 12', "diameter", "12"),
        ('section = "square-tube"\nwidth = 20\nheight = 30', "wall", "nothing"),
        ('section = "square-tube"\nwidth = 20\nheight = 30\nwall = 10', "wall", "10"),
        ('section = "square-tube"\nwidth = 20\nheight = 30\nwall = 2\ncorner_radius = 11', "corner_radius", "11"),
        ('section = "square-tube"\nwidth = 20\nheight = 30\nwall = 2\ncorner_radius = -1', "corner_radius", "-1"),
    ],
)
def test_sizes_that_no_section_has(sizes: str, where: str, found: str) -> None:
    fault = only_fault(swapped('section = "round"\ndiameter = 12', sizes, SMALL))
    assert (fault.where, fault.found) == (f"stock.rod.{where}", found)


@pytest.mark.parametrize(
    ("lines", "where", "found"),
    [
        ("count = 1", "points", "nothing"),
        ("points = [[0, 0, 0], [9, 0, 0]]\nstraights = [9]", "straights", "[9]"),
        ("points = [[0, 0, 0], [9, 0, 0]]\nbends = []", "bends", "[]"),
        ("points = [[0, 0, 0], [9, 0, 0]]\nclosed = true", "points", "[[0, 0, 0], [9, 0, 0]]"),
        ("points = [[0, 0, 0], [9, 0, 0]]\nalong = [1, 0, 0]", "along", "[1, 0, 0]"),
        ("points = [[0, 0, 0], [9, 0, 0]]\nat = [[0, 0, 0]]\ncount = 2", "count", "2"),
        ('takeoff = { file = "frame.step", solid = 3 }', "takeoff", '{ file = "frame.step", solid = 3 }'),
        ("takeoff = 3", "takeoff", "3"),
        ('takeoff = { file = "frame.step" }', "takeoff.solid", "nothing"),
        ("takeoff = { solid = 3 }", "takeoff.file", "nothing"),
        ('takeoff = { file = "frame.step", solid = 0 }', "takeoff.solid", "0"),
        ('takeoff = { file = "frame.step", solid = "3" }', "takeoff.solid", '"3"'),
        ('takeoff = { file = "", solid = 3 }', "takeoff.file", '""'),
        ('takeoff = { file = "frame.step", solid = 3, member = 0 }', "takeoff.member", "0"),
        ('takeoff = { file = "frame.step", solid = 3, radius = -5 }', "takeoff.radius", "-5"),
        ('takeoff = { file = "frame.step", solids = 3 }', "takeoff.solids", 'the key "solids"'),
        ('takeoff = { file = "frame.step", solid = 3 }\npoints = [[0, 0, 0], [9, 0, 0]]', "points",
         "[[0, 0, 0], [9, 0, 0]]"),
        ('takeoff = { file = "frame.step", solid = 3 }\nradius = 50', "radius", "50"),
        ('takeoff = { file = "frame.step", solid = 3 }\nclosed = false', "closed", "false"),
        ('takeoff = { file = "frame.step", solid = 3 }\nstart = [0, 0, 0]', "start", "[0, 0, 0]"),
        ("straights = [100]\nbends = [[50, 90, 0]]", "straights", "1 of them, [100]"),
        ("straights = [100, 100]", "straights", "2 of them, [100, 100]"),
        ("bends = [[50, 90, 0]]", "straights", "nothing"),
        ("straights = [100, -1]\nbends = [[50, 90, 0]]", "straights[2]", "-1"),
        ("straights = [100, 80]\nbends = [[50, 90, 5]]", "bends[1][3]", "5"),
        ("straights = [100, 80]\nbends = [[50, 181, 0]]", "bends[1][2]", "181"),
        ("straights = [100, 80]\nbends = [[50, 0, 0]]", "bends[1][2]", "0"),
        ("straights = [100, 80]\nbends = [[50, -90, 0]]", "bends[1][2]", "-90"),
        ("straights = [100, 80]\nbends = [[50, 90]]", "bends[1]", "2 of them: [50, 90]"),
        ("straights = [100, 80]\nbends = [[50, '90', 0]]", "bends[1][2]", '"90"'),
        ("straights = [100, 80]\nbends = [[0, 90, 0]]", "bends[1][1]", "0"),
        ("straights = [100, 80]\nbends = [[50, 90, 0]]\nradius = 50", "radius", "50"),
        ("straights = [100, 80]\nbends = [[50, 90, 0]]\nseam = 1", "seam", "1"),
        ("straights = [100, 80]\nbends = [[50, 90, 0]]\nalong = [0, 0, 0]", "along", "[0, 0, 0]"),
        ("straights = [100, 80]\nbends = [[50, 90, 0]]\ntowards = [2, 0, 0]", "towards", "[2, 0, 0]"),
        ("straights = [100, 80]\nbends = [[50, 90, 0]]\nalong = [1, 1, 0]\ntowards = [-2, -2, 0]", "towards",
         "[-2, -2, 0]"),
        ("straights = [100, 80]\nbends = [[50, 90, 0]]\nclosed = true", "straights", "[100, 80]"),
    ],
)  # fmt: skip
def test_shapes_that_cannot_be(lines: str, where: str, found: str) -> None:
    fault = only_fault(bent(lines))
    assert (fault.where, fault.found) == (f"piece.hoop.{where}", found)
