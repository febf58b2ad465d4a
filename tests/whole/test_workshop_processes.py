"""Several processes in one workshop, some of which are killed: nothing that was kept is lost."""

from __future__ import annotations

import json
import random
import sqlite3
import subprocess
import sys
import time
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import pytest

from bentwork.errors import WorkshopError
from bentwork.workshop.restore import restore
from bentwork.workshop.store import open_workshop
from tests.unit.workshop.entries import a_logged_bend

WRITER = """
import sys
from pathlib import Path
from bentwork.workshop.store import open_workshop
from tests.unit.workshop.entries import a_logged_bend, a_test_bend

folder, name, most, pause = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
print("ready", flush=True)
sys.stdin.readline()
with open_workshop(folder) as workshop:
    for number in range(most):
        if number == pause:
            sys.stdin.readline()
        entry = f"{name}-{number}"
        workshop.test_bends.add(a_test_bend(note=entry * 20), entry_id=entry)
        workshop.log.add(a_logged_bend(entry_id=entry, piece=name))
        print(entry, flush=True)  # said only when both are kept
"""

RESTORER = """
import sys
from pathlib import Path
from bentwork.workshop.restore import restore

folder, backup = map(Path, sys.argv[1:3])
print("ready", flush=True)
sys.stdin.readline()
while True:
    restore(folder, backup)
    print("restored", flush=True)
"""

FULL = """
import json, resource, sys
from pathlib import Path
from bentwork.errors import WorkshopError
from bentwork.workshop.store import open_workshop
from tests.unit.workshop.entries import a_logged_bend

folder, limit = Path(sys.argv[1]), int(sys.argv[2])
resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
kept, told = 0, ""
try:
    with open_workshop(folder) as workshop:
        for kept in range(100_000):
            workshop.log.add(a_logged_bend(entry_id=f"{kept}"))
except WorkshopError as error:
    told = str(error)
print(json.dumps([kept, told]))
"""


def start(script: str, *args: object) -> subprocess.Popen[str]:
    """Start a process and wait until it has read its imports; it works once ``go`` is said."""
    command = [sys.executable, "-c", script, *map(str, args)]
    process = subprocess.Popen(
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).parents[2],
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "ready\n", process.communicate()[1]
    return process


def go(processes: Sequence[subprocess.Popen[str]]) -> None:
    for process in processes:
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()


def said(process: subprocess.Popen[str]) -> list[str]:
    """What a process goes on to say, in whole lines, until it ends; fails when it ended by an error of its own."""
    assert process.stdout is not None
    assert process.stderr is not None
    out, errors = process.stdout.read(), process.stderr.read()
    process.communicate(timeout=60)
    assert errors == ""
    return out[: out.rfind("\n") + 1].splitlines()


def hear(process: subprocess.Popen[str], lines: int) -> list[str]:
    """Wait until a process has said so many lines: time alone says little on a machine that has much to do."""
    assert process.stdout is not None
    return [process.stdout.readline().rstrip("\n") for _ in range(lines)]


