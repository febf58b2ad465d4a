"""Tables and drawings as other programs write them: quotes, inch marks, sheets of paper, what is drawn twice."""

from __future__ import annotations

from pathlib import Path

import pytest

from bentwork.errors import InputError
from bentwork.takeoff.bar import TakeOff
from bentwork.takeoff.corner_points import pieces_from_table
from bentwork.takeoff.take import take_off
from tests.unit.takeoff.test_lists_of_points import dxf, entity


def straights(text: str, radius: float = 20.0) -> tuple[float, ...]:
    (line,) = pieces_from_table(text, "a.csv", "mm", radius)
    return line.table.straights


def test_a_decimal_comma_in_quotes_is_no_new_column() -> None:
    # As spreadsheets write it where the decimal mark is a comma, and columns are parted by commas all the same.
    assert straights('"0,0","0","0"\n"100,5","0","0"\n"100,5","80,25","0"\n') == pytest.approx((80.5, 60.25))


def test_marks_of_inches_are_no_quotes() -> None:
    # 4 1/2 and 3 inches, less a radius of 1 mm on each side of the corner.
    assert straights('0,0,0\n4 1/2",0,0\n4 1/2",3",0\n', 1.0) == pytest.approx((113.3, 75.2))
    assert straights('0,0,0\n"4 1/2""",0,0\n"4 1/2""","3""",0\n', 1.0) == pytest.approx((113.3, 75.2))


def test_a_heading_may_have_figures_in_it() -> None:
    assert straights("X1;Y1;Z1\n0;0;0\n100;0;0\n100;80;0\n") == pytest.approx((80.0, 60.0))


def test_a_cell_longer_than_any_number_is_told() -> None:
    with pytest.raises(InputError, match="line 1"):
        pieces_from_table('"' + "1" * 200_000 + '",0,0\n1,1,1\n', "a.csv", "mm", None)


def test_a_table_in_two_byte_characters(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes("x\ty\tz\n0\t0\t0\n100,5\t0\t0\n".encode("utf-16"))
    assert take_off(path).solids[0].bars[0].length == pytest.approx(100.5)


LINE = entity("LINE", c10=0, c20=0, c30=0, c11=100, c21=0, c31=0)
UP = entity("LINE", c10=100, c20=0, c30=0, c11=100, c21=80, c31=0)


def read(folder: Path, text: str, radius: float | None = 20.0) -> TakeOff:
    path = folder / "a.dxf"
    path.write_text(text)
    return take_off(path, radius=radius)


def test_what_is_on_a_sheet_of_paper_is_no_bar(tmp_path: Path) -> None:
    paper = entity("LINE", c67=1, c10=0, c20=0, c30=0, c11=400, c21=0, c31=0)
    result = read(tmp_path, dxf(LINE, paper))
    assert [solid.bars[0].length for solid in result.solids] == pytest.approx([100.0])
    assert result.notes == ("1 × LINE on a sheet of paper passed over",)


def test_a_line_drawn_twice_is_one(tmp_path: Path) -> None:
    back = entity("LINE", c10=100, c20=0, c30=0, c11=0, c21=0, c31=0)
    result = read(tmp_path, dxf(LINE, LINE, back, UP))
    assert [len(solid.bars[0].line.table.bends) for solid in result.solids] == [1]
    assert result.notes == ("2 × line drawn a second time passed over",)


def test_the_halves_of_a_ring_are_not_one_arc_twice(tmp_path: Path) -> None:
    halves = [entity("ARC", c10=0, c20=0, c30=0, c40=50, c50=a, c51=a + 180) for a in (0, 180)]
    (solid,) = read(tmp_path, dxf(*halves)).solids
    assert solid.bars[0].line.table.closed


@pytest.mark.parametrize("cut", ["0\nENDSEC\n0\nEOF\n", "20\n80\n31\n0\n0\nENDSEC\n0\nEOF\n"])
def test_a_drawing_that_was_cut_off_is_told(tmp_path: Path, cut: str) -> None:
    text = dxf(LINE, UP)
    with pytest.raises(InputError, match="without its end"):
        read(tmp_path, text[: len(text) - len(cut)])


def test_a_drawing_that_only_wants_its_last_line_is_read(tmp_path: Path) -> None:
    assert len(read(tmp_path, dxf(LINE, UP).removesuffix("0\nEOF\n")).solids) == 1


def test_ends_that_nearly_meet_are_told(tmp_path: Path) -> None:
    result = read(tmp_path, dxf(LINE, entity("LINE", c10=100.05, c20=0, c30=0, c11=100, c21=80, c31=0)))
    assert len(result.solids) == 2
    assert result.notes == ("ends at [100, 0, 0] lie 0.05 mm apart: they are not joined",)


def test_what_a_drawing_has_instead_of_lines_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, dxf(entity("INSERT", c2="BAR", c10=0, c20=0), entity("SPLINE", c70=8)))
    assert "no lines, but 1 × INSERT, 1 × SPLINE" in str(caught.value)
    assert "Explode blocks." in str(caught.value)


def test_of_a_sharp_corner_the_radius_is_asked_for(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="--radius"):
        read(tmp_path, dxf(LINE, UP), None)


def test_points_that_only_steer_a_curve_are_not_on_it(tmp_path: Path) -> None:
    rows = [(0, 0, 8), (50, 90, 16), (100, 0, 8)]
    vertices = [entity("VERTEX", c10=x, c20=y, c30=0, c70=flag) for x, y, flag in rows]
    result = read(tmp_path, dxf(entity("POLYLINE", c66=1, c70=4), *vertices, entity("SEQEND")))
    assert [solid.bars[0].length for solid in result.solids] == pytest.approx([100.0])


def test_a_drawing_in_yards(tmp_path: Path) -> None:
    # A yard is 0.9144 m by the agreement of 1959.
    result = read(tmp_path, dxf(LINE, units=10))
    assert result.units == "yard"
    assert result.solids[0].bars[0].length == pytest.approx(91_440.0)
