"""The server, running until it is told to stop: its own door on this machine, and one in the network while shared."""

from __future__ import annotations

import asyncio
import socket
from collections.abc import Callable, Coroutine
from typing import Any

import uvicorn
from starlette.types import ASGIApp

from bentwork.errors import BentworkError
from bentwork.web.sharing import Sharing

__all__ = ["USUAL_PORT", "listening", "serve"]

USUAL_PORT = 2368
"""Where the page is when nothing else is there: BENT on the keys of a telephone."""

_WAIT = 5.0  # seconds for a door to open or close


def listening(port: int | None, address: str = "127.0.0.1") -> socket.socket:
    """Return a socket that listens, on the usual port or, if that is taken and none was named, on any other.

    Raises:
        BentworkError: the port that was named is taken, or may not be used.
    """
    for number in (port,) if port is not None else (USUAL_PORT, 0):
        # The protocol is named, or asyncio does not switch off Nagle's delay: 40 ms for every answer.
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
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


class _Server(uvicorn.Server):
    """Also opens and closes doors while it runs; these are called from other threads than its own."""

    def __init__(self, config: uvicorn.Config, started: Callable[[], None]) -> None:
        super().__init__(config)
        self._started = started
        self._loop: asyncio.AbstractEventLoop | None = None
        self._doors: dict[str, asyncio.Server] = {}

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        self._loop = asyncio.get_running_loop()
        self._started()

    def open(self, address: str) -> int:
        """Listen on an address, on the usual port if it is free there, and return the port."""
        found = listening(None, address)
        self._in_loop(self._opened(address, found))
        return int(found.getsockname()[1])

    def close(self, address: str) -> None:
        """Listen there no longer, and break off what goes on."""
        self._in_loop(self._closed(address))

    def _in_loop(self, what: Coroutine[Any, Any, None]) -> None:
        assert self._loop is not None
        asyncio.run_coroutine_threadsafe(what, self._loop).result(_WAIT)

    async def _opened(self, address: str, found: socket.socket) -> None:
        loop = asyncio.get_running_loop()

        def protocol() -> asyncio.Protocol:
            made: asyncio.Protocol = self.config.http_protocol_class(  # type: ignore[call-arg]
                config=self.config, server_state=self.server_state, app_state=self.lifespan.state, _loop=loop
            )
            return made

        door = await loop.create_server(protocol, sock=found)
        self._doors[address] = door
        self.servers.append(door)

    async def _closed(self, address: str) -> None:
        door = self._doors.pop(address, None)
        if door is None:
            return
        door.close()
        if door in self.servers:
            self.servers.remove(door)
        for connection in list(self.server_state.connections):
            transport = getattr(connection, "transport", None)
            if transport is not None and (transport.get_extra_info("sockname") or ("",))[0] == address:
                transport.close()


def serve(
    app: ASGIApp, sockets: list[socket.socket], started: Callable[[], None], sharing: Sharing | None = None
) -> None:
    """Answer requests until Ctrl-C.

    Args:
        app: that answers.
        sockets: that listen.
        started: called once the first would be answered.
        sharing: that may open one more door while the server runs.
    """
    config = uvicorn.Config(
        app, log_level="warning", access_log=False, server_header=False, timeout_graceful_shutdown=1, lifespan="off"
    )
    server = _Server(config, started)
    if sharing is not None:
        sharing.doors = server
    server.run(sockets)
