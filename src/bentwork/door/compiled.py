"""Where compiled code is kept, of searches and of walks along bars; a folder for each state of the searches."""

from __future__ import annotations

import hashlib
import os
import sys
from pathlib import Path

__all__ = ["keep_compiled", "warm_up"]

_SOURCES = ("clearance/*.py", "planning/order*.py", "parts/cutting_search.py")
_NAME = "NUMBA_CACHE_DIR"


def keep_compiled() -> bool:
    """Say where compiled code is kept, before anything compiles; returns whether any is there already."""
    if _NAME not in os.environ:
        os.environ[_NAME] = str(_folder())
    return any(Path(os.environ[_NAME]).glob("**/*.nbi"))


def warm_up() -> None:
    """Compile the searches now, so that nobody waits for it later; says so where that takes a while."""
    if keep_compiled():
        return
    print("compiling the search for the order of bends (once, a minute or more) ...", file=sys.stderr, flush=True)
    import numpy as np

    from bentwork.carry.touching_warm_up import warm_up as compile_touching
    from bentwork.fitup.walking_warm_up import warm_up as compile_walking
    from bentwork.parts.cutting_warm_up import warm_up as compile_cutting
    from bentwork.parts.stay_warm_up import warm_up as compile_stays
    from bentwork.planning.order_warm_up import warm_up as compile_order
    from bentwork.planning.order_warm_up import warm_up_rare as compile_rare

    compile_order()
    compile_rare()
    compile_cutting()
    compile_stays()
    compile_touching()
    compile_walking(np.random.default_rng(0))


def _folder() -> Path:
    import platformdirs

    package = Path(__file__).parents[1]
    sources = sorted(path for pattern in _SOURCES for path in package.glob(pattern))
    # What is compiled is of one Python and of files in one place.
    place = f"{package}\0{sys.version}".encode()
    summed = hashlib.sha256(b"\0".join([place, *(path.read_bytes() for path in sources)])).hexdigest()[:12]
    return platformdirs.user_cache_path("bentwork", appauthor=False) / f"compiled-{summed}"


if __name__ == "__main__":
    warm_up()
