"""Every fault at once, each on its line, in the maker's words."""

from __future__ import annotations

import pytest

from bentwork.errors import InputError
from bentwork.files.job_faults import MOST_FAULTS
from bentwork.files.job_file import parse_job
from tests.unit.files.job_texts import CRATE_SHELF, INCHES, SMALL, bent, faults, only_fault, swapped

TEN = """\
format = 1
name = "Oar rack"
unit = "mm"

[stock.rod]
section = "round"
diameter = "thick"
material = "6082-T7"

[bender.lever]
kind = "wrap"
radius = -36
hand = "let"

[piece.rail]
stock = "rood"
points = [
    [0, 0, 0],
    [400, 0, nan],   # here
    [400, 300, true],
]
count = 1.5

[piece."left hoop"]
stock = "rod"
points = [[0, 0, 0]]
"""


def test_ten_faults_are_ten_on_their_lines() -> None:
    found = faults(TEN)
    assert [(fault.line, fault.where) for fault in found] == [
        (3, "unit"),
        (7, "stock.rod.diameter"),
        (8, "stock.rod.material"),
        (12, "bender.lever.radius"),
        (13, "bender.lever.hand"),
        (16, "piece.rail.stock"),
        (19, "piece.rail.points[2][3]"),
        (20, "piece.rail.points[3][3]"),
        (22, "piece.rail.count"),
        (26, 'piece."left hoop".points'),
    ]
    assert [fault.found for fault in found] == [
        'the key "unit"',
        '"thick"',
        '"6082-T7"',
        "-36",
        '"let"',
        '"rood"',
        "nan",
        "true",
        "1.5",
        "1 of them: [[0, 0, 0]]",
    ]
    assert [fault.do for fault in found][:6] == [
        "Did you mean units?",
        "",
        'Did you mean "6082-T6", "6082-T4" or "6082-O"?',
        "",
        'Did you mean "left"?',
        'Did you mean "rod"?',
    ]
    try:
        parse_job(TEN.encode(), "oars.toml")
    except InputError as error:
        assert str(error).startswith("oars.toml: 10 faults\n  line 3, unit: found the key")


def test_a_newer_format_says_nothing_else() -> None:
    fault = only_fault("format = 7\nnews = true\n[stock.rod]\n")
    assert "newer version" in fault.do


def test_a_missing_format_is_to_be_added() -> None:
    assert only_fault("# note\n").do == "Add the line format = 1 at the top of the file."
    assert [fault.where for fault in faults("# note\nx = 1\n")] == ["format", "x"]


def test_a_mistyped_key_is_not_missing_besides() -> None:
    fault = only_fault(swapped("points = ", "pionts = ", SMALL))
    assert (fault.where, fault.do) == ("piece.hoop.pionts", "Did you mean points?")
    assert "one of stock, bender, points" in fault.wanted
    assert only_fault(swapped("[stock.rod]", "[stok.rod]", SMALL)).do == "Did you mean stock?"
    fault = only_fault(swapped('stock = "rod"', 'stock = "rod"\ntrims = 3\n', SMALL))
    assert fault.do == "Did you mean trim?"
    fault = only_fault(swapped('stock = "rod"', 'stock = "rod"\ncolour = "red"\n', SMALL))
    assert fault.do == "Take it out, or put # before it to keep it as a note."


def test_tables_without_a_name() -> None:
    fault = only_fault('format = 1\n[stock]\nsection = "round"\n')
    assert (fault.where, fault.line) == ("stock", 2)
    assert fault.do == "Write a name behind it: [stock.rod]."
    assert only_fault("format = 1\n[[piece]]\nstock = 3\n").do == "Use single brackets, and a name."
    fault = only_fault(SMALL + "[piece]\nhop = 3\n")
    assert (fault.where, fault.line, fault.do) == ("piece.hop", 16, "Write [piece.hop] and its keys below it.")


@pytest.mark.parametrize("name", [".x", " x", "a" * 61, "a/b", "a\\\\b", "a\\tb", "", "a:b", "a*", "\\u202e"])
def test_names_that_cannot_be(name: str) -> None:
    fault = only_fault(SMALL.replace("[piece.hoop]", f'[piece."{name}"]'))
    assert fault.line == 12
    assert fault.found.startswith("the name ")


