"""Opening the page: what hinders it is told before anything is compiled."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest
from click.testing import CliRunner

from bentwork.cli.main import app
from bentwork.door import compiled


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
