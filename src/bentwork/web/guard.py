"""What stands between a request and the program: host, origin, session, size of the body, headers of the answer.

A page of another site can send requests to this machine from the maker's own browser. Such a request carries another
Origin, a host name that was bent to point here carries another Host, and neither carries our cookie (SameSite=Strict).
"""

from __future__ import annotations

from contextlib import suppress
from http.cookies import CookieError, SimpleCookie

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bentwork.web.access import Access

__all__ = ["MOST_BYTES", "MOST_MODEL_BYTES", "Guard"]

MOST_BYTES = 6_000_000
"""Of a request's body; a job file has at most 5 MB."""

MOST_MODEL_BYTES = 200_000_000
"""Of a model that is dropped on the page."""

_MODELS = "/api/takeoff"
_OPEN = ("/enter", "/pair")  # how one gets in
_BENCH = ("/api/bench/", "/bench", "/assets/", "/fonts/")  # what a paired phone may ask
_SAFE = ("GET", "HEAD")
_OWN_DOOR = ("127.0.0.1", "::1", "localhost")  # where server.listening listens; every other one is shared
_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "font-src 'self'",
        "img-src 'self' blob:",
        "media-src 'self' blob:",
        "connect-src 'self'",
        "frame-src 'self'",
        "frame-ancestors 'self'",
        "base-uri 'none'",
        "form-action 'self'",
    )
)
_HEADERS = {
    "content-security-policy": _POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "SAMEORIGIN",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), payment=()",
}


class Guard:
    """Wraps the application.

    Args:
        app: that answers what is let through.
        access: who may ask what.
    """

    def __init__(self, app: ASGIApp, access: Access) -> None:
        self.app = app
        self.access = access

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or have it answered."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return  # nothing here speaks over sockets
        guarded = _with_headers(send, scope["path"])
        refusal = self._refusal(scope)
        if refusal is not None:
            await refusal(scope, receive, guarded)
            return
        most = MOST_MODEL_BYTES if scope["path"].startswith(_MODELS) else MOST_BYTES
        body = _Body(receive, guarded, most)
        with suppress(_TooMuchError):
            await self.app(scope, body.receive, body.send)
        if body.is_too_much and not body.answered:
            await _said(413, f"What was sent is larger than {most // 1_000_000} MB.")(scope, receive, guarded)

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        path, method = scope["path"], scope["method"]
        host = headers.get("host", "")
        outside = _is_outside(scope)
        if host not in (self.access.shared if outside else self.access.hosts):
            return _said(421, "This server answers only under its own address.")
        origin = headers.get("origin")
        if origin is not None and origin != f"http://{host}":
            return _said(403, "A page of another site asked; it gets nothing.")
        site = headers.get("sec-fetch-site", "same-origin")
        if site not in ("same-origin", "none") and not (path in _OPEN and method in _SAFE):
            return _said(403, "A page of another site asked; it gets nothing.")
        length = headers.get("content-length", "0")
        most = MOST_MODEL_BYTES if path.startswith(_MODELS) else MOST_BYTES
        if not (length.isascii() and length.isdigit()) or int(length) > most:
            return _said(413, f"What was sent is larger than {most // 1_000_000} MB.")
        if path in _OPEN:
            return _said(403, "This word is for the computer itself.") if outside and path == "/enter" else None
        role = self.access.role_of(_session(headers, self.access.cookie))
        if role is None and outside:
            return _said(401, "This device is not paired, or no longer: scan a new code at the computer.")
        if role is None:
            return _said(401, "Open the address that the terminal shows: it lets this browser in.")
        if outside and role != "bench":
            return _said(403, "Only a paired phone is let in from the network.")
        if role == "bench" and not path.startswith(_BENCH):
            return _said(403, "A paired phone sees the bench only.")
        scope["bentwork.role"] = role
        return None


class _TooMuchError(Exception):
    """More was sent than is taken."""


def _is_outside(scope: Scope) -> bool:
    """Tell whether a request came in by another door than this machine's own; what it says of itself does not count."""
    return (scope.get("server") or ("",))[0] not in _OWN_DOOR


def _session(headers: Headers, cookie: str) -> str | None:
    try:
        found = SimpleCookie(headers.get("cookie", "")).get(cookie)
    except CookieError:
        return None
    return found.value if found else None


def _said(status: int, text: str) -> Response:
    return JSONResponse({"errors": [{"says": text}]}, status)


def _with_headers(send: Send, path: str) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _HEADERS.items():
                headers[name] = value
            if path.startswith("/api/") and "cache-control" not in headers:
                headers["cache-control"] = "no-store"
        await send(message)

    return sending


class _Body:
    """Counts what comes in; once it is too much, nothing that the application says goes out."""

    def __init__(self, receive: Receive, send: Send, most: int) -> None:
        self._receive, self._send, self._most = receive, send, most
        self._seen = 0
        self.answered = False

    @property
    def is_too_much(self) -> bool:
        return self._seen > self._most

    async def receive(self) -> Message:
        message = await self._receive()
        self._seen += len(message.get("body", b""))
        if self.is_too_much:
            raise _TooMuchError
        return message

    async def send(self, message: Message) -> None:
        if self.answered or not self.is_too_much:
            self.answered = True
            await self._send(message)
