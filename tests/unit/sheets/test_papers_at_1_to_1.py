"""What every 1:1 paper keeps to, whatever the piece."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from bentwork.files.typesetting import pages_pdf
from bentwork.sheets.angle_gauge import angle_gauges
from bentwork.sheets.drawing import Drawing, Label, Stroke
from bentwork.sheets.full_size import full_size
from bentwork.sheets.lettering import LETTERS, SMALLEST
from bentwork.sheets.marking_strip import marking_strip
from bentwork.sheets.placing import box_of
from bentwork.sheets.subject import A4, LETTER, Paper
from tests.make import PAPER_EXAMPLES, paper_subject

KINDS = {"marking strip": marking_strip, "angle gauges": angle_gauges, "full size": full_size}
BOTH = pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
ALL = pytest.mark.parametrize("name", PAPER_EXAMPLES)
EACH = pytest.mark.parametrize("kind", list(KINDS))


def labels(page: Drawing) -> list[Label]:
    return [item for item in page.items if isinstance(item, Label)]


def strokes(page: Drawing) -> list[Stroke]:
    return [item for item in page.items if isinstance(item, Stroke)]


@BOTH
@ALL
@EACH
def test_every_page_can_be_read(kind: str, name: str, paper: Paper) -> None:
    for page in KINDS[kind](paper_subject(name), paper):
        for label in labels(page):
            assert label.size >= SMALLEST, label
            assert set(label.text) <= LETTERS, label
            assert label.text.strip(), label


@BOTH
@ALL
@EACH
def test_words_stay_on_the_page(kind: str, name: str, paper: Paper) -> None:
    for page in KINDS[kind](paper_subject(name), paper):
        for label in labels(page):
            box = box_of(label)
            assert box.left >= 4.0, label
            assert box.top >= 4.0, label
            assert box.right <= page.width - 4.0, label
            assert box.bottom <= page.height - 4.0, label


@ALL
@EACH
def test_pages_are_black_and_white_and_of_one_size(kind: str, name: str) -> None:
    for page in KINDS[kind](paper_subject(name), A4):
        size = (A4.height, A4.width) if kind == "marking strip" else (A4.width, A4.height)
        assert (page.width, page.height) == size
        assert {stroke.ink for stroke in strokes(page)} <= {"black", "grey", "white"}
        assert {stroke.fill for stroke in strokes(page)} <= {"none", "black", "grey", "white"}


@BOTH
@ALL
@EACH
def test_every_page_says_what_it_is(kind: str, name: str, paper: Paper) -> None:
    subject = paper_subject(name)
    pages = KINDS[kind](subject, paper)
    for number, page in enumerate(pages, 1):
        said = [label.text for label in labels(page)]
        assert any(text.startswith(subject.title) for text in said)
        assert subject.job in said
        assert f"version {subject.version} · {subject.date}" in said
        assert any(text.endswith(f"page {number} of {len(pages)}") for text in said)
        head = [label for label in labels(page) if label.text.startswith(("version", subject.job, subject.title))]
        assert max(label.size for label in head) >= 12.0
        assert sum("print at actual size, not fit to page" in text for text in said) == 2  # across and down
        assert said.count("100 mm") == 2
        assert said.count("4 in") == (2 if subject.ruler.units == "in" else 0)


@ALL
@EACH
def test_every_page_can_be_set(kind: str, name: str) -> None:
    pages = KINDS[kind](paper_subject(name), A4)
    if pages:
        assert pages_pdf(name, pages).startswith(b"%PDF")


@EACH
def test_both_hands_look_different(kind: str) -> None:
    drawn = replace(paper_subject("hook"), hand="left")
    other = replace(drawn, hand="right", as_drawn=False)
    first, second = KINDS[kind](drawn, A4)[-1], KINDS[kind](other, A4)[-1]
    assert any("as drawn" in label.text for label in labels(first))
    assert any("OPPOSITE HAND" in label.text for label in labels(second))
    assert any("RIGHT" in label.text for label in labels(second))


@EACH
def test_a_makers_own_words_are_set_as_far_as_there_are_letters(kind: str) -> None:
    odd = replace(paper_subject("hook"), job="Корзина → \U0001f6d2\nshelf", piece="Bügel ⌀12", version="")
    for page in KINDS[kind](odd, A4):
        said = [label.text for label in labels(page)]
        assert "??????? ? ? shelf" in said
        assert any(text.startswith("Bügel ?12") for text in said)
        assert odd.date in said


@EACH
def test_a_long_name_is_cut_short(kind: str) -> None:
    long = replace(paper_subject("hook"), job="A very long name of a job " * 8, piece="an endless piece " * 9)
    for page in KINDS[kind](long, A4):
        for label in labels(page):
            assert box_of(label).right <= page.width - 4.0


def test_the_same_piece_gives_the_same_pages() -> None:
    for kind in KINDS.values():
        assert kind(paper_subject("loop"), A4) == kind(paper_subject("loop"), A4)


def test_a_print_dialogue_is_told_not_to_fit_the_page() -> None:
    """ISO 32000-1, table 150: PrintScaling None is no scaling; read by another program, which finds every object."""
    pdf = PdfReader(io.BytesIO(pages_pdf("strip", marking_strip(paper_subject("loop"), A4))), strict=True)
    preferences, marked = (pdf.root_object[name] for name in ("/ViewerPreferences", "/MarkInfo"))
    assert str(preferences) == "{'/PrintScaling': '/None'}"
    assert str(marked) == "{'/Marked': True}"
    assert all("strip" in page.extract_text() for page in pdf.pages)
