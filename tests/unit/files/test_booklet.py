"""The booklet: its parts page by page as they were, in the order of the work; a front that tells where each begins."""

from __future__ import annotations

import io
import re

import pytest
from pypdf import PdfReader

from bentwork.door.example import example_bytes
from bentwork.files.booklet import FRONT
from bentwork.files.job_file import parse_job
from bentwork.files.paper_files import parts_of, sealed_pdf
from bentwork.files.typesetting import bound, page_count, page_pictures, set_pdf
from bentwork.jobs.work import work
from bentwork.sheets.subject import A4, LETTER, Paper

DATE = "25 November 2026"


def marks(whole: PdfReader) -> list[tuple[str, int]]:
    """Names in the reader's list, each with the page it leads to, from 1."""
    listed = [mark for mark in whole.outline if not isinstance(mark, list)]
    return [(str(mark.title), (whole.get_destination_page_number(mark) or 0) + 1) for mark in listed]


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
def test_the_booklet_of_the_example_holds_its_papers_unchanged(paper: Paper) -> None:
    result = work(parse_job(example_bytes(), "crate-shelf.toml"))
    parts = parts_of(result, DATE, paper, "booklet")
    whole = PdfReader(io.BytesIO(sealed_pdf(parts)))
    single = [PdfReader(io.BytesIO(set_pdf(part))) for _, part in parts]
    assert parts[0][0] == FRONT
    assert [name for name, _ in marks(whole)] == [name for name, _ in parts]
    pages = [page for one in single for page in one.pages]
    assert len(whole.pages) == len(pages) == sum(len(page_pictures(part)) for _, part in parts)
    for number, (there, page) in enumerate(zip(whole.pages, pages, strict=True), 1):
        assert [float(x) for x in there.mediabox] == pytest.approx([float(x) for x in page.mediabox], abs=0.01)
        words = there.extract_text().split()
        assert sorted(words) == sorted([*page.extract_text().split(), *f"{number} / {len(pages)}".split()])


def test_the_front_tells_the_page_that_each_part_begins_on() -> None:
    result = work(parse_job(example_bytes(), "crate-shelf.toml"))
    parts = parts_of(result, DATE, A4, "booklet")
    whole = PdfReader(io.BytesIO(sealed_pdf(parts)))
    front = " ".join(whole.pages[0].extract_text().split())
    begins = dict(marks(whole))
    for name, _ in parts[1:]:
        said = re.search(rf"{re.escape(name)} (\d+)", front)
        assert said is not None
        assert int(said.group(1)) == begins[name]
    assert "7 pieces" in front


def test_pages_of_different_sizes_keep_them() -> None:
    result = work(parse_job(example_bytes(), "crate-shelf.toml"))
    strips, proof = (parts_of(result, DATE, A4, kind)[0][1] for kind in ("strips", "proof-load"))
    pdfs = [set_pdf(strips), set_pdf(proof)]
    whole = bound("two", [("strips", pdfs[0]), ("proof", pdfs[1])])
    assert page_count(whole) == sum(page_count(pdf) for pdf in pdfs)
    sizes = [[page.mediabox[2:] for page in PdfReader(io.BytesIO(pdf)).pages] for pdf in (*pdfs, whole)]
    assert len(sizes[0]) + len(sizes[1]) == len(sizes[2])
    for one, two in zip(sizes[0] + sizes[1], sizes[2], strict=True):
        assert [float(x) for x in one] == pytest.approx([float(x) for x in two], abs=0.01)
