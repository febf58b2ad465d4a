"""From what was measured to points: where they are, how sure, what disagrees, left against right, what is missing."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from bentwork.jobs.kept import Kept
from bentwork.jobs.survey_asked import SurveyAsked
from bentwork.parts.survey import Survey, survey
from bentwork.parts.survey_next import Missing, missing
from bentwork.parts.survey_odd import Checked, Odd, checked, odd_readings
from bentwork.parts.survey_sides import Sides, sides_of

__all__ = ["Surveyed", "survey_of", "surveyed"]


@dataclass(frozen=True, slots=True, eq=False)
class Surveyed:
    """What is known of the points.

    Args:
        asked: what was measured.
        found: the points by the readings that count.
        checks: of every reading that counts.
        odd: readings that disagree with the rest.
        without: the points without them; the same as ``found`` where there are none.
        sides: left against right; None without pairs.
        wanted: names of the points that matter most.
        missing: readings that would help, the best first.
    """

    asked: SurveyAsked
    found: Survey
    checks: tuple[Checked, ...]
    odd: tuple[Odd, ...]
    without: Survey
    sides: Sides | None
    wanted: tuple[str, ...]
    missing: tuple[Missing, ...]


_surveys: Kept[Survey] = Kept(16)
_surveyed: Kept[Surveyed] = Kept(16)


@lru_cache(maxsize=16)  # jobs are read by several at once, which what is ``kept`` would not bear
def survey_of(asked: SurveyAsked) -> Survey:
    """Return the points by the readings that count."""
    return survey(asked.spots, asked.used, asked.level, asked.ground)


def surveyed(asked: SurveyAsked, wanted: tuple[str, ...] = ()) -> Surveyed:
    """Return everything that is known of the points.

    Args:
        asked: what was measured.
        wanted: names of the points that matter most, such as those that stays go to; all when empty.
    """
    return _surveyed.of((asked, wanted), lambda _: _made(asked, wanted))


def _made(asked: SurveyAsked, wanted: tuple[str, ...]) -> Surveyed:
    found = survey_of(asked)
    odd, without = odd_readings(found, asked.ground)
    return Surveyed(
        asked,
        found,
        checked(found),
        odd,
        without,
        sides_of(found, asked.pairs),
        wanted,
        missing(found, wanted, asked.good / 3.0**0.5),
    )
