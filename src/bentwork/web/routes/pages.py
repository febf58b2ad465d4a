"""The page itself: the way in, its one document, its files and fonts."""

from __future__ import annotations

import re
from pathlib import Path

from fastapi import APIRouter, HTTPException, Request
from fastapi.responses import FileResponse, RedirectResponse, Response

from bentwork.web.desk import AtDesk

__all__ = ["STATIC", "router"]

STATIC = Path(__file__).parents[1] / "static"
_FONTS = Path(__file__).parents[2] / "data" / "fonts"
_PLAIN = re.compile(r"[A-Za-z0-9_-]+(\.[A-Za-z0-9_-]+)+")
_TYPES = {
    ".js": "text/javascript",
    ".css": "text/css",
    ".ttf": "font/ttf",
    ".svg": "image/svg+xml",
    ".png": "image/png",
}
_FOREVER = {"cache-control": "public, max-age=31536000, immutable"}  # the names carry the sum of what is in them

router = APIRouter(include_in_schema=False)


@router.get("/enter")
def enter(desk: AtDesk, word: str = "", to: str = "/") -> Response:
    """Let the maker's own browser in, and show the page."""
    session = desk.access.enter(word)
    if session is None:
        raise HTTPException(401, "This address is of an earlier start. Open the one that the terminal shows now.")
    inside = to if re.fullmatch(r"/[A-Za-z0-9%._~/-]*", to) and not to.startswith("//") else "/"
    answer = RedirectResponse(inside, 303)
    answer.set_cookie(desk.access.cookie, session, httponly=True, samesite="strict", path="/")
    return answer


@router.get("/assets/{name}")
def asset(name: str) -> Response:
    """Return a file that belongs to the page."""
    return _file(STATIC / "assets", name, _FOREVER)


@router.get("/fonts/{name}")
def font(name: str) -> Response:
    """Return a font that Bentwork carries."""
    return _file(_FONTS, name, {"cache-control": "public, max-age=86400"})


@router.get("/")
@router.get("/job/{rest:path}")
@router.get("/bench/{rest:path}")
def page(request: Request) -> Response:
    """Return the page; what it shows is in its address."""
    index = STATIC / "index.html"
    if not index.exists():
        raise HTTPException(503, "The page was not built: python hatch_build.py builds it.")
    headers = {"cache-control": "no-cache"}
    if request.url.path == "/":  # the list of jobs: asked for beside the page's script, not after it
        headers["link"] = "</api/jobs>; rel=preload; as=fetch; crossorigin"
    return FileResponse(index, media_type="text/html", headers=headers)


def _file(folder: Path, name: str, headers: dict[str, str]) -> Response:
    path = folder / name
    kind = _TYPES.get(path.suffix)
    if kind is None or not _PLAIN.fullmatch(name) or not path.is_file():
        raise HTTPException(404, "There is no such file.")
    return FileResponse(path, media_type=kind, headers=headers)
