"""Equal pieces and mirror images; the JSON there and back; the job file that is written."""

from __future__ import annotations

import json
import random
from dataclasses import replace

import pytest

from bentwork.files.job_file import parse_job
from bentwork.jobs.job import Placed
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.space import Pose
from bentwork.stock.section import Flat, Round, Section, Square, SquareTube, Tube
from bentwork.takeoff.alike import one_way, reversed_bar, with_twins
from bentwork.takeoff.bar import Bar, End, Hole, Solid, TakeOff
from bentwork.takeoff.document import solid_document, solid_from, takeoff_document
from bentwork.takeoff.job_text import job_of

TABLE = BendTable((100.0, 80.0, 60.0), (Bend(48.0, 75.0), Bend(40.0, 40.0, 65.0)))
PLACE = Pose((7.0, -8.0, 9.0), (0.36, 0.48, 0.8), (0.8, -0.6, 0.0))
HOLES = (Hole(30.0, 25.0, 5.0, True), Hole(150.0, -100.0, 6.0, False))
BAR = Bar(Centreline(TABLE, PLACE), Round(12.0), holes=HOLES, ends=(End("square"), End("mitred", 30.0, 3.46)))


def piece(index: int, bar: Bar, name: str = "") -> Solid:
    return Solid(index, name, "piece", (bar,))


def told(*bars: Bar) -> list[tuple[int | None, int | None]]:
    return [(s.same_as, s.mirror_of) for s in with_twins(piece(k, bar) for k, bar in enumerate(bars, 1))]


def test_read_from_b_it_is_the_same_bar_in_the_same_place() -> None:
    turned = reversed_bar(BAR)
    assert turned.line.end.origin == pytest.approx(BAR.line.start.origin)
    length = BAR.length
    for station in (0.0, 50.0, 110.0, 200.0, length):
        assert turned.line.pose(length - station).origin == pytest.approx(BAR.line.pose(station).origin)
    again = reversed_bar(turned)
    assert again.line.table == BAR.line.table
    assert [(h.at, h.round) for h in again.holes] == [pytest.approx((h.at, h.round)) for h in BAR.holes]
    assert again.ends == BAR.ends


def test_equal_bars_are_read_from_the_same_end() -> None:
    assert one_way(BAR).line.table == one_way(reversed_bar(BAR)).line.table


def test_the_same_and_the_mirrored_are_named() -> None:
    mirrored = Bar(BAR.line.mirrored(), BAR.section)
    plain = Bar(BAR.line, BAR.section)
    assert told(plain, reversed_bar(plain), mirrored, mirrored, plain) == [
        (None, None),
        (1, None),
        (None, 1),
        (3, 1),
        (1, None),
    ]


def test_a_flat_piece_is_its_own_mirror_image() -> None:
    flat = Bar(Centreline(BendTable((50.0, 60.0), (Bend(40.0, 90.0),))), Round(12.0))
    assert told(flat, Bar(flat.line.mirrored(), flat.section)) == [(None, None), (1, None)]


@pytest.mark.parametrize(
    "other",
    [
        Bar(BAR.line, Round(12.1)),
        Bar(BAR.line, Tube(12.0, 2.0)),
        Bar(Centreline(BendTable((100.0, 80.1, 60.0), TABLE.bends)), Round(12.0)),
        Bar(Centreline(BendTable(TABLE.straights, (TABLE.bends[0], Bend(40.0, 40.0, 66.0)))), Round(12.0)),
        Bar(BAR.line, Round(12.0), holes=HOLES[:1]),
        Bar(BAR.line, Round(12.0), ends=(End("square"), End("coped", 90.0, 0.0, 12.0))),
    ],
)
def test_what_differs_is_not_the_same(other: Bar) -> None:
    assert told(Bar(BAR.line, Round(12.0)), other)[1] == (None, None)


