"""What was measured on the thing that the frame must fit, as the job has it."""

from __future__ import annotations

from dataclasses import dataclass

from bentwork.parts.survey_reading import Level, Reading, Spot

__all__ = ["GOOD", "SurveyAsked"]

GOOD = 2.0
"""How sure a point is wanted, mm, one standard deviation, where the job does not say: common practice, no source."""


@dataclass(frozen=True, slots=True)
class SurveyAsked:
    """Everything of ``[measured]``.

    Args:
        spots: the points.
        readings: what was read, those that are left out too; ``number`` tells which entry each is of.
        level: up and forward.
        ground: height of the ground, mm; None where heights tell it.
        good: how sure a point is wanted, mm.
        pairs: left and right points that are meant to be mirror images.
        left_out: numbers of entries that do not count.
    """

    spots: tuple[Spot, ...]
    readings: tuple[Reading, ...]
    level: Level = Level()  # noqa: RUF009 - it is frozen
    ground: float | None = None
    good: float = GOOD
    pairs: tuple[tuple[str, str], ...] = ()
    left_out: frozenset[int] = frozenset()

    @property
    def used(self) -> tuple[Reading, ...]:
        """The readings that count."""
        return tuple(one for one in self.readings if one.number not in self.left_out)
