"""The application: routes, the page's own files, and errors as one shape."""

from __future__ import annotations

from contextlib import suppress

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from starlette.exceptions import HTTPException
from starlette.routing import NoMatchFound

from bentwork import __version__
from bentwork.errors import BentworkError, FileError, InputError, PaperError, WorkshopError
from bentwork.web.desk import Desk
from bentwork.web.faults_out import faults_out
from bentwork.web.guard import Guard
from bentwork.web.job_store import ChangedError
from bentwork.web.routes import (
    bench,
    benders,
    buy,
    carry,
    job_list,
    jobs,
    measure,
    models,
    motion,
    pages,
    papers,
    parts,
    scene,
    sharing,
    start,
    takeoff,
    test_bends,
    weld_finish,
)
from bentwork.web.workroom import Overtaken

__all__ = ["guarded", "make_app", "put_together"]

_STATUS: tuple[tuple[type[BentworkError], int], ...] = (
    (ChangedError, 409),
    (Overtaken, 409),
    (InputError, 422),
    (FileError, 507),
    (PaperError, 500),
    (WorkshopError, 503),
    (BentworkError, 500),
)


def make_app(desk: Desk) -> FastAPI:
    """Return the application without its guard; see ``routes.pages`` for the page itself."""
    app = FastAPI(title="Bentwork", version=__version__, docs_url=None, redoc_url=None, openapi_url=None)
    app.state.desk = desk
    app.include_router(pages.router)  # what the first view asks for comes first: the rest is not put together for it
    seen = (scene, models, motion, carry, measure, parts, buy, weld_finish)
    for part in (job_list, bench, sharing, start, takeoff, jobs, benders, *seen, papers, test_bends):
        app.include_router(part.router, prefix="/api")
    app.include_router(sharing.pairing_router)
    app.add_exception_handler(BentworkError, _ours)
    app.add_exception_handler(RequestValidationError, _not_so)
    app.add_exception_handler(HTTPException, _no_such)
    app.add_exception_handler(Exception, _unforeseen)
    return app


def guarded(desk: Desk) -> Guard:
    """Return the application behind its guard."""
    return Guard(make_app(desk), desk.access)


def put_together(guarded: Guard) -> None:
    """Put every route together now; the framework does so for the first request that comes past it, 70 ms for all."""
    assert isinstance(guarded.app, FastAPI)
    with suppress(NoMatchFound):
        guarded.app.url_path_for("")


def _ours(request: Request, error: Exception) -> Response:
    status = next(status for kind, status in _STATUS if isinstance(error, kind))
    assert isinstance(error, BentworkError)
    return JSONResponse(faults_out(error), status)


def _not_so(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    told = []
    for one in error.errors():
        place = ".".join(map(str, one["loc"][1:])) or "request"
        if one["type"] == "string_too_long":  # nothing else can be typed on the page that is refused here
            most = f"at most {one['ctx']['max_length']} characters"
            found = f"{len(one['input'])} characters"
            says = f"{place.replace('_', ' ').capitalize()}: found {found}; wanted {most}."
            told.append({"says": says, "key": place, "found": found, "wanted": most})
        else:
            told.append({"says": f"{place}: {one['msg']}", "key": place})
    return JSONResponse({"errors": told}, 422)


def _no_such(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    return JSONResponse({"errors": [{"says": str(error.detail)}]}, error.status_code)


def _unforeseen(request: Request, error: Exception) -> Response:
    """Answer for a fault of ours; where it happened goes to the terminal, not to the page."""
    says = "Something went wrong in Bentwork itself; the terminal says where."
    return JSONResponse({"errors": [{"says": says}]}, 500)