def test_mirror_images_of_drilled_bars_have_their_holes_mirrored() -> None:
    holes = tuple(Hole(h.at, -h.round % 180.0 if h.through else -h.round, h.diameter, h.through) for h in HOLES)
    right = Bar(BAR.line.mirrored(), BAR.section, holes=holes, ends=BAR.ends)
    assert told(BAR, right) == [(None, None), (None, 1)]
    assert told(BAR, Bar(right.line, right.section, holes=HOLES, ends=BAR.ends))[1] == (None, None)


def test_a_solid_goes_through_json_and_back() -> None:
    sections: list[Section | None] = [Round(12.0), Tube(25.0, 2.0), Square(12.0, 12.0), Flat(30.0, 4.0), None]
    sections.append(SquareTube(40.0, 20.0, 2.0, 3.0))
    for section in sections:
        bar = Bar(BAR.line, section, "hard", BAR.ends, HOLES, 0.25)
        for solid in (
            piece(1, bar, "stay"),
            Solid(2, "", "curve", (bar,), "a free curve", 5.0),
            Solid(3, "", "joined", (bar, bar), "two", 5.0, None, None),
            Solid(4, "bolt", "other", (), "stands out", 5.0),
        ):
            back = solid_from(json.loads(json.dumps(solid_document(solid), allow_nan=False)))
            assert json.dumps(solid_document(back)) == json.dumps(solid_document(solid))


def test_the_document_has_the_keys_of_the_contract() -> None:
    document = takeoff_document(TakeOff("a.step", "millimetre", (piece(1, BAR, "stay"),)))
    (solid,) = document["solids"]
    wanted = "index name kind section closed straights_mm bends centreline_length_mm deviation_mm reason".split()
    assert set(wanted) <= set(solid)
    assert document["format"] == 1
    assert document["file"] == "a.step"
    sizes = "shape diameter_mm wall_mm width_mm height_mm corner_radius_mm".split()
    assert set(solid["section"]) == set(sizes)
    assert solid["bends"][1] == {"radius_mm": 40.0, "angle_deg": 40.0, "rotation_deg": 65.0}
    assert solid["straights_mm"] == [100.0, 80.0, 60.0]


def job_tables(result: TakeOff, units: str = "mm") -> dict[str, tuple[Section, Centreline, int, bool]]:
    text = job_of(result, "in" if units == "in" else "mm")
    found = {}
    for spec in (job := parse_job(text.encode(), "a.toml")).pieces:
        assert isinstance(spec.shape, Placed)
        line = Centreline(spec.shape.table, spec.shape.start)
        found[spec.name] = (job.stocks[spec.stock].section, line, spec.count, spec.mirror)
    return found


@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_job_file_holds_the_same_shapes(units: str) -> None:
    rng = random.Random(5)
    bars = []
    for section in (
        Round(12.0),
        Tube(25.0, 2.0),
        Flat(30.0, 4.0),
        Square(10.0, 10.0),
        SquareTube(40.0, 20.0, 2.0, 3.0),
    ):
        bends = tuple(
            Bend(rng.uniform(30, 80), rng.uniform(5, 170), 0.0 if k == 0 else rng.uniform(-180, 180)) for k in range(4)
        )
        table = BendTable(tuple(rng.uniform(0.0, 300.0) for _ in range(5)), bends)
        bars.append(Bar(Centreline(table, PLACE), section, "easy" if isinstance(section, Flat) else None))
    bars.append(Bar(Centreline(BendTable((321.5,)), PLACE), Round(12.0)))
    result = TakeOff("crates.step", "mm", tuple(piece(k, bar, f"p{k}") for k, bar in enumerate(bars, 1)))
    read = job_tables(result, units)
    assert len(read) == len(bars)
    slack = 1e-6 if units == "mm" else 3e-5
    for k, bar in enumerate(bars, 1):
        section, line, count, mirror = read[f"p{k}"]
        assert (count, mirror) == (1, False)
        assert type(section) is type(bar.section)
        assert line.table.straights == pytest.approx(bar.line.table.straights, abs=slack)
        for mine, theirs in zip(line.table.bends, bar.line.table.bends, strict=True):
            assert mine.radius == pytest.approx(theirs.radius, abs=slack)
            assert mine.angle == pytest.approx(theirs.angle, abs=1e-6)
            assert mine.rotation == pytest.approx(theirs.rotation, abs=1e-6)
        assert line.end.origin == pytest.approx(bar.line.end.origin, abs=2e-5 if units == "mm" else 2e-4)


