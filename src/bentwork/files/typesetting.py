"""Drawings and sheet contents to PDF, or to pictures of its pages, by typst, with our own fonts and no others."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, is_dataclass
from importlib.resources import as_file, files
from typing import Any, Literal, cast

import typst

from bentwork.errors import PaperError
from bentwork.sheets.drawing import Drawing, Label, Stroke

__all__ = ["PagePicture", "ToSet", "as_data", "page_pictures", "pages", "pages_pdf", "set_pdf"]

_POINT = 25.4 / 72.0  # mm in a printer's point
_SIZE = re.compile(rb'viewBox="0 0 ([0-9.]+) ([0-9.]+)"')


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
    """Set a paper. Warnings count as faults: a missing letter must not reach the bench as a box."""
    with as_file(files("bentwork").joinpath("data")) as folder:
        try:
            made, warnings = typst.compile_with_warnings(
                folder / "papers" / paper.template,
                root=folder,
                font_paths=[folder / "fonts"],
                ignore_system_fonts=True,
                format=form,
                sys_inputs={"data": json.dumps(paper.data, ensure_ascii=False, allow_nan=False)},
            )
        except typst.TypstError as error:
            raise PaperError(f"the paper could not be set: {error}") from error
    if warnings:
        raise PaperError("the paper could not be set: " + "; ".join(str(warning) for warning in warnings))
    several = cast("bytes | list[bytes]", made)  # the library's types forget that pictures come one a page
    return tuple(several) if isinstance(several, list) else (several,)


def as_data(value: object) -> Any:
    """Return frozen values as plain data for a template; coordinates to a micrometre."""
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
    return value


def _plain(item: Stroke | Label) -> dict[str, Any]:
    return asdict(item)
