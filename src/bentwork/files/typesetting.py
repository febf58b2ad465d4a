"""Drawings and sheet contents to PDF, or to pictures of its pages, by typst, with our own fonts and no others."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, is_dataclass
from importlib.resources import as_file, files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal, cast

import typst

from bentwork.errors import PaperError
from bentwork.sheets.drawing import Drawing, Label, Stroke
from bentwork.sheets.lettering import printed

__all__ = ["PagePicture", "ToSet", "as_data", "bound", "page_count", "page_pictures", "pages", "pages_pdf", "set_pdf"]

_POINT = 25.4 / 72.0  # mm in a printer's point
_SIZE = re.compile(rb'viewBox="0 0 ([0-9.]+) ([0-9.]+)"')
_COUNT = re.compile(rb"/Type/Pages/Count (\d+)")
_CATALOG = b"/MarkInfo<</Marked true/Suspects false>>/ViewerPreferences<</Direction/L2R>>"
_UNSCALED = b"/MarkInfo<</Marked true>>/ViewerPreferences<</PrintScaling/None>>".ljust(len(_CATALOG))
"""Print dialogues then start with 'actual size' instead of 'fit'. What gives way is what a reader takes for granted
(ISO 32000-1, tables 150 and 321); the length stays, for every object has its place by the count of bytes."""
_BOX = re.compile(rb"/MediaBox\[0 0 ([0-9.]+) ([0-9.]+)\]")


@dataclass(frozen=True, slots=True)
class ToSet:
    """A paper before it is set.

    Args:
        template: of ``data/papers``.
        data: that it is filled with.
    """

    template: str
    data: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class PagePicture:
    """A page as a picture.

    Args:
        svg: its bytes.
        width: of the page, mm.
        height: of the page, mm.
    """

    svg: bytes
    width: float
    height: float


def pages(title: str, drawings: Sequence[Drawing]) -> ToSet:
    """Return a paper of one drawing a page, at 1:1; all pages have the size of the first."""
    return ToSet("pages.typ", {"title": title, "pages": [as_data(drawing) for drawing in drawings]})


def pages_pdf(title: str, drawings: Sequence[Drawing]) -> bytes:
    """Return a PDF of one drawing a page, at 1:1; all pages have the size of the first."""
    return set_pdf(pages(title, drawings))


def set_pdf(paper: ToSet) -> bytes:
    """Set a paper and return the PDF. The same data give the same bytes.

    Raises:
        PaperError: the template and the data do not go together.
    """
    (pdf,) = _set(paper, "pdf")
    return pdf


def page_count(pdf: bytes) -> int:
    """Return how many pages a PDF has that was set here."""
    found = _COUNT.search(pdf)
    if found is None:
        raise PaperError("the paper could not be set: it came out without a count of its pages")
    return int(found.group(1))


def bound(title: str, parts: Sequence[tuple[str, bytes]]) -> bytes:
    """Return papers that were set here as one PDF: pages as they are, numbered, the parts listed in its outline.

    Args:
        title: of the whole.
        parts: a name and a PDF each.

    Raises:
        PaperError: a part is not a PDF that was set here.
    """
    listed = [
        {"name": name, "file": f"/{number}.pdf", "sizes": _sizes(pdf)} for number, (name, pdf) in enumerate(parts, 1)
    ]
    with TemporaryDirectory() as folder, as_file(files("bentwork").joinpath("data", "papers")) as papers:
        for template in ("booklet.typ", "drawing.typ"):
            shutil.copy(papers / template, folder)
        for number, (_, pdf) in enumerate(parts, 1):
            (Path(folder) / f"{number}.pdf").write_bytes(pdf)
        (whole,) = _compiled(Path(folder) / "booklet.typ", Path(folder), "pdf", {"title": title, "parts": listed})
    return whole


def _sizes(pdf: bytes) -> list[tuple[float, float]]:
    sizes = [(float(wide) * _POINT, float(high) * _POINT) for wide, high in _BOX.findall(pdf)]
    if not sizes or len(sizes) != page_count(pdf):
        raise PaperError("the papers could not be bound: a page came out without a size")
    return sizes


def page_pictures(paper: ToSet) -> tuple[PagePicture, ...]:
    """Set a paper and return its pages as pictures (SVG), letters and lines where the PDF has them.

    Raises:
        PaperError: the template and the data do not go together.
    """
    return tuple(_picture(page) for page in _set(paper, "svg"))


def _picture(page: bytes) -> PagePicture:
    size = _SIZE.search(page, 0, 1000)
    if size is None:
        raise PaperError("the paper could not be set: a page came out without a size")
    width, height = (_POINT * float(number) for number in size.groups())
    return PagePicture(page, width, height)


def _set(paper: ToSet, form: Literal["pdf", "svg"]) -> tuple[bytes, ...]:
    with as_file(files("bentwork").joinpath("data")) as folder:
        return _compiled(folder / "papers" / paper.template, folder, form, paper.data)


def _compiled(template: Path, root: Path, form: Literal["pdf", "svg"], data: Mapping[str, Any]) -> tuple[bytes, ...]:
    """Set a template. Warnings count as faults: a missing letter must not reach the bench as a box."""
    with as_file(files("bentwork").joinpath("data", "fonts")) as fonts:
        try:
            made, warnings = typst.compile_with_warnings(
                template,
                root=root,
                font_paths=[fonts],
                ignore_system_fonts=True,
                format=form,
                sys_inputs={"data": json.dumps(data, ensure_ascii=False, allow_nan=False)},
            )
        except typst.TypstError as error:
            raise PaperError(f"the paper could not be set: {error}") from error
    if warnings:
        raise PaperError("the paper could not be set: " + "; ".join(str(warning) for warning in warnings))
    several = cast("bytes | list[bytes]", made)  # the library's types forget that pictures come one a page
    return tuple(several) if isinstance(several, list) else (several.replace(_CATALOG, _UNSCALED, 1),)


def as_data(value: object) -> Any:
    """Return frozen values as plain data for a template; coordinates to a micrometre, letters that can be set."""
    if isinstance(value, Stroke):
        return {**_plain(value), "kind": "stroke", "points": [[round(x, 3), round(y, 3)] for x, y in value.points]}
    if isinstance(value, Label):
        return {**_plain(value), "kind": "label", "at": [round(value.at[0], 3), round(value.at[1], 3)]}
    if isinstance(value, Drawing):
        return {"width": value.width, "height": value.height, "items": [as_data(item) for item in value.items]}
    if is_dataclass(value) and not isinstance(value, type):
        return {name: as_data(getattr(value, name)) for name in value.__dataclass_fields__}
    if isinstance(value, Mapping):
        return {str(key): as_data(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [as_data(item) for item in value]
    return printed(value) if isinstance(value, str) else value


def _plain(item: Stroke | Label) -> dict[str, Any]:
    return asdict(item)
