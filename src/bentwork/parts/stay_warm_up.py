"""The search for the way of a stay, compiled before anybody waits for it."""

from __future__ import annotations

import numpy as np

from bentwork.parts.keep_out import KeepOut
from bentwork.parts.stay_path import Obstacles, find_way
from bentwork.tooling.shop import Body

__all__ = ["warm_up"]


def warm_up() -> None:
    """Go round a post and under a rail once, so that all of it is compiled."""
    post = Body("post", "cylinder", start=(300.0, 0.0, -200.0), end=(300.0, 0.0, 200.0), radius=20.0)
    rail = np.array([[200.0, -400.0, 60.0, 0.0, 800.0, 0.0, 8.0]])
    obstacles = Obstacles((KeepOut("post", (post,), 5.0),), rail, ("rail",), 3.0, 30.0)
    find_way((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), 40.0, 6.0, 24.0, obstacles)
