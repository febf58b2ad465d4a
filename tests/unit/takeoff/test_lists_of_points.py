"""Corner points from tables and drawings."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from bentwork.errors import InputError
from bentwork.files.dxf import dxf_bytes
from bentwork.models.flat_pattern import flat_pattern
from bentwork.models.lines import bounds
from bentwork.models.three_views import three_views
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.piece.centreline import Centreline
from bentwork.piece.corners import Corners
from bentwork.stock.section import Round
from bentwork.takeoff.corner_points import pieces_from_table
from bentwork.takeoff.take import take_off

HOOK = "x,y,z,r\n0,0,0\n100,0,0,30\n100,80,0,20\n100,80,90\n"


def table_of(line: Centreline) -> tuple[list[float], list[tuple[float, float, float]]]:
    table = line.table
    return list(table.straights), [(b.radius, b.angle, b.rotation) for b in table.bends]


def expected() -> Centreline:
    return Corners(((0, 0, 0), (100, 0, 0), (100, 80, 0), (100, 80, 90)), (30.0, 20.0)).centreline()


@pytest.mark.parametrize(
    "text",
    [
        HOOK,
        HOOK.replace(",", ";"),
        HOOK.replace(",", "\t"),
        HOOK.replace(",", " "),
        "# a hook\n" + HOOK.replace("0,0,0\n", "0;0;0\n").replace(",", ";") + "\n\n",
        '"0","0","0"\n100,0,0,30\n100,80,0,20  # here\n100,80,90\n',
        "0;0;0\n100,0;0;0;30,0\n100;80;0;20\n100;80;90\n",
    ],
)
def test_a_table_is_read_however_its_columns_are_parted(text: str) -> None:
    (line,) = pieces_from_table(text, "hook.csv", "mm", None)
    assert table_of(line) == table_of(expected())


def test_inches_units_in_cells_and_a_radius_for_all() -> None:
    (line,) = pieces_from_table("0,0,0\n4,0,0\n4,80 mm,0\n", "a.csv", "in", 25.4)
    straights, bends = table_of(line)
    assert straights == pytest.approx([3 * 25.4, 80 - 25.4])
    assert bends[0] == pytest.approx((25.4, 90.0, 0.0))


def test_empty_cells_behind_a_row_are_no_columns() -> None:
    (line,) = pieces_from_table("x,y,z,r,,\n0,0,0,,,\n100,0,0,20,,\n100,80,0,,,\n", "a.csv", "mm", None)
    (bend,) = line.table.bends
    assert (bend.radius, bend.angle) == pytest.approx((20.0, 90.0))


def test_empty_lines_part_pieces_and_a_ring_closes() -> None:
    ring = "0,0,0\n400,0,0\n400,300,0\n0,300,0\n0,0,0\n"
    first, second = pieces_from_table(HOOK + "\n" + ring, "a.csv", "mm", 50.0)
    assert len(first.table.bends) == 2
    assert second.table.closed
    assert second.table.length == pytest.approx(2 * 300 + 2 * 200 + 2 * math.pi * 50)


@pytest.mark.parametrize(
    ("text", "where", "says"),
    [
        ("", None, "none"),
        ("x,y,z\n", None, "none"),
        ("1,2\n3,4\n", 1, "x, y, z"),
        ("1,2,three\n1,2,3\n", 1, "length"),
        ("0,0,0\n100,0,0\n100,100,0\n", 2, "radius"),
        ("0,0,0\n", 1, "two corner points"),
        ("0,0,0\n10,0,0,50\n10,10,0\n", None, "corners that can be bent"),
        ("0,0,0\n100,0,0,50\n50,0,0\n", None, "corners that can be bent"),
        ("0,0,0\n100,0,0,-5\n100,90,0\n", 2, "radius above 0"),
        ("nan,0,0\n1,inf,0\n", 1, "length"),
        ("0,0,0\n1e300,0,0\n", 2, "1000 km"),
        ("0,0,0,0\n100,0,0,0\n100,100,0,0\n", 2, "none, or 0"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(text: str, where: int | None, says: str) -> None:
    with pytest.raises(InputError) as caught:
        pieces_from_table(text, "a.csv", "mm", None)
    assert says in str(caught.value)
    if where is not None:
        assert caught.value.faults[0].line == where


def dxf(*entities: str, units: int | None = 4) -> str:
    header = f"0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{units}\n0\nENDSEC\n" if units is not None else ""
    return header + "0\nSECTION\n2\nENTITIES\n" + "".join(entities) + "0\nENDSEC\n0\nEOF\n"


def entity(kind: str, **codes: float | str | list[float]) -> str:
    lines = ["0", kind]
    for code, value in codes.items():
        for one in value if isinstance(value, list) else [value]:
            lines += [code.lstrip("c").split("_")[0], f"{one}"]
    return "\n".join(lines) + "\n"


def read(folder: Path, text: str, radius: float | None = None) -> list[Centreline]:
    path = folder / "a.dxf"
    path.write_text(text)
    return [solid.bars[0].line for solid in take_off(path, radius=radius).solids]


def test_lines_and_an_arc_are_one_piece(tmp_path: Path) -> None:
    text = dxf(
        entity("LINE", c10=0, c20=0, c30=0, c11=100, c21=0, c31=0),
        entity("ARC", c10=100, c20=50, c30=0, c40=50, c50=270, c51=0),
        entity("LINE", c10=150, c20=120, c30=0, c11=150, c21=50, c31=0),
    )
    (line,) = read(tmp_path, text)
    table = line.table if line.table.straights[0] > 80.0 else line.table.reversed()
    assert table.straights == pytest.approx((100.0, 70.0))
    assert (table.bends[0].radius, table.bends[0].angle) == pytest.approx((50.0, 90.0))
    assert len(table.bends) == 1


def test_bulges_of_a_polyline_are_bends(tmp_path: Path) -> None:
    rows = "".join(
        entity("X", c10=x, c20=y, c42=bulge).replace("0\nX\n", "")
        for x, y, bulge in ((0, 0, 0), (100, 0, math.tan(math.radians(22.5))), (150, 50, 0), (150, 130, 0))
    )
    (line,) = read(tmp_path, dxf("0\nLWPOLYLINE\n90\n4\n70\n0\n" + rows))
    assert line.table.length == pytest.approx(100 + 80 + 50 * math.pi / 2)
    assert line.table.bends[0].angle == pytest.approx(90.0)


def test_a_bulge_the_other_way_and_an_upside_down_entity(tmp_path: Path) -> None:
    bulge = -math.tan(math.radians(22.5))
    rows = "10\n0\n20\n0\n10\n100\n20\n0\n42\n" + f"{bulge}" + "\n10\n150\n20\n-50\n10\n150\n20\n-130\n"
    (down,) = read(tmp_path, dxf("0\nLWPOLYLINE\n90\n4\n70\n0\n" + rows))
    (turned,) = read(tmp_path, dxf("0\nLWPOLYLINE\n90\n4\n70\n0\n210\n0\n220\n0\n230\n-1\n" + rows))
    assert down.table.length == pytest.approx(turned.table.length)
    ends = sorted((down.start.origin, down.end.origin))
    assert ends[1] == pytest.approx((150.0, -130.0, 0.0))
    # The other coordinates of an upside-down entity run the other way along x (arbitrary axis algorithm).
    assert sorted((turned.start.origin, turned.end.origin))[0] == pytest.approx((-150.0, -130.0, 0.0))


def test_a_polyline_in_space_takes_the_radius_given(tmp_path: Path) -> None:
    vertices = "".join(
        entity("VERTEX", c10=x, c20=y, c30=z) for x, y, z in ((0, 0, 0), (10, 0, 0), (10, 8, 0), (10, 8, 9))
    )
    text = dxf(entity("POLYLINE", c70=8) + vertices + entity("SEQEND"), units=5)
    (line,) = read(tmp_path, text, radius=20.0)
    wanted = Corners(((0, 0, 0), (100, 0, 0), (100, 80, 0), (100, 80, 90)), (20.0, 20.0)).centreline()
    assert line.table.length == pytest.approx(wanted.table.length)
    assert sorted(b.rotation for b in line.table.bends) == pytest.approx(sorted(b.rotation for b in wanted.table.bends))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("hello\nthere\n", "no DXF"),
        (dxf(), "no lines"),
        (dxf(entity("LINE", c10=0, c20=0, c11=5, c21=0), entity("LINE", c10=5, c20=0, c11=5, c21=5)), "sharp corner"),
        (
            dxf(*(entity("LINE", c10=0, c20=0, c11=9 * math.cos(a), c21=9 * math.sin(a)) for a in (0.0, 2.0, 4.0))),
            "three lines meet",
        ),
        ("0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nabc\n", "a number that is none"),
        (dxf(entity("LINE", c10=0, c20=0, c11=1e300, c21=0)), "too large"),
        (dxf(entity("ARC", c10=0, c20=0, c40=1e300, c50=0, c51=90)), "too large"),
        ("0\nSECTION\n2\nENTITIES\nLINE\n10\n", "group code"),
    ],
)
def test_a_drawing_that_cannot_be_bent_is_told(tmp_path: Path, text: str, says: str) -> None:
    path = tmp_path / "a.dxf"
    path.write_text(text)
    with pytest.raises(InputError) as caught:
        take_off(path)
    assert says in str(caught.value)


def test_of_a_drawing_with_outlines_the_layer_of_the_centreline_is_read(tmp_path: Path) -> None:
    outline = [entity("LINE", c8="Outline", c10=0, c20=y, c11=100, c21=y) for y in (-6, 6)]
    ends = [entity("LINE", c8="Outline", c10=x, c20=-6, c11=x, c21=6) for x in (0, 100)]
    middle = entity("LINE", c8="Centreline", c10=0, c20=0, c11=100, c21=0)
    path = tmp_path / "a.dxf"
    path.write_text(dxf(*outline, middle, *ends))
    result = take_off(path)
    assert [solid.bars[0].length for solid in result.solids] == pytest.approx([100.0])
    assert result.notes == ("4 × lines beside the layer of the centreline passed over",)
    path.write_text(dxf(*outline, *ends))
    with pytest.raises(InputError, match="draw the middle of each bar alone"):
        take_off(path, radius=None)


def test_our_own_drawings_are_told_for_what_they_are(tmp_path: Path) -> None:
    line = expected()
    straight = BendTable((120.0,), ())
    drawings = {
        "views": three_views(line, Round(12.0)),
        "flat": flat_pattern(straight, (), 20.0, 120.0, 0.0),
    }
    for name, drawn in drawings.items():
        path = tmp_path / f"{name}.dxf"
        path.write_bytes(dxf_bytes(drawn, "mm", "hook"))
        with pytest.raises(InputError) as caught:
            take_off(path, radius=20.0)
        (fault,) = caught.value.faults
        assert "outlines of a piece" in fault.found
        assert "STEP" in fault.wanted and "CSV" in fault.wanted
        assert "bentwork export JOB --only step" in fault.do


def test_the_centreline_of_our_own_drawing_kept_alone_is_read(tmp_path: Path) -> None:
    flat = Centreline(BendTable((100.0, 80.0), (Bend(30.0, 70.0),)))
    views = three_views(flat, Round(12.0))
    # From above, below the view from the front, it is seen as it is.
    kept = [one for one in views if one.layer == "CENTRELINE" and bounds([one])[1] < -1.0]
    path = tmp_path / "kept.dxf"
    path.write_bytes(dxf_bytes(kept, "mm", "hook"))
    (solid,) = take_off(path).solids
    assert solid.bars[0].length == pytest.approx(flat.table.length, abs=1e-6)
    assert solid.bars[0].line.table.bends[0].angle == pytest.approx(70.0, abs=1e-6)


def test_units_named_or_not(tmp_path: Path) -> None:
    line = entity("LINE", c10=0, c20=0, c11=2, c21=0)
    (inch,) = read(tmp_path, dxf(line, units=1))
    assert inch.table.length == pytest.approx(50.8)
    path = tmp_path / "b.dxf"
    path.write_text(dxf(line, entity("TEXT", c10=0), units=None))
    result = take_off(path)
    assert result.solids[0].bars[0].length == pytest.approx(2.0)
    assert [note.split(":")[0] for note in result.notes] == [
        "1 × TEXT passed over",
        "the drawing names no unit of length",
    ]
