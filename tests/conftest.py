"""What every test runs under: the two ways in which hypothesis looks for counter-examples."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from hypothesis import settings

from bentwork.door.compiled import keep_compiled

# No test may see or touch the workshop of whoever runs it; those that keep something name a folder.
os.environ["BENTWORK_WORKSHOP"] = str(Path(tempfile.gettempdir()) / "bentwork-tests-have-no-workshop")

# Compiled kernels are kept by the state of their sources, as for the command line.
keep_compiled()

# Nor may it find what an earlier run kept of a model: tests read models, and say so where they do not.
_KEPT = tempfile.TemporaryDirectory(prefix="bentwork-tests-")
os.environ["XDG_CACHE_HOME"] = _KEPT.name

# A slow machine is no failure, so no deadline. In CI the same examples every time: a red run can be repeated.
settings.register_profile("ci", derandomize=True, deadline=None, print_blob=True, database=None)
settings.register_profile("desk", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "desk")