def test_equal_ones_are_counted_and_pairs_are_mirrored() -> None:
    plain, opposite = Bar(BAR.line, BAR.section), Bar(BAR.line.mirrored(), BAR.section)
    straight = Bar(Centreline(BendTable((300.0,))), BAR.section)
    bars = [plain, straight, opposite, plain, opposite, straight, straight]
    solids = with_twins(piece(k, bar, "stay") for k, bar in enumerate(bars, 1))
    read = job_tables(TakeOff("a.step", "mm", solids))
    assert {name: row[2:] for name, row in read.items()} == {"stay": (2, True), "stay 2": (3, False)}


def test_hands_that_do_not_pair_up_are_two_pieces() -> None:
    plain, opposite = Bar(BAR.line, BAR.section), Bar(BAR.line.mirrored(), BAR.section)
    solids = with_twins(piece(k, bar, "stay") for k, bar in enumerate([plain, opposite, opposite], 1))
    read = job_tables(TakeOff("a.step", "mm", solids))
    assert {name: row[2:] for name, row in read.items()} == {"stay": (1, False), "stay mirrored": (2, False)}
    first, second = (read[name][1].table.bends[1].rotation for name in ("stay", "stay mirrored"))
    assert first == pytest.approx(-second)


def test_members_and_curves_are_written_and_others_are_not() -> None:
    line = Centreline(TABLE)
    solids = (
        Solid(1, "frame", "joined", (Bar(line, Round(8.0)), Bar(line, Round(12.0))), "two"),
        Solid(2, "spring", "curve", (Bar(line, Round(3.0), deviation=0.2),), "free"),
        Solid(3, "bolt", "other", (), "stands out"),
    )
    assert set(job_tables(TakeOff("a.step", "mm", solids))) == {"frame 1", "frame 2", "spring"}
    with pytest.raises(ValueError, match="no piece"):
        job_of(TakeOff("a.step", "mm", solids[2:]))


@pytest.mark.parametrize("name", ['a"b', "", "Ünïcode\u202e", "x" * 300, "..", "a.b.c", "line\nbreak", "#1", "[x]"])
def test_whatever_a_solid_is_called_the_file_can_be_read(name: str) -> None:
    solids = (piece(1, BAR, name), piece(2, Bar(BAR.line, Round(8.0)), name))
    assert len(job_tables(TakeOff(f"{name}.step", "mm", solids))) == 2


def test_a_ring_is_written_closed() -> None:
    ring = Centreline(BendTable((0.0, 0.0, 0.0), (Bend(150.0, 180.0), Bend(150.0, 180.0)), True))
    (row,) = job_tables(TakeOff("a.step", "mm", (piece(1, Bar(ring, Round(12.0)), "ring"),))).values()
    assert row[1].table.closed


def moved(bar: Bar, x: float, y: float, z: float) -> Bar:
    start = bar.line.start
    a, b, c = start.origin
    return replace(bar, line=Centreline(bar.line.table, Pose((a + x, b + y, c + z), start.tangent, start.axis)))


def specs_of(*bars: Bar) -> list[tuple[int, tuple[tuple[float, ...], ...]]]:
    """Count and shifts of the pieces of the job that is written of these bars."""
    solids = with_twins(piece(k, bar) for k, bar in enumerate(bars, 1))
    job = parse_job(job_of(TakeOff("cart.step", "mm", solids)).encode(), "cart.toml")
    return [(spec.count, tuple(tuple(round(c, 9) for c in shift) for shift in spec.at)) for spec in job.pieces]