def entries(folder: Path) -> set[str]:
    with open_workshop(folder) as workshop:
        with closing(sqlite3.connect(workshop.path)) as other:
            assert other.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        noted = {bend.note[: len(bend.note) // 20] for bend in workshop.test_bends.all()}
        logged = {bend.entry_id for bend in workshop.log.all()}
    assert logged <= noted
    return logged


def test_four_writers_at_once_in_a_new_workshop_while_it_is_read_and_backed_up(tmp_path: Path) -> None:
    folder, each = tmp_path / "workshop", 100
    writers = [start(WRITER, folder, f"maker {n}", each, 5) for n in range(4)]
    go(writers)
    begun = [hear(writer, 5) for writer in writers]
    seen: list[int] = []
    backups: list[tuple[Path, int]] = []
    with open_workshop(folder) as workshop:
        go(writers)
        while len(backups) < 3 or any(writer.poll() is None for writer in writers):
            with workshop.at_one_moment():
                bends, logged = len(workshop.test_bends.all()), len(workshop.log.all())
            assert logged <= bends <= logged + len(writers)
            seen.append(logged)
            if len(backups) < 3 and logged > 60 * len(backups):
                backups.append((tmp_path / f"{len(backups)}.sqlite3", logged))
                workshop.backup(backups[-1][0])
    for number, writer in enumerate(writers):
        assert begun[number] + said(writer) == [f"maker {number}-{n}" for n in range(each)]
        assert writer.returncode == 0
    assert len(entries(folder)) == 4 * each
    assert seen == sorted(seen)
    assert len(set(seen) - {0, 4 * each}) > 3  # it was really read meanwhile
    with open_workshop(folder) as workshop:
        ids = [bend.id for bend in workshop.test_bends.all()]
    assert ids == list(range(1, 4 * each + 1))
    for path, least in backups:
        new = tmp_path / path.stem
        assert restore(new, path) is None
        assert len(entries(new)) >= least


def test_writers_killed_at_any_moment_lose_nothing_that_they_said_was_kept(tmp_path: Path) -> None:
    chance = random.Random(12)
    folder, kept = tmp_path / "workshop", set[str]()
    for number, lines in enumerate([0, 1, *(chance.randrange(2, 40) for _ in range(6))]):
        writers = [start(WRITER, folder, f"{number} {most}", most, -1) for most in (1_000_000, 60)]
        go(writers)
        kept.update(hear(writers[0], lines))
        time.sleep(chance.uniform(0.0, 0.01))
        for writer in writers:
            writer.kill()
        for writer in writers:
            kept.update(said(writer))
        assert kept <= entries(folder)
    assert len(kept) > 20


def test_a_new_workshop_whose_maker_is_killed_is_made_by_the_next(tmp_path: Path) -> None:
    chance = random.Random(13)
    for number in range(6):
        folder = tmp_path / f"{number}"
        writer = start(WRITER, folder, "first", 1_000_000, -1)
        go([writer])
        time.sleep(chance.uniform(0.0, 0.02))
        writer.kill()
        assert set(said(writer)) <= entries(folder)


def test_a_restore_killed_at_any_moment_leaves_one_or_the_other(tmp_path: Path) -> None:
    chance = random.Random(14)
    folder, backup = tmp_path / "workshop", tmp_path / "backup.sqlite3"
    with open_workshop(folder) as workshop:
        for number in range(200):
            workshop.log.add(a_logged_bend(entry_id=f"old {number}"))
        workshop.backup(backup)
    old = {f"old {number}" for number in range(200)}
    for number, lines in enumerate([0, 0, 0, 1, 1]):
        with open_workshop(folder) as workshop:
            workshop.log.add(a_logged_bend(entry_id=f"new {number}"))
            now = {bend.entry_id for bend in workshop.log.all()}
        restorer = start(RESTORER, folder, backup)
        go([restorer])
        hear(restorer, lines)
        time.sleep(chance.uniform(0.0, 0.03))
        restorer.kill()
        said(restorer)
        with open_workshop(folder) as workshop:
            after = {bend.entry_id for bend in workshop.log.all()}
        assert after in (now, old)
        assert after == old or not lines
        if after == old:
            asides = [path for path in folder.glob("before-restore-*.sqlite3") if path.stat().st_size]
            assert any(f"new {number}" in in_file(aside) for aside in asides)


def test_what_is_written_while_a_backup_is_put_back_is_in_one_of_both(tmp_path: Path) -> None:
    folder, backup = tmp_path / "workshop", tmp_path / "backup.sqlite3"
    with open_workshop(folder) as workshop:
        workshop.backup(backup)
    writers = [start(WRITER, folder, f"maker {n}", 250, -1) for n in range(2)]
    go(writers)
    kept = {*hear(writers[0], 1), *hear(writers[1], 1)}
    asides = []
    while any(writer.poll() is None for writer in writers):
        asides.append(restore(folder, backup))
        time.sleep(0.01)
    for writer in writers:
        kept.update(said(writer))
    assert len(kept) == 500
    with open_workshop(folder) as workshop:
        found = {bend.entry_id for bend in workshop.log.all()}
    full = [aside for aside in asides if aside is not None]
    assert full
    for aside in full:
        found |= in_file(aside)
    assert kept <= found


def in_file(path: Path) -> set[str]:
    with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as database:
        return {row[0] for row in database.execute("SELECT entry_id FROM log")}


@pytest.mark.parametrize("room", [1_000, 40_000, 200_000])
def test_a_disk_that_takes_no_more_loses_nothing(tmp_path: Path, room: int) -> None:
    """The system itself refuses to let any file of the process grow further."""
    command = [sys.executable, "-c", FULL, str(tmp_path / "workshop"), str(room)]
    done = subprocess.run(
        command, capture_output=True, text=True, check=False, cwd=Path(__file__).parents[2], timeout=60
    )
    assert done.stderr == ""
    kept, told = json.loads(done.stdout)
    assert "This was not done; what was kept before is still there." in told
    assert ("the disk is full" in told) or ("the disk does not do what it should" in told)
    assert (kept > 0) == (room >= 200_000)
    with open_workshop(tmp_path / "workshop") as workshop:
        assert [bend.entry_id for bend in workshop.log.all()] == [f"{number}" for number in range(kept)]
        workshop.log.add(a_logged_bend(entry_id="with room again"))


def test_one_that_waits_too_long_is_told_while_the_other_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bentwork.workshop.connection.WAIT", 0.05)
    with open_workshop(tmp_path) as slow, open_workshop(tmp_path) as other, slow._database.writing():
        with pytest.raises(WorkshopError, match="another program has been writing"):
            other.log.add(a_logged_bend())
        slow._database.run("DELETE FROM benders")