def test_lengths_are_told_in_the_units_of_the_job() -> None:
    fault = only_fault(swapped('wall = "1/16"', "wall = 1", INCHES))
    assert "1/2 in" in fault.wanted
    fault = only_fault(swapped('wall = "1/16"', 'wall = "thin"', INCHES))
    assert "3 5/16" in fault.wanted


def test_a_material_of_the_job_without_a_name() -> None:
    fault = only_fault(SMALL + '[material." "]\nelastic_modulus = 3\n')
    assert (fault.line, fault.where, fault.found) == (15, 'material." "', 'the name " "')


def test_a_material_of_the_job_with_faults() -> None:
    found = faults(swapped("tensile_strength = 350", "tensil_strength = 350", swapped("density = 8500", "", INCHES)))
    assert {(fault.line, fault.where.removeprefix('material."Boat strip".')) for fault in found} == {
        (6, "density"),
        (6, "tensile_strength"),
        (10, "tensil_strength"),
    }
    fault = only_fault(swapped("elongation = 40", 'elongation = { value = 40, sure = "hardly" }', INCHES))
    assert (fault.line, fault.where) == (11, 'material."Boat strip".elongation.sure')
    assert fault.found == '"hardly"'


def test_no_models_where_there_is_no_folder_for_them() -> None:
    fault = only_fault(bent('takeoff = { file = "frame.step", solid = 3 }'))
    assert fault.do == "No model can be read where this job is read."


@pytest.mark.parametrize(
    "seam", ["0", "5", "[1, 1.5]", "[1, nan]", "[1.0, 0.5]", "[1, 2, 3]", '"any"', "true", "[true, 0.5]"]
)
def test_seams_that_cannot_be(seam: str) -> None:
    fault = only_fault(swapped('seam = "auto"', f"seam = {seam}"))
    assert (fault.line, fault.where) == (38, "piece.loop.seam")


def test_a_radius_is_asked_for_where_no_bender_gives_it() -> None:
    two = swapped("radius = 50", 'radius = 50\n[bender.other]\nkind = "ram"\nradius = 30', SMALL)
    assert only_fault(two).where == "piece.hoop.radius"
    none = swapped('[bender.lever]\nkind = "wrap"\nradius = 50\n', "", SMALL)
    assert only_fault(none).where == "piece.hoop.radius"
    broken = swapped("radius = 50", "radius = 'x'", SMALL)
    assert only_fault(broken).where == "bender.lever.radius"


def test_what_stands_round_a_bender() -> None:
    fault = only_fault(swapped("top = -24, bottom = -150", "top = -150, bottom = -24"))
    assert (fault.line, fault.where) == (28, "mounting.vise.vise.bottom")
    fault = only_fault(swapped("vise = { x = [-75, 75]", "vise = { x = [75, -75]"))
    assert (fault.where, fault.wanted) == ("mounting.vise.vise.x", "two lengths, the lesser one first")
    fault = only_fault(
        swapped("[mounting.vise]                    ", "[mounting.vise]\nflor = 3 ").replace("floor", "# floor")
    )
    assert fault.do == "Did you mean floor?"
    fault = only_fault(swapped('shape = "box", x = [-340, -320],', 'shape = "box",'))
    assert (fault.where, fault.found) == ("mounting.vise.bodies[1].x", "nothing")
    found = faults(swapped('shape = "box"', 'shape = "capsule"'))
    assert {fault.where.split("].")[1] for fault in found} == {"from", "to", "radius", "x", "y", "z"}
    capsule = 'shape = "capsule", from = [0, 0, 0], to = [0, 0, 0], radius = 3 } ]'
    fault = only_fault(swapped('shape = "box", x = [-340, -320], y = [-900, 900], z = [-300, 800] } ]', capsule))
    assert fault.where == "mounting.vise.bodies[1].to"
    fault = only_fault(swapped('bender = "lever"\nvise', 'bender = "leaver"\nvise'))
    assert (fault.line, fault.do) == (27, 'Did you mean "lever"?')
    two = swapped("radius = 50", 'radius = 50\n[bender.other]\nkind = "ram"\nradius = 30', SMALL) + "radius = 50\n"
    assert only_fault(two + "[mounting.post]\nfloor = -800\n").where == "mounting.post.bender"


