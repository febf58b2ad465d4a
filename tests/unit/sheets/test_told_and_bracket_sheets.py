"""The pages of brackets, welding and finish: at 1:1 where they are, nothing off the page, nothing left out."""

from __future__ import annotations

from pathlib import Path

import pytest

from bentwork.door.example import example_bytes
from bentwork.files.job_file import parse_job
from bentwork.jobs.bracket_papers import bracket_subjects
from bentwork.jobs.finish_papers import finish_subject
from bentwork.jobs.papers import sheets_of
from bentwork.jobs.welding_papers import welding_subject
from bentwork.jobs.work import work
from bentwork.sheets.bracket_sheet import BracketSubject, bracket_sheet
from bentwork.sheets.drawing import Drawing, Label, Stroke
from bentwork.sheets.finish_sheet import finish_sheet
from bentwork.sheets.lettering import LETTERS, SMALLEST, text_width
from bentwork.sheets.subject import A4, LETTER, Paper
from bentwork.sheets.told_pages import ToldPart, told_pages
from bentwork.sheets.welding_sheet import welding_sheet
from tests.brackets import BRACKET, worked
from tests.measure import printed

HOLES = "{ along = 20, diameter = 8 }, { along = 42, diameter = 5 }, { side = 2, along = 60, diameter = 6, slot = 30 }"
SHORT = BRACKET.replace("[[0, 0, 80], ", "[[0, 0, 60], ").replace(", [120, 0, 80]]", ", [120, 0, 60]]")  # one row


def short_bracket() -> BracketSubject:
    result = work(parse_job(f"{SHORT}holes = [{HOLES}]\n".encode(), "oar.toml"))
    (found,) = bracket_subjects(result, "today")
    return found


def every_page(paper: Paper) -> dict[str, tuple[Drawing, ...]]:
    shelf = work(parse_job(example_bytes(), "crate-shelf.toml"))
    (bracket,) = bracket_subjects(worked(HOLES), "today")
    return {
        "brackets": bracket_sheet(bracket, paper),
        "welding": welding_sheet(welding_subject(shelf, "today"), paper),
        "finish": finish_sheet(finish_subject(shelf, "today"), paper),
    }


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
def test_words_can_be_read_and_stay_on_the_page(paper: Paper) -> None:
    for name, pages in every_page(paper).items():
        assert pages, name
        for page in pages:
            for label in (item for item in page.items if isinstance(item, Label)):
                assert label.size >= SMALLEST, label
                assert set(label.text) <= LETTERS, label
                if label.angle == 0.0 and label.anchor[0] == "left":
                    assert label.at[0] + text_width(label.text, label.size, label.bold) <= page.width - 4.0, label
                assert 4.0 <= label.at[1] <= page.height - 4.0, label


def test_no_stroke_leaves_the_page() -> None:
    for pages in every_page(A4).values():
        for page in pages:
            for stroke in (item for item in page.items if isinstance(item, Stroke)):
                assert all(0.0 <= x <= page.width and 0.0 <= y <= page.height for x, y in stroke.points)


def test_the_pattern_at_1_to_1(tmp_path: Path) -> None:
    bracket = short_bracket()
    page = bracket_sheet(bracket, A4)[0]
    boxes = [item.points for item in page.items if isinstance(item, Stroke) and item.closed and len(item.points) == 4]
    outline = max(boxes, key=lambda points: max(x for x, _ in points) - min(x for x, _ in points))
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    left, top, bottom = min(xs), min(ys), max(ys)
    assert bottom - top == pytest.approx(30.0)  # the width of the bar
    assert max(xs) - left == pytest.approx(bracket.subject.cut_length)
    paper = printed(page, tmp_path)
    for mark in bracket.subject.marks:  # the middles of the bends, as printed
        at = paper.line_across(left + mark.centre, top + 14.0, bottom - 2.0)
        assert at - left == pytest.approx(mark.centre, abs=0.1)


def test_a_hole_drilled_later_is_dashed() -> None:
    bracket = short_bracket()
    rings = [
        item
        for page in bracket_sheet(bracket, A4)[:1]
        for item in page.items
        if isinstance(item, Stroke) and len(item.points) == 50 and item.fill == "white"
    ]
    assert [ring.dash for ring in rings] == ["full", "dash", "full"]
    sizes = [max(x for x, _ in ring.points) - min(x for x, _ in ring.points) for ring in rings]
    assert sizes == pytest.approx([8.0, 5.0, 30.0])


