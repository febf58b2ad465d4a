"""What every test runs under: the two ways in which hypothesis looks for counter-examples."""

from __future__ import annotations

import os

from hypothesis import settings

# A slow machine is no failure, so no deadline. In CI the same examples every time: a red run can be repeated.
settings.register_profile("ci", derandomize=True, deadline=None, print_blob=True, database=None)
settings.register_profile("desk", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "desk")
