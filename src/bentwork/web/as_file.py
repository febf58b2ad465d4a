"""Answers that are files: their kind, their name, and whether the browser shows or keeps them."""

from __future__ import annotations

import unicodedata
from pathlib import PurePosixPath
from typing import Literal
from urllib.parse import quote

from fastapi.responses import Response

__all__ = ["file_answer"]

_TYPES = {
    ".pdf": "application/pdf",
    ".svg": "image/svg+xml",
    ".zip": "application/zip",
    ".step": "model/step",
    ".dxf": "image/vnd.dxf",
    ".stl": "model/stl",
    ".glb": "model/gltf-binary",
    ".csv": "text/csv; charset=utf-8",
}
"""Media types that are registered with IANA."""


def file_answer(data: bytes, name: str, how: Literal["inline", "attachment"]) -> Response:
    """Return a file under a name; a browser that reads no other letters gets its plain ones (RFC 6266).

    Args:
        data: bytes of the file.
        name: of the file, made by us.
        how: shown by the browser, or kept.
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    plain = "".join(letter if letter.isalnum() or letter in "-_. " else "-" for letter in plain)
    told = f"{how}; filename=\"{plain}\"; filename*=UTF-8''{quote(name, safe='')}"
    return Response(data, media_type=_TYPES[PurePosixPath(name).suffix], headers={"content-disposition": told})
