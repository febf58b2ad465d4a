"""Drawings and sheet contents to PDF bytes, by typst, with the fonts that come with the package and no others."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, is_dataclass
from importlib.resources import as_file, files
from typing import Any

import typst

from bentwork.errors import PaperError
from bentwork.sheets.drawing import Drawing, Label, Stroke

__all__ = ["as_data", "pages_pdf", "set_pdf"]


def pages_pdf(title: str, pages: Sequence[Drawing]) -> bytes:
    """Return a PDF of one drawing a page, at 1:1; all pages have the size of the first."""
    return set_pdf("pages.typ", {"title": title, "pages": [as_data(page) for page in pages]})


def set_pdf(template: str, data: Mapping[str, Any]) -> bytes:
    """Set a template of ``data/papers`` with this data and return the PDF.

    The same data give the same bytes. Warnings count as faults: a missing letter must not reach the bench as a box.

    Raises:
        PaperError: the template and the data do not go together.
    """
    with as_file(files("bentwork").joinpath("data")) as folder:
        try:
            pdf, warnings = typst.compile_with_warnings(
                folder / "papers" / template,
                root=folder,
                font_paths=[folder / "fonts"],
                ignore_system_fonts=True,
                sys_inputs={"data": json.dumps(data, ensure_ascii=False, allow_nan=False)},
            )
        except typst.TypstError as error:
            raise PaperError(f"the paper could not be set: {error}") from error
    if warnings:
        raise PaperError("the paper could not be set: " + "; ".join(str(warning) for warning in warnings))
    if not isinstance(pdf, bytes):
        raise PaperError("the paper came out in pieces")
    return pdf


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
