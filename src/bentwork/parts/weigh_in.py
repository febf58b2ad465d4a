"""The frame on the scales: what it weighs against what was reckoned, and what a difference may mean."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bentwork.units import Ruler

__all__ = ["WeighIn", "weigh_in"]

_ROLLED = 0.04
"""Bars are rolled and drawn so far lighter or heavier than their size says; common practice, no source."""

_SCALES = 0.01
"""What kitchen and hanging scales are wrong by, kg; common practice, no source."""


@dataclass(frozen=True, slots=True)
class WeighIn:
    """A frame weighed.

    Args:
        weighed: kg.
        reckoned: kg, without paint.
        paint: what paint may add, kg.
        meanings: what the difference may mean, the likeliest first; empty where there is none to speak of.
    """

    weighed: float
    reckoned: float
    paint: float
    meanings: tuple[str, ...]

    @property
    def difference(self) -> float:
        """Weighed less reckoned, kg."""
        return self.weighed - self.reckoned

    @property
    def share(self) -> float:
        """The difference as a share of what was reckoned."""
        return self.difference / self.reckoned

    @property
    def agrees(self) -> bool:
        """Whether there is no difference to speak of."""
        return not self.meanings


def weigh_in(
    weighed: float,
    parts: Mapping[str, float],
    *,
    welds: float,
    paint: float,
    densities: Mapping[str, float],
    ruler: Ruler | None = None,
) -> WeighIn:
    """Compare a weight with what was reckoned.

    Args:
        weighed: kg.
        parts: mass of one of every piece, kg, by what it is called.
        welds: mass of weld metal, kg.
        paint: what paint may add, kg.
        densities: by kind of metal that the frame is not made of, over the density of what it is made of.
        ruler: how masses are shown; kilograms without one.

    Raises:
        ValueError: nothing was weighed, or nothing reckoned.
    """
    reckoned = sum(parts.values()) + welds
    if not weighed > 0.0 or not reckoned > 0.0:
        raise ValueError("a frame weighs something")
    spread = _ROLLED * reckoned + _SCALES
    found = WeighIn(weighed, reckoned, paint, ())
    difference = found.difference
    if -spread <= difference <= spread + paint:
        return found
    ruler = ruler or Ruler()
    meanings = [*_another_metal(weighed, reckoned, densities, ruler), *_parts(difference, parts, spread, ruler)]
    if difference < 0.0:
        if -difference > max(parts.values()) + spread:
            meanings += ["more than one piece is missing on the scales"]
        meanings += ["the bars are thinner than the job says (measure diameter and wall)"]
    else:
        meanings += ["the bars are thicker than the job says (measure diameter and wall)"]
        meanings += ["bolts, fittings or sand are weighed with it"]
    return WeighIn(weighed, reckoned, paint, tuple(meanings))


def _another_metal(weighed: float, reckoned: float, densities: Mapping[str, float], ruler: Ruler) -> list[str]:
    return [
        f"it is made of {metal} where the job says otherwise: that would weigh {ruler.mass(reckoned * ratio)}"
        for metal, ratio in densities.items()
        if abs(weighed - reckoned * ratio) <= 0.1 * reckoned * ratio
    ]


def _parts(difference: float, parts: Mapping[str, float], spread: float, ruler: Ruler) -> list[str]:
    """Single pieces that weigh about as much as the difference, the nearest first; one of equal ones."""
    word = "is missing on the scales" if difference < 0.0 else "is counted once too few"
    alike: dict[float, str] = {}
    for name, mass in parts.items():
        alike.setdefault(round(mass, 4), name)
    off = {mass: abs(abs(difference) - mass) for mass in alike}
    near = sorted((mass for mass in alike if off[mass] <= spread < mass), key=lambda mass: off[mass])
    return [f"{alike[mass]}, {ruler.mass(mass)}, {word}" for mass in near]
