"""The server as a process: how it starts, who reaches it, how it ends."""

from __future__ import annotations

import json
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Callable
from pathlib import Path

from tests.browser.conftest import Running, Screen


def test_it_listens_on_this_machine_alone(server: Running) -> None:
    """Linux tells what listens in /proc/net/tcp: the address in hexadecimal, 0100007F for 127.0.0.1."""
    port = f"{server.port:04X}"
    lines = [line.split() for line in Path("/proc/net/tcp").read_text().splitlines()[1:]]
    listening = [local for _, local, _, state, *_ in lines if state == "0A" and local.endswith(f":{port}")]
    assert listening == [f"0100007F:{port}"]
    lines = [line.split() for line in Path("/proc/net/tcp6").read_text().splitlines()[1:]]
    assert not [local for _, local, _, state, *_ in lines if state == "0A" and local.endswith(f":{port}")]


def test_ctrl_c_ends_it_at_once_and_without_a_complaint(server: Running) -> None:
    server.process.send_signal(signal.SIGINT)
    said, _ = server.process.communicate(timeout=60)
    assert "Traceback" not in said
    assert server.process.returncode in (0, 130)


def test_a_port_that_is_taken_is_told(starting: Callable[..., Running], tmp_path: Path) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = str(other.getsockname()[1])
        command = [sys.executable, "-m", "bentwork", "open", str(tmp_path), "--no-browser", "--port", port]
        end = subprocess.run(command, capture_output=True, text=True, check=False)
    assert end.returncode == 2
    assert f"port {port} cannot be used" in end.stderr
    assert "Traceback" not in end.stderr


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "bentwork", "open", str(tmp_path / "none" / "job.toml"), "--no-browser"]
    end = subprocess.run(command, capture_output=True, text=True, check=False)
    assert end.returncode == 2
    assert "a folder with job files, or a job file" in end.stderr


def test_two_servers_at_once_do_not_share_their_sessions(
    starting: Callable[..., Running], screen: Callable[..., Screen]
) -> None:
    one, other = starting(), starting()
    assert one.port != other.port
    shown = screen(one)
    cookies = "; ".join(f"{cookie['name']}={cookie['value']}" for cookie in shown.page.context.cookies())
    asked = urllib.request.Request(f"{one.address}/api/jobs", headers={"cookie": cookies})
    with urllib.request.urlopen(asked) as answer:
        assert json.load(answer) == []
    asked = urllib.request.Request(f"{other.address}/api/jobs", headers={"cookie": cookies})
    try:
        urllib.request.urlopen(asked)
    except urllib.error.HTTPError as refused:
        with refused:
            assert refused.code == 401
    else:
        raise AssertionError("the other server let it in")


def test_a_job_file_named_on_the_command_line_is_what_is_shown(
    starting: Callable[..., Running], screen: Callable[..., Screen], server: Running
) -> None:
    command = server.jobs / "crate-shelf.toml"
    other = subprocess.Popen(
        [sys.executable, "-m", "bentwork", "open", str(command), "--no-browser", "--port", "0"],
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert other.stdout
        said = "".join(other.stdout.readline() for _ in range(3))
    finally:
        other.kill()
        other.communicate()
    assert "&to=/job/crate-shelf" in said
