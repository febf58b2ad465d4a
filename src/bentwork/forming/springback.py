"""What a bend opens when it is let go.

For now one plain ratio for each bender, found by the maker's own test bends: pull to ratio times the drawn angle. For
pure bending the ratio does not depend on the angle (elastic unloading of a bar bent to one curvature; any textbook of
plasticity), so one test bend of any angle gives it. A model of the metal will come in here, behind the same function.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Pull", "pull_for"]


@dataclass(frozen=True, slots=True)
class Pull:
    """How far to pull one bend, degrees.

    Args:
        bend_to: angle to pull to on the bender.
        springback: what it opens when let go.
    """

    bend_to: float
    springback: float


def pull_for(angle: float, ratio: float | None) -> Pull:
    """Return the pull that leaves a bend of ``angle`` degrees; without a ratio, the drawn angle itself.

    Raises:
        ValueError: the ratio is below 1: no metal closes further when it is let go.
    """
    if ratio is None:
        return Pull(angle, 0.0)
    if not ratio >= 1.0:
        raise ValueError(f"a springback ratio is 1 or more, not {ratio}")
    return Pull(angle * ratio, angle * ratio - angle)
