"""What a maker does not see on the screen becomes no bar: layers switched off or frozen, what is hidden by itself.

Group codes of the layer table and of visibility as in the publisher's public DXF reference, from memory; drawings with
the same layers that ezdxf 1.4 wrote for the releases R12, 2000 and 2018 were read alike when this was written.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from bentwork.errors import InputError
from bentwork.files.dxf import dxf_bytes
from bentwork.models.three_views import three_views
from bentwork.piece.corners import Corners
from bentwork.stock.section import Round
from bentwork.takeoff.bar import TakeOff
from bentwork.takeoff.take import take_off
from tests.unit.takeoff.test_lists_of_points import dxf, entity


def line(layer: str, length: float, y: float = 0.0, **codes: float) -> str:
    return entity("LINE", c8=layer, **codes, c10=0, c20=y, c30=0, c11=length, c21=y, c31=0)


def table(**layers: tuple[float | str, float | str]) -> str:
    """Write a table of layers: name, flags, colour."""
    rows = [entity("LAYER", c2=name, c70=flags, c62=colour) for name, (flags, colour) in layers.items()]
    others = entity("TABLE", c2="LTYPE", c70=1) + entity("LTYPE", c2="OLD", c70=1) + entity("ENDTAB")
    whole = "".join([others, entity("TABLE", c2="LAYER", c70=len(rows)), *rows, entity("ENDTAB")])
    return f"0\nSECTION\n2\nTABLES\n{whole}0\nENDSEC\n"


def read(folder: Path, layers: str, *entities: str, radius: float | None = None) -> TakeOff:
    path = folder / "a.dxf"
    path.write_text(layers + dxf(*entities))
    return take_off(path, radius=radius)


def lengths(result: TakeOff) -> list[float]:
    return [solid.bars[0].length for solid in result.solids]


def test_layers_off_and_frozen_are_passed_over_and_counted(tmp_path: Path) -> None:
    layers = table(Bars=(0, 7), Locked=(4, 3), OLD=(0, -7), Dims=(1, 2), Both=(65, -1))
    drawn = [line("Bars", 300), line("locked", 200, 50), line("Old", 90, 60), line("OLD", 95, 70)]
    drawn += [
        line("DIMS", 80, 80),
        entity("TEXT", c8="Dims", c10=0),
        line("Both", 70, 90),
        line("not in the table", 60, 99),
    ]
    result = read(tmp_path, layers, *drawn)
    assert lengths(result) == pytest.approx([300.0, 200.0, 60.0])
    assert result.notes == (
        "what is not seen on the screen is passed over: "
        "1 on layer BOTH (frozen), 2 on layer DIMS (frozen), 2 on layer OLD (switched off)",
    )


def test_what_is_hidden_by_itself_is_passed_over(tmp_path: Path) -> None:
    result = read(
        tmp_path, table(Bars=(0, 7)), line("Bars", 300), line("Bars", 90, 60, c60=1), line("Bars", 80, 70, c60=0)
    )
    assert lengths(result) == pytest.approx([300.0, 80.0])
    assert result.notes == ("what is not seen on the screen is passed over: 1 on layer BARS (hidden one by one)",)


def test_a_hidden_copy_does_not_take_the_place_of_a_line(tmp_path: Path) -> None:
    result = read(tmp_path, table(Bars=(0, 7)), line("Bars", 300, 0, c60=1), line("Bars", 300), line("Bars", 300))
    assert lengths(result) == pytest.approx([300.0])
    assert result.notes[0] == "1 × line drawn a second time passed over"


def test_when_all_is_hidden_the_fault_says_where_it_is(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read(
            tmp_path,
            table(Bars=(0, -7), Old=(1, 7)),
            line("Bars", 300),
            line("Bars", 200),
            line("Old", 90),
            "0\nTEXT\n",
        )
    (fault,) = caught.value.faults
    assert fault.found == (
        "no lines that are seen, but 1 × TEXT, 2 on layer BARS (switched off), 1 on layer OLD (frozen)"
    )
    assert "switch that on or thaw it" in fault.do


def test_a_hidden_centreline_is_no_centreline(tmp_path: Path) -> None:
    drawn = [line("Centreline", 300), line("Bars", 200, 50)]
    assert lengths(read(tmp_path, table(Centreline=(0, 7)), *drawn)) == pytest.approx([300.0])
    result = read(tmp_path, table(Centreline=(0, -7)), *drawn)
    assert lengths(result) == pytest.approx([200.0])
    assert result.notes == (
        "what is not seen on the screen is passed over: 1 on layer CENTRELINE (switched off)",
        "layer CENTRELINE is hidden: the other lines are taken for the middle of the bar",
    )


def test_outlines_without_their_hidden_centreline_say_that_it_is_hidden(tmp_path: Path) -> None:
    sides = [line("Outline", 300, y) for y in (-6, 6)]
    ends = [entity("LINE", c8="Outline", c10=x, c20=-6, c30=0, c11=x, c21=6, c31=0) for x in (0, 300)]
    with pytest.raises(InputError, match="Layer CENTRELINE is hidden: show it if that is it"):
        read(tmp_path, table(Centreline=(1, 7)), *sides, *ends, line("CENTRELINE", 300))


def test_the_other_spelling_that_is_seen_is_the_centreline(tmp_path: Path) -> None:
    drawn = [line("CENTERLINE", 300), line("CENTRELINE", 200, 50), line("Bars", 100, 90)]
    result = read(tmp_path, table(Centreline=(0, -7)), *drawn)
    assert lengths(result) == pytest.approx([300.0])
    assert not any("taken for the middle" in note for note in result.notes)


def test_our_own_views_with_their_outline_switched_off_are_views_all_the_same(tmp_path: Path) -> None:
    bent = Corners(((0, 0, 0), (100, 0, 0), (100, 80, 0)), (30.0,)).centreline()
    text = dxf_bytes(three_views(bent, Round(12.0)), "mm", "hook").decode("ascii")
    shown = "2\r\nOUTLINE\r\n 70\r\n0\r\n"
    assert shown in text
    path = tmp_path / "a.dxf"
    path.write_text(text.replace(shown, "2\r\nOUTLINE\r\n 70\r\n1\r\n"), newline="")
    with pytest.raises(InputError, match="outlines of a piece in views"):
        take_off(path)


@pytest.mark.parametrize(("flags", "colour"), [("one", 7), (0, "red"), ("nan", 7), ("inf", 7)])
def test_a_layer_with_a_number_that_is_none_is_told(tmp_path: Path, flags: float | str, colour: float | str) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, table(Bars=(flags, colour)), line("Bars", 300))
    (fault,) = caught.value.faults
    # The table begins with 4 + 6 + 6 + 2 lines of a section and of line types, 6 of its own, then the layer.
    assert (fault.where, fault.line) == ("LAYER", 25)
