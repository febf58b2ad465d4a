"""Opening the page: what hinders it is told before anything is compiled."""

from __future__ import annotations

import asyncio
import socket
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from click.testing import CliRunner

from bentwork.cli.main import app
from bentwork.door import compiled
from bentwork.web.server import listening
from tests.desk import at_desk


def test_a_port_that_is_taken_is_told_at_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def compile_now() -> None:
        raise AssertionError("compiled before the port was tried")

    monkeypatch.setattr(compiled, "warm_up", compile_now)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        end = CliRunner().invoke(app, ["open", str(tmp_path), "--no-browser", "--port", str(port)])
    assert end.exit_code != 0
    assert f"port {port} cannot be used" in end.output


def test_an_answer_does_not_wait_for_the_one_before_to_be_confirmed() -> None:
    """With the delay of RFC 896 (Nagle) each answer on a kept connection comes 40 ms late; asyncio asks the socket."""

    async def switched_off() -> int:
        found: asyncio.Future[int] = asyncio.get_running_loop().create_future()

        def connected(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            found.set_result(writer.get_extra_info("socket").getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
            writer.close()

        async with await asyncio.start_server(connected, sock=(door := listening(0))):
            _, writer = await asyncio.open_connection(*door.getsockname())
            writer.close()
            return await found

    with ThreadPoolExecutor(1) as beside:  # the tests that drive a browser keep a loop running in this thread
        assert beside.submit(lambda: asyncio.run(switched_off())).result()


def test_the_list_of_jobs_is_asked_for_beside_the_script(tmp_path: Path) -> None:
    """RFC 8288 names the header; a phone that was let in to the bench is told of no list, which it may not see."""
    client = at_desk(tmp_path).client
    assert client.get("/").headers["link"].startswith("</api/jobs>; rel=preload")
    assert "link" not in client.get("/job/crate-shelf").headers
    assert "link" not in client.get("/bench/").headers
