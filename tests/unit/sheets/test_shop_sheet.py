"""What stands on a shop sheet."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import numpy as np
import pytest
from pypdf import PdfReader

from bentwork.files.typesetting import ToSet, as_data, set_pdf
from bentwork.findings import Finding, Level
from bentwork.piece.bend import Bend
from bentwork.piece.bend_table import BendTable
from bentwork.sheets.bar_view import bar_of, draw_bars
from bentwork.sheets.cover import cover
from bentwork.sheets.drawing import Drawing, Label, Stroke, clipped
from bentwork.sheets.icons import angle_icon, clock
from bentwork.sheets.piece_picture import overall
from bentwork.sheets.projection import ABOVE, CORNER, FRONT, RIGHT, fit_scale
from bentwork.sheets.shop_sheet import ShopSheet, shop_sheet, told
from bentwork.sheets.stock_words import stock_words
from bentwork.sheets.subject import A4, LETTER, Paper, Subject
from bentwork.space import dot
from bentwork.units import Ruler
from tests.make import a_bender, a_flat, a_placed_subject, a_round, a_subject, a_tube

RECTANGLE = ((0, 0, 0), (400, 0, 0), (400, 300, 0), (0, 300, 0))
IN_SPACE = ((0, 0, 0), (200, 0, 0), (200, 150, 0), (200, 150, 150))


def pdf(*sheets: ShopSheet) -> PdfReader:
    return PdfReader(
        io.BytesIO(set_pdf(ToSet("shop_sheet.typ", {"title": "t", "cover": None, "sheets": as_data(sheets)})))
    )


def words(reader: PdfReader) -> str:
    return "\n".join(page.extract_text() for page in reader.pages)


def test_sizes_over_to_the_middle_and_within() -> None:
    x, y, z = overall(a_subject(RECTANGLE, 36.0, closed=True, stock=a_round(12.0)))
    assert (x.outside, x.middle, x.inside) == pytest.approx((412, 400, 388))
    assert (y.outside, y.middle, y.inside) == pytest.approx((312, 300, 288))
    assert (z.outside, z.middle) == pytest.approx((12, 0))
    assert z.inside is None


def test_a_flat_bar_is_as_wide_as_it_is() -> None:
    x, y, z = overall(a_subject(((0, 0, 60), (0, 0, 0), (80, 0, 0)), 10.0, stock=a_flat(25.0, 3.0)))
    assert x.outside == pytest.approx(81.5)
    assert y.outside == pytest.approx(25.0)
    assert z.outside == pytest.approx(61.5)


def test_views_look_where_they_say() -> None:
    for view, right, up in ((ABOVE, "x", "y"), (FRONT, "x", "z"), (RIGHT, "y", "z")):
        axes = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}
        seen = view.flat(np.array([axes[right], axes[up]]))
        assert seen[0] == pytest.approx((1, 0, 0))
        assert seen[1] == pytest.approx((0, -1, 0))  # y runs down the paper
    assert dot(CORNER.right, CORNER.up) == pytest.approx(0, abs=1e-12)
    assert CORNER.towards[2] > 0 > CORNER.towards[1]  # from above and from the front


def test_a_drawing_scale_is_a_usual_one_that_fits() -> None:
    assert fit_scale(400, 300, (100, 100)) == 1 / 4
    assert fit_scale(401, 300, (100, 100)) == 1 / 5
    assert fit_scale(10, 10, (100, 100)) == 1.0


def test_the_nearer_bar_is_drawn_over_the_farther() -> None:
    low = a_subject(((-100, 0, 0), (100, 0, 0)), stock=a_round(12.0))
    high = a_subject(((0, -100, 50), (0, 100, 50)), stock=a_round(12.0))
    bars = [bar_of(s.line, s.stock.section, "easy") for s in (low, high)]
    last = [item for item in draw_bars(bars, ABOVE, 1.0) if isinstance(item, Stroke)][-1]
    (x0, y0), (x1, y1) = last.points
    assert x0 == x1 == pytest.approx(0)
    assert min(y0, y1) < -6 and max(y0, y1) > 6
    assert last.ink == "white"


def test_bars_that_touch_are_a_joint_and_not_a_crossing() -> None:
    one = a_subject(((-100, 0, 0), (100, 0, 0)), stock=a_round(12.0))
    two = a_subject(((0, -100, 0), (0, 100, 0)), stock=a_round(12.0))
    bars = [bar_of(s.line, s.stock.section, "easy") for s in (one, two)]
    assert len(draw_bars(bars, ABOVE, 1.0)) == 4


@pytest.mark.parametrize("rotation", [0.0, 30.0, 45.0, 90.0, -135.0, 180.0])
def test_a_bar_with_corners_is_not_twisted_between_two_bends(rotation: float) -> None:
    """Edges run along the straights, and the bar stays as wide and as thick as it is, however its bends lie."""
    table = BendTable((80.0, 60.0, 80.0), (Bend(30.0, 90.0), Bend(30.0, 70.0, rotation)))
    subject = a_placed_subject(table, stock=a_flat(30.0, 4.0))
    bar = bar_of(subject.line, subject.stock.section, "easy")
    one, two, three, _ = bar.edges
    assert np.allclose(np.linalg.norm(one - two, axis=1), 30.0)
    assert np.allclose(np.linalg.norm(two - three, axis=1), 4.0)
    straight = np.linalg.norm(np.diff(bar.tangents, axis=0), axis=1) < 1e-12
    assert straight.sum() == 3
    for edge in bar.edges:
        steps = np.diff(edge, axis=0)[straight]
        assert np.allclose(
            steps, (steps * bar.tangents[:-1][straight]).sum(axis=1)[:, None] * bar.tangents[:-1][straight]
        )
    # The first bend is made across the thickness: the width lies along its axis at end A.
    assert abs(dot(tuple(one[0] - two[0]), subject.line.start.axis)) == pytest.approx(30.0)


def test_a_row_says_all_of_a_bend() -> None:
    subject = a_subject(IN_SPACE, 50.0, trim=15.0, bender=a_bender(50.0, springback=1.04), stock=a_round(12.0))
    one, two = shop_sheet(subject, A4).rows
    arc = 25 * math.pi
    assert one.mark == "165"
    assert one.other_marks == f"bend 165 to {Ruler().tape(165 + arc)}"
    assert (one.step, one.bend, one.held, one.from_last) == ("1", "1", "hold end A", "165 from end A")
    assert (one.pull, one.leaves) == ("93.6°", "leaves 90°, corner 90°")
    assert two.from_last == "50 from bend 1"
    assert two.turn == "turn 90° anticlockwise"
    # A left-hand bender turns away from whoever stands at it; the bend points there, the line a quarter turn on.
    assert one.rotation == "scribe the line on its inside\nline faces away from you"
    round_bar = Ruler().tape(math.pi * 12 / 4)
    assert (
        two.rotation == f"90° clockwise of the line, {round_bar} round the bar\nline faces down, leg of 1 points down"
    )


def test_a_bend_angle_cannot_be_taken_for_its_supplement() -> None:
    subject = a_subject(((0, 0, 0), (200, 0, 0), (300, 100, 0)), 50.0)
    (row,) = shop_sheet(subject, A4).rows
    assert row.leaves == "leaves 45°, corner 135°"


def test_a_centre_mark_is_called_one() -> None:
    sheet = shop_sheet(a_subject(IN_SPACE, 50.0, bender=a_bender(50.0, "ram", 1.0)), A4)
    assert sheet.mark_head == "centre of bend"
    assert sheet.rows[0].mark == Ruler().tape(150 + 12.5 * math.pi)
    assert sheet.rows[0].other_marks.startswith("bend 150 to ")


def test_numbers_stand_on_the_paper() -> None:
    reader = pdf(shop_sheet(a_subject(IN_SPACE, 50.0, trim=15.0), A4))
    text = words(reader)
    for part in ("loop", "165", "CUT THE BAR TO", "93.1°", "Notch end A", "HOW SURE", "TAKE CARE", "Eye protection"):
        assert part in text


@pytest.mark.parametrize(("paper", "size"), [(A4, (595.28, 841.89)), (LETTER, (612.0, 792.0))])
def test_paper_sizes(paper: object, size: tuple[float, float]) -> None:
    sheet = shop_sheet(a_subject(IN_SPACE, 50.0), A4 if paper is A4 else LETTER)
    for page in pdf(sheet).pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(size, abs=0.05)


def test_left_and_right_are_told_apart() -> None:
    left = shop_sheet(a_subject(IN_SPACE, 50.0, hand="left"), A4)
    right = shop_sheet(a_subject(IN_SPACE, 50.0, hand="right", as_drawn=False), A4)
    assert (left.hand, right.hand) == ("L", "R")
    assert "opposite hand" in right.hand_words
    reader = pdf(left, right)
    pages = [page.extract_text() for page in reader.pages]
    assert "L" in pages[0].split()
    assert all(("as drawn" in page) != ("opposite hand" in page) for page in pages)


def _subjects() -> list[Subject]:
    serpent = [(0.0, 0.0, 0.0)]
    for i in range(17):
        x, y, z = serpent[-1]
        serpent.append((x + 150, y + (120 if i % 2 else -20), z + (i % 3) * 60))
    hoop = BendTable((300.0, 300.0), (Bend(300.0, 180.0),))
    return [
        a_subject(((0, 0, 0), (200, 0, 0), (200, 90, 0)), 20.0, stock=a_flat()),
        a_subject(serpent, 30.0),
        a_subject(RECTANGLE, 36.0, closed=True, trim=20.0),
        a_subject(RECTANGLE, 36.0, closed=True, ruler=Ruler("in")),
        a_placed_subject(hoop, stock=a_tube()),
        a_placed_subject(BendTable((30.0, 0.0, 20.0), (Bend(20.0, 200.0), Bend(20.0, 175.0, -170.0)))),
        a_subject(((0, 0, 0), (0, 0, 6000), (10, 2000, 6000)), 20.0, ruler=Ruler("in", 32)),
    ]


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda p: p.name)
def test_every_sort_of_piece_fits_its_pages_in_its_own_type(paper: object) -> None:
    chosen = A4 if paper is A4 else LETTER
    for subject in _subjects():
        reader = pdf(shop_sheet(subject, chosen))
        assert len(reader.pages) <= 4
        for page in reader.pages:
            assert len(page.extract_text()) > 400, "a page with nothing but its head was left over"
            fonts = page["/Resources"]["/Font"].values()  # type: ignore[index]  # pypdf types no dictionary
            names = {str(font.get_object()["/BaseFont"]) for font in fonts}
            assert all("Atkinson" in name or "DejaVu" in name for name in names), names


def test_the_same_sheet_is_the_same_bytes() -> None:
    sheet = shop_sheet(a_subject(IN_SPACE, 50.0), A4)
    paper = ToSet("shop_sheet.typ", {"title": "t", "cover": None, "sheets": as_data((sheet,))})
    assert set_pdf(paper) == set_pdf(paper)


def test_a_cover_lists_what_to_cut() -> None:
    subjects = _subjects()[:3]
    front = cover(subjects, [(s, ((0.0, 0.0, 0.0),)) for s in subjects], (), Ruler(), A4)
    data = {"title": "t", "cover": as_data(front), "sheets": as_data([shop_sheet(subjects[0], A4)])}
    text = words(PdfReader(io.BytesIO(set_pdf(ToSet("shop_sheet.typ", data)))))
    assert "3 pieces" in text
    assert Ruler().tape(subjects[2].cut_length) in text


def test_a_cover_tells_of_pieces_that_its_picture_does_not_show() -> None:
    one, two = _subjects()[:2]
    front = cover([replace(one, count=6), two], [(s, ((0.0, 0.0, 0.0),)) for s in (one, two)], (), Ruler(), A4)
    assert front.summary.startswith("7 pieces, 2 in the picture, ")


def test_a_cover_in_inches_is_in_pounds() -> None:
    subjects = _subjects()[:3]
    front = cover(subjects, [(s, ((0.0, 0.0, 0.0),)) for s in subjects], (), Ruler("in"), A4)
    kg = sum(s.stock.mass(s.line.table.length) * s.count for s in subjects)
    assert front.summary == f"3 pieces, {kg / 0.45359237:.2f} lb"
    data = {"title": "t", "cover": as_data(front), "sheets": as_data([shop_sheet(subjects[0], A4)])}
    assert "LB IN ALL" in words(PdfReader(io.BytesIO(set_pdf(ToSet("shop_sheet.typ", data)))))


@pytest.mark.parametrize(("job", "rows"), [("Shelf", 5), ("Gear rack for a boathouse hand cart", 9)])
@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda p: p.name)
@pytest.mark.parametrize(("many", "level"), [(1, "note"), (6, "note"), (5, "watch"), (20, "stop")])
def test_the_cautions_of_a_cover_stay_on_its_page(paper: Paper, many: int, level: Level, job: str, rows: int) -> None:
    """The picture gives way to what there is to say, and what is left is counted."""
    subjects = [replace(one, job=job) for one in (_subjects() * 2)[:rows]]
    why = (
        "It takes a pull of 95.4° to 103.6° to leave 90.0°: no closer than that, and this goes on for a line more. " * 2
    )
    findings = [
        Finding(level, "spare-bar", f"{k}: How far this bar springs back is not known.", why) for k in range(many)
    ]
    front = cover(subjects, [(s, ((0.0, 0.0, 0.0),)) for s in subjects], findings, Ruler(), paper)
    sheet = shop_sheet(subjects[0], paper)
    data = {"title": "t", "cover": as_data(front), "sheets": as_data([sheet])}
    reader = PdfReader(io.BytesIO(set_pdf(ToSet("shop_sheet.typ", data))))
    assert len(reader.pages) == 1 + len(pdf(sheet).pages)
    assert "TAKE CARE" in reader.pages[0].extract_text()
    assert 60.0 <= front.picture.height <= 92.0


def test_a_sheet_tells_the_gravest_first() -> None:
    light = [Finding("note", "spare-bar", f"note {k}") for k in range(6)]
    told_ones = told([*light, Finding("stop", "hits-tool", "stopped", "why")], Ruler(), 4)
    assert told_ones[0] == ("stop", "stopped", "why", "")


def test_letters_that_the_typeface_has_not_are_question_marks_not_boxes() -> None:
    subject = replace(a_subject(IN_SPACE, 50.0), piece="輪 3")
    text = words(pdf(shop_sheet(subject, A4)))
    assert "輪" not in text
    assert "? 3" in text


def test_words_for_bars() -> None:
    assert stock_words(a_round(), Ruler()) == "round 12 mm, S235"
    assert stock_words(a_tube(), Ruler()) == "tube 25 × 1.5 mm, S235"
    assert stock_words(a_flat(25.4, 25.4 / 8), Ruler("in")) == "flat 1 × 1/8 in, S235"


def test_icons_stay_in_their_field() -> None:
    for turn in (5.0, 45.0, 90.0, 135.0, 180.0, 270.0):
        for picture in (angle_icon(turn), clock(turn)):
            for item in picture.items:
                assert isinstance(item, Stroke)
                for x, y in item.points:
                    assert -0.3 <= x <= picture.width + 0.3
                    assert -0.3 <= y <= picture.height + 0.3


def test_the_clock_turns_clockwise() -> None:
    hand = next(item for item in clock(90.0).items if isinstance(item, Stroke) and item.weight == 0.7)
    (x0, y0), (x1, y1) = hand.points
    assert x1 > x0 + 1
    assert y1 == pytest.approx(y0)


def test_clipping_keeps_what_is_seen() -> None:
    line = Stroke(((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)))
    kept = clipped((line, Label((5.0, 5.0), "in"), Label((50.0, 50.0), "out")), (-1.0, -1.0, 20.0, 20.0))
    assert [item.points for item in kept if isinstance(item, Stroke)] == [((0.0, 0.0), (100.0, 0.0))]
    assert [item.text for item in kept if isinstance(item, Label)] == ["in"]
    shifted = Drawing(1, 1, kept).moved(2.0, 3.0)
    assert shifted[0] == Stroke(((2.0, 3.0), (102.0, 3.0)))
