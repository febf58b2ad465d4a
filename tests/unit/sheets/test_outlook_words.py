"""How a chance is worded: of a closed piece as the most that may be hoped for, on every face alike."""

from __future__ import annotations

import pytest

from bentwork.sheets.outlook_words import gap_words, share_words
from bentwork.units import Ruler


@pytest.mark.parametrize(
    ("chance", "closed", "words"),
    [
        (0.74, False, "74% of cases"),
        (0.74, True, "at most 74% of cases"),
        (0.999, False, "nearly all cases"),
        (0.999, True, "nearly all cases, at most"),
    ],
)
def test_of_a_closed_piece_a_chance_is_a_most(chance: float, closed: bool, words: str) -> None:
    assert share_words(chance, closed=closed) == words


def test_the_line_of_the_bench_says_it_too() -> None:
    ruler = Ruler()
    assert gap_words(1.2, 0.6, 0.86, ruler, closed=True).endswith("good in at most 86% of cases")
    assert gap_words(1.2, 0.6, 0.86, ruler, closed=True, short=True).endswith("good at most 86%")
    assert "at most" not in gap_words(1.2, 0.6, 0.86, ruler, closed=False)
    assert "at most" not in gap_words(1.2, 0.6, 0.86, ruler, closed=False, short=True)
    assert "good" not in gap_words(1.2, 0.6, None, ruler, closed=True)