def test_a_follower_has_what_its_kind_needs() -> None:
    found = faults(swapped('kind = "roller", radius = 18', 'kind = "shoe", radius = 18'))
    assert {fault.where.split("follower.")[1] for fault in found} == {"length", "width", "radius"}


def test_corners_that_do_not_fit_are_faults_and_findings() -> None:
    text = swapped("[300, 0, 0], [300, 200, 0]]", "\n  [30, 0, 0],\n  [30, 200, 0]]", SMALL)
    fault = only_fault(text)
    assert (fault.line, fault.where) == (15, "piece.hoop.points[2]")
    assert "too close" in fault.do
    assert "30 mm" in fault.do
    with pytest.raises(InputError) as error:
        parse_job(text.encode(), "job.toml")
    (finding,) = error.value.findings
    assert (finding.level, finding.code, finding.piece, finding.corner) == ("stop", "corner-too-close", "hoop", 2)


def test_ends_that_do_not_meet_are_a_fault_and_a_finding() -> None:
    with pytest.raises(InputError) as error:
        parse_job(bent("straights = [100, 80]\nbends = [[50, 90, 0]]\nclosed = true").encode(), "job.toml")
    (finding,) = error.value.findings
    assert (finding.code, finding.piece) == ("ends-apart", "hoop")


def test_too_many_are_one_fault() -> None:
    many = ", ".join(["[0, 0, 0]"] * 10_000)
    fault = only_fault(bent(f"points = [{many}]"))
    assert fault.found.startswith("10000 of them: [[0, 0, 0], ")
    many = "".join(f'[piece.p{number}]\nstock = "rod"\npoints = [[0, 0, 0], [9, 0, 0]]\n' for number in range(10_000))
    fault = only_fault(SMALL + many)
    assert (fault.where, fault.found, fault.wanted) == ("piece", "10001 tables", "200 at most")
    bends = ", ".join(["[50, 9, 0]"] * 201)
    assert only_fault(bent(f"straights = {[9] * 201}\nbends = [{bends}]")).where == "piece.hoop.bends"
    shifts = ", ".join(["[0, 0, 0]"] * 201)
    assert only_fault(SMALL + f"at = [{shifts}]\n").where == "piece.hoop.at"


def test_just_not_too_many() -> None:
    points = ", ".join(f"[{100 * number}, {number % 2 * 50}, 0]" for number in range(200))
    shifts = ", ".join(["[0, 0, 0]"] * 200)
    bends = ", ".join(["[50, 9, 0]"] * 200)
    text = bent(f"points = [{points}]\nradius = 10\nat = [{shifts}]")
    text += f'[piece.coil]\nstock = "rod"\nstraights = {[9] * 201}\nbends = [{bends}]\n'
    text += "".join(f'[piece.p{n}]\nstock = "rod"\npoints = [[0, 0, 0], [9, 0, 0]]\n' for n in range(198))
    read = parse_job(text.encode(), "job.toml")
    assert (len(read.pieces), read.pieces[0].count) == (200, 200)


def test_hundreds_of_faults_are_counted_not_told() -> None:
    text = SMALL + "".join(f"key{number} = {number}\n" for number in range(1000))
    found = faults(text)
    assert len(found) == MOST_FAULTS + 1
    assert (found[-1].found, found[-1].do) == ("800 more faults", "Mend those above first.")


def test_control_characters_never_reach_the_screen() -> None:
    fault = only_fault(swapped('stock = "rod"', 'stock = "\\u001b[31m\\n\\u202e"', SMALL))
    assert fault.found == '"\\u001b[31m\\n\\u202e"'
    fault = only_fault(SMALL + '"\\u001b" = 3\n')
    assert "\x1b" not in str(fault)


def test_the_example_has_no_fault_left() -> None:
    with pytest.raises(AssertionError, match="no fault"):
        faults(CRATE_SHELF)
