"""Good job files: what they say arrives in the job, in millimetres."""

from __future__ import annotations

import hashlib
import math

import pytest

from bentwork.errors import InputError
from bentwork.files.catalogue import materials
from bentwork.files.job_file import parse_job
from bentwork.jobs.job import Mirror, Placed
from bentwork.piece.corners import Corners
from bentwork.space import HOME, dot
from bentwork.stock.section import Flat, Round, SquareTube, Tube
from bentwork.tooling.bender import Accuracy, Arm, Die, Follower, Hook, Needs, Plate
from bentwork.tooling.fittings import Block, Part, Rated, Rollers
from bentwork.tooling.shop import Bench, Body, Vise
from bentwork.units import Ruler
from tests.unit.files.job_texts import CRATE_SHELF, INCHES, SMALL, bent, job, swapped


def test_the_example_of_the_contract() -> None:
    crate = job(CRATE_SHELF)
    assert crate.name == "Crate shelf for a hand cart"
    assert crate.ruler == Ruler("mm", 16)
    rod = crate.stocks["rod"]
    assert (rod.section, rod.material.name, rod.bar_length, rod.price) == (Round(12.0), "6082-T6", 3000.0, 14.5)
    lever = crate.benders["lever"]
    assert (lever.kind, lever.radius, lever.hand, lever.max_angle) == ("wrap", 36.0, "left", 180.0)
    assert lever.die == Die(24.0, 6.0)
    assert lever.hook == Hook(12.0, 30.0, 16.0, 30.0)
    assert lever.follower == Follower("roller", 24.0, 22.0, radius=18.0)
    assert lever.arm == Arm("above", 14.0, 10.0, 40.0, 600.0)
    assert lever.plate == Plate((-110.0, 90.0), (-90.0, 70.0), 14.0, 10.0)
    assert lever.needs == Needs(42.0, 35.0, 60.0, 60.0)
    assert (lever.accuracy, lever.springback, lever.mark_at) == (None, None, None)
    vise = crate.mountings["vise"]
    assert vise.bender == "lever"
    assert vise.vise == Vise((-75.0, 75.0), (-60.0, 140.0), -24.0, -150.0)
    assert vise.bench == Bench((-700.0, 700.0), (20.0, 700.0), -150.0, 40.0)
    assert vise.floor == -1000.0
    assert vise.bodies == (Body("wall", "box", (-340.0, -320.0), (-900.0, 900.0), (-300.0, 800.0)),)
    (loop,) = crate.pieces
    corners = ((0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (400.0, 300.0, 0.0), (0.0, 300.0, 0.0))
    assert loop.shape == Corners(corners, (36.0,) * 4, closed=True)
    assert (loop.name, loop.stock, loop.bender, loop.seam) == ("loop", "rod", "lever", None)
    assert (loop.count, loop.mirror, loop.trim, loop.required_clearance) == (1, False, 15.0, 2.0)
    assert (loop.mirror_in, loop.at, loop.hand, loop.way) == (None, (), "left", "easy")


def test_tables_instead_of_braces_say_the_same() -> None:
    plain = swapped("die = { thickness = 24, groove_depth = 6 }\n", "")
    plain = swapped("[mounting.vise]", "[bender.lever.die]\nthickness = 24\ngroove_depth = 6\n\n[mounting.vise]", plain)
    body = 'bodies = [ { name = "wall", shape = "box", x = [-340, -320], y = [-900, 900], z = [-300, 800] } ]'
    plain = swapped(body, "", plain)
    plain += (
        '[[mounting.vise.bodies]]\nname = "wall"\nshape = "box"\nx = [-340, -320]\ny = [-900, 900]\nz = [-300, 800]\n'
    )
    one, other = job(CRATE_SHELF), job(plain)
    assert (one.benders, one.mountings, one.pieces) == (other.benders, other.mountings, other.pieces)


def test_inches_and_fractions() -> None:
    rack = job(INCHES)
    assert rack.ruler == Ruler("in", 32)
    strip, post = rack.stocks["strip"], rack.stocks["post"]
    assert (strip.section, strip.material.name) == (Flat(1.5 * 25.4, 3.0), "Boat strip")
    assert post.section == SquareTube(25.4, 25.4, 25.4 / 16.0, 25.4 / 8.0)
    vee = rack.benders["vee"]
    assert (vee.radius, vee.springback, vee.mark_at, vee.lines_up) == (6.35, 1.05, "centre", "centre")
    assert vee.accuracy == Accuracy(0.5, 0.5, 25.4 / 32.0)  # the rotation is that of the kind
    cradle, hook = rack.pieces
    assert isinstance(cradle.shape, Corners)
    x = 53.0 / 16.0 * 25.4
    assert cradle.shape.points == ((0.0, 0.0, 0.0), (x, 0.0, 0.0), (x, 50.8, 0.0))
    assert cradle.shape.radii == (6.35,)
    assert (cradle.mirror, cradle.mirror_in, cradle.count) == (True, Mirror(1, 6 * 25.4), 2)
    assert cradle.at == ((0.0, 0.0, 0.0), (254.0, 0.0, 0.0))
    assert isinstance(hook.shape, Placed)
    assert hook.shape.table.straights == pytest.approx((50.8, 38.1, 25.4))
    assert [bend.angle for bend in hook.shape.table.bends] == [90.0, 45.5]
    assert [bend.rotation for bend in hook.shape.table.bends] == [0.0, 180.0]
    assert (hook.hand, hook.count, hook.bender) == ("right", 4, "vee")


def test_a_bend_table_stands_where_it_is_told() -> None:
    (_, hook) = job(INCHES).pieces
    assert isinstance(hook.shape, Placed)
    start = hook.shape.start
    assert start.origin == pytest.approx((25.4, 50.8, 76.2))
    assert start.tangent == pytest.approx((0.0, 0.0, 1.0))
    assert start.inward == pytest.approx((0.0, 1.0, 0.0))  # [0, 1, 1] made square to the way it goes
    assert dot(start.axis, start.tangent) == pytest.approx(0.0)


def test_a_bend_table_without_a_place_stands_at_home() -> None:
    (piece,) = job(bent("straights = [100, 80]\nbends = [[50, 90, 0]]")).pieces
    assert isinstance(piece.shape, Placed)
    assert piece.shape.start == HOME


def test_along_alone_turns_the_first_bend_to_some_side() -> None:
    (piece,) = job(bent("straights = [100, 80]\nbends = [[50, 90, 0]]\nalong = [0, 0, -3]")).pieces
    assert isinstance(piece.shape, Placed)
    assert piece.shape.start.tangent == (0.0, 0.0, -1.0)
    assert math.isclose(dot(piece.shape.start.inward, piece.shape.start.inward), 1.0)


def test_a_closed_bend_table() -> None:
    bends = ", ".join(["[50, 90, 0]"] * 4)
    (piece,) = job(bent(f'straights = [50, 100, 100, 100, 50]\nbends = [{bends}]\nclosed = true\nseam = "auto"')).pieces
    assert isinstance(piece.shape, Placed)
    assert piece.shape.table.closed


def test_a_return_of_more_than_180_where_the_bender_goes_so_far() -> None:
    far = SMALL.replace("radius = 50", "radius = 50\nmax_angle = 270")
    (piece,) = job(bent("straights = [100, 80]\nbends = [[50, 250, 0]]", far)).pieces
    assert isinstance(piece.shape, Placed)
    assert piece.shape.table.bends[0].angle == 250.0


def test_a_straight_bar_needs_neither_bender_nor_radius() -> None:
    bar = bent("points = [[0, 0, 0], [300, 0, 0]]").replace('[bender.lever]\nkind = "wrap"\nradius = 50\n', "")
    (piece,) = job(bar).pieces
    assert (piece.bender, piece.shape) == (None, Corners(((0.0, 0.0, 0.0), (300.0, 0.0, 0.0)), ()))


def test_the_only_bender_need_not_be_named() -> None:
    (piece,) = job(SMALL).pieces
    assert piece.bender == "lever"
    assert isinstance(piece.shape, Corners)
    assert piece.shape.radii == (50.0,)
    (mounting,) = job(SMALL + "[mounting.post]\nfloor = -800\n").mountings.values()
    assert mounting.bender == "lever"


def test_one_of_two_benders_must_be_named_or_none_is_taken() -> None:
    two = swapped("radius = 50", 'radius = 50\n[bender.other]\nkind = "ram"\nradius = 30', SMALL)
    (piece,) = job(two + "radius = 40\n").pieces
    assert piece.bender is None
    (piece,) = job(two + 'bender = "other"\n').pieces
    assert isinstance(piece.shape, Corners)
    assert (piece.bender, piece.shape.radii) == ("other", (30.0,))


def test_a_radius_for_each_corner() -> None:
    points = "points = [[0, 0, 0], [300, 0, 0], [300, 300, 0], [0, 300, 50]]"
    (piece,) = job(bent(f'{points}\nradius = [40, "6 cm"]')).pieces
    assert isinstance(piece.shape, Corners)
    assert piece.shape.radii == (40.0, 60.0)
    (piece,) = job(bent(f"{points}\nradius = 45")).pieces
    assert isinstance(piece.shape, Corners)
    assert piece.shape.radii == (45.0, 45.0)


@pytest.mark.parametrize(
    ("seam", "meant"), [('"auto"', None), ("3", (3, 0.5)), ("[2, 0.25]", (2, 0.25)), ("[4, 1]", (4, 1.0))]
)
def test_seams(seam: str, meant: tuple[int, float] | None) -> None:
    (loop,) = job(swapped('seam = "auto"', f"seam = {seam}")).pieces
    assert loop.seam == meant


@pytest.mark.parametrize(
    "section", ['section = "tube"\ndiameter = 25\nwall = 2', 'section = "flat"\nwidth = 25\nheight = 25']
)
def test_other_sections(section: str) -> None:
    (stock,) = job(swapped('section = "round"\ndiameter = 12', section, SMALL)).stocks.values()
    assert stock.section in (Tube(25.0, 2.0), Flat(25.0, 25.0))


def test_a_material_of_the_job_comes_before_that_of_the_library() -> None:
    own = """
[material.s235]
elastic_modulus = 200000
proof_stress = 300
tensile_strength = 400
elongation = 20
density = 7000
"""
    assert job(SMALL + own).stocks["rod"].material.density.value == 7000.0
    assert job(SMALL).stocks["rod"].material.density.value > 7500.0


def test_a_shoe_a_cylinder_and_a_capsule() -> None:
    text = swapped(
        'follower = { kind = "roller", radius = 18, height = 24, ahead = 22 }',
        'follower = { kind = "shoe", length = 40, width = 12, height = 24, ahead = 5 }',
    )
    text = swapped(
        'bodies = [ { name = "wall", shape = "box", x = [-340, -320], y = [-900, 900], z = [-300, 800] } ]',
        "bodies = [\n"
        '  { name = "post", shape = "cylinder", from = [0, 500, -900], to = [0, 500, 900], radius = 40 },\n'
        '  { name = "hose", shape = "capsule", from = [0, 0, 0], to = [0, 0, 1], radius = 8 },\n'
        "]",
        text,
    )
    read = job(text)
    assert read.benders["lever"].follower == Follower("shoe", 24.0, 5.0, length=40.0, width=12.0)
    post, hose = read.mountings["vise"].bodies
    assert post == Body("post", "cylinder", start=(0.0, 500.0, -900.0), end=(0.0, 500.0, 900.0), radius=40.0)
    assert (hose.shape, hose.end) == ("capsule", (0.0, 0.0, 1.0))


@pytest.mark.parametrize("name", ["Bügel 3", "крюк", "साँचा", "left+right", "6082-T6", "_x", "-", "a" * 60, "手 1.5"])
def test_names_of_any_script(name: str) -> None:
    read = job(SMALL.replace("hoop", f'"{name}"'))
    assert [piece.name for piece in read.pieces] == [name]


def test_pieces_keep_the_order_of_the_file() -> None:
    more = "".join(f'[piece.p{n}]\nstock = "rod"\npoints = [[0, 0, 0], [{n}, 0, 0]]\n' for n in (3, 1, 2))
    assert [piece.name for piece in job(SMALL + more).pieces] == ["hoop", "p3", "p1", "p2"]


def test_version_and_name() -> None:
    raw = SMALL.encode()
    read = parse_job(raw, "shed/Oar rack.toml")
    assert read.version == hashlib.sha256(raw).hexdigest()[:6]
    assert read.name == "Oar rack"
    assert parse_job(raw + b"# note\n", "x.toml").version != read.version


@pytest.mark.parametrize("change", [lambda raw: b"\xef\xbb\xbf" + raw, lambda raw: raw.replace(b"\n", b"\r\n")])
def test_marks_and_line_ends_of_windows(change: object) -> None:
    assert callable(change)
    assert parse_job(change(CRATE_SHELF.encode()), "job.toml").pieces == job(CRATE_SHELF).pieces


def test_a_job_may_be_begun_without_pieces() -> None:
    assert job("format = 1\n").pieces == ()


def test_what_a_benders_owner_may_say_besides_its_shape() -> None:
    sold = 'rated = { section = "tube", diameter = 12, wall = 1, material = "Cu-R220" }'
    part = (
        'parts = [{ name = "lug", carries = "hook", width = 30, thickness = 6, hole = 9, edge = 12, strength = 300 }]'
    )
    lever = parse_job(SMALL.replace("radius = 50", f"radius = 50\n{sold}\n{part}").encode(), "x").benders["lever"]
    assert lever.rated == Rated(Tube(12.0, 1.0), materials()["Cu-R220"])
    assert lever.parts == (Part("lug", "hook", 30.0, 6.0, 9.0, 12.0, 300.0),)
    assert lever.max_angle is None
    ram = SMALL.replace('"wrap"', '"ram"').replace("radius = 50", "radius = 50\nrollers = { span = 200, radius = 20 }")
    assert parse_job(ram.encode(), "x").benders["lever"].rollers == Rollers(200.0, 20.0)
    vee = SMALL.replace('"wrap"', '"vee"').replace("radius = 50", "radius = 50\nblock = { opening = 32 }")
    assert parse_job(vee.encode(), "x").benders["lever"].block == Block(32.0, 0.0, 0.0)


def test_rollers_that_touch_are_a_fault() -> None:
    ram = SMALL.replace('"wrap"', '"ram"').replace("radius = 50", "radius = 50\nrollers = { span = 40, radius = 20 }")
    with pytest.raises(InputError) as refused:
        parse_job(ram.encode(), "x")
    assert [fault.where for fault in refused.value.faults] == ["bender.lever.rollers.span"]
