"""The reader against workers that break down, hang or lie: every solid is answered, nothing is left running."""

from __future__ import annotations

import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest

from bentwork.errors import InputError
from bentwork.takeoff.document import solid_from
from bentwork.takeoff.reader import Limits, Progress, read_step

HEAD = """
import json, os, sys, time
path, seconds, size, first = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
def say(**answer): print(json.dumps(answer), flush=True)
def solid(k):
    return dict(index=k, name="", kind="other", reason="r", volume_mm3=1, same_as=None, mirror_of=None, members=[])
"""


def worker(folder: Path, body: str) -> tuple[str, ...]:
    path = folder / "worker.py"
    path.write_text(HEAD + body)
    return (sys.executable, "-S", str(path))


def children() -> set[str]:
    """Processes that this one started and has not waited for, ended ones too, as Linux tells them."""
    found: set[str] = set()
    for task in Path("/proc/self/task").iterdir():
        with suppress(FileNotFoundError, ProcessLookupError):  # a thread that ended just now
            found |= set((task / "children").read_text().split())
    return found


OTHERS = children()


@pytest.fixture(autouse=True)
def _others() -> None:
    """Other tests may keep a process for all of theirs, such as a browser's."""
    OTHERS.clear()
    OTHERS.update(children())


def nobody_is_left() -> bool:
    """Whether no child of this process is there but those that were there before the test."""
    return children() <= OTHERS


def reasons(folder: Path, body: str, limits: Limits | None = None) -> list[str]:
    answers = read_step(folder / "a.step", limits, command=worker(folder, body))
    assert nobody_is_left()
    solids = [solid_from({"members": [], **answer}) for answer in answers.solids]
    assert [solid.index for solid in solids] == list(range(1, len(solids) + 1))
    return [solid.reason or "" for solid in solids]


def test_a_solid_that_breaks_the_kernel_is_told_and_the_rest_is_read(tmp_path: Path) -> None:
    body = """
say(total=4, units=["millimetre"])
for k in range(first, 5):
    say(at=k)
    if k == 2: os.abort()
    say(solid=solid(k))
say(done=True)
"""
    assert [reason[:10] for reason in reasons(tmp_path, body)] == ["r", "the CAD ke", "r", "r"]


def test_a_solid_that_takes_for_ever_is_passed_over(tmp_path: Path) -> None:
    body = """
say(total=3, units=[])
for k in range(first, 4):
    if k == 1: time.sleep(60)
    say(solid=solid(k))
say(done=True)
"""
    found = reasons(tmp_path, body, Limits(solid_seconds=4))
    assert found[1:] == ["r", "r"]
    assert "takes longer" in found[0]


def test_a_file_whose_every_solid_breaks_it_ends(tmp_path: Path) -> None:
    found = reasons(tmp_path, "say(total=20, units=[])\nos.abort()\n")
    assert len(found) == 20
    assert "not looked at" in found[-1]


def test_memory_that_runs_out_over_a_solid_is_told(tmp_path: Path) -> None:
    body = """
say(total=2, units=[])
if first == 1: say(error="memory")
else:
    say(solid=solid(2)); say(done=True)
"""
    found = reasons(tmp_path, body)
    assert "memory" in found[0]
    assert found[1] == "r"


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ("os.abort()", "breaks the CAD kernel"),
        ("sys.exit(0)", "breaks the CAD kernel"),
        ('say(error="memory")', "memory does not hold"),
        ('say(error="model", says="no product")', "no product"),
        ('say(error="missing", says="libGL")', "does not start"),
        ("time.sleep(60)", "takes too long"),
    ],
)
def test_a_file_that_cannot_be_opened_is_told(tmp_path: Path, body: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        read_step(tmp_path / "a.step", Limits(seconds=2 if "sleep" in body else 60), command=worker(tmp_path, body))
    assert says in str(caught.value)
    assert nobody_is_left()


def test_what_a_worker_prints_besides_is_no_answer(tmp_path: Path) -> None:
    body = 'print("*** statistics ***", flush=True)\nsay(total=1, units=[])\nsay(solid=solid(1))\nsay(done=True)\n'
    assert reasons(tmp_path, body) == ["r"]


def test_a_callback_that_raises_leaves_nothing_running(tmp_path: Path) -> None:
    """What Ctrl-C does: it raises in the parent, wherever that is."""

    def stop(progress: Progress) -> None:
        raise KeyboardInterrupt

    command = worker(tmp_path, "say(total=9, units=[])\ntime.sleep(60)\n")
    begun = time.monotonic()
    with pytest.raises(KeyboardInterrupt):
        read_step(tmp_path / "a.step", progress=stop, command=command)
    assert time.monotonic() - begun < 40.0
    assert nobody_is_left()


def test_progress_counts_the_solids(tmp_path: Path) -> None:
    seen: list[Progress] = []
    body = 'say(stage="building")\nsay(total=2, units=[])\nsay(solid=solid(1))\nsay(solid=solid(2))\nsay(done=True)\n'
    read_step(tmp_path / "a.step", progress=seen.append, command=worker(tmp_path, body))
    # On a slow machine it is told again, now and then, that nothing is new, from before the first answer on.
    told = dict.fromkeys((one.stage, one.done, one.total) for one in seen)
    assert [one for one in told if one[0] != "opening"] == [
        ("building", 0, 0),
        ("solids", 0, 2),
        ("solids", 1, 2),
        ("solids", 2, 2),
    ]
