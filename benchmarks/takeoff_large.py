"""A file of 50,000 faces: how long until all of it is told, what memory it takes, how often progress is told.

The peer does less: see ``takeoff``. It takes some minutes, and 200 MB on the disk for a while.

    python3 bootstrap.py bench takeoff_large
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from _takeoff_bodies import flat_bars, tube, write
from takeoff import PEER

from bentwork.takeoff.reader import Progress
from bentwork.takeoff.take import take_off

SOLIDS, FACES = 610, 82
"""Square tubes with rounded corners."""


def spent() -> float:
    """Return the processor's time of the processes started so far that have ended, s."""
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime


def main() -> None:
    """Print the table; the kernel's own words go nowhere."""
    out = os.fdopen(os.dup(1), "w")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    told: list[Progress] = []
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "tubes.step"
        write(path, [tube(line) for line in flat_bars(SOLIDS)])
        size, start, before = path.stat().st_size / 1e6, time.perf_counter(), spent()
        result = take_off(path, progress=told.append)
        mine, mine_spent = time.perf_counter() - start, spent() - before
        if sum(solid.kind == "piece" for solid in result.solids) != SOLIDS:
            raise SystemExit("a tube was not recognised")
        start, before = time.perf_counter(), spent()
        subprocess.run([sys.executable, "-c", PEER, str(path)], check=True, stdout=subprocess.DEVNULL)
        theirs, theirs_spent = time.perf_counter() - start, spent() - before
    largest = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 2**20
    print(f"| {SOLIDS} solids, {SOLIDS * FACES} faces, {size:.0f} MB | s | s of processor | ratio |", file=out)
    print("| --- | --- | --- | --- |", file=out)
    print(f"| take-off | {mine:.0f} | {mine_spent:.0f} | 1 |", file=out)
    ratio = theirs_spent / mine_spent
    print(f"| the kernel alone: read, volumes | {theirs:.0f} | {theirs_spent:.0f} | {ratio:.2f} |", file=out)
    print(f"\nThe larger of the two took {largest:.1f} GB of memory; progress was told {len(told)} times.", file=out)


if __name__ == "__main__":
    main()