def test_told_pages_lose_nothing_and_part_no_heading_from_its_first_line() -> None:
    parts = [ToldPart(f"Part {k}", tuple(f"line {k}.{n}" for n in range(7)), (f"care {k}",)) for k in range(12)]
    pages = told_pages(parts, 150.0, 120.0)
    assert len(pages) > 2
    texts = [[item.text for item in page.items if isinstance(item, Label)] for page in pages]
    every = [text for page in texts for text in page]
    assert [text for text in every if text.startswith("line")] == [f"line {k}.{n}" for k in range(12) for n in range(7)]
    assert sum(text.startswith("care") for text in every) == 12
    assert not any(page[-1].startswith("Part") for page in texts)
    for page in pages:
        assert all(item.at[1] <= 120.0 for item in page.items if isinstance(item, Label))


def test_a_first_page_may_be_shorter() -> None:
    parts = [ToldPart("Part", tuple(f"line {n}" for n in range(30)))]
    first = told_pages(parts, 150.0, 200.0, first=40.0)[0]
    assert max(item.at[1] for item in first.items if isinstance(item, Label)) <= 40.0


def test_the_shop_sheet_says_when_to_drill() -> None:
    result = worked(HOLES)
    _, (sheet,) = sheets_of(result, "today", A4)
    assert ("Holes", "3 before it is bent: see its bracket page") in sheet.facts
    assert any("neutral line" in line for line in sheet.sure)
    late = worked("{ along = 20, diameter = 8 }, { along = 62, diameter = 5 }")
    _, (sheet,) = sheets_of(late, "today", A4)
    assert ("Holes", "1 before it is bent and 1 AFTER: see its bracket page") in sheet.facts
    plain = work(parse_job(BRACKET.encode(), "oar.toml"))
    _, (sheet,) = sheets_of(plain, "today", A4)
    assert "Holes" not in dict(sheet.facts)
    assert not any("neutral line" in line for line in sheet.sure)


def test_a_last_page_with_hardly_anything_is_spared() -> None:
    def pages(lines: int) -> list[Drawing]:
        return told_pages([ToldPart("Part", tuple(f"line {n}" for n in range(lines)), ticks=True)], 150.0, 120.0)

    most = next(lines for lines in range(1, 99) if len(pages(lines + 1)) == 2)  # closed up as far as they may be
    (page,) = pages(most)
    words = [item for item in page.items if isinstance(item, Label)]
    assert [item.text for item in words[1:]] == [f"line {n}" for n in range(most)]
    assert max(item.at[1] for item in words) <= 120.0
    assert {item.size for item in words[1:]} == {10.0}  # letters stay as large as they were
    ticks = [item for item in page.items if isinstance(item, Stroke) and item.closed]
    for tick, word in zip(ticks, words[1:], strict=True):  # each beside its own line
        assert max(y for _, y in tick.points) == pytest.approx(word.at[1], abs=0.5)
    usual = [item.at[1] for item in pages(60)[0].items if isinstance(item, Label)]
    assert usual[2] - usual[1] > words[2].at[1] - words[1].at[1]  # nothing is closed up where it spares no page


def test_the_example_has_no_page_of_welding_with_one_caution_alone() -> None:
    rack = work(parse_job(example_bytes("gear-rack"), "gear-rack.toml"))
    for page in welding_sheet(welding_subject(rack, "today"), A4):
        assert max(item.at[1] for item in page.items if isinstance(item, Label)) > 0.3 * page.height


def test_the_words_of_a_short_bracket_stand_below_its_pattern() -> None:
    bracket = short_bracket()
    (page,) = bracket_sheet(bracket, A4)
    words = {item.text: item.at for item in page.items if isinstance(item, Label)}
    row = max(
        (item for item in page.items if isinstance(item, Stroke) and item.closed and len(item.points) == 4),
        key=lambda item: max(x for x, _ in item.points) - min(x for x, _ in item.points),
    )
    assert words["The flat"][1] > max(y for _, y in row.points)
    assert {part.title for part in bracket.parts} <= set(words)
    foot = next(at for text, at in words.items() if text.startswith("Cut it out."))
    below = [item.at[1] for item in page.items if isinstance(item, Label) and item.text.startswith("bend ")]
    assert max(below) < foot[1] - 3.0


def test_words_of_a_bracket_that_have_no_room_below_it_have_a_page_of_their_own() -> None:
    result = worked(HOLES)
    (bracket,) = bracket_subjects(result, "today")
    wide = BracketSubject(bracket.subject, 120.0, bracket.seats, bracket.parts)
    first, *rest = bracket_sheet(wide, A4)
    assert rest
    assert not any(item.text == "The flat" for item in first.items if isinstance(item, Label))
