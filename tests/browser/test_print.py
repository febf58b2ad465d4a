"""The browser's own printing: in Papers it prints the paper and nothing round it, every page at its size."""

from __future__ import annotations

import io
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from tests.browser.conftest import Running, Screen

POINT = 25.4 / 72.0  # mm
PIXEL = 25.4 / 96.0  # mm, of CSS


def chosen(page: Page, title: str, size: str) -> int:
    """Choose a paper; return how many pages it has."""
    page.get_by_label("Which paper").select_option(label=title)
    page.get_by_label(size).check()
    told = page.get_by_role("region", name=title, exact=True).get_by_role("status")
    expect(told).to_have_text(re.compile(r"^\d+ pages?$"))
    count = int(told.inner_text().split()[0])
    expect(page.get_by_role("img", name=re.compile(f"^{title}, page"))).to_have_count(count)
    return count


@pytest.mark.parametrize(
    ("title", "size", "wide", "high", "width"),
    [
        ("Angle gauges", "A4", 210.0, 297.0, 1280),
        ("Marking strips", "US Letter", 279.4, 215.9, 1280),
        ("Marking strips", "A4", 297.0, 210.0, 390),
    ],
)
def test_printing_the_papers_section_prints_the_paper_at_its_size(
    server: Running, screen: Callable[..., Screen], title: str, size: str, wide: float, high: float, width: int
) -> None:
    """Sizes by ISO 216 and ANSI/ASME Y14.1; the printed pages are read by another program."""
    page = screen(server, "/job/crate-shelf/papers", width).page
    count = chosen(page, title, size)
    printed = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True))).pages
    assert len(printed) == count
    for one in printed:
        assert float(one.mediabox.width) * POINT == pytest.approx(wide, abs=0.3)
        assert float(one.mediabox.height) * POINT == pytest.approx(high, abs=0.3)
    page.emulate_media(media="print")
    for picture in page.get_by_role("img", name=re.compile(f"^{title}, page")).all():
        box = picture.bounding_box()
        assert box is not None
        assert box["width"] * PIXEL == pytest.approx(wide, rel=0.001)
        assert box["height"] * PIXEL == pytest.approx(high, rel=0.001)
    expect(page.get_by_label("Which paper")).to_be_hidden()
    expect(page.get_by_role("link", name=re.compile("^Print"))).to_be_hidden()


def test_pages_of_a_booklet_keep_their_own_sides(server: Running, screen: Callable[..., Screen]) -> None:
    """Brackets lie on their side, all else stands."""
    page = screen(server, "/job/crate-shelf/papers").page
    chosen(page, "Booklet", "A4")
    paper = PdfReader(
        io.BytesIO(page.request.get(f"{server.address}/api/jobs/crate-shelf/papers/booklet/pdf?size=a4").body())
    )
    count = len(paper.pages)
    # It is set anew once it is reckoned what the frame carries: then it has more pages.
    expect(page.get_by_role("img", name=re.compile("^Booklet, page"))).to_have_count(count)
    printed = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True))).pages
    lies = [float(one.mediabox.width) > float(one.mediabox.height) for one in paper.pages]
    assert [float(one.mediabox.width) > float(one.mediabox.height) for one in printed] == lies
    assert 0 < sum(lies) < count