def test_equal_pieces_are_written_where_they_stand() -> None:
    bent = replace(BAR, holes=())
    straight = Bar(Centreline(BendTable((250.0,)), PLACE), Square(12.0, 12.0))
    wanted = ((0.0, 0.0, 0.0), (100.0, -20.5, 3.25))
    for one in (bent, straight):
        assert specs_of(one, moved(one, 100.0, -20.5, 3.25)) == [(2, wanted)]
    # A straight bar may have been drawn from its other end.
    assert specs_of(straight, reversed_bar(moved(straight, 100.0, -20.5, 3.25))) == [(2, wanted)]


def test_of_pieces_that_are_turned_too_only_the_number_is_written() -> None:
    bent = replace(BAR, holes=())
    turned = replace(bent, line=Centreline(TABLE, Pose((7.0, -8.0, 9.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))))
    assert specs_of(bent, moved(bent, 50.0, 0.0, 0.0), turned) == [(3, ())]
    lying = Bar(
        Centreline(BendTable((250.0,)), Pose((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))), Flat(30.0, 4.0)
    )
    on_edge = replace(
        lying, line=Centreline(lying.line.table, Pose((0.0, 90.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)))
    )
    assert specs_of(lying, on_edge) == [(2, ())]


@pytest.mark.parametrize(("axis", "at"), [(0, -35.5), (1, 150.0), (2, 0.0)])
def test_a_mirror_image_is_written_with_its_plane(axis: int, at: float) -> None:
    bent = replace(BAR, holes=())
    for other in (
        Bar(bent.line.mirrored(axis, at), bent.section),
        reversed_bar(replace(bent, line=bent.line.mirrored(axis, at))),
    ):
        other = replace(other, ends=bent.ends if other.line.table == bent.line.mirrored().table else bent.ends[::-1])
        solids = with_twins((piece(1, bent), piece(2, other)))
        job = parse_job(job_of(TakeOff("cart.step", "mm", solids)).encode(), "cart.toml")
        (spec,) = job.pieces
        assert spec.mirror_in is not None
        assert (spec.mirror_in.axis, spec.mirror_in.at) == pytest.approx((axis, at), abs=1e-9)


def test_a_mirror_image_that_is_turned_too_has_no_plane() -> None:
    line = BAR.line.mirrored()
    turned = replace(
        BAR, holes=(), line=Centreline(line.table, Pose((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    )
    solids = with_twins((piece(1, replace(BAR, holes=())), piece(2, turned)))
    (spec,) = parse_job(job_of(TakeOff("cart.step", "mm", solids)).encode(), "cart.toml").pieces
    assert (spec.mirror, spec.mirror_in) == (True, None)


def slanted(y: float, turn: float) -> Bar:
    line = Centreline(BendTable((200.0,)), Pose((0.0, y, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)))
    ends = (End("mitred", 30.0, 3.46, round=turn), End("square"))
    return Bar(line, Round(12.0), ends=ends)


def test_bars_that_are_turned_about_themselves_are_the_same_but_not_shifted() -> None:
    """Their cuts look elsewhere in the frame: a job that only shifts the copies would turn them all one way."""
    for turn, written in ((40.0, True), (130.0, False)):
        solids = with_twins([piece(1, slanted(0.0, 40.0)), piece(2, slanted(60.0, turn))])
        assert solids[1].same_as == 1
        text = job_of(TakeOff("cart.step", "mm", solids))
        assert ("at = [" in text) is written
        assert ("count = 2" in text) is not written
        assert text.count("end_a = { cut = 30, round = 40 }") == 1


def test_a_spring_read_from_its_other_end_lies_where_it_lay() -> None:
    # 150 arcs about as steep as a turn of a spring: what is lost of a direction's length grows from bend to bend.
    bends = (Bend(10.0, 97.0), *(Bend(10.0, 97.0, 5.0 + 2.0 * (k % 2)) for k in range(149)))
    line = Centreline(BendTable((0.0,) * 151, bends))
    bar = line
    for _ in range(4):
        bar = reversed_bar(Bar(bar, Round(2.0))).line
    assert bar.start.origin == pytest.approx(line.start.origin, abs=1e-6)
    assert bar.end.origin == pytest.approx(line.end.origin, abs=1e-6)
    assert bar.pose(700.0).origin == pytest.approx(line.pose(700.0).origin, abs=1e-6)
