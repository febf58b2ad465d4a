"""The server, running until it is told to stop."""

from __future__ import annotations

import socket
from collections.abc import Callable

import uvicorn
from starlette.types import ASGIApp

from bentwork.errors import BentworkError

__all__ = ["USUAL_PORT", "listening", "serve"]

USUAL_PORT = 2368
"""Where the page is when nothing else is there: BENT on the keys of a telephone."""


def listening(port: int | None, address: str = "127.0.0.1") -> socket.socket:
    """Return a socket that listens, on the usual port or, if that is taken and none was named, on any other.

    Raises:
        BentworkError: the port that was named is taken, or may not be used.
    """
    for number in (port,) if port is not None else (USUAL_PORT, 0):
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        try:
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            found.bind((address, number))
            found.listen(64)
        except OSError as error:
            found.close()
            if port is not None:
                raise BentworkError(f"port {port} cannot be used: {error.strerror}; name another, or none") from error
            continue
        return found
    raise BentworkError("no port of this machine can be used")


def serve(app: ASGIApp, sockets: list[socket.socket], started: Callable[[], None]) -> None:
    """Answer requests until Ctrl-C; ``started`` is called once the first would be answered."""
    config = uvicorn.Config(
        app, log_level="warning", access_log=False, server_header=False, timeout_graceful_shutdown=1, lifespan="off"
    )

    class Server(uvicorn.Server):
        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets)
            started()

    Server(config).run(sockets)
